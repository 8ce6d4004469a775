"""Does the signal emitter look out freely, from how far does a signal answer, and how long before the stop line?

An emitter is equipment at a place of the body: it looks the way the place looks, through the pane before it, past the
body's own edge. What else of the vehicle stands before it is not asked here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Equipment, Model
from coachwright.build.places import body_place
from coachwright.kit.geom import Vector, angle_between, direction, mirrored
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.blame import not_to_be_asked
from coachwright.light.far_field import Pane, pane_transmittance
from coachwright.light.words import degrees, feet
from coachwright.light.words import speed as speed_said
from coachwright.parts.schema import EmitterPart, Place
from coachwright.parts.standing import Side, place_pose
from coachwright.place.glass import as_fitted

AHEAD: Vector = (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class _Stands:
    """An emitter that is fitted. axis : unit vector along which it looks. pane : it looks through."""

    item: Equipment
    part: EmitterPart
    place: Place
    axis: Vector
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
        aside_rad = angle_between(each.axis, AHEAD)
        own_rad, body_rad = each.part.half_width - aside_rad, each.place.clear - aside_rad
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
    """Every emitter, at the place of the body where it ends up."""
    for item in model.equipment:
        part = dict(model.parts).get(item.part)
        name, side = _place_and_side(body_place(model, item.at))
        place = model.body.places.get(name)
        if not isinstance(part, EmitterPart) or place is None:
            continue
        pane = None
        if place.glass:
            glass, fitted = model.body.glass[place.glass], as_fitted(model, place.glass, side)
            normal = direction(bearing_rad=glass.facing, elevation_rad=glass.rise)
            normal = mirrored(normal) if glass.mirrored and side == "right" else normal
            pane = Pane(normal, fitted.transmittance, fitted.index, fitted.film_share)
        yield _Stands(item, part, place, place_pose(place, side).forward, pane)


def _place_and_side(at: str) -> tuple[str, Side]:
    """``windshield-foot.left`` is one of a pair; ``console.bay-3`` is a place by itself."""
    name, _, end = at.rpartition(".")
    if end == "left":
        return name, "left"
    return (name, "right") if end == "right" else (at, "")


def _reach_m(each: _Stands) -> float:
    """Straight ahead and level, where signals hang. [m]"""
    if angle_between(each.axis, AHEAD) > min(each.part.half_width, each.place.clear):
        return 0.0
    share = 1.0 if each.pane is None else pane_transmittance(each.pane, AHEAD)
    return float(each.part.reach) * math.sqrt(share)


def _glass_said(each: _Stands) -> str:
    if each.pane is None:
        return "no glass before it"
    return f"{pane_transmittance(each.pane, AHEAD):.0%} of its light through {each.place.glass}"


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
