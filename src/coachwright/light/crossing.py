"""From where must a warning be seen, so that somebody can still stop?

Stopping sight distance, the moment of decision of two vehicles nearing a crossing, and the distance a gap in traffic
takes. The formulas are those roads are designed by; their factors are as printed, rounding and all.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

System = Literal["metric", "us"]
"""Which printed set of formulas: kilometres an hour and metres, or miles an hour and feet."""

BRAKE_REACTION_TIME_S = 2.5
FOOT_M = 0.3048
MILE_PER_HOUR_M_S = 0.44704


@dataclass(frozen=True, slots=True)
class _Printed:
    """The printed factors of one system; `speed` and `distance` turn SI into the units it is written in."""

    speed_m_s: float
    distance_m: float
    reaction: float
    braking: float
    deceleration: float
    graded_braking: float
    gravity: float


_PRINTED: dict[System, _Printed] = {
    "metric": _Printed(1 / 3.6, 1.0, 0.278, 0.039, 3.4, 254.0, 9.81),
    "us": _Printed(MILE_PER_HOUR_M_S, FOOT_M, 1.47, 1.075, 11.2, 30.0, 32.2),
}


@dataclass(frozen=True, slots=True)
class Stop:
    """distance_m : run from seeing to standing. design_m : rounded up to the next 5 of its unit. time_s : it takes."""

    distance_m: float
    design_m: float
    time_s: float


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two vehicles at the moment in which the crossing one has to decide.

    own_m, cross_m : distance of each from the crossing of their paths. [m]
    range_m : between them. bearing_rad : of the crossing vehicle off the own nose. [m, rad]
    in_sight : whether they see each other past the corner; None when no corner was given.
    """

    own_m: float
    cross_m: float
    range_m: float
    bearing_rad: float
    in_sight: bool | None


def stopping(speed_m_s: float, *, grade_share: float = 0.0, system: System = "metric") -> Stop:
    """Distance and time from seeing a reason to stop until standing, wet road, most drivers.

    Parameters
    ----------
    speed_m_s : 0 or more. [m/s]
    grade_share : rise per length, downhill negative; 0.06 is 6 % uphill.
    system : which printed formula.

    Notes
    -----
    Metric  0.278 V t + 0.039 V^2 / a  (V in km/h, a = 3.4 m/s2);  US  1.47 V t + 1.075 V^2 / a  (V in mph, a = 11.2
    ft/s2);  t = 2.5 s.  On a grade the braking part is  V^2 / (254 (a / 9.81 + G))  or  V^2 / (30 (a / 32.2 + G)).
    The two printed forms differ by 1 % on the level (rounding); a downhill stop is therefore never taken as shorter
    than the level one.

    Raises
    ------
    ValueError : on a downgrade so steep that the vehicle wouldn't stop.

    References
    ----------
    .. [1] Texas DOT, Roadway Design Manual, 4.11.1, "Stopping sight distance": US formula, t, a, heights.
    .. [2] AASHTO, A Policy on Geometric Design of Highways and Streets, table 3-1 and the form for grades. From memory.
    """
    printed = _PRINTED[system]
    speed = speed_m_s / printed.speed_m_s
    slowing_share = printed.deceleration / printed.gravity + grade_share
    if not slowing_share > 0.0:
        raise ValueError(f"on a grade of {100 * grade_share:g} % braking as designed for never stops the vehicle")
    braking = printed.braking * speed**2 / printed.deceleration
    if grade_share != 0.0:
        graded = speed**2 / (printed.graded_braking * slowing_share)
        braking = graded if grade_share > 0.0 else max(braking, graded)
    distance = printed.reaction * speed * BRAKE_REACTION_TIME_S + braking
    deceleration_m_s2 = slowing_share * printed.gravity * printed.distance_m
    return Stop(
        distance * printed.distance_m,
        _up_to_5(distance) * printed.distance_m,
        BRAKE_REACTION_TIME_S + speed_m_s / deceleration_m_s2,
    )


def gap_m(speed_m_s: float, *, gap_s: float, system: System = "metric") -> tuple[float, float]:
    """Distance a vehicle on the main road covers in the gap somebody needs, and that rounded up to the next 5. [m]

    Notes
    -----
    0.278 V t_g  (V in km/h)  or  1.47 V t_g  (V in mph).  A car turning left from a stop takes 7.5 s, crossing or
    turning right 6.5 s; single-unit trucks 9.5 and 8.5 s, combinations 11.5 and 10.5 s.

    References
    ----------
    .. [1] Texas DOT, Roadway Design Manual, 13.5.2.
    """
    printed = _PRINTED[system]
    distance = printed.reaction * (speed_m_s / printed.speed_m_s) * gap_s
    return distance * printed.distance_m, _up_to_5(distance) * printed.distance_m


def meeting(
    *,
    own_m_s: float,
    cross_m_s: float,
    corner_from_cross_m: float | None = None,
    corner_from_own_m: float | None = None,
) -> Meeting:
    """Where two vehicles on crossing paths are when the other has to begin to stop, and whether they see each other.

    Parameters
    ----------
    own_m_s, cross_m_s : speeds of the warning vehicle and of the one that crosses its path at a right angle. [m/s]
    corner_from_cross_m, corner_from_own_m : the corner of a building, measured from the path of the crossing vehicle
        and from the own path; both or neither. [m]

    Notes
    -----
    While the other takes its stopping time t, the own vehicle covers v t; the other is its stopping distance away.
    With the crossing at the origin the straight line between them clears a corner at (p, q)  if  p / own + q / cross
    >= 1,  p measured from the path of the other and q from the own one.
    """
    other = stopping(cross_m_s)
    own_m, cross_m = own_m_s * other.time_s, other.distance_m
    in_sight = None
    if corner_from_cross_m is not None and corner_from_own_m is not None:
        in_sight = corner_from_cross_m * cross_m + corner_from_own_m * own_m >= own_m * cross_m
    return Meeting(own_m, cross_m, math.hypot(own_m, cross_m), math.atan2(cross_m, own_m), in_sight)


def _up_to_5(distance: float) -> float:
    """Up to the next multiple of 5; a crumb of rounding above one is still that one."""
    return 5.0 * math.ceil(distance / 5.0 - 1e-9)
