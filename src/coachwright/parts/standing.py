"""How does a lamp stand at a place of a body, and in which order are its heads counted?"""

from __future__ import annotations

import math
from typing import Literal

from coachwright.kit.geom import Pose, direction
from coachwright.parts.schema import HeadSpec, LampPart, Place

Side = Literal["left", "right", ""]

_ABEAM = 1e-9
_SAME_M = 1e-3
"""Heads this close along one axis are level with each other."""


def place_pose(place: Place, side: Side = "") -> Pose:
    """The place itself: where it is and its outward direction."""
    return _on_side(
        Pose.facing((place.x, place.y, place.z), bearing_rad=place.facing, elevation_rad=place.rise), place, side
    )


def lamp_pose(place: Place, side: Side = "", *, aim_rad: float = 0.0, elevation_rad: float = 0.0) -> Pose:
    """A whole lamp at a place, turned and tilted from the place's outward direction.

    Parameters
    ----------
    place : as the body writes it.
    side : of a mirrored place; "" is the left one, for which it is written.
    aim_rad : about the place's own up direction, away from the vehicle's centre line: a lamp that looks forward or back
        turns toward its side, one that looks straight to the side turns toward the rear, one on the centre line turns
        as a left one does. [rad]
    elevation_rad : then up. [rad]

    Notes
    -----
    On the right it is the mirror image of the left; the lamp itself is the same lamp, turned round: what is at its own
    left stays at its own left.
    """
    pose = Pose.facing((place.x, place.y, place.z), bearing_rad=place.facing, elevation_rad=place.rise)
    # Away from the centre line is to its own left where a left lamp looks forward, to its right where it looks back.
    looks_back = math.cos(place.facing) < -_ABEAM
    on_left = place.y >= 0
    right_rad = aim_rad if looks_back == on_left else -aim_rad
    return _on_side(_turned(pose, right_rad=right_rad, up_rad=elevation_rad), place, side)


def head_in_lamp(lamp: Pose, spec: HeadSpec) -> Pose:
    """One head of a lamp that stands in `lamp`."""
    turned = _turned(lamp, right_rad=spec.turn, up_rad=spec.tilt)
    return Pose(lamp.point_to_world((0.0, spec.offset, spec.up)), turned.forward, turned.up)


def heads_in_order(
    part: LampPart, place: Place, side: Side = "", *, aim_rad: float = 0.0, elevation_rad: float = 0.0
) -> tuple[int, ...]:
    """Which head of the part (from 0) is the first, the second... of a lamp fitted there.

    Heads are counted left to right across the vehicle, then front to rear, then low to high. A part lists its heads
    from left to right as seen from behind it, so a bar that looks to the rear is counted from the last one listed.
    """
    lamp = lamp_pose(place, side, aim_rad=aim_rad, elevation_rad=elevation_rad)
    spots = [head_in_lamp(lamp, spec).position_m for spec in part.heads]

    def across_along_up(number: int) -> tuple[int, int, int, int]:
        x, y, z = (round(value / _SAME_M) for value in spots[number])
        return (-y, -x, z, number)

    return tuple(sorted(range(len(spots)), key=across_along_up))


def _on_side(pose: Pose, place: Place, side: Side) -> Pose:
    return pose.mirrored() if place.mirrored and side == "right" else pose


def _turned(pose: Pose, *, right_rad: float, up_rad: float) -> Pose:
    ahead = direction(bearing_rad=right_rad, elevation_rad=up_rad)
    top = direction(bearing_rad=right_rad, elevation_rad=up_rad + math.pi / 2)
    return Pose.of(pose.position_m, forward=pose.to_world(ahead), up=pose.to_world(top))
