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
