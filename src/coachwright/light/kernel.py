"""The inner loops of light, compiled: one head's candela toward many directions or points, and what hides it there.

The only file that imports numba. Whoever asks for little work leaves it alone (light.far_field and light.seen decide):
importing and loading cost more than they save there. Everything compiled is in this one file, for what numba keeps on
disk is worked out anew when its own file changes and not when another does.
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
def _per_step(angles_rad: Floats) -> float:
    """How many steps a table makes in a radian, on the whole."""
    return float((len(angles_rad) - 1) / (angles_rad[-1] - angles_rad[0]))


@numba.njit(inline="always", error_model="numpy")
def _in_table(  # noqa: PLR0917 - numba takes arguments by place
    h: float,
    v: float,
    vertical_rad: Floats,
    horizontal_rad: Floats,
    candela_cd: Floats,
    v_per_step: float,
    h_per_step: float,
) -> float:
    """Bilinear between the angles of a table, which ascend in steps that need not be equal; within its ends. [cd]"""
    v_n, h_n = len(vertical_rad), len(horizontal_rad)
    column = min(int((h - horizontal_rad[0]) * h_per_step), h_n - 2)
    while column > 0 and h < horizontal_rad[column]:
        column -= 1
    while column < h_n - 2 and h >= horizontal_rad[column + 1]:
        column += 1
    row = min(int((v - vertical_rad[0]) * v_per_step), v_n - 2)
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
    v_per_step, h_per_step = _per_step(vertical_rad), _per_step(horizontal_rad)
    for place in range(directions_n):
        found_cd[place] = 0.0
        h, v = horizontal[place], vertical[place]
        if h < h_low or h > h_high or v < v_low or v > v_high:
            continue
        if outward[0] * x[place] + outward[1] * y[place] + outward[2] * z[place] < clear_cosine:
            continue
        found_cd[place] = _in_table(h, v, vertical_rad, horizontal_rad, candela_cd, v_per_step, h_per_step)
    if len(share):
        for place in range(directions_n):
            found_cd[place] *= share[place]


look_up = _compiled(_look_up)
"""`_look_up`, compiled."""


# ---- with what stands in the way

_SAME_RAD = 1e-12
BLOCK_N = 64
"""Rays asked together: where the box of their ways meets no box of triangles, none of them meets anything."""
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
    planes: Floats,
    owners: NDArray[np.int32],
    starts: NDArray[np.int64],
    ignored: Flags,
    found_cd: NDArray[np.float32],
) -> int:
    """Fill `found_cd` (N,) for `points_m` (3, N): bilinear in the table, dark where something stands in the way.

    reach : 1 for rays that end at their point, infinite when `points_m` are directions (and the origin is left out).
    share : of each point or direction, as in `_look_up`. faint_cd : no ray is sent where the table gives less.
    boxes_m, corners_m, planes, owners, starts : light.shadow.Hierarchy, its origin outside of every solid that isn't
    ignored. ignored : for each owner, 1 where it hides nothing.
    Answers how many rays were sent.
    """
    way_m, lit_m = np.empty((3, BLOCK_N)), np.empty((3, BLOCK_N))
    h, v, cd, inside = np.empty(BLOCK_N), np.empty(BLOCK_N), np.empty(BLOCK_N), np.empty(BLOCK_N)
    lit, times = np.empty(BLOCK_N, dtype=np.int64), np.empty((3, 5))
    waiting, near = np.empty(_STACK_N, dtype=np.int64), np.empty(len(starts), dtype=np.int64)
    counts, nodes = _counting(origin_m, planes, owners, starts, ignored)
    from_m = np.zeros(3) if math.isinf(reach) else origin_m
    is_even = _is_even(vertical_rad) and _is_even(horizontal_rad)
    before_only = horizontal_rad[0] >= -math.pi / 2 and horizontal_rad[-1] <= math.pi / 2
    rays_n = 0
    for first in range(0, points_m.shape[1], BLOCK_N):
        block_n = min(BLOCK_N, points_m.shape[1] - first)
        for axis in range(3):
            for place in range(block_n):
                way_m[axis, place] = points_m[axis, first + place] - from_m[axis]
        if before_only and _is_behind(way_m, block_n, axes):
            found_cd[first : first + block_n] = 0.0
            continue
        _angles(way_m, block_n, axes, h, v)
        if is_even:
            _in_even_table(h, v, block_n, vertical_rad, horizontal_rad, candela_cd, cd)
        else:
            _in_uneven_table(h, v, block_n, vertical_rad, horizontal_rad, candela_cd, cd)
        if clear_cosine > -1.0:
            _clear(way_m, block_n, outward, clear_cosine, cd)
        lit_n = 0
        for place in range(block_n):
            if cd[place] >= faint_cd:
                lit[lit_n], lit_m[0, lit_n] = place, way_m[0, place]
                lit_m[1, lit_n], lit_m[2, lit_n] = way_m[1, place], way_m[2, place]
                lit_n += 1
        rays_n += lit_n
        near_n = 0
        if lit_n and nodes[0]:
            near_n = _near(lit_m, lit_n, origin_m, reach, boxes_m, nodes, times, waiting, near)
        if near_n:
            _darken(lit_m, lit_n, origin_m, reach, corners_m, planes, starts, near[:near_n], counts, inside, lit, cd)
        if len(share):
            for place in range(block_n):
                cd[place] *= share[first + place]
        found_cd[first : first + block_n] = cd[:block_n]
    return rays_n


@numba.njit(error_model="numpy")
def _is_even(angles_rad: Floats) -> bool:
    """Whether a table's steps are equal, as nearly as nobody could tell."""
    step_rad = (angles_rad[-1] - angles_rad[0]) / (len(angles_rad) - 1)
    for place in range(len(angles_rad)):
        if abs(angles_rad[0] + place * step_rad - angles_rad[place]) > _SAME_RAD:
            return False
    return True


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _in_even_table(  # noqa: PLR0917 - numba takes arguments by place
    h: Floats, v: Floats, block_n: int, vertical_rad: Floats, horizontal_rad: Floats, candela_cd: Floats, cd: Floats
) -> None:
    """Bilinear in a table of equal steps, nought outside, without a branch. [cd]"""
    rows_n, columns_n = candela_cd.shape
    flat = candela_cd.ravel()
    v_per_step, h_per_step = _per_step(vertical_rad), _per_step(horizontal_rad)
    v_low, v_high, h_low, h_high = vertical_rad[0], vertical_rad[-1], horizontal_rad[0], horizontal_rad[-1]
    for place in range(block_n):
        within = (h[place] >= h_low) & (h[place] <= h_high) & (v[place] >= v_low) & (v[place] <= v_high)
        right = min(max((h[place] - h_low) * h_per_step, 0.0), columns_n - 1.0)
        over = min(max((v[place] - v_low) * v_per_step, 0.0), rows_n - 1.0)
        column, row = min(int(right), columns_n - 2), min(int(over), rows_n - 2)
        right -= column
        over -= row
        corner = np.uintp(row * columns_n + column)
        below = flat[corner] * (1.0 - right) + flat[corner + np.uintp(1)] * right
        corner += np.uintp(columns_n)
        above = flat[corner] * (1.0 - right) + flat[corner + np.uintp(1)] * right
        cd[place] = below * (1.0 - over) + above * over if within else 0.0


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _in_uneven_table(  # noqa: PLR0917 - numba takes arguments by place
    h: Floats, v: Floats, block_n: int, vertical_rad: Floats, horizontal_rad: Floats, candela_cd: Floats, cd: Floats
) -> None:
    """Bilinear in any table, nought outside. [cd]"""
    v_per_step, h_per_step = _per_step(vertical_rad), _per_step(horizontal_rad)
    v_low, v_high, h_low, h_high = vertical_rad[0], vertical_rad[-1], horizontal_rad[0], horizontal_rad[-1]
    for place in range(block_n):
        cd[place] = 0.0
        if h_low <= h[place] <= h_high and v_low <= v[place] <= v_high:
            cd[place] = _in_table(h[place], v[place], vertical_rad, horizontal_rad, candela_cd, v_per_step, h_per_step)


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _clear(way_m: Floats, block_n: int, outward: Floats, clear_cosine: float, cd: Floats) -> None:
    """Dark past the angle to which a place looks out."""
    for place in range(block_n):
        x, y, z = way_m[0, place], way_m[1, place], way_m[2, place]
        out = outward[0] * x + outward[1] * y + outward[2] * z
        cd[place] = cd[place] if out >= clear_cosine * math.sqrt(x * x + y * y + z * z) else 0.0


@numba.njit(error_model="numpy", fastmath=_EXACT | {"nnan"})
def _is_behind(way_m: Floats, block_n: int, axes: Floats) -> bool:
    """Whether all of some ways lead backward from a head."""
    most = -1.0
    for place in range(block_n):
        most = max(most, axes[0, 0] * way_m[0, place] + axes[0, 1] * way_m[1, place] + axes[0, 2] * way_m[2, place])
    return most < 0.0


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _angles(way_m: Floats, block_n: int, axes: Floats, h: Floats, v: Floats) -> None:
    """Type A angles of some ways in the frame of a head."""
    for place in range(block_n):
        x, y, z = way_m[0, place], way_m[1, place], way_m[2, place]
        ahead = axes[0, 0] * x + axes[0, 1] * y + axes[0, 2] * z
        left = axes[1, 0] * x + axes[1, 1] * y + axes[1, 2] * z
        up = axes[2, 0] * x + axes[2, 1] * y + axes[2, 2] * z
        h[place] = _angle(-left, ahead)
        v[place] = _angle(up, math.sqrt(ahead * ahead + left * left))


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _counting(
    origin_m: Floats, planes: Floats, owners: NDArray[np.int32], starts: NDArray[np.int64], ignored: Flags
) -> tuple[Flags, Flags]:
    """For each triangle, and for each node of the tree, 1 where it can stand in the way.

    From outside a closed solid no ray meets a face turned away before one turned to it: faces turned away are left out.
    """
    triangles_n, leaves_n = len(owners), len(starts) - 1
    counts, nodes = np.zeros(triangles_n, dtype=np.uint8), np.zeros(2 * leaves_n - 1, dtype=np.uint8)
    x, y, z = origin_m[0], origin_m[1], origin_m[2]
    for triangle in range(triangles_n):
        ahead = planes[0, triangle] * x + planes[1, triangle] * y + planes[2, triangle] * z
        counts[triangle] = ahead > planes[3, triangle]
    for leaf in range(leaves_n):
        for triangle in range(starts[leaf], starts[leaf + 1]):
            if ignored[owners[triangle]]:
                counts[triangle] = 0
            nodes[leaves_n - 1 + leaf] |= counts[triangle]
    for node in range(leaves_n - 2, -1, -1):
        nodes[node] = nodes[2 * node + 1] | nodes[2 * node + 2]
    return counts, nodes


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _near(  # noqa: PLR0917 - numba takes arguments by place
    way_m: Floats,
    ways_n: int,
    origin_m: Floats,
    reach: float,
    boxes_m: Floats,
    nodes: Flags,
    times: Floats,
    waiting: NDArray[np.int64],
    near: NDArray[np.int64],
) -> int:
    """Fill `near` with the leaves into which the box of some ways can come; answers how many.

    times, waiting : room to work in, (3, 5) and as deep as the tree.
    """
    _times(way_m, ways_n, times)
    near_n, first_leaf = 0, len(nodes) // 2
    waiting[0], waiting_n = 0, 1
    while waiting_n:
        waiting_n -= 1
        node = waiting[waiting_n]
        since, until = 0.0, reach
        for axis in range(3):
            low, high = boxes_m[node, axis] - origin_m[axis], boxes_m[node, axis + 3] - origin_m[axis]
            since = max(since, low * times[axis, 0], high * times[axis, 1])
            until = min(until, high * times[axis, 2] + low * times[axis, 3] + times[axis, 4])
        if since > until:
            continue
        if node >= first_leaf:
            near[near_n] = node - first_leaf
            near_n += 1
            continue
        for child in (2 * node + 1, 2 * node + 2):
            waiting[waiting_n] = child
            waiting_n += nodes[child]
    return near_n


@numba.njit(error_model="numpy", fastmath=_EXACT | {"nnan"})
def _times(way_m: Floats, ways_n: int, times: Floats) -> None:
    """What the ends of a box along each axis are multiplied by, to tell when some ways can be between them.

    Ways along an axis grow as fast as from `least` to `most`. With both above nought they come between from low / most
    on, until high / least; below nought it is the other way round; and ways to both sides come there, if they do, from
    low / most or from high / least on and may stay for ever.
    """
    for axis in range(3):
        least, most = way_m[axis, 0], way_m[axis, 0]
        for place in range(1, ways_n):
            least, most = min(least, way_m[axis, place]), max(most, way_m[axis, place])
        times[axis] = 0.0
        if least > 0.0:
            times[axis, 0], times[axis, 2] = 1.0 / most, 1.0 / least
        elif most < 0.0:
            times[axis, 1], times[axis, 3] = 1.0 / least, 1.0 / most
        else:
            times[axis, 0] = 1.0 / most if most > 0.0 else _HUGE
            times[axis, 1] = 1.0 / least if least < 0.0 else -_HUGE
            times[axis, 4] = math.inf


@numba.njit(error_model="numpy", fastmath=_EXACT)
def _darken(  # noqa: PLR0917 - numba takes arguments by place
    way_m: Floats,
    ways_n: int,
    origin_m: Floats,
    reach: float,
    corners_m: Floats,
    planes: Floats,
    starts: NDArray[np.int64],
    near: NDArray[np.int64],
    counts: Flags,
    inside: Floats,
    lit: NDArray[np.int64],
    cd: Floats,
) -> None:
    """Nought for the ways, at the places `lit` of `cd`, that meet a triangle of the leaves near by."""
    inside[:] = -math.inf
    for leaf in near:
        for triangle in range(starts[leaf], starts[leaf + 1]):
            if counts[triangle]:
                _meet(way_m, ways_n, origin_m, reach, corners_m, planes, triangle, inside)
    for place in range(ways_n):
        if inside[place] >= 0.0:
            cd[lit[place]] = 0.0


@numba.njit(error_model="numpy", fastmath=_EXACT | {"nnan"})
def _meet(  # noqa: PLR0917 - numba takes arguments by place
    way_m: Floats,
    ways_n: int,
    origin_m: Floats,
    reach: float,
    corners_m: Floats,
    planes: Floats,
    triangle: int,
    inside: Floats,
) -> None:
    """Raise `inside` to nought or more for each way that meets one triangle turned to the origin.

    A way meets it when it runs on the inner side of the three planes through the origin and an edge each, and ends
    behind it.
    """
    one, two, three = _planes_through(origin_m, corners_m, triangle)
    if math.isinf(reach):
        for place in range(ways_n):
            x, y, z = way_m[0, place], way_m[1, place], way_m[2, place]
            least = min(
                one[0] * x + one[1] * y + one[2] * z,
                two[0] * x + two[1] * y + two[2] * z,
                three[0] * x + three[1] * y + three[2] * z,
            )
            inside[place] = max(inside[place], least)
        return
    nx, ny, nz = planes[0, triangle], planes[1, triangle], planes[2, triangle]
    ahead = planes[3, triangle] - (nx * origin_m[0] + ny * origin_m[1] + nz * origin_m[2])
    for place in range(ways_n):
        x, y, z = way_m[0, place], way_m[1, place], way_m[2, place]
        least = min(
            one[0] * x + one[1] * y + one[2] * z,
            two[0] * x + two[1] * y + two[2] * z,
            three[0] * x + three[1] * y + three[2] * z,
            ahead - reach * (nx * x + ny * y + nz * z),
        )
        inside[place] = max(inside[place], least)


@numba.njit(error_model="numpy")
def _planes_through(
    origin_m: Floats, corners_m: Floats, triangle: int
) -> tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]:
    """Normals, looking in, of the planes through the origin and each edge of a triangle turned to it.

    No product and sum are rounded at once here, so that two triangles see the edge they share from both sides in just
    the same place, and no ray slips through between them.
    """
    ax, ay, az = (
        corners_m[triangle, 0] - origin_m[0],
        corners_m[triangle, 1] - origin_m[1],
        corners_m[triangle, 2] - origin_m[2],
    )
    bx, by, bz = (
        corners_m[triangle, 3] - origin_m[0],
        corners_m[triangle, 4] - origin_m[1],
        corners_m[triangle, 5] - origin_m[2],
    )
    cx, cy, cz = (
        corners_m[triangle, 6] - origin_m[0],
        corners_m[triangle, 7] - origin_m[1],
        corners_m[triangle, 8] - origin_m[2],
    )
    return (
        (by * az - bz * ay, bz * ax - bx * az, bx * ay - by * ax),
        (cy * bz - cz * by, cz * bx - cx * bz, cx * by - cy * bx),
        (ay * cz - az * cy, az * cx - ax * cz, ax * cy - ay * cx),
    )


look_up_past = _compiled(_look_up_past)
"""`_look_up_past`, compiled."""
