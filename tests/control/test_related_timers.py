"""What one timed condition says about another: never more than what the machine itself keeps to."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.condition import First
from coachwright.build.model import Model
from coachwright.control.circuit import TRUE
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine, instants, power_up
from coachwright.control.prove import prove
from coachwright.control.related_timers import relate_timers
from coachwright.control.sources import start_values
from tests.control import by_hand
from tests.control.machines import FOCUS, Change, models, stories
from tests.control.test_machine_against_reference import standing


def arrow(stop: str, never: str) -> Model:
    """An arrow that a stop ends, and what is promised of it."""
    return by_hand.build(
        inputs=[by_hand.number("speed"), by_hand.toggle("arrow")],
        heads=["bar"],
        functions=[by_hand.function("run", "traffic", "arrow", show=by_hand.show("bar", amber="run-left"))],
        stops=[by_hand.stop("fast", stop, "run")],
        promises=[by_hand.promise("p", never=never)],
    )


@pytest.mark.parametrize(
    ("stop", "never", "state"),
    [
        ("speed > 20 held 3 s", "bar amber run-left and (speed > 35 held 10 s)", "proved"),
        ("speed > 20 held 10 s", "bar amber run-left and (speed > 35 held 10 s)", "proved"),
        ("speed > 20 held 11 s", "bar amber run-left and (speed > 35 held 10 s)", "broken"),
        ("speed > 40 held 3 s", "bar amber run-left and (speed > 35 held 10 s)", "broken"),
        ("speed > 20 plus 11 s", "bar amber run-left and (speed > 35 plus 10 s)", "proved"),
        ("speed > 20 plus 9 s", "bar amber run-left and (speed > 35 plus 10 s)", "broken"),
    ],
)
def test_longer_above_more_entails_shorter_above_less(stop: str, never: str, state: str) -> None:
    """docs/control.md, times: who has been faster for longer has been slower for shorter; not the other way round."""
    model = arrow(
        *(each.replace("20", "20 mph").replace("35", "35 mph").replace("40", "40 mph") for each in (stop, never))
    )

    assert prove(model, model.promises[0]).state == state


def _variables(moment: Moment, literal: int) -> list[int]:
    return [each for each in moment.circuit.cone([literal]) if not moment.circuit.inputs(each) and each != TRUE]


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=15)
@given(data=st.data())
def test_every_rule_holds_in_every_instant_of_every_story(focus: str, data: st.DataObject) -> None:
    """Law: what is said of two timers is true of them whatever is done to a random machine."""
    model = data.draw(models(focus=focus))
    machine = build_machine(model)
    moment = Moment(model, machine)
    for timed in machine.timed:
        moment.condition(timed)
    before_n = len(moment.rules)
    relate_timers(moment)
    told = {moment.timed[each] for each in machine.timed if not isinstance(each, First) and each in moment.timed}
    added = [
        rule for rule in moment.rules[before_n:] if rule != TRUE and {*_variables(moment, rule)} <= told
    ]  # `first T of X` tells no `X held T` where X is false
    if not added:
        return
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, _ = power_up(machine, inputs)
    for change in [Change(0, {}, frozenset(), False), *data.draw(stories(model))]:
        new = standing(model, change) if change.sources else inputs
        for instant in instants(machine, state, new, change.elapsed_ms):
            state = instant.state
            timed_now = {
                machine.timed[task.number]: bool(instant.scene[task.at])
                for task in machine.rounds.tasks
                if type(task).__name__ == "TimerTask"
            }
            values = moment.values({}, {}, timed=timed_now)
            assert all(moment.circuit.evaluate(added, values))
