"""Asks the rooms what the rules want to know, each question once.

Rules of several packs that name one measure with the same arguments share its answer. A window that breaks is a fault
of the program: it becomes a finding with the error in it, and what depended on it is not measured.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from coachwright.build.model import Model, Situation
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.measure import Measure, WindowEntry
from coachwright.proof.facts import situation_facts
from coachwright.proof.rooms import Rooms
from coachwright.rules.bind import arguments_of
from coachwright.rules.schema import EVERY, Pack, Rule

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many are done and how many there are."""

FOLLOWS = "it follows behind: check --sure works it out"
"""Why a window that takes long has not been asked."""


@dataclass(frozen=True, slots=True, order=True)
class Question:
    """One call of one window. situation : empty where the answer is the same in every one."""

    measure: str
    arguments: tuple[tuple[str, float | str], ...]
    situation: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back. trouble : why there is no answer, in words."""

    measures: tuple[Measure, ...] = ()
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Gathered:
    """Every answer, and what went wrong on the way."""

    answers: Mapping[Question, Answer]
    findings: tuple[Finding, ...]


def gather(
    model: Model, packs: Iterable[Pack], rooms: Rooms, *, progress: Progress | None = None, behind: bool = False
) -> Gathered:
    """Ask every window that a rule of `packs` needs, once per set of arguments and situation.

    behind : ask those as well that take long; without it they answer that they follow behind.
    """
    wanted: set[Question] = set()
    findings: list[Finding] = []
    for pack in packs:
        for rule in pack.rules:
            wanted.update(questions(rule, model, rooms))
        findings.extend(_situations_not_given(pack, model))
    ordered = sorted(wanted, key=_question_key)
    answers: dict[Question, Answer] = {}
    known = {situation.name: _facts(model, situation.name) for situation in model.situations}
    for number, question in enumerate(ordered):
        if progress is not None:
            progress(question.measure, number, len(ordered))
        if rooms.windows[question.measure].follows and not behind:
            answers[question] = Answer(trouble=FOLLOWS)
            continue
        facts = known.get(question.situation, ({}, ""))
        answers[question], broken = _ask(model, question, rooms.windows[question.measure], facts)
        findings.extend(broken)
    return Gathered(answers, tuple(findings))


def questions(rule: Rule, model: Model, rooms: Rooms) -> tuple[Question, ...]:
    """The calls a rule needs in this job; none when its window is missing or no situation is meant."""
    entry = rooms.windows.get(rule.measure)
    if entry is None:
        return ()
    arguments = tuple(sorted(arguments_of(rule, entry).items()))
    if not entry.per_situation:
        return (Question(rule.measure, arguments, ""),)
    return tuple(Question(rule.measure, arguments, found.name) for found in meant(rule, model.situations))


def meant(rule: Rule, situations: Iterable[Situation]) -> tuple[Situation, ...]:
    """The situations a rule holds in, by name or by the word they stand for."""
    asked = rule.situations
    return tuple(found for found in situations if EVERY in asked or found.name in asked or found.stands_for in asked)


def _question_key(question: Question) -> tuple[str, str, str]:
    return (question.measure, repr(question.arguments), question.situation)


def _facts(model: Model, situation: str) -> tuple[Mapping[str, str], str]:
    """What is known of a situation, or why nothing is."""
    try:
        return situation_facts(model, situation), ""
    except Exception as error:  # told by whatever is asked in this situation
        return {}, f"{type(error).__name__}: {error}"


def _ask(
    model: Model, question: Question, entry: WindowEntry, facts: tuple[Mapping[str, str], str]
) -> tuple[Answer, list[Finding]]:
    """The answer, with the situation's facts laid under the measures' own."""
    known, trouble = facts
    if trouble:
        return Answer(trouble=f"{question.situation} can't be set: {trouble}"), [_broke(question, trouble)]
    given: dict[str, object] = dict(question.arguments)
    if entry.per_situation:
        given["situation"] = question.situation
    try:
        measures = tuple(entry.answer(model, **given))
    except Exception as error:  # a broken window is told with its text; nothing that depended on it passes
        return Answer(trouble=f"{question.measure} broke: {type(error).__name__}: {error}"), [
            _broke(question, f"{type(error).__name__}: {error}")
        ]
    odd = next((said for said in (_odd(measure, entry) for measure in measures) if said), "")
    if odd:
        return Answer(trouble=f"{question.measure} answered oddly: {odd}"), [_answered_oddly(question, odd)]
    return Answer(tuple(_with_facts(measure, known, question.situation) for measure in measures)), []


def _with_facts(measure: Measure, known: Mapping[str, str], situation: str) -> Measure:
    return Measure(  # not dataclasses.replace: it takes twice as long, thousands of times after an edit
        measure.name,
        measure.value,
        measure.kind,
        measure.about,
        measure.blame,
        measure.where,
        measure.situation or situation,
        {**known, **measure.facts},
        measure.table,
        measure.why_not,
    )


def _odd(measure: object, entry: WindowEntry) -> str:
    """Why a room's answer can't be judged; empty when it can."""
    if not isinstance(measure, Measure):
        return f"a {type(measure).__name__} instead of a measure"
    if measure.kind != entry.kind:
        return f"kind {measure.kind} instead of {entry.kind}"
    value = measure.value
    if value is None:
        return "" if measure.why_not else "no value and no reason for it"
    if entry.kind == "yes-no":
        return "" if isinstance(value, bool) else f"{value!r} is not yes or no"
    if entry.kind == "word":
        return "" if isinstance(value, str) else f"{value!r} is no word"
    if isinstance(value, bool | str) or not math.isfinite(value):
        return f"{value!r} is no number to judge"
    return ""


def _said(question: Question) -> dict[str, str]:
    given = ", ".join(f"{name} {value}" for name, value in question.arguments)
    place = f" in {question.situation}" if question.situation else ""
    return {"measure": question.measure, "given": f" ({given})" if given else "", "place": place}


def _broke(question: Question, error: str) -> Finding:
    return Finding(
        "VER-002",
        "window-broke",
        "error",
        "{measure}{given} could not be measured{place}: {error}. This is a fault of the program, not of the build.",
        {**_said(question), "error": error},
        about=f"situations.{question.situation}" if question.situation else "",
    )


def _answered_oddly(question: Question, odd: str) -> Finding:
    return Finding(
        "VER-006",
        "window-answered-oddly",
        "error",
        "{measure}{given} gave no answer to judge{place}: {odd}. This is a fault of the program, not of the build.",
        {**_said(question), "odd": odd},
        about=f"situations.{question.situation}" if question.situation else "",
    )


def _situations_not_given(pack: Pack, model: Model) -> list[Finding]:
    """A pack that judges a vehicle while calling needs a situation that stands for it."""
    measured = [rule for rule in pack.rules if rule.closed_by == "measure"]
    lacking = sorted({" or ".join(rule.situations) for rule in measured if not meant(rule, model.situations)} - {EVERY})
    found = [_not_given(pack, words) for words in lacking]
    if not model.situations and any(EVERY in rule.situations for rule in measured):
        found.append(_not_given(pack, ""))
    return found


def _not_given(pack: Pack, words: str) -> Finding:
    example = words.split(" or ", maxsplit=1)[0] if words else "blocking"
    return Finding(
        "VER-005",
        "situation-not-given",
        "warning",
        "{title} is judged in a situation{words}, and the job has none: those rules are not measured.",
        {"title": pack.title, "words": f" that stands for {words}" if words else ""},
        about="situations",
        fix=Fix(f"Write a situation with `stands-for: {example}`."),
    )
