"""The list of what a machine could not run is honest, and with CI=true it must be empty."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tools.needs import NEEDS, Need, apt_line, missing

ROOT = Path(__file__).resolve().parents[2]
ONE_SKIPPED = """
import pytest

def test_runs() -> None:
    assert True

@pytest.mark.skip(reason="made up")
def test_is_left_out() -> None:
    assert True
"""
NEEDS_NOTHING_LISTED = """
import pytest

@pytest.mark.needs("no-such-program-anywhere")
def test_starts_it() -> None:
    assert True
"""


def run_pytest(folder: Path, text: str, *, ci: str) -> subprocess.CompletedProcess[str]:
    """Run `text` as a test file under a copy of this repository's conftest."""
    shutil.copy(ROOT / "tests" / "conftest.py", folder)
    (folder / "test_made_up.py").write_text(text)
    (folder / "pytest.ini").write_text("[pytest]\nmarkers =\n    needs\n")
    environment = os.environ | {"CI": ci, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", str(folder)]
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True)


def test_a_skipped_test_is_named_and_passes_on_a_desk(tmp_path: Path) -> None:
    """Case: without CI a skip is listed with its reason, and the run stays green."""
    ended = run_pytest(tmp_path, ONE_SKIPPED, ci="")

    assert ended.returncode == 0, ended.stdout
    assert "not run here" in ended.stdout
    assert "(made up)" in ended.stdout
    assert "1 passed, 1 skipped" in ended.stdout.splitlines()[-1]


def test_a_skipped_test_fails_ci(tmp_path: Path) -> None:
    """Case: the same file with CI=true is a failed run."""
    ended = run_pytest(tmp_path, ONE_SKIPPED, ci="true")

    assert ended.returncode == 1, ended.stdout
    assert "nothing may be left out" in ended.stdout


def test_nothing_skipped_passes_ci(tmp_path: Path) -> None:
    """Case: CI=true with nothing left out is green and prints no list."""
    ended = run_pytest(tmp_path, "def test_runs() -> None:\n    assert True\n", ci="true")

    assert ended.returncode == 0, ended.stdout
    assert "not run here" not in ended.stdout


def test_a_need_that_is_not_listed_stops_the_run(tmp_path: Path) -> None:
    """Case: a test may not name a program tools/needs.py cannot tell how to add."""
    ended = run_pytest(tmp_path, NEEDS_NOTHING_LISTED, ci="")

    assert ended.returncode == pytest.ExitCode.USAGE_ERROR
    assert "no-such-program-anywhere" in ended.stdout + ended.stderr


def test_one_apt_line_adds_all_that_is_missing() -> None:
    """Law: each package once, in a fixed order."""
    needs = (Need("zz-not-here", "zeta", "a"), Need("aa-not-here", "alpha", "b"), Need("ab-not-here", "alpha", "c"))

    assert missing(needs) == list(needs)
    assert apt_line(missing(needs)) == "sudo apt-get install -y alpha zeta"


def test_every_need_says_what_it_is_for() -> None:
    """Law: a program is listed once, with a package and a use."""
    programs = [need.program for need in NEEDS]

    assert len(programs) == len(set(programs))
    assert all(need.apt and need.used_by for need in NEEDS)
