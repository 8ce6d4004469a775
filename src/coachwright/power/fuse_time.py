"""How long does a fuse hold a current, when has it surely opened, and what has it let through by then?

A sheet gives points: at a share of the rating it holds for so long at least, and has opened after so long at most.
Between points times run straight on logarithmic paper. Beyond the last point what melts it stays the same (I^2 t),
since no heat leaves it in so short a time: a model, and the sheet of the fuse at hand decides.

See Also
--------
coachwright.power.short : what the wire bears.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from coachwright.kit.wave import Wave
from coachwright.parts.wiring import OpeningTime, Rerating

ADIABATIC_S = 5.0
"""Up to here all heat of a short may be thought to stay in the copper; beyond, the fuse rule guards the wire. [s]

Common practice, and the range of IEC 60949, from memory."""

PULSE_SHARE = 0.22
"""Share of what melts a fuse that may pass in one pulse, a hundred thousand times over. [1]

References
----------
.. [1] A maker's guide to fuses, pulse cycle withstand: 100 pulses 48 %, 1,000 38 %, 10,000 29 %, 100,000 22 %.
"""


def share_at(rerating: Sequence[Rerating], air_degc: float) -> float:
    """Share of its rating that a fuse carries in air of this temperature; straight between the sheet's points.

    Beyond its ends the nearest point holds on the cool side; on the hot side the last stretch goes on, not below 0.
    """
    points: list[tuple[float, float]] = [(each.temperature, each.share) for each in rerating]
    if air_degc <= points[0][0]:
        return points[0][1]
    for (cool, share), (hot, less) in pairwise(points):
        if air_degc <= hot:
            return share + (less - share) * (air_degc - cool) / (hot - cool)
    (cool, share), (hot, less) = points[-2:]
    return max(0.0, less + (less - share) / (hot - cool) * (air_degc - hot))


def holds_s(curve: Sequence[OpeningTime], share: float) -> float:
    """Time for which it holds a share of its rating at least. [s] Infinite up to its rating."""
    if share <= 1.0:
        return math.inf
    points: list[tuple[float, float]] = [(each.share, each.least) for each in curve if each.least > 0]
    if not points:
        return 0.0
    if share <= points[0][0]:
        return points[0][1]
    return _between(points, share)


def opens_s(curve: Sequence[OpeningTime], share: float) -> float:
    """Time after which it has surely opened at a share of its rating. [s] Infinite where the sheet promises nothing."""
    points = [(each.share, each.most) for each in curve if each.most is not None]
    if not points or share < points[0][0]:
        return math.inf
    return _between(points, share)


def _between(points: Sequence[tuple[float, float]], share: float) -> float:
    """Straight on logarithmic paper; beyond the last point the same I^2 t."""
    for (low, slow_s), (high, quick_s) in pairwise(points):
        if share <= high:
            part = math.log(share / low) / math.log(high / low)
            return math.exp(math.log(slow_s) + part * (math.log(quick_s) - math.log(slow_s)))
    last, time_s = points[-1]
    return time_s * (last / share) ** 2


def most_let_through_a2_s(curve: Sequence[OpeningTime], *, rating_a: float, short_a: float) -> float:
    """The most it lets through in a short of up to this current, as far as that is over within `ADIABATIC_S`. [A2 s]

    0 where it never opens as quickly as that: then no short heats the wire as a short.
    """
    shares = [each.share for each in curve if each.most is not None]
    if not shares:
        return math.inf
    ends = [share for share in (*shares, short_a / rating_a) if share * rating_a <= short_a * (1 + 1e-12)]
    quick = _first_within(curve, ADIABATIC_S)
    if quick is not None and quick * rating_a <= short_a:
        ends.append(quick)
    through = [
        (share * rating_a) ** 2 * opens_s(curve, share)
        for share in ends
        if opens_s(curve, share) <= ADIABATIC_S * (1 + 1e-9)
    ]
    return max(through, default=0.0)


def _first_within(curve: Sequence[OpeningTime], time_s: float) -> float | None:
    """The share of the rating at which it opens within this time, no earlier."""
    points = [(each.share, each.most) for each in curve if each.most is not None]
    for (low, slow_s), (high, quick_s) in pairwise(points):
        if quick_s <= time_s < slow_s:
            part = math.log(slow_s / time_s) / math.log(slow_s / quick_s)
            return math.exp(math.log(low) + part * math.log(high / low))
    return points[0][0] if points and points[0][1] <= time_s else None


def stands(curve: Sequence[OpeningTime], *, carries_a: float, wave: Wave) -> bool:
    """Does it bear a current that goes in steps, for good? carries_a : its rating, re-rated for its air.

    Every stretch above a level has to end before the fuse may open at that level, and what heats it on average has to
    be no more than it carries.
    """
    if wave.rms() > carries_a * (1 + 1e-12):
        return False
    for level_a in sorted(set(wave.values)):
        if level_a <= carries_a * (1 + 1e-12):
            continue
        share = level_a / carries_a
        longest_ms = max((end - start for start, end in wave.lit_spans(above=level_a * (1 - 1e-9))), default=math.inf)
        if longest_ms / 1000 >= holds_s(curve, share):
            return False
    return True


def stands_pulse(curve: Sequence[OpeningTime], *, rating_a: float, pulse_a: float, time_s: float) -> bool:
    """Does it bear a surge at switching on, again and again? The surge counts as square, which is on the safe side."""
    if pulse_a <= rating_a or time_s <= 0:
        return True
    melts_a2_s = pulse_a**2 * holds_s(curve, pulse_a / rating_a)
    return pulse_a**2 * time_s <= PULSE_SHARE * melts_a2_s
