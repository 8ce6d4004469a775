"""The inner loops of the tolerance run, compiled: turned heads looked up, weighted, added up, held against a level.

Everything runs vehicle by vehicle in one fixed order, so that an answer depends on no number of threads. What an
emitter can reach lies in *runs* of neighbouring directions, one behind the other, so that loops over them are plain.

See Also
--------
coachwright.light.kernel : the look-up of the far field, of which this is the one for heads that are turned a little.
coachwright.light.pass_share : who calls it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias

import numba
import numpy as np
from numpy.typing import NDArray

from coachwright.light.kernel import _angle

Floats: TypeAlias = NDArray[np.float64]
Places: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

_EXACT = {"contract", "nsz"}


def _compiled(function: Callable[..., None]) -> Callable[..., None]:
    """As in light.kernel: kept on disk where a folder for that can be written."""
    how: dict[str, Any] = {"nogil": True, "error_model": "numpy", "fastmath": _EXACT}
    try:
        kept: Callable[..., None] = numba.njit(cache=True, **how)(function)
    except RuntimeError:
        return numba.njit(**how)(function)  # type: ignore[no-any-return]
    return kept


def _turned(  # noqa: PLR0917 - numba takes arguments by place
    local: Floats,
    share: Floats,
    begins: Places,
    table_of: Places,
    angles_rad: Floats,
    table_places: Places,
    tables_cd: Floats,
    bearing_rad: Floats,
    elevation_rad: Floats,
    found_cd: Floats,
) -> None:
    """Candela of emitters that are turned, vehicle by vehicle, found_cd (vehicles, N).

    local : (3, N) each direction an emitter can reach in its own axes (ahead, left, up), emitter behind emitter.
    share : (N,) what gets through there. begins : (emitters + 1,) where each emitter's directions begin.
    table_of : (emitters,). table_places : (tables, 4) where the vertical angles, the horizontal angles and the candela
    of a table begin, and how many columns it has. angles_rad, tables_cd : of all tables one behind the other.
    bearing_rad, elevation_rad : (vehicles, emitters) to the right, and up.
    """
    widest = 0
    for emitter in range(len(begins) - 1):
        widest = max(widest, begins[emitter + 1] - begins[emitter])
    horizontal, vertical = np.empty(widest), np.empty(widest)
    for vehicle in range(len(bearing_rad)):
        for emitter in range(len(begins) - 1):
            first, many = begins[emitter], begins[emitter + 1] - begins[emitter]
            aside, rise = bearing_rad[vehicle, emitter], elevation_rad[vehicle, emitter]
            cos_a, sin_a, cos_r, sin_r = math.cos(aside), math.sin(aside), math.cos(rise), math.sin(rise)
            for at in range(many):
                x, y, z = local[0, first + at], local[1, first + at], local[2, first + at]
                forward = x * cos_a - y * sin_a
                left = x * sin_a + y * cos_a
                ahead = forward * cos_r + z * sin_r
                up = z * cos_r - forward * sin_r
                horizontal[at] = _angle(-left, ahead)
                vertical[at] = _angle(up, math.sqrt(ahead * ahead + left * left))
            table = table_of[emitter]
            v0, h0, c0 = table_places[table, 0], table_places[table, 1], table_places[table, 2]
            v_n, h_n = h0 - v0, table_places[table, 3]
            v_low, v_high, h_low, h_high = angles_rad[v0], angles_rad[h0 - 1], angles_rad[h0], angles_rad[h0 + h_n - 1]
            v_per_step, h_per_step = (v_n - 1) / (v_high - v_low), (h_n - 1) / (h_high - h_low)
            for at in range(many):
                h, v = horizontal[at], vertical[at]
                if h < h_low or h > h_high or v < v_low or v > v_high:
                    found_cd[vehicle, first + at] = 0.0
                    continue
                column = min(int((h - h_low) * h_per_step), h_n - 2)
                while column > 0 and h < angles_rad[h0 + column]:
                    column -= 1
                while column < h_n - 2 and h >= angles_rad[h0 + column + 1]:
                    column += 1
                row = min(int((v - v_low) * v_per_step), v_n - 2)
                while row > 0 and v < angles_rad[v0 + row]:
                    row -= 1
                while row < v_n - 2 and v >= angles_rad[v0 + row + 1]:
                    row += 1
                right = (h - angles_rad[h0 + column]) / (angles_rad[h0 + column + 1] - angles_rad[h0 + column])
                over = (v - angles_rad[v0 + row]) / (angles_rad[v0 + row + 1] - angles_rad[v0 + row])
                low = c0 + row * h_n + column
                below = tables_cd[low] * (1.0 - right) + tables_cd[low + 1] * right
                above = tables_cd[low + h_n] * (1.0 - right) + tables_cd[low + h_n + 1] * right
                found_cd[vehicle, first + at] = (below * (1.0 - over) + above * over) * share[first + at]


def _summed(  # noqa: PLR0917
    candela_cd: Floats,
    each: int,
    emitter_of: Places,
    run_begins: Places,
    run_flat: Places,
    run_place: Places,
    group_of: Places,
    weights: Floats,
    found_cd: Floats,
) -> None:
    """Add glows by groups: found_cd (vehicles, groups, directions) of their candela times weights (vehicles, glows).

    candela_cd : (vehicles or 1, N); each : 1 where every vehicle has its own, else 0.
    run_begins : (emitters + 1,) which runs are whose. run_flat : (runs + 1,) where each begins in N.
    run_place : (runs,) the direction it begins at. group_of : (glows,) which sum each glow belongs to.
    """
    for vehicle in range(len(weights)):
        found_cd[vehicle] = 0.0
        for glow in range(len(emitter_of)):
            weight, group, emitter = weights[vehicle, glow], group_of[glow], emitter_of[glow]
            for run in range(run_begins[emitter], run_begins[emitter + 1]):
                flat, place = run_flat[run], run_place[run]
                for at in range(run_flat[run + 1] - flat):
                    found_cd[vehicle, group, place + at] += weight * candela_cd[vehicle * each, flat + at]


def _powered(groups_cd: Floats, means: Floats, found: Floats) -> None:
    """Each group times its mean over time, added: found (vehicles, directions) from (vehicles, groups, directions)."""
    for vehicle in range(len(groups_cd)):
        found[vehicle] = 0.0
        for group in range(len(means)):
            mean = means[group]
            for place in range(groups_cd.shape[2]):
                found[vehicle, place] += mean * groups_cd[vehicle, group, place]


def _reached(groups_cd: Floats, rows: Floats, least_cd: float, directions_n: int, found: Flags) -> None:
    """Whether some row of weights (rows, groups) over the groups' candela reaches a level, (vehicles, directions)."""
    first = np.empty(directions_n)
    for vehicle in range(len(groups_cd)):
        first[:] = 0.0
        for group in range(rows.shape[1]):
            for place in range(directions_n):
                first[place] += rows[0, group] * groups_cd[vehicle, group, place]
        for place in range(directions_n):
            found[vehicle, place] = first[place] >= least_cd
            row = 1
            while row < len(rows) and not found[vehicle, place]:
                total = 0.0
                for group in range(rows.shape[1]):
                    total += rows[row, group] * groups_cd[vehicle, group, place]
                found[vehicle, place] = total >= least_cd
                row += 1


def _reached_one_dead(  # noqa: PLR0917
    groups_cd: Floats,
    rows: Floats,
    least_cd: float,
    directions_n: int,
    candela_cd: Floats,
    each: int,
    emitter_of: Places,
    run_begins: Places,
    run_flat: Places,
    run_place: Places,
    group_of: Places,
    weights: Floats,
    lamp_begins: Places,
    found: Flags,
) -> None:
    """As `_reached`, with each lamp dead in turn: found stays true where the level is reached whichever is dead.

    lamp_begins : (lamps + 1,) where the glows of each lamp begin, which stand one behind the other; glows of no row's
    weight change nothing. found : (vehicles, directions), filled by `_reached` before.
    """
    groups_n = rows.shape[1]
    first, left = np.empty(directions_n), np.empty(directions_n)
    gone = np.empty(groups_n)
    for vehicle in range(len(weights)):
        first[:] = 0.0
        for group in range(groups_n):
            for place in range(directions_n):
                first[place] += rows[0, group] * groups_cd[vehicle, group, place]
        for lamp in range(len(lamp_begins) - 1):
            left[:] = first
            for glow in range(lamp_begins[lamp], lamp_begins[lamp + 1]):
                emitter = emitter_of[glow]
                weight = weights[vehicle, glow] * rows[0, group_of[glow]]
                for run in range(run_begins[emitter], run_begins[emitter + 1]):
                    flat, place = run_flat[run], run_place[run]
                    for at in range(min(run_flat[run + 1] - flat, directions_n - place)):
                        left[place + at] -= weight * candela_cd[vehicle * each, flat + at]
            for place in range(directions_n):
                if left[place] >= least_cd or not found[vehicle, place]:
                    continue
                gone[:] = 0.0
                for glow in range(lamp_begins[lamp], lamp_begins[lamp + 1]):
                    emitter = emitter_of[glow]
                    for run in range(run_begins[emitter], run_begins[emitter + 1]):
                        at = place - run_place[run]
                        if 0 <= at < run_flat[run + 1] - run_flat[run]:
                            shines = candela_cd[vehicle * each, run_flat[run] + at]
                            gone[group_of[glow]] += weights[vehicle, glow] * shines
                reaches = False
                row = 0
                while row < len(rows) and not reaches:
                    total = 0.0
                    for group in range(groups_n):
                        total += rows[row, group] * max(0.0, groups_cd[vehicle, group, place] - gone[group])
                    reaches = total >= least_cd
                    row += 1
                found[vehicle, place] = reaches


turned = _compiled(_turned)
summed = _compiled(_summed)
powered = _compiled(_powered)
reached = _compiled(_reached)
reached_one_dead = _compiled(_reached_one_dead)
"""The functions above, compiled."""
