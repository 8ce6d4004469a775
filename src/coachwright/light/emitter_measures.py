"""Does the signal emitter look out freely, from how far does a signal answer, and how long before the stop line?

An emitter is equipment at a place of the body: it looks the way the place looks, through the pane before it, past the
body's own edge. What else of the vehicle stands before it is not asked here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Equipment, Model
from coachwright.kit.geom import angle_between, unit
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.blame import not_to_be_asked
from coachwright.light.far_field import Pane, pane_transmittance
from coachwright.light.words import degrees, feet
from coachwright.light.words import speed as speed_said
from coachwright.parts.schema import EmitterPart, Place
from coachwright.parts.standing import place_pose


@dataclass(frozen=True, slots=True)
class _Stands:
    """An emitter that is fitted. pane : it looks through."""

    item: Equipment
    part: EmitterPart
    place: Place
    pane: Pane | None


@measures("light.emitter-reach", kind="length", per_situation=False)
def emitter_reach(model: Model) -> tuple[Measure, ...]:
    """From how far does a signal answer the emitter, straight ahead and level, through the glass before it?

    Notes
    -----
    A detector needs a certain irradiance, which falls with the square of the distance: a pane that lets the share t
    through leaves the root of t of the reach. The pane's share is that for light one sees; for infrared it may be less.
    """
    return tuple(
        _answer("light.emitter-reach", _reach_m(each), "length", each, where=_glass_said(each)) for each in _all(model)
    )


@measures("light.emitter-field", kind="angle", per_situation=False)
def emitter_field(model: Model) -> tuple[Measure, ...]:
    """How far to the narrower side of straight ahead does the emitter still ask, past the body's own edge?"""
    answers = []
    for each in _all(model):
        aside_rad = math.remainder(each.place.facing, math.tau)
        own_rad, body_rad = each.part.half_width - abs(aside_rad), each.place.clear - abs(aside_rad)
        cut = "cut by the body" if body_rad < own_rad else "as wide as its own field"
        found_rad = max(0.0, min(own_rad, body_rad))
        answers.append(_answer("light.emitter-field", found_rad, "angle", each, where=f"{cut}, {degrees(found_rad)}"))
    return tuple(answers)


@measures("light.emitter-time", kind="time", per_situation=False, speed="speed")
def emitter_time(model: Model, *, speed: float) -> tuple[Measure, ...]:
    """How long before we are at the stop line does the signal begin to answer, at that speed?

    speed : of ours, more than 0. [m/s]
    """
    if not speed > 0.0:
        paths = [each.item.path for each in _all(model)]
        return not_to_be_asked("light.emitter-time", "time", paths[0], "the rule's speed is none") if paths else ()
    return tuple(
        _answer(
            "light.emitter-time",
            _reach_m(each) / speed,
            "time",
            each,
            where=f"from {feet(_reach_m(each))} on, at {speed_said(speed)}",
        )
        for each in _all(model)
    )


def _all(model: Model) -> Iterator[_Stands]:
    """Every emitter at a place of the body."""
    for item in model.equipment:
        part = dict(model.parts).get(item.part)
        place = model.body.places.get(item.at)
        if not isinstance(part, EmitterPart) or place is None:
            continue
        glass = model.body.glass.get(place.glass)
        pane = None
        if glass is not None:
            sideways = math.cos(glass.rise)
            normal = (sideways * math.cos(glass.facing), -sideways * math.sin(glass.facing), math.sin(glass.rise))
            pane = Pane(unit(normal), glass.transmittance, glass.index)
        yield _Stands(item, part, place, pane)


def _reach_m(each: _Stands) -> float:
    """Straight ahead and level, where signals hang. [m]"""
    ahead = (1.0, 0.0, 0.0)
    off_rad = angle_between(place_pose(each.place, "").forward, ahead)
    if off_rad > min(each.part.half_width, each.place.clear):
        return 0.0
    share = 1.0 if each.pane is None else pane_transmittance(each.pane, ahead)
    return float(each.part.reach) * math.sqrt(share)


def _glass_said(each: _Stands) -> str:
    if each.pane is None:
        return "no glass before it"
    return f"{pane_transmittance(each.pane, (1.0, 0.0, 0.0)):.0%} of its light through {each.place.glass}"


def _answer(name: str, value: float, kind: str, each: _Stands, *, where: str) -> Measure:
    path = each.item.path
    return Measure(
        name,
        value,
        kind,
        about=path,
        blame=(f"{path}.at", f"{path}.part"),
        where=where,
        facts=facts(equipment=each.item.name, part=each.part.name, glass=each.place.glass if each.pane else ""),
    )
