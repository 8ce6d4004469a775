"""Axes of a graph: ends, order, ticks; what is cut off at the edge of its field."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.draw.graph import Axis, Field, clipped_area, clipped_line, round_up, ticks

NUMBERS = st.floats(-50.0, 150.0, allow_nan=False)
POINTS = st.lists(st.tuples(NUMBERS, NUMBERS), min_size=2, max_size=12)
FIELD = Field(Axis(0.0, 1.0, 0.0, 100.0), Axis(0.0, 1.0, 100.0, 0.0))


def test_ends_of_an_axis_are_where_it_says() -> None:
    """By hand: ends, and the middle of two decades is the geometric mean."""
    straight, log = Axis(0.0, 200.0, 10.0, 110.0), Axis(1.0, 100.0, 50.0, 10.0, log=True)

    assert (straight.at(0.0), straight.at(50.0), straight.at(200.0)) == (10.0, 35.0, 110.0)
    assert (straight.at(-5.0), straight.at(900.0)) == (10.0, 110.0)
    assert (log.at(1.0), log.at(10.0), log.at(100.0)) == pytest.approx((50.0, 30.0, 10.0))


@given(st.floats(1.0, 1e4), st.floats(1.0, 1e4), st.booleans())
def test_more_is_never_drawn_as_less(one: float, other: float, log: bool) -> None:
    """Law: an axis keeps the order."""
    axis = Axis(2.0, 5000.0, 0.0, 80.0, log)

    assert (one <= other) <= (axis.at(one) <= axis.at(other))


@given(st.floats(0.01, 1e6), st.floats(4.0, 40.0))
def test_ticks_are_apart_and_within(span: float, apart_mm: float) -> None:
    """Law: steps are at least so far apart, as far as the list of steps goes, and none lies beyond the ends."""
    axis = Axis(0.0, span, 0.0, 120.0)
    found = ticks(axis, apart_mm=apart_mm, steps=[10.0**power for power in range(-4, 8)])

    assert all(-1e-6 <= value <= span * (1 + 1e-6) for value in found)
    assert all(axis.at(after) - axis.at(before) >= apart_mm - 1e-6 for before, after in pairwise(found))


@given(st.floats(0.001, 1e6))
def test_a_round_number_is_the_next_one_up(value: float) -> None:
    """Law: never below, and less than half as much again and a bit."""
    assert value <= round_up(value, least=1e-6) * (1 + 1e-9)
    assert round_up(value, least=1e-6) <= 1.35 * value


@given(POINTS)
def test_nothing_is_drawn_outside_of_its_field(points: list[tuple[float, float]]) -> None:
    """Law: lines and areas are cut at the edges, and a line inside stays as long as it was."""
    runs = clipped_line(points, FIELD)
    inside = [point for run in runs for point in run] + clipped_area(points, FIELD)

    assert all(-1e-6 <= x <= 100.0 + 1e-6 and -1e-6 <= y <= 100.0 + 1e-6 for x, y in inside)
    if all(0.0 <= x <= 100.0 and 0.0 <= y <= 100.0 for x, y in points):
        long = sum(math.dist(one, other) for one, other in pairwise(points))
        kept = sum(math.dist(one, other) for run in runs for one, other in pairwise(run))
        assert kept == pytest.approx(long, abs=1e-6)


def test_a_line_through_the_field_is_cut_at_both_edges() -> None:
    """By hand: from (-100, 50) to (300, 50) it is inside from 0 to 100."""
    assert clipped_line([(-100.0, 50.0), (300.0, 50.0)], FIELD) == [[(0.0, 50.0), (100.0, 50.0)]]
    assert clipped_line([(-100.0, 150.0), (300.0, 150.0)], FIELD) == []
