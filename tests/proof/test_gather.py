"""Each question is put once, and a room that breaks is told."""

from collections.abc import Callable
from typing import Any

import pytest

from coachwright.kit.measure import Measure
from coachwright.proof.gather import gather, questions
from coachwright.proof.judge import judge_all
from coachwright.proof.rooms import Rooms, rooms
from tests.proof.made import job, measure, pack, rule

Asked = list[tuple[str, dict[str, Any]]]


def test_each_question_is_asked_once(room: Callable[..., Rooms], asked: Asked) -> None:
    """Law: three rules of two packs with one measure cost one call per situation."""
    opened = room((measure(2.0),))
    gather(job(), (pack(rule("OWN-001"), rule("OWN-002")), pack(rule("TWO-001"), name="two")), opened)

    assert [given["situation"] for _, given in asked] == ["answering", "by-night", "on-scene"]


def test_arguments_are_si_and_part_questions(room: Callable[..., Rooms], asked: Asked) -> None:
    """Case: 10 min is 600 s, and other arguments are another question."""
    opened = room((measure(2.0),), after="time")
    rules = (rule("OWN-001", with_={"after": "10 min"}), rule("OWN-002", with_={"after": "1 min"}))
    gather(job("on-scene"), (pack(*rules),), opened)

    assert sorted(given["after"] for _, given in asked) == [60.0, 600.0]


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("every", ["answering", "on-scene", "by-night"]),
        ("blocking", ["on-scene", "by-night"]),
        ("by-night", ["by-night"]),
        (("calling", "by-night"), ["answering", "by-night"]),
    ],
)
def test_situations_are_meant_by_name_or_by_what_they_stand_for(
    room: Callable[..., Rooms], word: Any, expected: list[str]
) -> None:
    """Case: the word of a pack and the name of a situation."""
    asked_for = questions(rule(with_={"situation": word}), job(), room(()))

    assert [question.situation for question in asked_for] == expected


def test_situation_a_pack_needs_and_the_job_lacks_is_told(room: Callable[..., Rooms]) -> None:
    """Law: silence is not a pass."""
    packs = (pack(rule(with_={"situation": ("calling", "moving")})),)
    gathered = gather(job("on-scene"), packs, room((measure(2.0),)))
    (judgement,) = judge_all(job("on-scene"), packs, room((measure(2.0),)), gathered.answers)

    assert [finding.code for finding in gathered.findings] == ["VER-005"]
    assert gathered.findings[0].values["words"] == " that stands for calling or moving"
    assert judgement.state == "not-measured"


def test_job_without_situations_is_told(room: Callable[..., Rooms]) -> None:
    """Case: nothing to judge in."""
    model = job("on-scene")
    model.situations = ()
    gathered = gather(model, (pack(rule()),), room((measure(2.0),)))

    assert [finding.code for finding in gathered.findings] == ["VER-005"]


def test_window_of_no_situation_is_asked_without_one(room: Callable[..., Rooms], asked: Asked) -> None:
    """Case: what is the same in every situation."""
    opened = room((measure(2.0),), per_situation=False)
    gathered = gather(job(), (pack(rule()),), opened)

    assert asked == [("flash.rate", {})]
    assert not gathered.findings


def test_window_that_breaks_is_told_with_its_text(room: Callable[..., Rooms]) -> None:
    """Law: no error is swallowed; one finding per question, and the rule is not measured."""
    opened = room(KeyError("grille"))
    packs = (pack(rule()),)
    gathered = gather(job("on-scene"), packs, opened)
    (judgement,) = judge_all(job("on-scene"), packs, opened, gathered.answers)

    (finding,) = gathered.findings
    assert (finding.code, finding.severity, finding.values["error"]) == ("VER-002", "error", "KeyError: 'grille'")
    assert judgement.state == "not-measured"


@pytest.mark.parametrize(
    "answer",
    [
        ("not a measure",),
        (Measure("flash.rate", 2.0, "share", "lamps.a"),),
        (Measure("flash.rate", float("nan"), "rate", "lamps.a"),),
        (Measure("flash.rate", True, "rate", "lamps.a"),),
        (Measure("flash.rate", None, "rate", "lamps.a"),),
        (Measure("flash.rate", "fast", "rate", "lamps.a"),),
    ],
)
def test_odd_answer_is_told_and_not_judged(room: Callable[..., Rooms], answer: Any) -> None:
    """Law: what isn't the measure it claims to be passes nothing."""
    opened = room(answer)
    packs = (pack(rule()),)
    gathered = gather(job("on-scene"), packs, opened)

    assert [finding.code for finding in gathered.findings] == ["VER-006"]
    assert [each.state for each in judge_all(job("on-scene"), packs, opened, gathered.answers)] == ["not-measured"]


def test_situation_that_can_not_be_set_is_told(room: Callable[..., Rooms], monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: the machine breaks before any window is asked."""

    def broken(model: Any, situation: str) -> dict[str, str]:
        raise RuntimeError("no such lever")

    monkeypatch.setattr("coachwright.proof.gather.situation_facts", broken)
    gathered = gather(job("on-scene"), (pack(rule()),), room((measure(2.0),)))

    assert [finding.code for finding in gathered.findings] == ["VER-002"]


def test_rule_of_a_missing_room_is_not_measured(room: Callable[..., Rooms]) -> None:
    """Law: a room that isn't built answers nothing, and nothing passes for it."""
    packs = (pack(rule(measure="power.drop", kind="voltage", limit={"at-most": "1 V"})),)
    opened = room(())
    (judgement,) = judge_all(job(), packs, opened, gather(job(), packs, opened).answers)

    assert (judgement.state, judgement.why) == ("not-measured", "nothing measures power.drop yet")


def test_facts_of_the_situation_lie_under_the_measure_s_own(room: Callable[..., Rooms]) -> None:
    """Case: a rule for the night asks the situation."""
    packs = (pack(rule(applies={"night": "yes"})),)
    opened = room((measure(0.5),))
    (judgement,) = judge_all(job(), packs, opened, gather(job(), packs, opened).answers)

    assert (judgement.state, judgement.measure and judgement.measure.situation) == ("fail", "by-night")


def test_progress_is_told(room: Callable[..., Rooms]) -> None:
    """Case: what is being done, how far, of how many."""
    told: list[tuple[str, int, int]] = []
    gather(job(), (pack(rule()),), room((measure(2.0),)), progress=lambda *given: told.append(given))

    assert told == [("flash.rate", 0, 3), ("flash.rate", 1, 3), ("flash.rate", 2, 3)]


def test_rooms_open_without_a_fault() -> None:
    """Law: the doors of our own rooms open; what isn't built is named as missing."""
    opened = rooms()

    assert not opened.findings
    assert all(name.split(".")[0] not in opened.missing for name in opened.windows)
