"""Every calculation that is promised exists, gives the promised keys in the promised units, and has its page."""

import re
from pathlib import Path

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import RECKONERS, load_reckoners
from tests.parts.photometric import SMALL_CSV
from tools import reckoner_page

BROKEN = load_reckoners()

PROMISED: dict[str, tuple[str, str, str]] = {
    # name: room; inputs, those that may be left out in brackets; results with their unit. Nothing here is renamed.
    "effective-intensity": ("light", "pulses [law] [constant]", "intensity:cd window_start:s window_end:s"),
    "optical-power": ("light", "pulses flashes_per_minute", "power:cd_s/min mean_intensity:cd"),
    "sight-range": ("light", "intensity threshold visibility", "range:m"),
    "intensity-for-range": ("light", "range threshold [visibility] [transmissivity]", "intensity:cd"),
    "lux-to-candela": ("control", "lit [dark] distance [size] [least]", "intensity:cd off_by:cd"),
    "level-alone": ("control", "together background", "level:dB off_by:dB"),
    "glare-veil": (
        "light",
        "age [angle] [illuminance] [intensity] [distance] [aside] [model]",
        "angle:deg illuminance:lx luminance:cd/m2",
    ),
    "glass": (
        "light",
        "angle [index] [transmittance]",
        "face_reflectance:1 clear_transmittance:1 transmittance:1",
    ),
    "stopping-distance": ("light", "speed [grade] [system]", "distance:m design_distance:m time:s"),
    "crossing": (
        "light",
        "own_speed cross_speed [corner_from_cross] [corner_from_own]",
        "own_distance:m cross_distance:m range:m bearing:deg in_sight:yes/no",
    ),
    "gap-distance": ("light", "speed gap", "distance:m design_distance:m"),
    "chromaticity": ("light", "x y", ""),
    "photometry": ("light", "file", "lumens:lm declared_lumens:lm peak:cd nadir:cd warnings:"),
    "retroreflection": ("light", "film width height observation entrance", "intensity_per_lux:cd/lx"),
    "flash-rate": ("flash", "steps", "flashes_per_minute:1/min on_share:1 regular:yes/no"),
    "seen-rate": ("flash", "rates [phases]", "flashes_per_second:1/s within_three:yes/no"),
    "conductor": (
        "power",
        "gauge [family] [temperature]",
        "diameter:mm area:mm2 circular_mils:cmil resistance:mohm/m",
    ),
    "voltage-drop": ("power", "gauge length current [family] [temperature] [supply]", "drop:V share:1"),
    "conductor-for": ("power", "current length drop [k]", "circular_mils:cmil gauge_awg: gauge_sae:"),
    "ampacity": ("power", "gauge insulation [place] [bundle]", "current:A"),
    "largest-fuse": ("power", "ampacity rule [sizes]", "limit:A fuse:A"),
    "withstand": ("power", "gauge from to current", "time:s i2t:A2_s"),
    "melting-current": ("power", "circular_mils ambient time", "current:A"),
    "fuse-leak": ("power", "drop resistance", "current:A"),
    "battery-life": ("power", "c20 reserve_minutes load", "peukert:1 time:min"),
    "reserve-need": ("power", "load time share", "used:Ah reserve_minutes:min"),
    "parked-days": ("power", "reserve_minutes drain [usable]", "days:d"),
    "load-shape": ("power", "count current duty", "mean:A peak:A rms_together:A rms_independent:A"),
    "constant-power": ("power", "power supply loop", "voltage:V current:A"),
    "obd": ("control", "frame", "parameter: value: unit:"),
    "j1939": ("control", "[frame] [id] [data]", "group: source: signals:"),
    "level-at": ("sound", "level at to", "level:dB"),
    "band-sum": ("sound", "levels", "linear:dB a_weighted:dBA"),
    "noise-dose": ("sound", "exposures rule", "dose:% average:dBA"),
    "axle-loads": ("body", "wheelbase front rear items", "front:lb rear:lb total:lb"),
    "label-trigger": ("body", "gvwr added", "limit:lb triggers:yes/no"),
    "hold-load": ("body", "mass peak [factor]", "force:N force_lbf:lbf"),
    "purge-time": ("body", "air_changes removal", "time:min"),
    "two-rooms": ("body", "source exhaust leak cabin_fresh", "locker:mg/m3 cabin:mg/m3"),
    "exposure-distance": ("body", "power gain frequency public [duty]", "distance:cm"),
    "coax": ("body", "type length frequency power [connectors]", "loss:dB delivered:W"),
    "gravity-height": ("body", "weight wheelbase lift transfer radius", "height:in"),
    "learning": ("shop", "rate first from to convention", "hours:h"),
    "network": ("shop", "tasks [by]", "duration: critical_path: variance:"),
    "order-size": ("shop", "demand order_cost holding [breaks]", "quantity: yearly_cost:"),
    "sample-risk": ("shop", "lot bad sample accept", "accept_probability:1"),
}

BESIDE = {
    "glare-veil": ["angle=5 deg", "illuminance=1 lx"],
    "intensity-for-range": ["visibility=10 nmi"],
    "crossing": ["corner_from_cross=20 ft", "corner_from_own=20 ft"],
    "stopping-distance": ["system=metric"],  # feet for who writes mph
    "gap-distance": ["system=metric"],
}
"""What is said beside the inputs without which nothing can be asked, so that every promised key is there."""


def words(said: str) -> dict[str, bool]:
    """Names of inputs, and whether each may be left out."""
    return {name.strip("[]"): name.startswith("[") for name in said.split()}


def units(said: str) -> dict[str, str]:
    """Keys of results and their unit as it is printed."""
    pairs = (piece.partition(":") for piece in said.split())
    return {key: unit.replace("_", " ") for key, _, unit in pairs}


def test_every_room_that_calculates_loads() -> None:
    """Law: a room that fails to load would take its calculations along without anybody noticing."""
    assert BROKEN == {}


@pytest.mark.parametrize("name", PROMISED)
def test_what_is_promised_exists_with_its_inputs(name: str) -> None:
    """Law: room, name and every input, and which of them may be left out; there may be more that may be left out."""
    room, inputs, _ = PROMISED[name]
    found = {key.name: key.may_be_left_out for key in RECKONERS[name].keys}

    assert RECKONERS[name].room == room
    assert {key: found[key] for key in words(inputs)} == words(inputs)
    assert all(found[key] for key in set(found) - set(words(inputs)))


@pytest.mark.parametrize("name", PROMISED)
def test_json_holds_the_promised_keys_in_the_promised_units(name: str, tmp_path: Path) -> None:
    """Law: every promised key stands in the JSON of the calculation's own example, in the promised unit."""
    (tmp_path / "lamp.csv").write_text(SMALL_CSV, encoding="utf-8")
    given = [f"file={tmp_path / 'lamp.csv'}"] if name == "photometry" else RECKONERS[name].example
    page = reckon(name, [*given, *BESIDE.get(name, [])]).as_json()
    told = {key: each["unit"] for key, each in page["results"].items()}
    declared = {result.key: result.unit for result in RECKONERS[name].results}
    promised = units(PROMISED[name][2])

    assert set(page) == {"name", "inputs", "results", "notes", "sources"}
    assert {key: declared[key] for key in promised} == promised
    absent = {key for key in promised if key not in told}
    assert absent <= {"declared_lumens"}, "a file need not declare them"
    assert {key: told[key] for key in promised if key in told and key != "value"} == {
        key: unit for key, unit in promised.items() if key in told and key != "value"
    }


def test_chromaticity_has_one_entry_for_each_standard_and_colour() -> None:
    """Law: keys are standard and colour; each says yes or no, and which boundary failed first."""
    results = reckon("chromaticity", ["x=0.690", "y=0.305"]).as_json()["results"]

    assert len(results) >= 5
    assert {each["value"] for each in results.values()} == {"yes", "no"}
    assert all("boundary" in each for each in results.values() if each["value"] == "no")


def test_a_load_that_can_not_be_fed_says_brown_out() -> None:
    """Promise: constant-power gives brown_out=yes where no voltage carries it (Vs^2 < 4 P R)."""
    results = reckon("constant-power", ["power=60 W", "supply=12 V", "loop=1 ohm"]).as_json()["results"]

    assert results["brown_out"]["value"] == "yes"
    assert results.get("current", {"value": None})["value"] is None


def test_nothing_is_offered_that_is_not_promised() -> None:
    """Law: a new calculation is promised here too, so that nobody renames it unseen."""
    assert set(RECKONERS) == set(PROMISED)


def test_the_page_is_up_to_date() -> None:
    """Law: docs/reckoner.md is what the calculations say of themselves (python tools/reckoner_page.py writes it)."""
    assert reckoner_page.PAGE.read_text(encoding="utf-8") == reckoner_page.page()


@pytest.mark.parametrize("name", PROMISED)
def test_the_page_says_inputs_results_units_and_sources(name: str) -> None:
    """Docs: every input, every result with its unit, the range it holds in, and where the formula stands."""
    text = reckoner_page.PAGE.read_text(encoding="utf-8")
    (section,) = re.findall(rf"^### {name}\n(.*?)(?=^##|\Z)", text, re.MULTILINE | re.DOTALL)
    entry = RECKONERS[name]

    assert all(f"`{key.name}`" in section for key in entry.keys)
    assert all(f"| `{result.key}` | {result.unit or '-'} |" in section for result in entry.results)
    assert "Holds: " in section
    assert all(f"*({source.state})*" in section for source in entry.sources)
    assert entry.sources or "names the source" in section
