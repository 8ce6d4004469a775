"""coachwright draw: pictures of supply and wires from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwright.cli.main import main

VOLUNTEER = str(Path(__file__).parents[2] / "examples" / "volunteer-car")


def test_power_alone_is_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: a file for each sheet, none of the vehicle or of light, and the caution of batteries beside it."""
    assert main(["draw", VOLUNTEER, "--show", "power", "--out", str(tmp_path)]) == 0
    names = {path.name for path in tmp_path.iterdir()}

    assert {"one-line.svg", "harness.svg", "cut-list.svg", "loads.svg", "supply.svg", "energy-day.svg"} <= names
    assert not names & {"plan.svg", "roses.svg"}
    assert "Battery and high current" in capsys.readouterr().out


def test_one_circuit_is_drawn_by_its_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: its fuse curve alone; a name there isn't is told with those there are, and nothing is written."""
    assert main(["draw", VOLUNTEER, "--circuit", "channel 2", "--out", str(tmp_path / "one")]) == 0
    assert [path.name for path in (tmp_path / "one").iterdir()] == ["fuse-curves.svg"]
    capsys.readouterr()

    assert main(["draw", VOLUNTEER, "--circuit", "channel 99", "--out", str(tmp_path / "none")]) != 0
    assert "No circuit is called channel 99. There are: " in capsys.readouterr().err
    assert not (tmp_path / "none").exists()
