"""The circuit of a moment says what the machine does, and obeys no rule that the machine breaks."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.choices import choose, input_choice
from coachwright.control.circuit import Circuit
from coachwright.control.contested import contested_heads, contested_sirens
from coachwright.control.encode import Moment
from coachwright.control.machine import (
    Instant,
    Machine,
    Watch,
    build_machine,
    instants,
    memory_of,
    outputs_of,
    power_up,
    step,
    values_read,
)
from coachwright.control.sources import start_values
from tests.control import by_hand
from tests.control.machines import FOCUS, models, stories
from tests.control.test_machine_against_reference import standing


def agree(moment: Moment, machine: Machine, instant: Instant) -> None:
    """Assert that the circuit, under what the machine reads in this moment, gives what the machine puts out."""
    outputs = outputs_of(machine, instant.state)
    held_off = [each.name for place, each in enumerate(machine.functions) if instant.acting.held_off >> place & 1]
    values = moment.values(
        values_read(machine, instant.state),
        memory_of(machine, instant.state),
        timed=dict(zip(moment.timed, instant.watched, strict=True)),
        held_off=held_off,
        restless=bool(instant.rest.restless or outputs.restless),
    )
    rules = [*moment.rules, *moment.rules_at_rest]
    assert all(moment.circuit.evaluate(rules, values)), "the machine breaks a rule"
    timed = moment.circuit.evaluate(list(moment.timed.values()), values)
    assert timed == instant.watched
    active = moment.circuit.evaluate([moment.functions[each.name].active for each in machine.functions], values)
    assert {each.name for each, true in zip(machine.functions, active, strict=True) if true} == set(outputs.active)
    states = {head.head: (set(head.owners), head.ambiguous, bool(head.parts)) for head in outputs.heads}
    states |= {sound.siren: (set(sound.owners), sound.ambiguous, bool(sound.owners)) for sound in outputs.sounds}
    seen = set()
    for contested in (*contested_heads(moment), *contested_sirens(moment)):
        (ambiguous, lit), owns = (
            moment.circuit.evaluate([contested.ambiguous, contested.lit], values),
            moment.circuit.evaluate([literal for _, literal in contested.owns], values),
        )
        rivals = moment.circuit.evaluate([each.literal for each in contested.rivals], values)
        assert any(rivals) == ambiguous
        owners = {name for (name, _), true in zip(contested.owns, owns, strict=True) if true}
        for one in contested.ids:
            seen.add(one)
            assert (owners, ambiguous, lit) == states.get(one, (set(), False, False)), one
    for one, state in states.items():
        assert one in seen or state == (set(), False, False), one


def agree_through(model: Model, story: list[object]) -> None:
    """Let the machine live through a story and compare every moment of it."""
    moment = Moment(model, build_machine(model))
    machine = build_machine(model, watch=[Watch(timed) for timed in moment.timed])
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, _ = power_up(machine, inputs)
    for change in story:
        now = standing(model, change)  # type: ignore[arg-type]
        for instant in instants(machine, state, now, change.elapsed_ms):  # type: ignore[attr-defined]
            agree(moment, machine, instant)
            state = instant.state


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=30)
@given(data=st.data())
def test_the_circuit_does_what_the_machine_does(focus: str, data: st.DataObject) -> None:
    """Law: in every moment of every story the rules hold, and active functions, owners and ambiguity are equal."""
    model = data.draw(models(focus=focus))
    agree_through(model, data.draw(stories(model)))


@pytest.mark.long
@pytest.mark.parametrize("focus", FOCUS)
@given(data=st.data())
def test_the_circuit_does_what_the_machine_does_in_long_stories(focus: str, data: st.DataObject) -> None:
    """Law: the same over larger builds and stories of up to forty steps."""
    model = data.draw(models(focus=focus, most_functions=8))
    agree_through(model, data.draw(stories(model, most_steps=40)))


@given(values_n=st.integers(1, 20), bits=st.integers(0, 31))
def test_one_value_at_a_time(values_n: int, bits: int) -> None:
    """Law: whatever the variables are, exactly one value holds; every value has its variables."""
    circuit = Circuit()
    literals = choose(circuit, "gear", values_n)
    values = {circuit.variable(("gear", bit)): bool(bits >> bit & 1) for bit in range(5)}
    assert sum(circuit.evaluate(literals, values)) == 1
    if bits < values_n:
        assert circuit.evaluate(literals, values)[bits]


def test_a_number_has_a_stretch_on_and_between_thresholds() -> None:
    """Common practice: a comparison changes its answer on its threshold or across it, nowhere else."""
    choice = input_choice(Circuit(), by_hand.number("speed", high=50.0), [1.0, 2.0])
    assert choice.values == (0.0, 1.0, 1.5, 2.0, 50.0)
    assert [choice.place(number) for number in (0.5, 1.0, 1.9, 2.0, 2.1)] == [0, 1, 2, 3, 4]
    assert choice.rest == 0


def test_a_stretch_is_told_by_a_number_that_leaves_the_controller_its_supply() -> None:
    """Case: under 10.2 V the controller has no power; what is below 8 V can't be told otherwise."""
    supply = by_hand.number("supply", low=6.0, high=16.0, rest=13.8)
    choice = input_choice(Circuit(), supply, [8.0, 11.8], least=10.2)
    assert choice.values == (6.0, 8.0, 11.0, 11.8, 13.8)


def test_a_step_reads_what_the_moment_reads() -> None:
    """Case: slide at full, level mid shown because of at-most, and the machine agrees."""
    model = by_hand.build(
        inputs=[by_hand.slide("slide", "off", "mid", "full"), by_hand.on_off("parked")],
        heads=["bar"],
        functions=[
            by_hand.function(
                "warning",
                by="slide",
                levels={
                    "mid": [by_hand.show("bar", red="single")],
                    "full": [by_hand.show("bar", white="single")],
                },
                at_most={"mid": "parked"},
            )
        ],
    )
    machine = build_machine(model)
    moment = Moment(model, machine)
    values = moment.values({"slide": "full", "parked": "on"}, {}, timed={})
    assert moment.circuit.evaluate(moment.functions["warning"].variants, values) == (True, False)
    state, _ = power_up(machine, start_values(model.inputs, machine.sources, {"parked": "on"})[0])
    inputs, _ = start_values(model.inputs, machine.sources, {"parked": "on", "slide": "full"})
    assert step(machine, state, inputs, 0)[1].levels == (("warning", "mid"),)


SWITCHES = ("a", "b", "c", "d", "e", "f")


@st.composite
def crowded(draw: st.DrawFn) -> Model:
    """Six functions, each behind its own switch, that want one head: few ranks, many words, dark and beside."""
    functions = []
    for name in SWITCHES:
        dark = draw(st.integers(0, 4)) == 0
        colours = draw(st.lists(st.sampled_from(["red", "amber", "white"]), min_size=1, max_size=2, unique=True))
        said = {} if dark else {colour: draw(st.sampled_from(["single", "steady 40 %"])) for colour in colours}
        shown = by_hand.show("bar", dark=dark, beside=not dark and draw(st.integers(0, 3)) > 0, **said)
        wins = draw(st.lists(st.sampled_from([each for each in SWITCHES if each != name]), unique=True, max_size=3))
        rank = draw(st.sampled_from(["road", "task", "task", "traffic", "warn", "warn", "ease"]))
        functions.append(by_hand.function(name, rank, name, show=shown, wins_over=wins))
    heads = [by_hand.head("bar", together=draw(st.integers(0, 4)) > 0)]
    return by_hand.build(inputs=[by_hand.on_off(name) for name in SWITCHES], heads=heads, functions=functions)


@settings(max_examples=60)
@given(model=crowded())
def test_every_setting_of_a_crowded_head(model: Model) -> None:
    """Law: in all 64 settings of six functions on one head the circuit has the machine's owners and ambiguity."""
    machine = build_machine(model)
    moment = Moment(model, machine)
    start, _ = start_values(model.inputs, machine.sources, {})
    state, _ = power_up(machine, start)
    for bits in product(("off", "on"), repeat=len(SWITCHES)):
        inputs, _ = start_values(model.inputs, machine.sources, dict(zip(SWITCHES, bits, strict=True)))
        (instant,) = instants(machine, state, inputs, 0)
        agree(moment, machine, instant)
