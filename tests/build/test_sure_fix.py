"""Computed mends: one sure answer or none, and after each the finding is gone and nothing worse stands there."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

from coachwright.build.load import read_build
from coachwright.build.mend import mended
from coachwright.kit.errors import DoorRefused
from coachwright.kit.finding import Edit, Finding
from tests.build import small
from tests.build.conftest import written_over, yaml_of

CATALOGUE = small.small_catalogue()


def look(text: str) -> tuple[Finding, ...]:
    """What the file door finds."""
    return read_build(text, catalogue=CATALOGUE).findings


@cache
def cases() -> dict[str, str]:
    """Every build in the docstrings of this folder's tests, by the test that holds it."""
    found: dict[str, str] = {}
    for path in sorted(Path(__file__).parent.glob("test_*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            said = ast.get_docstring(node) if isinstance(node, ast.FunctionDef) else None
            if isinstance(node, ast.FunctionDef) and said and "\n\n" in said:
                names = {each.arg for each in node.args.args}
                block = yaml_of(said)
                if "case" in names:
                    found[f"{path.stem}-{node.name}"] = written_over(block)
                elif "raw" in names:
                    found[f"{path.stem}-{node.name}"] = block
    return found


def with_edits(text: str) -> list[Finding]:
    """Findings of a text that carry an edit."""
    try:
        return [each for each in look(text) if each.fix is not None and each.fix.edits]
    except DoorRefused:
        return []


def test_there_are_cases_enough() -> None:
    """Law: the law below is tried on many findings of many codes, of all kinds."""
    offered = [each for text in cases().values() for each in with_edits(text)]

    assert len(offered) > 90
    assert len({each.code for each in offered}) > 30
    assert {each.fix.kind for each in offered if each.fix} == {"safe", "ask"}


@pytest.mark.parametrize("name", sorted(cases()))
def test_after_a_mend_the_finding_is_gone_and_none_is_worse(name: str) -> None:
    """Law: for every finding in every case of this folder for which a mend is offered."""
    text = cases()[name]
    for finding in with_edits(text):
        result = mended(text, look, code=finding.code, at=finding.about, kinds=["safe", "ask"])

        assert result.held_back == (), [(each.code, each.about, each.values, why) for each, why in result.held_back]
        assert finding.values not in [each.values for each in look(result.text) if each.about == finding.about]


@pytest.mark.parametrize(
    ("section", "code", "edit", "kind"),
    [
        ("lamps:\n  a: {part: bar-44, at: roof-front}", "BLD-011", Edit(("lamps", "a", "part"), "bar-4"), "ask"),
        (
            "lamps:\n  a: {part: bar-4, att: roof-front}",
            "BLD-012",
            Edit(("lamps", "a", "att"), "at", on_key=True),
            "ask",
        ),
        (
            "lamps:\n  a: {part: bar-4, at: roof-front, aim: 25}",
            "BLD-004",
            Edit(("lamps", "a", "aim"), "25 deg"),
            "ask",
        ),
        ("words:\n  a: parkd and brake\n  parked: gear == P", "BLD-072", None, "ask"),
        (
            "limits:\n  a: {when: brake, scale-to: 40 %, of: [warn, road]}",
            "BLD-088",
            Edit(("limits", "a", "of", "2"), None),
            "ask",
        ),
        ("groups:\n  a: [tail.2]", "BLD-056", Edit(("groups", "a", "1"), "tail"), "ask"),
        ('groups:\n  a: ["*"]', "BLD-017", Edit(("groups", "a", "1"), "all"), "safe"),
        ("groups:\n  a: [bar, bar]", "BLD-019", Edit(("groups", "a", "2"), None), "safe"),
        ("memory:\n  m: {values: [a, b], ordered: true}", "BLD-007", Edit(("memory", "m", "ordered"), "yes"), "safe"),
    ],
)
def test_one_sure_answer(section: str, code: str, edit: Edit | None, kind: str) -> None:
    """Case: the edit and its kind; what only the nearest name says is asked for."""
    found = [each for each in look(written_over(section)) if each.code == code]

    if edit is None:
        found = [each for each in look(written_over(section)) if each.about == "words.a"]
        edit = Edit(("words", "a"), "parked and brake")
    assert [(each.fix.edits, each.fix.kind) for each in found if each.fix] == [((edit,), kind)]


@pytest.mark.parametrize(
    ("section", "code"),
    [
        ("lamps:\n  a: {part: bar-4}", "BLD-013"),
        ("lamps:\n  a: {part: nothing-like-it, at: roof-front}", "BLD-011"),
        ("lamps:\n  a: {part: bar-4, at: roof-front, aim: often}", "BLD-006"),
        ("limits:\n  a: {when: brake, scale-to: 40 %, of: [warn, wurn], not: 5}", "BLD-008"),
    ],
)
def test_where_it_would_be_a_guess_there_is_no_edit(section: str, code: str) -> None:
    """Case: a missing field, a name near to nothing, a quantity that is none."""
    found = [each for each in look(written_over(section)) if each.code == code]

    assert all(each.fix is None or each.fix.edits == () for each in found)


def test_a_mend_within_an_option_is_made_there() -> None:
    """Case: what only a choice brings is mended where the option says it."""
    text = small.whole(
        options="options:\n  two: {base: n, n: {}, y: {add: {equipment.fan-two: {part: fam, at: floor}}}}"
    )
    result = mended(text, look, code="BLD-011", kinds=["ask"])

    assert result.text == text.replace("fam", "fan")
    assert look(result.text) == ()
