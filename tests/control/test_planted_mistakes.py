"""Mistakes of different kinds planted in the example: each breaks a promise of the job by a story of three lines."""

from __future__ import annotations

import pytest

from coachwright.control.prove import prove
from tests.control.test_measures_proved import job

BAR = "hatch-open: {rank: open, when: hatch == open, show: [{on: cap-bar, dark: yes}]}"
PLANTED = {
    "two ranks swapped": (BAR, BAR.replace("rank: open", "rank: ease")),
    "another signal read": (BAR, BAR.replace("hatch == open", "tailgate == open")),
    "or in place of and": ("tray-in-use: hatch == open and parked", "tray-in-use: hatch == open or parked"),
    "dark in place of a colour left out": (BAR, BAR.replace("dark: yes", "amber: single")),
}


@pytest.mark.parametrize("kind", PLANTED)
def test_a_planted_mistake_is_a_story_of_three_lines(kind: str) -> None:
    """Case: from power-up in at most two acts, each something a person does, and the machine shows it."""
    model = job(PLANTED[kind])
    (broken,) = [proof for proof in (prove(model, promise) for promise in model.promises) if proof.state != "proved"]

    assert (broken.promise, broken.state) == ("crew-dark", "broken")
    assert broken.story is not None
    assert len(broken.story.lines) <= 3
    assert any(head.head.startswith("cap-bar") and head.parts for head in broken.story.outputs.heads)


def test_a_brake_behind_a_switch_is_a_story_that_moves_the_switch() -> None:
    """Case: dropped out of the condition that the brake reads nothing of the panel."""
    model = job(("when: brake and not parked, show", "when: brake and not parked and not scene, show"))
    (broken,) = [proof for proof in (prove(model, promise) for promise in model.promises) if proof.state != "proved"]

    assert (broken.promise, broken.state) == ("brake-seen", "broken")
    assert broken.story is not None
    assert "scene on" in broken.story.lines
