"""What may not be in the repository, and how long a file may be."""

import re
from pathlib import Path

import pytest

from tools.lines import LONG_FILES, MOST_LINES

# Put together here so that this file does not hold what it looks for.
MACHINE_PATH = re.compile(r"(?<![\w.$}~/-])/(?:" + "|".join(["work", "root", "opt", "home", "Users"]) + r")/\w")
INDEX_HOST = re.compile("|".join(["pypi" + r"\.org", "python" + r"hosted\.org", "deb" + r"\.debian\.org"]))
PAGE = re.compile(r"[\w./-]*\b[\w-]+\.md\b")
VAGUE_NAMES = {"utils", "util", "common", "manager", "handler", "helpers", "helper", "misc", "stuff"}


def text_of(path: Path) -> str | None:
    """The text of a file, or None where it is not text."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None


def lines_with(pattern: re.Pattern[str], root: Path, tracked: list[Path]) -> list[str]:
    """Where `pattern` stands, as path:line."""
    found = []
    for path in tracked:
        for number, line in enumerate((text_of(root / path) or "").splitlines(), 1):
            if pattern.search(line):
                found.append(f"{path}:{number}: {line.strip()[:80]}")
    return found


def test_no_path_of_one_machine(root: Path, tracked: list[Path]) -> None:
    """A path that exists on one machine only breaks on all others."""
    assert lines_with(MACHINE_PATH, root, tracked) == []


def test_no_host_of_a_package_index(root: Path, tracked: list[Path]) -> None:
    """Where packages come from is the business of who installs them."""
    assert lines_with(INDEX_HOST, root, tracked) == []


@pytest.mark.parametrize(
    ("line", "hit"),
    [
        ("open('/" + "work/a')", True),
        ("cd /" + "root/x", True),
        ("see https://example.org/" + "work/a", False),
        ("a/" + "opt/b", False),
        ("/usr/bin/env bash", False),
    ],
)
def test_the_pattern_of_machine_paths_bites(line: str, hit: bool) -> None:
    """The look-out above finds paths and leaves addresses alone."""
    assert bool(MACHINE_PATH.search(line)) is hit


def test_every_page_that_is_named_exists(root: Path, tracked: list[Path]) -> None:
    """A reader who is sent to a page finds it here."""
    pages = {path.name for path in tracked if path.suffix == ".md"}
    named = {
        (str(path), name)
        for path in tracked
        if path.suffix in {".py", ".md", ".yaml", ".toml", ""} and path.parts[0] != "tests"
        for name in PAGE.findall(text_of(root / path) or "")
    }

    assert named
    assert [(path, name) for path, name in sorted(named) if Path(name).name not in pages | {"README.md"}] == []


def test_no_name_that_says_nothing(tracked: list[Path]) -> None:
    """A file is named for the question it answers."""
    vague = [
        path
        for path in tracked
        if path.suffix == ".py" and any(set(re.split(r"[_.-]", part)) & VAGUE_NAMES for part in path.parts)
    ]

    assert vague == []


def test_long_files_have_a_reason(root: Path, tracked: list[Path]) -> None:
    """Past six hundred lines a file answers more than one question, or says why it does not."""
    lengths = {str(path): len((text_of(root / path) or "").splitlines()) for path in tracked if path.suffix == ".py"}
    too_long = {name: n for name, n in lengths.items() if n > MOST_LINES and name not in LONG_FILES}

    assert too_long == {}


def test_no_reason_without_a_long_file(root: Path) -> None:
    """The list of exceptions shrinks when the files do."""
    short = [name for name in LONG_FILES if len((root / name).read_text().splitlines()) <= MOST_LINES]

    assert short == []
    assert all(len(reason) > 20 for reason in LONG_FILES.values())
