"""Does it start again: both customs by hand, then laws."""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.schema import BatteryPart
from coachwright.power.charge import Battery, battery_of
from coachwright.power.restart import parked_s, restart, restart_cites


def test_the_bulletin_governs_a_starter_battery(flooded: Battery) -> None:
    """No start after 40 % of 0.6 Ah a minute (a maker's bulletin): 28.8 of 70 Ah for 120 min, so not below 58.9 %."""
    asked = restart(flooded, 1.0)

    assert asked.least_share == pytest.approx(1.0 - 28.8 / 70.0)
    assert asked.governed_by == "bulletin"
    assert asked.cranks
    assert not restart(flooded, 0.58).cranks


def test_without_a_reserve_rating_the_load_test_governs(flooded: Battery) -> None:
    """Half the cranking current leaves 9.6 V (common practice): 320 A at the state of charge where it just does."""
    asked = restart(replace(flooded, reserve_s=0.0), 1.0)

    assert asked.governed_by == "load test"
    assert asked.voltage_v == pytest.approx(12.65 - 320.0 * 0.0046)
    assert restart(replace(flooded, reserve_s=0.0), asked.least_share).voltage_v == pytest.approx(9.6, abs=1e-9)


@pytest.mark.parametrize(("degc", "volts"), [(25.0, 9.6), (10.0, 9.4), (-1.0, 9.1), (-18.0, 8.5), (-30.0, 8.5)])
def test_the_load_test_allows_less_in_the_cold(degc: float, volts: float, flooded: Battery) -> None:
    """Load tests print 9.6 V at 21 degC down to 8.5 V at -18 degC (common practice, from memory)."""
    assert restart(replace(flooded, temperature_degc=degc), 1.0).least_v == pytest.approx(volts)


def test_a_heavier_starter_asks_for_more(flooded: Battery) -> None:
    """Law: the more a starter draws, the fuller the battery has to be; past what a full one gives, nothing will do."""
    asked = [restart(flooded, 1.0, starter_a=amperes).least_share for amperes in (200.0, 420.0, 500.0, 900.0)]

    assert asked == sorted(asked)
    assert asked[0] < asked[-1] == math.inf


def test_a_battery_that_may_not_crank_starts_nothing(battery_part: Callable[[str], BatteryPart]) -> None:
    """Its sheet has no cranking rating."""
    assert not restart(battery_of(battery_part("lithium-iron-100")), 1.0).cranks


@given(st.floats(-30.0, 25.0), st.floats(0.0, 6.0))
def test_cold_and_age_never_make_a_start_easier(degc: float, years: float) -> None:
    """Law: the margin of a full battery shrinks with both, though the load test allows for the cold."""
    from coachwright.parts.store import load_catalogue

    part = load_catalogue().get("flooded-70")
    assert isinstance(part, BatteryPart)
    worn = restart(battery_of(part, temperature_degc=degc, age_years=years), 1.0)

    assert worn.margin_share <= restart(battery_of(part), 1.0).margin_share + 1e-9


def test_parked_days_agree_with_the_bulletin_where_nothing_is_lost_by_itself(flooded: Battery) -> None:
    """0.24 RC x 1000 / (24 x 50 mA) is 24 days for 120 min (a maker's bulletin); by itself it loses 4.9 mA besides."""
    sealed = replace(flooded, lost_a=0.0)
    least = restart(sealed, 1.0).least_share

    assert parked_s(sealed, drain_a=0.05, least_share=least) / 86400.0 == pytest.approx(24.0)
    assert parked_s(flooded, drain_a=0.05, least_share=least) / 86400.0 == pytest.approx(
        24.0 * 50.0 / (50.0 + 4.861), rel=1e-3
    )


def test_both_customs_name_their_source() -> None:
    """Law: what a finding rests on is said, and neither counts as read."""
    assert all(cite.source and cite.is_draft for cite in restart_cites())
