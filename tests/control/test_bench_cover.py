"""Set cover: never more than greedy, never below its bound, equal to trying every choice where that is possible."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.bench_cover import cover, greedy

POOLS = st.lists(st.integers(1, 2**9 - 1), min_size=1, max_size=9)


def union(columns: list[int]) -> int:
    """All that any column covers."""
    found = 0
    for column in columns:
        found |= column
    return found


def fewest_n(columns: list[int]) -> int:
    """How many are needed, by trying every choice."""
    for number in range(1, len(columns) + 1):
        if any(union(list(some)) == union(columns) for some in combinations(columns, number)):
            return number
    raise AssertionError("all columns together cover all that they cover")


@given(POOLS)
def test_the_fewest_are_found_and_known_to_be_the_fewest(columns: list[int]) -> None:
    """Law: against every choice, tried one by one."""
    found = cover(columns)

    assert union([columns[place] for place in found.chosen]) == union(columns)
    assert len(found.chosen) == found.least_n == fewest_n(columns)
    assert found.is_least


@given(POOLS)
def test_never_more_than_greedy(columns: list[int]) -> None:
    """Law: it begins with greedy and only gets better."""
    assert len(cover(columns).chosen) <= len(greedy(columns, union(columns)))


@given(POOLS)
def test_without_a_budget_the_bound_still_holds(columns: list[int]) -> None:
    """Law: with no improvement and no conflict allowed the answer covers, and the bound is not above the truth."""
    found = cover(columns, rounds_n=0, conflicts_most=1)

    assert union([columns[place] for place in found.chosen]) == union(columns)
    assert found.least_n <= fewest_n(columns) <= len(found.chosen)


def test_chvatal_s_example_where_greedy_takes_one_more() -> None:
    """Print: the family behind Chvatal's bound (Mathematics of Operations Research 4, 1979; its shape from memory).

    Two rows of three: the two rows cover all, greedy begins with a column of four and needs three.
    """
    rows = [0b000111, 0b111000]
    columns = [0b011011, 0b100000, 0b000100, *rows]

    assert len(greedy(columns, 0b111111)) == 3
    assert cover(columns).chosen == (3, 4)
