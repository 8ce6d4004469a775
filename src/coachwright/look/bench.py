"""The bench list as text for the bay and as JSON: numbered steps, boxes to tick, what is not covered and why.

See Also
--------
coachwright.control.bench_sheet : the data. coachwright.control.bench_closed : how mistakes end.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from coachwright.build.model import Model
from coachwright.control.bench import Listed
from coachwright.control.bench_closed import Closed
from coachwright.control.bench_fields import Expected, fields_of
from coachwright.control.bench_sheet import Expect, Sheet, SheetStep, sheet
from coachwright.look.bench_measured import BOX, WIDTH, field_json, field_lines, wrapped
from coachwright.look.cautions import ESTIMATE

_KEEP_DARK = "Everything else is dark and silent."


def bench_lines(model: Model, closed: Closed, expected: Mapping[str, Expected] | None = None) -> Iterator[str]:
    """The list as a person in the bay reads it. expected : of what is measured, per name of a field."""
    listed, read = closed.listed, sheet(model, closed.listed)
    yield from _head(model, listed, read)
    for step in read.steps:
        yield ""
        yield from _step_lines(step)
    yield ""
    yield from field_lines(fields_of(model, expected))
    yield from _missing_lines(listed)
    yield from _mistake_lines(closed)
    yield ""
    yield "Assumed:"
    for words in read.pace.words:
        yield from wrapped(words, "  ", "  ")
    yield from wrapped(ESTIMATE)


def bench_json(model: Model, closed: Closed, expected: Mapping[str, Expected] | None = None) -> dict[str, Any]:
    """The same as data."""
    listed, read = closed.listed, sheet(model, closed.listed)
    return {
        "job": model.job.name,
        "serial": model.serial,
        "steps": [_step_json(step) for step in read.steps],
        "minutes": round(read.minutes, 1),
        "moves": read.moves_n,
        "steps-with-help": read.helped_n,
        "asked": len(listed.asked),
        "pool": listed.pool_n,
        "least-of-pool": listed.least_of_pool_n,
        "least": listed.least_n,
        "moves-estimated": listed.order_moves,
        "moves-at-least": round(listed.least_moves, 2),
        "seed": listed.seed,
        "not-shown": [
            {"about": each.asked.about, "what": each.asked.text, "why": each.why, "proved": each.proved}
            for each in listed.missing
        ],
        "mistakes": [
            {
                "kind": each.kind,
                "all": each.all_n,
                "caught": each.caught_n,
                "equivalent": each.equivalent_n,
                "undecided": each.undecided_n,
            }
            for each in closed.counts
        ],
        "undecided": [
            {"kind": fate.mutation.kind, "what": fate.mutation.text, "why": fate.why}
            for fate in closed.fates
            if fate.ends == "undecided"
        ],
        "fields": [field_json(each) for each in fields_of(model, expected)],
        "assumed": list(read.pace.words),
    }


def _head(model: Model, listed: Listed, read: Sheet) -> Iterator[str]:
    name = model.job.name or model.file
    title = f"Bench list: {name}" + (f", serial {model.serial}" if model.serial else "")
    yield title
    yield "=" * len(title)
    mistakes_n = sum(bool(step.mistakes) for step in listed.steps)
    settings_n = len(listed.steps) - mistakes_n
    known = (
        "proved the fewest of"
        if settings_n == listed.least_of_pool_n
        else (f"at least {listed.least_of_pool_n} are needed of")
    )
    more = f", and {mistakes_n} more that only mistakes need" if mistakes_n else ""
    yield from wrapped(
        f"{len(listed.steps)} steps, {read.moves_n} moves, about {read.minutes:.0f} minutes; "
        f"{_steps(read.helped_n)} with a second person."
    )
    yield from wrapped(
        f"{settings_n} settings show {len(listed.asked) - len(listed.missing)} of {len(listed.asked)} things to be "
        f"seen ({known} {listed.pool_n} settings tried; no list at all has fewer than {listed.least_n}){more}."
    )
    yield from wrapped(
        "Begin: controller just powered up, everything at rest. Tick what you see; write down what you don't. Lamps "
        "that take turns burn in the first or the second half of each cycle: those of one half burn together."
    )


def _steps(number: int) -> str:
    return f"{number} step" if number == 1 else f"{number} steps"


def _step_lines(step: SheetStep) -> Iterator[str]:
    title = f"Step {step.number}" + (f"  situation {step.situation}" if step.situation else "")
    aside = f"{step.moves_n} moves, {step.minutes:.1f} min"
    yield f"{title}{' ' * max(2, WIDTH - len(title) - len(aside))}{aside}"
    if step.from_power_up:
        yield from wrapped("Take the controller's supply away, put everything to rest, give it back.", "  - ")
    for line in step.do:
        yield from wrapped(line, "  - ")
    if step.second_person:
        yield from wrapped(f"Second person: {step.second_person}.", "  + ")
    if step.look_within:
        yield from wrapped(f"It doesn't stay so: {step.look_within}.", "  ! ")
    for expect in step.expect:
        yield from wrapped(_expect_text(expect), f"  {BOX} ", "      ")
    yield from wrapped(_KEEP_DARK if step.expect else "Nothing burns, sounds or runs.", f"  {BOX} ", "      ")
    if step.mistakes:
        yield from wrapped(f"Only here for: {'; '.join(step.mistakes)}.", "      ")


def _expect_text(expect: Expect) -> str:
    names = ", ".join(named(expect.names))
    place = f" ({expect.where})" if expect.where and expect.where not in expect.names else ""
    return f"{names}{place}: {expect.text}"


def named(names: Iterable[str]) -> list[str]:
    """visor.1, visor.2, visor.3 -> visor.1-3; the rest as they are."""
    found: list[tuple[str, int, int]] = []
    for name in names:
        lamp, _, number = name.rpartition(".")
        if number.isdecimal() and found and found[-1][0] == lamp and found[-1][2] == int(number) - 1:
            found[-1] = (lamp, found[-1][1], int(number))
        elif number.isdecimal():
            found.append((lamp, int(number), int(number)))
        else:
            found.append((name, 0, -1))
    return [
        lamp if last < 0 else f"{lamp}.{first}" if first == last else f"{lamp}.{first}-{last}"
        for lamp, first, last in found
    ]


def _missing_lines(listed: Listed) -> Iterator[str]:
    if not listed.missing:
        yield "Nothing that has to be seen is left out."
        return
    yield "What no step shows"
    for missing in listed.missing:
        yield from wrapped(f"{missing.asked.text}: {missing.why}.", "  · ", "    ")


def _mistake_lines(closed: Closed) -> Iterator[str]:
    rows = closed.counts
    if not rows:
        yield ""
        yield from wrapped(
            "Not tried on mistakes of programming and wiring: coachwright bench BUILD --mistakes does (a minute or so)."
        )
        return
    yield ""
    yield "Mistakes made on purpose, and what the list does with them"
    yield f"  {'':24}{'tried':>8}{'caught':>8}{'no mistake':>12}{'open':>6}"
    for row in rows:
        yield f"  {row.kind:24}{row.all_n:>8}{row.caught_n:>8}{row.equivalent_n:>12}{row.undecided_n:>6}"
    sums = [sum(getattr(row, name) for row in rows) for name in ("all_n", "caught_n", "equivalent_n", "undecided_n")]
    yield f"  {'together':24}{sums[0]:>8}{sums[1]:>8}{sums[2]:>12}{sums[3]:>6}"
    yield from wrapped(
        "No mistake: proved that nothing that is seen ever differs. Open: neither seen nor proved, with the reason.",
        "  ",
        "  ",
    )
    for fate in closed.fates:
        if fate.ends == "undecided":
            yield from wrapped(f"open: {fate.mutation.kind}, {fate.mutation.text}: {fate.why}", "  ? ", "    ")


def _step_json(step: SheetStep) -> dict[str, Any]:
    return {
        "number": step.number,
        "situation": step.situation,
        "from-power-up": step.from_power_up,
        "do": list(step.do),
        "look-within": step.look_within,
        "expect": [
            {"kind": each.kind, "names": list(each.names), "where": each.where, "text": each.text}
            for each in step.expect
        ],
        "second-person": step.second_person,
        "minutes": round(step.minutes, 2),
        "moves": step.moves_n,
        "shows": [{"about": about, "things": number} for about, number in step.shows],
        "only-for": list(step.mistakes),
    }
