"""Examples build without a finding they do not announce, and announce none they do not have."""

import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from coachwright.proof.verdict import Verdict, check
from tools.demo import announced_exit

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/build.yaml"))
LEAST_RULES_N = 30
JUDGED = ("pass", "near", "fail", "waived")
CODES = re.compile(r"([A-Z]{3})-([0-9]{3})(?: to \1-([0-9]{3}))?")


@cache
def verdict_on(build: Path) -> Verdict:
    """What check says on a day that stands still."""
    return check(build, today=date(2026, 11, 25))


def announced(text: str) -> set[str]:
    """Codes a text names; `PLT-033 to PLT-039` names all between."""
    return {
        f"{letters}-{number:03d}"
        for letters, first, last in CODES.findall(text)
        for number in range(int(first), int(last or first) + 1)
    }


def list_of(build: Path) -> set[str]:
    """Codes of the paragraph in the README that lists them all."""
    text = (build.parent / "README.md").read_text(encoding="utf-8")
    found = re.search(r"\*\*Findings it has, all told:\*\*(.*?)\n\n", text, re.DOTALL)
    assert found, "the README lists its findings in one paragraph"
    return announced(found[1])


def test_there_are_examples() -> None:
    """Law: the laws below are about something."""
    assert EXAMPLES


@pytest.mark.parametrize("build", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_has_the_findings_its_readme_lists(build: Path) -> None:
    """Case: the same codes on both sides: a new one is a surprise, a missing one an old tale."""
    assert {finding.code for finding in verdict_on(build).findings} == list_of(build)


@pytest.mark.parametrize("build", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_ends_as_its_readme_says(build: Path) -> None:
    """Case: the code check ends with is the announced one."""
    assert verdict_on(build).exit_code == announced_exit((build.parent / "README.md").read_text(encoding="utf-8"))


@pytest.mark.parametrize("build", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_exercises_many_rules(build: Path) -> None:
    """Law: thirty rules or more apply to it and come to a judgement of their own, drafts not counted."""
    judged = {each.rule.code for each in verdict_on(build).judgements if each.state in JUDGED}

    assert len(judged) >= LEAST_RULES_N


@pytest.mark.parametrize("build", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_has_its_promises_proved(build: Path) -> None:
    """Case: every promise ends as proved, by the rule of the house that asks for it."""
    verdict = verdict_on(build)
    proofs = {each.about: each.state for each in verdict.judgements if each.rule.code == "HSE-026"}

    assert verdict.model is not None
    assert verdict.model.promises
    assert proofs == {f"promises.{promise.name}": "pass" for promise in verdict.model.promises}


@pytest.mark.parametrize("build", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_says_that_it_is_invented(build: Path) -> None:
    """Law: nobody takes an example's figures for those of a vehicle."""
    assert "invented" in build.read_text(encoding="utf-8")[:600]
    assert "invented" in (build.parent / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("HSE-001 and HSE-003", {"HSE-001", "HSE-003"}),
        ("PLT-033 to PLT-035", {"PLT-033", "PLT-034", "PLT-035"}),
        ("PLT-033 to HSE-035", {"PLT-033", "HSE-035"}),
        ("none", set()),
    ],
)
def test_lists_of_codes_are_read(text: str, codes: set[str]) -> None:
    """Case: single codes, and runs of one kind."""
    assert announced(text) == codes
