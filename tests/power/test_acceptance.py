"""What the electrical tests on the finished vehicle should show: by hand where it is simple, and laws."""

from __future__ import annotations

import pytest

from coachwright.power.acceptance import (
    alarm_tests,
    alternator_test,
    controller_v,
    fit_current,
    lamp_drops,
    reserve_test,
)
from coachwright.power.alternator import most_a
from coachwright.power.charge import inner_ohm, inner_v, rest_v
from coachwright.power.loads import LAMPS, VEHICLE, currents, loads_of
from coachwright.power.restart import restart
from coachwright.power.supply_of import supply_of
from coachwright.power.wired_network import voltages
from tests.power.vehicles import NAMES, example, small


# ----------------------------------------------------------------------------------------------------------------- law
@pytest.mark.parametrize("name", NAMES)
def test_what_is_sure_and_what_may_come_is_all_that_is_fitted(name: str) -> None:
    """Law: sure peak and more never fall short of the worst mean of all but the vehicle's own; silence never adds."""
    model = example(name)
    own = {f"{LAMPS}{head.id}" for head in model.heads if head.reach == "own"}
    for situation in model.situations:
        drawn = {
            subject: wave
            for subject, wave in currents(model, situation=situation.name).items()
            if subject != VEHICLE and (subject in own or not subject.startswith(LAMPS))
        }
        found = fit_current(model, situation.name)
        whole_a = sum(wave.mean() for wave in drawn.values())

        assert found.sure.mean_a <= whole_a + 1e-9
        assert found.sure.mean_a + found.more_a >= whole_a - 1e-9
        assert found.sure.mean_a <= found.sure.peak_a + 1e-9


def test_nothing_is_counted_on_a_feed_that_is_not_there() -> None:
    """Case: with the battery switch off the small build draws what the alternator feeds, and a spared memory."""
    model = small()
    fan_a = currents(model, situation="broken")["equipment.fan"].peak()

    assert fit_current(model, "broken").sure.peak_a == pytest.approx(fan_a + 0.006)
    assert fit_current(model, "standing").sure.mean_a > 0.5


@pytest.mark.parametrize("name", NAMES)
def test_a_lamp_loses_most_where_it_is_said_to(name: str) -> None:
    """Law: in no situation does any head of a lamp lose more than what is expected of it."""
    model = example(name)
    drops = lamp_drops(model)
    heads = {
        f"{LAMPS}{head.id}": f"{head.lamp}.{head.side}" if head.side else head.lamp
        for head in model.heads
        if head.reach == "own"
    }
    standby = {load.subject: load.standby_a for load in loads_of(model)}
    for situation in model.situations:
        drawn = currents(model, situation=situation.name)
        for subject, found in voltages(model, situation=situation.name).items():
            if subject in heads and drawn[subject].peak() > standby[subject] + 1e-6:
                assert found.lost_v <= drops[heads[subject]].lost_v + 1e-5


@pytest.mark.parametrize("name", NAMES)
def test_longer_on_reserve_leaves_less(name: str) -> None:
    """Law: volts at the posts and the start only fall with the time, and the load is that of the battery named."""
    tests = [reserve_test(example(name), after_s=minutes * 60.0) for minutes in (1, 10, 60)]
    known = [each for each in tests if each is not None]

    assert len(known) == 3
    assert known[0].posts_v > known[1].posts_v > known[2].posts_v
    assert known[0].starts.voltage_v >= known[1].starts.voltage_v >= known[2].starts.voltage_v
    assert {each.battery for each in known} == {known[0].battery}


# ---------------------------------------------------------------------------------------------------------------- case
def test_the_volunteers_reserve_is_worked_out_by_hand() -> None:
    """By hand: 10 min of some 25 A take 4.2 Ah of 95 Ah; posts are what stands behind 25 A times its resistance."""
    model = example("volunteer-car")
    found, supply = reserve_test(model, after_s=600.0), supply_of(model).supply
    assert found is not None
    assert supply is not None
    battery = supply.main
    used = found.load_a * (found.load_a / battery.twenty_hour_a) ** (battery.peukert - 1.0) * 600.0
    share = 1.0 - used / battery.capacity_as
    by_hand_v = inner_v(battery, share) - found.load_a * inner_ohm(battery, share)

    assert found.posts_v == pytest.approx(by_hand_v, abs=0.01)
    assert found.starts.voltage_v == pytest.approx(restart(battery, share).voltage_v, abs=0.01)
    assert found.starts.cranks


@pytest.mark.parametrize("name", NAMES)
def test_an_alternator_that_carries_the_load_holds_its_voltage(name: str) -> None:
    """Case: at 93 degC idle and full load of each example stand at the regulator's voltage."""
    model = example(name)
    supply = supply_of(model).supply
    assert supply is not None
    assert supply.alternator is not None
    idle = supply.alternator.fast_idle_rad_s or supply.alternator.idle_rad_s
    for full in (False, True):
        found = alternator_test(model, lasts_s=600.0, full=full)
        assert found is not None
        assert found.takes_a < found.gives_a
        assert found.posts_v == pytest.approx(supply.alternator.voltage_v(93.0))
        assert found.rested_v == rest_v(supply.main, 1.0)
        if not full:
            assert found.gives_a == most_a(supply.alternator, engine_rad_s=idle, temperature_degc=93.0)


@pytest.mark.parametrize("name", NAMES)
def test_the_controller_sees_less_than_the_posts(name: str) -> None:
    """Case: what it sees less is below a third of a volt on the examples; each alarm says so of its own battery."""
    model = example(name)
    for each in alarm_tests(model):
        assert 0.0 < each.lost_v < 0.3
    for situation in model.situations:
        found_v = controller_v(model, situation.name)
        assert found_v is not None
        assert 12.0 < found_v < 14.2


def test_what_can_not_be_tested_is_none() -> None:
    """Case: no situation of the least continuous load, no alarm that is told, no engine that runs while it blocks."""
    model = small()

    assert reserve_test(model, after_s=600.0) is None
    assert alarm_tests(model) == ()
    assert alternator_test(model, lasts_s=600.0, full=False) is None
