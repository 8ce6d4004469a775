"""The machine and a slow reference, written apart, do the same in random builds and random stories."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.machine import (
    Machine,
    State,
    build_machine,
    memory_of,
    outputs_of,
    power_up,
    step,
    values_read,
)
from coachwright.control.signals import Inputs
from coachwright.control.sources import stand, start_values
from coachwright.control.statement import Outputs
from tests.control.machines import FOCUS, Change, at_rest, models, stories
from tests.control.reference import Reference


def agree(model: Model, machine: Machine, state: State, outputs: Outputs, slow: Reference) -> None:
    """Assert that both read, keep and put out the same."""
    assert values_read(machine, state) == {item.name: slow.value(item.name) for item in model.inputs}
    assert memory_of(machine, state) == slow.memory
    assert set(outputs.active) == slow.active
    assert set(outputs.held_off) == (slow.wanting & slow.held) - slow.stopped
    assert set(outputs.stopped) == {(name, stop) for name in slow.wanting for stop in slow.stopped_by.get(name, ())}
    for head in outputs.heads:
        colours, owners, ambiguous = slow.head(head.head)
        said = {
            (
                part.colour,
                (
                    part.show.manner,
                    part.show.pattern.text if part.show.pattern else "",
                    part.show.sides,
                    part.show.signal,
                ),
                round(part.share, 9),
            )
            for part in head.parts
        }
        assert (said, set(head.owners), head.ambiguous) == (colours, owners, ambiguous), head
    sounds = {sound.siren: (sound.tone, frozenset(sound.owners)) for sound in outputs.sounds}
    heard = slow.sound("siren")
    assert sounds == ({} if heard is None else {"siren": heard})
    assert set(outputs.interrupts) == slow.doing("interrupts")
    assert set(outputs.runs) == slow.doing("runs") - slow.doing("interrupts")
    assert set(outputs.messages) == slow.messages
    assert set(outputs.restless) == slow.restless
    assert outputs_of(machine, state).heads == outputs.heads


def standing(model: Model, change: Change) -> Inputs:
    """The sources of one step, for the machine."""
    base = Inputs((0,) * len(model.inputs), asleep=change.asleep)
    sources = stand(model.inputs, base, change.sources)
    return stand(model.inputs, sources, dict.fromkeys(change.lost, "lost"))


def check_both(model: Model, story: list[Change]) -> None:
    """Let both live through a story, from power-up with every source at rest."""
    machine = build_machine(model)
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, outputs = power_up(machine, inputs)
    slow = Reference(model)
    kept = {
        i.name: i.values[0] if i.start == "last" else str(i.start)
        for i in model.inputs
        if i.kind in ("toggle", "pick-one")
    }
    slow.power_up({item.name: at_rest(item) for item in model.inputs}, kept, lost=frozenset(), asleep=False)
    agree(model, machine, state, outputs, slow)
    for change in story:
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        slow.step(change.sources, change.elapsed_ms, lost=change.lost, asleep=change.asleep, true=change.sources)
        agree(model, machine, state, outputs, slow)


@pytest.mark.parametrize("focus", FOCUS)
@given(data=st.data())
def test_both_do_the_same(focus: str, data: st.DataObject) -> None:
    """Law: one counts down and jumps, one takes every millisecond; same readings, memory, heads, sounds, runs."""
    model = data.draw(models(focus=focus))
    check_both(model, data.draw(stories(model)))


@pytest.mark.long
@pytest.mark.parametrize("focus", FOCUS)
@given(data=st.data())
def test_both_do_the_same_in_long_stories(focus: str, data: st.DataObject) -> None:
    """Law: the same over larger builds and stories of up to forty steps."""
    model = data.draw(models(focus=focus, most_functions=8))
    check_both(model, data.draw(stories(model, most_steps=40)))
