"""What does a short circuit do to a wire before the fuse opens?

All heat stays in the copper: right for a second or so, on the safe side for longer.
"""

from __future__ import annotations

import math

ICEA_COPPER = 0.0297
ICEA_ZERO_DEGC = 234.0
IEC_COPPER_A_SQRT_S_M2 = 226e6
IEC_ZERO_DEGC = 234.5
COPPER_MELTS_DEGC = 1083.0


def withstand_i2t_a2_s(circular_mils: float, *, from_degc: float, to_degc: float) -> float:
    """Current squared times time that heats a copper wire from one temperature to another. [A2 s]

    Notes
    -----
    (I / A)^2 t = 0.0297 log10((T2 + 234) / (T1 + 234)),  A in circular mils.  A fuse guards the wire where what it
    lets through is less than this at every current up to the short.

    References
    ----------
    .. [1] ICEA P-32-382, as public pages quote it.
    """
    return ICEA_COPPER * circular_mils**2 * math.log10((to_degc + ICEA_ZERO_DEGC) / (from_degc + ICEA_ZERO_DEGC))


def adiabatic_factor_a_sqrt_s_mm2(*, from_degc: float, to_degc: float) -> float:
    """The factor k in  I^2 t = k^2 S^2  for copper. [A s^0.5 / mm2]

    Notes
    -----
    k = 226 sqrt(ln((T2 + 234.5) / (T1 + 234.5))).  The common tables round it: 115 from 70 to 160 degC, 143 from 90
    to 250 degC.

    References
    ----------
    .. [1] IEC 60949, as public pages quote it.
    """
    return IEC_COPPER_A_SQRT_S_M2 * 1e-6 * math.sqrt(math.log((to_degc + IEC_ZERO_DEGC) / (from_degc + IEC_ZERO_DEGC)))


def melting_current_a(circular_mils: float, *, ambient_degc: float, time_s: float) -> float:
    """Current that melts a copper wire in this time. [A]

    Notes
    -----
    33 (I / A)^2 t = log10((1083 - Ta) / (234 + Ta) + 1)  (Onderdonk). Widely copied examples subtract Ta in the
    denominator, which gives too much.

    References
    ----------
    .. [1] E. R. Stauffacher, Short-time current carrying capacity of copper wire (1928). From memory.
    """
    return circular_mils * math.sqrt(_melting(ambient_degc) / (33.0 * time_s))


def melting_time_s(circular_mils: float, *, ambient_degc: float, current_a: float) -> float:
    """Time in which this current melts a copper wire. [s]  The same formula."""
    return _melting(ambient_degc) / 33.0 * (circular_mils / current_a) ** 2


def _melting(ambient_degc: float) -> float:
    return math.log10((COPPER_MELTS_DEGC - ambient_degc) / (ICEA_ZERO_DEGC + ambient_degc) + 1.0)
