"""Does what a body says to who builds on it hold together? Weights, seats, supply, keep-outs, surfaces, orders.

Ways for wire are looked at in parts.body_ways_checks, everything else in parts.body_checks.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, pairwise

from coachwright.parts.body import BodyPart
from coachwright.parts.body_names import (
    direction_possible,
    figure_not_possible,
    inside,
    known,
    known_panel,
    not_below_nothing,
    not_left,
)
from coachwright.parts.body_upfit import Charging, KeepOut, Order
from coachwright.parts.problem import PartProblem

_NEAR_KG = 0.5
_NEAR_M = 1e-3
_EYE_OVER_HIP_M = (0.4, 1.1)
"""Between these an eye sits over the hip point: from a small person slumped to a tall one upright."""


def upfit_problems(body: BodyPart) -> Iterator[PartProblem]:
    """Everything that can't be so, in the order of the file."""
    yield from _weights(body)
    yield from _seats(body)
    if body.charging is not None:
        yield from _charging(body.charging, ("charging",))
    for field in ("battery", "second_battery"):
        battery = getattr(body, field)
        if battery is not None:
            yield from known((field.replace("_", "-"), "at"), battery.at, body.places, "PRT-052", "place")
    yield from not_below_nothing(body, (), "base_load", "parked_draw", "roof_load", "gvwr")
    for name, box in body.keep_outs.items():
        yield from _keep_out(body, name, box)
    yield from _surfaces(body)
    yield from _orders(body)


def _weights(body: BodyPart) -> Iterator[PartProblem]:
    if body.gvwr and body.gvwr < body.mass:
        why = f"The vehicle weighs {_kg(body.mass)} by itself and may weigh {_kg(body.gvwr)} in all."
        yield _rating(("gvwr",), "gvwr-below-mass", why)
    if body.axles is None:
        return
    front, rear = body.axles.front, body.axles.rear
    for name, axle in (("front", front), ("rear", rear)):
        path = ("axles", name)
        for field in ("rating", "track"):
            if getattr(axle, field) <= 0:
                yield figure_not_possible((*path, field), f"An axle has a {field} above nothing.")
        if axle.curb <= 0:
            yield PartProblem(
                (*path, "curb"),
                "PRT-064",
                "balance-beyond-axles",
                "An axle that carries nothing means a centre of gravity beyond the other one.",
                "Weigh both axles.",
            )
        if axle.rating < axle.curb:
            why = f"The {name} axle carries {_kg(axle.curb)} by itself and may carry {_kg(axle.rating)}."
            yield _rating((*path, "rating"), "rating-below-curb", why)
    if abs(front.curb + rear.curb - body.mass) > _NEAR_KG:
        why = f"The axles carry {_kg(front.curb + rear.curb)} and the vehicle weighs {_kg(body.mass)}."
        write = "Weigh each axle and give their sum as mass."
        yield PartProblem(("axles",), "PRT-060", "curb-not-the-mass", why, write, on_key=True)
    if body.gvwr and front.rating + rear.rating < body.gvwr - _NEAR_KG:
        why = f"The axles may carry {_kg(front.rating + rear.rating)}, less than the {_kg(body.gvwr)} of the vehicle."
        yield _rating(("axles",), "ratings-below-gvwr", why)
    if abs(front.x) > _NEAR_M or abs(rear.x + body.wheelbase) > _NEAR_M:
        why = f"x counts from the front axle: it stands at 0 and the rear one at {-body.wheelbase * 1000:.0f} mm."
        yield PartProblem(("axles",), "PRT-063", "axles-not-a-wheelbase-apart", why, on_key=True)


def _kg(mass_kg: float) -> str:
    return f"{mass_kg:.0f} kg"


def _rating(path: tuple[str, ...], name: str, why: str) -> PartProblem:
    return PartProblem(path, "PRT-062", name, why, "Read the ratings on the label of the vehicle again.")


def _seats(body: BodyPart) -> Iterator[PartProblem]:
    for name, seat in body.seats.items():
        path = ("seats", name)
        if seat.belt:
            yield from known((*path, "belt"), seat.belt, body.signals, "PRT-038", "signal")
        low, high = _EYE_OVER_HIP_M
        if not low <= seat.eye_z - seat.z <= high:
            why = f"The eye is {seat.eye_z - seat.z:.2f} m over the hip; people are {low:g} to {high:g} m."
            yield PartProblem((*path, "eye-z"), "PRT-065", "eye-not-over-hip", why, "Both count from the ground.")
        yield from inside(body, path, (seat.x, seat.y, seat.z))


def _charging(charging: Charging, path: tuple[str, ...]) -> Iterator[PartProblem]:
    def no(field: str, why: str, write: str) -> PartProblem:
        return PartProblem((*path, field), "PRT-066", "charging-not-possible", why, write)

    if charging.voltage <= 0:
        yield no("voltage", "A regulator holds more than nothing.", "Write it like 14.2 V.")
    if charging.idle <= 0 or (charging.fast_idle and charging.fast_idle < charging.idle):
        yield no("idle", "An engine idles faster than nothing, and a raised idle is faster still.", "Like 700 rpm.")
    ordered = sorted(charging.curve, key=lambda point: (point.temperature, point.engine_speed))
    if any(point.current < 0 or point.engine_speed < 0 for point in ordered):
        yield no("curve", "Neither speed nor current falls below nothing.", "Take the points from the sheet.")
    for temperature, points in groupby(ordered, key=lambda point: point.temperature):
        along = list(points)
        for one, other in pairwise(along):
            if one.engine_speed == other.engine_speed or other.current < one.current:
                why = f"At {temperature:g} degC the current falls, or a speed stands there twice."
                yield no("curve", why, "An alternator gives no less when it turns faster.")
                break
    by_speed = sorted(charging.curve, key=lambda point: (point.engine_speed, point.temperature))
    for one, other in pairwise(by_speed):
        if one.engine_speed == other.engine_speed and other.current > one.current:
            yield no("curve", "At one speed the hotter alternator gives more.", "Hot, it gives less.")
            break


def _keep_out(body: BodyPart, name: str, box: KeepOut) -> Iterator[PartProblem]:
    path = ("keep-outs", name)
    for axis in ("x", "y", "z"):
        if getattr(box, f"from_{axis}") >= getattr(box, f"to_{axis}"):
            why = f"The box ends before it begins, in {axis}."
            write = "Give the smaller figure as from, the larger as to."
            yield PartProblem((*path, f"to-{axis}"), "PRT-074", "keep-out-not-a-box", why, write)
    if box.mirrored and box.from_y < 0:
        yield not_left((*path, "from-y"))
    yield from known_panel((*path, "panel"), box.panel, body.panels)


def _surfaces(body: BodyPart) -> Iterator[PartProblem]:
    for name, face in body.surfaces.items():
        path = ("surfaces", name)
        for field in ("width", "height"):
            if getattr(face, field) <= 0:
                yield figure_not_possible((*path, field), "A surface has a size above nothing.")
        if face.mirrored and face.y <= 0:
            yield not_left((*path, "y"))
        yield from known_panel((*path, "panel"), face.panel, body.panels)
        yield from inside(body, path, (face.x, face.y, face.z))
        yield from direction_possible(path, face.facing, face.rise)


def _orders(body: BodyPart) -> Iterator[PartProblem]:
    for name, order in body.orders.items():
        yield from _sets(body, name, order)
    asked = [
        *((("signals", name, "order"), each.order) for name, each in body.signals.items()),
        *((("lamps", name, "order"), each.order) for name, each in body.lamps.items()),
        *([(("hitch", "order"), body.hitch.order)] if body.hitch is not None else []),
    ]
    for path, wanted in asked:
        if wanted:
            yield from known(path, wanted, body.orders, "PRT-076", "order")
    if body.hitch is not None:
        yield from not_below_nothing(body.hitch, ("hitch",), "tongue", "trailer")
    for name, item in body.removable.items():
        if item.mass <= 0:
            yield figure_not_possible(("removable", name, "mass"), "What is taken out weighs more than nothing.")
        for number, seat in enumerate(item.seats, start=1):
            yield from known(("removable", name, "seats", str(number)), seat, body.seats, "PRT-077", "seat")


def _sets(body: BodyPart, name: str, order: Order) -> Iterator[PartProblem]:
    path = ("orders", name, "sets")
    if order.sets.charging is not None:
        yield from _charging(order.sets.charging, (*path, "charging"))
    for field in ("battery", "second_battery"):
        battery = getattr(order.sets, field)
        if battery is not None:
            yield from known((*path, field.replace("_", "-"), "at"), battery.at, body.places, "PRT-052", "place")
