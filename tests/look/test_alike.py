"""Vehicles of one job side by side, in lines for people and whole for programs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.look.alike import alike_lines, job_json, serial_line
from coachwright.parts.store import load_catalogue
from coachwright.proof.alike import JobVerdict
from coachwright.proof.verdict import verdict_of

BUILD = """\
coachwright: 1
job: {name: Four cars, money: USD}
count: 4
vehicle: {body: crew-cab-pickup-with-cap}
options:
  fan: {base: none, none: {}, fitted: {add: {equipment.fan: {part: fan-40cfm, at: under-rear-seat}}}}
serials:
  2: {name: D-2, choose: {fan: fitted}}
"""


def model(serial: int | None) -> Model:
    """The build above."""
    found = read_build(BUILD, catalogue=load_catalogue(), serial=serial).model
    assert found is not None
    return found


def test_a_vehicle_is_named_with_what_it_chose() -> None:
    """Case: number, name, how many there are, and the choice; the base says nothing."""
    assert serial_line(model(2)) == "This is vehicle 2 (D-2) of 4, with fan fitted."
    assert serial_line(model(1)) == "This is vehicle 1 of 4, with no option chosen."
    assert serial_line(model(None)) == ""


def test_a_job_without_options_has_no_such_lines() -> None:
    """Law: where there is nothing to choose, text and JSON are as they always were."""
    loaded = read_build(BUILD, catalogue=load_catalogue())
    verdict = verdict_of(loaded, folder=None, progress=lambda *_: None, today=date(2026, 11, 25))
    job = JobVerdict(verdict, None, ())

    assert list(alike_lines(job)) == []
    assert "alike" not in job_json(job)
    assert replace(job).exit_code == verdict.exit_code
