"""The fix command: the difference first, then the mend, and the way back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coachwright.cli.main import main

BUILD = """\
coachwright: 1
job: {name: One car, money: USD}
vehicle: {body: crew-cab-pickup-with-cap}
lamps:
  corner: {part: short-red-whit, at: fender-corner, pair: mirrored}   # as drawn
groups:
  side: corner.left
packs: [house, house]
"""


@pytest.fixture
def build(tmp_path: Path) -> Path:
    """A build with a slip and an item that stands twice."""
    path = tmp_path / "build.yaml"
    path.write_text(BUILD)
    return path


def test_the_difference_is_shown_and_nothing_written(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: without --write the file keeps its bytes; all of it could be mended, so it ends with 0."""
    assert main(["fix", "BLD-011", str(build)]) == 0
    told = capsys.readouterr().out

    assert f"{build}:5" in told
    assert "  - " in told
    assert "  +   corner: {part: short-red-white, at: fender-corner, pair: mirrored}   # as drawn" in told
    assert "add --write" in told
    assert build.read_text() == BUILD


def test_safe_mends_are_written_at_once(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the second of two equal items goes; nothing else changes."""
    assert main(["fix", "bld-019", str(build), "--write"]) == 0
    assert build.read_text() == BUILD.replace("[house, house]", "[house]")
    assert "1 mend made" in capsys.readouterr().out


def test_what_is_to_be_asked_for_waits_for_a_yes(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the nearest name is a guess; without a terminal --yes has to be said."""
    assert main(["fix", "BLD-011", str(build), "--write"]) == 1
    assert build.read_text() == BUILD
    assert "--write --yes makes it" in capsys.readouterr().out
    assert main(["fix", "BLD-011", str(build), "--write", "--yes"]) == 0
    assert build.read_text() == BUILD.replace("short-red-whit,", "short-red-white,")


@pytest.mark.parametrize(("answer", "changed"), [("yes", True), ("no", False), ("", False)])
def test_at_a_terminal_it_asks(
    build: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], answer: str, changed: bool
) -> None:
    """Case: shown first; only a yes writes."""
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("builtins.input", lambda _: answer)
    main(["fix", "BLD-011", str(build), "--write"])

    assert (build.read_text() != BUILD) is changed
    assert "short-red-white" in capsys.readouterr().out


def test_json_at_a_terminal_is_json_and_asks_nothing(
    build: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: whoever reads JSON can't be asked; what would be asked for is held back, and nothing else is printed."""
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    assert main(["fix", "BLD-011", str(build), "--write", "--json"]) == 1

    told = json.loads(capsys.readouterr().out)
    assert (told["written"], len(told["held-back"])) == (False, 1)
    assert build.read_text() == BUILD


def test_the_last_mend_is_taken_back(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: fix, then undo, and every byte is as it was; a second undo says that there is none."""
    main(["fix", "BLD-019", str(build), "--write"])
    assert main(["fix", "undo", str(build)]) == 0
    assert build.read_text() == BUILD
    assert main(["fix", "undo", str(build)]) == 2
    assert "No mend" in capsys.readouterr().err


def test_undo_leaves_a_file_alone_that_moved_on(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: what somebody wrote after the mend is not lost."""
    main(["fix", "BLD-019", str(build), "--write"])
    build.write_text(build.read_text() + "# more\n")

    assert main(["fix", "undo", str(build)]) == 2
    assert build.read_text().endswith("# more\n")
    assert "changed since the mend" in capsys.readouterr().err


def test_a_finding_without_a_sure_answer(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: it says what to write, and ends with 1."""
    build.write_text(BUILD.replace("part: short-red-whit, ", ""))

    assert main(["fix", "BLD-013", str(build), "--write", "--yes"]) == 1
    assert "has no sure answer: part is missing" in capsys.readouterr().out


def test_nothing_of_that_code(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: one line with the codes there are, and exit 2."""
    assert main(["fix", "BLD-999", str(build)]) == 2
    assert main(["fix", "BLD-011", str(build), "--at", "lamps.other"]) == 2
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 2
    assert "BLD-011" in told[0]


def test_as_json(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: what was mended, what was held back, and whether anything was written."""
    main(["fix", "BLD-011", str(build), "--json"])
    shown = json.loads(capsys.readouterr().out)

    assert shown["written"] is False
    assert [(each["about"], each["kind"]) for each in shown["mended"]] == [("lamps.corner.part", "ask")]
    assert shown["held-back"] == shown["without"] == []


def test_check_as_json_carries_the_edits(build: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: an editor can offer the mend that the finding carries; a path is given by its pieces."""
    main(["check", str(build), "--json"])
    found = {each["code"]: each["fix"] for each in json.loads(capsys.readouterr().out)["findings"]}

    edit = {"path": ["lamps", "corner", "part"], "text": "short-red-white", "on-key": False}
    assert found["BLD-011"]["edits"] == [edit]
    assert found["BLD-019"]["kind"] == "safe"
