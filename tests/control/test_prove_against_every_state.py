"""Small builds without times: every state that any story reaches is gone through, and the proof says the same.

Stories may put the controller to sleep, where the build lets it; under a fault a source begins to lie in any of them.
"""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.condition import Condition, Constant
from coachwright.build.model import Model
from coachwright.control.faults import under_faults
from coachwright.control.machine import Fault, Inputs, State, instants, power_up
from coachwright.control.prove import prove
from coachwright.control.run import Watched
from coachwright.control.sources import LOST
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
    awake_while: str | Condition = draw(st.sampled_from(["", Constant(value=False), "hatch == closed"]))
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
        awake_while=awake_while,
    )


def reached_broken(model: Model, fault: Fault | None = None) -> bool:
    """Is the promise broken in any moment of any story? Every state is gone through, any inputs changing at once.

    fault : begins in any moment and stays; what is broken before doesn't count.
    """
    watched = Watched(model, model.promises[0])
    machine = watched.machine
    standings = _standings(model)
    waiting: list[tuple[State, bool, bool]] = []
    for sources in standings:
        for lies in (False, True) if fault is not None else (False,):
            faults = [fault] if fault is not None and lies else []
            if not sources.asleep:
                waiting.append((power_up(machine, sources, faults=faults)[0], False, lies))
    seen = set()
    while waiting:
        state, armed, lay = here = waiting.pop()
        if here in seen:
            continue
        seen.add(here)
        for sources, begins in product(standings, (False,) if fault is None or lay else (False, True)):
            lies = lay or begins
            (instant,) = instants(machine, state, sources, 0, faults=[fault] if fault is not None and lies else [])
            if instant.state.inputs.asleep and watched.is_awake(instant):
                continue
            broken, still = watched.sees(instant, armed)
            if broken and (lies or fault is None):
                return True
            waiting.append((instant.state, still, lies))
        assert len(seen) < 40_000
    return False


def _standings(model: Model) -> list[Inputs]:
    names = [item.name for item in model.inputs]
    return [
        standing(model, Change(0, dict(zip(names, each, strict=True)), frozenset(), asleep))
        for each in product(*(can_stand(item) for item in model.inputs))
        for asleep in ((False, True) if model.feeds else (False,))
    ]


def check_faults(model: Model) -> None:
    """Every fault, asked of the proof and of every state."""
    told = {(each.input, each.stuck_at): each.state for each in under_faults(model, model.promises[0])}
    sources = {("key", "off"): "released", ("key", "on"): "pressed"}
    for (name, stuck_at), state in told.items():
        if state == "undecided" or (name == "scene" and stuck_at != LOST):
            continue
        reached = reached_broken(model, Fault(name, sources.get((name, stuck_at), stuck_at)))
        assert (state == "broken") == reached, (name, stuck_at, state)
    kept = [told[name, stuck_at] for name, stuck_at in told if name == "scene" and stuck_at != LOST]
    if kept and "undecided" not in kept:  # nobody knows what the toggle keeps when its finger moves no more
        reached = any(reached_broken(model, Fault("scene", at)) for at in ("released", "pressed"))
        assert ("broken" in kept) == reached


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


@pytest.mark.slow
@settings(max_examples=10)
@given(model=small())
def test_under_a_fault_the_proof_says_what_every_reached_state_says(model: Model) -> None:
    """Law: broken under a fault where a reached state, in which the source lies, breaks it; kept where none does."""
    check_faults(model)


@pytest.mark.long
@settings(max_examples=300)
@given(model=small())
def test_under_a_fault_the_proof_says_what_every_reached_state_says_of_many(model: Model) -> None:
    """Law: the same of three hundred builds."""
    check_faults(model)
