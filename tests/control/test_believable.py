"""Stories of proofs are told of vehicles that can be (docs/control.md, "Promises")."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from coachwright.build.condition import And, Compare, Condition, Truth
from coachwright.build.model import Input, Model
from coachwright.control.believable import Believable
from coachwright.control.encode import Moment
from coachwright.control.faults import under_faults
from coachwright.control.machine import build_machine, start_inputs
from coachwright.control.prove import prove
from tests.control import by_hand

ROLLS_IN_PARK: Condition = And((Compare("gear", "==", "P"), Compare("speed", ">", 0.0)))


def moving(*, when: str, never: str, cannot: Condition = ROLLS_IN_PARK, inputs: list[Input] | None = None) -> Model:
    """A vehicle that shows red under a condition, and can't stand so."""
    model = by_hand.build(
        inputs=inputs or [by_hand.states("gear", "P", "D"), by_hand.number("speed")],
        heads=["bar"],
        functions=[by_hand.function("f", when=when, show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", never=never)],
    )
    return replace(model, cannot_be=((cannot, "a pawl holds it"),))


def test_the_gear_comes_before_the_speed() -> None:
    """Case: the speed alone would show it too, but nothing drives in Park."""
    model = moving(when="speed > 10 mph", never="f active")
    proof = prove(model, model.promises[0])

    assert proof.story is not None
    assert proof.story.lines == ("power-up, everything at rest", "gear D", "speed > 10 mph")


def test_both_change_at_once_where_neither_can_alone() -> None:
    """Case: of two signals never just one is on."""
    odd = And((Truth("one"), Compare("two", "==", "off")))
    other = And((Truth("two"), Compare("one", "==", "off")))
    model = moving(
        when="one and two", never="f active", cannot=odd, inputs=[by_hand.on_off("one"), by_hand.on_off("two")]
    )
    model = replace(model, cannot_be=(*model.cannot_be, (other, "nor the other way round")))
    proof = prove(model, model.promises[0])

    assert proof.story is not None
    assert proof.story.lines == ("power-up, everything at rest", "one on and two on")


def test_what_only_happens_on_the_way_to_what_can_be_is_no_story() -> None:
    """Case: it shows while the vehicle rolls in Park, which it never does."""
    model = moving(when="speed > 10 mph and gear == P", never="f active")

    assert prove(model, model.promises[0]).state == "proved"


def test_a_source_that_lies_may_say_what_cannot_be() -> None:
    """docs/control.md: what the body says can't be holds for the vehicle, not for what such a wire says."""
    model = moving(when="speed > 10 mph and gear == P", never="f active")
    stuck = {(each.input, each.stuck_at): each for each in under_faults(model, model.promises[0])}
    story = stuck["gear", "P"].story

    assert stuck["gear", "P"].state == "broken"
    assert story is not None
    assert story.acts[-1].text == "speed > 10 mph"


def test_until_a_source_lies_the_vehicle_is_as_it_says() -> None:
    """Case: the memory moves where the gear reads P at speed. No vehicle does so before its gear begins to lie."""
    model = by_hand.build(
        inputs=[by_hand.states("gear", "P", "D"), by_hand.number("speed")],
        heads=["bar"],
        memories=[by_hand.memory("m", "a", "b", moves=[{"on": "gear == P and speed > 10 mph", "to": "b"}])],
        functions=[by_hand.function("f", when="m == b", show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", never="f active")],
    )
    model = replace(model, cannot_be=((ROLLS_IN_PARK, "a pawl holds it"),))
    states = {(each.input, each.stuck_at): each.state for each in under_faults(model, model.promises[0])}

    assert states["gear", "P"] == "broken"
    assert states["gear", "D"] == "holds"


def test_what_the_body_excludes_at_one_speed_may_be_at_another() -> None:
    """Case: an engine that is off doesn't go with 31 m/s, but with 20; the promise asks about all above 10 mph."""
    model = by_hand.build(
        inputs=[by_hand.states("engine", "running", "off"), by_hand.number("speed")],
        heads=["bar"],
        functions=[by_hand.function("f", when="engine == off", show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", when="engine == off and speed > 10 mph", then="bar red flashing")],
    )
    long_slowed = And((Compare("engine", "==", "off"), Compare("speed", ">", 31.0)))
    model = replace(model, cannot_be=((long_slowed, "it has long slowed down"),))
    ends = {each.fault: each for each in under_faults(model, model.promises[0])}
    story = ends["engine stuck at running"].story

    assert {fault: each.state for fault, each in ends.items()} == {
        "engine stuck at running": "blind",
        "engine stuck at off": "holds",
        "engine lost": "blind",
        "speed stuck below 10 mph": "not asked",
        "speed stuck at 10 mph": "not asked",
        "speed stuck above 10 mph": "holds",
        "speed lost": "holds",
    }
    assert story is not None
    assert story.lines[1] == "engine off"


@pytest.mark.parametrize(
    ("said", "settings", "can_be"),
    [
        ("turn-left and hazard", {"turn_left": "on"}, True),
        ("turn-left", {"turn_left": "on"}, False),
        ("turn-left", {"turn_left": "high"}, True),
        ("turn-left", {"hazard": "on"}, True),
        ("hazard", {"hazard": "on"}, False),
        ("brake", {"brake": "on"}, False),
        ("brake", {}, True),
        ("speed >= 5 mph", {"speed": 5.0}, False),
        ("speed >= 5 mph", {"speed": 1.0}, True),
        ("scene", {"scene": "on"}, False),
        ("scene", {"scene": "pressed"}, True),
        ("arrow == left", {"arrow": "left"}, False),
    ],
)
def test_sources_are_looked_at_and_not_what_is_read_of_them(said: str, settings: dict[str, Any], can_be: bool) -> None:
    """Case: a flashing wire is a turn, one that stands high is none, both flashing are a hazard."""
    model = by_hand.build(
        inputs=[
            *[[each] for each in by_hand.turn_wires()],
            by_hand.on_off("brake", debounce_ms=20),
            by_hand.number("speed"),
            by_hand.toggle("scene"),
            by_hand.pick_one("arrow", "none", "left"),
        ],
        words={"excluded": said},
    )
    model = replace(model, cannot_be=((Truth("excluded"), "it can't"),))
    machine = build_machine(model)
    sources, kept = start_inputs(machine, {name.replace("_", "-"): value for name, value in settings.items()})

    assert Believable(Moment(model, machine), model).allows(machine.inputs, sources, kept) == can_be
