"""What the examples say of their supply, and what is assumed where a build is silent."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.power.bus import Supply
from coachwright.power.day import Draw, Stretch, Watch
from coachwright.power.day_run import run_day
from coachwright.power.findings_day import findings_supply
from coachwright.power.shedding import recovery, shedding_of
from coachwright.power.supply_of import Described, supply_of
from tests.power.vehicles import read, small

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module")
def example() -> Callable[[str], Model]:
    """A model of the examples."""

    def named(name: str) -> Model:
        model = load_build(EXAMPLES / name / "build.yaml").model
        assert model is not None
        return model

    return named


def supply(described: Described) -> Supply:
    """Its supply, which is there."""
    assert described.supply is not None
    return described.supply


def test_quillback_has_two_batteries_joined_by_a_relay(example: Callable[[str], Model]) -> None:
    """Case: aux-battery under the rear seat, joined while the engine runs, parted below 12.8 V held 2 min."""
    described = supply_of(example("quillback"))
    found = supply(described)

    assert found.second is not None
    assert (found.main.name, found.second.name) == ("main-battery", "aux-battery")
    assert found.second.twenty_hour_a * 20.0 == pytest.approx(95.0)
    assert found.tie is not None
    assert (found.tie.by, found.tie.with_engine, found.tie.split_v, found.tie.split_s) == ("relay", True, 12.8, 120.0)
    assert found.alternator is not None
    assert max(found.alternator.curve[0][2]) == pytest.approx(250.0)  # ordered with the larger one
    assert found.charger is not None
    assert (found.charger.name, found.charger.most_a) == ("shore-charger", 20.0)
    assert described.bus_of["radios"] == "second"
    assert described.bus_of["keep"] == "main"
    assert (described.breaks, described.broken) == (("aux-battery",), "second")
    assert described.spares == ("keep", "controller.memory")
    assert any("isolator" in each for each in described.assumed)


def test_quillback_is_watched_as_its_memory_and_feeds_say(example: Callable[[str], Model]) -> None:
    """Case: stages at 12.2 and 11.8 V held 2 min, back above 13.2 V held 1 min; feeds cut at 12.0 and 11.8 V."""
    described = supply_of(example("quillback"))
    seen = {
        watch.name: (watch.bus, watch.below_v, watch.below_s, watch.above_v, watch.above_s)
        for watch in described.watches
    }

    assert seen["memory.stage.one"] == ("second", 12.2, 120.0, 13.2, 60.0)
    assert seen["memory.stage.two"] == ("second", 11.8, 120.0, 13.2, 60.0)
    assert seen["feeds.computer"] == ("second", 12.0, 120.0, *recovery())
    assert {watch.name for watch in described.watches if watch.alarms} == {"memory.stage.one", "memory.stage.two"}
    assert described.sheds["feeds.usb"] == ("memory.stage.one", "memory.stage.two")
    assert described.sheds["feeds.outlet"] == ("feeds.outlet", "memory.stage.one", "memory.stage.two")
    assert described.sheds["equipment.locker-fan"] == ("memory.stage.one", "memory.stage.two")
    assert described.sheds["feeds.radios"] == ("feeds.radios",)  # never by a stage; cut at 11.8 V all the same
    assert "feeds.keep" not in described.sheds


@pytest.mark.parametrize(("name", "stages"), [("volunteer-car", ["low"]), ("service-patrol", ["one", "two"])])
def test_the_other_examples_have_one_battery(name: str, stages: list[str], example: Callable[[str], Model]) -> None:
    """Case: everything hangs on the main battery, also what the controller measures."""
    described = supply_of(example(name))

    assert supply(described).second is None
    assert supply(described).tie is None
    assert set(described.bus_of.values()) == {"main"}
    assert [each.name for each in described.watches if each.alarms] == [f"memory.stage.{stage}" for stage in stages]
    assert (supply(described).charger is not None) is (name == "volunteer-car")


def test_the_disconnect_of_the_patrol_breaks_feeds_and_no_battery(example: Callable[[str], Model]) -> None:
    """Case: radios, computer, sockets and inverter, while the controller stays on."""
    described = supply_of(example("service-patrol"))

    assert described.breaks == ("radios", "computer", "usb", "inverter")
    assert described.broken == ""
    alternator = supply(described).alternator
    assert alternator is not None
    assert alternator.fast_idle_rad_s > alternator.idle_rad_s


@pytest.mark.parametrize("name", ["quillback", "volunteer-car", "service-patrol"])
def test_four_hours_without_the_engine_can_be_gone_through(name: str, example: Callable[[str], Model]) -> None:
    """Law: what was read is a supply a day can be run on, and the cold only makes it worse."""
    ends = []
    for degc in (25.0, -10.0):
        described = supply_of(example(name), temperature_degc=degc)
        draws = (Draw("lamps", "main", "current", 6.0), Draw("laptop", "second", "current", 6.0))
        day = run_day(supply(described), [Stretch("off", 4 * 3600.0, draws)], described.watches)
        ends.append(float(day.main_share[-1] + day.second_share[-1]))

    assert ends[1] < ends[0]


def test_a_body_without_a_battery_is_said_and_not_guessed(example: Callable[[str], Model]) -> None:
    """PWR-049: no battery, no day."""
    model = example("volunteer-car")
    silent = replace(model, digest="", body=model.body.model_copy(update={"battery": None}))
    described = supply_of(silent)

    assert described.supply is None
    assert [each.code for each in findings_supply(described, temperature_degc=25.0)] == ["PWR-049"]


def test_a_body_that_says_nothing_of_its_alternator_is_named(example: Callable[[str], Model]) -> None:
    """Case: then the engine brings nothing, and that is said."""
    model = example("volunteer-car")
    silent = replace(model, digest="", body=model.body.model_copy(update={"charging": None}))
    described = supply_of(silent)

    assert supply(described).alternator is None
    assert any("alternator" in each for each in described.assumed)


def test_without_a_memory_the_stages_are_those_of_a_situation() -> None:
    """Case: no memory, and feeds that say `shed`: the day sheds at 12.2 and 11.8 V as power.feeds does, silently."""
    model = small()
    described = supply_of(model)
    stages = {each.name: (each.below_v, each.below_s, each.above_v) for each in described.watches if not _of_feed(each)}

    assert stages == {"shed.1": (12.2, 120.0, 13.2), "shed.2": (11.8, 120.0, 13.2)}
    assert described.sheds["feeds.running"] == ("shed.1", "shed.2")
    assert not any(watch.alarms for watch in described.watches)
    assert shedding_of(model).that_shed(3) == ()


def _of_feed(watch: Watch) -> bool:
    return watch.name.startswith("feeds.")


def test_a_memory_that_nothing_takes_back_stays_low() -> None:
    """Case: volunteer-car without its way back; both readers say so."""
    text = (EXAMPLES / "volunteer-car" / "build.yaml").read_text(encoding="utf-8")
    away = "      - {on: supply > 13.2 V held 1 min, to: none}\n"
    assert away in text
    model = read(text.replace(away, ""))
    (watch,) = (each for each in supply_of(model).watches if each.alarms)

    assert math.isinf(watch.above_v)
    assert math.isinf(shedding_of(model).back_above_v)
