"""What a battery holds, gives and takes: published figures first, then laws."""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.errors import DataWrong
from coachwright.parts.schema import BatteryPart
from coachwright.power.charge import (
    Battery,
    accepts_a,
    battery_of,
    between,
    inner_ohm,
    inner_v,
    kind_of,
    reserve_share_used,
    rest_v,
    share_per_s,
)

CHEMISTRIES = ["flooded", "agm", "gel", "lithium-iron"]
BATTERIES = ["flooded-70", "agm-65", "agm-95", "lithium-iron-100"]
shares = st.floats(0.0, 1.0)


@pytest.mark.parametrize(("share", "volts"), [(1.0, 12.65), (0.75, 12.45), (0.5, 12.24), (0.25, 12.06), (0.0, 11.89)])
def test_rested_voltage_agrees_with_the_battery_council(share: float, volts: float, flooded: Battery) -> None:
    """Open-circuit voltage of a flooded battery at 80 degF (table credited to the Battery Council International)."""
    assert rest_v(flooded, share) == pytest.approx(volts, abs=5e-3)


@pytest.mark.parametrize(
    ("share", "volts"),
    [
        (1.0, 12.7),
        (0.9, 12.6),
        (0.8, 12.5),
        (0.7, 12.3),
        (0.6, 12.2),
        (0.5, 12.1),
        (0.4, 12.0),
        (0.3, 11.8),
        (0.1, 11.6),
    ],
)
def test_the_kind_glass_mat_agrees_with_a_published_list(share: float, volts: float) -> None:
    """One published list of absorbed glass mat batteries (a page for travellers); others differ by 0.1 V and more."""
    assert dict(kind_of("agm").open_voltage)[share] == pytest.approx(volts)


def test_seventy_ampere_hours_and_two_hours_of_reserve_give_their_exponent(flooded: Battery) -> None:
    """C20 of 70 Ah and 120 min at 25 A: k = ln(20 h / 2 h) / ln(25 A / 3.5 A) = 1.1711 (Peukert by two ratings)."""
    assert flooded.peukert == pytest.approx(1.1711, abs=5e-5)


@pytest.mark.parametrize(("load_a", "hours"), [(10.0, 8.706), (25.0, 2.899)])
def test_a_hundred_ampere_hours_last_as_long_as_the_worked_example(load_a: float, hours: float, tank: Battery) -> None:
    """100 Ah at 20 h with k = 1.2: 8.71 h at 10 A, 173.9 min at 25 A (t = H (C / I H)^k, by hand)."""
    rated = replace(tank, peukert=1.2)

    assert -1.0 / share_per_s(rated, load_a) / 3600.0 == pytest.approx(hours, abs=5e-4)


@pytest.mark.parametrize("name", BATTERIES)
def test_a_battery_lasts_both_its_ratings(name: str, battery_part: Callable[[str], BatteryPart]) -> None:
    """Law: from full to flat it is twenty hours at C20 / 20 h, and its reserve time at 25 A."""
    battery = battery_of(battery_part(name))

    assert -1.0 / share_per_s(battery, battery.twenty_hour_a) == pytest.approx(20.0 * 3600.0)
    assert -1.0 / share_per_s(battery, 25.0) == pytest.approx(battery.reserve_s, rel=1e-6)


@pytest.mark.parametrize("name", ["flooded-70", "agm-65", "agm-95"])
def test_a_lead_battery_is_flat_at_ten_and_a_half_volts(name: str, battery_part: Callable[[str], BatteryPart]) -> None:
    """Both ratings end at 10.5 V (a maker's manual on reserve capacity); 0.2 V is the model's own error."""
    battery = battery_of(battery_part(name))
    at_twenty_hours = inner_v(battery, 0.0) - battery.twenty_hour_a * inner_ohm(battery, 0.0)

    assert at_twenty_hours == pytest.approx(10.5, abs=1e-6)
    assert inner_v(battery, 0.0) - 25.0 * inner_ohm(battery, 0.0) == pytest.approx(10.5, abs=0.2)


def test_in_the_cold_it_keeps_what_its_cranking_rating_says(battery_part: Callable[[str], BatteryPart]) -> None:
    """Cranking current: 30 s at -18 degC, not below 7.2 V (service pages): 640 A leave 7.2 V at the posts."""
    cold = battery_of(battery_part("flooded-70"), temperature_degc=-18.0)

    assert rest_v(cold, 1.0) - 640.0 * cold.resistance_ohm == pytest.approx(7.2, abs=1e-6)


def test_ten_minutes_at_twenty_five_amperes_use_a_twelfth_of_two_hours(flooded: Battery) -> None:
    """Reserve capacity is minutes at 25 A (a maker's manual): 10 of 120; twice the current takes more than twice."""
    assert reserve_share_used(flooded, load_a=25.0, after_s=600.0) == pytest.approx(1.0 / 12.0)
    assert reserve_share_used(flooded, load_a=50.0, after_s=600.0) == pytest.approx(2.0**1.1711 / 12.0, rel=1e-4)
    assert math.isinf(reserve_share_used(replace(flooded, reserve_s=0.0), load_a=25.0, after_s=600.0))


def test_no_more_amperes_than_ampere_hours_are_missing(flooded: Battery, agm: Battery) -> None:
    """Ampere-hour law (textbooks, from memory): 35 A into a half full battery of 70 Ah; a sheet may say less."""
    assert accepts_a(flooded, 0.5) == pytest.approx(35.0)
    assert accepts_a(agm, 0.1) == 60.0
    assert accepts_a(agm, 1.0) == 0.0


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_every_kind_says_where_its_figures_come_from(chemistry: str) -> None:
    """Law: voltages rise with charge, shares are shares, and the cite is there; none counts as read yet."""
    kind = kind_of(chemistry)
    volts = [v for _, v in kind.open_voltage]

    assert kind.cite.source
    assert kind.cite.is_draft
    assert volts == sorted(volts)
    assert (kind.open_voltage[0][0], kind.open_voltage[-1][0]) == (0.0, 1.0)
    assert 1.0 <= kind.peukert < 1.6
    assert 0.5 < kind.charge_share <= 1.0


@given(st.sampled_from(BATTERIES), shares, shares)
def test_more_charge_is_more_voltage_and_less_resistance(name: str, one: float, other: float) -> None:
    """Law: both at rest and behind the resistance, and it never gives more than it stands at rest."""
    from coachwright.parts.store import load_catalogue

    part = load_catalogue().get(name)
    assert isinstance(part, BatteryPart)
    battery = battery_of(part)
    low, high = sorted((one, other))

    assert rest_v(battery, low) <= rest_v(battery, high) + 1e-12
    assert inner_v(battery, low) <= inner_v(battery, high) + 1e-12
    assert inner_ohm(battery, low) >= inner_ohm(battery, high) - 1e-15
    assert inner_v(battery, low) <= rest_v(battery, low) + 1e-9


@given(st.floats(-30.0, 25.0), st.floats(0.0, 8.0))
def test_cold_and_age_only_take(degc: float, years: float) -> None:
    """Law: no battery holds more or resists less than new at 25 degC."""
    from coachwright.parts.store import load_catalogue

    part = load_catalogue().get("agm-95")
    assert isinstance(part, BatteryPart)
    new, worn = battery_of(part), battery_of(part, temperature_degc=degc, age_years=years)

    assert 0.0 < worn.capacity_as <= new.capacity_as
    assert worn.resistance_ohm >= new.resistance_ohm


@given(st.floats(0.01, 400.0), st.floats(0.01, 400.0))
def test_more_current_empties_sooner_and_never_gives_more(one: float, other: float) -> None:
    """Law: the charge a steady current gets out never grows with it; what goes in is never more than was put in."""
    battery = battery_of(_part("agm-95"))
    low, high = sorted((one, other))
    out_low, out_high = (each / -share_per_s(battery, each) for each in (low, high))

    assert out_high <= out_low * (1.0 + 1e-12)
    assert share_per_s(battery, -one) * battery.capacity_as <= one


def test_lithium_takes_no_charge_in_frost(battery_part: Callable[[str], BatteryPart]) -> None:
    """Its sheet: charge it only above 0 degC."""
    part = battery_part("lithium-iron-100")

    assert accepts_a(battery_of(part, temperature_degc=-5.0), 0.5) == 0.0
    assert accepts_a(battery_of(part, temperature_degc=5.0), 0.5) > 0.0


def test_a_battery_without_a_reserve_rating_takes_its_kinds_exponent(
    battery_part: Callable[[str], BatteryPart],
) -> None:
    """Case: a sheet with one rating only."""
    part = battery_part("agm-95").model_copy(update={"reserve": 0.0})

    assert battery_of(part).peukert == kind_of("agm").peukert


def test_a_kind_nobody_describes_is_refused() -> None:
    """Case: a chemistry that isn't in the file of kinds."""
    with pytest.raises((KeyError, DataWrong)):
        kind_of("nickel")


def test_between_points_it_is_straight() -> None:
    """Case: within, and held at both ends."""
    assert [between((0.0, 1.0, 3.0), (0.0, 10.0, 20.0), x) for x in (-1.0, 0.5, 2.0, 9.0)] == [0.0, 5.0, 15.0, 20.0]


def _part(name: str) -> BatteryPart:
    from coachwright.parts.store import load_catalogue

    part = load_catalogue().get(name)
    assert isinstance(part, BatteryPart)
    return part
