"""Windows of the supply: voltage and light of lamps, idle margin, parked draw and time, reserve, joined batteries."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.parts.schema import BatteryPart, LampPart
from coachwright.power.loads import LAMPS, currents, loads_of
from coachwright.power.measures_supply import (
    idle_margin,
    joined_batteries_alike,
    lamp_light_share,
    lamp_voltage_share,
    parked_draw,
    parked_draw_a,
    parked_time,
    reserve_used,
)
from coachwright.power.supply_of import supply_of
from coachwright.power.wired_network import voltages
from tests.power.vehicles import NAMES, example, read, small, text_of

DAY_S = 86400.0


def value(measure: Measure) -> float:
    """A number that is known."""
    assert isinstance(measure.value, float)
    return measure.value


def without(model: Model, **body: object) -> Model:
    """The same build on a body that says less."""
    return replace(model, digest="", body=model.body.model_copy(update=body))


# --------------------------------------------------------------------------------------------------------------- print
def test_parked_days_are_those_of_the_bulletin() -> None:
    """Print: days = 0.24 RC 1000 / (24 mA): no start after 40 % of 0.6 Ah a minute of reserve (a maker's bulletin).

    Less the battery's own loss, which the bulletin leaves out: the drain is made large, so that it hardly counts.
    """
    model = example("volunteer-car")
    part = model.part(model.body.battery.part) if model.body.battery is not None else None
    assert isinstance(part, BatteryPart)
    thirsty = without(model, parked_draw=2.0)
    (found,) = parked_time(thirsty)
    bulletin_d = 0.24 * (part.reserve / 60.0) * 1000.0 / (24.0 * 1000.0 * parked_draw_a(thirsty))

    assert value(found) / DAY_S == pytest.approx(bulletin_d, rel=0.01)
    assert value(found) / DAY_S < bulletin_d


# ----------------------------------------------------------------------------------------------------------------- law
@pytest.mark.parametrize("name", NAMES)
def test_lamps_get_what_the_network_gives_them(name: str) -> None:
    """Law: each lamp by its worst head, as a share of its sheet's test voltage; light by the exponent of its part."""
    model = example(name)
    for situation in model.situations:
        found = voltages(model, situation=situation.name)
        known = {load.subject: load for load in loads_of(model)}
        lowest: dict[str, float] = {}
        dimmest: dict[str, float] = {}
        for subject, at in found.items():
            if subject.startswith(LAMPS):
                path = known[subject].path
                lowest[path] = min(lowest.get(path, math.inf), at.least_v / known[subject].test_voltage_v)
        for head in model.heads:
            part, at_head = model.part(head.part) if head.reach == "own" else None, found.get(f"{LAMPS}{head.id}")
            if isinstance(part, LampPart) and at_head is not None:
                share = (at_head.mean_v / part.test_voltage) ** (part.voltage_exponent or 0.0)
                dimmest[head.path] = min(dimmest.get(head.path, math.inf), share)

        assert {each.about: value(each) for each in lamp_voltage_share(model, situation=situation.name)} == (
            pytest.approx(lowest)
        )
        assert {each.about: value(each) for each in lamp_light_share(model, situation=situation.name)} == (
            pytest.approx(dimmest)
        )


@pytest.mark.parametrize("name", NAMES)
def test_heat_never_leaves_the_alternator_more(name: str) -> None:
    """Law: the margin at idle falls with the air under the hood, and is what it gives less what is on."""
    model = example(name)
    for situation in model.situations:
        cool, hot = (idle_margin(model, situation=situation.name, under_hood=degc) for degc in (25.0, 93.0))
        assert len(cool) == len(hot)
        for one, other in zip(cool, hot, strict=True):
            on_a = sum(wave.mean() for wave in currents(model, situation=situation.name).values())
            assert value(other) <= value(one)
            assert f"{value(other) + on_a:.0f} A at idle" in other.where


@pytest.mark.parametrize("after", [60.0, 600.0, 3600.0])
def test_longer_takes_more_of_the_reserve(after: float) -> None:
    """Law: in proportion to the time; and 10 min of the least load take no half of it on any example."""
    for name in NAMES:
        (one,), (other,) = reserve_used(example(name), after=after), reserve_used(example(name), after=2 * after)

        assert value(other) == pytest.approx(2 * value(one))
        if after == 600.0:
            assert value(one) < 0.5


# ---------------------------------------------------------------------------------------------------------------- case
def test_a_parked_vehicle_draws_its_own_and_what_stands_by_on_hot_feeds() -> None:
    """By hand: the pickup's 22 mA, the radio's memory 12 mA, the controller 6 mA, and the lamps it feeds, dark."""
    model = small()
    lamps_a = sum(load.standby_a for load in loads_of(model) if load.subject.startswith(LAMPS))
    (found,) = parked_draw(model)

    assert value(found) == pytest.approx(0.022 + 0.012 + 0.006 + lamps_a)
    assert found.where.startswith("the vehicle itself 22 mA, radio.memory 12 mA, controller 6 mA")


@pytest.mark.parametrize(("name", "weeks"), [("quillback", 4), ("volunteer-car", 5), ("service-patrol", 6)])
def test_the_examples_stand_for_weeks(name: str, weeks: int) -> None:
    """By hand: 40 % of 0.6 x 175 min are 42 Ah; at 54, 42, 37 mA and the battery's own loss some 4 to 6 weeks."""
    model = example(name)
    (found,) = parked_time(model)
    supply = supply_of(model).supply
    assert supply is not None
    used_ah = 0.4 * 0.6 * supply.main.reserve_s / 60.0
    by_hand_d = used_ah / (parked_draw_a(model) + supply.main.lost_a) / 24.0

    assert value(found) / DAY_S == pytest.approx(by_hand_d, rel=0.02)
    assert value(found) / DAY_S / 7.0 == pytest.approx(weeks, abs=1.0)


def test_each_serial_is_parked_by_itself() -> None:
    """Case: quillback's third vehicle has a radio more, so it stands for less."""
    first, third = (read(text_of("quillback"), serial=serial) for serial in (1, 3))
    (of_first,), (of_third,) = parked_time(first), parked_time(third)

    assert (of_first.facts["serial"], of_third.facts["serial"]) == (first.serial, third.serial)
    assert value(of_third) < value(of_first)


def test_what_the_body_does_not_say_is_not_known() -> None:
    """Case: no battery, no alternator: a reason and no number."""
    model = example("volunteer-car")
    bare = without(model, battery=None)
    hot = idle_margin(bare, situation="on-scene", under_hood=93.0)
    for found in (parked_time(bare), reserve_used(bare, after=600.0), hot):
        (measure,) = found
        assert measure.value is None
        assert measure.why_not
    assert joined_batteries_alike(bare) == ()


def test_batteries_that_are_joined_are_compared() -> None:
    """Case: quillback's two are of one kind and size; a lithium one beside its starter battery is not."""
    model = example("quillback")
    (alike,) = joined_batteries_alike(model)
    (unlike,) = joined_batteries_alike(example("quillback", ("part: agm-95", "part: lithium-iron-100")))

    assert alike.value is True
    assert alike.about == "equipment.aux-battery"
    assert joined_batteries_alike(example("service-patrol")) == ()
    assert unlike.value is False
