"""How far is a light noticed through the air, and how strong must it be to be noticed so far?

Allard's law. The threshold is the least illuminance at the eye that is noticed: it depends on daylight and background,
and being detectable isn't the same as drawing attention.
"""

from __future__ import annotations

import math

NAUTICAL_MILE_M = 1852.0
VISIBILITY_CONTRAST_SHARE = 0.05
"""Contrast at which a dark object is just seen: it defines the meteorological visibility (CIE, optical range)."""


def illuminance_lx(intensity_cd: float, *, range_m: float, visibility_m: float) -> float:
    """Light a source gives at the eye. [lx]

    Parameters
    ----------
    intensity_cd : effective intensity toward the eye, 0 or more. [cd]
    range_m : distance, more than 0. [m]
    visibility_m : meteorological visibility (5 % contrast), more than 0; infinite for clear air. [m]

    Notes
    -----
    E = I 0.05^(d/V) / d^2  (Allard's law).

    References
    ----------
    .. [1] CIE electronic vocabulary, "Allard's law", eilv.cie.co.at/term/34.
    .. [2] IES, "Allard's law", ies.org/definitions/allards-law.
    """
    _more_than_nothing(range_m=range_m, visibility_m=visibility_m)
    return intensity_cd / range_m**2 * math.exp(-extinction_per_m(visibility_m) * range_m)


def intensity_for_range_cd(range_m: float, *, threshold_lx: float, visibility_m: float) -> float:
    """Intensity that is just noticed at a distance. [cd]  Infinite where no number is large enough.

    Notes
    -----
    I = E d^2 0.05^(-d/V).  33 CFR 84.14 writes it  3.43e6 T D^2 K^-D  (D in nautical miles, K per nautical mile).
    """
    _more_than_nothing(range_m=range_m, threshold_lx=threshold_lx, visibility_m=visibility_m)
    try:
        return threshold_lx * range_m**2 * math.exp(extinction_per_m(visibility_m) * range_m)
    except OverflowError:
        return math.inf


def sight_range_m(intensity_cd: float, *, threshold_lx: float, visibility_m: float) -> float:
    """Distance at which a light is just noticed. [m]  0 for no light.

    Notes
    -----
    Allard's law solved for d.  With x = ln d it reads  ln(I/E) - 2 x - s e^x = 0,  which bends one way only, so
    Newton's steps from its far side come down on the answer without fail.
    """
    _more_than_nothing(threshold_lx=threshold_lx, visibility_m=visibility_m)
    if intensity_cd <= 0.0:
        return 0.0
    extinction = extinction_per_m(visibility_m)
    wanted = math.log(intensity_cd) - math.log(threshold_lx)
    log_range = wanted / 2.0  # of clear air: the answer lies nearer
    if wanted > 0.0 and extinction > 0.0:
        log_range = min(log_range, max(0.0, math.log(wanted / extinction)))
    for _ in range(200):
        absorbed = extinction * math.exp(log_range)
        step = (wanted - 2.0 * log_range - absorbed) / (2.0 + absorbed)
        log_range += step
        if abs(step) < 1e-15 * max(1.0, abs(log_range)):
            break
    return math.exp(log_range)


def extinction_per_m(visibility_m: float) -> float:
    """Share of light the air takes per metre, at once: s in e^(-s d). [1/m]  2.996 / V."""
    return -math.log(VISIBILITY_CONTRAST_SHARE) / visibility_m


def visibility_from_transmissivity_m(transmissivity: float) -> float:
    """Meteorological visibility of air that lets this share through per nautical mile. [m]

    Parameters
    ----------
    transmissivity : K of 33 CFR 84.14 and COLREGS Annex I, above 0 up to 1 (clear air: infinite). [1 per nautical mile]
    """
    if not 0.0 < transmissivity <= 1.0:
        raise ValueError(f"air lets through more than 0 and at most all of the light, here {transmissivity:g}")
    if transmissivity == 1.0:
        return math.inf
    return NAUTICAL_MILE_M * math.log(VISIBILITY_CONTRAST_SHARE) / math.log(transmissivity)


def _more_than_nothing(**values: float) -> None:
    for name, value in values.items():
        if not value > 0.0:
            raise ValueError(f"{name.rsplit('_', 1)[0]} is more than 0, here {value:g}")
