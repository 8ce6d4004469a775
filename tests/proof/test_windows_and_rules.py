"""Rules and rooms fit: what a rule asks is answered, and what is answered is asked."""

import pytest

from coachwright.proof.rooms import rooms
from coachwright.rules.load import load_packs, pack_names
from coachwright.rules.schema import Rule

REPORT_ONLY = {"power.lamp-light-share"}
"""Windows that no rule judges: they stand in papers alone."""

PACKS, FINDINGS = load_packs(pack_names(), registry=rooms().windows, missing_rooms=rooms().missing)
RULES = [rule for pack in PACKS for rule in pack.rules]


def test_every_pack_loads_against_the_real_rooms() -> None:
    """Law: measure, arguments and unit kind of every rule exist."""
    assert [finding.values for finding in FINDINGS] == []
    assert {pack.pack for pack in PACKS} == set(pack_names())


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_every_rule_has_a_window_or_waits_for_its_room(rule: Rule) -> None:
    """Law: a rule asks a window there is, a room that isn't built yet, or a record; nothing else is let through."""
    answered = rule.measure in rooms().windows
    waiting = rule.measure.split(".")[0] in rooms().missing

    assert [answered, waiting, bool(rule.needs)].count(True) == 1


def test_every_window_is_judged_or_only_reported() -> None:
    """Law: a number nobody uses is taken out, or said to be for reading only."""
    assert set(rooms().windows) - {rule.measure for rule in RULES} == REPORT_ONLY


def test_every_question_of_a_window_is_a_question() -> None:
    """Law: what is measured is asked in words a lead would use."""
    assert [name for name, entry in rooms().windows.items() if not entry.question.endswith("?")] == []
