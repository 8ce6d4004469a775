"""How bright does the driver see a lamp mirrored in the inside of the pane it shines through?

The lamp stands behind its pane as far as its image stands before it. An image ahead of the driver is seen beside the
road, one behind him in the inner mirror, beside the road behind.

Not counted: what stands between pane and driver (bulkhead, load, a second pane), and what of the lamp's light goes
astray on edges and trim. The eye is over the hip point of the driver's seat.

See Also
--------
coachwright.light.glass : what a pane throws back. coachwright.light.glare : what a light does to an eye.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from coachwright.kit.geom import Vector, angle_between, dot, unit
from coachwright.light.far_field import Emitter, at_normal, candela_toward
from coachwright.light.glare import general_veil_cd_m2
from coachwright.light.glass import pane_reflectance

_AHEAD: Vector = (1.0, 0.0, 0.0)
_BACK: Vector = (-1.0, 0.0, 0.0)

_LEAST_ANGLE_RAD = math.radians(0.1)
"""Nearer to the line of sight no equation of glare holds."""


@dataclass(frozen=True, slots=True)
class Reflection:
    """A head as the driver sees it in its pane, at full light.

    share : of the light the pane throws back. intensity_cd : toward the eye; by the inner mirror that one is counted.
    distance_m : from eye to image. off_sight_rad : from where the driver looks, ahead or in the mirror.
    in_mirror : it is behind the driver.
    """

    share: float
    intensity_cd: float
    distance_m: float
    off_sight_rad: float
    in_mirror: bool


def reflection_at(
    emitter: Emitter, position_m: Vector, eye_m: Vector, *, gap_m: float, mirror_share: float
) -> Reflection | None:
    """A head mirrored in the inside of its pane; None where it has none, or the eye isn't inside.

    Parameters
    ----------
    position_m : of its optical centre. eye_m : of who looks. [m]
    gap_m : from the optical centre to the pane, along the pane's upright. [m]
    mirror_share : what the inner mirror throws back.

    Notes
    -----
    Image and law of reflection, Fresnel at the true angle, both faces of the pane, tint and film.
    """
    pane = emitter.pane
    if pane is None:
        return None
    image_m = _added(position_m, pane.normal, 2.0 * gap_m)
    way_m: Vector = (eye_m[0] - image_m[0], eye_m[1] - image_m[1], eye_m[2] - image_m[2])
    inward_m = -dot(pane.normal, way_m)
    if inward_m <= gap_m:
        return None
    leaves = unit(_added(way_m, pane.normal, 2.0 * inward_m))
    share = pane_reflectance(
        angle_between(leaves, pane.normal),
        at_normal=at_normal(pane),
        film_share=pane.film_share,
        index=pane.index,
    )
    seen = (-way_m[0], -way_m[1], -way_m[2])
    in_mirror = seen[0] <= 0.0
    sent_cd = candela_toward(replace(emitter, pane=None), leaves)
    return Reflection(
        share,
        sent_cd * share * (mirror_share if in_mirror else 1.0),
        math.hypot(*way_m),
        angle_between(seen, _BACK if in_mirror else _AHEAD),
        in_mirror,
    )


def veil_of(reflection: Reflection, *, age_years: float) -> float:
    """Veil it lays over what the driver looks at. [cd/m2]"""
    off_rad = max(reflection.off_sight_rad, _LEAST_ANGLE_RAD)
    illuminance_lx = reflection.intensity_cd * math.cos(off_rad) / reflection.distance_m**2
    return general_veil_cd_m2(max(illuminance_lx, 0.0), angle_rad=off_rad, age_years=age_years)


def _added(point: Vector, way: Vector, times: float) -> Vector:
    return (point[0] + times * way[0], point[1] + times * way[1], point[2] + times * way[2])
