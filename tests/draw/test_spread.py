"""Labels along an edge."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.draw.spread import spread

WISHES = st.lists(st.floats(min_value=0, max_value=200), max_size=40).map(sorted)


def test_pool_adjacent_violators_by_hand() -> None:
    """Least squared moves: wishes 10, 10, 12 less 0, 5, 10 are 10, 5, 2, a falling row; so all get its mean 17/3."""
    assert spread([10, 10, 12], gap_mm=5, low_mm=0, high_mm=100) == pytest.approx((17 / 3, 17 / 3 + 5, 17 / 3 + 10))


@given(WISHES)
def test_none_touches_none_leaves_order_holds(wishes: list[float]) -> None:
    """Law."""
    places = spread(wishes, gap_mm=4, low_mm=0, high_mm=200)
    gap = min(4.0, 200 / max(1, len(wishes) - 1))

    assert all(after - before >= gap - 1e-9 for before, after in pairwise(places))
    assert all(-1e-9 <= place <= 200 + 1e-9 for place in places)


@given(WISHES)
def test_who_has_room_stays(wishes: list[float]) -> None:
    """Law: wishes that are far enough apart are granted."""
    if all(after - before >= 4 for before, after in pairwise(wishes)):
        assert spread(wishes, gap_mm=4, low_mm=0, high_mm=200) == pytest.approx(wishes)
