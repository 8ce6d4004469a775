"""Do batteries, chargers, inverters, disconnects and isolators hold together?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.read import read_part
from coachwright.parts.schema import BatteryPart, InverterPart
from coachwright.parts.supply_checks import CRANKING_DROP_V, RESERVE_CURRENT_A

TOP = 'name: it\ntitle: It\nfigures: {source: "sheet of an invented maker", date: 2026-03-01}\nmass: 20 kg\n'
BATTERY = (
    "kind: battery\n" + TOP + "chemistry: flooded\ncapacity: 70 Ah\nreserve: 120 min\ncranking: 640 A\n"
    "resistance: 4.6 mohm\nopen-voltage: {full: 12.65 V, empty: 11.89 V}\n"
    "length: 278 mm\nwidth: 175 mm\nheight: 190 mm\n"
)
CHARGER = (
    "kind: charger\n"
    + TOP
    + "current: 20 A\ntest-voltage: 14.4 V\nstages: 3\ninput-voltage: 120 V\ninput-current: 3.2 A\n"
)
INVERTER = (
    "kind: inverter\n"
    + TOP
    + "power: 1000 W\ncurrent: 89 A\nefficiency: 88 %\noutput-voltage: 120 V\noutput-rate: 60 Hz\n"
)
DISCONNECT = "kind: disconnect\n" + TOP + "current: 200 A\ncranking: 800 A\n"
ISOLATOR = "kind: isolator\n" + TOP + "current: 140 A\njoin: 13.3 V\nsplit: 12.8 V\n"


def told(text: str) -> list[tuple[str, int, str]]:
    """Code, line and severity of each finding."""
    return [(each.code, each.where[0].line, each.severity) for each in read_part(text, file="it.yaml").findings]


@pytest.mark.parametrize("text", [BATTERY, CHARGER, INVERTER, DISCONNECT, ISOLATOR])
def test_a_sound_part_has_no_finding(text: str) -> None:
    """Case: what the slips below start from is clean."""
    assert told(text) == []


def test_a_battery_in_si() -> None:
    """70 A h are 252,000 A s (1 A h = 3600 C, NIST SP 811); 120 min are 7200 s."""
    part = read_part(BATTERY, file="it.yaml").part

    assert isinstance(part, BatteryPart)
    assert part.capacity == pytest.approx(252_000)
    assert part.reserve == pytest.approx(7200)
    assert part.resistance == pytest.approx(0.0046)
    assert part.open_voltage.full == 12.65


def test_reserve_is_counted_at_25_a() -> None:
    """A battery of 120 min gives 50 A h at 25 A: minutes at 25 A down to 10.5 V, a chassis maker's service page."""
    part = read_part(BATTERY, file="it.yaml").part

    assert isinstance(part, BatteryPart)
    assert part.reserve * RESERVE_CURRENT_A / 3600 == pytest.approx(50.0)


def test_what_cranking_may_cost() -> None:
    """From 12.6 V at rest to the 7.2 V of the cranking test are 5.4 V: 640 A leave 8.4 mohm at most, cold."""
    assert pytest.approx(0.0084375) == CRANKING_DROP_V / 640


@pytest.mark.parametrize(
    ("text", "was", "now", "code", "line", "severity"),
    [
        (BATTERY, "full: 12.65 V", "full: 11.65 V", "PRT-056", 11, "error"),
        (BATTERY, "reserve: 120 min", "reserve: 240 min", "PRT-057", 8, "warning"),
        (BATTERY, "reserve: 120 min", "reserve: 20 min", "PRT-057", 8, "warning"),
        (BATTERY, "4.6 mohm", "46 mohm", "PRT-057", 10, "warning"),
        (BATTERY, "capacity: 70 Ah", "capacity: 0 Ah", "PRT-043", 7, "error"),
        (BATTERY, "capacity: 70 Ah", "capacity: 70", "BLD-004", 7, "error"),
        (BATTERY, "chemistry: flooded", "chemistry: wet", "PRT-011", 6, "error"),
        (CHARGER, "input-current: 3.2 A", "input-current: 1.2 A", "PRT-057", 10, "warning"),
        (CHARGER, "stages: 3", "stages: 0", "PRT-043", 8, "error"),
        (INVERTER, "current: 89 A", "current: 45 A", "PRT-057", 7, "warning"),
        (INVERTER, "efficiency: 88 %", "efficiency: 108 %", "PRT-043", 8, "error"),
        (DISCONNECT, "cranking: 800 A", "cranking: 80 A", "PRT-057", 7, "warning"),
        (DISCONNECT, "current: 200 A", "current: 0 A", "PRT-043", 6, "error"),
        (ISOLATOR, "split: 12.8 V", "split: 13.8 V", "PRT-056", 8, "error"),
    ],
)
def test_each_slip_is_told_at_its_line(*, text: str, was: str, now: str, code: str, line: int, severity: str) -> None:
    """Law: one slip, one finding, at its line; a doubt leaves the part in use."""
    assert text.count(was) == 1
    slipped = text.replace(was, now)

    assert told(slipped) == [(code, line, severity)]
    assert (read_part(slipped, file="it.yaml").part is None) == (severity == "error")


@given(power_w=st.floats(50, 5000), share=st.floats(0.5, 0.97), volt=st.floats(11, 28))
def test_an_inverter_that_keeps_its_energy_is_not_doubted(power_w: float, share: float, volt: float) -> None:
    """Law: what goes in is what comes out over its efficiency; figures that say so are never a finding."""
    text = INVERTER.replace("1000 W", f"{power_w:.6f} W").replace("88 %", f"{share * 100:.6f} %")
    text = text.replace("89 A", f"{power_w / share / volt:.6f} A") + f"test-voltage: {volt:.6f} V\n"
    part = read_part(text, file="it.yaml").part

    assert told(text) == []
    assert isinstance(part, InverterPart)
    assert part.current * part.test_voltage * part.efficiency == pytest.approx(part.power, rel=1e-4)
