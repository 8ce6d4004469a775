"""The order of settings: close to the shortest path, and never below its bound."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.bench_order import least, length, shortest


@st.composite
def costs(draw: st.DrawFn) -> list[list[float]]:
    """Symmetric costs between two to six places."""
    places_n = draw(st.integers(2, 6))
    between = [[0.0] * places_n for _ in range(places_n)]
    for one in range(places_n):
        for other in range(one):
            between[one][other] = between[other][one] = float(draw(st.integers(1, 9)))
    return between


def best(between: list[list[float]]) -> float:
    """Length of the shortest path from 0, by trying every order."""
    return min(length(between, (0, *order)) for order in permutations(range(1, len(between))))


@given(costs())
def test_the_bound_is_never_above_the_shortest_path(between: list[list[float]]) -> None:
    """Law: against every order, tried one by one."""
    assert least(between) <= best(between) + 1e-9


@given(costs())
def test_a_path_visits_every_place_once(between: list[list[float]]) -> None:
    """Law: it begins at 0, leaves nothing out and is at least as long as the shortest."""
    path = shortest(between)

    assert path[0] == 0
    assert sorted(path) == list(range(len(between)))
    assert length(between, path) >= best(between) - 1e-9


def test_places_on_a_line_are_visited_in_their_order() -> None:
    """Case by hand: 0, 5, 1, 4, 2 on a line cost 5 moves in the order of the line, and no order costs less."""
    line = [0, 5, 1, 4, 2]
    between = [[float(abs(one - other)) for other in line] for one in line]

    assert [line[place] for place in shortest(between)] == [0, 1, 2, 4, 5]
    assert least(between) == pytest.approx(5.0)
