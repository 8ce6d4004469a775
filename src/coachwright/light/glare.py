"""How much does a light veil what an eye tries to see beside it?

Light scattered inside the eye lies over the picture like a veil of equal luminance. Older eyes scatter more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class GlareAngle:
    """A light seen beside the line of sight.

    angle_rad : between the line of sight and the light. [rad]
    illuminance_lx : at the eye, on the plane across the line of sight. [lx]
    """

    angle_rad: float
    illuminance_lx: float


def age_adjusted_veil_cd_m2(illuminance_lx: float, *, angle_rad: float, age_years: float) -> float:
    """Veiling luminance after the age-adjusted Stiles-Holladay equation. [cd/m2]

    Parameters
    ----------
    illuminance_lx : of the glaring light at the eye, 0 or more. [lx]
    angle_rad : from the line of sight to the light; the equation holds from 1 to 30 degrees. [rad]
    age_years : of who looks. [years]

    Notes
    -----
    L = E 10 (1 + (A / 70)^4) / angle^2,  the angle in degrees.

    References
    ----------
    .. [1] J. J. Vos, "On the cause of disability glare and its dependence on glare angle, age and ocular pigmentation",
       Clin. Exp. Optom. 86 (2003) 363-370, abstract.
    .. [2] CIE 146:2002.
    """
    return illuminance_lx * 10.0 * (1.0 + (age_years / 70.0) ** 4) / _degrees(angle_rad) ** 2


def small_angle_veil_cd_m2(illuminance_lx: float, *, angle_rad: float, age_years: float) -> float:
    """Veiling luminance after the CIE small-angle equation, which holds from 0.1 to 30 degrees. [cd/m2]

    Notes
    -----
    L = E (10 / angle^3 + 5 (1 + (A / 62.5)^4) / angle^2),  the angle in degrees.

    References
    ----------
    .. [1] CIE 146:2002; its general equation with no pigmentation term, as quoted in later papers. From memory.
    """
    angle = _degrees(angle_rad)
    return illuminance_lx * (10.0 / angle**3 + 5.0 * (1.0 + (age_years / 62.5) ** 4) / angle**2)


def general_veil_cd_m2(
    illuminance_lx: float, *, angle_rad: float, age_years: float, pigmentation: float = 0.5
) -> float:
    """Veiling luminance after the CIE general equation, which holds from 0.1 to 100 degrees. [cd/m2]

    pigmentation : of the eye: 0 black, 0.5 brown, 1.0 blue-green, 1.2 very light.

    Notes
    -----
    L = E (10 / angle^3 + (5 / angle^2 + 0.1 p / angle) (1 + (A / 62.5)^4) + 0.0025 p).

    References
    ----------
    .. [1] CIE 146:2002; its general equation. From memory.
    """
    angle = _degrees(angle_rad)
    old = 1.0 + (age_years / 62.5) ** 4
    return illuminance_lx * (
        10.0 / angle**3 + (5.0 / angle**2 + 0.1 * pigmentation / angle) * old + 0.0025 * pigmentation
    )


def glare_beside(intensity_cd: float, *, ahead_m: float, aside_m: float) -> GlareAngle:
    """A lamp some way ahead and to one side of somebody who looks straight on.

    Parameters
    ----------
    intensity_cd : toward the eye. [cd]
    ahead_m, aside_m : along the line of sight, more than 0, and across it. [m]

    Notes
    -----
    E = I cos(angle) / d^2  on the plane across the line of sight.
    """
    if not ahead_m > 0.0:
        raise ValueError(f"the light is ahead of the eye, more than 0 m, here {ahead_m:g} m")
    angle_rad = math.atan2(abs(aside_m), ahead_m)
    return GlareAngle(angle_rad, intensity_cd * math.cos(angle_rad) / (ahead_m**2 + aside_m**2))


def _degrees(angle_rad: float) -> float:
    if not angle_rad > 0.0:
        raise ValueError("a light right on the line of sight has no angle to it; more than 0 degrees is needed")
    return math.degrees(angle_rad)
