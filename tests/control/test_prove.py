"""What is proved no story breaks; what is broken has a story that the machine itself acts out."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model, Promise
from coachwright.control.machine import State, instants, power_up
from coachwright.control.prove import prove
from coachwright.control.run import Watched
from coachwright.control.sources import start_values
from tests.control import by_hand
from tests.control.machines import FOCUS, Change, models, stories
from tests.control.promises_at_random import promises
from tests.control.test_machine_against_reference import standing


def breaks(model: Model, promise: Promise, story: list[Change]) -> bool:
    """Is the promise broken in any moment of this story, from power-up with everything at rest?"""
    watched = Watched(model, promise)
    machine = watched.machine
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state: State
    state, _ = power_up(machine, inputs)
    armed = False
    for change in [Change(0, {}, frozenset(), False), *story]:
        new = standing(model, change) if change.sources else inputs
        for instant in instants(machine, state, new, change.elapsed_ms):
            state = instant.state
            broken, armed = watched.sees(instant, armed)
            if broken:
                return True
    return False


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=25)
@given(data=st.data())
def test_what_is_proved_no_story_breaks(focus: str, data: st.DataObject) -> None:
    """Law: of random builds, promises and stories, nothing that anybody does breaks what was proved."""
    model = data.draw(models(focus=focus))
    promise = data.draw(promises(model))
    proof = prove(model, promise)
    if proof.state == "proved":
        for _ in range(4):
            assert not breaks(model, promise, data.draw(stories(model, still=True)))


def test_a_story_begins_with_what_makes_it_shorter() -> None:
    """Case: power-up with the slide at full, a wait, the slide back: from rest the slide would have to move twice."""
    model = by_hand.build(
        inputs=[by_hand.slide("slide", "off", "full")],
        heads=["bar"],
        memories=[by_hand.memory("m", "z", "y", moves=[{"on": "slide == off", "to": "y"}])],
        functions=[
            by_hand.function(
                "f", when="(slide == full and always held 1 s) plus 2 s", show=by_hand.show("bar", red="single")
            )
        ],
        stops=[by_hand.stop("s", "m == z", "f", resume="ask")],
        promises=[by_hand.promise("p", never="f active and first 3 s of (slide == off)")],
    )
    proof = prove(model, model.promises[0])

    assert proof.story is not None
    assert proof.story.lines == ("power-up with slide full", "wait 1 s", "slide off")
