"""Faults of the text itself: each is told at its character, and what is clean goes on."""

import pytest

from coachwright.build.load import read_build
from coachwright.parts.store import load_catalogue

HERE = "‸"
"""Stands in a case in front of the character the finding has to name."""

BUILD = """\
coachwright: 1
job: {name: Trial}
count: 6
vehicle: {body: crew-cab-pickup-with-cap}
lamps:
  corner: {part: short-red-white, at: fender-corner, pair: mirrored, aim: 45 deg}
  tail:
    part: short-red-amber-white
    at: tail-inner
    pair: mirrored
"""

CASES = [
    ("BLD-001", "count: 6", f"count: {HERE}[6"),
    ("BLD-001", "name: Trial", f"name: {HERE}@Trial"),
    ("BLD-002", "count: 6", f"count: 6\n{HERE}count: 7"),
    ("BLD-002", "    pair: mirrored", f"    pair: mirrored\n    {HERE}part: short-red-white"),
    ("BLD-003", "count: 6", f"count: 6\n? {HERE}[a, b]\n: c"),
    ("BLD-003", "name: Trial", f"name: Trial, {HERE}[a]: b"),
    ("BLD-040", "at: tail-inner", f"at: {HERE}*place"),
    ("BLD-040", "at: tail-inner", f"at: {HERE}&place tail-inner"),
    ("BLD-041", "at: tail-inner", f"at: {HERE}!name tail-inner"),
    ("BLD-041", "count: 6", f"count: {HERE}!!int 6"),
    ("BLD-042", "coachwright: 1", f"{HERE}%YAML 1.1\n---\ncoachwright: 1"),
    ("BLD-042", "coachwright: 1", f"{HERE}%TAG ! tag:example.invalid,2026:\n---\ncoachwright: 1"),
    ("BLD-043", "count: 6", f"count: 6\n{HERE}---"),
    ("BLD-043", "    pair: mirrored", f"    pair: mirrored\n{HERE}---\njob: {{name: Other}}"),
    ("BLD-044", "    at: tail-inner", f"{HERE}\tat: tail-inner"),
    ("BLD-044", "count: 6", f"count:\n{HERE}\t6"),
    ("BLD-045", "count: 6", f"count: {'[' * 200}{']' * 200}"),
    ("BLD-045", "name: Trial", f"name: {'{a: ' * 200}b{'}' * 200}"),
    ("BLD-046", "name: Trial", f"name: Tri{HERE}\x07al"),
    ("BLD-046", "at: tail-inner", f"at: tail{HERE}\x01inner"),
]


def broken(old: str, new: str) -> tuple[str, tuple[int, int] | None]:
    """The build with one replacement, and line and column of the marked character."""
    assert BUILD.count(old) == 1, old
    text = BUILD.replace(old, new)
    at = text.find(HERE)
    if at < 0:
        return text, None
    before = text[:at]
    return text.replace(HERE, ""), (before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)


@pytest.mark.parametrize(
    ("code", "old", "new"), CASES, ids=[f"{code}-{place}" for place, (code, _, _) in enumerate(CASES)]
)
def test_a_fault_of_the_text_is_told_at_its_character(code: str, old: str, new: str) -> None:
    """Case: the finding of this code stands where the text goes wrong, and nothing is read as if it were right."""
    text, place = broken(old, new)
    loaded = read_build(text, catalogue=load_catalogue())
    told = [(finding.where[0].line, finding.where[0].column) for finding in loaded.findings if finding.code == code]

    assert told, [(finding.code, finding.where) for finding in loaded.findings]
    assert place is None or place in told
    assert loaded.model is None


def test_the_unbroken_text_is_clean() -> None:
    """Case: none of these findings comes from the text the cases start from."""
    loaded = read_build(BUILD, catalogue=load_catalogue())

    assert loaded.model is not None
    assert loaded.findings == ()


@pytest.mark.parametrize("lamps_n", [700, 2000])
def test_more_findings_than_help_are_counted(lamps_n: int) -> None:
    """Case BLD-096: a file with a fault on every line shows the first of them, and says how many are left."""
    lamps = "".join(f"  l{number}: {{part: none-such, at: grille, pair: mirrored}}\n" for number in range(lamps_n))
    loaded = read_build(BUILD.replace("lamps:\n", f"lamps:\n{lamps}"), catalogue=load_catalogue())

    assert loaded.findings[-1].code == "BLD-096"
    left_n = lamps_n - (len(loaded.findings) - 1)
    assert f"{left_n:,} more findings" in str(loaded.findings[-1].values["why"])


def test_one_finding_more_than_are_shown_is_said() -> None:
    """Case BLD-096, the other side of the limit: up to 500 findings all are shown."""
    lamps = "".join(f"  l{number}: {{part: none-such, at: grille, pair: mirrored}}\n" for number in range(500))
    loaded = read_build(BUILD.replace("lamps:\n", f"lamps:\n{lamps}"), catalogue=load_catalogue())

    assert len(loaded.findings) == 500
    assert {finding.code for finding in loaded.findings} == {"BLD-011"}
