"""Do the promises of a build hold in its situations? A look at a few states: it can break a promise, never prove one.

A second way to the same answer, for tests of the proof.
"""

from __future__ import annotations

from coachwright.build.condition import And, Condition, Constant, Not
from coachwright.build.model import Model, Promise
from coachwright.control.machine import Watch, build_machine, instants
from coachwright.control.situations import settle


def broken_promises(model: Model) -> dict[str, tuple[str, ...]]:
    """Situations in which each promise is broken, by its name; empty where it holds.

    A promise between two events says nothing about a state at rest and is not broken by one.
    """
    watches = [_watch(promise) for promise in model.promises]
    machine = build_machine(model, watch=watches)
    found: dict[str, list[str]] = {promise.name: [] for promise in model.promises}
    for situation in model.situations:
        state = settle(machine, situation).state
        *_, last = instants(machine, state, state.inputs, 0)
        for promise, broken in zip(model.promises, last.watched, strict=True):
            if broken:
                found[promise.name].append(situation.name)
    return {name: tuple(situations) for name, situations in found.items()}


def broken_in(model: Model, promise: Promise) -> tuple[str, ...]:
    """Situations in which this promise is broken."""
    return broken_promises(model)[promise.name]


def _watch(promise: Promise) -> Watch:
    """What is true in a state that breaks the promise."""
    excused = frozenset(promise.but)
    if promise.kind == "then" and promise.when is not None and promise.then is not None:
        broken: Condition = And((promise.when, Not(promise.then)))
        return Watch(broken, excused)
    if promise.kind == "never" and promise.never is not None:
        return Watch(promise.never, excused)
    return Watch(Constant(value=False))
