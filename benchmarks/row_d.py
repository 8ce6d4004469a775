"""Row D: how low a peak do phases of 12 sync groups give, against a general solver on the same question?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random
from time import perf_counter, process_time

from benchmarks.rows import Outcome, Trial
from coachwright.kit.wave import Wave, common_period_ms, total
from coachwright.power.phase import Phased, Tie, lowest_peak

SEEDS = range(5)
GROUPS_N = 12
STEP_MS = 20
OURS_S, PEER_S = 1.0, 20.0
_CYCLES_MS = (400, 600, 800, 1000)
_MILLI = 1000


def drawn(seed: int, *, groups_n: int = GROUPS_N) -> tuple[list[Wave], list[Tie]]:
    """Groups of one to four pulses in cycles of four lengths, and ties between some of the same length.

    Every step of a wave and half of every cycle lie on the grid of delays, so that both look at the same instants.
    """
    draw = Random(seed)
    groups = []
    for _ in range(groups_n):
        cycle_ms, pulses_n = draw.choice(_CYCLES_MS), draw.randint(1, 4)
        lit_ms = STEP_MS * draw.randint(1, cycle_ms // (2 * STEP_MS * pulses_n))
        dark_ms = STEP_MS * draw.randint(1, max(1, cycle_ms // (4 * STEP_MS * pulses_n)))
        steps = [(lit_ms, draw.randint(5, 60) / 10), (dark_ms, 0.0)] * pulses_n
        level = steps[0][1]
        steps = [(length, level if lit else 0.0) for length, lit in steps]
        groups.append(Wave.of([*steps, (cycle_ms - pulses_n * (lit_ms + dark_ms), 0.0)]))
    by_cycle: dict[int, list[int]] = {}
    for place, wave in enumerate(groups):
        by_cycle.setdefault(wave.period_ms, []).append(place)
    ties = []
    for places in by_cycle.values():
        if len(places) > 1:
            one, other = draw.sample(places, 2)
            ties.append(Tie(one, other, draw.choice((0.0, 0.5))))
    return groups, ties


def _lit(wave: Wave, delay_ms: int, times_ms: Sequence[int]) -> list[int]:
    """Milliamperes at each instant."""
    shifted = wave.shift(delay_ms)
    return [round(_MILLI * shifted.value_at(at_ms)) for at_ms in times_ms]


def _peer(groups: Sequence[Wave], ties: Sequence[Tie]) -> tuple[float, bool]:
    """z3: one choice of delay for each group, a pseudo-Boolean sum for each instant, a lower peak until time is up.

    The peak in amperes, and whether it was proved that none is lower.
    """
    import z3

    ends_s = perf_counter() + PEER_S
    times_ms = range(0, common_period_ms(*groups), STEP_MS)
    solver = z3.SolverFor("QF_FD")
    chosen = [
        [z3.Bool(f"g{place}_{delay}") for delay in range(0, wave.period_ms, STEP_MS)]
        for place, wave in enumerate(groups)
    ]
    for bits in chosen:
        solver.add(z3.PbEq([(bit, 1) for bit in bits], 1))
    solver.add(chosen[0][0])
    for tie in ties:
        one, other = chosen[tie.one], chosen[tie.other]
        later = round(tie.share * groups[tie.other].period_ms) // STEP_MS
        for place, bit in enumerate(one):
            solver.add(bit == other[(place + later) % len(other)])
    lit = [
        [_lit(wave, delay * STEP_MS, times_ms) for delay in range(len(bits))]
        for wave, bits in zip(groups, chosen, strict=True)
    ]
    terms = [
        [
            (chosen[place][delay], lit[place][delay][at])
            for place in range(len(groups))
            for delay in range(len(chosen[place]))
            if lit[place][delay][at]
        ]
        for at in range(len(times_ms))
    ]
    best = math.inf
    while True:
        left_ms = round(_MILLI * (ends_s - perf_counter()))
        if left_ms <= 0:
            return best / _MILLI, False
        solver.set("timeout", left_ms)
        answer = solver.check()
        if answer == z3.unsat:
            return best / _MILLI, True
        if answer != z3.sat:
            return best / _MILLI, False
        model = solver.model()
        delays = [next(d for d, bit in enumerate(bits) if z3.is_true(model[bit])) for bits in chosen]
        best = max(sum(lit[g][d][at] for g, d in enumerate(delays)) for at in range(len(times_ms)))
        for row in terms:
            if sum(weight for _, weight in row) >= best:
                solver.add(z3.PbLe(row, best - 1))


def _ours(groups: Sequence[Wave], ties: Sequence[Tie]) -> tuple[Phased, float]:
    began_s = process_time()
    found = lowest_peak(groups, ties, step_ms=STEP_MS)
    return found, process_time() - began_s


def _lowest() -> Outcome:
    lines, better_n, worst, in_time, agree = [], 0, 0.0, True, True
    _ours(*drawn(99, groups_n=3))
    for seed in SEEDS:
        groups, ties = drawn(seed)
        found, taken_s = _ours(groups, ties)
        peer_a, proved = _peer(groups, ties)
        checked_a = total(w.shift(d) for w, d in zip(groups, found.delays_ms, strict=True)).peak()
        agree = agree and math.isclose(checked_a, found.after_a) and (not proved or peer_a <= found.after_a + 1e-6)
        better_n += found.after_a <= peer_a + 1e-6
        worst = max(worst, found.after_a / peer_a)
        in_time = in_time and taken_s <= OURS_S
        lines.append(
            f"drawn {seed}: before {found.before_a:.1f} A; ours {found.after_a:.1f} A (at least {found.least_a:.1f}) "
            f"in {taken_s:.2f} s of processor time; z3 {peer_a:.1f} A in {PEER_S:g} s{', proved' if proved else ''}"
        )
    lines.append(f"not above z3 in {better_n} of {len(SEEDS)}, worst {worst:.3f} of it; peaks added up again: {agree}")
    lines.append(f"as groups grow: {_growth()}")
    return Outcome(better_n >= len(SEEDS) - 1 and worst <= 1.02 and in_time and agree, tuple(lines))


def _growth() -> str:
    """Processor time at x1, x2, x4 groups, as multiples of the first."""
    taken = [_ours(*drawn(0, groups_n=GROUPS_N * scale))[1] for scale in (1, 2, 4)]
    return ", ".join(f"x{scale} {each / taken[0]:.1f}" for scale, each in zip((1, 2, 4), taken, strict=True))


ROWS = [
    Trial(
        "D",
        f"phases of {GROUPS_N} sync groups for the lowest peak current, some tied together or alternating; five drawn",
        f"z3 with pseudo-Boolean sums on the same question, {PEER_S:g} s each (no CP-SAT or HiGHS is among the locked "
        "packages)",
        f"not above the peer in 4 of 5, never above 1.02 of it, within {OURS_S:g} s of processor time",
        _lowest,
        packages=("z3-solver", "numpy"),
    )
]
