"""The demo fails when an example does not end as it announced."""

import sys
from pathlib import Path

import pytest

from tools import demo

PYTHON = sys.executable
STAND_IN = """#!{python}
import pathlib, sys
words = sys.argv[1:]
if words[0] == "check":
    print("a row\\n\\n3 pass, 1 fails")
    sys.exit({check_ends})
if words[0] in {writes}:
    pathlib.Path(words[words.index("--out") + 1], words[0] + ".pdf").write_text(words[0])
"""


@pytest.fixture
def example(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An example that announces 1, in a place of its own."""
    (tmp_path / "examples" / "made-up").mkdir(parents=True)
    (tmp_path / "examples" / "made-up" / "README.md").write_text("Invented.\n\nexit: 1\n")
    (tmp_path / "bin").mkdir()
    monkeypatch.setattr(demo, "HERE", tmp_path)
    monkeypatch.setattr(demo.sys, "executable", str(tmp_path / "bin" / "python"))
    return tmp_path


def stand_in(place: Path, *, check_ends: int, writes: list[str]) -> None:
    """A program in place of coachwright that ends and writes as told."""
    program = place / "bin" / "coachwright"
    program.write_text(STAND_IN.format(python=PYTHON, check_ends=check_ends, writes=writes))
    program.chmod(0o755)


def test_all_as_announced(example: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Case: check ends with the announced 1, papers and draw write; the summary stands last."""
    stand_in(example, check_ends=1, writes=["papers", "draw"])

    assert demo.main(["made-up"]) == 0
    assert sorted(path.name for path in (example / "out" / "made-up").iterdir()) == [
        "draw.pdf",
        "papers.pdf",
        "verdict.json",
        "verdict.txt",
    ]
    assert capfd.readouterr().out.rstrip().endswith("3 pass, 1 fails")


@pytest.mark.parametrize("check_ends", [0, 2])
def test_another_end_than_announced_fails(example: Path, check_ends: int, capfd: pytest.CaptureFixture[str]) -> None:
    """Case: better than announced is a surprise too: the example's README is wrong then."""
    stand_in(example, check_ends=check_ends, writes=["papers", "draw"])

    assert demo.main(["made-up"]) == 1
    assert f"check ended with {check_ends}, announced was 1" in capfd.readouterr().err


def test_a_paper_that_was_not_written_fails(example: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Case: papers ends with 0 and leaves nothing, though an older run had left something."""
    stand_in(example, check_ends=1, writes=["papers", "draw"])
    assert demo.main(["made-up"]) == 0
    stand_in(example, check_ends=1, writes=["draw"])

    assert demo.main(["made-up"]) == 1
    assert "papers wrote nothing" in capfd.readouterr().err
