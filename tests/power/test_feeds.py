"""Is a feed there: every kind of it, run-on and cut over time, shedding, disconnects; laws of their clocks."""

from __future__ import annotations

import math
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model_fitted import Feed
from coachwright.power.feeds import Clock, after, fed, feed_of, item_fed, kind_of, spared_memory
from coachwright.power.found_loads import findings_feeds
from coachwright.power.load_figures import load_figures
from coachwright.power.loads import currents
from coachwright.power.shedding import Shedding, StageClock, begin, later, shedding_of, stage_in
from tests.power.vehicles import NAMES, example, small


def feed_named(name: str) -> Feed:
    """A feed of the small build."""
    return next(feed for feed in small().feeds if feed.name == name)


def run(feed: Feed, seconds: Iterable[tuple[bool, float]], *, step_s: float = 1.0) -> list[Clock]:
    """The clock at the end of each step: whether its condition holds, and the voltage."""
    clock, found = Clock(), []
    for holds, voltage_v in seconds:
        clock = after(feed, clock, holds=holds, voltage_v=voltage_v, elapsed_s=step_s)
        found.append(clock)
    return found


# ---- print
def test_recovery_and_alarm_are_common_practice() -> None:
    """Print: back above 13.2 V for 1 min, stages held for 2 min (common practice, from memory), and it says so."""
    figures = load_figures()

    assert (figures.back_above_v, figures.back_held_s, figures.shed_held_s) == (13.2, 60.0, 120.0)
    assert dict(figures.stages) == {1: 12.2, 2: 11.8}
    assert "common practice" in figures.cites["shed"].source


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("main", "hot"),
        ("running", "engine"),
        ("radios", "ignition"),
        ("accessories", "accessory"),
    ],
)
def test_feeds_are_called_as_a_lead_calls_them(name: str, kind: str) -> None:
    """Case: by what its condition reads first."""
    assert kind_of(feed_named(name)) == kind


# ---- case
@pytest.mark.parametrize(
    ("situation", "alive"),
    [
        ("plain", {"main", "running", "radios", "computer", "accessories", "charged"}),
        ("parked", {"main"}),
        ("listening", {"main", "accessories"}),
        ("engine-off", {"main", "radios", "computer", "accessories"}),
        ("low", {"main", "accessories", "charged"}),
        ("broken", {"charged"}),
    ],
)
def test_which_feeds_are_there(situation: str, alive: set[str]) -> None:
    """Case: hot, engine, run-on, accessory, alternator; low voltage cuts and sheds; a disconnect opens."""
    found = fed(small(), situation=situation)

    assert {name for name, state in found.items() if state.alive} == alive
    assert all(state.why for state in found.values())


def test_a_disconnect_that_nobody_names_is_closed() -> None:
    """Case: its control rests at off; a vehicle in use has its battery on all the same."""
    assert small().input("battery").rest == "off"
    assert feed_of(small(), "main", situation="plain").alive
    assert feed_of(small(), "main", situation="broken").cut_by_disconnect


def test_a_spared_memory_wire_stays_fed() -> None:
    """Case: behind an open disconnect the controller keeps what it draws asleep, the radio nothing."""
    drawn = currents(small(), situation="broken")

    assert spared_memory(small()) == {"controller"}
    assert drawn["equipment.controller"].mean() == pytest.approx(0.006)
    assert drawn["equipment.radio.memory"].mean() == 0.0
    assert drawn["lamps.grille.left"].peak() == 0.0


def test_what_sleeps_is_told() -> None:
    """Case: five minutes after the ignition has ended the controller sleeps, and is still fed."""
    assert feed_of(small(), "main", situation="parked").asleep
    assert not feed_of(small(), "main", situation="plain").asleep


def test_a_function_that_asks_for_a_dead_feed_is_told() -> None:
    """Case: PWR-002, an inverter whose feed needs the engine is switched on without it."""
    found = findings_feeds(small())

    assert [(each.code, each.about) for each in found] == [("PWR-002", "equipment.inverter")]
    assert "engine-off" in str(found[0].values["why"])
    assert "running" in str(found[0].values["why"])


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_ask_for_no_dead_feed(name: str) -> None:
    """Case: whatever runs or sounds in a situation of the examples is fed there."""
    assert findings_feeds(example(name)) == ()


def test_shore_is_there_when_something_says_so() -> None:
    """Case: nothing of quillback's situations plugs the truck in."""
    model = example("quillback")

    assert not any(fed(model, situation=each.name)["shore"].alive for each in model.situations)
    charger = next(item for item in model.equipment if item.name == "shore-charger")
    assert not item_fed(model, charger, situation="on-scene").alive


@pytest.mark.parametrize(("gear", "alive"), [("backing-in", True), ("on-scene", False)])
def test_a_circuit_of_the_vehicle_follows_its_signal(gear: str, alive: bool) -> None:
    """Case: the reverse lamps have voltage in R."""
    assert fed(example("quillback"), situation=gear)["vehicle.reverse"].alive is alive


def test_stages_are_read_from_the_memory_that_keeps_them() -> None:
    """Case: quillback's own words: 12.2 V and 11.8 V for 2 min, back above 13.2 V for 1 min."""
    found = shedding_of(example("quillback"))

    assert (found.memory, found.whole) == ("stage", True)
    assert [(each.stage, each.below_v, each.held_s) for each in found.thresholds] == [
        (2, 11.8, 120.0),
        (1, 12.2, 120.0),
    ]
    assert (found.back_above_v, found.back_held_s) == (13.2, 60.0)


def test_the_machine_says_the_stage_where_it_keeps_it() -> None:
    """Case: under 11.8 V quillback stands in its second stage, and what is shed first is off."""
    low = example("quillback", ("supply: 12.5 V}", "supply: 11.5 V}"))

    assert stage_in(low, "on-scene-off") == 2
    assert not feed_of(low, "usb", situation="on-scene-off").alive
    assert "shed" in feed_of(low, "usb", situation="on-scene-off").why
    assert not feed_of(low, "radios", situation="on-scene-off").alive  # its own limit is 11.8 V
    assert feed_of(example("quillback"), "usb", situation="on-scene-off").alive


# ---- over time
def test_run_on_ends_when_its_time_is_over() -> None:
    """Case: thirty minutes after the key, to the second."""
    clocks = run(feed_named("radios"), [(True, 12.6)] * 5 + [(False, 12.6)] * 1801)

    assert [clock.alive for clock in clocks].index(False) == 5 + 1800 - 1


def test_a_key_turned_again_begins_the_run_on_anew() -> None:
    """Case: `plus` restarts."""
    clocks = run(feed_named("radios"), [(False, 12.6)] * 1000 + [(True, 12.6)] + [(False, 12.6)] * 1799)

    assert clocks[-1].alive


def test_low_voltage_cuts_after_its_time_and_not_before() -> None:
    """Case: 11.8 V held 2 min: at 120 s, and a second above that begins the time anew."""
    radios = feed_named("radios")
    straight = run(radios, [(True, 11.7)] * 121)
    broken = run(radios, [(True, 11.7)] * 100 + [(True, 11.9)] + [(True, 11.7)] * 100)

    assert [clock.alive for clock in straight].index(False) == 119
    assert all(clock.alive for clock in broken)


def test_what_was_cut_comes_back_only_above_recovery() -> None:
    """Case: the voltage that rises because the load is gone brings nothing back; a minute above 13.2 V does."""
    radios = feed_named("radios")
    clocks = run(radios, [(True, 11.7)] * 130 + [(True, 12.4)] * 600 + [(True, 13.5)] * 60)

    assert not any(clock.alive for clock in clocks[130:-1])
    assert clocks[-1].alive


def test_a_computer_is_told_before_its_feed_goes() -> None:
    """Case: 90 s before the run-on ends, and 90 s between low voltage and the end, which it then goes through with."""
    computer = feed_named("computer")
    ending = run(computer, [(False, 12.6)] * 3600)
    low = run(computer, [(True, 11.9)] * 120 + [(True, 12.8)] * 90)

    assert [clock.told for clock in ending].index(True) == 3600 - 90 - 1
    assert ending[-2].alive
    assert not ending[-1].alive
    assert low[119].told
    assert low[119].alive
    assert [clock.alive for clock in low].index(False) == 119 + 90


# ---- law
@given(
    volts=st.lists(st.sampled_from([11.0, 11.7, 11.9, 12.5, 13.0, 13.6]), min_size=1, max_size=12),
    higher=st.lists(st.booleans(), min_size=12, max_size=12),
)
def test_more_voltage_never_cuts_sooner(volts: list[float], higher: list[bool]) -> None:
    """Law: lift the voltage anywhere, and a feed that was there still is, at every step."""
    radios = feed_named("radios")
    lifted = [volt + 2.5 if lift else volt for volt, lift in zip(volts, higher, strict=False)]
    one = run(radios, [(True, volt) for volt in volts], step_s=45.0)
    other = run(radios, [(True, volt) for volt in lifted], step_s=45.0)

    assert all(not before.alive or after_.alive for before, after_ in zip(one, other, strict=True))


@given(volts=st.lists(st.floats(10.5, 14.5), min_size=1, max_size=40))
def test_a_stage_goes_back_only_to_none_and_only_after_recovery(volts: list[float]) -> None:
    """Law: shedding deepens or ends; never from two to one, whatever the voltage does."""
    shedding = shedding_of(small())
    clock, stages = begin(shedding), [0]
    above_s = 0.0
    for volt in volts:
        clock = later(shedding, clock, voltage_v=volt, elapsed_s=30.0)
        above_s = above_s + 30.0 if volt > shedding.back_above_v else 0.0
        assert clock.stage >= stages[-1] or (clock.stage == 0 and above_s >= shedding.back_held_s)
        stages.append(clock.stage)


def test_a_stage_without_a_time_acts_at_once() -> None:
    """Case: a threshold that isn't held, and a recovery that isn't."""
    plain = Shedding((), 13.0, 0.0)

    assert later(plain, StageClock(2, ()), voltage_v=13.1, elapsed_s=1.0).stage == 0
    assert later(plain, StageClock(2, ()), voltage_v=12.9, elapsed_s=1.0).stage == 2


@given(step_s=st.sampled_from([1.0, 2.0, 5.0, 10.0, 30.0]))
def test_the_length_of_a_step_changes_no_run_on(step_s: float) -> None:
    """Law: run-on is used up by the time that passes, however it is cut."""
    clocks = run(feed_named("radios"), [(False, 12.6)] * round(600 / step_s), step_s=step_s)

    assert clocks[-1].left_s == pytest.approx(1200.0)
    assert math.isinf(run(feed_named("main"), [(False, 12.6)])[0].left_s)
