"""Every case beside a pack ends as it says."""

from typing import Any

import pytest

from coachwright.kit.units import parse
from coachwright.proof.gather import Answer
from coachwright.proof.judge import judge
from coachwright.proof.rooms import ROOMS
from coachwright.rules.cases import Case, read_cases
from coachwright.rules.load import load_packs, pack_names
from tests.proof.made import measure

NAMES = pack_names()
PACKS, _ = load_packs(NAMES, registry={}, missing_rooms=ROOMS)
RULES = {rule.code: (pack, rule) for pack in PACKS for rule in pack.rules}


def value_of(case: Case, kind: str) -> Any:
    if case.value == "none":
        return None
    if kind == "yes-no":
        return case.value == "yes"
    return case.value if kind == "word" else parse(case.value, kind)


@pytest.mark.parametrize("name", NAMES)
def test_every_case_ends_as_it_says(name: str) -> None:
    """Case: a synthetic measure with its facts, and the state its rule has to end in."""
    for case in read_cases(name):
        pack, rule = RULES[case.rule]
        if case.value in ("", "nobody"):
            (found,) = judge(pack, rule, [], reason=f"nothing measures {rule.measure} yet" if case.value else "")
            assert (found.state, found.would) == (case.expect, ""), f"{case.rule} {case.name}"
            continue
        answered = measure(value_of(case, rule.kind), kind=rule.kind, name=rule.measure, facts=dict(case.facts))
        (found,) = judge(pack, rule, [Answer((answered,))])

        draft = rule.is_draft and case.expect in ("pass", "near", "fail")
        expected = ("draft", case.expect) if draft else (case.expect, "")
        assert (found.state, found.would) == expected, f"{case.rule} {case.name}"


def test_no_pack_is_left_out() -> None:
    """Law: every pack that ships is read, and has its cases."""
    assert {pack.pack for pack in PACKS} == set(NAMES)
    assert all(read_cases(name) for name in NAMES)


def test_there_are_enough_rules_for_a_job() -> None:
    """Law: a typical job is judged by thirty rules and more, ten and more of them not draft."""
    rules = [rule for pack in PACKS if pack.pack in ("house", "public-law-targets") for rule in pack.rules]

    assert len(rules) >= 30
    assert sum(not rule.is_draft for rule in rules) >= 10
