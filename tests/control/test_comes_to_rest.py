"""Memories that come back to where they had been: who is concerned, and what proofs know of it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.comes_to_rest import always_come_to_rest
from coachwright.control.machine import build_machine, instants, power_up
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


def _rests(model: Model) -> bool:
    return always_come_to_rest(model, model.memories)


@pytest.mark.parametrize(
    ("moves", "rests"),
    [
        ([{"on": "pressed key", "to": "b"}], True),
        ([{"on": "pressed key", "next": ["a", "b"]}], True),
        ([{"on": "x", "to": "a"}, {"on": "pressed key", "to": "b"}], True),  # the safe move first
        ([{"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}], False),
        ([{"on": "becomes x", "to": "b"}, {"on": "becomes (not x)", "to": "a"}], True),
        ([{"on": "x and m == a", "to": "b"}, {"on": "x and m == b", "to": "a"}], False),
        ([{"on": "x", "if": "m == a", "to": "b"}, {"on": "not x", "if": "m == b", "to": "a"}], True),
        ([{"on": "x held 2 ms", "to": "b"}, {"on": "not x held 2 ms", "to": "a"}], True),
    ],
)
def test_whether_a_memory_always_comes_to_rest(moves: list[dict[str, str]], rests: bool) -> None:
    """docs/control.md, memory and rounds, worked out by hand."""
    assert _rests(build(by_hand.memory("m", "a", "b", moves=moves))) == rests


@given(data=st.data())
def test_what_is_said_to_come_to_rest_does(data: st.DataObject) -> None:
    """Law: in random builds and stories no memory of such a build is ever found restless."""
    model = data.draw(models(focus="memory"))
    if not _rests(model):
        return
    machine = build_machine(model)
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, _ = power_up(machine, inputs)
    for change in [Change(0, {}, frozenset(), False), *data.draw(stories(model, still=True))]:
        new = standing(model, change) if change.sources else inputs
        for instant in instants(machine, state, new, change.elapsed_ms):
            state = instant.state
            assert not instant.rest.restless


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
