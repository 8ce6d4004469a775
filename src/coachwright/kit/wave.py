"""A signal that goes in steps and repeats: light, current, whatever is on and off by the millisecond.

Time is whole milliseconds. Two waves that say the same are equal objects and hash alike: neighbouring steps of one
value are one step, and the period is the shortest that repeats. A constant has period 0.

See Also
--------
coachwright.flash.waves : makes them. coachwright.light.effective, coachwright.power.loads : live on them.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import index

import numpy as np
from numpy.typing import NDArray

MOST_PERIOD_MS = 600_000
"""Waves that repeat together only after more than ten minutes are not worked out."""

MOST_EDGES = 200_000
"""Nor waves with more steps than this in one period."""

MOST_STEPS = 5_000_000
"""Longest row of steps handed out at once."""


class WaveTooLong(ValueError):
    """Signals that repeat too late, or in too many steps, to be worked out step by step."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Wave:
    """A periodic step signal.

    Parameters
    ----------
    period_ms : after which it repeats; 0 for a constant. [ms]
    edges : where a step starts, ascending, each in 0 <= edge < period. [ms]
    values : level from that edge until the next one; the last holds on past the end of the period until the first edge.

    Raises
    ------
    ValueError : edges that don't ascend or lie outside the period, other numbers of values than of edges, values that
        aren't finite.
    WaveTooLong : a period over `MOST_PERIOD_MS` or more than `MOST_EDGES` steps in it, in shortest form.
    """

    period_ms: int
    edges: tuple[int, ...] = (0,)
    values: tuple[float, ...] = (0.0,)

    def __post_init__(self) -> None:
        period_ms, edges, values = _shortest(*_checked(self.period_ms, self.edges, self.values))
        _refuse_too_long(period_ms, len(edges))
        object.__setattr__(self, "period_ms", period_ms)
        object.__setattr__(self, "edges", edges)
        object.__setattr__(self, "values", values)

    @classmethod
    def constant(cls, value: float) -> Wave:
        """Always `value`."""
        return cls(0, (0,), (value,))

    @classmethod
    def of(cls, steps: Iterable[tuple[int, float]]) -> Wave:
        """From (duration in ms, value) pairs, the first beginning at 0: ``Wave.of([(60, 1.0), (40, 0.0)])``."""
        edges, values, at_ms = [], [], 0
        for duration_ms, value in steps:
            edges.append(at_ms)
            values.append(value)
            at_ms += index(duration_ms)
        return cls(at_ms, tuple(edges), tuple(values))

    @property
    def is_constant(self) -> bool:
        """Whether it never changes."""
        return self.period_ms == 0

    def value_at(self, time_ms: int) -> float:
        """Level at any time, also before 0. [ms]"""
        if self.is_constant:
            return self.values[0]
        return self.values[bisect_right(self.edges, time_ms % self.period_ms) - 1]

    # ---- waves out of waves

    def shift(self, delay_ms: int) -> Wave:
        """The same, `delay_ms` later (earlier when negative). [ms]"""
        if self.is_constant:
            return self
        moved = sorted(
            zip(((edge + index(delay_ms)) % self.period_ms for edge in self.edges), self.values, strict=True)
        )
        return Wave(self.period_ms, tuple(edge for edge, _ in moved), tuple(value for _, value in moved))

    def scale(self, factor: float) -> Wave:
        """Every level times `factor`."""
        return Wave(self.period_ms, self.edges, tuple(value * factor for value in self.values))

    def add(self, *others: Wave) -> Wave:
        """The sum at every instant. [the same unit]

        Raises
        ------
        WaveTooLong : they repeat together too late, or in too many steps.
        """
        return _combined((self, *others), np.add)

    def maximum(self, *others: Wave) -> Wave:
        """The highest at every instant; raises as `add`."""
        return _combined((self, *others), np.maximum)

    # ---- numbers out of a wave

    def mean(self) -> float:
        """Average level over time."""
        return self._averaged(lambda value: value)

    def rms(self) -> float:
        """Root of the mean square: what heats a wire."""
        return math.sqrt(self._averaged(lambda value: value * value))

    def peak(self) -> float:
        """Highest level."""
        return max(self.values)

    def trough(self) -> float:
        """Lowest level."""
        return min(self.values)

    def on_share(self, *, above: float = 0.0) -> float:
        """Share of the time in which the level is over `above`. 0..1"""
        return self._averaged(lambda value: float(value > above))

    def longest_dark_ms(self, *, above: float = 0.0) -> float:
        """Longest stretch without a level over `above`; infinite when there is none, 0 when it always is. [ms]"""
        lit = self.lit_spans(above=above)
        if not lit:
            return 0.0 if self.values[0] > above else math.inf
        nexts = [*lit[1:], (lit[0][0] + self.period_ms, 0)]
        return float(max(following[0] - span[1] for span, following in zip(lit, nexts, strict=True)))

    def lit_spans(self, *, above: float = 0.0) -> tuple[tuple[int, int], ...]:
        """Each stretch over `above` that begins within one period, as (start, end) in ms; the last may end beyond it.

        Empty for a wave that is never lit, and for one that always is: neither has a beginning.
        """
        lit = [value > above for value in self.values]
        if all(lit) or not any(lit):
            return ()
        first = next(place for place in range(len(lit)) if lit[place] and not lit[place - 1])
        spans: list[tuple[int, int]] = []
        for step in range(first, first + len(lit)):
            place, laps = step % len(lit), step // len(lit)
            after, laps_after = (step + 1) % len(lit), (step + 1) // len(lit)
            end_ms = self.edges[after] + laps_after * self.period_ms
            if lit[place] and lit[place - 1] and spans:
                spans[-1] = (spans[-1][0], end_ms)
            elif lit[place]:
                spans.append((self.edges[place] + laps * self.period_ms, end_ms))
        return tuple(sorted((start % self.period_ms, end - start + start % self.period_ms) for start, end in spans))

    def flashes_n(self, *, above: float = 0.0) -> int:
        """How often it goes from dark to lit in one period."""
        return len(self.lit_spans(above=above))

    def flash_rate_hz(self, *, above: float = 0.0) -> float:
        """Flashes per second, averaged over the period; 0 for a constant. [Hz]"""
        return 1000.0 * self.flashes_n(above=above) / self.period_ms if self.period_ms else 0.0

    def most_flashes_n(self, window_ms: int, *, above: float = 0.0) -> int:
        """Most beginnings of a flash in any stretch of `window_ms` (its end excluded), wherever it is laid."""
        starts = [start for start, _ in self.lit_spans(above=above)]
        if not starts or window_ms <= 0:
            return 0
        laps, rest_ms = divmod(index(window_ms), self.period_ms)
        twice = [*starts, *(start + self.period_ms for start in starts)]
        here = max(bisect_right(twice, start + rest_ms - 1) - place for place, start in enumerate(starts))
        return laps * len(starts) + (here if rest_ms else 0)

    def steps(self, start_ms: int, end_ms: int) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        """The steps from `start_ms` to `end_ms`, in order. [ms]

        Returns
        -------
        edges : shape (n + 1,), first `start_ms`, last `end_ms`. [ms]
        values : shape (n,), level between neighbouring edges; neighbours differ.

        Raises
        ------
        ValueError : the stretch is empty.
        WaveTooLong : it holds more than `MOST_STEPS` steps.
        """
        if end_ms <= start_ms:
            raise ValueError(f"no time passes from {start_ms} ms to {end_ms} ms")
        ends = np.array([start_ms, end_ms], dtype=np.int64)
        if self.is_constant:
            return ends, np.array(self.values)
        first_lap, last_lap = start_ms // self.period_ms, (end_ms - 1) // self.period_ms
        if (last_lap - first_lap + 1) * len(self.edges) > MOST_STEPS:
            raise WaveTooLong(f"{start_ms} ms to {end_ms} ms holds more than {MOST_STEPS:,} steps of this signal")
        laps_ms = np.arange(first_lap, last_lap + 1, dtype=np.int64) * self.period_ms
        all_edges = (laps_ms[:, None] + np.array(self.edges, dtype=np.int64)).ravel()
        inside = all_edges[(all_edges > start_ms) & (all_edges < end_ms)]
        edges = np.concatenate([ends[:1], inside, ends[1:]])
        return edges, _values_at(self, edges[:-1])

    def _averaged(self, of: Callable[[float], float]) -> float:
        if self.is_constant:
            return of(self.values[0])
        weighed = (of(value) * length for value, length in zip(self.values, _lengths(self), strict=True))
        return math.fsum(weighed) / self.period_ms


def total(waves: Iterable[Wave]) -> Wave:
    """Sum of any number of waves, 0 for none; raises as `Wave.add`."""
    return Wave.constant(0.0).add(*waves)


def common_period_ms(*waves: Wave) -> int:
    """After which all of them repeat together; 0 when all are constant. [ms]"""
    return math.lcm(*(wave.period_ms or 1 for wave in waves)) if any(wave.period_ms for wave in waves) else 0


def repeat_together(*waves: Wave) -> bool:
    """Whether `add` and `maximum` can work them out: they come round together soon enough, in few enough steps."""
    period_ms = common_period_ms(*waves)
    steps_n = sum(len(wave.edges) * (period_ms // wave.period_ms) for wave in waves if wave.period_ms)
    return period_ms <= MOST_PERIOD_MS and steps_n <= MOST_EDGES


def overlap_ms(one: Wave, other: Wave, *, above: float = 0.0) -> float:
    """Time in which both are over `above`, in one common period; for two constants 0 or infinite. [ms]"""
    period_ms = common_period_ms(one, other)
    share = overlap_share(one, other, above=above)
    return share * period_ms if period_ms else (math.inf if share else 0.0)


def overlap_share(one: Wave, other: Wave, *, above: float = 0.0) -> float:
    """Share of the time in which both are over `above`. 0..1"""
    return _combined((one, other), np.minimum).on_share(above=above)


def _combined(waves: Sequence[Wave], how: np.ufunc) -> Wave:
    period_ms = common_period_ms(*waves)
    if not period_ms:
        return Wave.constant(float(how.reduce([wave.values[0] for wave in waves])))
    moving = [wave for wave in waves if wave.period_ms]
    _refuse_too_long(period_ms, sum(len(wave.edges) * (period_ms // wave.period_ms) for wave in moving))
    edges = np.unique(np.concatenate([_laid_out(wave, period_ms) for wave in moving]))
    values = _values_at(waves[0], edges)
    for wave in waves[1:]:
        values = how(values, _values_at(wave, edges))
    return Wave(period_ms, tuple(edges.tolist()), tuple(values.tolist()))


def _laid_out(wave: Wave, period_ms: int) -> NDArray[np.int64]:
    laps_ms = np.arange(period_ms // wave.period_ms, dtype=np.int64) * wave.period_ms
    return (laps_ms[:, None] + np.array(wave.edges, dtype=np.int64)).ravel()


def _values_at(wave: Wave, times_ms: NDArray[np.int64]) -> NDArray[np.float64]:
    values = np.array(wave.values)
    if wave.is_constant:
        return np.full(times_ms.shape, values[0])
    return np.asarray(values[np.searchsorted(wave.edges, times_ms % wave.period_ms, side="right") - 1])


def _lengths(wave: Wave) -> list[int]:
    return [after - edge for edge, after in pairwise((*wave.edges, wave.edges[0] + wave.period_ms))]


def _refuse_too_long(period_ms: int, edges_n: int) -> None:
    if period_ms > MOST_PERIOD_MS:
        most_s = MOST_PERIOD_MS // 1000
        raise WaveTooLong(f"repeats only after {period_ms / 1000:,.1f} s; the longest worked out is {most_s} s")
    if edges_n > MOST_EDGES:
        raise WaveTooLong(f"takes {edges_n:,} steps before it repeats; the most worked out are {MOST_EDGES:,}")


def _checked(
    period_ms: int, edges: Sequence[int], values: Sequence[float]
) -> tuple[int, tuple[int, ...], tuple[float, ...]]:
    period_ms, edges = index(period_ms), tuple(map(index, edges))
    values = tuple(float(value) + 0.0 for value in values)  # -0.0 becomes 0.0
    if not edges or len(edges) != len(values):
        raise ValueError(
            f"a wave needs one value for each edge, and at least one; here are {len(values)} and {len(edges)}"
        )
    if period_ms < 0 or edges[0] < 0 or edges[-1] >= max(period_ms, 1) or (period_ms == 0 and len(edges) > 1):
        raise ValueError(
            f"edges of a wave lie within its period of {period_ms} ms; here are {edges[0]} to {edges[-1]} ms"
        )
    if any(after <= edge for edge, after in pairwise(edges)):
        raise ValueError("edges of a wave ascend, each later than the one before")
    if not all(map(math.isfinite, values)):
        raise ValueError("levels of a wave are finite numbers")
    return period_ms, edges, values


def _shortest(
    period_ms: int, edges: tuple[int, ...], values: tuple[float, ...]
) -> tuple[int, tuple[int, ...], tuple[float, ...]]:
    """The one way to write this signal down."""
    changes = [place for place in range(len(edges)) if values[place] != values[place - 1]]
    if not changes:
        return 0, (0,), (values[0],)
    edges, values = tuple(edges[place] for place in changes), tuple(values[place] for place in changes)
    lengths = [after - edge for edge, after in pairwise((*edges, edges[0] + period_ms))]
    laps = len(edges) // _shortest_repeat(list(zip(lengths, values, strict=True)))
    period_ms //= laps
    kept = len(edges) // laps
    return period_ms, edges[:kept], values[:kept]


def _shortest_repeat(items: list[tuple[int, float]]) -> int:
    """Length of the shortest beginning that, said over and over, gives all of `items` (Knuth, Morris, Pratt)."""
    borders = [0] * len(items)
    for place in range(1, len(items)):
        border = borders[place - 1]
        while border and items[place] != items[border]:
            border = borders[border - 1]
        borders[place] = border + (items[place] == items[border])
    repeat = len(items) - borders[-1]
    return repeat if len(items) % repeat == 0 else len(items)
