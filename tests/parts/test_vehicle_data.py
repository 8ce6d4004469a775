"""The door of vehicle data: ranges, bits, units, and files of any shape."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.kit.errors import DoorRefused
from coachwright.kit.units import parse
from coachwright.parts.vehicle_data import MOST_BYTES, MOST_SIGNALS, range_of, read_vehicle_data, start_bit, unit_line

WHOLE = """# how it is heard
vehicle-data: 1
messages: [a.dbc]
begins: {lines.csv: 1.5 s}
signals:
  brake: {wire: in-1, values: {"on": 0, "off": 1}, timeout: 300 ms, witness: {j1939: PGN 65265 SPN 597}}
  gear:  {frame: 18FEF100, start: "4.1", bits: 8, order: big, signed: yes, scale: 0.5, offset: -1, values: {P: [0, 7]}}
"""


def test_bits_are_counted_from_one_as_the_heavy_vehicles_standard_does() -> None:
    """Byte.bit from 1, bit 1 the lowest (SAE J1939-71 as public code repositories quote it): 4.5 is bit 28."""
    assert [start_bit(text) for text in ("1.1", "1.8", "4.5", "8.8")] == [0, 7, 28, 63]


@pytest.mark.parametrize(
    ("text", "inside", "outside"),
    [("3", [3.0], [2.0, 3.5]), ("-1", [-1.0], [1.0]), ("3 to 6", [3, 4.5, 6], [2.9, 6.1]), ("> 400", [400.1], [400.0]),
     ("< 0", [-0.1], [0.0])],
)  # fmt: skip
def test_ranges_hold_what_they_say(text: str, inside: list[float], outside: list[float]) -> None:
    """Case: a number, from to with both ends, above, below."""
    found = range_of(text)

    assert found is not None
    assert all(found[0] <= each <= found[1] for each in inside)
    assert not any(found[0] <= each <= found[1] for each in outside)


@pytest.mark.parametrize("text", ["", "open", "3 to", "to 6", ">", "3-6", "1e9", "nan", "inf", "0x10"])
def test_words_are_no_ranges(text: str) -> None:
    """Case: what isn't a number is a word."""
    assert range_of(text) is None


@pytest.mark.parametrize(
    ("unit", "kind", "bus", "same"),
    [("km/h", "speed", 36.0, "10 m/s"), ("kph", "speed", 36.0, "36 km/h"), ("°C", "temperature", -40.0, "-40 degC"),
     ("degF", "temperature", 212.0, "100 degC"), ("V", "voltage", 13.8, "13.8 V"), ("mph", "speed", 60.0, "60 mph")],
)  # fmt: skip
def test_units_as_buses_write_them(unit: str, kind: str, bus: float, same: str) -> None:
    """36 km/h are 10 m/s, 212 degF are 100 degC (definitions of the units); spelt as in collected files."""
    line = unit_line(unit, kind)

    assert line is not None
    assert bus * line[0] + line[1] == pytest.approx(parse(same, kind))


@pytest.mark.parametrize(("unit", "kind"), [("V", "speed"), ("", "speed"), ("furlong", "speed"), ("km/h", "voltage")])
def test_units_of_another_kind_are_none(unit: str, kind: str) -> None:
    """Law: a number is never read in a unit it can't have."""
    assert unit_line(unit, kind) is None


def read_text(folder: Path, text: str) -> object:
    path = folder / "vehicle-data.yaml"
    path.write_text(text, encoding="utf-8")
    return read_vehicle_data(path)


def test_a_whole_file_is_read(tmp_path: Path) -> None:
    """Case: every field once."""
    path = tmp_path / "vehicle-data.yaml"
    path.write_text(WHOLE)
    read = read_vehicle_data(path)

    assert read.said is not None, read.troubles
    assert read.said.begins == {"lines.csv": 1.5}
    assert read.said.signals["brake"].timeout == pytest.approx(0.3)
    assert read.said.signals["brake"].witness is not None
    assert read.said.signals["gear"].values == {"P": ("0", "7")}
    assert (read.said.signals["gear"].order, read.said.signals["gear"].scale) == ("big", 0.5)


def test_it_is_bounded(tmp_path: Path) -> None:
    """Law: a file larger than any needs to be is refused, and so are more signals than a build has."""
    with pytest.raises(DoorRefused, match="longer than"):
        read_text(tmp_path, "#" * (MOST_BYTES + 1))
    with pytest.raises(DoorRefused, match="no file of vehicle data"):
        read_vehicle_data(tmp_path / "none.yaml")
    path = tmp_path / "many.yaml"
    path.write_text("vehicle-data: 1\nsignals:\n" + "".join(f"  s{n}: {{wire: a}}\n" for n in range(MOST_SIGNALS + 1)))
    assert "are the most" in read_vehicle_data(path).troubles[0].why


@settings(max_examples=150, deadline=None)
@given(at=st.integers(0, len(WHOLE)), odd=st.text(max_size=4), drop=st.integers(0, 6))
def test_spoilt_anywhere_it_is_read_or_told(
    tmp_path_factory: pytest.TempPathFactory, at: int, odd: str, drop: int
) -> None:
    """Law: any text in any place gives entries, findings or one sentence, never an error of ours."""
    path = tmp_path_factory.mktemp("odd") / "vehicle-data.yaml"
    path.write_text(WHOLE[:at] + odd + WHOLE[at + drop :], encoding="utf-8", errors="replace")
    sentence = ""
    try:
        read = read_vehicle_data(path)
    except DoorRefused as refused:
        sentence = str(refused)
        return

    assert sentence or (read.said is None) is bool(read.troubles or read.document.findings)
