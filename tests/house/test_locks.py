"""The locks pin everything, name no index, agree with each other and with what the package asks for."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

LOCKS = ("requirements.lock", "requirements-test.lock")


def entries(text: str) -> list[str]:
    """Each requirement of a lock file with its options, on one line."""
    return [line for line in text.replace("\\\n", " ").splitlines() if line.strip() and not line.startswith("#")]


def pinned(path: Path) -> dict[str, set[str]]:
    """Package -> the versions locked, more than one where markers tell them apart."""
    found: dict[str, set[str]] = {}
    for entry in entries(path.read_text()):
        requirement = Requirement(entry.split("--hash")[0].strip())
        found.setdefault(canonicalize_name(requirement.name), set()).update(s.version for s in requirement.specifier)
    return found


@pytest.mark.parametrize("name", LOCKS)
def test_every_requirement_is_pinned_and_hashed(root: Path, name: str) -> None:
    """What is installed tomorrow is what was tried today, byte for byte."""
    listed = entries((root / name).read_text())

    assert len(listed) > 10
    for entry in listed:
        assert re.match(r"[a-z0-9.-]+==\S+ ", entry), entry[:60]
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", entry), entry[:60]


@pytest.mark.parametrize("name", LOCKS)
def test_no_lock_names_a_place(root: Path, name: str) -> None:
    """No index, no host, no folder: each machine knows its own."""
    text = (root / name).read_text()

    assert re.findall(r"https?:|file:|--(?!hash=)|@ |(?:^|\s)/\w|^\s*\.", text, re.MULTILINE) == []


def test_the_test_lock_holds_the_run_time_lock(root: Path) -> None:
    """Tests see the same releases as users."""
    run_time, tests = (pinned(root / name) for name in LOCKS)

    assert {name: tests.get(name) for name in run_time} == run_time


def test_the_locks_hold_what_the_package_asks_for(root: Path) -> None:
    """Each direct dependency is locked at a release its bound allows; otherwise: make lock."""
    project = tomllib.loads((root / "pyproject.toml").read_text())
    groups = project["dependency-groups"]
    run_time, tests = (pinned(root / name) for name in LOCKS)

    for lock, asked in ((run_time, project["project"]["dependencies"] + groups["build"]), (tests, groups["test"])):
        for requirement in map(Requirement, asked):
            versions = lock.get(canonicalize_name(requirement.name))
            assert versions, f"{requirement} is not locked"
            assert all(requirement.specifier.contains(version, prereleases=True) for version in versions), requirement
