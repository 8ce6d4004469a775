"""How often does somebody see a flash: rate of one pattern, of several lamps together, and within any one second?

A flash is one pulse or a train of pulses close together; two lamps lit at one instant are one flash to the eye.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

FLASHES_IN_A_SECOND = 3
"""Most flashes in any one second that W3C's criterion 2.3.1 lets a screen show. A rule for pictures, not for lamps."""

FLASH_CHANGE_SHARE = 0.1
"""Change of light, as a share of the brightest, that counts toward a flash (W3C, general flash)."""

TOGETHER_S = 0.001
"""Lamps that light up within this time light up together."""

REGULAR_SHARE = 0.01
"""Times between flashes that differ by no more than this are equal. Common practice, no source."""

_CRUMB_S = 1e-9
_MOST_ONSETS = 20_000


@dataclass(frozen=True, slots=True)
class PatternRate:
    """Rate of one repeating pattern.

    rate_hz : flashes a second, 0 for a steady or dark lamp. [Hz]
    on_share : lit part of the cycle. [1]
    regular : flashes follow each other at equal times.
    pulses_n, flashes_n : of one cycle. cycle_s : its length. [s]
    """

    rate_hz: float
    on_share: float
    regular: bool
    pulses_n: int
    flashes_n: int
    cycle_s: float


@dataclass(frozen=True, slots=True)
class SeenRate:
    """What one observer sees of several lamps.

    mean_hz : flashes a second on average, those at one instant counted once. [Hz]
    most_n : flashes within the busiest second.
    exact : False where the lamps' rates have no common cycle; `most_n` is then the most they can come to.
    """

    mean_hz: float
    most_n: int
    exact: bool


def pattern_rate(steps_s: Sequence[float], *, join_s: float | None = None) -> PatternRate:
    """Rate of a pattern of lit and dark steps that repeats.

    Parameters
    ----------
    steps_s : lit, dark, lit, dark... each longer than 0; a last lit step runs into the first one. [s]
    join_s : pulses with a shorter dark between them are one flash. Half of the longest dark when left out. [s]

    Notes
    -----
    A train of pulses counts as one flash [1]. Which darks part two flashes and which lie inside one is read from the
    pattern itself: a dark shorter than half the longest joins.

    References
    ----------
    .. [1] SAE J595 (2021), as a public summary tells it: one pulse or a train of pulses is one flash.
    """
    if not steps_s or any(not 0.0 < step < math.inf for step in steps_s):
        raise ValueError("every step of a pattern lasts longer than 0")
    cycle_s = math.fsum(steps_s)
    on_share = math.fsum(steps_s[::2]) / cycle_s
    if len(steps_s) == 1:
        return PatternRate(0.0, 1.0, True, 0, 0, cycle_s)
    starts_s, darks_s = _pulses(steps_s)
    join_s = max(darks_s) / 2.0 if join_s is None else join_s
    flashes_s = [start for start, dark in zip(starts_s, darks_s, strict=True) if dark >= join_s]
    if not flashes_s:
        return PatternRate(0.0, on_share, True, len(starts_s), 0, cycle_s)
    between_s = [later - earlier for earlier, later in pairwise([*flashes_s, flashes_s[0] + cycle_s])]
    regular = max(between_s) - min(between_s) <= REGULAR_SHARE * max(between_s)
    return PatternRate(len(flashes_s) / cycle_s, on_share, regular, len(starts_s), len(flashes_s), cycle_s)


def seen_rate(rates_hz: Sequence[float], phases: Sequence[float], *, together_s: float = TOGETHER_S) -> SeenRate:
    """Rate of the flashes of several lamps, each with one flash a cycle.

    Parameters
    ----------
    rates_hz : of each lamp, more than 0. [Hz]
    phases : when in its own cycle each flashes, 0 to 1. [1]
    together_s : flashes that begin no further apart are one. [s]

    Notes
    -----
    With a common cycle (all rates fractions of one another) the flashes of a whole one are counted. Without one the
    lamps drift through every position to each other, so the busiest second holds what each can give, and none is lost
    to another on average.
    """
    if len(rates_hz) != len(phases) or not rates_hz:
        raise ValueError(f"{len(rates_hz)} rates and {len(phases)} phases; each lamp has one of both")
    if any(not 0.0 < rate < math.inf for rate in rates_hz):
        raise ValueError("a rate is more than 0 Hz")
    cycle_s = _common_cycle_s(rates_hz)
    if cycle_s is None:
        most_n = sum(most_in_a_second([0.0], cycle_s=1.0 / rate) for rate in rates_hz)
        return SeenRate(math.fsum(rates_hz), most_n, exact=False)
    onsets_s = [
        (turn + phase % 1.0) / rate % cycle_s
        for rate, phase in zip(rates_hz, phases, strict=True)
        for turn in range(round(cycle_s * rate))
    ]
    flashes_s = _once_each(onsets_s, cycle_s=cycle_s, together_s=together_s)
    return SeenRate(len(flashes_s) / cycle_s, most_in_a_second(flashes_s, cycle_s=cycle_s), exact=True)


def most_in_a_second(onsets_s: Sequence[float], *, cycle_s: float) -> int:
    """Flashes that begin within the busiest second of a repeating pattern.

    Parameters
    ----------
    onsets_s : beginnings within one cycle. [s]
    cycle_s : length of the cycle, more than 0. [s]

    Notes
    -----
    The second is open at its end: a light of exactly 3 Hz gives three, not four.
    """
    if not onsets_s:
        return 0
    whole_n = math.floor(1.0 / cycle_s + _CRUMB_S)
    rest_s = 1.0 - whole_n * cycle_s - _CRUMB_S
    ordered = sorted(onsets_s)
    row = [*ordered, *(onset + cycle_s for onset in ordered)]
    busiest = max(sum(onset <= other < onset + rest_s for other in row) for onset in ordered)
    return whole_n * len(ordered) + busiest


def flash_onsets_s(
    durations_s: Sequence[float], light: Sequence[float], *, change_share: float = FLASH_CHANGE_SHARE
) -> list[float]:
    """When flashes begin within one cycle of a light that goes in steps. [s]

    Parameters
    ----------
    durations_s : of each step. [s]
    light : of each step, any unit, 0 or more; the sum of what one observer gets from all lamps.
    change_share : smaller ups and downs, as a share of the brightest, are no flash.

    Notes
    -----
    A flash is a rise and a fall that both reach the share [1]. Counted over two cycles, so that it doesn't matter where
    the cycle is cut.

    References
    ----------
    .. [1] W3C, Web Content Accessibility Guidelines 2.1, "general flash and red flash thresholds".
    """
    brightest = max(light, default=0.0)
    if brightest <= 0.0 or max(light) - min(light) < change_share * brightest:
        return []
    needed = change_share * brightest
    darkest = min(range(len(light)), key=light.__getitem__)
    starts_s = [math.fsum(durations_s[:step]) for step in range(len(light))]
    order = [*range(darkest, len(light)), *range(darkest)]
    onsets, rising, extreme = [], True, light[darkest]
    for step in order:
        level = light[step]
        if rising and level - extreme >= needed:
            onsets.append(starts_s[step])
            rising, extreme = False, level
        elif not rising and extreme - level >= needed:
            rising, extreme = True, level
        else:
            extreme = min(extreme, level) if rising else max(extreme, level)
    return sorted(onsets)


def _pulses(steps_s: Sequence[float]) -> tuple[list[float], list[float]]:
    """Start of each pulse, and the dark before it. [s]"""
    starts_s: list[float] = []
    darks_s: list[float] = []
    now_s = 0.0
    for index, step in enumerate(steps_s):
        if index % 2 == 0:
            starts_s.append(now_s)
            darks_s.append(steps_s[index - 1])
        now_s += step
    if len(steps_s) % 2 == 1:  # the last lit step runs into the first: one pulse, begun by the last
        del starts_s[0], darks_s[0]
    return starts_s, darks_s


def _common_cycle_s(rates_hz: Sequence[float]) -> float | None:
    """Shortest time after which all lamps are where they were; None when there is none, or it is out of proportion."""
    rates = [Fraction(rate).limit_denominator(10_000) for rate in rates_hz]
    if any(abs(float(exact) - rate) > 1e-9 * rate for exact, rate in zip(rates, rates_hz, strict=True)):
        return None
    cycle = Fraction(math.lcm(*(rate.denominator for rate in rates)), math.gcd(*(rate.numerator for rate in rates)))
    return float(cycle) if sum(cycle * rate for rate in rates) <= _MOST_ONSETS else None


def _once_each(onsets_s: Sequence[float], *, cycle_s: float, together_s: float) -> list[float]:
    """Onsets with those that fall together counted once, round the cycle."""
    ordered = sorted(onsets_s)
    kept = ordered[:1]
    for onset in ordered[1:]:
        if onset - kept[-1] > together_s:
            kept.append(onset)
    if len(kept) > 1 and kept[0] + cycle_s - kept[-1] <= together_s:
        kept.pop()
    return kept
