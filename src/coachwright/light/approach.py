"""Two vehicles near a crossing: where are the other driver's eyes at each moment, and what does a corner hide?

Both keep their speed, on level straight paths that cross at a right angle. The other would reach the crossing of the
paths at the same instant as the nose of the vehicle, or a little before it: those two are the ones that would collide.
Time is counted back from his arrival.

See Also
--------
coachwright.light.crossing : stopping distances, and the one moment of decision. coachwright.light.crossing_measures :
what he notices on the way.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.geom import Vector
from coachwright.light.crossing import stopping
from coachwright.light.far_field import Floats

Bools = NDArray[np.bool_]

STEP_S = 0.1
"""Between two moments that are looked at: 2 m at 45 mph. [s]"""


@dataclass(frozen=True, slots=True)
class Approach:
    """One way in which two vehicles come to a crossing.

    own_m_s, cross_m_s : speeds of the vehicle and of the other, more than 0. [m/s]
    side : from which the other comes, 1 the vehicle's left, -1 its right.
    late_s : by which the vehicle reaches the crossing after the other would. [s]
    from_cross_m, from_own_m : a building's corner, from the path of the other and from the own one; both None: nothing
        hides them. [m]
    grade_share : of the other road toward the crossing, downhill negative.
    """

    own_m_s: float
    cross_m_s: float
    side: int = 1
    late_s: float = 0.0
    from_cross_m: float | None = None
    from_own_m: float | None = None
    grade_share: float = 0.0


@dataclass(frozen=True, slots=True)
class Track:
    """Moments of an approach, the earliest first, `STEP_S` apart, until the other would be at the crossing.

    eyes_m : his eyes in the vehicle frame, shape (3, moments). own_m, cross_m : the vehicle's nose and his eyes from
    the crossing of the paths, shape (moments,). [m] last : which moment is his last to begin to stop.
    """

    eyes_m: Floats
    own_m: Floats
    cross_m: Floats
    last: int


def track(approach: Approach, *, nose_m: float, eye_m: float, short_m: float = 0.0, before_s: float = 8.0) -> Track:
    """Every moment of one approach.

    Parameters
    ----------
    nose_m : front end of the vehicle, forward of its origin. [m]
    eye_m : height of the other driver's eyes. [m]
    short_m : before the crossing of the paths his eyes come to rest. [m]
    before_s : how long before his last moment one begins to look. [s]
    """
    stop_m = stopping(approach.cross_m_s, grade_share=approach.grade_share).distance_m + short_m
    last_s = stop_m / approach.cross_m_s
    before_n, after_n = round(before_s / STEP_S), int(last_s / STEP_S)
    left_s = last_s + STEP_S * np.arange(before_n, -after_n - 1, -1, dtype=np.float64)
    own_m, cross_m = approach.own_m_s * (left_s + approach.late_s), approach.cross_m_s * left_s
    eyes_m = np.stack([nose_m + own_m, approach.side * cross_m, np.full(len(left_s), eye_m)])
    return Track(eyes_m, own_m, cross_m, before_n)


def unhidden(approach: Approach, way: Track, places_m: tuple[Vector, ...], *, nose_m: float) -> Bools:
    """Whether the corner leaves the straight line from each place of the vehicle to his eyes free, (places, moments).

    Notes
    -----
    The building fills everything beyond its corner, away from both roads, to any height. Of a place s behind the
    crossing and a off the own path toward his side, with his eyes d from the crossing and the corner at (p, q), the
    line meets  a + (d - a) (s - p) / s  beside the corner; it is free if that is at most q. With a = 0:  p/s + q/d >=
    1.
    """
    if approach.from_cross_m is None or approach.from_own_m is None:
        return np.ones((len(places_m), len(way.own_m)), dtype=np.bool_)
    behind_m = (nose_m - np.array([[place[0]] for place in places_m])) + way.own_m
    aside_m = approach.side * np.array([[place[1]] for place in places_m])
    past_corner = (behind_m <= approach.from_cross_m) | (way.cross_m <= approach.from_own_m)
    share = (behind_m - approach.from_cross_m) / np.maximum(behind_m, approach.from_cross_m)
    beside_m = aside_m + (way.cross_m - aside_m) * share
    return np.asarray(past_corner | (beside_m <= approach.from_own_m), dtype=np.bool_)


def margin_s(noticed: Bools, last: int) -> float:
    """How long before the last moment the light begins to be noticed without a break; negative after it. [s]

    What is never noticed counts as noticed at the crossing itself. More light is never later: it can only lengthen an
    unbroken stretch, or bring the first moment after the last one nearer.
    """
    if noticed[last]:
        before = np.flatnonzero(~noticed[: last + 1])
        first = int(before[-1]) + 1 if len(before) else 0
    else:
        after = np.flatnonzero(noticed[last:])
        first = last + int(after[0]) if len(after) else len(noticed)
    return STEP_S * (last - first)
