"""Which of these settings are the fewest that show everything? Set cover, with a printed lower bound.

What is dominated goes first. Then a greedy cover, improved by prices and by taking settings out and closing the gap; a
solver is asked for one fewer, again and again, until it says no (the list is then the smallest of this pool) or has
used up a stated number of conflicts. Budgets are counts, so that the same file gives the same answer.

References
----------
.. [1] V. Chvatal, "A greedy heuristic for the set-covering problem", Mathematics of Operations Research 4 (1979).
.. [2] J. E. Beasley, "A Lagrangian heuristic for set-covering problems", Naval Research Logistics 37 (1990) (memory).
.. [3] G. Audemard, L. Simon, "Predicting learnt clauses quality in modern SAT solvers", IJCAI (2009): the solver.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

_ROUNDING = 1e-6
CONFLICTS_MOST = 20_000
"""Conflicts after which the solver gives up on one question."""
ROUNDS, PRICINGS = 1500, 300
"""Improvements tried, and rounds of prices, at most."""


@dataclass(frozen=True, slots=True)
class Cover:
    """Places of the chosen columns, in order. least_n : no cover of this pool has fewer."""

    chosen: tuple[int, ...]
    least_n: int

    @property
    def is_least(self) -> bool:
        """Is it proved that fewer don't do?"""
        return len(self.chosen) == self.least_n


def cover(columns: Sequence[int], *, rounds_n: int = ROUNDS, conflicts_most: int = CONFLICTS_MOST) -> Cover:
    """The fewest columns (each the bits it covers) whose bits are all that any column has."""
    wanted = 0
    for column in columns:
        wanted |= column
    forced, left, rows = reduced(columns, wanted)
    if not rows:
        return Cover(tuple(sorted(forced)), len(forced))
    members = [[place for place in left if columns[place] >> row & 1] for row in rows]
    wanted = sum(1 << row for row in rows)
    priced, least = _priced(columns, left, rows, min(rounds_n, PRICINGS))
    best = min(_improved(columns, left, wanted, rounds_n, priced), priced, key=len)
    least_n = max(_apart(members), least)
    while len(best) > least_n:
        fewer = _with_at_most(left, members, len(best) - 1, conflicts_most)
        if fewer is None:
            break
        if not fewer:
            least_n = len(best)
        else:
            best = fewer
    return Cover(tuple(sorted((*forced, *best))), len(forced) + least_n)


def greedy(columns: Sequence[int], wanted: int, order: Sequence[int] | None = None) -> list[int]:
    """Always the column with most of what is still missing; of equal ones the first in `order`."""
    places = list(order) if order is not None else list(range(len(columns)))
    chosen: list[int] = []
    while wanted:
        best = max(places, key=lambda place: (columns[place] & wanted).bit_count())
        if not columns[best] & wanted:
            break
        chosen.append(best)
        wanted &= ~columns[best]
    return chosen


def reduced(columns: Sequence[int], wanted: int) -> tuple[list[int], list[int], list[int]]:
    """Columns that must be chosen; columns and rows that are left once nothing dominates anything."""
    left = list(range(len(columns)))
    forced: list[int] = []
    rows = [row for row in range(wanted.bit_length()) if wanted >> row & 1]
    while True:
        mask = sum(1 << row for row in rows)
        kept = _undominated(columns, left, mask)
        members = {row: sum(1 << place for place in kept if columns[place] >> row & 1) for row in rows}
        needed = _hardest_rows(members)
        only = [members[row].bit_length() - 1 for row in needed if members[row].bit_count() == 1]
        new = sorted(set(only))
        forced += new
        covered = 0
        for place in new:
            covered |= columns[place]
        after = [row for row in needed if not covered >> row & 1]
        if kept == left and after == rows:
            return forced, left, rows
        left, rows = [place for place in kept if place not in forced], after


def _undominated(columns: Sequence[int], left: Sequence[int], mask: int) -> list[int]:
    kept: list[int] = []
    for place in sorted(left, key=lambda place: (-(columns[place] & mask).bit_count(), place)):
        mine = columns[place] & mask
        if mine and not any(mine & ~columns[other] == 0 for other in kept):
            kept.append(place)
    return sorted(kept)


def _hardest_rows(members: dict[int, int]) -> list[int]:
    """Rows that aren't covered for nothing whenever another one is."""
    kept: list[int] = []
    for row in sorted(members, key=lambda row: (members[row].bit_count(), row)):
        if not any(members[other] & ~members[row] == 0 for other in kept):
            kept.append(row)
    return sorted(kept)


def _priced(columns: Sequence[int], left: Sequence[int], rows: Sequence[int], rounds_n: int) -> tuple[list[int], int]:
    """A cover found by prices on rows, and what no cover has fewer than, by Lagrange's relaxation.

    For any prices of at least 0 the sum of the prices, less what columns are worth beyond their cost, is a bound.
    """
    wanted = sum(1 << row for row in rows)
    of_column = {place: [row for row in rows if columns[place] >> row & 1] for place in left}
    best = _lean(columns, greedy(columns, wanted, left), wanted)
    price = {row: min(1 / len(of_column[place]) for place in left if columns[place] >> row & 1) for row in rows}
    least, scale = 0.0, 2.0
    for turn in range(rounds_n):
        worth = {place: sum(price[row] for row in of_column[place]) for place in left}
        bought = [place for place in left if worth[place] > 1]
        bound = sum(price.values()) - sum(worth[place] - 1 for place in bought)
        least = max(least, bound)
        if turn % 5 == 0:
            best = min(best, _by_worth(columns, left, wanted, worth), key=len)
        short = {row: 1 - sum(columns[place] >> row & 1 for place in bought) for row in rows}
        far = sum(each * each for each in short.values())
        if not far:
            break
        step = scale * (len(best) - bound) / far
        price = {row: max(0.0, price[row] + step * short[row]) for row in rows}
        scale *= 0.985
    return best, math.ceil(least - _ROUNDING)


def _by_worth(columns: Sequence[int], left: Sequence[int], wanted: int, worth: Mapping[int, float]) -> list[int]:
    """Columns worth most first, while they cover something new; then without what isn't needed."""
    chosen, missing = [], wanted
    for place in sorted(left, key=lambda place: (-worth[place], place)):
        if columns[place] & missing:
            chosen.append(place)
            missing &= ~columns[place]
    return _lean(columns, list(reversed(chosen)), wanted)


def _improved(
    columns: Sequence[int], left: Sequence[int], wanted: int, rounds_n: int, begun: Sequence[int]
) -> list[int]:
    """From a cover: some columns out, greedy again in a drawn order, kept when it isn't worse."""
    draw = Random(0)
    best = list(begun)
    now = best
    for _ in range(rounds_n):
        out_n = draw.randint(1, max(1, len(now) // 2))
        stays = draw.sample(now, len(now) - out_n)
        missing = wanted
        for place in stays:
            missing &= ~columns[place]
        order = draw.sample(list(left), len(left))
        tried = _lean(columns, [*stays, *greedy(columns, missing, order)], wanted)
        if len(tried) <= len(now):
            now = tried
            best = now if len(now) < len(best) else best
    return best


def _lean(columns: Sequence[int], chosen: Sequence[int], wanted: int) -> list[int]:
    """Without what the others cover as well."""
    kept = list(chosen)
    for place in chosen:
        others = 0
        for other in kept:
            if other != place:
                others |= columns[other]
        if not wanted & ~others:
            kept.remove(place)
    return kept


def _apart(members: Sequence[Sequence[int]]) -> int:
    """Rows of which no two share a column, found greedily: a cover has at least as many columns."""
    used: set[int] = set()
    found = 0
    for places in sorted(members, key=lambda places: (len(places), places)):
        if used.isdisjoint(places):
            used.update(places)
            found += 1
    return found


def _with_at_most(
    left: Sequence[int], members: Sequence[Sequence[int]], most_n: int, conflicts_most: int
) -> list[int] | None:
    """A cover with at most so many columns; empty when there is none, None when the budget doesn't say."""
    from pysat.card import CardEnc, EncType
    from pysat.solvers import Glucose4

    variable = {place: number for number, place in enumerate(left, start=1)}
    counted = CardEnc.atmost(lits=list(variable.values()), bound=most_n, top_id=len(left), encoding=EncType.seqcounter)
    with Glucose4(
        bootstrap_with=[*counted.clauses, *([variable[place] for place in row] for row in members)]
    ) as solver:
        solver.conf_budget(conflicts_most)
        answer = solver.solve_limited()
        if answer is None:
            return None
        true = {literal for literal in solver.get_model() or () if literal > 0} if answer else set()
    return [place for place in left if variable[place] in true]
