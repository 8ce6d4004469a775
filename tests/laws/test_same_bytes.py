"""Same file in, same bytes out: twice, and in another process whose dictionaries and sets are in another order."""

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from coachwright.proof.as_json import json_text
from coachwright.proof.verdict import check

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/build.yaml"))
PROGRAM = """
import sys
from datetime import date
from pathlib import Path
from coachwright.proof.as_json import json_text
from coachwright.proof.verdict import check
sys.stdout.write(json_text(check(Path(sys.argv[1]), today=date(2026, 11, 25))))
"""


def elsewhere(path: Path, seed: str) -> str:
    """The verdict as another process writes it."""
    ended = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(path)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONUTF8": "1"},
    )
    return ended.stdout


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_same_file_gives_the_same_bytes(path: Path) -> None:
    """Law: a verdict of today can be held beside one of last year."""
    here = json_text(check(path, today=date(2026, 11, 25)))

    assert json_text(check(path, today=date(2026, 11, 25))) == here
    assert elsewhere(path, "1") == here
    assert elsewhere(path, "4711") == here
    assert len(here) > 10_000
