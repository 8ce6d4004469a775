"""What may a rule know about a situation beside its name?"""

from __future__ import annotations

from coachwright.build.model import Model
from coachwright.kit.measure import facts


def situation_facts(model: Model, situation: str) -> dict[str, str]:
    """Facts every measure of a situation carries; one that the vehicle's signals can't tell is left out.

    situation, stands-for : as written. parked : gear P, or the park brake on and standing. travelling : it has speed.
    night : headlamps on. vehicle-size : large or small, as the zone method divides them.
    """
    from coachwright.control.situations import settings_of
    from coachwright.light.size import vehicle_size

    found = model.situation(situation)
    settings = dict(settings_of(model, situation))
    gear, brake = settings.get("gear"), settings.get("park-brake")
    speed, headlamps = settings.get("speed"), settings.get("headlamps")
    known: dict[str, str] = facts(situation=found.name, stands_for=found.stands_for, vehicle_size=vehicle_size(model))
    standing = isinstance(speed, float | int) and speed == 0
    if gear is not None:
        known["parked"] = _said(gear == "P" or (brake == "on" and standing))
    if isinstance(speed, float | int):
        known["travelling"] = _said(speed > 0)
    if headlamps is not None:
        known["night"] = _said(headlamps == "on")
    return known


def _said(truth: bool) -> str:
    return "yes" if truth else "no"
