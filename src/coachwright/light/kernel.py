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
    """Fill `found_cd` (N,) for unit `vectors` (N, 3): bilinear in the table, times `share` (N,), dark past the body.

    axes : rows forward, left, up of the head. Angles ascend in steps that need not be equal.
    """
    v_n, h_n = len(vertical_rad), len(horizontal_rad)
    v_low, v_high = vertical_rad[0], vertical_rad[v_n - 1]
    h_low, h_high = horizontal_rad[0], horizontal_rad[h_n - 1]
    v_per_step = (v_n - 1) / (v_high - v_low)
    h_per_step = (h_n - 1) / (h_high - h_low)
    # Most directions lie outside the table, and are known to without any angle.
    lowest_up, highest_up = math.sin(v_low) - 1e-12, math.sin(v_high) + 1e-12
    only_ahead = h_low > -math.pi / 2 and h_high < math.pi / 2
    for place in range(vectors.shape[0]):
        found_cd[place] = 0.0
        x, y, z = vectors[place, 0], vectors[place, 1], vectors[place, 2]
        up = axes[2, 0] * x + axes[2, 1] * y + axes[2, 2] * z
        if up < lowest_up or up > highest_up or share[place] == 0.0:
            continue
        ahead = axes[0, 0] * x + axes[0, 1] * y + axes[0, 2] * z
        if only_ahead and ahead < 0.0:
            continue
        if outward[0] * x + outward[1] * y + outward[2] * z < clear_cosine:
            continue
        left = axes[1, 0] * x + axes[1, 1] * y + axes[1, 2] * z
        h = math.atan2(-left, ahead)
        v = math.atan2(up, math.sqrt(ahead * ahead + left * left))
        if h < h_low or h > h_high or v < v_low or v > v_high:
            continue
        column = min(max(int((h - h_low) * h_per_step), 0), h_n - 2)
        while column > 0 and h < horizontal_rad[column]:
            column -= 1
        while column < h_n - 2 and h >= horizontal_rad[column + 1]:
            column += 1
        row = min(max(int((v - v_low) * v_per_step), 0), v_n - 2)
        while row > 0 and v < vertical_rad[row]:
            row -= 1
        while row < v_n - 2 and v >= vertical_rad[row + 1]:
            row += 1
        right = (h - horizontal_rad[column]) / (horizontal_rad[column + 1] - horizontal_rad[column])
        over = (v - vertical_rad[row]) / (vertical_rad[row + 1] - vertical_rad[row])
        below = candela_cd[row, column] * (1.0 - right) + candela_cd[row, column + 1] * right
        above = candela_cd[row + 1, column] * (1.0 - right) + candela_cd[row + 1, column + 1] * right
        found_cd[place] = (below * (1.0 - over) + above * over) * share[place]


def _compiled(function: LookUp) -> LookUp:
    """Compiled when first called; kept on disk for the next start where a folder for that can be written."""
    try:
        kept: LookUp = numba.njit(cache=True, nogil=True, error_model="numpy")(function)
    except RuntimeError:  # numba found no folder to write to: compile anew in each process
        return numba.njit(nogil=True, error_model="numpy")(function)
    return kept


look_up = _compiled(_look_up)
"""`_look_up`, compiled."""
