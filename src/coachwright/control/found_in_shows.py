"""What is wrong with what functions show and run, as it is written: colours, darkness, reaches, rows and levels?

See Also
--------
coachwright.control.found_as_written : the rest of what the text alone tells.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coachwright.build.model import Colour, Function, Head, Level, Model, Show
from coachwright.control.ranks import ROAD
from coachwright.kit.finding import Finding, Fix

ROW_LEAST_N = 4
"""A run goes over so many heads at least (docs of the language: fewer is told)."""

_TAKES_LIGHT = ("own", "parallel", "request")
_TAKES_DARK = ("own", "series")
_CAN_ONLY = {
    "parallel": "be given light, never be kept dark",
    "series": "be interrupted, never be lit",
    "request": "be asked to light, never be kept dark",
    "none": "not be reached",
}


def show_findings(model: Model, function: Function) -> Iterator[Finding]:
    """Everything of one function, in the order of the file."""
    heads = {head.id: head for head in model.heads}
    for show in shows_of(function):
        yield from _show(function, show, [heads[name] for name in show.heads if name in heads])
    yield from _outputs(model, function)
    yield from _levels(model, function)


def shows_of(function: Function) -> tuple[Show, ...]:
    """Everything a function shows, of all its levels."""
    return (*function.shows, *(show for level in function.levels for show in level.shows))


# ------------------------------------------------------------------------------------------------------------ shows
def _show(function: Function, show: Show, heads: list[Head]) -> Iterator[Finding]:
    if show.dark and show.colours:
        yield Finding(
            "CTL-016",
            "dark-with-colour",
            "error",
            "{function} keeps {heads} dark and shows {colours} there in one entry.",
            {
                "function": function.name,
                "heads": _heads_text(show),
                "colours": row_of(each.colour for each in show.colours),
            },
            about=f"{show.path}.dark",
            fix=Fix("Keep dark, or the colours: an entry is the whole statement for its heads."),
        )
    for colour in show.colours:
        without = [head.id for head in heads if colour.colour not in head.colours]
        if without:
            fitted = sorted({each for head in heads for each in head.colours})
            yield Finding(
                "CTL-015",
                "colour-part-lacks",
                "error",
                "{function} shows {colour} on {heads}, whose part has no {colour}.",
                {"function": function.name, "colour": colour.colour, "heads": row_of(without)},
                about=colour.path,
                fix=Fix(f"Show one of {', '.join(fitted)}, or fit a part that has {colour.colour}."),
            )
        pattern = colour.pattern
        runs = pattern is not None and (pattern.word.startswith("run-") or pattern.word == "four-corner")
        if runs and pattern is not None and len(show.heads) < ROW_LEAST_N:
            yield Finding(
                "CTL-023",
                "row-too-short",
                "warning",
                "{function} lets {pattern} go over {heads_n} of them ({heads}); fewer than {least_n} heads are no row.",
                {
                    "function": function.name,
                    "pattern": pattern.word,
                    "heads_n": len(show.heads),
                    "heads": _heads_text(show),
                    "least_n": ROW_LEAST_N,
                },
                about=colour.path,
                fix=Fix("Name more heads across the vehicle, or take a pattern that doesn't run."),
            )
    yield from _reach(function, show, heads)
    yield from _beside(function, show, heads)


def _reach(function: Function, show: Show, heads: list[Head]) -> Iterator[Finding]:
    for reach in dict.fromkeys(head.reach for head in heads):
        alike = [head.id for head in heads if head.reach == reach]
        asks_light, asks_dark = bool(show.colours), show.dark
        if (asks_light and reach not in _TAKES_LIGHT) or (asks_dark and reach not in _TAKES_DARK):
            asked = "light" if asks_light else "dark"
            yield _not_wired(function, row_of(alike), asked, reach, f"{show.path}.dark" if asks_dark else show.path)


def _outputs(model: Model, function: Function) -> Iterator[Finding]:
    reaches = {output.name: output.reach for output in model.outputs}
    for name in function.runs:
        if reaches.get(name, "own") not in _TAKES_LIGHT:
            yield _not_wired(function, name, "run", reaches[name], f"{function.path}.run")
    for name in function.interrupts:
        if reaches.get(name, "own") not in _TAKES_DARK:
            yield _not_wired(function, name, "interrupt", reaches[name], f"{function.path}.interrupt")


def _not_wired(function: Function, what: str, asked: str, reach: str, path: str) -> Finding:
    can = "given power, never be interrupted" if reach == "parallel" and asked == "interrupt" else _CAN_ONLY[reach]
    verb = "be " if can.startswith("given") else ""
    return Finding(
        "CTL-017",
        "reach-not-enough",
        "error",
        "{function} asks {what} for {asked}; a reach of {reach} means that it can only {can}."
        if reach != "none"
        else "{function} asks {what} for {asked}; nothing of ours reaches it.",
        {"function": function.name, "what": what, "asked": asked, "reach": reach, "can": f"{verb}{can}"},
        about=path,
        fix=Fix("Write a reach that can do it, where the body offers one, or take this out."),
    )


def _beside(function: Function, show: Show, heads: list[Head]) -> Iterator[Finding]:
    if not show.beside:
        return
    single = [head.id for head in heads if not head.burns_together]
    why = "a function of rank road has its heads alone" if function.rank == ROAD else ""
    if single and not why:
        why = f"{row_of(single)} can't burn two colours at once"
    if why:
        yield Finding(
            "CTL-026",
            "beside-not-possible",
            "warning",
            "{function} lets others show beside it, but {why}.",
            {"function": function.name, "why": why},
            about=f"{show.path}.beside",
            fix=Fix("Take beside out, or name only heads that can."),
        )


# ----------------------------------------------------------------------------------------------------------- levels
def _levels(model: Model, function: Function) -> Iterator[Finding]:
    positions = next((item.values for item in model.inputs if item.name == function.by), ())
    if function.one_level or not positions:
        return
    below: dict[str, tuple[Level, Show]] = {}
    for level in sorted(function.levels, key=lambda level: positions.index(level.position)):
        for show in level.shows:
            lost: dict[tuple[str, tuple[Colour, ...]], list[str]] = {}
            for head in show.heads if not show.dark else ():
                if head in below:
                    under, shown = below[head]
                    kept = {each.colour for each in show.colours}
                    gone = tuple(each.colour for each in shown.colours if each.colour not in kept)
                    if gone:
                        lost.setdefault((under.position, gone), []).append(head)
            for (position, gone), heads in lost.items():
                yield _drops(function, level, show, position=position, gone=gone, heads=heads)
        for show in level.shows:
            below |= dict.fromkeys(show.heads, (level, show))


def _drops(
    function: Function, level: Level, show: Show, *, position: str, gone: tuple[str, ...], heads: list[str]
) -> Finding:
    return Finding(
        "CTL-012",
        "level-drops-colour",
        "warning",
        "{function} shows {colours} on {heads} at {below} and no longer at {level}.",
        {
            "function": function.name,
            "colours": row_of(gone),
            "heads": row_of(heads),
            "below": position,
            "level": level.position,
        },
        about=show.path,
        fix=Fix(
            f"An entry is the whole statement for its heads: write {', '.join(gone)} here too, or dark: yes where the "
            "head has to go out."
        ),
    )


def _heads_text(show: Show) -> str:
    return show.selector or row_of(show.heads)


def row_of(names: Iterable[str]) -> str:
    """Names in a row; of many the first few and how many more."""
    listed = list(names)
    if len(listed) > 6:
        return f"{', '.join(listed[:5])} and {len(listed) - 5} more"
    return ", ".join(listed)
