"""The order of the file means nothing: sections and entries in any order give the same verdict."""

import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.proof.verdict import Verdict
from tests.laws.builds import PACKS, Plan, judged_text, plans, written

EXAMPLE = (Path(__file__).resolve().parents[2] / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")


def said(verdict: Verdict) -> tuple[list[tuple[str, ...]], list[tuple[str, ...]]]:
    """Every judgement and every finding, marks left out."""
    assert verdict.model is not None
    judgements = [(each.rule.code, each.about, each.state, str(each.would)) for each in verdict.judgements]
    findings = [(each.code, each.about, each.severity, each.name) for each in verdict.findings]
    return sorted(judgements), sorted(findings)


def shuffled(text: str, seed: int) -> str:
    """A build file with its sections, and the entries of each, in another order; comments go with what they precede."""
    chance = random.Random(seed)
    preamble, *sections = re.split(r"(?m)^(?=[a-z])", text)
    found = []
    for section in sections:
        head, *entries = re.split(r"(?m)^(?=(?:  #.*\n)*  [a-z0-9-]+:)", section)
        whole = [entry if entry.endswith("\n") else f"{entry}\n" for entry in _joined(entries)]
        chance.shuffle(whole)
        found.append((head if head.endswith("\n") else f"{head}\n") + "".join(whole))
    chance.shuffle(found)
    return preamble + "".join(found)


def _joined(entries: list[str]) -> list[str]:
    """Comment lines that were cut off go with the entry behind them."""
    found: list[str] = []
    waiting = ""
    for entry in entries:
        if all(line.startswith("  #") for line in entry.splitlines()):
            waiting += entry
        else:
            found.append(waiting + entry)
            waiting = ""
    if waiting:
        found.append(waiting)
    return found


@pytest.mark.parametrize("seed", range(5))
def test_the_example_in_any_order_has_the_same_verdict(seed: int) -> None:
    """Law: the first example, shuffled, is judged as it was: the same states, the same findings, other marks."""
    text = shuffled(EXAMPLE, seed)

    assert sorted(text.splitlines()) == sorted(EXAMPLE.splitlines())
    assert text != EXAMPLE
    assert said(judged_text(text)) == said(judged_text(EXAMPLE))


@settings(max_examples=max(5, settings().max_examples // 6))  # two whole verdicts each
@given(plans(packs=PACKS), st.randoms(use_true_random=False))
def test_builds_by_lot_in_any_order_have_the_same_verdict(plan: Plan, chance: random.Random) -> None:
    """Law: the same for vehicles made by lot."""
    sections = plan.sections()
    names = list(sections)
    chance.shuffle(names)
    other = {}
    for name in names:
        content = sections[name]
        if isinstance(content, dict):
            entries = list(content.items())
            chance.shuffle(entries)
            content = dict(entries)
        other[name] = content

    assert said(judged_text(written(other))) == said(judged_text(plan.text()))
