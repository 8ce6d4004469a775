"""The inner loop of the far field, compiled: one head's candela toward many directions.

The only file that imports numba. Whoever asks for little work leaves it alone (light.far_field decides): importing and
loading cost more than they save there.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numba
import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
LookUp: TypeAlias = Callable[[Floats, Floats, Floats, Floats, Floats, Floats, float, Floats, Floats], None]

_ATAN = (
    0.9999999999997504, -0.3333333332178693, 0.19999999110930236, -0.1428568711191048, 0.11110673002951273,
    -0.09086614752857405, 0.07664477711027838, -0.06540751021281197, 0.05469209235303589, -0.04251221036246956,
    0.028635862597480206, -0.015418334490625362, 0.0060366979775820775, -0.0014985730893155172, 0.00017499224146795707,
)  # fmt: skip
"""atan(t) = t (c0 + c1 t2 + c2 t2^2 ...) for 0 <= t <= 1, t2 = t^2, good to 2e-13: a polynomial through 400 Chebyshev
points, fitted by numpy. Unlike the library's arctangent it is worked out for several directions in one instruction."""

_EXACT = {"contract", "nsz"}
"""A product and a sum may be rounded once instead of twice, and the sign of nought doesn't matter."""


def _compiled(function: LookUp) -> LookUp:
    """Compiled when first called; kept on disk for the next start where a folder for that can be written."""
    try:
        kept: LookUp = numba.njit(cache=True, nogil=True, error_model="numpy", fastmath=_EXACT)(function)
    except RuntimeError:  # numba found no folder to write to: compile anew in each process
        return numba.njit(nogil=True, error_model="numpy", fastmath=_EXACT)(function)
    return kept


@numba.njit(inline="always")
def _angle(aside: float, ahead: float) -> float:
    """What atan2(aside, ahead) is, without a branch. [rad]"""
    across, along = abs(aside), abs(ahead)
    t = min(across, along) / (max(across, along) + 1e-300)
    t2 = t * t
    series = _ATAN[14]
    for place in (13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0):
        series = series * t2 + _ATAN[place]
    angle = series * t
    angle = math.pi / 2 - angle if across > along else angle
    angle = math.pi - angle if ahead < 0.0 else angle
    return -angle if aside < 0.0 else angle


def _look_up(  # noqa: PLR0917 - numba takes arguments by place
    vectors: Floats,
    axes: Floats,
    vertical_rad: Floats,
    horizontal_rad: Floats,
    candela_cd: Floats,
    outward: Floats,
    clear_cosine: float,
    share: Floats,
    found_cd: Floats,
) -> None:
    """Fill `found_cd` (N,) for unit `vectors` (3, N): bilinear in the table, times `share`, dark past the body.

    axes : rows forward, left, up of the head. Angles ascend in steps that need not be equal.
    share : of each direction, shape (N,); of length 0 when everything gets through.
    """
    x, y, z = vectors[0], vectors[1], vectors[2]
    directions_n = len(x)
    horizontal, vertical = np.empty(directions_n), np.empty(directions_n)
    for place in range(directions_n):
        ahead = axes[0, 0] * x[place] + axes[0, 1] * y[place] + axes[0, 2] * z[place]
        left = axes[1, 0] * x[place] + axes[1, 1] * y[place] + axes[1, 2] * z[place]
        up = axes[2, 0] * x[place] + axes[2, 1] * y[place] + axes[2, 2] * z[place]
        horizontal[place] = _angle(-left, ahead)
        vertical[place] = _angle(up, math.sqrt(ahead * ahead + left * left))

    v_n, h_n = len(vertical_rad), len(horizontal_rad)
    v_low, v_high = vertical_rad[0], vertical_rad[v_n - 1]
    h_low, h_high = horizontal_rad[0], horizontal_rad[h_n - 1]
    v_per_step = (v_n - 1) / (v_high - v_low)
    h_per_step = (h_n - 1) / (h_high - h_low)
    for place in range(directions_n):
        found_cd[place] = 0.0
        h, v = horizontal[place], vertical[place]
        if h < h_low or h > h_high or v < v_low or v > v_high:
            continue
        if outward[0] * x[place] + outward[1] * y[place] + outward[2] * z[place] < clear_cosine:
            continue
        column = min(int((h - h_low) * h_per_step), h_n - 2)
        while column > 0 and h < horizontal_rad[column]:
            column -= 1
        while column < h_n - 2 and h >= horizontal_rad[column + 1]:
            column += 1
        row = min(int((v - v_low) * v_per_step), v_n - 2)
        while row > 0 and v < vertical_rad[row]:
            row -= 1
        while row < v_n - 2 and v >= vertical_rad[row + 1]:
            row += 1
        right = (h - horizontal_rad[column]) / (horizontal_rad[column + 1] - horizontal_rad[column])
        over = (v - vertical_rad[row]) / (vertical_rad[row + 1] - vertical_rad[row])
        below = candela_cd[row, column] * (1.0 - right) + candela_cd[row, column + 1] * right
        above = candela_cd[row + 1, column] * (1.0 - right) + candela_cd[row + 1, column + 1] * right
        found_cd[place] = below * (1.0 - over) + above * over
    if len(share):
        for place in range(directions_n):
            found_cd[place] *= share[place]


look_up = _compiled(_look_up)
"""`_look_up`, compiled."""
