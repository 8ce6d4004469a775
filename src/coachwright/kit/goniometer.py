"""In which angles is the light of something measured? Types A, B and C of the photometric standards.

Angles belong to the local frame of a `geom.Pose`. Horizontal angles of types A and B run clockwise seen from above
[1]_: H is positive to the right of somebody who stands behind the source and looks along its light; V is positive up.

- *Type A*: planes share a vertical axis [1]_. H turns in plan, V is the true elevation. So counts the vehicle lighting
  law (49 CFR 571.108, S14.2.5.8: horizontal angle in plan, vertical angle true elevation).
- *Type B*: planes share a horizontal axis [1]_. V turns the plane about that axis, H is measured within the plane.
- *Type C*: planes share the axis along which the source shines when it hangs face down, gamma is measured from that
  axis. C is counterclockwise seen from above [1]_, that is from behind the source. Here it begins at its up direction,
  so that C = 90 deg is its left. A file may begin elsewhere: turn C by the offset its report states.

All angles are radians; a float in is a float out, arrays broadcast.

References
----------
.. [1] ANSI/IESNA LM-63-02, clause 3.0: horizontal angles, photometric horizontal, photometric plane.

See Also
--------
coachwright.kit.geom : the frames.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np

from coachwright.kit.geom import Array, Pose, Vector

Angle = TypeVar("Angle", float, Array)
"""A single angle as a float, or many in an array; the answer is of the same sort. [rad]"""


def type_a_of(vector: Vector, pose: Pose) -> tuple[float, float]:
    """Type A (H, V) of a direction of the vehicle frame, seen from something in `pose`. [rad]"""
    ahead, left, up = pose.to_local(vector)
    return (math.atan2(0.0 - left, ahead), math.atan2(up, math.hypot(ahead, left)))


def type_a_of_many(vectors: Array, pose: Pose) -> tuple[Array, Array]:
    """`type_a_of` for many directions of any length; last axis of 3. [rad]"""
    local = vectors @ pose.axes().T
    ahead, left, up = local[..., 0], local[..., 1], local[..., 2]
    return np.arctan2(-left, ahead), np.arctan2(up, np.hypot(ahead, left))


def type_a_to_b(horizontal: Angle, vertical: Angle) -> tuple[Angle, Angle]:
    """Type A (H, V) to type B (H within its plane, V of the plane). [rad]"""
    return _to_b(horizontal, *_from_a(horizontal, vertical))


def type_b_to_a(horizontal: Angle, vertical: Angle) -> tuple[Angle, Angle]:
    """Type B (H within its plane, V of the plane) to type A (H, V). [rad]"""
    return _to_a(horizontal, *_from_b(horizontal, vertical))


def type_a_to_c(horizontal: Angle, vertical: Angle) -> tuple[Angle, Angle]:
    """Type A (H, V) to type C: plane 0 <= C < 2 pi and gamma from the axis along which it shines, 0..pi. [rad]"""
    return _to_c(horizontal, *_from_a(horizontal, vertical))


def type_c_to_a(plane: Angle, gamma: Angle) -> tuple[Angle, Angle]:
    """Type C (plane C, gamma) to type A (H, V). [rad]"""
    return _to_a(plane, *_from_c(plane, gamma))


def type_b_to_c(horizontal: Angle, vertical: Angle) -> tuple[Angle, Angle]:
    """Type B (H within its plane, V of the plane) to type C (plane C, gamma). [rad]"""
    return _to_c(horizontal, *_from_b(horizontal, vertical))


def type_c_to_b(plane: Angle, gamma: Angle) -> tuple[Angle, Angle]:
    """Type C (plane C, gamma) to type B (H within its plane, V of the plane). [rad]"""
    return _to_b(plane, *_from_c(plane, gamma))


def off_axis(horizontal: Angle, vertical: Angle) -> Angle:
    """Angle between a type A direction and the axis H = V = 0. 0..pi [rad]"""
    ahead, right, up = _from_a(horizontal, vertical)
    return _like(horizontal, np.arctan2(np.hypot(right, up), ahead))


def solid_angle_a(*, left: float, right: float, low: float, high: float) -> float:
    """Solid angle of the type A rectangle left <= H <= right, low <= V <= high. [rad -> sr]"""
    return (right - left) * (math.sin(high) - math.sin(low))


def solid_angle_b(*, left: float, right: float, low: float, high: float) -> float:
    """Solid angle of the type B rectangle left <= H <= right, low <= V <= high. [rad -> sr]"""
    return (high - low) * (math.sin(right) - math.sin(left))


def solid_angle_c(*, first: float, last: float, inner: float, outer: float) -> float:
    """Solid angle of the type C patch first <= C <= last, inner <= gamma <= outer. [rad -> sr]"""
    return (last - first) * (math.cos(inner) - math.cos(outer))


def _from_a(horizontal: Angle, vertical: Angle) -> tuple[Array, Array, Array]:
    level = np.cos(vertical)
    return np.asarray(level * np.cos(horizontal)), np.asarray(level * np.sin(horizontal)), np.asarray(np.sin(vertical))


def _from_b(horizontal: Angle, vertical: Angle) -> tuple[Array, Array, Array]:
    level = np.cos(horizontal)
    return np.asarray(level * np.cos(vertical)), np.asarray(np.sin(horizontal)), np.asarray(level * np.sin(vertical))


def _from_c(plane: Angle, gamma: Angle) -> tuple[Array, Array, Array]:
    aside = np.sin(gamma)
    return np.asarray(np.cos(gamma)), np.asarray(-aside * np.sin(plane)), np.asarray(aside * np.cos(plane))


def _to_a(like: Angle, ahead: Array, right: Array, up: Array) -> tuple[Angle, Angle]:
    return _like(like, np.arctan2(right, ahead)), _like(like, np.arctan2(up, np.hypot(ahead, right)))


def _to_b(like: Angle, ahead: Array, right: Array, up: Array) -> tuple[Angle, Angle]:
    return _like(like, np.arctan2(right, np.hypot(ahead, up))), _like(like, np.arctan2(up, ahead))


def _to_c(like: Angle, ahead: Array, right: Array, up: Array) -> tuple[Angle, Angle]:
    plane = np.arctan2(-right, up) % math.tau
    plane = np.where(plane == math.tau, 0.0, plane)
    return _like(like, plane), _like(like, np.arctan2(np.hypot(right, up), ahead))


def _like(like: Angle, angle: Array) -> Angle:
    if isinstance(like, np.ndarray):
        return np.asarray(angle)
    return float(angle)
