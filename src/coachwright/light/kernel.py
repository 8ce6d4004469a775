"""The inner loops of light, compiled: one head's candela toward many directions or points, and what hides it there.

The only file that imports numba. Whoever asks for little work leaves it alone (light.far_field and light.near_field
decide): importing and loading cost more than they save there. Everything compiled is in this one file, for what numba
keeps on disk is worked out anew when its own file changes and not when another does.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.uint8]
LookUp: TypeAlias = Callable[[Floats, Floats, Floats, Floats, Floats, Floats, float, Floats, Floats], None]
Loop = TypeVar("Loop", bound=Callable[..., Any])

_ATAN = (
    0.9999999999997504, -0.3333333332178693, 0.19999999110930236, -0.1428568711191048, 0.11110673002951273,
    -0.09086614752857405, 0.07664477711027838, -0.06540751021281197, 0.05469209235303589, -0.04251221036246956,
    0.028635862597480206, -0.015418334490625362, 0.0060366979775820775, -0.0014985730893155172, 0.00017499224146795707,
)  # fmt: skip
"""atan(t) = t (c0 + c1 t2 + c2 t2^2 ...) for 0 <= t <= 1, t2 = t^2, good to 2e-13: a polynomial through 400 Chebyshev
points, fitted by numpy. Unlike the library's arctangent it is worked out for several directions in one instruction."""

_EXACT = {"contract", "nsz"}
"""A product and a sum may be rounded once instead of twice, and the sign of nought doesn't matter."""


def _compiled(function: Loop) -> Loop:
    """Compiled when first called; kept on disk for the next start where a folder for that can be written."""
    try:
        kept = numba.njit(cache=True, nogil=True, error_model="numpy", fastmath=_EXACT)(function)
    except RuntimeError:  # numba found no folder to write to: compile anew in each process
        alone = numba.njit(nogil=True, error_model="numpy", fastmath=_EXACT)(function)
        return cast("Loop", alone)
    return cast("Loop", kept)


@numba.njit(inline="always", error_model="numpy")
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


@numba.njit(inline="always", error_model="numpy")
def _in_table(h: float, v: float, vertical_rad: Floats, horizontal_rad: Floats, candela_cd: Floats) -> float:
    """Bilinear between the angles of a table, which ascend in steps that need not be equal; within its ends. [cd]"""
    v_n, h_n = len(vertical_rad), len(horizontal_rad)
    column = min(int((h - horizontal_rad[0]) * (h_n - 1) / (horizontal_rad[h_n - 1] - horizontal_rad[0])), h_n - 2)
    while column > 0 and h < horizontal_rad[column]:
        column -= 1
    while column < h_n - 2 and h >= horizontal_rad[column + 1]:
        column += 1
    row = min(int((v - vertical_rad[0]) * (v_n - 1) / (vertical_rad[v_n - 1] - vertical_rad[0])), v_n - 2)
    while row > 0 and v < vertical_rad[row]:
        row -= 1
    while row < v_n - 2 and v >= vertical_rad[row + 1]:
        row += 1
    right = (h - horizontal_rad[column]) / (horizontal_rad[column + 1] - horizontal_rad[column])
    over = (v - vertical_rad[row]) / (vertical_rad[row + 1] - vertical_rad[row])
    below = candela_cd[row, column] * (1.0 - right) + candela_cd[row, column + 1] * right
    above = candela_cd[row + 1, column] * (1.0 - right) + candela_cd[row + 1, column + 1] * right
    return float(below * (1.0 - over) + above * over)


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

    h_low, h_high = horizontal_rad[0], horizontal_rad[-1]
    v_low, v_high = vertical_rad[0], vertical_rad[-1]
    for place in range(directions_n):
        found_cd[place] = 0.0
        h, v = horizontal[place], vertical[place]
        if h < h_low or h > h_high or v < v_low or v > v_high:
            continue
        if outward[0] * x[place] + outward[1] * y[place] + outward[2] * z[place] < clear_cosine:
            continue
        found_cd[place] = _in_table(h, v, vertical_rad, horizontal_rad, candela_cd)
    if len(share):
        for place in range(directions_n):
            found_cd[place] *= share[place]


look_up = _compiled(_look_up)
"""`_look_up`, compiled."""


# ---- with what stands in the way

BLOCK_N = 32
"""Rays taken together: the box of their ways is asked first, and where that meets nothing none of them is."""
_STACK_N = 64
"""Deeper than any tree: one node waits for each level."""
_HUGE = 1e300


def _look_up_past(  # noqa: PLR0917 - numba takes arguments by place
    points_m: Floats,
    origin_m: Floats,
    reach: float,
    axes: Floats,
    vertical_rad: Floats,
    horizontal_rad: Floats,
    candela_cd: Floats,
    outward: Floats,
    clear_cosine: float,
    share: Floats,
    faint_cd: float,
    boxes_m: Floats,
    corners_m: Floats,
    owners: NDArray[np.int32],
    starts: NDArray[np.int64],
    ignored: Flags,
    found_cd: Floats,
) -> int:
    """Fill `found_cd` (N,) for `points_m` (3, N): bilinear in the table, dark where something stands in the way.

    reach : 1 for rays that end at their point, infinite when `points_m` are directions (and the origin is left out).
    boxes_m, corners_m, owners, starts : light.shadow.Hierarchy. ignored : for each owner, 1 where it hides nothing.
    Answers how many rays were sent.
    """
    points_n, is_far = points_m.shape[1], math.isinf(reach)
    x, y, z = np.empty(BLOCK_N), np.empty(BLOCK_N), np.empty(BLOCK_N)
    h, v, cd = np.empty(BLOCK_N), np.empty(BLOCK_N), np.empty(BLOCK_N)
    ox, oy, oz = origin_m[0], origin_m[1], origin_m[2]
    h_low, h_high = horizontal_rad[0], horizontal_rad[-1]
    v_low, v_high = vertical_rad[0], vertical_rad[-1]
    skipped = _skipped(owners, starts, ignored)
    rays_n = 0
    for first in range(0, points_n, BLOCK_N):
        block_n = min(BLOCK_N, points_n - first)
        for place in range(block_n):
            x[place], y[place], z[place] = (
                points_m[0, first + place],
                points_m[1, first + place],
                points_m[2, first + place],
            )
        if not is_far:
            for place in range(block_n):
                x[place] -= ox
                y[place] -= oy
                z[place] -= oz
        for place in range(block_n):
            ahead = axes[0, 0] * x[place] + axes[0, 1] * y[place] + axes[0, 2] * z[place]
            left = axes[1, 0] * x[place] + axes[1, 1] * y[place] + axes[1, 2] * z[place]
            up = axes[2, 0] * x[place] + axes[2, 1] * y[place] + axes[2, 2] * z[place]
            h[place] = _angle(-left, ahead)
            v[place] = _angle(up, math.sqrt(ahead * ahead + left * left))
        low_x = low_y = low_z = math.inf
        high_x = high_y = high_z = -math.inf
        for place in range(block_n):
            cd[place] = 0.0
            if h[place] < h_low or h[place] > h_high or v[place] < v_low or v[place] > v_high:
                continue
            length = math.sqrt(x[place] * x[place] + y[place] * y[place] + z[place] * z[place])
            out = outward[0] * x[place] + outward[1] * y[place] + outward[2] * z[place]
            if out < clear_cosine * length:
                continue
            cd[place] = _in_table(h[place], v[place], vertical_rad, horizontal_rad, candela_cd)
            if cd[place] >= faint_cd:
                rays_n += 1
                low_x, high_x = min(low_x, x[place]), max(high_x, x[place])
                low_y, high_y = min(low_y, y[place]), max(high_y, y[place])
                low_z, high_z = min(low_z, z[place]), max(high_z, z[place])
        if low_x <= high_x and _any_near(
            low_x, high_x, low_y, high_y, low_z, high_z, ox, oy, oz, reach, boxes_m, skipped
        ):
            for place in range(block_n):
                if cd[place] >= faint_cd and _is_met(
                    x[place],
                    y[place],
                    z[place],
                    ox,
                    oy,
                    oz,
                    reach,
                    boxes_m,
                    corners_m,
                    owners,
                    starts,
                    ignored,
                    skipped,
                ):
                    cd[place] = 0.0
        if len(share):
            for place in range(block_n):
                cd[place] *= share[first + place]
        for place in range(block_n):
            found_cd[first + place] = cd[place]
    return rays_n


def _are_met(  # noqa: PLR0917 - numba takes arguments by place
    origins_m: Floats,
    ways_m: Floats,
    reach: float,
    boxes_m: Floats,
    corners_m: Floats,
    owners: NDArray[np.int32],
    starts: NDArray[np.int64],
    ignored: Flags,
    found: NDArray[np.bool_],
) -> None:
    """Fill `found` (N,): whether each ray, from its origin (3, N) along its way (3, N), meets anything."""
    skipped = _skipped(owners, starts, ignored)
    for ray in range(ways_m.shape[1]):
        found[ray] = _is_met(
            ways_m[0, ray], ways_m[1, ray], ways_m[2, ray], origins_m[0, ray], origins_m[1, ray], origins_m[2, ray],
            reach, boxes_m, corners_m, owners, starts, ignored, skipped,
        )  # fmt: skip


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _skipped(owners: NDArray[np.int32], starts: NDArray[np.int64], ignored: Flags) -> Flags:
    """For each node of the tree, 1 where everything in it belongs to what is ignored."""
    leaves_n = len(starts) - 1
    skipped = np.ones(2 * leaves_n - 1, dtype=np.uint8)
    for leaf in range(leaves_n):
        for place in range(starts[leaf], starts[leaf + 1]):
            if not ignored[owners[place]]:
                skipped[leaves_n - 1 + leaf] = 0
    for node in range(leaves_n - 2, -1, -1):
        skipped[node] = skipped[2 * node + 1] and skipped[2 * node + 2]
    return skipped


@numba.njit(inline="always", error_model="numpy")
def _times(low: float, high: float, box_low: float, box_high: float) -> tuple[float, float]:
    """From when to when a way that grows between `low` and `high` can be inside a box, along one axis."""
    since, until = 0.0, math.inf
    if box_low > 0.0:
        if high <= 0.0:
            return math.inf, -math.inf
        since = box_low / high
        until = box_high / low if low > 0.0 else math.inf
    elif box_high < 0.0:
        if low >= 0.0:
            return math.inf, -math.inf
        since = box_high / low
        until = box_low / high if high < 0.0 else math.inf
    elif low > 0.0:
        until = box_high / low
    elif high < 0.0:
        until = box_low / high
    return since, until


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _any_near(  # noqa: PLR0917 - numba takes arguments by place
    low_x: float, high_x: float, low_y: float, high_y: float, low_z: float, high_z: float,
    ox: float, oy: float, oz: float, reach: float, boxes_m: Floats, skipped: Flags,
) -> bool:  # fmt: skip
    """Whether any way within the box of ways can come into a box at the foot of the tree."""
    waiting = np.empty(_STACK_N, dtype=np.int64)
    waiting[0], waiting_n = 0, 1
    nodes_n = len(skipped)
    while waiting_n:
        waiting_n -= 1
        node = waiting[waiting_n]
        if skipped[node]:
            continue
        since_x, until_x = _times(low_x, high_x, boxes_m[node, 0] - ox, boxes_m[node, 3] - ox)
        since_y, until_y = _times(low_y, high_y, boxes_m[node, 1] - oy, boxes_m[node, 4] - oy)
        since_z, until_z = _times(low_z, high_z, boxes_m[node, 2] - oz, boxes_m[node, 5] - oz)
        since = max(since_x, since_y, since_z)
        if since > min(until_x, until_y, until_z) or since > reach:
            continue
        if 2 * node + 2 >= nodes_n:
            return True
        waiting[waiting_n] = 2 * node + 1
        waiting[waiting_n + 1] = 2 * node + 2
        waiting_n += 2
    return False


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _is_met(  # noqa: PLR0917 - numba takes arguments by place
    x: float, y: float, z: float, ox: float, oy: float, oz: float, reach: float,
    boxes_m: Floats, corners_m: Floats, owners: NDArray[np.int32], starts: NDArray[np.int64],
    ignored: Flags, skipped: Flags,
) -> bool:  # fmt: skip
    """Whether one ray meets a triangle that isn't ignored; it has gone its way once at 1, and ends at `reach`."""
    waiting = np.empty(_STACK_N, dtype=np.int64)
    waiting[0], waiting_n = 0, 1
    leaves_n = len(starts) - 1
    per_x, per_y, per_z = _one_over(x), _one_over(y), _one_over(z)
    while waiting_n:
        waiting_n -= 1
        node = waiting[waiting_n]
        if skipped[node]:
            continue
        one, other = (boxes_m[node, 0] - ox) * per_x, (boxes_m[node, 3] - ox) * per_x
        since, until = min(one, other), max(one, other)
        one, other = (boxes_m[node, 1] - oy) * per_y, (boxes_m[node, 4] - oy) * per_y
        since, until = max(since, min(one, other)), min(until, max(one, other))
        one, other = (boxes_m[node, 2] - oz) * per_z, (boxes_m[node, 5] - oz) * per_z
        since, until = max(since, min(one, other)), min(until, max(one, other))
        if since > until or until < 0.0 or since > reach:
            continue
        if node < leaves_n - 1:
            waiting[waiting_n] = 2 * node + 1
            waiting[waiting_n + 1] = 2 * node + 2
            waiting_n += 2
            continue
        leaf = node - (leaves_n - 1)
        for place in range(starts[leaf], starts[leaf + 1]):
            if not ignored[owners[place]] and _meets(place, x, y, z, ox, oy, oz, reach, corners_m):
                return True
    return False


@numba.njit(inline="always", error_model="numpy")
def _one_over(number: float) -> float:
    """1 / number; of nought something huge, which unlike infinity makes nought of nought."""
    return 1.0 / number if number != 0.0 else _HUGE


@numba.njit(inline="always", error_model="numpy")
def _meets(  # noqa: PLR0917 - numba takes arguments by place
    place: int, x: float, y: float, z: float, ox: float, oy: float, oz: float, reach: float, corners_m: Floats
) -> bool:
    """Whether a ray meets one triangle (Moeller and Trumbore, 1997), from whichever side."""
    ax, ay, az = corners_m[place, 3], corners_m[place, 4], corners_m[place, 5]
    bx, by, bz = corners_m[place, 6], corners_m[place, 7], corners_m[place, 8]
    px, py, pz = y * bz - z * by, z * bx - x * bz, x * by - y * bx
    volume = ax * px + ay * py + az * pz
    if volume == 0.0:
        return False
    sx, sy, sz = ox - corners_m[place, 0], oy - corners_m[place, 1], oz - corners_m[place, 2]
    along_a = (sx * px + sy * py + sz * pz) / volume
    if along_a < 0.0 or along_a > 1.0:
        return False
    qx, qy, qz = sy * az - sz * ay, sz * ax - sx * az, sx * ay - sy * ax
    along_b = (x * qx + y * qy + z * qz) / volume
    if along_b < 0.0 or along_a + along_b > 1.0:
        return False
    times = (bx * qx + by * qy + bz * qz) / volume
    return bool(0.0 < times < reach)


look_up_past = _compiled(_look_up_past)
"""`_look_up_past`, compiled."""

are_met = _compiled(_are_met)
"""`_are_met`, compiled."""
