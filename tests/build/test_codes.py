"""Every code of the door is tried, and stands for one thing only."""

from __future__ import annotations

import re
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCES = [
    path
    for folder in ("src/coachwright/build", "src/coachwright/kit")
    for path in sorted((ROOT / folder).rglob("*.py"))
]
TESTS = [*sorted((ROOT / "tests/build").glob("*")), *sorted((ROOT / "tests/kit").glob("*.py"))]


def names_of_codes() -> dict[str, set[str]]:
    """Code -> names it is told under, from the source."""
    found: dict[str, set[str]] = defaultdict(set)
    for path in SOURCES:
        text = path.read_text(encoding="utf-8")
        for code, name in re.findall(r'"(BLD-[0-9]{3})",\s*(?:name=)?f?"([^"]+)"', text):
            found[code].add(name)
        for code in re.findall(r'"(BLD-[0-9]{3})"', text):
            found.setdefault(code, set())
    return found


def test_every_code_is_tried() -> None:
    """Law: each code in the source is expected by a test of this room."""
    tried = {code for path in TESTS if path.is_file() for code in re.findall(r"BLD-[0-9]{3}", path.read_text("utf-8"))}

    assert set(names_of_codes()) - tried == set()


def test_a_code_has_one_name() -> None:
    """Law: one code, one wrong thing; only kinds of quantity vary in it."""
    assert {code: names for code, names in names_of_codes().items() if len(names) > 1} == {}
