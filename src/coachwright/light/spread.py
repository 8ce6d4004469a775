"""How is a number drawn that lies somewhere in a range: evenly, mostly in the middle, or as errors of a hand do?

Every draw is made of even random numbers by the inverse of its distribution, so that a number stays the same as long as
the seed and the name of what it is drawn for do: one lamp more in the build changes no draw of the others.
"""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

Shape = Literal["uniform", "triangular", "normal", "chance"]
SHAPES: tuple[Shape, ...] = ("uniform", "triangular", "normal", "chance")


@dataclass(frozen=True, slots=True)
class Spread:
    """One distribution.

    uniform: `low` to `high`. triangular: likeliest at `likely`. normal: middle `likely`, standard deviation `spread`,
    nothing beyond `cut` of them. chance: 1 in a share `likely` of all draws, else 0.
    """

    shape: Shape
    low: float = 0.0
    likely: float = 0.0
    high: float = 0.0
    spread: float = 0.0
    cut: float = 3.0

    @property
    def furthest(self) -> float:
        """Largest number that can be drawn, whatever its sign."""
        if self.shape == "chance":
            return 1.0
        if self.shape == "normal":
            return abs(self.likely) + self.cut * self.spread
        return max(abs(self.low), abs(self.high))


def drawn(spread: Spread, draws_n: int, *, seed: int, name: str) -> Floats:
    """`draws_n` numbers of a distribution; the same for the same seed and name, and the first of many are the few.

    Notes
    -----
    triangular: F(x) = (x - a)^2 / ((b - a)(c - a)) up to the likeliest c, mirrored beyond. normal: Box and Muller's
    transform, drawn again (from the same row) while beyond the cut.
    """
    source = np.random.default_rng([seed, zlib.crc32(name.encode("utf-8"))])
    if spread.shape == "normal":
        return spread.likely + spread.spread * _normal(source, draws_n, spread.cut)
    even = source.random(draws_n)
    if spread.shape == "chance":
        return (even < spread.likely).astype(np.float64)
    if spread.shape == "uniform":
        return spread.low + (spread.high - spread.low) * even
    return _triangular(spread, even)


def _triangular(spread: Spread, even: Floats) -> Floats:
    low, likely, high = spread.low, spread.likely, spread.high
    if high <= low:
        return np.full(len(even), low)
    split = (likely - low) / (high - low)
    below = low + np.sqrt(even * (high - low) * (likely - low))
    above = high - np.sqrt((1.0 - even) * (high - low) * (high - likely))
    return np.where(even < split, below, above)


_TRIES_N = 8


def _normal(source: np.random.Generator, draws_n: int, cut: float) -> Floats:
    """Standard normal numbers within the cut. One row of eight tries each; past them the nearest to the middle."""
    even = source.random((draws_n, _TRIES_N, 2))
    tries = np.sqrt(-2.0 * np.log1p(-even[:, :, 0])) * np.cos(math.tau * even[:, :, 1])
    inside = abs(tries) <= cut
    first = np.where(inside.any(axis=1), inside.argmax(axis=1), abs(tries).argmin(axis=1))
    chosen: Floats = np.clip(tries[np.arange(draws_n), first], -cut, cut)
    return chosen
