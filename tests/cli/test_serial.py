"""One vehicle of a job at the prompt: check, show and ask say which it is, and what it chose."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from sarif_pydantic import Sarif

from coachwright.cli.main import main

QUILLBACK = Path(__file__).resolve().parents[2] / "examples" / "quillback"
CHOICES = """
options:
  second-fan:
    {base: none, none: {}, fitted: {add: {equipment.fan-two: {part: fan-40cfm, at: under-rear-seat, feed: usb}}}}
  gates: {base: lit, lit: {}, dark: {drop: lamps.gate-edge}}
serials:
  1: {name: C-1}
  3: {name: C-3, choose: {second-fan: fitted}}
  5: {name: C-5, choose: {gates: dark}}
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Quillback's build, with options of its own and no pack, so that it is judged quickly."""
    folder = tmp_path / "job"
    shutil.copytree(QUILLBACK, folder)
    (folder / "build.lock.yaml").unlink()  # it is for other options
    path = folder / "build.yaml"
    text = re.sub(r"(?m)^(options|serials):.*\n(?:[ #].*\n)*", "", path.read_text())
    path.write_text(re.sub(r"(?m)^packs:.*$", "packs: []", text) + CHOICES)
    return path


def test_check_tells_every_set_of_choices_in_a_line(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the base in full, then a line for each set that serials use, with names and what differs."""
    code = main(["check", str(job)])
    told = capsys.readouterr().out

    assert code == 0
    assert "This is the base, with no option chosen: vehicles 1 (C-1), 2, 4 and 6." in told
    assert "Vehicle 3 (C-3), second-fan fitted: Nothing found stops delivery" in told
    assert re.search(r"Vehicle 5 \(C-5\), gates dark: .* More than in the base: .*BLD-160 functions.gate-warn", told)


def test_check_as_json_holds_every_verdict_whole(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: programs get each set with its own verdict and digest."""
    main(["check", str(job), "--json"])
    shown = json.loads(capsys.readouterr().out)

    assert shown["base-of"] == [1, 2, 4, 6]
    assert [each["vehicles"] for each in shown["alike"]] == [[3], [5]]
    assert shown["alike"][0]["choices"] == {"second-fan": "fitted"}
    assert len({shown["digest"], *(each["verdict"]["digest"] for each in shown["alike"])}) == 3


def test_check_as_sarif_has_a_run_for_each_set(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """SARIF 3.14.3: runs of one log are told apart by their automation id; another reader reads all of it."""
    main(["check", str(job), "--format", "sarif"])
    log = Sarif.model_validate(json.loads(capsys.readouterr().out))

    ids = [run.automation_details.id if run.automation_details else "" for run in log.runs]
    assert ids == ["", "vehicles 3/", "vehicles 5/"]
    assert all(run.results for run in log.runs)


def test_the_worst_vehicle_decides_how_check_ends(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: a job is clean only when every vehicle of it is."""
    other = "fitted: {add: {equipment.fan-two: {part: fan-40cfm, at: under-rear-seat}}}"
    too_much = "fitted: {add: {lamps.odd: {part: short-red-white, at: command-tray, pair: mirrored, aim: 300 deg}}}"
    job.write_text(job.read_text().replace(other, too_much))
    codes = [main(["check", str(job), "--serial", number]) for number in ("1", "3")]
    capsys.readouterr()

    assert main(["check", str(job)]) == max(codes)


def test_one_vehicle_is_named(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: check --serial says which vehicle it judged."""
    assert main(["check", str(job), "--serial", "3"]) == 0
    assert "This is vehicle 3 (C-3) of 6, with second-fan fitted." in capsys.readouterr().out


def test_a_vehicle_that_is_not_built(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: one line, and exit 2, from every command."""
    for words in (["check", str(job)], ["show", str(job)], ["ask", str(job), "slide=low"]):
        assert main([*words, "--serial", "7"]) == 2
        told = capsys.readouterr().err
        assert "there is no vehicle number 7" in told
        assert told.count("\n") == 1


def test_show_says_which_vehicle_and_who_is_alike(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the choices of this one, and the others of the job."""
    assert main(["show", str(job), "--serial", "5", "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)

    assert shown["this vehicle"] == "5 (C-5)"
    assert shown["options"] == ["second-fan none", "gates dark"]
    assert shown["alike"] == {
        "no option chosen": "1 (C-1), 2, 4 and 6",
        "second-fan fitted": "3 (C-3)",
        "gates dark": "5 (C-5)",
    }
    assert not any(lamp.startswith("gate-edge") for lamp in shown["lamps"])


def test_ask_answers_for_the_vehicle(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: what isn't fitted shows nothing there."""
    setting = ["slide=low", "tailgate=open", "gear=P"]
    main(["ask", str(job), *setting])
    base = capsys.readouterr().out
    main(["ask", str(job), *setting, "--serial", "5"])

    assert "gate-edge" in base
    assert "gate-edge" not in capsys.readouterr().out
