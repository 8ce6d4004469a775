"""Small builds without times: every state that any story reaches is gone through, and the proof says the same."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.acted import Watched
from coachwright.control.machine import State, instants, power_up
from coachwright.control.prove import prove
from tests.control import by_hand
from tests.control.machines import Change, can_stand
from tests.control.test_machine_against_reference import standing

EVENTS = (
    "pressed key",
    "released key",
    "pressed scene",
    "hatch leaves closed",
    "becomes (hatch == open)",
    "becomes (one == b)",
    "key",
    "scene",
)
HOLDS = ("", "scene", "not key", "hatch == open", "one == b", "two != a", "one != c and not scene")
NEVER = (
    "one == c and two == b",
    "bar red steady and scene",
    "bar dark and one == b",
    "side white steady and hatch == open",
    "only-b active and not key",
    "bar red steady and side white steady",
)
MOVES = st.lists(
    st.tuples(st.sampled_from(EVENTS), st.sampled_from(HOLDS), st.sampled_from("abc")), min_size=1, max_size=4
)


@st.composite
def small(draw: st.DrawFn) -> Model:
    """Three inputs, two memories that look at each other, three functions, one promise."""
    memories = [
        by_hand.memory(
            name,
            "a",
            "b",
            "c",
            moves=[{"on": on, "to": to, **({"if": also} if also else {})} for on, also, to in draw(MOVES)],
        )
        for name in ("one", "two")
    ]
    resume = draw(st.sampled_from(["self", "ask"]))
    between = {"after": draw(st.sampled_from(EVENTS[:5])), "until": draw(st.sampled_from(EVENTS[:5]))}
    promise = {"never": draw(st.sampled_from(NEVER)), **(between if draw(st.booleans()) else {})}
    return by_hand.build(
        inputs=[by_hand.button("key"), by_hand.toggle("scene"), by_hand.states("hatch", "closed", "open")],
        heads=["bar", "side"],
        memories=memories,
        functions=[
            by_hand.function("only-b", "task", "one == b or scene", show=by_hand.show("bar", red="steady 100 %")),
            by_hand.function("shade", "open", "two == c", show=by_hand.show("bar", dark=True)),
            by_hand.function("glow", "warn", "two == b and not key", show=by_hand.show("side", white="steady 100 %")),
        ],
        stops=[by_hand.stop("quiet", "hatch == open and one == c", "only-b", resume=resume)],
        promises=[by_hand.promise("p", **promise)],
    )


def reached_broken(model: Model) -> bool:
    """Is the promise broken in any moment of any story? Every state is gone through, any inputs changing at once."""
    watched = Watched(model, model.promises[0])
    machine = watched.machine
    standings = [dict(zip([item.name for item in model.inputs], each, strict=True)) for each in _standings(model)]
    waiting: list[tuple[State, bool]] = []
    for sources in standings:
        state, _ = power_up(machine, standing(model, Change(0, sources, frozenset(), False)))
        waiting.append((state, False))
    seen = set()
    while waiting:
        state, armed = waiting.pop()
        if (state, armed) in seen:
            continue
        seen.add((state, armed))
        for sources in standings:
            after, still = state, armed
            for instant in instants(machine, state, standing(model, Change(0, sources, frozenset(), False)), 0):
                after = instant.state
                broken, still = watched.sees(instant, still)
                if broken:
                    return True
            waiting.append((after, still))
        assert len(seen) < 20_000
    return False


def _standings(model: Model) -> list[tuple[Any, ...]]:
    return list(product(*(can_stand(item) for item in model.inputs)))


@settings(max_examples=60)
@given(model=small())
def test_the_proof_says_what_every_reached_state_says(model: Model) -> None:
    """Law: proved where no reached state breaks it, broken where one does; undecided is neither."""
    proof = prove(model, model.promises[0])

    assert proof.state == "undecided" or (proof.state == "broken") == reached_broken(model)


@pytest.mark.long
@settings(max_examples=2000)
@given(model=small())
def test_the_proof_says_what_every_reached_state_says_of_many(model: Model) -> None:
    """Law: the same of two thousand builds."""
    proof = prove(model, model.promises[0])

    assert proof.state == "undecided" or (proof.state == "broken") == reached_broken(model)
