"""When should what flashes begin, so that not all of it draws at once? Phases for the lowest peak, within the pattern.

Every group is a wave that may be put off as a whole. `together` and `alternate` tie groups to each other (no delay
between them, half a cycle); what is tied moves as one. Of the rest one after the other is moved, with the others as
they are, to a delay that is the likelier the lower its peak is, and ever more so [1]_; then each to where the peak is
lowest, then two at a time. That is begun several times and the lowest peak is kept. Draws are seeded and counted, so
the same question has the same answer. What is put off keeps its rate, its share of light and its mean current.

On a vehicle everything that is seen from one zone keeps its time, for there nobody sees another picture than before.
Within ``shows`` whatever one show joins moves as one too, so the build stays true as it is written. Within ``zones``
a show may be cut where two zones meet (who stands at that corner sees it); who wants that writes it as two shows. What
has a clock of its own can't be put off at all: it drifts through every phase anyway.

References
----------
.. [1] S. Geman, D. Geman, "Stochastic relaxation", IEEE Trans. PAMI 6 (1984): annealing by the heat bath.
       The bound: no sum is below its mean, none below its largest single part.

See Also
--------
coachwright.flash.sync : the clocks. coachwright.power.loads : the currents.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Model
from coachwright.flash.sync import shows_of
from coachwright.flash.waves import waves
from coachwright.kit.by_digest import by_digest
from coachwright.kit.wave import Wave, common_period_ms, repeat_together, total
from coachwright.power.darkened import zone_of
from coachwright.power.loads import LAMPS, currents

STEP_MS = 10
"""Delays that are tried."""
MOST_STEPS = 6_000
"""Steps of the common cycle that are looked at; a longer one is looked at in steps of the delays."""
MOST_PAIR_CELLS = 2_000_000
MOST_CELLS = 700_000_000
"""Sums that are worked out while moving one after the other: long cycles have fewer beginnings."""
TRIES_N = 12
"""Beginnings from which the lowest peak is looked for."""
MOVES_N = 2_500
"""Moves while it cools; fewer where the cycle is long."""
WARM_SHARE = 0.06
"""Of the peak: how much worse a delay may well be at first."""
_TIE_A = 1e-9


@dataclass(frozen=True, slots=True)
class Tie:
    """`other` begins so much later than `one`, of its own cycle: 0 together, 0.5 alternating."""

    one: int
    other: int
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Phased:
    """delays_ms : of each group. before_a, after_a : peak. least_a : no phases give less. [ms, A]"""

    delays_ms: tuple[int, ...]
    before_a: float
    after_a: float
    least_a: float


@dataclass(frozen=True, slots=True)
class Moved:
    """What of a vehicle may begin at another time. heads : ids; zone : from which it is seen; delay_ms : best."""

    heads: tuple[str, ...]
    zone: str
    delay_ms: int


@dataclass(frozen=True, slots=True)
class Proposal:
    """Before and after, for the heads on the controller's clock in a situation. why_not : where nothing is gained."""

    before_a: float
    after_a: float
    least_a: float
    moved: tuple[Moved, ...]
    why_not: str = ""


class Untieable(ValueError):
    """Ties that contradict each other."""


def lowest_peak(
    groups: Sequence[Wave],
    ties: Sequence[Tie] = (),
    *,
    step_ms: int = STEP_MS,
    tries_n: int = TRIES_N,
    seed: int = 1,
) -> Phased:
    """Delays of groups of waves for the lowest peak of their sum.

    Parameters
    ----------
    groups : current of each. [A] ties : between them, by place.
    step_ms : delays are multiples of it, where a tie doesn't ask for a finer one.
    tries_n : beginnings. seed : of the draws.

    Raises
    ------
    Untieable : two ties ask for different delays between the same groups.
    WaveTooLong : the groups never come round together, or in too many steps.
    """
    offsets = _offsets(groups, ties)
    blocks = sorted({root for root, _ in offsets})
    tied = [
        total(wave.shift(offset) for wave, (owner, offset) in zip(groups, offsets, strict=True) if owner == root)
        for root in blocks
    ]
    before_a = total(wave.shift(offset) for wave, (_, offset) in zip(groups, offsets, strict=True)).peak()
    least_a = max([0.0, math.fsum(wave.mean() for wave in groups), *(wave.peak() for wave in tied)])
    shifts = _searched(tied, step_ms=step_ms, tries_n=tries_n, seed=seed, least_a=least_a)
    delay_of = dict(zip(blocks, shifts, strict=True))
    delays = tuple(delay_of[root] + offset for root, offset in offsets)
    after_a = total(wave.shift(delay) for wave, delay in zip(groups, delays, strict=True)).peak()
    if after_a >= before_a - _TIE_A:
        return Phased(tuple(offset for _, offset in offsets), before_a, before_a, least_a)
    return Phased(delays, before_a, after_a, least_a)


Within = Literal["shows", "zones"]


@by_digest
def phases(model: Model, *, situation: str, within: Within = "shows") -> Proposal:
    """What could begin at another time in a situation, what that spares, before and after."""
    drawn = currents(model, situation=situation)
    flashing = [
        wave.head
        for wave in waves(model, situation=situation)
        if wave.sync_group == "controller" and f"{LAMPS}{wave.head}" in drawn
    ]
    by_head = {head: drawn[f"{LAMPS}{head}"] for head in flashing}
    if not repeat_together(*by_head.values()):
        return Proposal(math.nan, math.nan, math.nan, (), "their cycles come round together only after many minutes")
    moving = [head for head in flashing if not by_head[head].is_constant]
    still = [head for head in flashing if by_head[head].is_constant]
    blocks = _blocks(model, moving, within)
    groups = [total(by_head[head] for head in block) for block in blocks]
    steady = total(by_head[head] for head in still)
    before_a = total((*groups, steady)).peak()
    if len(blocks) < 2:
        why = "nothing flashes" if not blocks else f"all that flashes is tied together by its {within}"
        return Proposal(before_a, before_a, before_a, (), why)
    found = lowest_peak([*groups, steady])
    if found.after_a >= found.before_a - _TIE_A:
        return Proposal(before_a, before_a, found.least_a, (), "no other phases draw less at once")
    first = found.delays_ms[0]
    moved = [
        Moved(block, zone_of(model, model.head(block[0])), (delay - first) % group.period_ms)
        for block, group, delay in zip(blocks, groups, found.delays_ms, strict=False)
        if not group.is_constant
    ]
    return Proposal(found.before_a, found.after_a, found.least_a, tuple(each for each in moved if each.delay_ms))


def _blocks(model: Model, moving: Sequence[str], within: Within) -> list[tuple[str, ...]]:
    """Heads that keep their time to each other: of one zone, and within shows of one show too."""
    owner = {head: head for head in moving}

    def root(head: str) -> str:
        while owner[head] != head:
            head = owner[head]
        return head

    def join(heads: Sequence[str]) -> None:
        for head in heads[1:]:
            owner[root(head)] = root(heads[0])

    for show in shows_of(model) if within == "shows" else ():
        if any(colour.manner == "pattern" for colour in show.colours):
            join([head for head in show.heads if head in owner])
    by_zone: dict[str, list[str]] = {}
    for head in moving:
        by_zone.setdefault(zone_of(model, model.head(head)), []).append(head)
    for heads in by_zone.values():
        join(heads)
    found: dict[str, list[str]] = {}
    for head in moving:
        found.setdefault(root(head), []).append(head)
    return [tuple(heads) for heads in found.values()]


def _offsets(groups: Sequence[Wave], ties: Sequence[Tie]) -> list[tuple[int, int]]:
    """Per group: whom it moves with, and how much later it begins than that one. [ms]"""
    found = [(place, 0) for place in range(len(groups))]
    for tie in ties:
        period_ms = groups[tie.other].period_ms or groups[tie.one].period_ms
        apart_ms = round(tie.share * period_ms)
        (one, one_ms), (other, other_ms) = found[tie.one], found[tie.other]
        change_ms = one_ms + apart_ms - other_ms
        if one == other:
            if period_ms and change_ms % period_ms:
                raise Untieable(f"groups {tie.one} and {tie.other} can't be {apart_ms} ms apart, as tied already")
            continue
        found = [(one, ms + change_ms) if owner == other else (owner, ms) for owner, ms in found]
    return found


# -------------------------------------------------------------------------------------------------------------- search
def _searched(tied: Sequence[Wave], *, step_ms: int, tries_n: int, seed: int, least_a: float) -> list[int]:
    """Delay of each block. [ms]"""
    moving = [place for place, wave in enumerate(tied) if not wave.is_constant]
    delays = [0] * len(tied)
    if len(moving) < 2:
        return delays
    period_ms = common_period_ms(*(tied[place] for place in moving))
    grid_ms = math.gcd(step_ms, *(edge for place in moving for edge in (tied[place].period_ms, *tied[place].edges)))
    if period_ms // grid_ms > MOST_STEPS:
        grid_ms = step_ms  # a coarser look; the peak that is told is worked out on the waves themselves
    length_n = max(1, period_ms // grid_ms)
    times_ms = np.arange(length_n) * grid_ms
    base = math.fsum(wave.values[0] for wave in tied if wave.is_constant)
    tables = [_shifted(tied[place], times_ms, step_ms) for place in moving]
    best = _descend(tables, base, tries_n=tries_n, draw=Random(seed), least_a=least_a)
    for place, shift in zip(moving, best, strict=True):
        delays[place] = shift * step_ms
    return delays


def _shifted(wave: Wave, times_ms: NDArray[np.int64], step_ms: int) -> NDArray[np.float64]:
    """The wave at every delay within its cycle, shape (delays, times)."""
    edges, values = np.array(wave.edges), np.array(wave.values)
    delays = np.arange(0, wave.period_ms, step_ms)
    at = (times_ms[None, :] - delays[:, None]) % wave.period_ms
    return np.asarray(values[np.searchsorted(edges, at, side="right") - 1])


def _descend(
    tables: Sequence[NDArray[np.float64]], base: float, *, tries_n: int, draw: Random, least_a: float
) -> list[int]:
    moves_n = min(MOVES_N, MOST_CELLS * len(tables) // (tries_n * sum(table.size for table in tables)))
    best, best_a = [0] * len(tables), math.inf
    for attempt in range(tries_n):
        at = [0] * len(tables)
        if attempt:
            at = _cooled(tables, base, [draw.randrange(len(table)) for table in tables], moves_n=moves_n, draw=draw)
        peak_a = _settled(tables, base, at, draw)
        if peak_a < best_a - _TIE_A:
            best, best_a = list(at), peak_a
        if best_a <= least_a + _TIE_A:
            break
    return best


def _cooled(
    tables: Sequence[NDArray[np.float64]], base: float, at: list[int], *, moves_n: int, draw: Random
) -> list[int]:
    """The best of a walk that begins anywhere and ends where hardly anything worse is taken."""
    whole = base + np.sum([table[shift] for table, shift in zip(tables, at, strict=True)], axis=0)
    best, best_a = list(at), float(whole.max())
    warm_a = WARM_SHARE * best_a
    for move in range(moves_n):
        place = draw.randrange(len(tables))
        rest = whole - tables[place][at[place]]
        peaks = (rest[None, :] + tables[place]).max(axis=1)
        likely = np.cumsum(np.exp((peaks.min() - peaks) / (warm_a * (1 - move / moves_n) + _TIE_A)))
        at[place] = min(int(np.searchsorted(likely, draw.random() * likely[-1])), len(likely) - 1)
        whole = rest + tables[place][at[place]]
        if peaks[at[place]] < best_a - _TIE_A:
            best, best_a = list(at), float(peaks[at[place]])
    return best


def _settled(tables: Sequence[NDArray[np.float64]], base: float, at: list[int], draw: Random) -> float:
    """Move one after the other to where the peak is lowest, until none gains; then two at once."""
    whole = base + np.sum([table[shift] for table, shift in zip(tables, at, strict=True)], axis=0)
    score = _score(whole[None, :])[0]
    while True:
        gained = False
        for place in draw.sample(range(len(tables)), len(tables)):
            rest = whole - tables[place][at[place]]
            scores = _score(rest[None, :] + tables[place])
            lowest = int(np.argmin(scores))
            if scores[lowest] < score - _TIE_A:
                at[place], score, gained = lowest, float(scores[lowest]), True
                whole = rest + tables[place][lowest]
        if gained:
            continue
        pair = _pair(tables, whole, at, score, draw)
        if pair is None:
            return float(whole.max())
        (one, other), (one_at, other_at), score = pair
        whole = whole - tables[one][at[one]] - tables[other][at[other]] + tables[one][one_at] + tables[other][other_at]
        at[one], at[other] = one_at, other_at


def _pair(
    tables: Sequence[NDArray[np.float64]], whole: NDArray[np.float64], at: Sequence[int], score: float, draw: Random
) -> tuple[tuple[int, int], tuple[int, int], float] | None:
    """Two that gain when both move, among those that burn at the peak."""
    hot = int(np.argmax(whole))
    burning = [place for place in range(len(tables)) if tables[place][at[place]][hot] > 0]
    pairs = [(one, other) for one in burning for other in range(len(tables)) if one != other]
    for one, other in draw.sample(pairs, min(len(pairs), 6)):
        if len(tables[one]) * tables[other].size > MOST_PAIR_CELLS:
            continue
        rest = whole - tables[one][at[one]] - tables[other][at[other]]
        for one_at in range(len(tables[one])):
            scores = _score((rest + tables[one][one_at])[None, :] + tables[other])
            lowest = int(np.argmin(scores))
            if scores[lowest] < score - _TIE_A:
                return (one, other), (one_at, lowest), float(scores[lowest])
    return None


def _score(sums: NDArray[np.float64]) -> NDArray[np.float64]:
    """The peak first; of equal peaks the one that lasts shorter and has less beside it."""
    peaks = sums.max(axis=1)
    near = np.square(np.maximum(sums - 0.9 * peaks[:, None], 0.0)).mean(axis=1)
    return np.asarray(peaks + 1e-4 * near / np.maximum(peaks, 1e-9))
