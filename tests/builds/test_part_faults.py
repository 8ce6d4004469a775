"""Faults of a shop's own part that nothing else brings about: each is told at its line, and the part is left out."""

from pathlib import Path

import pytest

from coachwright.parts.read import read_part

LAMP = (
    Path(__file__).resolve().parents[2] / "src" / "coachwright" / "parts" / "data" / "short-red-white.yaml"
).read_text(encoding="utf-8")
HEADS = "heads:   # left to right, seen from behind the lamp\n  - {offset: 0 mm}"
COLOURS = LAMP[LAMP.index("colours:") : LAMP.index("heads:")]


@pytest.mark.parametrize(
    ("code", "old", "new"),
    [
        ("PRT-012", LAMP, "short-red-white\n"),
        ("PRT-012", HEADS, "heads: one"),
        ("PRT-013", HEADS, "heads: []"),
        ("PRT-013", HEADS, "heads:\n" + "  - {offset: 0 mm}\n" * 500),
        ("PRT-050", COLOURS, ""),
        ("PRT-050", COLOURS, "colours: {}\n"),
    ],
)
def test_a_fault_of_a_part_is_told(code: str, old: str, new: str) -> None:
    """Case: the code is among the findings, each has a place in the file, and no part comes out."""
    assert LAMP.count(old) == 1
    read = read_part(LAMP.replace(old, new), file="short-red-white.yaml")

    assert code in {finding.code for finding in read.findings}
    assert all(finding.where for finding in read.findings)
    assert read.part is None


def test_the_unbroken_part_is_clean() -> None:
    """Case: none of these comes from the part the cases start from."""
    read = read_part(LAMP, file="short-red-white.yaml")

    assert read.findings == ()
    assert read.part is not None
