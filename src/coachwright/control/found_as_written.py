"""What is wrong with the control of a build as it is written, before anything is worked out?

Ranks, reaches, colours, levels, stops and limits of what the road needs, controls and memories nobody reads.

See Also
--------
coachwright.control.before_proof : puts these in one row with what has to be worked out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coachwright.build.condition import Condition, names_read
from coachwright.build.model import Function, Head, Input, Level, Memory, Model, Promise, Show
from coachwright.control.functions import names_through_words
from coachwright.control.ranks import ROAD
from coachwright.kit.finding import Finding, Fix, Quantity

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


def rank_findings(model: Model) -> Iterator[Finding]:
    """Ranks that the list of ranks lacks. While there are any, nothing else can be worked out."""
    for function in model.functions:
        if function.rank not in model.ranks:
            yield _rank_not_listed(model, function.name, function.rank, f"{function.path}.rank")
    named = [(stop.name, rank, f"{stop.path}.stops") for stop in model.stops for rank in stop.ranks]
    named += [(limit.name, rank, f"{limit.path}.of") for limit in model.limits for rank in limit.ranks]
    for name, rank, path in named:
        if rank not in model.ranks:
            yield _rank_not_listed(model, name, rank, path)
    if model.ranks[:1] != (ROAD,):
        yield Finding(
            "CTL-025",
            "rank-not-listed",
            "error",
            "The list of ranks doesn't begin with road; what the road needs comes before everything else.",
            about="ranks",
            fix=Fix("Write road as the first rank."),
        )


def _rank_not_listed(model: Model, name: str, rank: str, path: str) -> Finding:
    return Finding(
        "CTL-025",
        "rank-not-listed",
        "error",
        "{name} has to do with rank {rank}, which isn't in the list of ranks.",
        {"name": name, "rank": rank},
        about=path,
        fix=Fix(f"Take one of {', '.join(model.ranks)}, or add {rank} to ranks."),
    )


def written_findings(model: Model) -> Iterator[Finding]:
    """Everything else that the text alone tells, in the order of the file."""
    heads = {head.id: head for head in model.heads}
    for function in model.functions:
        for show in shows_of(function):
            yield from _show(function, show, [heads[name] for name in show.heads if name in heads])
        yield from _outputs(model, function)
        yield from _levels(model, function)
        yield from _wins_over_other_ranks(model, function)
    yield from _stops(model)
    yield from _limits(model)
    yield from _not_read(model)
    for promise in model.promises:
        yield from _within(model, promise)


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
                "colours": _row(each.colour for each in show.colours),
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
                {"function": function.name, "colour": colour.colour, "heads": _row(without)},
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
            yield _not_wired(function, _row(alike), asked, reach, f"{show.path}.dark" if asks_dark else show.path)


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
        why = f"{_row(single)} can't burn two colours at once"
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
            lost: dict[tuple[str, tuple[str, ...]], list[str]] = {}
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
            "colours": _row(gone),
            "heads": _row(heads),
            "below": position,
            "level": level.position,
        },
        about=show.path,
        fix=Fix(
            f"An entry is the whole statement for its heads: write {', '.join(gone)} here too, or dark: yes where the "
            "head has to go out."
        ),
    )


# ------------------------------------------------------------------------------------------- ranks, stops and limits
def _wins_over_other_ranks(model: Model, function: Function) -> Iterator[Finding]:
    ranks = {each.name: each.rank for each in model.functions}
    for other in function.wins_over:
        if other in ranks and ranks[other] != function.rank:
            mine, theirs = model.ranks.index(function.rank), model.ranks.index(ranks[other])
            yield Finding(
                "CTL-003",
                "wins-over-across-ranks",
                "error",
                "{function} (rank {rank}) says that it wins over {other} (rank {other_rank}); between ranks their list "
                "decides, and there {first} comes first.",
                {
                    "function": function.name,
                    "rank": function.rank,
                    "other": other,
                    "other_rank": ranks[other],
                    "first": function.rank if mine < theirs else ranks[other],
                },
                about=f"{function.path}.wins-over",
                fix=Fix(f"Take {other} out of wins-over, or give both one rank."),
            )


def _stops(model: Model) -> Iterator[Finding]:
    of_road = {function.name for function in model.functions if function.rank == ROAD}
    words = {word.name: word.condition for word in model.words}
    controls = {item.name for item in model.inputs if item.is_control}
    for stop in model.stops:
        named = [name for name in (*stop.ranks, *stop.functions) if name == ROAD or name in of_road]
        if named:
            yield _road("CTL-018", "road-not-stopped", f"{stop.path}.stops", f"{stop.name} stops {_row(named)}")
        if stop.resume != "ask":
            continue
        for function in model.functions:
            ends = function.name in stop.functions or function.rank in stop.ranks
            if ends and function.rank != ROAD and not _control_asks(model, function, words, controls):
                yield Finding(
                    "CTL-027",
                    "nothing-asks-again",
                    "error",
                    "After {stop} {function} waits to be asked again, but it reads no control that could ask.",
                    {"stop": stop.name, "function": function.name},
                    about=f"{stop.path}.resume",
                    fix=Fix("Write resume: self, or let the function read a control."),
                )


def _control_asks(model: Model, function: Function, words: dict[str, Condition], controls: set[str]) -> bool:
    """Does it read a control: itself, through words, or through a memory that an event of a control moves?"""
    read = set(names_through_words(function.when, words)) if function.when is not None else set()
    read.add(function.by)
    for memory in model.memories:
        if memory.name in read:
            for move in memory.moves:
                for each in (move.on, move.condition):
                    read |= names_through_words(each, words) if each is not None else frozenset()
    return not controls.isdisjoint(read)


def _limits(model: Model) -> Iterator[Finding]:
    for limit in model.limits:
        if ROAD in limit.ranks:
            yield _road("CTL-019", "road-not-limited", f"{limit.path}.of", f"{limit.name} scales rank {ROAD}")


def _road(code: str, title: str, path: str, what: str) -> Finding:
    return Finding(
        code,
        title,
        "error",
        "{what}; what the road needs (rank road) is never stopped and never made dimmer.",
        {"what": what},
        about=path,
        fix=Fix("Take it out of the list; if the lamp isn't one the road needs, give its function another rank."),
    )


# ---------------------------------------------------------------------------------------------------- who reads what
def _not_read(model: Model) -> Iterator[Finding]:
    words = {word.name: word.condition for word in model.words}
    roots = list(_reading(model))
    read = {name for condition in roots for name in names_through_words(condition, words)}
    read |= {function.by for function in model.functions}
    read |= {sound.tone_memory for function in model.functions for sound in function.sounds}
    by_memory = {memory.name: _read_by_moves(memory, words) for memory in model.memories}
    for names in by_memory.values():
        read |= names - by_memory.keys()
    for item in model.inputs:
        # A rotary disconnect does its work in the cable, whoever reads it.
        if item.is_control and item.kind != "rotary-disconnect" and item.name not in read:
            yield _control_not_read(item)
    promised = {name for each in _promised(model) for name in names_through_words(each, words)}
    for memory in model.memories:
        others = {name for other, names in by_memory.items() if other != memory.name for name in names}
        if memory.name not in read | promised | others:
            yield Finding(
                "CTL-010",
                "memory-nobody-reads",
                "warning",
                "Nothing reads {memory}: no function, stop, limit, message or other memory.",
                {"memory": memory.name},
                about=memory.path,
                fix=Fix("Read it where it should decide something, or take it out."),
            )


def _control_not_read(item: Input) -> Finding:
    return Finding(
        "CTL-008",
        "control-nobody-reads",
        "warning",
        "Nothing reads {control}: whoever uses it will see no difference.",
        {"control": item.name},
        about=item.path,
        fix=Fix("Let a function read it (when or by), or take it off the panel."),
    )


def _reading(model: Model) -> Iterator[Condition]:
    for function in model.functions:
        yield from (each.condition for each in function.at_most)
        if function.when is not None:
            yield function.when
    for each in (*model.stops, *model.limits, *model.messages):
        if each.when is not None:
            yield each.when
    yield from (item.tell_tale_condition for item in model.inputs if item.tell_tale_condition is not None)


def _promised(model: Model) -> Iterator[Condition]:
    for promise in model.promises:
        for condition in (promise.when, promise.then, promise.never, promise.after, promise.until):
            if condition is not None:
                yield condition


def _read_by_moves(memory: Memory, words: dict[str, Condition]) -> set[str]:
    conditions = [each for move in memory.moves for each in (move.on, move.condition) if each is not None]
    return {name for condition in conditions for name in names_through_words(condition, words)}


def _within(model: Model, promise: Promise) -> Iterator[Finding]:
    if promise.within_ms is None or promise.when is None:
        return
    # What it names itself is what it answers to; what its words read is the state in which it has to.
    read = names_read(promise.when)
    slow = max((item for item in model.inputs if item.name in read), key=lambda item: item.recognition_ms, default=None)
    if slow is not None and slow.recognition_ms > promise.within_ms:
        yield Finding(
            "CTL-024",
            "within-too-short",
            "error",
            "{promise} promises an answer within {within}; {signal} itself is known only after {recognition}.",
            {
                "promise": promise.name,
                "within": Quantity(promise.within_ms / 1000, "time"),
                "signal": slow.name,
                "recognition": Quantity(slow.recognition_ms / 1000, "time"),
            },
            about=f"{promise.path}.within",
            limit=Quantity(slow.recognition_ms / 1000, "time"),
            value=Quantity(promise.within_ms / 1000, "time"),
            margin=Quantity((promise.within_ms - slow.recognition_ms) / 1000, "time"),
            fix=Fix("Allow at least the recognition time of the signal, or read it where it is known sooner."),
        )


def _heads_text(show: Show) -> str:
    return show.selector or _row(show.heads)


def _row(names: Iterable[str]) -> str:
    """Names in a row; of many the first few and how many more."""
    listed = list(names)
    if len(listed) > 6:
        return f"{', '.join(listed[:5])} and {len(listed) - 5} more"
    return ", ".join(listed)
