"""The compliance matrix: every clause in the order of its numbers, its state, and what is still open."""

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.cli.main import main
from coachwright.look.matrix import NO_CONTRACT, job_matrix_json, job_matrix_lines, matrix_json, matrix_lines
from coachwright.proof.alike import check_job
from coachwright.proof.matrix import matrices, number_key
from coachwright.proof.verdict import Verdict, check
from coachwright.rules.load import load_packs

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGE = (DOCS / "how-to-write-a-contract.md").read_text(encoding="utf-8")
TODAY = date(2027, 1, 15)
BUILD = """\
coachwright: 1
job: {name: Small job}
vehicle: {body: crew-cab-pickup-with-cap}
packs: [district-contract]
lamps:
  grille: {part: short-red-white, at: grille, pair: mirrored}
controls:
  slide: {kind: slide, positions: ["off", full], at: console.panel, asleep: reads-off, lost: hold}
functions:
  warning: {rank: warn, by: slide, levels: {full: [{on: grille, red: double sides}]}}
situations:
  answering: {slide: full, gear: D, speed: 45 mph, stands-for: calling}
"""


def contract() -> str:
    (found,) = re.findall(r"^```yaml\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
    return str(found)


def judged(folder: Path, *, build: str = BUILD, changes: tuple[tuple[str, str], ...] = ()) -> Verdict:
    """The verdict on the small job with the contract of the page, keyed in as the page says."""
    text = contract()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / "packs").mkdir(exist_ok=True)
    (folder / "packs" / "district-contract.yaml").write_text(text, encoding="utf-8")
    (folder / "build.yaml").write_text(build, encoding="utf-8")
    return check(folder / "build.yaml", today=TODAY)


@pytest.fixture
def verdict(tmp_path: Path) -> Verdict:
    return judged(tmp_path)


def test_contract_of_the_page_is_one_file_and_shows_its_matrix(verdict: Verdict) -> None:
    """Docs: one file beside the build, and every clause stands there with how it is closed and what it needs."""
    said = "\n".join(matrix_lines(verdict))

    assert "Compliance with Contract with an invented district, Q-0000, revision A" in said
    rows = re.findall(r"^([0-9.]+) +(\S.*?)  +(measure|bench|photo|signature) +(\S+ \w+)", said, re.MULTILINE)
    assert [(number, by, state) for number, _, by, state in rows] == [
        ("2.1", "measure", "· not"),
        ("3.3", "bench", "◌ open"),
        ("9.1", "photo", "◌ open"),
        ("10.1", "signature", "◌ open"),
    ]
    assert "4 clauses: 3 open, 1 not applicable." in said
    assert said.index("Still open") < said.index("needs a reading at the bench, 30 mA within 15 mA")
    assert "10.1  ◌ open: needs the signature of the customer" in said


def test_how_each_field_of_a_way_is_written_stands_on_the_page() -> None:
    """Docs: nothing that a clause can say is left out, and the page says that it is invented."""
    for word in ("closed-by", "step", "expect", "tolerance", "photo-of", "signed-by", "clause", "at-most"):
        assert f"`{word}`" in PAGE or f"{word}:" in PAGE, word
    assert "invented" in PAGE


def test_the_template_to_copy_loads_as_the_shops_own(tmp_path: Path) -> None:
    """Docs: copied under another name and prefix, contract-template is the shop's contract."""
    from coachwright.rules.load import OUR_PACKS

    text = (OUR_PACKS / "contract-template" / "pack.yaml").read_text(encoding="utf-8")
    text = text.replace("pack: contract-template", "pack: harbor").replace("CTR", "HBR")
    (tmp_path / "harbor.yaml").write_text(text, encoding="utf-8")
    missing = {"control", "light", "power"}
    (pack,), findings = load_packs(["harbor"], registry={}, missing_rooms=missing, extra_folder=tmp_path)

    assert findings == ()
    assert (pack.status, len(pack.rules)) == ("contract", 13)


def test_json_says_the_same(verdict: Verdict) -> None:
    """Case: clause, way, need, state and what is open, for programs; it can be written down as JSON."""
    told: dict[str, Any] = json.loads(json.dumps(matrix_json(verdict), allow_nan=False))
    (contract_told,) = told["contracts"]

    assert [each["clause"] for each in contract_told["clauses"]] == ["2.1", "3.3", "9.1", "10.1"]
    bench = contract_told["clauses"][1]
    assert (bench["closed-by"], bench["state"]) == ("bench", "open")
    assert bench["needs"] == "a reading at the bench, 30 mA within 15 mA"
    assert [each["clause"] for each in contract_told["open"]] == ["3.3", "9.1", "10.1"]
    assert contract_told["counts"]["open"] == 3
    assert told["packs-left-out"] == []


def test_a_failing_clause_stands_with_its_line_and_what_to_mend(tmp_path: Path) -> None:
    """Case: a clause a room can measure, missed: value, limit, line, and what to mend among the open ones."""
    changes = (
        ("measure: control.sound-runs-on", "measure: flash.rate"),
        ('    applies: {by-button: "no"}\n', ""),
        ("kind: yes-no", "kind: rate"),
        ('must-be: "no"', "at-least: 5 Hz"),
    )
    found = judged(tmp_path, changes=changes)
    clause = matrices(found)[0].clauses[0]

    assert (clause.judgement.state, clause.mark is not None and clause.mark.line) == ("fail", 10)
    assert clause.to_do.startswith("to mend: ")
    assert "at least 5 Hz" in "\n".join(matrix_lines(found))
    assert matrix_json(found)["contracts"][0]["clauses"][0]["where"]["line"] == 10


def test_a_waived_clause_stays_on_the_list_of_open_things(tmp_path: Path) -> None:
    """Law: what is let stand until a day is not closed."""
    changes = (
        ("measure: control.sound-runs-on", "measure: flash.rate"),
        ('    applies: {by-button: "no"}\n', ""),
        ("kind: yes-no", "kind: rate"),
        ('must-be: "no"', "at-least: 5 Hz"),
    )
    said = "{code: DIS-001, about: functions.warning, by: A. Lead, why: Agreed by letter, until: 2027-03-01}"
    found = judged(tmp_path, build=f"{BUILD}waivers:\n  slow: {said}\n", changes=changes)
    (matrix,) = matrices(found)

    assert matrix.states["waived"] == 1
    assert "waived by A. Lead until 2027-03-01: Agreed by letter" in [each.to_do for each in matrix.still_open]


def test_a_contract_that_does_not_load_is_said_and_not_silently_missing(tmp_path: Path) -> None:
    """Case: one wrong field, and the matrix says that the pack is left out instead of showing nothing."""
    found = judged(tmp_path, changes=(("photo-of:", "foto-of:"),))
    said = "\n".join(matrix_lines(found))

    assert "RUL-015" in said
    assert NO_CONTRACT not in said
    assert matrix_json(found)["contracts"] == []
    assert len(matrix_json(found)["packs-left-out"]) == 1


def test_a_job_without_a_contract_is_told_how_to_key_one_in(tmp_path: Path) -> None:
    """Case: no pack that is a contract."""
    found = judged(tmp_path, build=BUILD.replace("packs: [district-contract]", "packs: [house]"))

    assert list(matrix_lines(found)) == [NO_CONTRACT]


def test_numbers_sort_as_people_count() -> None:
    """By hand: 2.9 before 2.10, 10 after 9, letters after numbers, nothing last."""
    order = ["1", "1.1", "2.9", "2.10", "2.10 a", "2.10 b", "10.1", "page 4", ""]
    mixed = order[::-1]

    assert sorted(mixed, key=number_key) == order


@given(st.lists(st.text(max_size=12), max_size=6))
def test_any_numbers_can_be_sorted(numbers: list[str]) -> None:
    """Law: whatever a customer calls a clause, it has a place, and the same one each time."""
    once = sorted(numbers, key=number_key)

    assert sorted(once, key=number_key) == once
    assert sorted(once) == sorted(numbers)


def test_command_prints_the_matrix_and_ends_as_the_check_does(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: check --matrix, in text and as JSON, with the exit code of the check itself."""
    judged(tmp_path)
    plain = main(["check", str(tmp_path)])
    capsys.readouterr()
    as_text = main(["check", str(tmp_path), "--matrix"])
    text = capsys.readouterr().out
    as_json = main(["check", str(tmp_path), "--matrix", "--json"])
    told = json.loads(capsys.readouterr().out)

    assert plain == as_text == as_json == told["exit"]
    assert "4 clauses: 3 open, 1 not applicable." in text
    assert [each["clause"] for each in told["contracts"][0]["clauses"]] == ["2.1", "3.3", "9.1", "10.1"]


def test_vehicles_that_chose_otherwise_are_told_by_their_clauses(tmp_path: Path) -> None:
    """Case: vehicle 2 has another lamp; it is told apart, and every clause stands as in the base."""
    other = "{set: {lamps.grille.part: short-red-amber-white}}"
    options = f"count: 2\noptions:\n  front: {{base: plain, plain: {{}}, amber: {other}}}\n"
    serials = "serials:\n  1: {name: one}\n  2: {name: two, choose: {front: amber}}\n"
    judged(tmp_path, build=BUILD + options + serials)
    job = check_job(tmp_path / "build.yaml", progress=lambda doing, done, of: None, today=TODAY)
    said = "\n".join(job_matrix_lines(job))

    assert job.based is not None
    assert "This is the base, with no option chosen: vehicles 1 (one)." in said
    assert "every clause stands as in the base." in said
    assert [each["vehicles"] for each in job_matrix_json(job)["alike"]] == [[2]]
