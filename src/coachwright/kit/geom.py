"""Where things are and which way they look, in the frame of the vehicle and in their own.

**Vehicle frame**: x forward, y left, z up, origin on the ground under the middle of the front axle. [m]
**Bearing** (in papers): clockwise seen from above, from the nose; 0 forward, 90 deg to the right.
**Elevation**: up from the horizontal.
**Local frame** of a `Pose`: x along its forward direction, y to its left, z along its up direction.

Single directions are tuples of three floats, many are arrays whose last axis is 3.

See Also
--------
coachwright.kit.goniometer : the angles in which light is measured, in the local frame.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Vector = tuple[float, float, float]
Array = NDArray[np.float64]
_NEARLY = 1e-9


# ---- single vectors


def dot(one: Vector, other: Vector) -> float:
    """Inner product."""
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def cross(one: Vector, other: Vector) -> Vector:
    """Outer product, right-handed."""
    return (
        one[1] * other[2] - one[2] * other[1],
        one[2] * other[0] - one[0] * other[2],
        one[0] * other[1] - one[1] * other[0],
    )


def unit(vector: Vector) -> Vector:
    """Same direction, length 1.

    Raises
    ------
    ValueError : it has no direction, or a component isn't finite.
    """
    length = math.hypot(*vector)
    if not (0 < length < math.inf):
        raise ValueError(f"{vector} points nowhere")
    return (vector[0] / length, vector[1] / length, vector[2] / length)


def mirrored(vector: Vector) -> Vector:
    """On the other side of the vehicle's centre line: y becomes -y."""
    return (vector[0], 0.0 - vector[1], vector[2])


def turned(vector: Vector, *, about: Vector, angle_rad: float) -> Vector:
    """Turned about an axis through the origin, counterclockwise for whom the axis points at (Rodrigues). [rad]"""
    axis = unit(about)
    cosine, sine = math.cos(angle_rad), math.sin(angle_rad)
    along = dot(axis, vector) * (1.0 - cosine)
    aside = cross(axis, vector)
    x, y, z = (vector[i] * cosine + aside[i] * sine + axis[i] * along for i in range(3))
    return (x, y, z)


def swung(point_m: Vector, *, hinge_m: Vector, about: Vector, angle_rad: float) -> Vector:
    """A point carried round a hinge line through `hinge_m`; turning sense as in `turned`. [m, rad]"""
    arm = (point_m[0] - hinge_m[0], point_m[1] - hinge_m[1], point_m[2] - hinge_m[2])
    x, y, z = turned(arm, about=about, angle_rad=angle_rad)
    return (hinge_m[0] + x, hinge_m[1] + y, hinge_m[2] + z)


def angle_between(one: Vector, other: Vector) -> float:
    """Angle between two directions of any length, exact also where they nearly agree. 0..pi [rad]"""
    return math.atan2(math.hypot(*cross(one, other)), dot(one, other))


# ---- bearings


def direction(*, bearing_rad: float, elevation_rad: float = 0.0) -> Vector:
    """Unit vector toward a bearing (clockwise from the nose) and elevation, in the vehicle frame. [rad]"""
    level = math.cos(elevation_rad)
    return (level * math.cos(bearing_rad), 0.0 - level * math.sin(bearing_rad), math.sin(elevation_rad))


def directions(bearings_rad: Array, elevations_rad: Array) -> Array:
    """`direction` of many at once; the two shapes are broadcast and a last axis of 3 is added. [rad]"""
    level = np.cos(elevations_rad)
    parts = np.broadcast_arrays(level * np.cos(bearings_rad), -level * np.sin(bearings_rad), np.sin(elevations_rad))
    return np.stack(parts, axis=-1)


def bearing_and_elevation(vector: Vector) -> tuple[float, float]:
    """Bearing 0 <= b < 2 pi (0 straight up or down) and elevation of a direction of any length. [rad]"""
    level = math.hypot(vector[0], vector[1])
    bearing_rad = math.atan2(0.0 - vector[1], vector[0]) % math.tau if level else 0.0
    return (0.0 if bearing_rad == math.tau else bearing_rad, math.atan2(vector[2], level))


def bearings_and_elevations(vectors: Array) -> tuple[Array, Array]:
    """`bearing_and_elevation` of many at once; last axis of 3. [rad]"""
    level = np.hypot(vectors[..., 0], vectors[..., 1])
    bearings_rad = np.arctan2(-vectors[..., 1], vectors[..., 0]) % math.tau
    bearings_rad = np.where((bearings_rad == math.tau) | (level == 0), 0.0, bearings_rad)
    return bearings_rad, np.arctan2(vectors[..., 2], level)


# ---- poses


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Pose:
    """Where something is and how it is held, in the vehicle frame.

    Parameters
    ----------
    position_m : of its photometric or geometric centre. [m]
    forward : unit vector along which it looks.
    up : unit vector through its top, square to `forward`.

    Raises
    ------
    ValueError : the two directions aren't unit vectors square to each other (`Pose.of` squares them).
    """

    position_m: Vector
    forward: Vector
    up: Vector = (0.0, 0.0, 1.0)

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, self.position_m)):
            raise ValueError(f"{self.position_m} is no place")
        lengths = (dot(self.forward, self.forward), dot(self.up, self.up))
        if not all(abs(length - 1.0) < _NEARLY for length in lengths) or abs(dot(self.forward, self.up)) > _NEARLY:
            raise ValueError(f"forward {self.forward} and up {self.up} are no unit vectors square to each other")

    @classmethod
    def of(cls, position_m: Vector, *, forward: Vector, up: Vector = (0.0, 0.0, 1.0)) -> Pose:
        """A pose whose `up` is the part of the given one that is square to `forward`; neither needs length 1.

        What looks straight up has its top toward the vehicle's rear, what looks straight down toward its nose: as if it
        had looked forward and been tilted.
        """
        ahead = unit(forward)
        top = unit(up)
        if math.hypot(*cross(ahead, top)) < _NEARLY:
            side = math.copysign(1.0, dot(ahead, top))
            top = (-side, 0.0, 0.0) if abs(ahead[0]) < 1.0 - _NEARLY else (0.0, 0.0, 1.0)
        return cls(position_m, ahead, unit(cross(cross(ahead, top), ahead)))

    @classmethod
    def facing(
        cls, position_m: Vector, *, bearing_rad: float, elevation_rad: float = 0.0, roll_rad: float = 0.0
    ) -> Pose:
        """Looking toward a bearing and elevation; `roll_rad` turns it clockwise seen from behind. [m, rad]"""
        ahead = direction(bearing_rad=bearing_rad, elevation_rad=elevation_rad)
        top = direction(bearing_rad=bearing_rad, elevation_rad=elevation_rad + math.pi / 2)
        return cls.of(position_m, forward=ahead, up=turned(top, about=ahead, angle_rad=roll_rad))

    @property
    def left(self) -> Vector:
        """Unit vector to its left."""
        return cross(self.up, self.forward)

    def to_local(self, vector: Vector) -> Vector:
        """A direction of the vehicle frame in this frame; a direction has no place, so the position plays no part."""
        return (dot(vector, self.forward), dot(vector, self.left), dot(vector, self.up))

    def to_world(self, vector: Vector) -> Vector:
        """A direction of this frame in the vehicle frame."""
        left = self.left
        x, y, z = (vector[0] * self.forward[i] + vector[1] * left[i] + vector[2] * self.up[i] for i in range(3))
        return (x, y, z)

    def point_to_local(self, point_m: Vector) -> Vector:
        """A point of the vehicle frame in this frame. [m]"""
        place = self.position_m
        return self.to_local((point_m[0] - place[0], point_m[1] - place[1], point_m[2] - place[2]))

    def point_to_world(self, point_m: Vector) -> Vector:
        """A point of this frame in the vehicle frame. [m]"""
        x, y, z = self.to_world(point_m)
        return (self.position_m[0] + x, self.position_m[1] + y, self.position_m[2] + z)

    def axes(self) -> Array:
        """Rows forward, left, up: ``vectors @ pose.axes().T`` brings many into this frame, ``@ pose.axes()`` back."""
        return np.array([self.forward, self.left, self.up])

    def mirrored(self) -> Pose:
        """The same thing on the other side of the vehicle. It is turned, not built in mirror image: left stays left."""
        return Pose(mirrored(self.position_m), mirrored(self.forward), mirrored(self.up))

    def swung(self, *, hinge_m: Vector, about: Vector, angle_rad: float) -> Pose:
        """Carried round a hinge line on the panel it rides on. [m, rad]"""
        return Pose.of(
            swung(self.position_m, hinge_m=hinge_m, about=about, angle_rad=angle_rad),
            forward=turned(self.forward, about=about, angle_rad=angle_rad),
            up=turned(self.up, about=about, angle_rad=angle_rad),
        )


# ---- areas


def polygon_area(corners: Sequence[Sequence[float]]) -> float:
    """Area of a flat polygon from its corners in order, in 2 or 3 dimensions. [m -> m2]

    Raises
    ------
    ValueError : fewer than three corners.
    """
    if len(corners) < 3:
        raise ValueError("a polygon has three corners or more")
    points = np.zeros((len(corners), 3))
    points[:, : len(corners[0])] = corners
    arms = points - points[0]
    return 0.5 * float(np.linalg.norm(np.cross(arms[1:-1], arms[2:]).sum(axis=0)))
