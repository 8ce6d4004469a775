"""What does one flash look like over time: stretches of light, each running straight from one intensity to another.

Pulses as written (``50 ms @ 1000 cd``) are level stretches; measured flashes are samples joined by straight lines.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of a flash.

    duration_s : its length. [s]
    start_cd, end_cd : intensity at its two ends, a straight line between them. [cd]
    """

    duration_s: float
    start_cd: float
    end_cd: float

    def __post_init__(self) -> None:
        if not 0.0 < self.duration_s < math.inf:
            raise ValueError(f"a stretch of light lasts longer than 0 s, this one {self.duration_s:g} s")
        if not (0.0 <= self.start_cd < math.inf and 0.0 <= self.end_cd < math.inf):
            raise ValueError(f"an intensity is 0 cd or more, here from {self.start_cd:g} cd to {self.end_cd:g} cd")

    @property
    def energy_cd_s(self) -> float:
        """Light given by it: intensity times time. [cd s]"""
        return (self.start_cd + self.end_cd) / 2.0 * self.duration_s


Flash = tuple[Stretch, ...]
"""One flash from its first light to its last, dark before and after; or one cycle of a light that repeats."""


def steps(pulses: Iterable[tuple[float, float]]) -> Flash:
    """A flash of level stretches from (duration, intensity) pairs. [s, cd]"""
    return tuple(Stretch(duration_s, intensity_cd, intensity_cd) for duration_s, intensity_cd in pulses)


def samples(intensity_cd: Sequence[float], *, step_s: float) -> Flash:
    """A measured flash: intensities at equal steps, joined by straight lines.

    Parameters
    ----------
    intensity_cd : at least two readings; the first at time 0. [cd]
    step_s : time from one reading to the next. [s]
    """
    if len(intensity_cd) < 2:
        raise ValueError("a measured flash needs at least two readings")
    return tuple(Stretch(step_s, float(first), float(last)) for first, last in pairwise(intensity_cd))


def duration_s(flash: Flash) -> float:
    """Length of the whole flash or cycle. [s]"""
    return math.fsum(stretch.duration_s for stretch in flash)


def energy_cd_s(flash: Flash) -> float:
    """Light given by the whole flash. [cd s]"""
    return math.fsum(stretch.energy_cd_s for stretch in flash)


def peak_cd(flash: Flash) -> float:
    """Brightest instant of the flash. [cd]"""
    return max((max(stretch.start_cd, stretch.end_cd) for stretch in flash), default=0.0)


def lit_span_s(flash: Flash) -> tuple[float, float]:
    """When the first light comes and when the last goes, from the start of the flash; (0, 0) for a dark one. [s]"""
    now_s, first_s, last_s = 0.0, math.inf, 0.0
    for stretch in flash:
        if stretch.start_cd > 0.0 or stretch.end_cd > 0.0:
            first_s = min(first_s, now_s)
            last_s = now_s + stretch.duration_s
        now_s += stretch.duration_s
    return (first_s, last_s) if last_s > 0.0 else (0.0, 0.0)


def mean_cd(flash: Flash) -> float:
    """Mean over the whole flash or cycle. [cd]"""
    return energy_cd_s(flash) / duration_s(flash) if flash else 0.0


def optical_power_cd_s_per_min(flash: Flash, *, flashes_per_minute: float) -> float:
    """Light given in a minute of flashes. [cd s/min]

    Parameters
    ----------
    flash : one of them. [s, cd]
    flashes_per_minute : how many there are; they may not overlap. [1/min]

    Notes
    -----
    Light of one flash times flashes per minute, which is 60 times the mean intensity.

    References
    ----------
    .. [1] SAE J2498 (2016), as its public summary tells it: integral of the intensity over 60 s.
    """
    first_s, last_s = lit_span_s(flash)
    if flashes_per_minute * (last_s - first_s) > 60.0 * (1.0 + 1e-9):
        raise ValueError(f"{flashes_per_minute:g} flashes of {last_s - first_s:g} s each take longer than a minute")
    return energy_cd_s(flash) * flashes_per_minute
