"""The first example, broken in one place at a time."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from coachwright.proof.verdict import Verdict, check

ROOT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 11, 25)


@pytest.fixture(scope="session")
def quillback() -> str:
    """Text of the first example."""
    return (ROOT / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Verdict]:
    """What check says of a text, each text once."""
    known: dict[str, Verdict] = {}

    def check_text(text: str) -> Verdict:
        if text not in known:
            file = tmp_path_factory.mktemp("job") / "build.yaml"
            file.write_text(text, encoding="utf-8")
            known[text] = check(file, today=TODAY)
        return known[text]

    return check_text
