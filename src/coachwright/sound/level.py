"""How loud is it elsewhere, and how loud are several sounds or bands together?

See Also
--------
coachwright.sound.dose : what a level does over a day.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

OCTAVE_BANDS_HZ = (63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0)
"""Nominal mid-band frequencies; the weighting is taken at the exact ones, 1000 x 10^(0.3 n)."""


def level_at_db(level_db: float, *, at_m: float, to_m: float) -> float:
    """Level of a small source at another distance. [dB]

    Parameters
    ----------
    at_m, to_m : where the level was measured, and where it is asked for; more than 0. [m]

    Notes
    -----
    L2 = L1 - 20 log10(r2 / r1):  spreading alone, 6 dB per doubling. Ground, buildings, wind and a closed cabin change
    it by many dB.

    References
    ----------
    .. [1] Textbooks of acoustics, the inverse square law.
    """
    return level_db - 20.0 * (math.log10(to_m) - math.log10(at_m))


def sum_db(levels_db: Sequence[float]) -> float:
    """Level of several sounds that don't know of each other. [dB]

    Notes
    -----
    L = 10 log10(sum 10^(Li / 10)).
    """
    loudest = max(levels_db)
    return loudest + 10.0 * math.log10(sum(10.0 ** ((level - loudest) / 10.0) for level in levels_db))


def a_weight_db(frequency_hz: float) -> float:
    """What A-weighting adds to a level at a frequency. [dB]

    Notes
    -----
    A = 20 log10(R) + 2.00,  R = 12194^2 f^4 / ((f^2 + 20.6^2) sqrt((f^2 + 107.7^2)(f^2 + 737.9^2)) (f^2 + 12194^2)),
    with the poles to the digits below.

    References
    ----------
    .. [1] IEC 61672-1, annex on frequency weightings, as public pages quote it.
    """
    square = frequency_hz**2
    low, first, second, high = 20.598997**2, 107.65265**2, 737.86223**2, 12194.217**2
    passed = high * square**2 / ((square + low) * math.sqrt((square + first) * (square + second)) * (square + high))
    return 20.0 * math.log10(passed) + 2.00


def exact_band_hz(nominal_hz: float) -> float:
    """Exact mid-band frequency of a nominal octave band: 63 Hz is 63.10 Hz. [Hz]"""
    return 1000.0 * math.pow(10.0, 0.3 * round(math.log10(nominal_hz / 1000.0) / 0.3))


def a_weighted_db(band_levels_db: Sequence[float]) -> float:
    """A-weighted level of the octave bands from 63 Hz upward. [dBA]"""
    bands = zip(band_levels_db, OCTAVE_BANDS_HZ, strict=False)
    return sum_db([level + a_weight_db(exact_band_hz(band)) for level, band in bands])
