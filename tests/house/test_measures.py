"""What is measured is judged, and what is judged can be measured."""

import pytest

from coachwright.kit.measure import WindowEntry
from coachwright.proof.rooms import rooms
from coachwright.rules.load import load_packs, pack_names
from coachwright.rules.schema import Pack, Rule

REPORT_ONLY: dict[str, str] = {
    "power.lamp-light-share": "no standard limits what a lamp gives at the voltage it gets; the papers tell it",
}
"""Measures no rule uses -> why they are worked out all the same."""


def packs() -> tuple[Pack, ...]:
    """Every pack that comes with coachwright."""
    opened = rooms()
    found, findings = load_packs(pack_names(), registry=opened.windows, missing_rooms=opened.missing)
    assert findings == ()
    return found


RULES = [rule for pack in packs() for rule in pack.rules]
WINDOWS = sorted(rooms().windows.values(), key=lambda entry: entry.name)


def test_every_room_that_is_built_opens() -> None:
    """Law: a room that fails to open would turn its rules into "not measured" without anybody noticing."""
    assert rooms().findings == ()
    assert {"control", "flash", "light"}.isdisjoint(rooms().missing)


@pytest.mark.parametrize("entry", WINDOWS, ids=lambda entry: entry.name)
def test_every_measure_is_used_or_says_why_not(entry: WindowEntry) -> None:
    """Law: a number nobody judges is told why it is there."""
    used = any(rule.measure == entry.name for rule in RULES)

    assert used or len(REPORT_ONLY.get(entry.name, "")) > 20


def test_no_excuse_without_a_measure() -> None:
    """Law: the list of excuses names measures that exist and that no rule uses."""
    used = {rule.measure for rule in RULES}

    assert [name for name in REPORT_ONLY if name in used or name not in rooms().windows] == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_every_rule_asks_a_measure_of_its_kind(rule: Rule) -> None:
    """Law: the measure exists and is of the rule's unit kind, its room isn't built yet, or a record closes it."""
    entry = rooms().windows.get(rule.measure)

    if rule.needs:
        assert rule.measure == ""
    elif entry is None:
        assert rule.measure.split(".")[0] in rooms().missing
    else:
        assert entry.kind == rule.kind


@pytest.mark.parametrize("entry", WINDOWS, ids=lambda entry: entry.name)
def test_every_measure_says_which_question_it_answers(entry: WindowEntry) -> None:
    """Law: the first line of a window's docstring is a question a lead would ask."""
    assert entry.question.endswith("?")
    assert entry.name.split(".")[0] in (entry.answer.__module__ or "")
