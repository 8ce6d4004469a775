"""How far a lamp may be turned: half a turn either way, whatever unit says it."""

from pathlib import Path

import pytest

from coachwright.build.load import Loaded, read_build

TEXT = (Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")


def turned(turn: str) -> Loaded:
    """quillback with its corner lamps turned so far."""
    assert "aim: 45 deg" in TEXT
    return read_build(TEXT.replace("aim: 45 deg", f"aim: {turn}", 1))


@pytest.mark.parametrize("turn", ["181 deg", "-4500000 deg", "4 rad"])
def test_more_than_half_a_turn_is_refused_at_its_place(turn: str) -> None:
    """Case: BLD-121 turn-too-far; a slip is no lamp that turns round and round."""
    loaded = turned(turn)
    (found,) = [finding for finding in loaded.findings if finding.severity == "error"]

    assert loaded.model is None
    assert (found.code, found.about) == ("BLD-121", "lamps.corner.aim")


@pytest.mark.parametrize("turn", ["180 deg", "-180 deg", "3.14159 rad"])
def test_half_a_turn_is_a_turn(turn: str) -> None:
    """Case: to look straight back, either way."""
    assert not [finding for finding in turned(turn).findings if finding.code == "BLD-121"]
