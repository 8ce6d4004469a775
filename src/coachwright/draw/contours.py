"""Where does a map rise over a level? Closed lines round every region that does, and a spot for its number.

Marching squares on a grid of samples, straight between neighbours; where two corners across from each other rise, their
mean decides. The map's own edge closes a region, so that it can be filled.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.draw.svg import Point

Floats: TypeAlias = NDArray[np.float64]
_Edge: TypeAlias = tuple[bool, int, int]

# Corners that rise: 8 upper left, 4 upper right, 2 lower right, 1 lower left. Steps between the sides of a cell with
# the risen ground on the right hand.
_STEPS: dict[int, tuple[str, ...]] = {
    8: ("TL",), 4: ("RT",), 2: ("BR",), 1: ("LB",), 7: ("LT",), 11: ("TR",), 13: ("RB",), 14: ("BL",),
    12: ("RL",), 6: ("BT",), 3: ("LR",), 9: ("TB",),
}  # fmt: skip
_SADDLES: dict[int, tuple[tuple[str, ...], tuple[str, ...]]] = {
    10: (("TL", "BR"), ("TR", "BL")),
    5: (("RT", "LB"), ("LT", "RB")),
}
"""Apart, joined."""


def loops_over(values: Floats, level: float) -> tuple[tuple[Point, ...], ...]:
    """Closed lines round all that is at or over the level.

    Parameters
    ----------
    values : samples, shape (rows, columns), two of each at least.

    Returns
    -------
    Points as (column, row), counted from the first sample.
    """
    padded = np.pad(values, 1, constant_values=-np.inf)
    over = padded >= level
    codes = 8 * over[:-1, :-1] + 4 * over[:-1, 1:] + 2 * over[1:, 1:] + 1 * over[1:, :-1]
    following: dict[_Edge, _Edge] = {}
    for row, column in np.argwhere((codes > 0) & (codes < 15)).tolist():
        sides = {
            "T": (True, row, column),
            "B": (True, row + 1, column),
            "L": (False, row, column),
            "R": (False, row, column + 1),
        }
        for step in _steps(int(codes[row, column]), padded[row : row + 2, column : column + 2], level):
            following[sides[step[0]]] = sides[step[1]]
    loops = []
    while following:
        first = min(following)
        edge, points = first, [_crossed(padded, first, level)]
        while (edge := following.pop(edge)) != first:
            points.append(_crossed(padded, edge, level))
        loops.append(tuple(points))
    return tuple(loops)


def spot_within(
    values: Floats, low: float, high: float, *, box: tuple[float, float], apart: Sequence[Point] = ()
) -> Point | None:
    """Middle of a box of (columns, rows) all of which lies at or over `low` and under `high`; None where none fits.

    The roomiest spot wins: boxes twice and half again as large are tried first. apart : the same boxes that are taken.
    """
    fine, per_column, per_row = _finer(values, box)
    held = (fine >= low) & (fine < high)
    for larger in (2.2, 1.5, 1.0):
        wide, tall = (max(1, round(side * larger * per)) for side, per in zip(box, (per_column, per_row), strict=True))
        if wide > held.shape[1] or tall > held.shape[0]:
            continue
        sums = np.pad(held.astype(np.int64).cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
        whole = (sums[tall:, wide:] - sums[:-tall, wide:] - sums[tall:, :-wide] + sums[:-tall, :-wide]) == wide * tall
        for row, column in np.argwhere(whole).tolist():
            spot = ((column + wide / 2 - 0.5) / per_column, (row + tall / 2 - 0.5) / per_row)
            if all(abs(spot[0] - x) >= box[0] or abs(spot[1] - y) >= box[1] for x, y in apart):
                return spot
    return None


def _steps(code: int, corners: Floats, level: float) -> tuple[str, ...]:
    if code in _STEPS:
        return _STEPS[code]
    apart, joined = _SADDLES[code]
    return joined if float(corners.mean()) >= level else apart


def _crossed(padded: Floats, edge: _Edge, level: float) -> Point:
    """Where the level crosses the side of a cell; beyond the map's edge there is only that edge."""
    is_level, row, column = edge
    one, other = padded[row, column], padded[row, column + 1] if is_level else padded[row + 1, column]
    if np.isneginf(one):
        share = 1.0
    elif np.isneginf(other):
        share = 0.0
    else:
        share = float((level - one) / (other - one))
    along, down = (column + share, float(row)) if is_level else (float(column), row + share)
    return (along - 1.0, down - 1.0)


def _finer(values: Floats, box: tuple[float, float]) -> tuple[Floats, float, float]:
    """The map with samples enough that a box holds six each way, and samples per column and row."""
    rows_n, columns_n = values.shape
    per_column, per_row = (max(1, int(np.ceil(6.0 / side))) for side in box)
    rows = np.linspace(0.0, rows_n - 1.0, (rows_n - 1) * per_row + 1)
    columns = np.linspace(0.0, columns_n - 1.0, (columns_n - 1) * per_column + 1)
    down = np.stack([np.interp(rows, np.arange(rows_n), line) for line in values.T], axis=1)
    return np.stack([np.interp(columns, np.arange(columns_n), line) for line in down]), per_column, per_row
