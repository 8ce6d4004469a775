"""Every rule ends in exactly one state per subject, by its worst case."""

import itertools
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.finding import Quantity
from coachwright.proof.gather import Answer, gather
from coachwright.proof.judge import STATES, judge, judge_all
from coachwright.proof.rooms import Rooms
from tests.proof.made import job, measure, pack, rule

WORST = {"fail": 0, "not-measured": 1, "near": 2, "pass": 3}


def states(judgements: Any) -> dict[tuple[str, str], str]:
    return {(each.rule.code, each.about): each.state for each in judgements}


def one(the_rule: Any, *measures: Any, trouble: str = "") -> Any:
    (found,) = judge(pack(the_rule), the_rule, [Answer(tuple(measures), trouble)])
    return found


@pytest.mark.parametrize(
    ("value", "near", "expected"),
    [(2.0, "", "pass"), (1.05, "10 %", "near"), (0.5, "10 %", "fail"), (None, "", "not-measured")],
)
def test_states_of_a_checked_figure(value: float | None, near: str, expected: str) -> None:
    """Common practice: near is on the good side of the limit."""
    assert one(rule(near=near), measure(value)).state == expected


@pytest.mark.parametrize(("value", "would"), [(2.0, "pass"), (1.05, "near"), (0.5, "fail")])
def test_draft_is_never_green(value: float, would: str) -> None:
    """Law: a figure nobody has checked passes nothing; what it would have been stands beside it."""
    found = one(rule(status="draft", near="10 %"), measure(value))

    assert (found.state, found.would) == ("draft", would)


def test_draft_that_would_fail_is_a_warning() -> None:
    """Law: a draft stops nothing, however severe the rule."""
    found = one(rule(status="draft", severity="error"), measure(0.5))

    assert found.finding.severity == "warning"
    assert found.finding.template.startswith("(would fail)")


def test_failing_rule_carries_value_limit_and_margin() -> None:
    """Case: 0.5 Hz where 1 Hz is asked for is 0.5 Hz short."""
    found = one(
        rule(severity="error"), measure(0.5, where="head 2", situation="on-scene", blame=("lamps.grille.part",))
    )

    assert found.finding.value == Quantity(0.5, "rate", "Hz")
    assert found.finding.limit == Quantity(1.0, "rate", "Hz")
    assert found.finding.margin == Quantity(-0.5, "rate", "Hz")
    assert found.finding.values["place"] == " (head 2, in on-scene)"
    assert (found.finding.code, found.finding.about, found.finding.severity) == ("OWN-001", "lamps.grille", "error")


def test_subject_is_judged_by_its_worst_case() -> None:
    """Law: one bad bearing decides, and the others stay countable behind it."""
    found = one(rule(near="10 %"), measure(3.0, where="a"), measure(0.9, where="b"), measure(0.8, where="c"))

    assert found.state == "fail"
    assert [case.measure.where for case in found.cases] == ["c", "b", "a"]
    assert found.finding.values["beside"] == " Likewise in 1 more place or situation."


def test_what_was_not_measured_outweighs_a_pass_but_not_a_fail() -> None:
    """Law: silence is not a pass, and hides no failure."""
    assert one(rule(), measure(3.0), measure(None)).state == "not-measured"
    assert one(rule(), measure(0.1), measure(None)).state == "fail"


def test_rule_for_other_colours_does_not_apply() -> None:
    """Case: a rule for blue and a red head."""
    assert one(rule(applies={"colour": "blue"}), measure(0.1, facts={"colour": "red"})).state == "not-applicable"


def test_fact_that_is_not_said_can_not_excuse_a_lamp() -> None:
    """Law: a measure silent about its colour is not measured, not skipped."""
    found = one(rule(applies={"color": "blue"}), measure(0.1, facts={"colour": "blue"}))

    assert found.state == "not-measured"
    assert "does not say its color" in found.why


def test_trouble_ends_as_not_measured() -> None:
    """Law: a window that broke passes nothing."""
    (found,) = judge(pack(rule()), rule(), [Answer(trouble="flash.rate broke")])

    assert found.state == "not-measured"


def test_trouble_in_one_situation_stands_beside_the_rest() -> None:
    """Case: one answer and one broken window are two lines."""
    found = judge(pack(rule()), rule(), [Answer((measure(2.0),)), Answer(trouble="flash.rate broke")])

    assert [each.state for each in found] == ["not-measured", "pass"]


@pytest.mark.parametrize(("voltage", "expected"), [("12.8", "pass"), ("12.82", "pass"), ("13.6", "near"), ("", "near")])
def test_figure_holds_at_its_voltage_only(voltage: str, expected: str) -> None:
    """Law: limits carry the voltage they hold for; a pass at another is not called clear."""
    found = one(rule(test_voltage=12.8), measure(2.0, facts={"test-voltage": voltage}))

    assert found.state == expected
    assert bool(found.why) == (expected == "near")


def test_failure_at_another_voltage_stays_a_failure() -> None:
    """Law: a caveat mends nothing."""
    assert one(rule(test_voltage=12.8), measure(0.2, facts={"test-voltage": "13.6"})).state == "fail"


def test_answers_and_words_make_sentences() -> None:
    """Case: yes-no and word rules say what is wrong without a number."""
    no = one(rule(kind="yes-no", limit={"must-be": "no"}), measure(True, kind="yes-no"))
    word = one(rule(kind="word", limit={"equals": "proved"}), measure("broken", kind="word"))

    assert no.finding.template == "{asks} Here it isn't so{place}.{beside}"
    assert no.margin is None
    assert word.finding.values["value"] == "broken"


values = st.one_of(st.none(), st.floats(0, 10, allow_nan=False))


@given(st.lists(values, min_size=1, max_size=8), st.sampled_from(["read", "house", "draft"]))
def test_state_is_one_of_seven_and_follows_the_worst_case(found_values: list[float | None], status: str) -> None:
    """Law: exactly one state; the subject is never better than any of its cases."""
    the_rule = rule(status=status, near="10 %")
    found = one(the_rule, *(measure(value, where=str(place)) for place, value in enumerate(found_values)))

    assert found.state in STATES
    assert found.state not in ("waived", "not-applicable")
    worst = min(WORST[case.stands] for case in found.cases)
    assert WORST[found.would or found.state] == worst
    assert (found.state == "draft") == (status == "draft" and found.state != "not-measured")


@given(st.permutations([0.2, 0.95, 1.05, 2.0, None]))
def test_order_of_measures_decides_nothing(order: list[float | None]) -> None:
    """Law: the same measures in another order are the same judgement."""
    the_rule = rule(near="10 %")
    found = one(the_rule, *(measure(value, where=str(value)) for value in order))

    assert [case.measure.value for case in found.cases] == [0.2, 0.95, None, 1.05, 2.0]


def test_order_of_packs_and_rules_decides_nothing(room: Callable[..., Rooms]) -> None:
    """Law: every order of rules and packs ends in the same states, in the same order."""
    rooms = room(
        lambda situation: (measure({"answering": 0.5, "on-scene": 1.05, "by-night": 2.0}[situation], about="lamps.a"),)
    )
    rules = (
        rule("OWN-001", near="10 %"),
        rule("OWN-002", status="draft"),
        rule("OWN-003", with_={"situation": "blocking"}),
    )
    other = pack(rule("TWO-001", applies={"night": "yes"}), name="second")
    seen = set()
    for order in itertools.permutations(rules):
        for packs in ((pack(*order), other), (other, pack(*order))):
            answers = gather(job(), packs, rooms).answers
            judged = judge_all(job(), packs, rooms, answers)
            seen.add(tuple((each.rule.code, each.about, each.state, each.would) for each in judged))

    assert seen == {
        (
            ("OWN-001", "lamps.a", "fail", ""),
            ("OWN-002", "lamps.a", "draft", "fail"),
            ("OWN-003", "lamps.a", "pass", ""),
            ("TWO-001", "lamps.a", "pass", ""),
        )
    }  # fmt: skip


@given(st.floats(0, 5, allow_nan=False), st.floats(0, 5, allow_nan=False))
def test_more_light_never_worsens_a_minimum_rule(value: float, more: float) -> None:
    """Law: raising a measure never lowers the state of an at-least rule."""
    the_rule = rule(near="10 %")

    assert WORST[one(the_rule, measure(value + more)).state] >= WORST[one(the_rule, measure(value)).state]


@pytest.mark.parametrize("status", ["contract", "house", "draft"])
def test_what_no_room_measures_is_open_whatever_was_answered(status: str) -> None:
    """Law: a clause closed by a photo is open without a record, and no answer of a room turns it green."""
    changes = {"closed_by": "photo", "photo_of": "the load label", "measure": "", "kind": "yes-no"}
    the_rule = rule(status=status, limit={"must-be": "yes"}, **changes)
    answered = Answer((measure(True, kind="yes-no"),))
    (found,) = judge(pack(the_rule), the_rule, [answered])

    assert (found.state, found.would, found.cases, found.finding) == ("open", "", (), None)
    assert found.why == "needs a photo of the load label"


def test_a_figure_of_the_house_is_counted_as_the_houses_in_a_pack_of_law() -> None:
    """Law: a law that names no figure lends its word to none."""
    given = [Answer((measure(2.0),))]
    (borrowed,) = judge(pack(rule(status="house"), status="law"), rule(status="house"), given)
    (printed,) = judge(pack(rule(status="read"), status="law"), rule(status="read"), given)

    assert (borrowed.status, printed.status) == ("house", "law")
