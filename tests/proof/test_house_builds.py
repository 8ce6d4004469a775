"""A whole job keeps the house rules; change one thing in it, and the rule that watches over it speaks at that place."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from coachwright.kit.nodes import read_nodes
from coachwright.proof.gather import FOLLOWS
from coachwright.proof.verdict import Verdict, check

HERE = Path(__file__).parent
WHOLE = (HERE / "whole.yaml").read_text(encoding="utf-8")
TODAY = date(2027, 1, 15)

CASES = read_nodes((HERE / "house_cases.yaml").read_text(encoding="utf-8"), file="house_cases.yaml").plain


def judged(tmp_path: Path, *changes: tuple[str, str]) -> Verdict:
    text = WHOLE
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    (tmp_path / "build.yaml").write_text(text, encoding="utf-8")
    found = check(tmp_path / "build.yaml", today=TODAY)
    assert found.model is not None, [finding.values for finding in found.findings]
    return found


def failed(found: Verdict) -> set[tuple[str, str]]:
    return {(each.rule.code, each.about) for each in found.judgements if "fail" in (each.state, each.would)}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> set[tuple[str, str]]:
    """What the unchanged job fails or would fail."""
    return failed(judged(tmp_path_factory.mktemp("whole")))


def test_whole_job_keeps_the_house_rules(kept: set[tuple[str, str]]) -> None:
    """Case: dark glass, a brake that a stuck gear signal hides, and a draft that would ask for more light by day.

    Its grille alone flashes on the way: who crosses its road notices it late, and in town not at all.
    """
    assert {code for code, _ in kept} == {"HSE-038", "HSE-039", "HSE-044", "HSE-076", "HSE-077"}
    assert [about for code, about in kept if code == "HSE-038"] == ["lamps.cap-bar"]


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["code"])
def test_one_change_breaks_the_rule_that_watches_it(
    tmp_path: Path, kept: set[tuple[str, str]], case: dict[str, Any]
) -> None:
    """Case: the rule fails for that subject, and its finding stands at a line of the build."""
    found = judged(tmp_path, *((change["from"], change["to"]) for change in case["changes"]))
    marks = [finding.where[0] for finding in found.findings if finding.code == case["code"]]

    assert (case["code"], case["about"]) in failed(found) - kept
    assert marks
    assert all(mark.file == str(tmp_path / "build.yaml") and mark.line > 1 for mark in marks)


def test_nothing_measured_is_unsaid(kept: set[tuple[str, str]], tmp_path: Path) -> None:
    """Law: every rule of the house ends in a state for this job; what takes long says so and is asked for apart."""
    found = judged(tmp_path)

    assert {each.rule.code for each in found.judgements} == {rule.code for rule in found.packs[0].rules}
    unmeasured = [each for each in found.judgements if each.state == "not-measured"]
    assert {each.why for each in unmeasured} == {FOLLOWS}
    assert {each.rule.measure for each in unmeasured} == {"light.pass-share"}
