"""What do waves of current add up to: mean, what heats a wire, peak?

Where they come round together soon enough the sum is worked out step by step. Where clocks run apart, or cycles meet
only after many minutes, any two of them stand in any phase sooner or later: means add, peaks add, and the squares of
what varies round the means add.

See Also
--------
coachwright.power.loads : the waves. coachwright.power.shape : the same for equal loads, by formula.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

from coachwright.kit.wave import Wave, repeat_together, total


@dataclass(frozen=True, slots=True)
class Summed:
    """mean_a : for alternator and battery. rms_a : heats a wire. peak_a : for drop, drivers, fuses. [A]

    exact : worked out step by step; else `peak_a` is what is reached sooner or later.
    """

    mean_a: float
    rms_a: float
    peak_a: float
    exact: bool


NOTHING = Summed(0.0, 0.0, 0.0, exact=True)


def summed(waves: Mapping[Hashable, Iterable[Wave]]) -> Summed:
    """The sum of waves by the clock they run on; a constant may stand under any clock."""
    parts: list[Wave] = []
    for group in waves.values():
        parts += _in_step(tuple(group))
    constant_a = math.fsum(wave.values[0] for wave in parts if wave.is_constant)
    moving = [wave for wave in parts if not wave.is_constant]
    if len(moving) <= 1:
        whole = total((*moving, Wave.constant(constant_a)))
        return Summed(whole.mean(), whole.rms(), whole.peak(), exact=True)
    mean_a = math.fsum((constant_a, *(wave.mean() for wave in moving)))
    varies = math.fsum(max(0.0, wave.rms() ** 2 - wave.mean() ** 2) for wave in moving)
    peak_a = math.fsum((constant_a, *(wave.peak() for wave in moving)))
    return Summed(mean_a, math.sqrt(mean_a**2 + varies), peak_a, exact=False)


def _in_step(group: tuple[Wave, ...]) -> list[Wave]:
    """Waves of one clock as few sums: one where they come round together, else one of each cycle."""
    if not group:
        return []
    if repeat_together(*group):
        return [total(group)]
    by_period: dict[int, list[Wave]] = {}
    for wave in group:
        by_period.setdefault(wave.period_ms, []).append(wave)
    return [total(by_period[period_ms]) for period_ms in sorted(by_period)]
