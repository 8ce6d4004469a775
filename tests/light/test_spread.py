"""Numbers drawn by lot: where they lie, and that the same seed gives the same."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.spread import Spread, drawn

MANY_N = 40_000


# ------------------------------------------------------------------------------------------------------------- print
def test_triangle_has_the_mean_and_spread_of_its_formula() -> None:
    """Triangular distribution, any textbook: mean (a + b + c) / 3, variance (a2 + b2 + c2 - ab - ac - bc) / 18."""
    low, likely, high = 0.75, 0.95, 1.0
    found = drawn(Spread("triangular", low, likely, high), MANY_N, seed=7, name="x")
    variance = (low**2 + high**2 + likely**2 - low * high - low * likely - high * likely) / 18

    assert found.mean() == pytest.approx((low + likely + high) / 3, abs=5 * math.sqrt(variance / MANY_N))
    assert found.var() == pytest.approx(variance, rel=0.05)


def test_even_draw_has_a_twelfth_of_its_square() -> None:
    """Uniform distribution: mean (a + b) / 2, variance (b - a)2 / 12."""
    found = drawn(Spread("uniform", -0.5, 0.0, 1.5), MANY_N, seed=7, name="x")

    assert found.mean() == pytest.approx(0.5, abs=0.02)
    assert found.var() == pytest.approx(4.0 / 12, rel=0.03)


def test_errors_of_a_hand_lie_as_a_normal_table_says() -> None:
    """Normal table: 68.27 % within one standard deviation, 95.45 % within two (cut at four changes neither)."""
    found = drawn(Spread("normal", likely=2.0, spread=3.0, cut=4.0), MANY_N, seed=7, name="x")

    assert (abs(found - 2.0) <= 3.0).mean() == pytest.approx(0.6827, abs=0.01)
    assert (abs(found - 2.0) <= 6.0).mean() == pytest.approx(0.9545, abs=0.006)


def test_chance_comes_as_often_as_it_says() -> None:
    """Binomial: 2 % of many draws, within five standard deviations."""
    found = drawn(Spread("chance", likely=0.02), MANY_N, seed=7, name="x")

    assert found.mean() == pytest.approx(0.02, abs=5 * math.sqrt(0.02 * 0.98 / MANY_N))
    assert set(np.unique(found)) == {0.0, 1.0}


# --------------------------------------------------------------------------------------------------------------- law
SPREADS = (
    Spread("uniform", -1.0, 0.0, 2.0),
    Spread("triangular", 0.7, 0.9, 1.0),
    Spread("normal", likely=0.0, spread=0.03, cut=2.5),
    Spread("chance", likely=0.01),
)


@given(st.sampled_from(SPREADS), st.integers(0, 2**40), st.integers(1, 60), st.integers(0, 60))
def test_the_few_are_the_first_of_the_many(spread: Spread, seed: int, few_n: int, more_n: int) -> None:
    """Law: more vehicles change none of those drawn before, and no draw is beyond the furthest."""
    few, many = drawn(spread, few_n, seed=seed, name="a"), drawn(spread, few_n + more_n, seed=seed, name="a")

    assert (few == many[:few_n]).all()
    assert (abs(many) <= spread.furthest + 1e-12).all()


def test_another_name_or_seed_is_another_draw() -> None:
    """Law: two lamps don't get the same dirt, and two runs with two seeds aren't the same run."""
    spread = SPREADS[0]
    one = drawn(spread, 50, seed=1, name="grille.left")

    assert (one == drawn(spread, 50, seed=1, name="grille.left")).all()
    assert not (one == drawn(spread, 50, seed=1, name="grille.right")).any()
    assert not (one == drawn(spread, 50, seed=2, name="grille.left")).any()


def test_nothing_between_two_equal_ends() -> None:
    """Case: a triangle or a range of no width is one number."""
    assert (drawn(Spread("triangular", 1.0, 1.0, 1.0), 9, seed=1, name="a") == 1.0).all()
    assert (drawn(Spread("uniform", 1.0, 0.0, 1.0), 9, seed=1, name="a") == 1.0).all()
    assert (drawn(Spread("normal", likely=0.5, spread=0.0), 9, seed=1, name="a") == 0.5).all()
