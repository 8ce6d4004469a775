"""The duty day of a build: what its stretches draw, when the alarm comes, what is shed, and days that can't be."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from coachwright.kit.figures import cite_of, table_of, tables_in
from coachwright.power.day import Draw, shed_at
from coachwright.power.duty import (
    ALARM,
    DATA,
    duty_day,
    duty_figures,
    duty_of,
    engine_runs,
    lasting,
    least_continuous,
    stretch_of,
)
from coachwright.power.feeds import feed_of
from coachwright.power.findings_day import findings_day
from coachwright.power.loads import currents, loads_of
from coachwright.power.supply_of import supply_of
from tests.power.vehicles import NAMES, example, small

OFF = {"quillback": "on-scene-off", "volunteer-car": "on-scene-off"}


# --------------------------------------------------------------------------------------------------------------- print
def test_an_alarm_nobody_set_is_that_of_nfpa_1901() -> None:
    """Print: below 11.8 V for 120 s (NFPA 1901, chapter 13, from memory), and it stays a draft."""
    alarm = duty_figures().alarm
    cite = cite_of(table_of(tables_in("coachwright.power", DATA)["alarm"], DATA), DATA)

    assert (alarm.below_v, alarm.below_s, alarm.alarms) == (11.8, 120.0, True)
    assert "NFPA 1901" in cite.source
    assert cite.is_draft


def test_under_the_hood_it_is_93_degc() -> None:
    """Print: 93 degC, which is 200 degF (NFPA 1901 and KKK-A-1822, as public pages quote them)."""
    assert duty_figures().idling_degc == pytest.approx((200.0 - 32.0) / 1.8, abs=0.5)


# ----------------------------------------------------------------------------------------------------------------- law
@pytest.mark.parametrize("name", NAMES)
def test_draws_of_a_day_sum_to_the_currents_of_its_situations(name: str) -> None:
    """Law: each load that draws and is fed stands in its stretch once, with its mean at its own test voltage."""
    model = example(name)
    described, known = supply_of(model), {load.subject: load for load in loads_of(model)}
    for situation in model.situations:
        means = {subject: wave.mean() for subject, wave in currents(model, situation=situation.name).items()}
        fed = {
            subject: mean_a
            for subject, mean_a in means.items()
            if mean_a > 1e-6
            and (
                known[subject].feed not in described.bus_of
                or feed_of(model, known[subject].feed, situation=situation.name).alive
            )
        }
        draws = stretch_of(model, situation, described).draws

        assert len(draws) == len({draw.name for draw in draws})
        assert {draw.name: _at_test_a(draw, known[draw.name].test_voltage_v) for draw in draws} == pytest.approx(fed)
        assert {draw.name: draw.behaves for draw in draws} == {each: known[each].behaves for each in fed}


def _at_test_a(draw: Draw, test_v: float) -> float:
    if draw.behaves == "power":
        return draw.value / test_v
    return test_v / draw.value if draw.behaves == "resistance" else draw.value


@pytest.mark.parametrize("name", NAMES)
def test_a_day_lasts_what_its_situations_say(name: str) -> None:
    """Law: one stretch for each situation that lasts, in the order of the file, and the day is their sum."""
    model = example(name)
    duty = duty_day(model)

    assert duty.day is not None
    assert tuple(stretch.name for stretch in duty.stretches) == lasting(model)
    assert duty.day.ended
    assert duty.day.time_s[-1] == pytest.approx(math.fsum(stretch.lasts_s for stretch in duty.stretches))


@pytest.mark.parametrize("name", NAMES)
def test_the_engine_turns_where_a_situation_says_so(name: str) -> None:
    """Law: no engine speed without the engine, more of it on the road than standing, and the heat that goes with it."""
    model, figures = example(name), duty_figures()
    described = supply_of(model)
    idle_rad_s = float(model.body.charging.idle) if model.body.charging is not None else 0.0
    for situation in model.situations:
        stretch, runs = stretch_of(model, situation, described), engine_runs(model, situation.name)
        drives = stretch.under_hood_degc == figures.driving_degc

        assert (stretch.engine_rad_s > 0) is runs
        assert not runs or stretch.engine_rad_s == (figures.driving_rad_s if drives else idle_rad_s)


# ---------------------------------------------------------------------------------------------------------------- case
def test_quillback_without_its_engine_says_when_the_alarm_comes_and_what_it_sheds() -> None:
    """By hand: 25 A of 95 Ah, 12.2 V at some 70 % under that load: an hour at least and two at most, from full.

    Shed by then is what the file says `shed: 1` of and draws there; at 11.8 V what is cut there goes too.
    """
    model = example("quillback")
    duty = duty_of(model, "on-scene-off")
    assert duty.day is not None
    first_s, second_s = (duty.day.first("low", f"memory.stage.{stage}") for stage in ("one", "two"))
    (stretch,) = duty.stretches
    assert first_s is not None
    assert second_s is not None
    shed = {
        load.subject
        for load in loads_of(model)
        if load.feed in ("usb", "outlet", "inverter") or load.subject == "equipment.locker-fan"
    }
    draws = {draw.name for draw in stretch.draws}

    assert 3600.0 < first_s < 7200.0
    assert first_s < second_s
    assert set(shed_at(duty.day, stretch, first_s)) == shed & draws
    assert shed & draws <= set(shed_at(duty.day, stretch, second_s))
    assert "equipment.radio-1" in shed_at(duty.day, stretch, second_s)  # its feed is cut below 11.8 V
    assert shed_at(duty.day, stretch, first_s - 1.0) == ()


def test_an_alarm_that_comes_is_told_with_its_time() -> None:
    """Case: PWR-044 for both stages of quillback's four hours off, the first without more than it sheds."""
    model = example("quillback")
    duty = duty_of(model, "on-scene-off")
    assert duty.day is not None
    assert duty.described.supply is not None
    told = [
        each.values
        for each in findings_day(duty.described.supply, duty.stretches, duty.watches, duty.day)
        if each.code == "PWR-044"
    ]

    assert [values["watch"] for values in told] == ["memory.stage.one", "memory.stage.two"]


def test_the_volunteers_car_sheds_its_hand_lamp_before_the_alarm() -> None:
    """Case: hand lamps go at 12.2 V held 5 min, the alarm only below 11.9 V, and two hours don't reach it."""
    duty = duty_of(example("volunteer-car"), "on-scene-off")
    assert duty.day is not None

    assert duty.day.first("low", "feeds.hand-lamp") is not None
    assert duty.day.first("low", "memory.stage.low") is None


def test_a_build_without_an_alarm_is_gone_through_with_the_usual_one() -> None:
    """Case: no message tells of a low supply: the day looks at 11.8 V all the same."""
    model = small()
    usual = {watch.name for watch in duty_day(model).watches if watch.alarms}
    own = {watch.name for watch in duty_day(example("volunteer-car")).watches if watch.alarms}

    assert usual == {ALARM}
    assert own == {"memory.stage.low"}


def test_without_a_battery_or_a_time_there_is_no_day() -> None:
    """Case: nothing that lasts, or nothing that feeds."""
    model = example("volunteer-car")
    silent = replace(model, digest="", body=model.body.model_copy(update={"battery": None}))

    assert duty_day(small()).day is None
    assert duty_day(silent).day is None
    assert duty_of(model, "answering").day is None  # it says no time


@pytest.mark.parametrize(
    ("name", "asked"),
    [("quillback", ("on-scene-off",)), ("volunteer-car", ("on-scene-off",)), ("service-patrol", ())],
)
def test_the_least_continuous_load_is_what_lasts_with_the_engine_off(name: str, asked: tuple[str, ...]) -> None:
    """Case: where nothing does, what stands for blocking."""
    model = example(name)
    blocking = tuple(each.name for each in model.situations if each.stands_for == "blocking")

    assert least_continuous(model) == (asked or blocking)
    assert blocking
