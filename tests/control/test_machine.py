"""Laws of the step: docs/control.md, "Time" and "What never matters"."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coachwright.build.condition import Condition, Event, Held, Truth
from coachwright.build.model import Model
from coachwright.control.machine import (
    Machine,
    State,
    Watch,
    build_machine,
    instants,
    lay_in,
    outputs_of,
    power_up,
    start_inputs,
    step,
    step_to,
)
from coachwright.control.sources import SettingNotKnownError
from coachwright.control.statement import Outputs
from tests.control.by_hand import (
    Told,
    build,
    button,
    function,
    memory,
    on_off,
    show,
    slide,
    toggle,
    turn_wires,
)
from tests.control.machines import FOCUS, Change, models, stories
from tests.control.test_machine_against_reference import standing


def begun(model: Model) -> tuple[Machine, State, Outputs]:
    """The machine of a model, powered up at rest."""
    machine = build_machine(model)
    return machine, *power_up(machine, start_inputs(machine, {})[0])


def lived(model: Model, story: list[Change]) -> list[Outputs]:
    """What a machine puts out after each step of a story."""
    machine, state, first = begun(model)
    seen = [first]
    for change in story:
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        seen.append(outputs)
    return seen


# ---- time


@pytest.mark.parametrize("focus", FOCUS)
@given(data=st.data())
def test_going_on_by_a_and_b_is_going_on_by_a_then_b(focus: str, data: st.DataObject) -> None:
    """Law: advancing a + b equals advancing a, then b."""
    model = data.draw(models(focus=focus))
    machine, state, _ = begun(model)
    for change in data.draw(stories(model)):
        inputs = standing(model, change)
        first_ms = data.draw(st.integers(0, change.elapsed_ms))
        halfway, _ = step(machine, state, state.inputs, first_ms)
        whole = step(machine, state, inputs, change.elapsed_ms)
        assert step(machine, halfway, inputs, change.elapsed_ms - first_ms) == whole
        state, _ = whole


@pytest.mark.parametrize("focus", ["anything", "turns", "reading", "supply"])
@given(data=st.data())
def test_time_passes_under_the_inputs_of_the_step_before(focus: str, data: st.DataObject) -> None:
    """Law: step(s, new, t) = step(step(s, old, t), new, 0)."""
    model = data.draw(models(focus=focus))
    machine, state, _ = begun(model)
    for change in data.draw(stories(model)):
        inputs = standing(model, change)
        waited, _ = step(machine, state, state.inputs, change.elapsed_ms)
        at_once = step(machine, state, inputs, change.elapsed_ms)
        assert step(machine, waited, inputs, 0) == at_once
        state, _ = at_once


@given(st.data())
def test_the_step_is_pure(data: st.DataObject) -> None:
    """Law: the same state, inputs and time give the same, on the same machine and on another one of the same build."""
    model = data.draw(models())
    machine, state, _ = begun(model)
    for change in data.draw(stories(model)):
        before = hash(state)
        once = step(machine, state, standing(model, change), change.elapsed_ms)
        again = step(build_machine(model), state, standing(model, change), change.elapsed_ms)
        assert once == step(machine, state, standing(model, change), change.elapsed_ms) == again
        assert hash(state) == before
        assert outputs_of(machine, once[0]) == replace(once[1], restless=outputs_of(machine, once[0]).restless)
        state, _ = once


def test_time_does_not_run_backward() -> None:
    """docs/control.md: a step takes nothing or more."""
    told = Told(build(inputs=[on_off("x")]))

    with pytest.raises(ValueError, match="backward"):
        step(told.machine, told.state, told.state.inputs, -1)


def test_every_moment_of_a_step_can_be_looked_at() -> None:
    """docs/control.md: each end of a timer has a moment of its own, then the new inputs are read."""
    model = build(inputs=[on_off("x")], functions=[function("f", when="x held 3 s"), function("g", when="x held 5 s")])
    told = Told(model, x="on")

    assert [each.at_ms for each in instants(told.machine, told.state, told.state.inputs, 5000)] == [3000, 5000, 5000]
    assert [each.at_ms for each in instants(told.machine, told.state, told.state.inputs, 4999)] == [3000, 4999]


def test_any_set_of_inputs_may_change_in_one_step() -> None:
    """docs/control.md: three at once are read at once: the press finds the brake already on."""
    model = build(
        inputs=[on_off("x"), on_off("y"), button("key")],
        memories=[memory("m", "a", "b", moves=[{"on": "pressed key", "if": "x and y", "to": "b"}])],
    )

    assert Told(model).now(x="on", y="on", key="pressed").memory("m") == "b"


# ---- what never matters


@pytest.mark.parametrize("focus", ["anything", "memory", "heads", "hold-offs"])
@given(data=st.data())
def test_the_order_of_the_file_never_decides(focus: str, data: st.DataObject) -> None:
    """Law: inputs, words, memories, functions, heads, stops, limits in another order: the same for every name."""
    model = data.draw(models(focus=focus))
    story = data.draw(stories(model))

    assert [by_name(each) for each in lived(reordered(model, data), story)] == [
        by_name(each) for each in lived(model, story)
    ]


def reordered(model: Model, data: st.DataObject) -> Model:
    """The same build with its sections in another order. Moves stay: their order is what the lead says."""
    names = ("words", "memories", "functions", "heads", "stops", "limits", "messages")
    return replace(model, **{name: tuple(data.draw(st.permutations(getattr(model, name)))) for name in names})


def by_name(outputs: Outputs) -> dict[str, Any]:
    """Outputs without an order of their own."""
    return {
        "heads": {state.head: state for state in outputs.heads},
        "sounds": {state.siren: state for state in outputs.sounds},
        "lists": [
            sorted(each)
            for each in (
                outputs.runs,
                outputs.interrupts,
                outputs.active,
                outputs.stopped,
                outputs.held_off,
                outputs.messages,
                outputs.tell_tales,
                outputs.levels,
                outputs.restless,
            )
        ],
    }


@given(st.data())
def test_a_function_of_a_lower_rank_never_takes_a_head(data: st.DataObject) -> None:
    """Law: a further function of the last rank changes no head that a function of another rank has."""
    model = data.draw(models(focus="heads"))
    heads = [head.id for head in model.heads]
    lowest = build(heads=heads, functions=[function("new", "ease", show=show(*heads, red="steady"))])
    more = replace(model, ranks=(*model.ranks, "ease"), functions=(*model.functions, *lowest.functions))
    story = data.draw(stories(model))
    for before, after in zip(lived(model, story), lived(more, story), strict=True):
        for old, new in zip(before.heads, after.heads, strict=True):
            if old.owners or old.ambiguous:
                shown = [part for part in new.parts if part.owner != "new"]  # beside a winner that allows it
                assert (tuple(shown), [name for name in new.owners if name != "new"]) == (old.parts, list(old.owners))
            else:
                assert new.owners == ("new",)


def mirrored(name: str) -> str:
    """The name of the same thing on the other side."""
    swaps = {"left": "right", "right": "left"}
    return "-".join(swaps.get(piece, piece) for piece in name.split("-"))


TOUCHED = st.sampled_from(["turn-left", "turn-right", "alley-left", "alley-right"])
ACTS = st.sampled_from(["low", "high", "flashing"])


@given(st.lists(st.tuples(TOUCHED, ACTS, st.integers(0, 400)), max_size=12))
def test_left_and_right_are_alike(story: list[tuple[str, str, int]]) -> None:
    """Law: the mirrored story on a symmetric build gives the mirrored vehicle."""
    model = build(
        inputs=[turn_wires(), toggle("alley-left"), toggle("alley-right")],
        heads=["tail-left", "tail-right", "side-left", "side-right"],
        functions=[
            *[function(f"turn-{side}", "road", f"turn-{side}", show=show(f"tail-{side}", amber=f"follow turn-{side}"))
              for side in ("left", "right")],
            function("hazard-shows", "road", "hazard", show=show("tail-left", "tail-right", amber="follow hazard")),
            *[function(f"alley-{side}-on", "task", f"alley-{side}", show=show(f"side-{side}", white="steady"))
              for side in ("left", "right")],
        ],
    )  # fmt: skip
    one, other = Told(model), Told(model)
    for name, act, elapsed_ms in story:
        setting = "pressed" if name.startswith("alley") else act
        one.after(elapsed_ms, **{name: setting})
        other.after(elapsed_ms, **{mirrored(name): setting})
        seen = {state.head: bool(state.parts) for state in one.outputs.heads}
        assert seen == {mirrored(state.head): bool(state.parts) for state in other.outputs.heads}


# ---- ways in


def test_a_finger_still_down_lets_go_first() -> None:
    """docs/control.md: on, off and on again, told by settings, are three pushes."""
    told = Told(build(inputs=[toggle("scene")]))
    state, seen = told.state, []
    for wanted in ("on", "off", "off", "on"):
        state, _ = step_to(told.machine, state, {"scene": wanted}, 5)
        seen.append(state.reading.kept)

    assert seen == [(1,), (0,), (0,), (1,)]


def test_memory_laid_in_makes_nothing_become_true() -> None:
    """docs/control.md: a situation that names a memory is no event; condition moves act on it."""
    model = build(
        inputs=[on_off("x")],
        memories=[
            memory("m", "a", "b", "c", moves=[{"on": "m == b and x", "to": "c"}]),
            memory("seen", "no", "yes", moves=[{"on": "becomes (m == b)", "to": "yes"}]),
        ],
    )
    told = Told(model)
    state, _ = lay_in(told.machine, told.state, {"m": "b"})
    assert state.memory == (1, 0)

    moved, _ = lay_in(told.machine, told.now(x="on").state, {"m": "b"})
    assert moved.memory == (2, 0)


@pytest.mark.parametrize(
    ("named", "said"), [({"tone": "wail"}, "No memory is named tone"), ({"m": "bb"}, "m is never bb. It has a, b.")]
)
def test_memory_that_is_not_there_can_not_be_laid_in(named: dict[str, str], said: str) -> None:
    """docs/control.md: an unknown memory or value is refused by name."""
    told = Told(build(inputs=[on_off("x")], memories=[memory("m", "a", "b", moves=[])]))

    with pytest.raises(SettingNotKnownError, match=said):
        lay_in(told.machine, told.state, named)


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        ({"slied": "full"}, "Closest: slide"),
        ({"slide": "ful"}, "Closest: full"),
        ({"speed": 5.0}, "No control or signal is named speed"),
    ],
)
def test_settings_that_are_not_there_are_refused_with_the_nearest(settings: dict[str, Any], said: str) -> None:
    """docs/control.md: names and values as in the build."""
    machine = build_machine(build(inputs=[slide("slide", "off", "full")]))

    with pytest.raises(SettingNotKnownError, match=said):
        start_inputs(machine, settings)


# ---- watches


def watched(model: Model, *conditions: Condition, excused: frozenset[str] = frozenset()) -> Machine:
    """A machine that answers these conditions in every moment."""
    return build_machine(model, watch=[Watch(condition, excused) for condition in conditions])


def test_a_watch_sees_events_heads_and_equipment() -> None:
    """docs/control.md: promises are looked at by the step itself, in each of its moments."""
    model = build(
        inputs=[button("key")],
        heads=["tail"],
        functions=[function("f", when="key", show=show("tail", red="steady"), runs=["fan"])],
        equipment=["fan"],
        promises=[{"name": "p", "never": "tail red"}],
    )
    seen = (Event("pressed", "key"), Event("becomes", "", item=Truth("fan")), model.promises[0].never, Truth("fan"))
    machine = watched(model, *seen)
    state, _ = power_up(machine, start_inputs(machine, {})[0])
    pressed = start_inputs(machine, {"key": "pressed"})[0]
    [at_once] = instants(machine, state, pressed, 0)
    [later] = instants(machine, at_once.state, pressed, 100)

    assert at_once.watched == (True, True, True, True)
    assert later.watched == (False, False, True, True)


def test_an_excused_function_does_not_make_it_true() -> None:
    """docs/control.md: `but` excuses the state while that function owns the output."""
    model = build(
        inputs=[on_off("x"), on_off("y")],
        functions=[
            function("wail", "warn", "x", sound={"siren": "wail"}, runs=["fan"]),
            function("horn", "task", "y", sound={"siren": "air-horn"}, runs=["fan"]),
        ],
        equipment=["siren", "fan"],
    )
    machine = watched(model, Truth("siren"), Truth("fan"), excused=frozenset({"horn"}))
    for settings, expected in [
        ({"y": "on"}, (False, False)),
        ({"x": "on", "y": "on"}, (False, True)),
        ({"x": "on"}, (True, True)),
    ]:
        state, _ = power_up(machine, start_inputs(machine, settings)[0])
        *_, last = instants(machine, state, state.inputs, 0)
        assert last.watched == expected


@given(st.data())
def test_watching_changes_nothing(data: st.DataObject) -> None:
    """Law: a machine that answers promises puts out what it puts out without them."""
    model = data.draw(models())
    assume(model.words)
    plain, looking = build_machine(model), watched(model, Held(Truth(model.words[0].name), 7), Event("becomes", "w0"))
    inputs = start_inputs(plain, {})[0]
    one, other = power_up(plain, inputs)[0], power_up(looking, inputs)[0]
    for change in data.draw(stories(model)):
        one, shown = step(plain, one, standing(model, change), change.elapsed_ms)
        other, also = step(looking, other, standing(model, change), change.elapsed_ms)
        assert shown == also
