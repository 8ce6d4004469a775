"""What the repository holds, for the tests that look at it."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root() -> Path:
    """The top folder of the repository."""
    return ROOT


@pytest.fixture(scope="session")
def tracked() -> list[Path]:
    """Every file that git tracks or would track, as a path from the top."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return sorted(Path(name) for name in listed.split("\0") if name and (ROOT / name).is_file())
