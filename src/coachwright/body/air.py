"""How fast does fresh air clear a compartment, and what leaks from a locker into the cabin?"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TwoRooms:
    """Steady concentrations. [kg/m3]"""

    locker_kg_m3: float
    cabin_kg_m3: float


def purge_time_s(*, air_changes_hz: float, removed_share: float, mixing: float = 1.0) -> float:
    """Time in which fresh air carries off a share of what hangs in a space. [s]

    Parameters
    ----------
    air_changes_hz : volumes of fresh air, more than 0. [1/s]
    removed_share : 0 to less than 1.
    mixing : 1 for perfect mixing, up to 10 for a space with dead corners.

    Notes
    -----
    t = -ln(1 - removed) / air changes x mixing.  Nothing new may come in meanwhile.

    References
    ----------
    .. [1] CDC, MMWR 43 (RR-13) 1994, table S3-1.
    """
    return -math.log1p(-removed_share) / air_changes_hz * mixing


def two_rooms(*, source_kg_s: float, exhaust_m3_s: float, leak_m3_s: float, cabin_fresh_m3_s: float) -> TwoRooms | None:
    """Steady concentrations in a locker that gives off vapour and in the cabin it leaks into; None if it never settles.

    Parameters
    ----------
    source_kg_s : given off in the locker. exhaust_m3_s : drawn from it to the outside.
    leak_m3_s : from locker to cabin. cabin_fresh_m3_s : fresh air of the cabin.

    Notes
    -----
    C1 = G / (Qx + q),  C2 = q C1 / (Q2 + q).  A locker under suction leaks inward: q = 0, proven with smoke.

    References
    ----------
    .. [1] Textbooks of ventilation, steady mass balance.
    """
    if exhaust_m3_s + leak_m3_s <= 0.0 or (leak_m3_s > 0.0 and cabin_fresh_m3_s + leak_m3_s <= 0.0):
        return None
    locker = source_kg_s / (exhaust_m3_s + leak_m3_s)
    cabin = leak_m3_s * locker / (cabin_fresh_m3_s + leak_m3_s) if leak_m3_s > 0.0 else 0.0
    return TwoRooms(locker, cabin)
