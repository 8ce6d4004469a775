"""State and local law is asked for, never assumed."""

from types import SimpleNamespace
from typing import Any

import pytest

from coachwright.build.model import LawAnswer
from coachwright.kit.finding import Finding
from coachwright.proof.law import Doing, concerns, law_findings
from coachwright.rules.load import load_packs
from coachwright.rules.schema import Question

(HOUSE,), _ = load_packs(["house"], registry={}, missing_rooms={"control", "flash", "light"})
QUESTIONS = {question.name: question for question in HOUSE.questions}


def doing(**changes: Any) -> Doing:
    given = {
        "function": "warning",
        "rank": "warn",
        "colour": "red",
        "toward": ("front",),
        "manner": "flashing",
        "pattern": "single",
        "lamp": "grille",
        "own": True,
        "path": "functions.warning.show.1",
    }
    return Doing(**(given | changes))


def found(monkeypatch: pytest.MonkeyPatch, *doings: Doing, **answers: Any) -> tuple[Finding, ...]:
    law = tuple(
        LawAnswer(name.replace("_", "-"), answer, paper, f"job.law.{name}") for name, (answer, paper) in answers.items()
    )
    monkeypatch.setattr("coachwright.proof.law.doings_of", lambda model: doings)
    model: Any = SimpleNamespace(job=SimpleNamespace(law=law))
    return law_findings(model, [HOUSE])


@pytest.mark.parametrize(
    ("done", "questions"),
    [
        (doing(), {"red-forward"}),
        (doing(toward=("rear",)), {"red-rear"}),
        (doing(toward=("rear", "left")), {"red-rear"}),
        (doing(colour="blue", toward=("left",)), {"blue-any-side"}),
        (doing(colour="amber", toward=("rear",)), {"amber-rear"}),
        (doing(colour="amber", toward=("rear",), manner="steady"), set()),
        (doing(colour="amber", toward=("rear",), pattern="run-left"), {"amber-rear", "arrow"}),
        (doing(colour="white", toward=("rear",)), {"white-flash-rear"}),
        (doing(colour="white", toward=("rear",), manner="steady"), set()),
        (doing(colour="white", own=False, lamp="high-beam"), {"headlamp-flash"}),
        (doing(colour="white", own=False, lamp="high-beam", manner="steady"), set()),
        (doing(rank="road", toward=("rear",)), set()),
    ],
)
def test_questions_are_put_where_they_concern_something(done: Doing, questions: set[str]) -> None:
    """Case: what a build can do, and which questions of the house pack it raises; brake and turn raise none."""
    assert {name for name, question in QUESTIONS.items() if concerns(question, done)} == questions


def test_unanswered_question_stops_delivery(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: nothing is assumed about colours."""
    (finding,) = found(monkeypatch, doing())

    assert (finding.code, finding.severity, finding.about) == ("VER-010", "error", "job.law.red-forward")
    assert finding.values["function"] == "warning"


def test_answer_with_paper_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: permitted, letter on file."""
    assert not found(monkeypatch, doing(), red_forward=("permitted", "letter on file"))


def test_answer_without_paper_is_a_warning(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: an answer rests on a paper."""
    (finding,) = found(monkeypatch, doing(), red_forward=("permitted", ""))

    assert (finding.code, finding.severity) == ("VER-013", "warning")


def test_forbidden_colour_stops_delivery(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: the job says no, a function does so."""
    (finding,) = found(monkeypatch, doing(), red_forward=("forbidden", "statute"))

    assert (finding.code, finding.severity, finding.about) == ("VER-011", "error", "functions.warning.show.1")


def test_forbidden_colour_nobody_shows_is_fine(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: an answer given ahead."""
    assert not found(monkeypatch, red_forward=("forbidden", ""))


def test_condition_is_left_to_a_promise(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: only when not night."""
    flash = doing(own=False, lamp="high-beam", colour="white")
    (finding,) = found(monkeypatch, flash, headlamp_flash=("only when not night", "statute"))

    assert (finding.code, finding.severity) == ("VER-012", "note")


def test_wider_answer_settles_the_narrow_question(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: amber to any side covers amber to the rear."""
    assert not found(monkeypatch, doing(colour="amber", toward=("rear",)), amber_any_side=("permitted", "statute"))


def test_answer_nobody_asked_for_names_the_nearest(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: a mistyped question is unanswered still."""
    findings = found(monkeypatch, doing(), red_foward=("permitted", "letter"))

    assert [finding.code for finding in findings] == ["VER-010", "VER-014"]
    assert findings[1].fix is not None
    assert findings[1].fix.sentence == "Closest: red-forward."


def test_question_without_any_mark_concerns_every_own_lamp() -> None:
    """Law: a question that names nothing is put to everybody."""
    question = Question(name="any", asks="May it?", why="So.")

    assert concerns(question, doing())
    assert not concerns(question, doing(own=False))


FILM = Question(name="window-film", asks="May film be laid?", why="So.", films=True)


def film() -> Doing:
    """A film on the sides of the cap."""
    nothing = {"rank": "", "colour": "", "toward": (), "manner": "", "pattern": "", "lamp": "", "own": False}
    return doing(**nothing, function="The film on cap-side", path="glass.cap-side", film="glass-film-35")


def test_a_film_raises_the_question_of_films_and_no_other() -> None:
    """Law: and no lamp raises it."""
    assert concerns(FILM, film())
    assert not concerns(FILM, doing())
    assert not any(concerns(question, film()) for question in QUESTIONS.values())


def test_a_film_nobody_answered_for_stops_delivery(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: unanswered; forbidden, with what to do; permitted by a paper."""
    monkeypatch.setitem(HOUSE.__dict__, "questions", (*HOUSE.questions, FILM))
    (asked,) = found(monkeypatch, film())
    (forbidden,) = found(monkeypatch, film(), window_film=("forbidden", "statute"))

    assert (asked.code, asked.about, asked.values["function"]) == (
        "VER-010",
        "job.law.window-film",
        "The film on cap-side",
    )
    assert (forbidden.code, forbidden.about) == ("VER-011", "glass.cap-side")
    assert forbidden.fix is not None
    assert forbidden.fix.sentence.startswith("Take the film away")
    assert not found(monkeypatch, film(), window_film=("permitted", "statute"))
