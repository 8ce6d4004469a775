"""Batteries: published conversions, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.energy import NoPeukert, battery_life, parked_time_s, peukert_exponent, reserve_need

AH = 3600.0


def test_exponent_joins_both_ratings() -> None:
    """70 Ah at 20 h and 120 min at 25 A: ln(20 / 2) / ln(25 / 3.5) = 1.1711, by hand (Peukert, rated form)."""
    assert peukert_exponent(c20_as=70.0 * AH, reserve_s=7200.0) == pytest.approx(1.1711, abs=5e-5)


@given(st.floats(20.0, 300.0), st.floats(30.0, 400.0))
def test_a_battery_keeps_both_its_ratings(ah: float, minutes: float) -> None:
    """Law: at C20 / 20 h it lasts 20 h, at 25 A its reserve capacity."""
    rated = battery_life(c20_as=ah * AH, reserve_s=minutes * 60.0, load_a=ah / 20.0)
    reserve = battery_life(c20_as=ah * AH, reserve_s=minutes * 60.0, load_a=25.0)

    assert rated.time_s == pytest.approx(20.0 * 3600.0)
    assert reserve.time_s == pytest.approx(minutes * 60.0)


def test_one_rated_current_makes_no_curve() -> None:
    """Law: 500 Ah at 20 h is 25 A, the current of the reserve capacity."""
    with pytest.raises(NoPeukert, match="one point"):
        peukert_exponent(c20_as=500.0 * AH, reserve_s=7200.0)


def test_a_load_near_nothing_lasts_without_end() -> None:
    """Law: where no number is large enough the answer is endless, not an error."""
    assert battery_life(c20_as=1e9 * AH, reserve_s=1e-9, load_a=1e300).time_s in (0.0, math.inf)


def test_reserve_minutes_are_charge_at_25_a() -> None:
    """120 min of reserve capacity are 50 Ah at 25 A (a vehicle maker's manual): all of it for 50 A in one hour."""
    used_as, reserve_s = reserve_need(load_a=50.0, time_s=3600.0, share=1.0)

    assert used_as / AH == pytest.approx(50.0)
    assert reserve_s / 60.0 == pytest.approx(120.0)


@given(st.floats(1.0, 200.0), st.floats(1.0, 1e4), st.floats(0.05, 1.0))
def test_half_the_share_is_twice_the_battery(load: float, time_s: float, share: float) -> None:
    """Law: charge doesn't depend on the share, the reserve capacity is inverse to it."""
    used_as, reserve_s = reserve_need(load_a=load, time_s=time_s, share=share)

    assert reserve_need(load_a=load, time_s=time_s, share=share / 2.0) == pytest.approx((used_as, 2.0 * reserve_s))


def test_parked_days_agree_with_the_bulletin() -> None:
    """Days = 0.24 RC x 1000 / (24 mA): RC 120 and 50 mA are 24 days, by hand (a vehicle maker's bulletin)."""
    assert parked_time_s(reserve_s=7200.0, drain_a=0.05, usable_share=0.4) / 86400.0 == pytest.approx(24.0)


@given(st.floats(10.0, 400.0), st.floats(1e-3, 5.0), st.floats(0.05, 1.0))
def test_twice_the_drain_is_half_the_days(minutes: float, drain: float, usable: float) -> None:
    """Law: a rule of thumb in proportion."""
    once = parked_time_s(reserve_s=minutes * 60.0, drain_a=drain, usable_share=usable)

    assert parked_time_s(reserve_s=minutes * 60.0, drain_a=2.0 * drain, usable_share=usable) == pytest.approx(once / 2)
