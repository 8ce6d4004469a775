"""What does the far field of many heads become over time: mean, brightest instant, effective intensity, gaps?

Candela toward a direction are fixed; only waves move. Heads that share one wave are added before anything else is
done, so that toward each direction a few numbers remain, and every answer is a maximum over fixed weights of them:

- effective intensity: one row of weights per window of time that can be the best one, light.effective has the law;
- brightest instant: one row per moment at which the waves stand differently;
- mean: one row.

**Clocks.** Waves on one clock are added instant by instant. Clocks that run by themselves stand in any phase to each
other: the mean adds up all the same. Of the rest only that is promised which holds in every phase: the clock that gives
most taken alone, and for the brightest instant what never goes out on the others' heads.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.once import once
from coachwright.kit.wave import MOST_PERIOD_MS, Wave, common_period_ms
from coachwright.light.effective import VISUAL_TIME_S, effective_level
from coachwright.light.far_field import Floats

MOST_TOGETHER_N = 256
"""Steps in the common period up to which waves are taken together; past it they count as clocks of their own."""

CD_S_PER_MIN = 60.0
"""Optical power is the light of one minute: 60 s times the mean. [s/min]"""


@dataclass(frozen=True, slots=True)
class Clock:
    """Distinct waves that keep their phase to each other. places : theirs, among all distinct waves."""

    waves: tuple[Wave, ...]
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Merged:
    """Heads gathered by what they do.

    waves : the distinct ones. of_head : which of them each head follows, shape (heads,). clocks : who keeps step.
    """

    waves: tuple[Wave, ...]
    of_head: NDArray[np.intp]
    clocks: tuple[Clock, ...]


def merged(waves: Sequence[Wave], clocks: Sequence[str]) -> Merged:
    """Gather heads whose waves and clocks are the same.

    Parameters
    ----------
    waves : of each head, share of full light. clocks : name of the clock each of them runs on.
    """
    kinds: dict[tuple[str, Wave], int] = {}
    of_head = np.zeros(len(waves), dtype=np.intp)
    for head, (wave, clock) in enumerate(zip(waves, clocks, strict=True)):
        of_head[head] = kinds.setdefault(("" if wave.is_constant else clock, wave), len(kinds))
    steady = tuple(place for (_, wave), place in kinds.items() if wave.is_constant)
    by_clock: dict[str, list[int]] = {}
    for (clock, wave), place in kinds.items():
        if not wave.is_constant:
            by_clock.setdefault(clock, []).append(place)
    distinct = tuple(wave for _, wave in kinds)
    groups = [group for places in by_clock.values() for group in _in_step(places, distinct)] or [()]
    return Merged(
        distinct,
        of_head,
        tuple(
            Clock(tuple(distinct[place] for place in (*group, *steady)), (*group, *steady))
            for group in groups
            if group or steady
        ),
    )


def _in_step(places: Sequence[int], waves: Sequence[Wave]) -> list[tuple[int, ...]]:
    """Those that can be taken together: all, else those of one period, else each by itself."""
    if _fits([waves[place] for place in places]):
        return [tuple(places)]
    by_period: dict[int, list[int]] = {}
    for place in places:
        by_period.setdefault(waves[place].period_ms, []).append(place)
    return [
        group
        for same in by_period.values()
        for group in ([tuple(same)] if _fits([waves[place] for place in same]) else [(place,) for place in same])
    ]


def _fits(waves: Sequence[Wave]) -> bool:
    period_ms = common_period_ms(*waves)
    steps_n = sum(len(wave.edges) * (period_ms // wave.period_ms) for wave in waves)
    return len(waves) == 1 or (period_ms <= MOST_PERIOD_MS and steps_n <= MOST_TOGETHER_N)


# ---- light toward directions


def gathered(together: Merged, candela_cd: Floats, weights: Floats | None = None) -> Floats:
    """Candela of each distinct wave, shape (waves, directions...).

    candela_cd : of each head at full light, shape (heads, directions...). weights : of each head, 1 when left out;
    shape (heads,), or (variants, heads) for shape (variants, waves, directions...).
    """
    flat = candela_cd.reshape(len(candela_cd), math.prod(candela_cd.shape[1:]))
    belongs = np.zeros((len(together.waves), len(flat)))
    belongs[together.of_head, np.arange(len(flat))] = 1.0
    if weights is None:
        weights = np.ones(len(flat))
    found = (belongs * weights[..., None, :]) @ flat
    return np.asarray(found.reshape(*found.shape[:-1], *candela_cd.shape[1:]), dtype=np.float64)


def mean_cd(together: Merged, gathered_cd: Floats) -> Floats:
    """Mean over time toward each direction, all clocks. [cd]

    gathered_cd : shape (..., waves, directions).
    """
    return np.asarray(np.array([wave.mean() for wave in together.waves]) @ gathered_cd, dtype=np.float64)


def optical_power(together: Merged, gathered_cd: Floats) -> Floats:
    """Light given in a minute toward each direction; waves that never change count nothing. [cd s/min]

    gathered_cd : shape (..., waves, directions).
    """
    means = np.array([0.0 if wave.is_constant else wave.mean() for wave in together.waves])
    return np.asarray(CD_S_PER_MIN * means @ gathered_cd, dtype=np.float64)


def effective_cd(together: Merged, gathered_cd: Floats) -> Floats:
    """Effective intensity (Blondel-Rey) of the summed light toward each direction. [cd]

    gathered_cd : shape (..., waves, directions).
    """
    found = np.zeros((*gathered_cd.shape[:-2], gathered_cd.shape[-1]))
    for clock in together.clocks:
        here = effective_weights(clock.waves) @ gathered_cd[..., list(clock.places), :]
        found = np.maximum(found, here.max(axis=-2))
    return found


def brightest_cd(together: Merged, gathered_cd: Floats) -> Floats:
    """Largest instantaneous sum toward each direction that comes whatever the clocks do. [cd]

    gathered_cd : shape (..., waves, directions).
    """
    found = np.zeros((*gathered_cd.shape[:-2], gathered_cd.shape[-1]))
    for clock in together.clocks:
        here = instant_weights(clock.waves) @ gathered_cd[..., list(clock.places), :]
        others = np.array([wave.trough() for wave in together.waves])
        others[list(clock.places)] = 0.0
        found = np.maximum(found, here.max(axis=-2) + others @ gathered_cd)
    return found


@once(max_bytes=16_000_000)
def effective_weights(waves: tuple[Wave, ...]) -> Floats:
    """Rows of weights, shape (windows, waves): the effective intensity is the largest row-sum times candela.

    Notes
    -----
    A window from t1 to t2 gives  sum over waves  c_w integral(share_w dt) / (0.2 s + t2 - t1):  linear in the candela
    c_w. A best window begins where the sum rises and ends where it falls, so where some wave does; it is no longer than
    one cycle, or the mean is the answer (light.effective). Rows that no light of any direction can make the largest,
    since another is larger in every wave, are left out. A wave of more than `MOST_TOGETHER_N` steps counts alone,
    without the steady light beside it.

    See Also
    --------
    coachwright.light.effective.blondel_rey_repeating : the law for one wave, window by window.
    """
    means = np.array([[wave.mean() for wave in waves]])
    if len(waves) == 1:
        return np.array([[effective_level(waves[0])]])
    if not common_period_ms(*waves):
        return means
    if len(max(waves, key=lambda wave: len(wave.edges)).edges) > MOST_TOGETHER_N:
        alone = [0.0 if wave.is_constant else effective_level(wave) for wave in waves]
        return _largest_rows(np.vstack([means, np.diag(alone)]))
    lengths_s, shares = _laid_side_by_side(waves)
    steps_n = len(lengths_s)
    before = np.roll(shares, 1, axis=0)
    begins = np.flatnonzero((shares > before).any(axis=1))
    ends = np.flatnonzero((shares < before).any(axis=1))
    light = np.vstack([np.zeros(len(waves)), np.cumsum(np.tile(lengths_s[:, None] * shares, (2, 1)), axis=0)])
    since_s = np.concatenate([[0.0], np.cumsum(np.tile(lengths_s, 2))])
    first = np.repeat(begins, len(ends))
    last = np.tile(ends, len(begins))
    last = np.where(last <= first, last + steps_n, last)
    rows = (light[last] - light[first]) / (VISUAL_TIME_S + since_s[last] - since_s[first])[:, None]
    return _largest_rows(np.vstack([means, rows]))


@once(max_bytes=16_000_000)
def instant_weights(waves: tuple[Wave, ...]) -> Floats:
    """Every way in which the waves stand at some instant, shape (instants, waves), without those always outdone."""
    if sum(not wave.is_constant for wave in waves) <= 1:
        return np.array([[wave.peak() for wave in waves]])
    return _largest_rows(_laid_side_by_side(waves)[1])


def _laid_side_by_side(waves: Sequence[Wave]) -> tuple[Floats, Floats]:
    """Lengths of the steps of one common period, and every wave's level in each. [s], shape (steps, waves)"""
    period_ms = common_period_ms(*waves)
    edges = sorted(
        {
            edge + lap * wave.period_ms
            for wave in waves
            if wave.period_ms
            for lap in range(period_ms // wave.period_ms)
            for edge in wave.edges
        }
    )
    lengths_s = [(after - edge) / 1000.0 for edge, after in pairwise((*edges, edges[0] + period_ms))]
    return np.array(lengths_s), np.array([[wave.value_at(edge) for wave in waves] for edge in edges])


def _largest_rows(rows: Floats) -> Floats:
    """Without rows that another one reaches in every column."""
    rows = np.unique(rows, axis=0)
    rows = rows[np.argsort(-rows.sum(axis=1), kind="stable")]
    kept = []
    while len(rows):
        kept.append(rows[0])  # of those left the largest in sum, so none of them outdoes it
        rows = rows[(rows > rows[0]).any(axis=1)]
    return np.array(kept)


def first_least(values: Floats) -> int:
    """Place of the smallest value in a flat array, the first of those that differ by rounding only.

    Left and right of a mirrored vehicle are equal to the last digits but not in them; which of the two is named must
    not hang on those.
    """
    return int(np.flatnonzero(values <= values.min() * (1.0 + 1e-9))[0])


# ---- gaps


@dataclass(frozen=True, slots=True)
class Gap:
    """Widest run of bearings under a level. middle_rad : its middle; both 0 when there is none. [rad]"""

    width_rad: float
    middle_rad: float


def widest_gap(level_cd: Floats, *, least_cd: float) -> Gap:
    """Widest run of bearings, right round, whose level is under `least_cd`.

    Parameters
    ----------
    level_cd : at equal steps of bearing from 0, right round, shape (bearings,). [cd]

    Notes
    -----
    Between two bearings the level runs straight, so a gap ends where that line crosses.
    """
    under = level_cd < least_cd
    if under.all():
        return Gap(math.tau, 0.0)
    if not under.any():
        return Gap(0.0, 0.0)
    bearings_n = len(level_cd)
    starts = [place for place in range(bearings_n) if under[place] and not under[place - 1]]
    gaps = [_gap_from(start, level_cd, under, least_cd) for start in starts]
    return max(gaps, key=lambda gap: gap.width_rad)


def _gap_from(start: int, level_cd: Floats, under: NDArray[np.bool_], least_cd: float) -> Gap:
    bearings_n, step_rad = len(level_cd), math.tau / len(level_cd)
    end = start
    while under[(end + 1) % bearings_n]:
        end += 1
    low = start - _crossing(level_cd[start], level_cd[start - 1], least_cd)
    high = end + _crossing(level_cd[end % bearings_n], level_cd[(end + 1) % bearings_n], least_cd)
    return Gap((high - low) * step_rad, ((low + high) / 2.0 * step_rad) % math.tau)


def _crossing(under_cd: float, over_cd: float, least_cd: float) -> float:
    """How far from the bearing under the level, toward the one over it, the level is reached. 0..1"""
    return float((least_cd - under_cd) / (over_cd - under_cd))
