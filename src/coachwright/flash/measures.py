"""What can be asked about flashing: rates, pulses, dark moments, overlap, what one observer sees, drift.

Waves of one sync group are added as they are. Groups with clocks of their own stand in any phase to each other: for
those the worst is taken (the longest dark of any one group, rates added). Waves of one clock whose cycles come round
together only after many minutes are taken in the same way, cycle by cycle.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import wraps
from typing import Literal

from coachwright.build.model import Head, Model
from coachwright.control.situations import settings_of, tried
from coachwright.flash.waves import HeadWave, LitPart, fitted, waves
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.wave import Wave, overlap_share, repeat_together, total
from coachwright.place.panels import is_open, open_panels
from coachwright.place.poses import moved_pose, place_and_side
from coachwright.place.zones import Zone, zones_of

QUARTERS: Mapping[Zone, str] = {"A": "front", "B": "right", "C": "rear", "D": "left"}
WARNING_RANKS = ("warn", "traffic")
SECOND_MS = 1000


@dataclass(frozen=True, slots=True)
class _Lit:
    """A head that burns in the situation: where it looks, what it rides on, its waves."""

    head: Head
    wave: HeadWave
    toward: str
    panel: str
    on_open_panel: bool

    def flashing(self) -> tuple[LitPart, ...]:
        return tuple(part for part in self.wave.parts if not part.wave.is_constant)

    def warning(self) -> tuple[LitPart, ...]:
        return tuple(part for part in self.wave.parts if part.rank in WARNING_RANKS)


@dataclass(frozen=True, slots=True)
class _Looks:
    """A model by what windows of flashing rest on: the waves, and into which quarter each head looks."""

    model: Model
    digest: str


@by_digest
def _looks(model: Model) -> _Looks:
    if not model.digest:
        return _Looks(model, "")
    opened = dict.fromkeys(open_panels(model.body, dict(settings_of(model, each.name))) for each in model.situations)
    return _Looks(model, "; ".join([fitted(model).digest, *(_toward(model, panels) for panels in opened)]))


def _toward(model: Model, panels: frozenset[str]) -> str:
    """Quarter and panel of every head while these panels stand open, as one text."""
    said = []
    for head in model.heads:
        place, side = place_and_side(head, model.body)
        opened = is_open(model.body, place.panel, side, panels)
        said.append(f"{''.join(zones_of(head, model, panels))}/{place.panel}/{opened:d}")
    return " ".join(said)


def by_looks(answer: Callable[..., tuple[Measure, ...]]) -> Callable[..., tuple[Measure, ...]]:
    """Remember a window's answer as long as no head looks into another quarter or flashes otherwise."""

    @by_digest
    def remembered(looks: _Looks, /, situation: str, **arguments: float | str) -> tuple[Measure, ...]:
        return answer(looks.model, situation=situation, **arguments)

    @wraps(answer)
    def asked(model: Model, *, situation: str, **arguments: float | str) -> tuple[Measure, ...]:
        return remembered(_looks(model), situation, **arguments)

    return asked


@measures("flash.rate", kind="rate")
@by_looks
def rate(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How often does each flashing light flash, a train of pulses counted once?"""
    return _each_flashing(model, situation, "flash.rate", "rate", lambda part: SECOND_MS / part.wave.period_ms)


@measures("flash.pulses-in-a-second", kind="count")
@by_looks
def pulses_in_a_second(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How many single pulses does one head give in any one second, all colours together?"""
    return _worst_by_lamp(
        model,
        situation,
        "flash.pulses-in-a-second",
        "count",
        lambda lit: float(_most_flashes_n(lit)) if lit.flashing() else None,
        most=True,
    )


@measures("flash.on-share", kind="share")
@by_looks
def on_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """For which share of a cycle is each flashing light lit?"""
    return _each_flashing(model, situation, "flash.on-share", "share", lambda part: part.wave.on_share())


@measures("flash.dark-time", kind="time")
@by_looks
def dark_time(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How long is each flashing light dark between two flashes, a train of pulses counted once?"""
    return _each_flashing(
        model, situation, "flash.dark-time", "time", lambda part: part.wave.longest_dark_ms() / SECOND_MS
    )


@measures("flash.longest-dark", kind="time")
@by_looks
def longest_dark(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How long does no warning head burn that points into a quarter?"""
    result = []
    for toward, there in _by_quarter(lit for lit in _lit(model, situation) if lit.warning()):
        groups = _by_group(there)
        dark_ms = min(
            _brightest(waves_in_step).longest_dark_ms()
            for group in groups
            for waves_in_step in _in_step(part.wave for lit in group for part in lit.warning())
        )
        lamps = sorted({lit.head.path for lit in there})
        result.append(
            Measure(
                "flash.longest-dark",
                dark_ms / SECOND_MS,
                "time",
                about=_situation_path(model, situation),
                blame=tuple(dict.fromkeys(part.path for lit in there for part in lit.warning())),
                where=f"seen from the {toward}, {len(lamps)} lamps",
                situation=situation,
                facts=facts(toward=toward),
            )
        )
    return tuple(result)


@measures("flash.overlap", kind="share")
@by_looks
def overlap(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """For which share of the time are two colours of one head lit at once?"""

    def shared(lit: _Lit) -> float | None:
        parts = lit.wave.parts
        if len(parts) < 2:
            return None
        return max(
            _overlap_share(one.wave, other.wave) for place, one in enumerate(parts) for other in parts[place + 1 :]
        )

    return _worst_by_lamp(model, situation, "flash.overlap", "share", shared, most=True)


@measures("flash.seen-rate", kind="rate", counting="word")
@by_looks
def seen_rate(model: Model, *, situation: str, counting: Literal["once", "each"] = "once") -> tuple[Measure, ...]:
    """How many flashes a second reach one observer from all heads that point into his quarter?

    A train of pulses is one flash. counting : flashes of several lamps that begin together are one (``once``), or
    count for every lamp (``each``).
    """
    result = []
    for toward, there in _by_quarter(lit for lit in _lit(model, situation) if lit.flashing()):
        seen_hz = math.fsum(
            SECOND_MS / period_ms
            for group in _by_group(there)
            for _, (period_ms, _) in sorted(
                {(_source(lit, counting), _begins(part.wave)) for lit in group for part in lit.flashing()}
            )
        )
        result.append(
            Measure(
                "flash.seen-rate",
                seen_hz,
                "rate",
                about=_situation_path(model, situation),
                blame=tuple(dict.fromkeys(part.path for lit in there for part in lit.flashing())),
                where=f"seen from the {toward}",
                situation=situation,
                facts=facts(toward=toward),
            )
        )
    return tuple(result)


@measures("flash.sources", kind="count")
@by_looks
def sources(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How many flashing lamps point into each quarter?

    As soon as anything flashes every quarter has a row: none is an answer too.
    """
    result = []
    found = dict(_by_quarter(lit for lit in _lit(model, situation) if lit.flashing()))
    for toward in QUARTERS.values() if found else ():
        there = found.get(toward, [])
        lamps = sorted({(lit.head.lamp, lit.head.side) for lit in there})
        result.append(
            Measure(
                "flash.sources",
                float(len(lamps)),
                "count",
                about=_situation_path(model, situation),
                blame=tuple(dict.fromkeys(lit.head.path for lit in there)),
                where=f"seen from the {toward}",
                situation=situation,
                facts=facts(toward=toward),
            )
        )
    return tuple(result)


@measures("flash.drift", kind="time", after="time")
@by_looks
def drift(model: Model, *, situation: str, after: float) -> tuple[Measure, ...]:
    """How far may the clock of a lamp that flashes itself have run off the others after a while?"""
    flashing = [lit for lit in _lit(model, situation) if lit.flashing()]
    groups = {lit.head.sync_group for lit in flashing}
    if len(groups) < 2:
        return ()
    reference = "controller" if "controller" in groups else min(groups)
    its_share = max(lit.head.clock_tolerance_share for lit in flashing if lit.head.sync_group == reference)
    found: dict[str, Measure] = {}
    for lit in flashing:
        if lit.head.sync_group == reference:
            continue
        found.setdefault(
            lit.head.path,
            Measure(
                "flash.drift",
                (lit.head.clock_tolerance_share + its_share) * after,
                "time",
                about=lit.head.path,
                blame=(f"{lit.head.path}.sync", f"{lit.head.path}.part"),
                where=lit.head.id,
                situation=situation,
                facts=facts(lamp=lit.head.lamp, sync_group=lit.head.sync_group),
            ),
        )
    return tuple(found.values())


@measures("flash.beside-brake-distance", kind="length")
def beside_brake_distance(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How far from a head that shows the brake does the nearest head flash toward the rear?"""
    outputs = tried(model, situation, {"brake": "on", "gear": "D", "park-brake": "off"})
    owners = {function.name for function in model.functions if function.rank == "road"}
    panels = open_panels(model.body, dict(settings_of(model, situation)))
    brakes, flashers = [], []
    for head, state in zip(model.heads, outputs.heads, strict=True):
        rear = "C" in zones_of(head, model, panels)
        parts = state.parts
        if head.lamp == "brake-lamps" or any(part.owner in owners and part.show.manner == "steady" for part in parts):
            if rear and (head.reach != "own" or any(part.colour == "red" for part in parts)):
                brakes.append(head)
        elif rear and any(part.show.manner == "pattern" for part in parts):
            flashers.append(head)
    result: dict[str, Measure] = {}
    for brake in brakes:
        if not flashers:
            break
        here = moved_pose(brake, model, panels).position_m
        nearest = min(
            flashers, key=lambda other: (math.dist(here, moved_pose(other, model, panels).position_m), other.id)
        )
        measure = Measure(
            "flash.beside-brake-distance",
            math.dist(here, moved_pose(nearest, model, panels).position_m),
            "length",
            about=brake.path,
            blame=(f"{nearest.path}.at", f"{brake.path}.at"),
            where=f"{brake.id} beside {nearest.id}",
            situation=situation,
            facts=facts(lamp=brake.lamp, head=brake.id, other=nearest.id, reach=brake.reach),
        )
        known = result.get(brake.path)
        if known is None or float(measure.value or 0.0) < float(known.value or 0.0):
            result[brake.path] = measure
    return tuple(result.values())


# ------------------------------------------------------------------------------------------------------ what is lit
@by_digest
def _lit(model: Model, situation: str) -> tuple[_Lit, ...]:
    panels = open_panels(model.body, dict(settings_of(model, situation)))
    found = []
    for head, wave in zip(model.heads, waves(model, situation=situation), strict=True):
        if not wave.parts:
            continue
        zones = zones_of(head, model, panels)
        place, side = place_and_side(head, model.body)
        opened = is_open(model.body, place.panel, side, panels)
        found.append(_Lit(head, wave, QUARTERS[zones[0]] if zones else "", place.panel, opened))
    return tuple(found)


def _head_facts(lit: _Lit, part: LitPart, **more: str) -> dict[str, str]:
    return facts(
        lamp=lit.head.lamp,
        head=lit.head.id,
        colour=part.colour,
        rank=part.rank,
        owner=part.owner,
        toward=lit.toward,
        panel=lit.panel,
        open="yes" if lit.on_open_panel else "no",
        **more,
    )


def _each_flashing(
    model: Model, situation: str, name: str, kind: str, value_of: Callable[[LitPart], float]
) -> tuple[Measure, ...]:
    """One measure per flashing show, quarter and value; the function that shows is what it is about."""
    found: dict[tuple[str, str, float], Measure] = {}
    for lit in _lit(model, situation):
        for part in lit.flashing():
            value = value_of(part)
            found.setdefault(
                (part.path, lit.toward, value),
                Measure(
                    name,
                    value,
                    kind,
                    about=_function_path(part),
                    blame=(part.path,),
                    where=lit.head.id,
                    situation=situation,
                    facts=_head_facts(lit, part, manner="follow" if part.follows else "flashing"),
                ),
            )
    return tuple(found.values())


def _worst_by_lamp(
    model: Model,
    situation: str,
    name: str,
    kind: str,
    value_of: Callable[[_Lit], float | None],
    *,
    most: bool,
) -> tuple[Measure, ...]:
    """One measure per lamp and quarter, of its worst head."""
    found: dict[tuple[str, str], Measure] = {}
    for lit in _lit(model, situation):
        value = value_of(lit)
        if value is None:
            continue
        key = (lit.head.path, lit.toward)
        known = found.get(key)
        if known is not None and (float(known.value or 0.0) >= value) == most:
            continue
        first = lit.wave.parts[0]
        found[key] = Measure(
            name,
            value,
            kind,
            about=lit.head.path,
            blame=tuple(dict.fromkeys([*(part.path for part in lit.wave.parts), lit.head.path])),
            where=lit.head.id,
            situation=situation,
            facts=_head_facts(lit, first, burns_together="yes" if lit.head.burns_together else "no"),
        )
    return tuple(found.values())


def _by_quarter(lits: Iterable[_Lit]) -> list[tuple[str, list[_Lit]]]:
    found: dict[str, list[_Lit]] = {}
    for lit in lits:
        if lit.toward:
            found.setdefault(lit.toward, []).append(lit)
    return sorted(found.items())


def _by_group(lits: Iterable[_Lit]) -> list[list[_Lit]]:
    found: dict[str, list[_Lit]] = {}
    for lit in lits:
        found.setdefault(lit.head.sync_group, []).append(lit)
    return list(found.values())


def _in_step(found: Iterable[Wave]) -> list[list[Wave]]:
    """Waves of one clock that can be taken together: all of them, else those of one cycle."""
    whole = list(found)
    if repeat_together(*whole):
        return [whole]
    by_period: dict[int, list[Wave]] = {}
    for wave in whole:
        by_period.setdefault(wave.period_ms, []).append(wave)
    return [by_period[period_ms] for period_ms in sorted(by_period)]


def _most_flashes_n(lit: _Lit) -> int:
    return sum(total(step).most_flashes_n(SECOND_MS) for step in _in_step(part.wave for part in lit.wave.parts))


def _overlap_share(one: Wave, other: Wave) -> float:
    """Of cycles that hardly ever come round together every meeting is as likely as any other."""
    return overlap_share(one, other) if repeat_together(one, other) else one.on_share() * other.on_share()


def _brightest(parts: Iterable[Wave]) -> Wave:
    return Wave.constant(0.0).maximum(*parts)


def _source(lit: _Lit, counting: str) -> tuple[str, str]:
    return (lit.head.lamp, lit.head.side) if counting == "each" else ("", "")


def _begins(wave: Wave) -> tuple[int, int]:
    """Period of a flash and where in it the train of pulses begins: after the longest dark step. [ms]"""
    rises = [place for place, value in enumerate(wave.values) if value > 0.0 >= wave.values[place - 1]]
    if not rises:
        return wave.period_ms, wave.edges[wave.values.index(max(wave.values))]

    def dark_ms(place: int) -> int:
        return (wave.edges[place] - wave.edges[place - 1]) % wave.period_ms

    first = max(rises, key=lambda place: (dark_ms(place), -wave.edges[place]))
    return wave.period_ms, wave.edges[first]


def _function_path(part: LitPart) -> str:
    """The function is what a rule judges; its show is what is to blame."""
    return f"functions.{part.owner}"


def _situation_path(model: Model, situation: str) -> str:
    return model.situation(situation).path
