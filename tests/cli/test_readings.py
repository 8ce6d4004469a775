"""Readings of the bench: a form goes out, comes back filled in, and each reading ends as its limits say."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.cli.main import main
from coachwright.cli.readings_door import number_of_cell
from coachwright.control.bench_fields import (
    CLAMP_METER,
    LUX_METER,
    MILLIAMMETER,
    SOUND_METER,
    STOPWATCH,
    VOLTMETER,
    Expected,
    Field,
    accepted,
    candela_off_by,
)
from coachwright.control.readings import JudgedReadings, judge_readings
from coachwright.control.readings_file import ReadingsFile, form_text, read_readings

EXAMPLES = Path(__file__).parents[2] / "examples"
PICKUP = str(EXAMPLES / "quillback")
LAMP = Field(
    "light nose", "light", "nose", "lx", LUX_METER, Expected(400.0, 320.0, distance_m=2.0, reading_lx=100.0, by="sheet")
)
FIELDS = (
    Field("supply parked", "supply", "", "V", VOLTMETER, Expected(None, 9.0, 16.0, by="sheet")),
    Field("current parked", "current", "", "A", CLAMP_METER, Expected(10.0, 8.0, 12.0, by="sheets")),
    LAMP,
    Field("sound horn", "sound", "", "dB", SOUND_METER, open_why="no level is worked out"),
)


def table(text: str) -> ReadingsFile:
    """What stands in a table."""
    return read_readings(text, file="r.csv", fields=FIELDS, number=number_of_cell)


def judged(text: str) -> JudgedReadings:
    """How a table ends."""
    return judge_readings(FIELDS, table(text))


def read(*rows: str) -> str:
    """A table of these rows."""
    return "\n".join(("field,reading,dark,distance,note", *rows))


def states(text: str) -> dict[str, str]:
    """How each field ended."""
    return {each.field.name: each.state for each in judged(text).fields}


def codes(text: str) -> list[tuple[str, int, int]]:
    """Code, line and column of each finding."""
    return [(each.code, each.where[0].line, each.where[0].column) for each in judged(text).findings]


@pytest.mark.parametrize(
    ("row", "name", "state"),
    [
        ("supply parked,12.6", "supply parked", "pass"),
        ("supply parked,12600 mV", "supply parked", "pass"),
        ("supply parked,8.9", "supply parked", "fail"),
        ("supply parked,9.03", "supply parked", "not sure"),
        ("current parked,12.9 A", "current parked", "fail"),
        ("light nose,100,0.2", "light nose", "pass"),
        ("light nose,9.29 fc,0.2", "light nose", "pass"),
        ("light nose,60,0.2", "light nose", "fail"),
        ("light nose,25.2,0.2,4 m", "light nose", "pass"),
        ("light nose,100", "light nose", "open"),
        ("light nose,400,0.2,1 m", "light nose", "open"),
        ("sound horn,95,60", "sound horn", "open"),
        ("sound horn,61,60", "sound horn", "open"),
    ],
)
def test_each_reading_ends_as_worked_by_hand(row: str, name: str, state: str) -> None:
    """Case by hand: limits 9 to 16 V, 8 to 12 A, 320 cd (80 lx at 2 m, 20 lx at 4 m), tolerances of the instruments.

    8.9 V may be 8.9645 V; 9.03 V lies within 0.065 V of 9 V. 9.29 fc are 100 lx. 25.2 - 0.2 lx at 4 m are 400 cd and
    may be off by 38 cd.
    """
    assert states(read(row))[name] == state


def test_seconds_and_milliamperes_are_read_and_a_draft_is_no_pass() -> None:
    """Case: 54 mA of at most 50 mA, 0.9 min of 120 s; what holds a limit nobody has read is held, and not proved."""
    fields = (
        Field("parked", "parked", "", "A", MILLIAMMETER, Expected(0.03, None, 0.05, by="rule")),
        Field("alarm low delay", "alarm", "", "s", STOPWATCH, Expected(120.0, 100.0, 140.0, by="test", draft=True)),
    )

    def ended(*rows: str) -> JudgedReadings:
        said = read_readings(read(*rows), file="r.csv", fields=fields, number=number_of_cell)
        return judge_readings(fields, said)

    bad = ended("parked,54 mA", "alarm low delay,0.9 min")
    good = ended("parked,0.03", "alarm low delay,2 min")

    assert [each.state for each in bad.fields] == ["fail", "fail"]
    assert [each.state for each in good.fields] == ["pass", "draft"]
    assert (good.all_hold, bad.all_hold) == (True, False)
    assert not good.findings


def test_what_was_not_read_is_never_a_pass() -> None:
    """Case: nothing filled in, and all holds only once every limit was read."""
    empty = judged(read())
    most = read("supply parked,12", "current parked,10")
    whole = f"{most}\nlight nose,100,0.2"

    assert {each.state for each in empty.fields} == {"not read"}
    assert not empty.all_hold
    assert not judged(most).all_hold
    assert judged(whole).all_hold


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", [("CTL-057", 1, 1)]),
        ("name,value\nsupply parked,12", [("CTL-057", 1, 1)]),
        (read('supply parked,"12'), [("CTL-057", 2, 1)]),
        (read("supply parkd,12"), [("CTL-058", 2, 1)]),
        (read("# by hand", "", "supply parked,twelve"), [("CTL-059", 4, 15)]),
        (read("supply parked,12 A"), [("CTL-059", 2, 15)]),
        (read("supply parked,nan"), [("CTL-059", 2, 15)]),
        (read("supply parked,1e400"), [("CTL-059", 2, 15)]),
        (read("current parked,-10"), [("CTL-059", 2, 16)]),
        (read('supply parked,"12,6"'), [("CTL-059", 2, 16)]),
        (read("supply parked,12", "supply parked,8"), [("CTL-060", 3, 1)]),
        (read("light nose,100,dark"), [("CTL-059", 2, 16)]),
        (read("light nose,100,,2 m"), [("CTL-062", 2, 12)]),
        (read("supply parked,8"), [("CTL-063", 2, 15)]),
        (read("supply parked,9.01"), [("CTL-064", 2, 15)]),
    ],
)
def test_what_can_not_be_read_is_told_with_line_and_column(text: str, found: list[tuple[str, int, int]]) -> None:
    """Case: bad tables and bad cells, each at its place."""
    assert codes(text) == found


def test_the_rest_of_a_table_with_faults_is_used() -> None:
    """Case: a row that can't be read loses nothing else."""
    ended = states(read("supply parked,x", "current parked,10", "nonsense,1", "light nose,100,0.2"))

    assert ended == {
        "supply parked": "not read",
        "current parked": "pass",
        "light nose": "pass",
        "sound horn": "not read",
    }


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_a_spreadsheet_may_part_cells_as_it_likes(sign: str) -> None:
    """Case: commas, semicolons, tabs; columns in any order; a byte order mark; a note over two lines."""
    rows = [["note", "reading", "field"], ['first\nsecond "line"', "12", "supply parked"], ["", "10", "current parked"]]
    text = io.StringIO()
    csv.writer(text, delimiter=sign).writerows(rows)

    said = table("\ufeff" + text.getvalue())

    assert [(each.field.name, each.value) for each in said.readings] == [
        ("supply parked", 12.0),
        ("current parked", 10.0),
    ]
    assert said.readings[1].at.line == 4
    assert not said.findings


@given(st.text(max_size=300))
def test_no_text_whatever_breaks_the_reader(text: str) -> None:
    """Law: any text gives readings and findings, each finding at a place in the file."""
    for given_text in (text, f"field,reading,dark,distance\n{text}", f"field;reading;dark\nsupply parked;{text}"):
        lines_n = given_text.count("\n") + given_text.count("\r") + 1
        assert all(1 <= each.where[0].line <= lines_n for each in judged(given_text).findings)


@given(*(st.floats(low, high).map(lambda each: round(each, 3)) for low, high in ((0, 500), (0, 20), (2, 30))))
def test_a_lamp_ends_as_the_field_says(lit_lx: float, dark_lx: float, distance_m: float) -> None:
    """Law: what a table gives is what inverse square, background and guard band give one by one."""
    value_cd = max(0.0, lit_lx - dark_lx) * distance_m**2
    off_cd = candela_off_by(lit_lx, dark_lx=dark_lx, distance_m=distance_m)

    ended = states(read(f"light nose,{lit_lx},{dark_lx},{distance_m} m"))["light nose"]

    assert ended == accepted(value_cd, off_by=off_cd, least=320.0)


def model() -> Model:
    """The pickup."""
    found = read_build((EXAMPLES / "quillback" / "build.yaml").read_text(encoding="utf-8")).model
    assert found is not None
    return found


def test_the_form_has_every_field_and_comes_back_empty() -> None:
    """Law: each field has its row with its name; a form nobody filled in holds no reading and no fault."""
    text = form_text(model(), FIELDS)
    back = table(text)

    assert [row["field"] for row in csv.DictReader(io.StringIO(text))] == [field.name for field in FIELDS]
    assert not back.readings
    assert not back.findings


def test_a_form_is_filled_in_and_judged(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: expected values written in hold, but where they are above a limit themselves; another serial is CTL-061."""
    form = tmp_path / "readings.csv"
    assert main(["bench", PICKUP, "--form", str(form), "--serial", "2"]) == 0
    assert main(["bench", PICKUP, "--form", str(form)]) == 2
    rows = list(csv.DictReader(form.read_text(encoding="utf-8").splitlines()))
    for row in rows:
        row["reading"] = row["reading"] or row["expect"] or ("12.6" if row["unit"] == "V" else "")
        row["dark"] = "0" if row["unit"] == "lx" else ""
    with form.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    capsys.readouterr()

    assert main(["bench", PICKUP, "--readings", str(form), "--serial", "2", "--json"]) == 1
    ended = {each["name"]: each["state"] for each in json.loads(capsys.readouterr().out)["fields"]}
    assert main(["bench", PICKUP, "--readings", str(form), "--serial", "1"]) == 1
    assert "readings-of-another-vehicle" in capsys.readouterr().out

    assert {name for name, state in ended.items() if state == "not sure"} == set()
    assert {name for name, state in ended.items() if state == "fail"} == {"drop visor", "drop cap-bar", "parked"}
    assert ended["supply on-scene"] == ended["light grille.left"] == "pass"
    assert ended["alarm stage.one delay"] == ended["drop grille.left"] == ended["reserve start"] == "draft"
    assert {each for name, each in ended.items() if name.startswith("sound")} <= {"not read", "open"}


@pytest.mark.parametrize("content", [None, b"\xff\xfe\x00", b"x" * 1_000_001])
def test_what_is_no_table_is_refused_in_one_sentence(
    content: bytes | None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: no file, no text, too much of it."""
    path = tmp_path / "r.csv"
    if content is not None:
        path.write_bytes(content)

    assert main(["bench", PICKUP, "--readings", str(path)]) == 2
    assert capsys.readouterr().err.count("\n") <= 2
