"""Has the job said what state and local law allows it to show?

Packs bring the questions, the job's `law:` the answers, each with the paper it rests on. Nothing is assumed: what the
build can do and nobody has answered for is a finding, and so is what an answer forbids. An answer that permits
something only when a condition holds is proved over every state, where it says the condition in the build's own words.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.build.model import ColourShow, Function, Head, LawAnswer, Model, Show
from coachwright.control.claims_law import ShownThere, asked_when, kept_to
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.near import nearest
from coachwright.place.zones import Zone, zones_of
from coachwright.rules.schema import Pack, Question

TOWARD: dict[Zone, str] = {"A": "front", "B": "right", "C": "rear", "D": "left"}
"""Zones in the words of packs."""


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing a function of the build can show: a colour, toward a quarter (a corner: two), in a manner.

    film : a film the build lays on a pane; it shows nothing, and `function` says which pane.
    """

    function: str
    rank: str
    colour: str
    toward: tuple[str, ...]
    manner: str
    pattern: str
    lamp: str
    own: bool
    path: str
    head: str = ""
    pattern_text: str = ""
    film: str = ""


def law_findings(model: Model, packs: Iterable[Pack]) -> tuple[Finding, ...]:
    """Questions without an answer, answers that forbid what the build does, answers that rest on nothing."""
    asked = {question.name: question for pack in packs for question in pack.questions}
    answers = {answer.question: answer for answer in model.job.law}
    doings = doings_of(model)
    found: list[Finding] = []
    for name, question in sorted(asked.items()):
        done = [doing for doing in doings if concerns(question, doing)]
        answer = next((answers[each] for each in (name, *question.also_by) if each in answers), None)
        if done and answer is None:
            found.append(_unanswered(question, done[0]))
        elif answer is not None:
            found.extend(_on_answer(model, question, answer, done))
    known = {*asked, *(each for question in asked.values() for each in question.also_by)}
    found += [_unknown(answer, known) for answer in model.job.law if answer.question not in known]
    return tuple(found)


def concerns(question: Question, doing: Doing) -> bool:
    """Whether a question is about something the build does. Brake, turn, hazard and reverse are not asked for."""
    if question.films or doing.film:
        return question.films and bool(doing.film)
    if doing.rank == "road":
        return False
    if question.lamps:
        return not doing.own and doing.lamp in question.lamps and doing.manner == "flashing"
    if question.patterns:
        return doing.pattern in question.patterns
    fits_colour = not question.colour or doing.colour == question.colour
    fits_toward = not question.toward or any(side in question.toward for side in doing.toward)
    return doing.own and fits_colour and fits_toward and (not question.manner or doing.manner in question.manner)


def doings_of(model: Model) -> tuple[Doing, ...]:
    """Everything any function can show on any head, in the order of the model; then films on panes."""
    heads = {head.id: head for head in model.heads}
    toward = {head.id: tuple(TOWARD[zone] for zone in zones_of(head, model)) for head in model.heads}
    shown = (
        _doing(function, show, colour, heads[head], toward[head])
        for function in model.functions
        for show in (*function.shows, *(show for level in function.levels for show in level.shows))
        for colour in show.colours
        for head in show.heads
    )
    films = (
        Doing(f"The film on {pane.name}", "", "", (), "", "", "", False, pane.path, film=pane.film)
        for pane in model.glass
        if pane.film
    )
    return (*shown, *films)


def _doing(function: Function, show: Show, colour: ColourShow, head: Head, toward: tuple[str, ...]) -> Doing:
    return Doing(
        function=function.name,
        rank=function.rank,
        colour=colour.colour,
        toward=toward,
        manner="steady" if colour.manner == "steady" else "flashing",
        pattern=colour.pattern.word if colour.pattern is not None else "",
        lamp=head.lamp,
        own=head.reach == "own",
        path=show.path,
        head=head.id,
        pattern_text=colour.pattern.text if colour.pattern is not None else "",
    )


def _unanswered(question: Question, done: Doing) -> Finding:
    return Finding(
        "VER-010",
        "law-question-unanswered",
        "error",
        "{asks} {function} does so, and the job does not answer. {why}",
        {"asks": question.asks, "function": done.function, "why": question.why},
        about=f"job.law.{question.name}",
        fix=Fix(
            f"Write {question.name}: {{answer: permitted, paper: NAME}} under job.law, or forbidden, or only when."
        ),
    )


def _on_answer(model: Model, question: Question, answer: LawAnswer, done: list[Doing]) -> list[Finding]:
    if not done:
        return []
    found = []
    values = {"asks": question.asks, "answer": answer.answer, "function": ", ".join(sorted({d.function for d in done}))}
    if answer.answer == "forbidden":
        said = "{asks} The job answers forbidden, and {function} does so."
        away = "Take the film away" if done[0].film else "Take the colour out of that show"
        fix = Fix(f"{away}, or correct the answer with its paper.")
        found.append(Finding("VER-011", "law-answer-forbids", "error", said, values, about=done[0].path, fix=fix))
    elif answer.answer.startswith("only when"):
        found.append(_on_condition(model, question, answer, done))
    if not answer.paper:
        said = "{asks} The job answers {answer} and names no paper for it."
        fix = Fix("Write paper: and the letter, permit or statute it rests on.")
        found.append(
            Finding("VER-013", "law-answer-without-paper", "warning", said, values, about=answer.path, fix=fix)
        )
    return found


def _on_condition(model: Model, question: Question, answer: LawAnswer, done: list[Doing]) -> Finding:
    """What is proved of an answer that holds only when something does."""
    values = {"asks": question.asks, "answer": answer.answer, "function": ", ".join(sorted({d.function for d in done}))}
    shown = [_shown(question, doing) for doing in done if doing.head]
    allowed = asked_when(model, answer.answer) if shown else None
    if allowed is None:
        said = "{asks} The job answers: {answer}. That isn't said in words of the build, so nothing proves it."
        fix = Fix("Say the condition by names of the build, or write a promise that says it.")
        return Finding("VER-012", "law-answer-conditional", "note", said, values, about=answer.path, fix=fix)
    proof = kept_to(model, answer.question, allowed=allowed, shown=shown)
    if proof.state == "proved":
        said = "{asks} The job answers: {answer}. Proved: in no state does {function} so otherwise."
        return Finding("VER-012", "law-answer-conditional", "note", said, values, about=answer.path)
    if proof.story is None:
        said = "{asks} The job answers: {answer}. Neither a proof nor a story was found that {function} keeps to it."
        fix = Fix("Let the function read the condition itself.")
        return Finding("VER-012", "law-answer-conditional", "warning", said, values, about=answer.path, fix=fix)
    values["story"] = "; ".join(proof.story.lines)
    said = "{asks} The job answers: {answer}. {function} does so otherwise: {story}."
    fix = Fix("Let the function act only while the condition holds, or correct the answer with its paper.")
    return Finding(
        "VER-015", "law-condition-not-kept", "error", said, values, about=done[0].path, fix=fix, story=proof.story.lines
    )


def _shown(question: Question, doing: Doing) -> ShownThere:
    """What the question asks about, of one thing a function shows."""
    if question.patterns:
        return ShownThere(doing.function, doing.head, doing.colour, "pattern", doing.pattern_text)
    flashing = question.lamps or question.manner == ("flashing",)
    return ShownThere(doing.function, doing.head, doing.colour, "flashing" if flashing else "lit")


def _unknown(answer: LawAnswer, known: set[str]) -> Finding:
    close = nearest(answer.question, known)
    return Finding(
        "VER-014",
        "law-question-unknown",
        "warning",
        "No pack of this job asks {question}, so nothing reads this answer.",
        {"question": answer.question},
        about=answer.path,
        fix=Fix(f"Closest: {close[0]}." if close else f"The packs ask {', '.join(sorted(known)) or 'nothing'}."),
    )
