"""Row C: how few settings show everything on the bench, against greedy and a general solver on the same pool?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from random import Random
from statistics import mean
from time import perf_counter

from benchmarks.rows import Outcome, Trial
from coachwright.build.load import read_build
from coachwright.control.bench import gathered
from coachwright.control.bench_asked import Moments, everything_asked
from coachwright.control.bench_cover import Cover, cover, greedy
from coachwright.control.bench_find import Finder
from coachwright.control.bench_order import least, length, shortest

EXAMPLES = Path(__file__).parent.parent / "examples"
SEEDS = range(10)
COLUMNS_N, ROWS_N = 100, 160
"""Settings and things to be seen of a drawn pool: about those of an example once what is dominated is gone."""
FIRST_ANSWER_S = 2.0
PEER_S = 8.0


@dataclass(frozen=True, slots=True)
class _Tried:
    """One pool. peer_n : of the general solver; peer_done : it proved that fewer don't do."""

    name: str
    ours: Cover
    first_n: int
    first_s: float
    ours_s: float
    greedy_n: int
    peer_n: int
    peer_s: float
    peer_done: bool


def drawn_pool(seed: int, *, columns_n: int = COLUMNS_N, rows_n: int = ROWS_N) -> list[int]:
    """A pool like that of a build: each setting shows a region of neighbouring things and some that lie about.

    Every thing is shown by at least two settings, a few by no more than two.
    """
    draw = Random(seed)
    columns = []
    for _ in range(columns_n):
        start, width = draw.randrange(rows_n), draw.randint(4, 24)
        bits = sum(1 << (start + at) % rows_n for at in range(width) if draw.random() < 0.7)
        bits |= sum(1 << draw.randrange(rows_n) for _ in range(draw.randint(0, 12)))
        columns.append(bits)
    for row in range(rows_n):
        while sum(column >> row & 1 for column in columns) < 2:
            columns[draw.randrange(columns_n)] |= 1 << row
    return columns


def example_pool(name: str) -> list[int]:
    """The pool of an example, as the bench list of it is chosen from."""
    model = read_build((EXAMPLES / name / "build.yaml").read_text(encoding="utf-8")).model
    assert model is not None
    moments = Moments(model)
    finder = Finder(moments, everything_asked(moments))
    try:
        pool = gathered(finder, lambda *_: None)
    finally:
        finder.close()
    return [found.shows & pool.wanted for found in pool.founds]


def _peer(columns: Sequence[int]) -> tuple[int, float, bool]:
    """RC2 of python-sat: maximum satisfiability, each chosen setting costs one."""
    from threading import Timer

    from pysat.examples.rc2 import RC2
    from pysat.formula import WCNF

    began_s = perf_counter()
    formula = WCNF()
    wanted = 0
    for column in columns:
        wanted |= column
    for row in range(wanted.bit_length()):
        if wanted >> row & 1:
            formula.append([place for place, column in enumerate(columns, start=1) if column >> row & 1])
    for place in range(1, len(columns) + 1):
        formula.append([-place], weight=1)
    with RC2(formula, solver="g4", adapt=True, exhaust=True, minz=True) as solver:
        timer = Timer(PEER_S, solver.interrupt)
        timer.start()
        found = solver.compute(expect_interrupt=True)
        timer.cancel()
        taken_s = perf_counter() - began_s
        return (int(solver.cost), taken_s, True) if found is not None else (len(columns), taken_s, False)


def _tried(name: str, columns: Sequence[int]) -> _Tried:
    wanted = 0
    for column in columns:
        wanted |= column
    greedy_n = len(greedy(columns, wanted))
    began_s = perf_counter()
    first = cover(columns, rounds_n=60, conflicts_most=1)
    first_s = perf_counter() - began_s
    began_s = perf_counter()
    ours = cover(columns)
    ours_s = perf_counter() - began_s
    return _Tried(name, ours, len(first.chosen), first_s, ours_s, greedy_n, *_peer(columns))


def _fewest() -> Outcome:
    pools = [(name, example_pool(name)) for name in ("quillback", "volunteer-car")]
    pools += [(f"drawn {seed}", drawn_pool(seed)) for seed in SEEDS]
    tried = [_tried(name, columns) for name, columns in pools]
    lines = [
        f"{each.name}: ours {len(each.ours.chosen)} (at least {each.ours.least_n}) in {each.ours_s:.2f} s, "
        f"first {each.first_n} in {each.first_s:.2f} s; greedy {each.greedy_n}; "
        f"RC2 {each.peer_n if each.peer_done else 'no answer'} in {each.peer_s:.2f} s"
        for each in tried
    ]
    drawn = [each for each in tried if each.name.startswith("drawn")]
    share = mean(len(each.ours.chosen) / each.greedy_n for each in drawn)
    never_more = all(
        len(each.ours.chosen) <= min(each.greedy_n, each.peer_n if each.peer_done else each.greedy_n) for each in tried
    )
    in_time = all(each.first_s <= FIRST_ANSWER_S for each in tried)
    agree = all(each.ours.least_n <= each.peer_n for each in tried)
    lines.append(f"mean of ours over greedy, ten seeds: {share:.3f}; bounds agree with RC2: {'yes' if agree else 'NO'}")
    grown = _growth()
    lines.append(f"first answer as the pool grows: {grown}")
    return Outcome(share <= 0.95 and never_more and in_time and agree, tuple(lines))


def _growth() -> str:
    """Time of the first answer at x1, x2, x4, as multiples of greedy on the same pool."""
    said = []
    for scale in (1, 2, 4):
        columns = drawn_pool(0, columns_n=COLUMNS_N * scale, rows_n=ROWS_N * scale)
        wanted = 0
        for column in columns:
            wanted |= column
        began_s = perf_counter()
        greedy(columns, wanted)
        greedy_s = perf_counter() - began_s
        began_s = perf_counter()
        cover(columns, rounds_n=60, conflicts_most=1)
        said.append(f"x{scale} {(perf_counter() - began_s) / greedy_s:.0f} times greedy")
    return ", ".join(said)


def _shortest() -> Outcome:
    """Orders of drawn settings: ours against always going to the nearest next."""
    lines, met, ratios = [], True, []
    for seed in SEEDS:
        draw = Random(seed)
        settings = [[0] * 36, *([draw.choice((0, 0, 0, 1, 2)) for _ in range(36)] for _ in range(28))]
        between = [[float(sum(a != b for a, b in zip(one, two, strict=True))) for two in settings] for one in settings]
        ours, nearest, bound = length(between, shortest(between)), length(between, _nearest(between)), least(between)
        ratios.append(ours / nearest)
        met = met and bound - 1e-6 <= ours <= nearest
        lines.append(f"drawn {seed}: ours {ours:g} (at least {bound:.1f}); nearest next {nearest:g}")
    lines.append(f"mean of ours over nearest next: {mean(ratios):.3f}")
    return Outcome(met, tuple(lines))


def _nearest(between: Sequence[Sequence[float]]) -> list[int]:
    path, left = [0], set(range(1, len(between)))
    while left:
        path.append(min(left, key=lambda place: (between[path[-1]][place], place)))
        left.remove(path[-1])
    assert all(one != other for one, other in pairwise(path))
    return path


ROWS = [
    Trial(
        "C-fewest",
        "fewest settings of a pool that show all: both examples' own pools and ten drawn ones",
        f"a greedy cover, and RC2 of python-sat on the same pool, at most {PEER_S:.0f} s each "
        "(no CP-SAT or HiGHS is among the locked packages)",
        f"at most 0.95 of greedy in the mean, never more than either, first answer within {FIRST_ANSWER_S:.0f} s",
        _fewest,
        packages=("python-sat",),
    ),
    Trial(
        "C-order",
        "the order of 28 settings of 36 inputs with the fewest moves, with a lower bound",
        "always to the nearest setting next",
        "never more than the peer, never below the bound",
        _shortest,
    ),
]
