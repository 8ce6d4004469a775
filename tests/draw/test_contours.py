"""Lines round all that rises over a level, and spots for their numbers."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from coachwright.draw.contours import loops_over, spot_within

MAPS = arrays(np.float64, st.tuples(st.integers(2, 7), st.integers(2, 7)), elements=st.integers(0, 9).map(float))


def area(loop: tuple[tuple[float, float], ...]) -> float:
    """Signed; risen ground on the right hand counts positive, a hole negative."""
    ends = zip(loop, (*loop[1:], loop[0]), strict=True)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in ends) / 2


def test_a_single_peak_by_hand() -> None:
    """By hand: half way down each side of a peak of 2 among noughts."""
    (loop,) = loops_over(np.array([[0.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 0.0]]), 1.0)

    assert set(loop) == {(1.0, 0.5), (1.5, 1.0), (1.0, 1.5), (0.5, 1.0)}


def test_a_plain_is_closed_by_the_edge() -> None:
    """By hand: all of a map of 3 by 4 samples rises; its outline holds 2 by 3."""
    (loop,) = loops_over(np.ones((3, 4)), 0.5)

    assert abs(area(loop)) == pytest.approx(6.0)


def test_a_round_hill_has_its_circle() -> None:
    """Law: a cone of slope 1 has circles for its levels; straight pieces stay within the square of a step."""
    y, x = np.mgrid[0:41, 0:41].astype(float)
    (loop,) = loops_over(20.0 - np.hypot(x - 20.0, y - 20.0), 10.0)

    assert all(math.hypot(px - 20.0, py - 20.0) == pytest.approx(10.0, abs=0.06) for px, py in loop)


@given(MAPS, st.integers(0, 9).map(lambda whole: whole + 0.5))
def test_more_is_never_less_ground(values: np.ndarray, level: float) -> None:
    """Law: a higher map holds at least the ground of a lower one, and every line stays on the map."""
    low, high = (loops_over(each, level) for each in (values, values + 1.0))

    assert sum(map(area, high)) >= sum(map(area, low)) - 1e-9
    for loop in low:
        assert all(0.0 <= x <= values.shape[1] - 1 and 0.0 <= y <= values.shape[0] - 1 for x, y in loop)


@given(MAPS, st.integers(0, 9).map(lambda whole: whole + 0.5))
def test_a_mirrored_map_has_mirrored_lines(values: np.ndarray, level: float) -> None:
    """Law: also where two corners across from each other rise."""
    far = values.shape[1] - 1.0
    here = {(round(x, 9), round(y, 9)) for loop in loops_over(values, level) for x, y in loop}
    there = {(round(far - x, 9), round(y, 9)) for loop in loops_over(values[:, ::-1], level) for x, y in loop}

    assert here == there


def test_a_number_stands_within_its_step_or_nowhere() -> None:
    """Case: a stripe two samples high holds a low box, no high one; a taken spot is taken."""
    stripe = np.repeat(np.array([[0.0], [1.0], [1.0], [0.0]]), 20, axis=1)
    spot = spot_within(stripe, 0.9, 2.0, box=(4.0, 0.5))

    assert spot is not None
    assert 1.0 <= spot[1] <= 2.0
    assert spot_within(stripe, 0.9, 2.0, box=(4.0, 3.0)) is None
    other = spot_within(stripe, 0.9, 2.0, box=(4.0, 0.5), apart=[spot])
    assert other is not None
    assert abs(other[0] - spot[0]) >= 4.0 or abs(other[1] - spot[1]) >= 0.5
