"""By day a pane mirrors the sky over the lamp behind it: how far is that lamp still noticed?

The tint takes light from the lamp, and what the pane mirrors lies over it. An eye needs the more light the brighter the
field in which it looks for it.

Not counted: dust on the pane, which glows in the sun; the sun's own image in it, which for one step of whoever walks
past hides everything; light from inside the cabin.

See Also
--------
coachwright.light.glass : what a pane throws back. coachwright.light.notice : how far a light is noticed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from coachwright.kit.geom import Vector, angle_between, dot
from coachwright.light.far_field import Pane, at_normal
from coachwright.light.glass import pane_reflectance
from coachwright.light.notice import sight_range_m


@dataclass(frozen=True, slots=True)
class Daylight:
    """The day in which a lamp is looked for.

    background_cd_m2 : of what the eye has got used to. sky_cd_m2, ground_cd_m2 : of what a pane can mirror. [cd/m2]
    visibility_m : meteorological visibility. [m]
    times : how many times the least light that can be found is asked for: being there to be found isn't yet noticed.
    """

    background_cd_m2: float
    sky_cd_m2: float
    ground_cd_m2: float
    visibility_m: float
    times: float = 1.0


def threshold_lx(background_cd_m2: float) -> float:
    """Least illuminance at the eye of a light that can be found before a background. [lx]

    Parameters
    ----------
    background_cd_m2 : luminance round the light, more than 0; by day and in twilight. [cd/m2]

    Notes
    -----
    log10 E = -5.7 + 0.64 log10 B.

    References
    ----------
    .. [1] ICAO Doc 9328 (runway visual range), visual threshold over background luminance. From memory.
    """
    if not background_cd_m2 > 0.0:
        raise ValueError(f"a background is brighter than nothing, here {background_cd_m2:g} cd/m2")
    return math.pow(10.0, -5.7 + 0.64 * math.log10(background_cd_m2))


def mirrored_from(toward: Vector, normal: Vector) -> Vector:
    """Where the light comes from that a pane throws along `toward`. Unit vectors, both outward."""
    out = 2.0 * dot(normal, toward)
    x, y, z = (out * normal[axis] - toward[axis] for axis in range(3))
    return (x, y, z)


def veil_cd_m2(pane: Pane, toward: Vector, day: Daylight) -> float:
    """Luminance of what the pane mirrors at somebody in the direction `toward`, sky or ground. [cd/m2]

    0 for who stands behind the pane.
    """
    if dot(pane.normal, toward) <= 0.0:
        return 0.0
    mirrored_cd_m2 = day.sky_cd_m2 if mirrored_from(toward, pane.normal)[2] > 0.0 else day.ground_cd_m2
    share = pane_reflectance(
        angle_between(pane.normal, toward),
        at_normal=at_normal(pane),
        film_share=pane.film_share,
        index=pane.index,
    )
    return share * mirrored_cd_m2


def noticed_m(effective_cd: float, veil: float, day: Daylight) -> float:
    """How far a light is noticed by day with this veil over it. [m]

    Parameters
    ----------
    effective_cd : toward the eye, pane counted. [cd] veil : over the light; 0 for none. [cd/m2]

    Notes
    -----
    The veil comes on top of the background, so a pane never makes a light easier to find, though behind it the lamp may
    stand before a dark cabin: the eye of who drives past stays used to the day.
    """
    return sight_range_m(
        effective_cd,
        threshold_lx=day.times * threshold_lx(day.background_cd_m2 + veil),
        visibility_m=day.visibility_m,
    )
