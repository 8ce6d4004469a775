"""How long does a battery last, and how large must it be?

See Also
--------
coachwright.power.shape : the mean of a flashing load, which is what a battery feels.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

RESERVE_CURRENT_A = 25.0
"""Reserve capacity is told in minutes at this current, 80 degF, down to 10.5 V. [1]"""
RATED_TIME_S = 20.0 * 3600.0
"""The usual capacity in ampere hours is that of twenty hours."""
REAL_AH_PER_RESERVE_MINUTE = 0.6
"""Rule of thumb: ampere hours, full to flat, per minute of reserve capacity. [2]"""


class NoPeukert(ValueError):
    """Two ratings that no exponent joins."""


@dataclass(frozen=True, slots=True)
class BatteryLife:
    """peukert : exponent from both ratings. time_s : the load can be carried."""

    peukert: float
    time_s: float


def peukert_exponent(*, c20_as: float, reserve_s: float) -> float:
    """The exponent that joins a battery's capacity at 20 h and its reserve capacity.

    Notes
    -----
    k = ln(t1 / t2) / ln(I2 / I1)  with 20 h at C20 / 20 h and the reserve capacity at 25 A.

    Raises
    ------
    NoPeukert : both ratings are told at the same current.
    """
    currents = math.log(RESERVE_CURRENT_A * RATED_TIME_S / c20_as)
    if abs(currents) < 1e-6:
        raise NoPeukert("both ratings are at 25 A, and one point makes no curve")
    return math.log(RATED_TIME_S / reserve_s) / currents


def battery_life(*, c20_as: float, reserve_s: float, load_a: float) -> BatteryLife:
    """How long a new, full battery carries a steady load.

    Parameters
    ----------
    c20_as : capacity at twenty hours. [A s]
    reserve_s : reserve capacity. [s]
    load_a : more than 0. [A]

    Notes
    -----
    t = 20 h (C20 / (20 h I))^k.  The form I^k t = C belongs to capacities told for one hour.

    Raises
    ------
    NoPeukert : both ratings are told at the same current.

    References
    ----------
    .. [1] Reserve capacity: minutes at 25 A and 80 degF down to 10.5 V (a vehicle maker's manual).
    .. [2] Peukert's law, textbooks. From memory.
    """
    exponent = peukert_exponent(c20_as=c20_as, reserve_s=reserve_s)
    try:
        time_s = RATED_TIME_S * (c20_as / (RATED_TIME_S * load_a)) ** exponent
    except OverflowError:
        time_s = math.inf
    return BatteryLife(exponent, time_s)


def reserve_need(*, load_a: float, time_s: float, share: float) -> tuple[float, float]:
    """Charge a load takes, and reserve capacity of which that is no more than a share. [A s, s]

    Parameters
    ----------
    share : of the reserve capacity that may be used, above 0 to 1.

    Notes
    -----
    Reserve capacity as charge is 25 A x reserve time:  reserve time = load x time / (share x 25 A).
    """
    used_as = load_a * time_s
    return used_as, used_as / (share * RESERVE_CURRENT_A)


def parked_time_s(*, reserve_s: float, drain_a: float, usable_share: float) -> float:
    """How long a vehicle can stand before its drain has taken the share of the battery that starts it. [s]

    Notes
    -----
    usable x 0.6 Ah a minute of reserve capacity / drain. With 40 % usable:  days = 0.24 RC / (24 x drain).

    References
    ----------
    .. [1] A vehicle maker's bulletin, as owners quote it: 0.6 Ah a minute; no start after about 40 %.
    """
    return usable_share * REAL_AH_PER_RESERVE_MINUTE * 3600.0 * (reserve_s / 60.0) / drain_a
