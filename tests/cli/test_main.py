"""cli.main: commands are found by file, a broken one hides nothing, and help costs nothing."""

from __future__ import annotations

import importlib
import json
import subprocess
import sys
from pathlib import Path

import pytest

from coachwright import __version__
from coachwright.cli import main as door
from coachwright.cli.main import commands, main

HEAVY = ("nicegui", "scipy", "trimesh", "ezdxf", "ortools", "numba", "typst", "pysat", "z3")


def test_every_command_says_in_one_line_what_it_does() -> None:
    """The list is what a new user reads first."""
    known = commands()

    assert {"new", "check", "explain", "show", "ask", "reckon", "draw", "papers"} <= set(known)
    assert all(said.endswith(".") or ":" in said for said in known.values())


@pytest.mark.parametrize("words", [["--help"], ["check", "--help"], ["reckon", "--help"], ["papers", "--help"]])
def test_help_imports_nothing_heavy(words: list[str]) -> None:
    """Asking what a command does must not cost what the command costs."""
    script = (
        "import sys, json\nfrom coachwright.cli.main import main\n"
        f"code = main({words!r})\n"
        f"print(json.dumps([code, [name for name in {HEAVY!r} if name in sys.modules]]))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert json.loads(done.stdout.splitlines()[-1]) == [0, []]


def test_a_broken_command_explains_itself_and_hides_none(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One command that can't be imported is said in one line; the others still run."""

    real = importlib.import_module

    def broken(name: str, package: str | None = None) -> object:
        if name.startswith("coachwright.cli.commands."):
            raise ImportError("a library is missing")
        return real(name, package)

    monkeypatch.setattr(door.importlib, "import_module", broken)
    code = main(["check", "build.yaml"])

    assert code == 2
    assert "The command check can't be loaded: ImportError" in capsys.readouterr().err
    monkeypatch.undo()
    assert main(["reckon"]) == 0


def test_a_mistyped_command_gets_the_nearest_name(capsys: pytest.CaptureFixture[str]) -> None:
    """Did you mean."""
    assert main(["chekc"]) == 2
    assert "Did you mean check?" in capsys.readouterr().err


def test_an_option_nobody_knows_is_refused_in_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    """No traceback, no box; the way to the help."""
    code = main(["check", "build.yaml", "--loud"])
    told = capsys.readouterr().err

    assert code == 2
    assert told.count("\n") == 1
    assert "coachwright check --help" in told


def test_the_version_is_the_package_s(capsys: pytest.CaptureFixture[str]) -> None:
    """One place says it."""
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.strip() == f"coachwright {__version__}"


def test_without_a_word_it_lists_and_asks_for_one(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing asked is no success."""
    assert main([]) == 2
    assert "reckon" in capsys.readouterr().out


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line, exit 2."""
    assert main(["check", str(tmp_path / "nowhere.yaml")]) == 2
    assert "There is no build file at" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["check"], "Nothing is written for --build."),
        (["check", "a", "b"], "More is written than is read: 'b'."),
        (["check", "a", "--serial", "x"], '--serial takes a whole number; "x" is none.'),
        (["check", "a", "--format", "xml"], '--format is never "xml". Write one of "text", "json", "sarif".'),
    ],
)
def test_a_line_that_cannot_be_read_is_refused_in_our_words(
    words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: what the library says of a command line speaks to programmers; it is said anew, with what to write."""
    assert main(words) == 2
    said = capsys.readouterr().err
    assert said == f"coachwright: {told} coachwright check --help says what can be written.\n"
