"""Which circuits does a build have: what hangs behind each fuse, by which wires, and what does it draw?

- Each channel of a controller is a circuit, with every lamp and device on it; its fuse stands beside the controller.
- Each other device has a circuit at the block of its feed.
- Each feed, and each cable to a block or a disconnect, has a circuit at its source, with all that hangs behind it. A
  feed of one device whose fuse would stand beside that device's own has none: one fuse is enough.

See Also
--------
coachwright.power.runs : the wires. coachwright.power.drawn : what they carry. coachwright.power.size : chooses.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from coachwright.build.model import Model, channel_colour
from coachwright.kit.by_digest import by_digest
from coachwright.parts.schema import BatteryPart
from coachwright.power.allocate import proposed
from coachwright.power.ampacity import ampacity
from coachwright.power.bundle import CARRIES
from coachwright.power.drawn import drawn, hours_a, waves_of
from coachwright.power.joined import of_colour
from coachwright.power.loads import EQUIPMENT, Load, lamp_feed, load_by_subject, loads_of, memory_subject
from coachwright.power.runs import Run, Runs, lay
from coachwright.power.shelf import our_shelf, wire_of_gauge
from coachwright.power.size import Circuit, Stretch, WireNeed
from coachwright.power.sizing_figures import sizing_figures

Level = Literal["load", "feed", "main"]

_USUAL_RESISTANCE_OHM = 0.004
"""Of a battery whose part is not known: the most a short can draw then is some thousand amperes."""
BESIDE = ("memory", "on ")
"""How a second, thin supply of the same thing begins to say what it does."""
_USUAL_AIR_DEGC = 40.0
_COOLEST_INSULATION_DEGC = 105.0
"""Of the jackets on the shelf; cooler ones would be counted among what heats a bundle sooner."""


@dataclass(frozen=True, slots=True)
class Hung:
    """A circuit, and what it is made of.

    level : ``main`` and ``feed`` for what leads to a block. at : where its fuse stands. runs : its wires out, by name,
    in the order of `circuit.wires`; several of a main are one behind the other. loads : all that hang on it.
    upstream : names of the runs its current comes through, from the source on. channel : of a controller, "" for none.
    pigtail : a feed that is guarded by this fuse, "" for none. beside : a second, thin supply of something that has
    another; it is sized each time, and no lock holds it.
    """

    circuit: Circuit
    level: Level
    at: str
    runs: tuple[str, ...]
    loads: tuple[str, ...]
    upstream: tuple[str, ...]
    channel: str = ""
    pigtail: str = ""
    beside: bool = False

    @property
    def is_cable(self) -> bool:
        return self.level != "load"


@dataclass(frozen=True, slots=True)
class Circuits:
    """All of a build. laid : the runs they were made from, with the channels that hold."""

    hung: tuple[Hung, ...]
    laid: Runs


def channels_by_subject(model: Model) -> dict[str, str]:
    """Channels as they hold: what `settle` would write, which is what the lock has once it has run.

    By subject; of a head with a channel for each colour by subject and colour (power.joined).
    """
    return {
        of_colour(subject, channel_colour(what) or ""): str(number)
        for (subject, what), number in proposed(model).channel_of.items()
    }


@by_digest
def circuits_of(model: Model) -> Circuits:
    """Every circuit of a build, cables first, then in the order of the file."""
    laid = lay(model, channels=channels_by_subject(model))
    rows = _rows(model, laid)
    warm = warm_by_segment(model, laid)
    return Circuits(tuple(_hung(model, laid, row, warm) for row in rows), laid)


# --------------------------------------------------------------------------------------------------- what hangs where
@dataclass(frozen=True, slots=True)
class _Row:
    """One circuit before anything is summed. runs : out. loads : behind it."""

    name: str
    level: Level
    runs: tuple[Run, ...]
    loads: tuple[str, ...]
    upstream: tuple[str, ...] = ()
    channel: str = ""
    pigtail: str = ""


def _rows(model: Model, laid: Runs) -> list[_Row]:
    mains = [run for run in laid.runs if run.kind == "main"]
    feeds = {run.feed: run for run in laid.runs if run.kind == "feed"}
    before = {name: _before(mains, run) for name, run in feeds.items()}
    loads = list(_load_rows(model, laid, feeds, before))
    alone = {name for name, run in feeds.items() if _is_pigtail(run, loads)}
    rows = [_main_row(model, mains, run, before) for run in mains if not _from_main(mains, run)]
    rows += [
        _Row(run.name, "feed", (run,), on_feed(model, name), before[name])
        for name, run in feeds.items()
        if name not in alone
    ]
    gone = {feeds[name].name for name in alone}
    for row in loads:
        pigtail = next((name for name in alone if feeds[name].name in row.upstream), "")
        rows.append(replace(row, upstream=tuple(each for each in row.upstream if each not in gone), pigtail=pigtail))
    return rows


def _main_row(model: Model, mains: Sequence[Run], run: Run, before: Mapping[str, tuple[str, ...]]) -> _Row:
    """A cable from a battery, with the one that goes on from where a disconnect breaks it: one fuse guards both."""
    further = tuple(each for each in mains if _from_main(mains, each) == run)
    return _Row(run.name, "main", (run, *further), _behind(model, run, before))


def _behind(model: Model, run: Run, before: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Loads of every feed whose current comes through a cable."""
    through = (name for name, found in before.items() if run.name in found)
    return tuple(dict.fromkeys(load for name in through for load in on_feed(model, name)))


def _load_rows(
    model: Model, laid: Runs, feeds: Mapping[str, Run], before: Mapping[str, tuple[str, ...]]
) -> Iterator[_Row]:
    def above(feed: str) -> tuple[str, ...]:
        return (*before[feed], feeds[feed].name) if feed in feeds else ()

    by_channel: dict[str, list[Run]] = {}
    supplies = [run for run in laid.runs if run.kind in ("supply", "tap")]
    for run in supplies:
        if run.channel:
            by_channel.setdefault(run.channel, []).append(run)
    for channel in sorted(by_channel, key=lambda each: (len(each), each)):
        runs = tuple(by_channel[channel])
        subjects = tuple(dict.fromkeys(load for run in runs for load in carried(model, run)))
        yield _Row(f"channel {channel}", "load", runs, subjects, above(lamp_feed(model)), channel)
    for run in supplies:
        if not run.channel:
            yield _Row(run.name, "load", (run,), carried(model, run), above(run.feed))


def carried(model: Model, run: Run) -> tuple[str, ...]:
    """Loads whose current a supply leads: the thing itself, or what a further wire of it keeps alive."""
    if not run.goes.startswith("on "):
        return run.carries
    name = run.subject.removeprefix(EQUIPMENT).partition(".")[0]
    item = next((each for each in model.equipment if each.name == name), None)
    feed = run.goes.removeprefix("on ")
    if item is None or feed not in item.also:
        return run.carries
    return (memory_subject(name, item.also.index(feed) + 1),)


def _from_main(mains: Sequence[Run], run: Run) -> Run | None:
    """The cable from the battery behind which this one begins, at a disconnect; None where it begins at a battery."""
    if not run.goes.startswith("to the feeds"):
        return None
    return next((each for each in mains if each.subject == run.subject and each.goes.startswith("from ")), None)


def _before(mains: Sequence[Run], feed: Run) -> tuple[str, ...]:
    """Cables through which a feed's current comes, from the source on.

    It begins at a block that a cable leads to, or at the disconnect, or at the battery itself.
    """
    to_block = next(
        (each for each in mains if each.goes.startswith("to the feeds") and each.to_place == feed.from_place), None
    )
    if to_block is not None:
        first = _from_main(mains, to_block)
        return (first.name, to_block.name) if first is not None else (to_block.name,)
    at_break = (each for each in mains if each.goes.startswith("from ") and each.to_place == feed.from_place)
    return tuple(each.name for each in at_break)[:1]


@by_digest
def on_feed(model: Model, name: str) -> tuple[str, ...]:
    """Loads that hang on a feed, and on feeds of it."""
    names, grown = {name}, True
    while grown:
        more = {each.name for each in model.feeds if each.source_is == "feed" and each.source in names}
        grown = not more <= names
        names |= more
    return tuple(load.subject for load in loads_of(model) if load.feed in names)


def _is_pigtail(run: Run, rows: Sequence[_Row]) -> bool:
    """Does a feed lead to one load circuit only, whose fuse would stand at the same block?"""
    behind = [row for row in rows if run.name in row.upstream]
    return run.from_joint == run.to_joint and len(behind) == 1 and not behind[0].channel


# --------------------------------------------------------------------------------------------------------- one circuit
def _hung(model: Model, laid: Runs, row: _Row, warm: Mapping[str, int]) -> Hung:
    known = load_by_subject(model)
    loads = [known[subject] for subject in row.loads if subject in known]
    subjects = tuple(load.subject for load in loads)
    needs = tuple(
        _need(model, laid, run, _through(model, row, run, subjects), warm, cable=row.level != "load")
        for run in row.runs
    )
    surge = max(loads, key=lambda load: load.inrush_a, default=None)
    first = row.runs[0]
    circuit = Circuit(
        row.name,
        needs,
        waves_of(model, subjects),
        hours_a=hours_a(model, subjects),
        surge_a=_surge_a(loads, surge),
        surge_s=surge.inrush_s if surge is not None else 0.0,
        air_degc=first.segments[0].ambient_degc if first.segments else _USUAL_AIR_DEGC,
        short_a=_short_a(model),
        fixed_a=_fixed_fuse_a(model, row),
    )
    runs = tuple(run.name for run in row.runs)
    beside = row.level == "load" and first.goes.startswith(BESIDE)
    return Hung(circuit, row.level, first.from_place, runs, subjects, row.upstream, row.channel, row.pigtail, beside)


def _through(model: Model, row: _Row, run: Run, subjects: tuple[str, ...]) -> tuple[str, ...]:
    """Loads whose current one wire of a circuit leads; the further cable of a main leads as much as the first."""
    return carried(model, run) if row.level == "load" else subjects


def _need(
    model: Model, laid: Runs, run: Run, subjects: tuple[str, ...], warm: Mapping[str, int], *, cable: bool = False
) -> WireNeed:
    figures = sizing_figures()
    known = load_by_subject(model)
    loads = [known[subject] for subject in subjects if subject in known]
    share = figures.drop_critical if any(load.critical for load in loads) else figures.drop_any
    sums = drawn(model, subjects)
    back = next((each for each in laid.runs if each.subject == run.subject and each.kind == "return"), None)
    shared = back is not None and not cable and not run.goes.startswith(BESIDE) and set(subjects) < set(back.carries)
    home = drawn(model, back.carries) if back is not None and shared else sums
    return WireNeed(
        run.subject,
        run.path,
        sums.rms_a,
        sums.peak_a,
        stretches(run, warm),
        stretches(back, warm) if back is not None and not cable else (),
        figures.lowest_v,
        figures.drop_cable if cable else share,
        alone=bool(run.segments) and not any(laid.led_n[each.name] > 1 for each in run.segments),
        electronics=bool(loads)
        and all(load.electronics and load.most_a < figures.electronics_below_a for load in loads),
        fixed=wire_of_gauge(_fixed_gauge(model, run), our_shelf()),
        back_effective_a=home.rms_a if shared else 0.0,
        back_peak_a=home.peak_a if shared else 0.0,
    )


def stretches(run: Run, warm: Mapping[str, int]) -> tuple[Stretch, ...]:
    """A run's way; what is cut beyond it (tails, loops, slack) lies where it begins."""
    found = tuple(
        Stretch(each.length_m, each.ambient_degc, max(1, warm.get(each.name, 1)), each.name) for each in run.segments
    )
    more_m = run.length_m - math.fsum(each.length_m for each in run.segments)
    air_degc = run.segments[0].ambient_degc if run.segments else _USUAL_AIR_DEGC
    return (*found, Stretch(more_m, air_degc, 1, run.from_place)) if more_m > 0 else found


def warm_by_segment(model: Model, laid: Runs) -> dict[str, int]:
    """Conductors that heat each other, by way: those that may carry half of what the least wire carries.

    A wire is never thinner than the least gauge, so one that stays below half of that stays below half of its own.
    """
    figures = sizing_figures()
    least_a = ampacity(figures.in_sheath, insulation_degc=_COOLEST_INSULATION_DEGC).current_a
    found: dict[str, int] = {}
    for run in laid.runs:
        if run.kind not in CARRIES:
            continue
        subjects = on_feed(model, run.feed) if run.kind == "feed" else carried(model, run)
        if run.kind in ("supply", "return", "tap") and drawn(model, subjects).rms_a < figures.bundle_from * least_a:
            continue
        for segment in run.segments:
            found[segment.name] = found.get(segment.name, 0) + run.conductors_n
    return found


def _surge_a(loads: Sequence[Load], surge: Load | None) -> float:
    """The hardest surge while everything else on the circuit runs: loads start one after the other."""
    if surge is None:
        return 0.0
    return surge.inrush_a + math.fsum(load.most_a for load in loads if load is not surge)


# ------------------------------------------------------------------------------------------------------ what is fixed
def _fixed_gauge(model: Model, run: Run) -> str:
    fixed = {each.subject: each.value for each in model.fixed if each.what == "gauge"}
    if run.kind not in ("supply", "feed", "main") or run.goes.startswith(BESIDE):
        return ""
    wider = ".".join(run.subject.split(".")[:2])
    asked = (run.subject, *(run.carries if run.kind == "supply" else ()), wider)
    return next((fixed[subject] for subject in asked if subject in fixed), "")


def _fixed_fuse_a(model: Model, row: _Row) -> float:
    """The fuse the lead wrote: of the subject itself, of the lamp it is of, or of what hangs on the channel."""
    fixed = {each.subject: each.value for each in model.fixed if each.what == "fuse"}
    asked = [run.subject for run in row.runs if not run.goes.startswith(BESIDE)]
    asked += [".".join(each.split(".")[:2]) for each in asked]
    if row.level == "load":
        asked += [subject for subject in row.loads if not subject.endswith(".memory")]
    found = [float(fixed[subject].split()[0]) for subject in asked if subject in fixed]
    return found[0] if found else 0.0


def _short_a(model: Model) -> float:
    """The most a short can draw: the batteries' full voltage over their own resistance. [A]"""
    parts = [part for _, part in model.parts if isinstance(part, BatteryPart)]
    return max((_most_a(part) for part in parts), default=12.8 / _USUAL_RESISTANCE_OHM)


@cache
def _most_a(part: BatteryPart) -> float:
    return float(part.open_voltage.full / part.resistance)


def with_budget(hung: Hung, lost_v: float) -> Hung:
    """The same with what its cables lose already taken off the drop its wires may have; a third of it always stays."""
    needs = tuple(
        replace(each, drop_share=max(each.drop_share / 3, each.drop_share - lost_v / each.supply_v))
        for each in hung.circuit.wires
    )
    return replace(hung, circuit=replace(hung.circuit, wires=needs))
