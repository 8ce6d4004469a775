"""What of a duty day the lead is told."""

from collections.abc import Callable
from dataclasses import replace

from coachwright.kit.finding import Finding
from coachwright.look.cells import sentence
from coachwright.parts.schema import BatteryPart
from coachwright.power.alternator import Alternator
from coachwright.power.bus import Supply
from coachwright.power.charge import Battery, battery_of
from coachwright.power.day import Draw, Stretch, Watch
from coachwright.power.day_run import run_day
from coachwright.power.findings_day import findings_day, findings_supply
from coachwright.power.supply_of import Described

HOUR_S = 3600.0
ALARM = Watch("memory.stage.low", "main", 12.2, 120.0, 13.2, 60.0, alarms=True)


def told(supply: Supply, stretches: list[Stretch], watches: tuple[Watch, ...] = (ALARM,)) -> dict[str, Finding]:
    """Findings of a day by code; each comes once here."""
    found = findings_day(supply, stretches, watches, run_day(supply, stretches, watches))
    assert len({each.code for each in found}) == len(found)
    return {each.code: each for each in found}


def off(hours: float, amperes: float) -> Stretch:
    """The scene with the engine off; half of it is shed."""
    half = Draw("lamps", "main", "current", amperes / 2.0, (("memory.stage.low", 0.0),))
    return Stretch("on-scene-off", hours * HOUR_S, (half, Draw("radio", "main", "current", amperes / 2.0)))


def test_four_hours_off_say_when_the_alarm_comes_and_what_is_shed(flooded: Battery) -> None:
    """PWR-044, PWR-045: the alarm with what is shed by then, and the start that is no longer counted on."""
    found = told(Supply(flooded), [off(4.0, 10.0)])

    assert set(found) == {"PWR-044", "PWR-045", "PWR-046"}
    assert found["PWR-044"].severity == "note"
    assert found["PWR-044"].about == "situations.on-scene-off"
    assert "shed by then: lamps" in sentence(found["PWR-044"])
    assert "on-scene-off" in sentence(found["PWR-045"])


def test_an_alarm_after_the_start_is_lost_is_told(flooded: Battery) -> None:
    """PWR-046: with the alarm later, and with none at all; not with one that is early."""
    late, early = replace(ALARM, below_v=11.9), replace(ALARM, below_v=12.5)

    assert "min later" in sentence(told(Supply(flooded), [off(8.0, 10.0)], (late,))["PWR-046"])
    mute = replace(late, alarms=False)
    assert "no alarm comes" in sentence(told(Supply(flooded), [off(3.9, 10.0)], (mute,))["PWR-046"])
    assert "PWR-046" not in told(Supply(flooded), [off(4.0, 10.0)], (early,))


def test_a_battery_that_goes_flat_is_told_with_its_time(tank: Battery) -> None:
    """PWR-042: a plain battery of 100 Ah at 40 A, after 2.5 h; nothing is shed here."""
    found = told(Supply(tank), [Stretch("scene", 4 * HOUR_S, (Draw("all", "main", "current", 40.0),))])

    assert found["PWR-042"].about == "situations.scene"
    assert "tank is flat after" in sentence(found["PWR-042"])


def test_a_supply_that_collapses_is_told(tank: Battery) -> None:
    """PWR-043: 4 kW at a battery that brings 3.9 kW once it is half empty."""
    found = told(Supply(tank), [Stretch("scene", HOUR_S, (Draw("inverter", "main", "power", 4000.0),))], ())

    assert "no voltage feeds all that is on" in sentence(found["PWR-043"])


def test_an_idle_that_does_not_carry_the_load_is_told(tank: Battery, pickup_alternator: Alternator) -> None:
    """PWR-047: 75 A on, 55 A at idle and 93 degC (the body's file): 20 A from the battery."""
    idle = Stretch(
        "on-scene", HOUR_S, (Draw("all", "main", "current", 75.0),), pickup_alternator.idle_rad_s, under_hood_degc=93.0
    )
    supply = Supply(tank, alternator=pickup_alternator)

    found = told(supply, [idle])
    assert set(found) == {"PWR-047"}
    assert found["PWR-047"].margin is not None
    assert round(found["PWR-047"].margin.value, 6) == -20.0
    assert told(supply, [replace(idle, under_hood_degc=25.0)]) == {}


def test_an_alternator_beyond_its_sheet_is_told(tank: Battery, pickup_alternator: Alternator) -> None:
    """PWR-048: hotter than the last curve."""
    hot = Stretch("drive", HOUR_S, (), 200.0, under_hood_degc=120.0)

    assert "hotter than the curve goes" in sentence(told(Supply(tank, alternator=pickup_alternator), [hot])["PWR-048"])


def test_what_never_comes_back_is_told(tank: Battery, pickup_alternator: Alternator) -> None:
    """PWR-051: over above 13.6 V, and the regulator holds 13.52 V at 93 degC (the body's file)."""
    never = replace(ALARM, above_v=13.6)
    drive = Stretch("drive", HOUR_S, (Draw("radio", "main", "current", 5.0),), 200.0, under_hood_degc=93.0)
    supply = Supply(tank, alternator=pickup_alternator)

    assert "PWR-051" in told(supply, [off(4.5, 20.0), drive], (never,))
    assert "PWR-051" not in told(supply, [off(4.5, 20.0), drive])


def test_lithium_in_frost_is_told(battery_part: Callable[[str], BatteryPart], tank: Battery) -> None:
    """PWR-050: it takes no charge below 0 degC, at the path of the battery."""
    cold = battery_of(battery_part("lithium-iron-100"), name="aux-battery", temperature_degc=-5.0)
    described = Described(Supply(tank, cold), "equipment.aux-battery", {}, (), {}, (), (), "", ())
    (finding,) = findings_supply(described, temperature_degc=-5.0)

    assert (finding.code, finding.about) == ("PWR-050", "equipment.aux-battery")
