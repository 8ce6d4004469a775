"""Samples: an exact small case by hand, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.shop.sampling import accept_probability


def test_two_bad_of_a_hundred_by_hand() -> None:
    """Sample 20, accept 0: 80 x 79 / (100 x 99) = 0.6384, by hand (hypergeometric law)."""
    assert accept_probability(lot_n=100, bad_n=2, sample_n=20, accept_n=0) == pytest.approx(0.6384, abs=5e-5)


@pytest.mark.parametrize(
    ("sample", "accept", "bad", "chance"), [(13, 0, 0.05, 0.5133), (20, 1, 0.05, 0.7358), (32, 2, 0.05, 0.7861)]
)
def test_large_lots_come_near_the_binomial(sample: int, accept: int, bad: float, chance: float) -> None:
    """Binomial chances by hand, e.g. 0.95^13 = 0.5133; a lot of 10,000 differs in the fourth place."""
    found = accept_probability(lot_n=10_000, bad_n=round(10_000 * bad), sample_n=sample, accept_n=accept)

    assert found == pytest.approx(chance, abs=1e-3)


@given(st.integers(1, 200), st.data())
def test_more_bad_pieces_pass_less(lot: int, data: st.DataObject) -> None:
    """Law: a chance between 0 and 1 that falls with bad pieces; whoever tests all finds all."""
    bad, sample = data.draw(st.integers(0, lot - 1)), data.draw(st.integers(0, lot))
    accept = data.draw(st.integers(0, 5))
    chance = accept_probability(lot_n=lot, bad_n=bad, sample_n=sample, accept_n=accept)

    assert 0.0 <= chance <= 1.0 + 1e-12
    assert accept_probability(lot_n=lot, bad_n=bad + 1, sample_n=sample, accept_n=accept) <= chance + 1e-12
    assert accept_probability(lot_n=lot, bad_n=bad, sample_n=lot, accept_n=accept) == (1.0 if bad <= accept else 0.0)
