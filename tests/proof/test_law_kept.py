"""An answer of law that holds only when something does: proved, or broken by a story, over every state."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.finding import Finding
from coachwright.parts.store import load_catalogue
from coachwright.proof.law import law_findings
from coachwright.rules.load import load_packs

QUILLBACK = Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml"
(HOUSE,), _ = load_packs(["house"], registry={}, missing_rooms={"control", "flash", "light"})


@cache
def job(before: str = "", after: str = "") -> Model:
    text = QUILLBACK.read_text(encoding="utf-8")
    assert not before or text.count(before) == 1
    loaded = read_build(text.replace(before, after) if before else text, file="b.yaml", catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return loaded.model


def about(model: Model, question: str) -> list[Finding]:
    path = f"job.law.{question}"
    return [each for each in law_findings(model, [HOUSE]) if each.about == path or each.code == "VER-015"]


@pytest.mark.parametrize("question", ["headlamp-flash", "arrow"])
def test_the_example_keeps_to_its_answers(question: str) -> None:
    """Case: the high beams never flash by night, the arrow never runs while travelling; both proved."""
    (found,) = about(job(), question)

    assert (found.code, found.severity, found.fix) == ("VER-012", "note", None)
    assert "Proved" in found.template


def test_a_stop_left_out_breaks_the_answer_with_a_story() -> None:
    """Case: without its stop the arrow runs on while travelling, and the story drives off with it."""
    (found,) = about(
        job("  arrow-travelling:   {when: travelling,", "  arrow-travelling:   {when: gear == R,"), "arrow"
    )

    assert (found.code, found.severity) == ("VER-015", "error")
    assert found.about.startswith("functions.arrow-run")
    assert "arrow" in " ".join(found.story)
    assert "speed" in " ".join(found.story)


def test_what_the_road_shows_is_not_asked_for() -> None:
    """Case: red to the rear by warning, cruise or the light of the tray: the brake isn't asked about."""
    model = job(
        "    red-rear: {answer: permitted, paper: letter of the state police on file}",
        "    red-rear: {answer: only when warning or cruise or tray-in-use, paper: letter of the state police on file}",
    )
    (found,) = about(model, "red-rear")

    assert (found.code, found.severity) == ("VER-012", "note")


def test_a_condition_of_no_name_in_the_build_is_told_unproved() -> None:
    """Case: "only when the chief says so" is for people."""
    model = job("answer: only when not travelling,", "answer: only when the chief says so,")
    (found,) = about(model, "arrow")

    assert (found.code, found.severity) == ("VER-012", "note")
    assert "nothing proves it" in found.template
