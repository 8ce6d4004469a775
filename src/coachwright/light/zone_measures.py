"""What else does the zone method ask: sources seen at each point, colours of a zone, what one outage costs?

See Also
--------
coachwright.light.measures : totals, points, gaps.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import COLOURS, Decision, Fixed, Head, Model, channel_colour
from coachwright.flash.measures import SECOND_MS
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.table import Column, Table
from coachwright.light.blame import giving_most, looking_toward
from coachwright.light.coverage import effective_cd, first_least, gathered
from coachwright.light.far_field import Floats
from coachwright.light.lit import LEVEL, ZONE_COLUMNS, Glow, flashing, voltages, zone_power
from coachwright.light.words import toward
from coachwright.light.zones import LEVELS, ZONE_GRID, Level, heights, in_level, zone_places, zone_totals
from coachwright.place.zones import ZONE_MIDDLES_RAD, Zone

Counting = Literal["lamps", "heads"]

_SEEN_COLUMNS = (Column("bearing", "angle"), Column("sources", "count"))


@measures("light.sources-seen", kind="count", least="luminous-intensity", counting="word")
def sources_seen(model: Model, *, situation: str, least: float, counting: Counting = "lamps") -> tuple[Measure, ...]:
    """How many sources of warning are seen from the bearing that sees fewest?

    least : effective intensity from which on a source by itself counts as seen, level. [cd]
    counting : a lamp is one source (one wire, one bolt), or each of its heads is.
    """
    light = flashing(model, situation)
    if not light.glows:
        return ()
    names, each_cd = _each_by_itself(model, situation, counting)
    seen = each_cd >= least
    count = seen.sum(axis=0).astype(np.float64)
    place = first_least(count)
    bearing_rad = ZONE_GRID.bearings_rad[place]
    there = [name for name, sees in zip(names, seen[:, place], strict=True) if sees]
    return (
        Measure(
            "light.sources-seen",
            float(count[place]),
            "count",
            about=model.situation(situation).path,
            blame=looking_toward(light.glows, bearing_rad),
            where=f"{toward(bearing_rad, 0.0)}, {' and '.join(there[:3]) if there else 'nothing'} seen",
            situation=situation,
            facts=facts(test_voltage=voltages(light.glows)),
            table=Table(_SEEN_COLUMNS, tuple(zip(ZONE_GRID.bearings_rad, count.tolist(), strict=True))),
        ),
    )


@measures("light.point-flashes", kind="rate", least="luminous-intensity")
def point_flashes(model: Model, *, situation: str, least: float) -> tuple[Measure, ...]:
    """How many flashes does the measuring point get that gets fewest, those of each head counted?

    least : effective intensity from which on a head counts as seen, level. [cd] A train of pulses is one flash.
    """
    light = flashing(model, situation)
    if not light.glows:
        return ()
    names, each_cd = _each_by_itself(model, situation, "heads")
    rates_hz = np.array([_flashes_hz(light.glows, name) for name in names])
    rate_hz = rates_hz @ (each_cd >= least)
    place = first_least(rate_hz)
    bearing_rad = ZONE_GRID.bearings_rad[place]
    return (
        Measure(
            "light.point-flashes",
            float(rate_hz[place]),
            "rate",
            about=model.situation(situation).path,
            blame=looking_toward(light.glows, bearing_rad),
            where=toward(bearing_rad, 0.0),
            situation=situation,
            facts=facts(test_voltage=voltages(light.glows)),
        ),
    )


@measures("light.zone-colour", kind="share")
def zone_colour(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Which share of a zone's flashing warning light is of each colour?

    Of every colour the vehicle shows, in every zone that gets any light; what spills in from the side counts too.
    """
    light = flashing(model, situation)
    totals = zone_totals(zone_power(model, situation))
    answers = []
    for colour in COLOURS:
        of_colour = np.array([glow.part.colour == colour for glow in light.glows], dtype=np.bool_)
        for zone, given in totals.items():
            whole = float(given.sum())
            if whole <= 0.0 or not of_colour.any():
                continue
            shining = np.where(of_colour, given, 0.0)
            answers.append(
                Measure(
                    "light.zone-colour",
                    float(shining.sum()) / whole,
                    "share",
                    about=model.situation(situation).path,
                    blame=giving_most(_those(light.glows, of_colour), shining[of_colour].tolist()),
                    where=f"{colour} in zone {zone}",
                    situation=situation,
                    facts=facts(colour=colour, zone=zone, test_voltage=voltages(light.glows)),
                )
            )
    return tuple(answers)


@measures("light.one-dead-share", kind="share", of="word")
def one_dead_share(model: Model, *, situation: str, of: Literal["total", "point"] = "total") -> tuple[Measure, ...]:
    """Which share of a zone's light is left when the worst single lamp, or the worst single channel, is dead?

    of : what is left of the zone's total, or at the level point that loses most. Each level by itself, and both.
    Which heads hang on one channel is known where ``fixed`` or the lock says so.
    """
    light, power = flashing(model, situation), zone_power(model, situation)
    usual = heights()
    answers = []
    for level in LEVELS:
        counted = [
            place
            for place, glow in enumerate(light.glows)
            if in_level(glow.height_m, level, lower_from_m=usual.lower_from_m, upper_above_m=usual.upper_above_m)
        ]
        there, given = [light.glows[place] for place in counted], power[counted, 1]
        for zone in ZONE_MIDDLES_RAD:
            found = _worst_outage(outages_of(model, there), given[:, zone_places(zone)], of)
            if found is not None:
                answers.append(_one_dead(model, situation, there, found, zone=zone, level=level))
    return tuple(answers)


@dataclass(frozen=True, slots=True)
class _Outage:
    """What the worst one leaves. point : of the zone, None for its total. shares : what each leaves."""

    name: str
    dead: NDArray[np.bool_]
    share: float
    point: int | None
    shares: Mapping[str, float]


def _worst_outage(outages: Mapping[str, NDArray[np.bool_]], points: Floats, of: str) -> _Outage | None:
    """Points : optical power of each glow at the points of one zone, (glows, points)."""
    whole = points.sum(axis=0)
    if whole.sum() <= 0.0:
        return None
    shares: dict[str, float] = {}
    places: dict[str, int] = {}
    for name, dead in outages.items():
        left = points[~dead].sum(axis=0)
        each = np.where(whole > 0.0, left / np.where(whole > 0.0, whole, 1.0), np.inf)
        places[name] = first_least(each)
        shares[name] = float(left.sum() / whole.sum()) if of == "total" else float(each[places[name]])
    worst = min(shares, key=lambda name: round(shares[name], 9))
    return _Outage(worst, outages[worst], shares[worst], None if of == "total" else places[worst], shares)


def _one_dead(model: Model, situation: str, there: list[Glow], found: _Outage, *, zone: Zone, level: Level) -> Measure:
    middle_rad = ZONE_MIDDLES_RAD[zone]
    bearing_rad = middle_rad if found.point is None else ZONE_GRID.bearings_rad[zone_places(zone)[found.point]]
    at_point = "" if found.point is None else f", {toward(bearing_rad, 0.0)}"
    first = there[int(np.flatnonzero(found.dead)[0])]
    return Measure(
        "light.one-dead-share",
        found.share,
        "share",
        about=model.situation(situation).path,
        blame=(*looking_toward(_those(there, ~found.dead), bearing_rad), first.head.path),
        where=f"{found.name} dead, zone {zone}{at_point}" + ("" if level == "both" else f", {level} level"),
        situation=situation,
        facts=facts(zone=zone, level=level, lamp=first.head.lamp, test_voltage=voltages(there)),
        table=Table((Column("dead", "word"), Column("left", "share")), tuple(found.shares.items())),
    )


def outages_of(model: Model, there: list[Glow]) -> Mapping[str, NDArray[np.bool_]]:
    """What can go dark at once: each lamp, and each channel of which it is written what hangs on it.

    Of a head that has a channel for each colour, the other colours go on burning.
    """
    found = {
        lamp: np.array([glow.lamp == lamp for glow in there], dtype=np.bool_)
        for lamp in dict.fromkeys(glow.lamp for glow in there)
    }
    written: tuple[Fixed | Decision, ...] = (*model.fixed, *model.decisions)
    for choice in written:
        section, _, name = choice.subject.partition(".")
        colour = channel_colour(choice.what)
        if colour is not None and section == "lamps":
            hangs = np.array(
                [_is_named(glow.head, name) and colour in ("", glow.part.colour) for glow in there], dtype=np.bool_
            )
            if hangs.any():
                channel = f"channel {choice.value}"
                found[channel] = found.get(channel, np.zeros(len(there), dtype=np.bool_)) | hangs
    return found


@by_digest
def _each_by_itself(model: Model, situation: str, counting: Counting) -> tuple[tuple[str, ...], Floats]:
    """Every source, and its effective intensity alone, level, at the zones' bearings, (sources, bearings). [cd]"""
    light = flashing(model, situation)
    of_glow = [_source(glow, counting) for glow in light.glows]
    names = tuple(dict.fromkeys(of_glow))
    alone = np.array([[float(source == name) for source in of_glow] for name in names])
    level = light.candela_cd[:, LEVEL, ZONE_COLUMNS]
    return names, effective_cd(light.together, gathered(light.together, level, alone))


def _source(glow: Glow, counting: Counting) -> str:
    return glow.lamp if counting == "lamps" else glow.head.id


def _flashes_hz(there: tuple[Glow, ...], head: str) -> float:
    """Flashes a second of all colours of one head. [Hz]"""
    return math.fsum(SECOND_MS / glow.part.wave.period_ms for glow in there if glow.head.id == head)


def _those(there: tuple[Glow, ...] | list[Glow], which: NDArray[np.bool_]) -> list[Glow]:
    return [glow for glow, is_one in zip(there, which, strict=True) if is_one]


def _is_named(head: Head, name: str) -> bool:
    return name in (head.id, head.lamp, f"{head.lamp}.{head.side}")
