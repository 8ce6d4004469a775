"""The targets the README promises, and the demo that keeps its word."""

import re
import subprocess
from pathlib import Path

import pytest

from tools.demo import announced_exit, last_block


@pytest.mark.needs("make")
@pytest.mark.parametrize("target", ["demo", "test", "check", "perf", "long", "lock"])
def test_make_knows(root: Path, target: str) -> None:
    """Case: each promised target can be planned from here."""
    ended = subprocess.run(["make", "--dry-run", target], cwd=root, capture_output=True, text=True)

    assert ended.returncode == 0, ended.stderr


def test_make_never_asks_for_root(root: Path) -> None:
    """Law: no recipe runs sudo; the word stands only in what is printed for a person."""
    recipes = (line for line in (root / "Makefile").read_text().splitlines() if line.startswith("\t"))

    assert [line for line in recipes if re.search(r"\bsudo\b", re.sub(r'"[^"]*"', "", line))] == []


@pytest.mark.parametrize(("text", "code"), [("a\nexit: 1\nb", 1), ("- `exit: 0`", 0), ("> exit: 12", 12)])
def test_the_demo_reads_what_an_example_announces(text: str, code: int) -> None:
    """Case: a line of its own, plain or marked up."""
    assert announced_exit(text) == code


@pytest.mark.parametrize("text", ["", "the exit: is", "on exit: 1 you leave", "exit: one"])
def test_the_demo_wants_an_announcement(text: str) -> None:
    """Case: an example that announces nothing is not run as if it announced success."""
    with pytest.raises(ValueError, match="exit: N"):
        announced_exit(text)


def test_the_summary_is_the_last_block() -> None:
    """Case: what stands after the last empty line."""
    assert last_block("one\n\ntwo\nthree\n") == "two\nthree"


def test_every_example_announces_how_it_ends(root: Path) -> None:
    """Law: examples build without a surprise; each says with which code `check` ends."""
    for build in sorted((root / "examples").glob("*/build.yaml")):
        assert announced_exit((build.parent / "README.md").read_text(encoding="utf-8")) in {0, 1}
