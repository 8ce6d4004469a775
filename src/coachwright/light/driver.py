"""Where are the driver's eyes, and what does a door mirror show them?

A mirror is a flat patch, turned so that he sees straight to the rear in its middle. A lamp is seen in it where the line
from the image of his eyes behind the mirror to the lamp goes through the patch.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwright.kit.geom import Vector, cross, unit
from coachwright.light.far_field import Floats
from coachwright.parts.schema import BodyPart
from coachwright.parts.standing import Side, place_pose

DRIVER = "driver"
UNDER_MIRROR = "mirror-under"
"""Place of a body by which its door mirrors are found: the underside of their housing."""

GLASS_ABOVE_M = 0.10
"""From the underside of a door mirror up to the middle of its glass. Common practice. [m]"""


@dataclass(frozen=True, slots=True)
class Mirror:
    """A flat mirror.

    middle_m : of its glass, vehicle frame. [m] normal : unit vector out of the glass. across, up : unit vectors along
    its edges. width_m, height_m : of the glass. [m]
    """

    middle_m: Vector
    normal: Vector
    across: Vector
    up: Vector
    width_m: float
    height_m: float


def driver_eyes(body: BodyPart) -> Vector | None:
    """Between the driver's eyes; None where the body names no driver's seat. [m]"""
    seat = body.seats.get(DRIVER)
    return None if seat is None else (seat.x, seat.y, seat.eye_z)


def door_mirrors(body: BodyPart, eyes_m: Vector, *, width_m: float, height_m: float) -> dict[str, Mirror]:
    """Both door mirrors, turned for these eyes; none where the body doesn't say where they are.

    Notes
    -----
    The normal halves the angle between the way to the eyes and the way straight back.
    """
    place = body.places.get(UNDER_MIRROR)
    if place is None:
        return {}
    sides: tuple[Side, ...] = ("left", "right") if place.mirrored else ("",)
    found: dict[str, Mirror] = {}
    for side in sides:
        x, y, z = place_pose(place, side).position_m
        middle_m = (x, y, z + GLASS_ABOVE_M)
        to_eyes = unit((eyes_m[0] - middle_m[0], eyes_m[1] - middle_m[1], eyes_m[2] - middle_m[2]))
        normal = unit((to_eyes[0] - 1.0, to_eyes[1], to_eyes[2]))
        across = unit(cross((0.0, 0.0, 1.0), normal))
        found[side or "left"] = Mirror(middle_m, normal, across, cross(normal, across), width_m, height_m)
    return found


def seen_in(mirror: Mirror, eyes_m: Vector, place_m: Vector) -> tuple[Vector, float] | None:
    """The spot of the mirror in which the eyes see a place, and how long the light's way is; None outside the glass.

    Returns
    -------
    Spot, vehicle frame, and the way from the place over the spot to the eyes. [m, m]
    """
    normal, middle = np.array(mirror.normal), np.array(mirror.middle_m)
    eyes, place = np.array(eyes_m), np.array(place_m)
    eyes_before_m, place_before_m = float((eyes - middle) @ normal), float((place - middle) @ normal)
    if eyes_before_m <= 0.0 or place_before_m <= 0.0:
        return None
    image = eyes - 2.0 * eyes_before_m * normal
    spot = image + (place - image) * (eyes_before_m / (eyes_before_m + place_before_m))
    if not _within(mirror, spot - middle):
        return None
    return (float(spot[0]), float(spot[1]), float(spot[2])), float(np.linalg.norm(place - image))


def _within(mirror: Mirror, off_m: Floats) -> bool:
    across_m, up_m = abs(float(off_m @ np.array(mirror.across))), abs(float(off_m @ np.array(mirror.up)))
    return across_m <= mirror.width_m / 2.0 and up_m <= mirror.height_m / 2.0
