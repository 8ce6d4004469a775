"""Memories that come back to where they had been: who is concerned, and what proofs know of it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.comes_to_rest import how_they_rest
from coachwright.control.machine import build_machine, instants, memory_of, power_up, start_inputs, step
from coachwright.control.needed import needed_for
from coachwright.control.prove import prove
from coachwright.control.sources import start_values
from tests.control import by_hand
from tests.control.machines import Change, models, stories
from tests.control.test_machine_against_reference import standing

NEVER_RESTS = [{"on": "x and other == a", "to": "b"}, {"on": "x and other == b", "to": "a"}]


def build(*memories: dict[str, Any], lit: str = "m == b", **promise: Any) -> Model:
    """A key, a signal, these memories, a light that follows one of them, a promise."""
    return by_hand.build(
        inputs=[by_hand.button("key"), by_hand.on_off("x")],
        heads=["bar"],
        memories=memories,
        functions=[by_hand.function("f", when=lit, show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", **(promise or {"never": "f active"}))],
    )


@pytest.mark.parametrize(
    ("moves", "rests"),
    [
        ([{"on": "pressed key", "to": "b"}], "at once"),
        ([{"on": "pressed key", "next": ["a", "b"]}], "at once"),
        ([{"on": "x", "to": "a"}, {"on": "pressed key", "to": "b"}], "at once"),  # the safe move first
        ([{"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}], "as before"),
        ([{"on": "becomes x", "to": "b"}, {"on": "becomes (not x)", "to": "a"}], "at once"),
        ([{"on": "becomes x", "to": "b"}, {"on": "x and m == b", "to": "a"}], "as before"),
        ([{"on": "x and m == a", "to": "b"}, {"on": "x and m == b", "to": "a"}], "as before"),
        (
            [{"on": "x and m == a", "to": "b"}, {"on": "x and m == b", "to": "c"}, {"on": "x and m == c", "to": "b"}],
            "not always",
        ),
        ([{"on": "x", "if": "m == a", "to": "b"}, {"on": "not x", "if": "m == b", "to": "a"}], "at once"),
        ([{"on": "x held 2 ms", "to": "b"}, {"on": "not x held 2 ms", "to": "a"}], "at once"),
    ],
)
def test_how_a_memory_comes_to_rest(moves: list[dict[str, str]], rests: str) -> None:
    """docs/control.md, memory and rounds, worked out by hand."""
    model = build(by_hand.memory("m", "a", "b", "c", moves=moves))
    assert how_they_rest(model, model.memories) == rests


@given(data=st.data())
def test_what_is_said_to_come_to_rest_does(data: st.DataObject) -> None:
    """Law: in random builds and stories, with losses and sleep, no memory of such a build is ever found restless."""
    model = data.draw(models(focus="memory"))
    if how_they_rest(model, model.memories) != "at once":
        return
    machine = build_machine(model)
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, _ = power_up(machine, inputs)
    for change in [Change(0, {}, frozenset(), False), *data.draw(stories(model))]:
        new = standing(model, change) if change.sources else inputs
        for instant in instants(machine, state, new, change.elapsed_ms):
            state = instant.state
            assert not instant.rest.restless


@st.composite
def moves_over(draw: st.DrawFn, *names: str) -> list[dict[str, Any]]:
    """Moves of one memory that looks at keys, signals and these memories."""
    looks = [f"{name} == {value}" for name in names for value in "abc"]
    turns = [f"becomes ({each})" for each in (*looks, "x", "not y")]
    events = ["pressed key", "pressed horn", "released key", *turns]
    found = []
    for _ in range(draw(st.integers(1, 3))):
        on = draw(st.sampled_from([*events, *events, "x", "y", "not x", "x held 2 ms", *looks]))
        only = draw(st.sampled_from(["", "", "y", "not x", *looks]))
        to = {"next": ["a", "b", "c"]} if on in events and draw(st.booleans()) else {"to": draw(st.sampled_from("abc"))}
        found.append({"on": on, **({"if": only} if only else {}), **to})
    return found


@settings(max_examples=150)
@given(data=st.data())
def test_who_does_not_count_is_of_no_concern(data: st.DataObject) -> None:
    """Law: beside any two other memories, a promise's own one and what is timed by it go as they do without them."""
    own, *others = (
        by_hand.memory(name, "a", "b", "c", moves=data.draw(moves_over(*looks)))
        for name, looks in (("m", "m"), ("n", "mno"), ("o", "mno"))
    )
    model = by_hand.build(
        inputs=[by_hand.button("key"), by_hand.button("horn"), by_hand.on_off("x"), by_hand.on_off("y")],
        heads=["bar"],
        memories=[own, *others],
        functions=[by_hand.function("f", when="m == b plus 2 ms", show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", never="bar dark and f active")],
    )
    small = needed_for(model, model.promises[0])
    if len(small.memories) > 1:
        return
    flips = st.frozensets(st.sampled_from([item.name for item in model.inputs]))
    steps = data.draw(st.lists(st.tuples(flips, st.integers(0, 3)), min_size=8, max_size=20))
    assert _lived(model, steps) == _lived(small, steps)


def _lived(model: Model, steps: list[tuple[frozenset[str], int]]) -> list[object]:
    """Where m stands and what is shown after each step. Steps : what is flipped after so many ms."""
    machine = build_machine(model)
    inputs, kept = start_inputs(machine, {})
    state, _ = power_up(machine, inputs, kept=kept)
    on: frozenset[str] = frozenset()
    found: list[object] = []
    for flips, elapsed_ms in steps:
        on ^= flips
        inputs, _ = start_inputs(machine, {item.name: "on" for item in machine.inputs if item.name in on})
        state, outputs = step(machine, state, inputs, elapsed_ms)
        found.append((memory_of(machine, state)["m"], outputs.heads))
    return found


def test_a_memory_that_never_rests_counts_for_every_promise() -> None:
    """Case: nobody reads it, and it takes the press with it all the same."""
    m = by_hand.memory("m", "a", "b", moves=[{"on": "key", "to": "b"}, {"on": "not key", "to": "a"}])
    other = by_hand.memory("other", "a", "b", moves=NEVER_RESTS)
    quiet = by_hand.memory("other", "a", "b", moves=[{"on": "pressed key", "to": "b"}])
    promise = {"when": "key", "then": "bar red flashing"}

    for beside, kept, state in ((other, ["m", "other"], "broken"), (quiet, ["m"], "proved")):
        model = build(m, beside, **promise)
        assert [each.name for each in needed_for(model, model.promises[0]).memories] == kept
        assert prove(model, model.promises[0]).state == state


@pytest.mark.parametrize(
    ("moves", "kept", "last"),
    [
        ([{"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}], ["m"], None),  # back to where it was before
        (
            [
                {"on": "pressed key", "to": "b"},
                {"on": "x and n == b", "to": "c"},
                {"on": "x and n == c", "to": "b"},
            ],
            ["m", "n"],
            "key pressed and horn pressed",
        ),
    ],
)
def test_who_goes_round_on_the_way_takes_the_presses_of_others_with_it(
    moves: list[dict[str, Any]], kept: list[str], last: str | None
) -> None:
    """Case: two keys pressed in one moment; it is the state of both memories together that comes back."""
    model = by_hand.build(
        inputs=[by_hand.button("key"), by_hand.button("horn"), by_hand.on_off("x")],
        heads=["bar"],
        memories=[
            by_hand.memory("m", "a", "b", moves=[{"on": "pressed horn", "to": "b"}]),
            by_hand.memory("n", "a", "b", "c", moves=moves),
        ],
        functions=[by_hand.function("f", when="m == b", show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", never="pressed horn and bar dark")],
    )
    proof = prove(model, model.promises[0])

    assert [each.name for each in needed_for(model, model.promises[0]).memories] == kept
    assert (None if proof.story is None else proof.story.lines[-1]) == last


def test_what_a_press_starts_does_not_begin_where_it_is_taken_back() -> None:
    """Case: the press puts m at b, x puts it back in the next round: so it was never there."""
    moves = [{"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}]
    taken_back = by_hand.memory("m", "a", "b", moves=moves)
    stays = by_hand.memory("m", "a", "b", moves=moves[:1])

    for memory, state in ((taken_back, "broken"), (stays, "proved")):
        model = build(memory, lit="m == b plus 3 ms", never="bar dark and pressed key")
        assert prove(model, model.promises[0]).state == state


def test_at_power_up_nothing_becomes_true_in_a_later_round() -> None:
    """Case: x takes m to b as the power comes; that it is there doesn't `become` true."""
    m = by_hand.memory("m", "a", "b", moves=[{"on": "x", "to": "b"}])
    told = by_hand.memory("told", "a", "b", moves=[{"on": "becomes (m == b)", "to": "b"}])
    model = build(m, told, lit="told == b", never="bar dark and m == b")
    proof = prove(model, model.promises[0])

    assert proof.story is not None
    assert proof.story.lines == ("power-up with x on",)
