"""The verdict on all vehicles of a job: the base, and each set of choices that serials use."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from coachwright.proof.alike import JobVerdict, check_job
from coachwright.proof.verdict import check

DAY = date(2026, 11, 25)
BUILD = """\
coachwright: 1
job: {name: Four cars, money: USD}
count: 4
vehicle: {body: crew-cab-pickup-with-cap}
packs: [house]
options:
  fan: {base: none, none: {}, fitted: {add: {equipment.fan: {part: fan-40cfm, at: under-rear-seat}}}}
serials:
  2: {choose: {fan: fitted}}
  4: {name: D, choose: {fan: fitted}}
functions:
  fan-on: {rank: ease, when: engine == running, run: fan}
"""


def silent(*_: object) -> None:
    """Nobody watches."""


@pytest.fixture
def job(tmp_path: Path) -> tuple[Path, JobVerdict]:
    """The build above, and the verdict on all of it."""
    path = tmp_path / "build.yaml"
    path.write_text(BUILD)
    return path, check_job(path, progress=silent, today=DAY)


def test_each_vehicle_is_in_one_set(job: tuple[Path, JobVerdict]) -> None:
    """Law: nobody is left out, and nobody is judged twice."""
    _, verdict = job

    assert verdict.based is not None
    assert [verdict.based.numbers, *(each.vehicles.numbers for each in verdict.others)] == [(1, 3), (2, 4)]


def test_together_as_one_by_one(job: tuple[Path, JobVerdict]) -> None:
    """Law: what is found of a vehicle is the same, whether it is asked for alone or with all."""
    path, verdict = job

    for serial, found in ((1, verdict.base), (2, verdict.others[0].verdict), (4, verdict.others[0].verdict)):
        alone = check(path, today=DAY, serial=serial)
        assert alone.digest == found.digest
        assert [(each.code, each.about, each.where) for each in alone.findings] == [
            (each.code, each.about, each.where) for each in found.findings
        ]


def test_what_differs_from_the_base_is_said(job: tuple[Path, JobVerdict]) -> None:
    """Case: in the base the function that runs the fan isn't there, and is told; in the others it is."""
    _, verdict = job

    assert [each.code for each in verdict.others[0].fewer] == ["BLD-160"]
    assert "BLD-160" not in {each.code for each in verdict.others[0].more}


def test_a_job_without_options_is_just_the_base(tmp_path: Path) -> None:
    """Case: nothing is said of sets of choices where there is no choice."""
    path = tmp_path / "build.yaml"
    path.write_text("coachwright: 1\njob: {name: a}\nvehicle: {body: crew-cab-pickup-with-cap}\n")
    verdict = check_job(path, progress=silent, today=DAY)

    assert (verdict.based, verdict.others) == (None, ())
    assert verdict.exit_code == verdict.base.exit_code


def test_what_cannot_be_read_ends_with_two(tmp_path: Path) -> None:
    """Case: no file, no text, a fault in it."""
    assert check_job(tmp_path / "none.yaml", progress=silent, today=DAY).exit_code == 2
    path = tmp_path / "build.yaml"
    path.write_bytes(b"\xff\xfe\x00")
    assert check_job(path, progress=silent, today=DAY).exit_code == 2
    path.write_text("coachwright: [")
    verdict = check_job(path, progress=silent, today=DAY)
    assert (verdict.base.model, verdict.others) == (None, ())
    assert verdict.exit_code == 2


def test_a_serial_beyond_the_count_is_told_at_its_line(tmp_path: Path) -> None:
    """Case: a vehicle number the job doesn't build, with choices of its own, is BLD-151 there, not a file unread."""
    path = tmp_path / "build.yaml"
    path.write_text(BUILD.replace("  4: {name: D, choose: {fan: fitted}}", "  9: {name: D, choose: {fan: fitted}}"))
    both = check_job(path, progress=silent, today=DAY)
    path.write_text(BUILD.replace("  2: {choose: {fan: fitted}}\n  4: {name: D", "  9: {name: D"))
    alone = check_job(path, progress=silent, today=DAY)

    for job in (both, alone):
        errors = [each for each in job.base.findings if each.severity == "error"]
        assert [(each.code, each.where[0].line) for each in errors] == [
            ("BLD-151", 1 + _line_of("  9:", job.base.text))
        ]
        assert job.exit_code == 1


def _line_of(start: str, text: str) -> int:
    return next(number for number, line in enumerate(text.splitlines()) if line.startswith(start))
