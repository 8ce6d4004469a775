"""What a promise depends on: no less than decides it, and none of the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.machine import instants, power_up
from coachwright.control.needed import needed_for
from coachwright.control.prove import prove
from coachwright.control.run import Watched
from coachwright.control.sources import start_values
from tests.control import by_hand
from tests.control.machines import FOCUS, Change, models, stories
from tests.control.promises_at_random import promises
from tests.control.test_machine_against_reference import standing


def rows(*, both_over_one_row: bool) -> Model:
    """Two arrows of one rank that run over the bar; one of them goes on over the side as well, or not."""
    other = ("bar",) if both_over_one_row else ("bar", "side")
    return by_hand.build(
        inputs=[by_hand.toggle("one"), by_hand.toggle("two")],
        heads=["bar", "side"],
        functions=[
            by_hand.function("short", "traffic", "one", show=by_hand.show("bar", amber="run-left")),
            by_hand.function("long", "traffic", "two", show=by_hand.show(*other, amber="run-left")),
        ],
        promises=[by_hand.promise("p", when="one and two", then="bar amber flashing")],
    )


@pytest.mark.parametrize(("both_over_one_row", "state"), [(True, "proved"), (False, "broken")])
def test_a_run_over_a_longer_row_is_another_statement(both_over_one_row: bool, state: str) -> None:
    """docs/control.md: two that make the very same statement both have the head; of two runs nobody has it."""
    model = rows(both_over_one_row=both_over_one_row)

    assert prove(model, model.promises[0]).state == state


def test_what_a_promise_does_not_speak_of_is_left_out() -> None:
    """Case: heads, functions, equipment and inputs of something else."""
    model = by_hand.build(
        inputs=[by_hand.toggle("one"), by_hand.toggle("two")],
        heads=["bar", "side"],
        equipment=["fan"],
        functions=[
            by_hand.function("bar-on", "task", "one", show=by_hand.show("bar", "side", white="steady 100 %")),
            by_hand.function("fan-on", "ease", "two", runs=["fan"]),
        ],
        promises=[by_hand.promise("p", never="bar white steady")],
    )
    needed = needed_for(model, model.promises[0])

    assert [head.id for head in needed.heads] == ["bar"]
    assert [item.name for item in needed.inputs] == ["one"]
    assert [function.name for function in needed.functions] == ["bar-on"]
    assert needed.equipment == ()


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=25)
@given(data=st.data())
def test_the_smaller_build_breaks_a_promise_whenever_the_whole_does(focus: str, data: st.DataObject) -> None:
    """Law: on any story both machines see the promise broken in the same moments."""
    model = data.draw(models(focus=focus))
    promise = data.draw(promises(model))
    whole, small = Watched(model, promise), Watched(needed_for(model, promise), promise)
    story = [Change(0, {}, frozenset(), False), *data.draw(stories(model))]

    assert _broken(whole, story) == _broken(small, story)


def _broken(watched: Watched, story: list[Change]) -> list[tuple[int, bool]]:
    """Each time at which it is told whether the promise is broken, where that changes."""
    machine = watched.machine
    known = {item.name for item in machine.inputs}
    at_ms, armed, now, found = 0, False, False, [(0, False)]
    inputs, _ = start_values(watched.model.inputs, machine.sources, {})
    state, _ = power_up(machine, inputs)
    for change in story:
        there = replace(
            change,
            sources={name: value for name, value in change.sources.items() if name in known},
            lost=frozenset(change.lost & known),
        )
        new = standing(watched.model, there) if change.sources else inputs
        at_ms += change.elapsed_ms
        broken = now and change.elapsed_ms > 0  # what stood at the end of the last step stands on for a while
        for instant in instants(machine, state, new, change.elapsed_ms):
            state = instant.state
            now, armed = watched.sees(instant, armed)
            broken = broken or now
        if broken != found[-1][1]:
            found.append((at_ms, broken))
    return found
