"""To which quarter round the vehicle does a bearing belong, and how high does a head stand?

Four zones of 90 deg, cut by lines at 45 deg through the vehicle's middle: A front, then clockwise seen from above. [1]_
Both ends belong to a zone, so a corner bearing belongs to two. [1]_ What counts as upper or lower is a rule's business.

References
----------
.. [1] SAE J2498 (2016), zones A to D with 19 points each from -45 to +45 deg; as quoted by tnlab.org, page J2498.
"""

from __future__ import annotations

import math
from typing import Literal

from coachwright.build.model import Head, Model
from coachwright.kit.geom import bearing_and_elevation
from coachwright.place.poses import moved_pose

Zone = Literal["A", "B", "C", "D"]
ZONES: tuple[Zone, ...] = ("A", "B", "C", "D")
ZONE_MIDDLES_RAD: dict[Zone, float] = {zone: number * math.pi / 2 for number, zone in enumerate(ZONES)}
"""Bearing of each zone's middle, clockwise from the nose."""

_ENDS_FIRST: tuple[Zone, ...] = ("A", "C", "B", "D")
_HALF_ZONE = math.pi / 4
_NEARLY = 1e-9


def zones_at(bearing_rad: float) -> tuple[Zone, ...]:
    """The zone a bearing lies in; on a corner two of them, front or rear first: the same on both sides. [rad]"""
    return tuple(
        zone
        for zone in _ENDS_FIRST
        if abs((bearing_rad - ZONE_MIDDLES_RAD[zone] + math.pi) % math.tau - math.pi) <= _HALF_ZONE + _NEARLY
    )


def zones_of(head: Head, model: Model, open_panels: frozenset[str] = frozenset()) -> tuple[Zone, ...]:
    """The zone a head looks into; none when it looks straight up or down."""
    forward = moved_pose(head, model, open_panels).forward
    if math.hypot(forward[0], forward[1]) < _NEARLY:
        return ()
    return zones_at(bearing_and_elevation(forward)[0])


def optical_height_m(head: Head, model: Model, open_panels: frozenset[str] = frozenset()) -> float:
    """Height of the head's optical centre above the ground. [m]"""
    return moved_pose(head, model, open_panels).position_m[2]
