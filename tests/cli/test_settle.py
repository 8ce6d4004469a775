"""The settle command: it shows what changes, writes once, and never twice."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import pytest

from coachwright.build import settling
from coachwright.build.model import Model
from coachwright.build.settling import About, Question, Solver, question
from coachwright.cli.main import main

BUILD = """\
coachwright: 1
job: {name: Two vans, money: USD}
count: 2
vehicle: {body: crew-cab-pickup-with-cap}
options:
  fan: {base: none, none: {}, fitted: {add: {equipment.fan: {part: fan-40cfm, at: under-rear-seat}}}}
serials:
  2: {choose: {fan: fitted}}
equipment:
  siren: {part: siren-amplifier, at: under-rear-seat, speakers: [bumper-behind.left]}
"""


def asks(model: Model) -> tuple[Question, ...]:
    """Everything asks for a fuse."""
    return tuple(question(f"equipment.{item.name}", "fuse", item.part) for item in model.equipment)


def decides(model: Model, waiting: tuple[Question, ...], kept: Mapping[About, str]) -> Mapping[About, str]:
    """Always the same."""
    del model, kept
    return {each.about: "20 A" for each in waiting}


@pytest.fixture
def build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small job, and one solver that decides fuses."""
    monkeypatch.setattr(settling, "SOLVERS", {"fuses": Solver("fuses", asks, decides)})
    path = tmp_path / "build.yaml"
    path.write_text(BUILD)
    return path


def lock_of(build: Path) -> Path:
    """The lock beside it."""
    return build.with_name("build.lock.yaml")


def test_it_shows_what_changes_and_writes_it(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: a line each; what holds for both vehicles is written once."""
    assert main(["settle", str(build)]) == 0
    told = capsys.readouterr().out

    assert "new   the fuse of equipment.siren is 20 A (fuses)" in told
    assert "new   the fuse of equipment.fan with fan fitted is 20 A (fuses)" in told
    assert lock_of(build).read_text().count("\n- ") == 2


def test_run_twice_it_changes_nothing(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: the second run says so, and the file keeps its bytes."""
    main(["settle", str(build)])
    before = lock_of(build).read_bytes()
    capsys.readouterr()

    assert main(["settle", str(build)]) == 0
    assert "Everything is settled as it stands." in capsys.readouterr().out
    assert lock_of(build).read_bytes() == before


def test_only_show_writes_nothing(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the difference is shown, the folder stays as it was; as JSON too."""
    assert main(["settle", str(build), "--only-show", "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)

    assert [each["about"] for each in shown["changes"]] == ["equipment.fan", "equipment.siren"]
    assert shown["written"] is False
    assert not lock_of(build).exists()


def test_what_stays_open_is_told(
    build: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: exit 1 when somebody was asked and nobody could decide."""
    monkeypatch.setattr(settling, "SOLVERS", {"fuses": Solver("fuses", asks, lambda *_: {})})

    assert main(["settle", str(build)]) == 1
    assert "nobody could decide it" in capsys.readouterr().out


def test_a_build_with_a_fault_is_not_settled(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: what is wrong is told with its place; nothing is written."""
    build.write_text(BUILD.replace("siren-amplifier", "siren-amplifer"))

    assert main(["settle", str(build)]) == 2
    assert "has to be mended first" in capsys.readouterr().err
    assert not lock_of(build).exists()


def test_check_reads_the_lock_and_never_writes(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: check tells what is stale or undecided as warnings, and leaves every file as it is."""
    main(["check", str(build)])
    assert "BLD-174" in capsys.readouterr().out
    main(["settle", str(build)])
    lock = lock_of(build)
    lock.write_text(lock.read_text().replace("from: ", "from: 0000"))
    before = {path: path.read_bytes() for path in build.parent.iterdir()}
    capsys.readouterr()

    main(["check", str(build)])

    assert "BLD-171 decision-stale" in capsys.readouterr().out
    assert {path: path.read_bytes() for path in build.parent.iterdir()} == before
