"""Batteries, source and loads at one moment: by hand, then laws."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.alternator import Alternator
from coachwright.power.bus import Charger, Load, Moment, Source, Supply, Tie, moment
from coachwright.power.charge import Battery

RELAY = Tie("isolator", "relay", ohm=0.002)
DIODES = Tie("isolator", "diodes", drop_v=0.5)
CHARGER = Tie("charger", "charger", charger_v=14.4, most_a=30.0, input_share=1.125)


NOTHING, STILL = Load(), Source()


def at(
    supply: Supply,
    *,
    main: Load = NOTHING,
    second: Load = NOTHING,
    source: Source = STILL,
    shares: tuple[float, float] = (0.5, 0.5),
    joined: bool = True,
) -> Moment:
    """A moment in few words."""
    return moment(
        supply,
        main_share=shares[0],
        second_share=shares[1],
        main_load=main,
        second_load=second,
        source=source,
        joined=joined,
    )


def test_a_battery_alone_agrees_with_ohm(tank: Battery) -> None:
    """12.5 V behind 10 mohm give 20 A at 12.3 V, by hand (Ohm's law)."""
    found = at(Supply(tank), main=Load(current_a=15.0), second=Load(current_a=5.0))

    assert (found.main_v, found.main_a) == pytest.approx((12.3, 20.0))
    assert found.stands


def test_constant_power_finds_the_higher_voltage(tank: Battery) -> None:
    """300 W at 12.5 V behind 10 mohm: V = (12.5 + sqrt(12.5^2 - 12)) / 2 (circuit textbooks)."""
    found = at(Supply(tank), main=Load(power_w=300.0))

    assert found.main_v == pytest.approx((12.5 + math.sqrt(12.5**2 - 12.0)) / 2.0)


def test_a_regulated_source_holds_its_voltage_until_it_is_at_its_end(tank: Battery) -> None:
    """14 V push 50 A (its most) into 12.5 V behind 10 mohm, and 30 A are on: 80 A are enough, 70 A leave 40 for it."""
    enough = at(Supply(tank), main=Load(current_a=30.0), source=Source(14.0, 80.1))
    short = at(Supply(tank), main=Load(current_a=30.0), source=Source(14.0, 70.0))

    assert (enough.main_v, enough.main_a, enough.source_a, enough.held) == (14.0, -50.0, pytest.approx(80.0), True)
    assert (short.main_v, short.main_a, short.source_a, short.held) == (
        pytest.approx(12.9),
        pytest.approx(-40.0),
        70.0,
        False,
    )


def test_a_source_that_is_too_small_is_helped_by_the_battery(tank: Battery) -> None:
    """100 A on and 55 A from the alternator: the battery gives 45 A, by hand."""
    found = at(Supply(tank), main=Load(current_a=100.0), source=Source(14.0, 55.0))

    assert (found.main_a, found.source_a) == pytest.approx((45.0, 55.0))


def test_past_the_most_power_nothing_stands(tank: Battery) -> None:
    """12.5^2 / (4 x 10 mohm) = 3906 W: more finds no voltage, and that is said; the number is still one."""
    assert at(Supply(tank), main=Load(power_w=3900.0)).stands
    broken = at(Supply(tank), main=Load(power_w=3910.0))

    assert not broken.stands
    assert math.isfinite(broken.main_v)


def test_joined_batteries_share_a_load(tank: Battery) -> None:
    """Equal ones, 20 A on the first, 2 mohm between: 11 and 9 A, by hand (12.5 - 10 mohm I1 = 12.5 - 12 mohm I2)."""
    found = at(Supply(tank, tank, tie=RELAY), main=Load(current_a=20.0))

    assert found.main_a == pytest.approx(20.0 * 12.0 / 22.0)
    assert found.second_a == pytest.approx(20.0 * 10.0 / 22.0)


def test_parted_batteries_know_nothing_of_each_other(tank: Battery) -> None:
    """Case: each carries its own load."""
    found = at(Supply(tank, tank, tie=RELAY), main=Load(current_a=20.0), second=Load(current_a=5.0), joined=False)

    assert (found.main_a, found.second_a) == pytest.approx((20.0, 5.0))


def test_behind_diodes_each_gets_less_by_the_drop_and_none_feeds_the_other(tank: Battery) -> None:
    """14.5 V less 0.5 V at both; with the engine off each stands alone, however full the other."""
    charged = at(Supply(tank, tank, tie=DIODES), second=Load(current_a=5.0), source=Source(14.5, 300.0))
    still = at(Supply(tank, tank, tie=DIODES), second=Load(current_a=5.0), shares=(1.0, 0.2))
    short = at(
        Supply(tank, tank, tie=DIODES), second=Load(current_a=60.0), source=Source(14.5, 40.0), shares=(1.0, 0.2)
    )

    assert (charged.main_v, charged.second_v) == pytest.approx((14.0, 14.0))
    assert (still.main_a, still.second_a) == pytest.approx((0.0, 5.0))
    assert short.main_a == pytest.approx(0.0, abs=1e-6)
    assert (short.second_a, short.source_a) == pytest.approx((20.0, 40.0), abs=1e-3)


def test_a_charger_between_them_draws_what_it_gives_and_more(tank: Battery) -> None:
    """30 A at 12.8 V are 384 W into the second; 1.125 times as much leaves the first, by hand."""
    found = at(Supply(tank, tank, tie=CHARGER), source=Source(14.0, 200.0))

    assert (found.second_v, found.second_a) == pytest.approx((12.8, -30.0))
    assert found.source_a + found.main_a == pytest.approx(1.125 * 30.0 * 12.8 / 14.0)


LOADS = st.builds(Load, st.floats(0.0, 120.0), st.floats(0.0, 600.0), st.floats(0.0, 4.0))
TIES = st.sampled_from([RELAY, DIODES, replace(RELAY, ohm=0.0), replace(RELAY, standby_a=0.45)])
SHARES = st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
SOURCES = st.one_of(st.just(Source()), st.builds(Source, st.floats(13.4, 14.8), st.floats(1.0, 250.0)))


@given(st.tuples(LOADS, LOADS), TIES, SHARES, SOURCES, st.booleans())
def test_what_is_drawn_is_what_is_given(
    loads: tuple[Load, Load], tie: Tie, shares: tuple[float, float], source: Source, joined: bool
) -> None:
    """Law: Kirchhoff over both buses: batteries and source give what is drawn, and no more than they can."""
    (main, second), battery = loads, _tank()
    found = at(Supply(battery, battery, tie=tie), main=main, second=second, source=source, shares=shares, joined=joined)
    drawn_a = main.at(found.main_v) + second.at(found.second_v) + (tie.standby_a if joined else 0.0)

    assert found.stands
    assert found.main_a + found.second_a + found.source_a == pytest.approx(drawn_a, abs=1e-5)
    assert -1e-9 <= found.source_a <= source.most_a + 1e-6
    assert found.main_v <= max(source.voltage_v, 13.0) + 1e-9


@given(LOADS, SHARES, st.floats(1.0, 250.0), st.floats(0.0, 100.0))
def test_more_alternator_never_lowers_a_voltage_nor_empties_sooner(
    load: Load, shares: tuple[float, float], most_a: float, more_a: float
) -> None:
    """Law: a larger alternator only lifts the bus, and the batteries give no more than before."""
    supply = Supply(_tank(), _tank(), tie=RELAY)
    small = at(supply, main=load, shares=shares, source=Source(14.0, most_a))
    large = at(supply, main=load, shares=shares, source=Source(14.0, most_a + more_a))

    assert large.main_v >= small.main_v - 1e-7
    assert large.main_a + large.second_a <= small.main_a + small.second_a + 1e-5


def test_a_supply_says_what_it_is_made_of(tank: Battery, pickup_alternator: Alternator) -> None:
    """Case: all pieces together."""
    supply = Supply(tank, tank, pickup_alternator, RELAY, Charger("shore", 14.4, 20.0))

    assert supply.charger is not None
    assert supply.charger.most_a == 20.0


def _tank() -> Battery:
    return Battery(
        "tank",
        "flooded",
        360_000.0,
        5.0,
        1.0,
        0.01,
        0.01,
        (0.0, 1.0),
        (12.0, 13.0),
        (0.0, 1.0),
        (12.0, 13.0),
        50.0,
        1.0,
        0.0,
        0.0,
        600.0,
    )
