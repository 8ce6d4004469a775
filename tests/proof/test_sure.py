"""Rules of a job held against many vehicles: the same cases as on paper, and the same answer where nothing differs."""

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from coachwright.light.tolerances import tolerances
from coachwright.look.sure import sure_json, sure_lines
from coachwright.proof.gather import FOLLOWS
from coachwright.proof.sure import DRAWN, sure
from coachwright.proof.verdict import Verdict, check

ROOT = Path(__file__).resolve().parents[2]
NOTHING = replace(tolerances(), causes=())


@cache
def verdict_on(name: str, behind: bool = False) -> Verdict:
    return check(ROOT / "examples" / name / "build.yaml", today=date(2026, 11, 25), behind=behind)


@pytest.mark.parametrize("name", ["quillback", "volunteer-car", "service-patrol"])
def test_with_nothing_to_differ_every_rule_ends_as_on_paper(name: str) -> None:
    """Law: zero tolerances: the share of each rule is 1 where all of its cases pass and 0 where one fails."""
    verdict = verdict_on(name)
    found = sure(verdict, known=NOTHING, vehicles_n=2)
    fails = {each.rule.code for each in verdict.judgements for case in each.cases if case.stands == "fail"}

    assert {each.rule.code for each in found.rules} == {
        each.rule.code for each in verdict.judgements if each.rule.measure in DRAWN and each.cases
    }
    for each in found.rules:
        assert each.as_drawn == (each.rule.code not in fails)
        assert each.share == float(each.as_drawn), each.rule.code
        assert each.cause == ""


def test_the_rules_that_judge_the_warning_are_drawn() -> None:
    """Case: totals, points, 5 deg up and down, gaps by day and by night, one dead; others are named as left out."""
    found = sure(verdict_on("quillback"), vehicles_n=200)
    codes = {each.rule.code for each in found.rules}

    assert {"HSE-034", "HSE-035", "HSE-036", "OSV-001", "OSV-002", "OSV-003", "OSV-027"} <= codes
    assert "HSE-038" in found.left_out
    assert not codes & set(found.left_out)


def test_what_just_passes_on_paper_does_not_pass_in_the_yard() -> None:
    """Case: quillback by night: its rear misses the draft minimum on paper; its front has it and fails in some."""
    found = {each.rule.code: each for each in sure(verdict_on("quillback"), vehicles_n=400).rules}
    rear = found["OSV-019"]
    front = found["OSV-013"]

    assert not rear.as_drawn
    assert rear.share < 0.1
    assert front.as_drawn
    assert 0.0 < front.share < 1.0
    assert front.weakest[0][1].zone == "A"
    assert front.cause
    assert front.share_without > front.first_share


def test_the_quick_answer_says_what_follows_behind() -> None:
    """Law: a rule that takes long is not measured in the quick answer, told in one note, and judged when asked for."""
    quick, whole = verdict_on("volunteer-car"), verdict_on("volunteer-car", behind=True)
    waiting = {each.rule.code for each in quick.judgements if each.why == FOLLOWS}
    told = [finding for finding in quick.findings if finding.code == "VER-030"]

    assert waiting == {"HSE-110", "HSE-111"}
    assert [finding.severity for finding in told] == ["note"]
    assert "HSE-110" in str(told[0].values["rules"])
    assert not any("HSE-110" in str(each.values) for each in quick.findings if each.code == "VER-004")
    assert {each.state for each in whole.judgements if each.rule.code in waiting} <= {"pass", "near", "fail"}
    assert not [finding for finding in whole.findings if finding.code == "VER-030"]


def test_lines_say_share_place_and_cause() -> None:
    """Case: seed and number first; a draft in brackets; where most fail; what costs most; what was not drawn."""
    found = sure(verdict_on("quillback"), vehicles_n=300, seed=9)
    text = "\n".join(sure_lines(found))
    shown = sure_json(found)

    assert text.startswith("How sure: 300 vehicles drawn by lot, seed 9")
    assert "(OSV-013 zone-a-blocking-total, a draft)" in text
    assert "Most fail in zone A, " in text
    assert "What costs most: " in text
    assert "common practice" in text
    assert "PLT-001 to PLT-0" in text
    assert (shown["vehicles"], shown["seed"]) == (300, 9)
    assert {each["code"] for each in shown["rules"]} == {each.rule.code for each in found.rules}
    assert all(0.0 <= each["share"] <= 1.0 for each in shown["rules"])


def test_a_job_without_light_rules_says_so() -> None:
    """Case: nothing that can be drawn is said in one line."""
    verdict = replace(verdict_on("quillback"), judgements=())

    assert "No rule of this job" in "\n".join(sure_lines(sure(verdict, vehicles_n=5)))
