"""check --sure: the share of vehicles that pass, as text and as JSON."""

import json
from pathlib import Path

import pytest

from coachwright.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
VAN = str(ROOT / "examples" / "service-patrol")


def test_it_prints_the_run_below_the_verdict(capsys: pytest.CaptureFixture[str]) -> None:
    """Case: seed and number of vehicles, each rule, what was drawn; without --sure only that it follows behind."""
    assert main(["check", VAN, "--sure", "--vehicles", "200", "--seed", "3"]) == 0
    told = capsys.readouterr().out
    assert "How sure: 200 vehicles drawn by lot, seed 3" in told
    assert "dirt on the lenses (common practice)" in told
    assert "VER-030" not in told

    assert main(["check", VAN]) == 0
    told = capsys.readouterr().out
    assert "How sure" not in told
    assert "VER-030" in told


def test_the_same_seed_prints_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    """Law: same file, same seed, same bytes."""
    said = []
    for _ in range(2):
        main(["check", VAN, "--sure", "--vehicles", "150", "--json"])
        said.append(capsys.readouterr().out)

    assert said[0] == said[1]
    assert json.loads(said[0])["sure"]["vehicles"] == 150


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["--seed", "3"], "belong to --sure"),
        (["--sure", "--vehicles", "0"], "can be drawn"),
        (["--sure", "--vehicles", "2000001"], "can be drawn"),
        (["--sure", "--seed", "-1"], "whole number from 0"),
    ],
)
def test_what_makes_no_sense_is_refused(words: list[str], why: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: one line on the error stream, and exit 2."""
    assert main(["check", VAN, *words]) == 2
    assert why in capsys.readouterr().err
