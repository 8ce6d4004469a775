"""The answer in one sentence."""

from collections import Counter
from dataclasses import replace

import pytest

from coachwright.papers.summary import STATE_MEANS, answer_sentence, checks_sentence
from coachwright.proof.judge import STATES
from coachwright.proof.verdict import Counts
from tests.papers.made import verdict


def counted(passing: int = 0, **states: int) -> Counts:
    named = Counter(
        {"pass": passing} | {name.replace("_", "-"): count for name, count in states.items() if name != "would_fail"}
    )
    return Counts({state: named[state] for state in STATES}, {}, {"fail": states.get("would_fail", 0)}, {})


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (counted(31, near=2, fail=1, draft=44), "31 checks pass, 2 near, 1 fails; 44 are drafts and pass nothing."),
        (counted(1), "1 check passes, 0 near, 0 fail."),
        (
            counted(draft=1, would_fail=1),
            "0 checks pass, 0 near, 0 fail; 1 is a draft and passes nothing (1 would fail).",
        ),
        (counted(not_measured=3), "0 checks pass, 0 near, 0 fail; 3 could not be measured, which is no pass."),
        (counted(), "No rule was judged."),
    ],
)
def test_every_state_that_occurs_is_said(given: Counts, said: str) -> None:
    """Case: as a shop lead would say it."""
    assert checks_sentence(given) == said


def test_targets_are_told_apart() -> None:
    """Case: a target that is missed fails nothing; it is a mark taken from a law for other lamps."""
    given = replace(counted(10, near=1, fail=3), by_status={"target": {"pass": 4, "fail": 2}})

    assert checks_sentence(given) == "6 checks pass, 1 near, 1 fails; targets 4 reached, 2 missed."


def test_what_stops_delivery_is_said_first() -> None:
    """Case: exit codes of the design: 0 clean, 1 findings that stop delivery, 2 the text can't be read."""
    made = verdict()
    clean = replace(made, exit_code=0, counts=replace(made.counts, findings={"error": 0}))
    many = replace(made, counts=replace(made.counts, findings={"error": 3}))

    assert answer_sentence(clean) == "Nothing was found that stops delivery."
    assert answer_sentence(many) == "3 findings stop delivery."
    assert "nothing was judged" in answer_sentence(replace(made, model=None, judgements=(), exit_code=2))


def test_every_state_has_its_meaning() -> None:
    """Law: the legend leaves none out."""
    assert set(STATE_MEANS) == set(STATES)
