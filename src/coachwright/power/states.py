"""Which pictures of who is on occur while loads flash, and when?

Twelve thousand steps of a minute hold some hundreds of different ones; whatever doesn't depend on the past is worked
out once for each and then laid out over time again.

See Also
--------
coachwright.kit.wave : what flashes. coachwright.power.network : works out one picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.wave import Wave

MOST_STEPS = 5_000_000
_MOST_CODE = 2**62


@dataclass(frozen=True, slots=True)
class States:
    """The distinct states, and which of them holds in each step.

    levels : of each wave in each state, shape (states, waves), in the order in which they first occur.
    which : state of each step, shape (steps,). step_ms : length of one. [ms]
    """

    levels: NDArray[np.float64]
    which: NDArray[np.intp]
    step_ms: int

    @property
    def shares(self) -> NDArray[np.float64]:
        """Part of the time each state holds, shape (states,)."""
        return np.bincount(self.which, minlength=len(self.levels)) / len(self.which)


def states_of(waves: Sequence[Wave], *, until_ms: int, step_ms: int) -> States:
    """The distinct states of waves, looked at where each step begins, from 0 on.

    Waves that are equal are looked at once, however many loads share one.

    Raises
    ------
    ValueError : no step fits, or more than `MOST_STEPS`.
    """
    if step_ms < 1 or not 1 <= until_ms // step_ms <= MOST_STEPS:
        raise ValueError(f"{until_ms} ms in steps of {step_ms} ms: between 1 and {MOST_STEPS:,} steps are looked at")
    times_ms = np.arange(until_ms // step_ms, dtype=np.int64) * step_ms
    codes = np.zeros(len(times_ms), dtype=np.int64)
    kinds_n = 1
    kinds = dict.fromkeys(waves)
    for wave in kinds:
        if wave.is_constant:
            continue
        levels, level_of = np.unique(wave.values, return_inverse=True)
        if kinds_n * len(levels) > _MOST_CODE:
            codes = np.unique(codes, return_inverse=True)[1]
            kinds_n = int(codes.max()) + 1
        places = np.searchsorted(np.array(wave.edges), times_ms % wave.period_ms, side="right") - 1
        codes = codes * len(levels) + level_of[places]
        kinds_n *= len(levels)
    _, first, which = np.unique(codes, return_index=True, return_inverse=True)
    order = np.argsort(first)
    back = np.empty_like(order)
    back[order] = np.arange(len(order))
    at_ms = times_ms[first[order]]
    columns = {wave: _levels_at(wave, at_ms) for wave in kinds}
    levels_found = np.empty((len(order), len(waves)))
    for column, wave in enumerate(waves):
        levels_found[:, column] = columns[wave]
    return States(levels_found, back[which], step_ms)


def _levels_at(wave: Wave, times_ms: NDArray[np.int64]) -> NDArray[np.float64]:
    values = np.array(wave.values)
    if wave.is_constant:
        return np.full(times_ms.shape, values[0])
    return np.asarray(values[np.searchsorted(np.array(wave.edges), times_ms % wave.period_ms, side="right") - 1])
