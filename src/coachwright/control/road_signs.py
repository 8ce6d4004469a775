"""Which signal of the road does a function give: brake, turn, hazard or reverse? Read from what it can do.

A function of rank road gives a signal when it acts on that signal alone, and never without one of those it gives. So
``brake and not parked`` gives the brake, ``turn-left or hazard`` gives two, and ``headlamps`` gives none.
"""

from __future__ import annotations

from coachwright.build.condition import Compare, Condition, FunctionState, Truth
from coachwright.build.model import Function, Model, Promise
from coachwright.control.claims import has_value, road_functions
from coachwright.control.cone import Control, control_of, model_of
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine
from coachwright.control.needed import needed_for
from coachwright.control.sat import Solver
from coachwright.control.tries import all_shows
from coachwright.kit.once import once

TURNS = ("turn-left", "turn-right", "hazard")
SIGNS = ("brake", *TURNS, "reverse")
REACHED = ("own", "series", "request")
"""Reaches of heads that are dark unless we light them; what lies beside a lamp's own feed can only add light."""


def sign(model: Model, name: str) -> Condition | None:
    """The condition of a signal; None where the vehicle doesn't tell it."""
    if name == "reverse":
        return Compare("gear", "==", "R") if has_value(model, "gear", "R") else None
    return Truth(name) if has_value(model, name, "on") else None


def signs_given(model: Model) -> dict[str, tuple[Function, ...]]:
    """For each signal the functions that give it with light."""
    found: dict[str, list[Function]] = {name: [] for name in SIGNS}
    for function in road_functions(model):
        if next(all_shows(function), None) is not None:
            for name in _signs_of(model, function):
                found[name].append(function)
    return {name: tuple(functions) for name, functions in found.items() if functions}


def heads_of(model: Model, function: Function) -> tuple[str, ...]:
    """Heads it shows on that are dark unless we light them."""
    reach = {head.id: head.reach for head in model.heads}
    shown = {head: None for _, show in all_shows(function) for head in show.heads if reach[head] in REACHED}
    return tuple(shown)


def _signs_of(model: Model, function: Function) -> tuple[str, ...]:
    acts = Promise(function.name, "never", "", never=FunctionState(function.name, "active"))
    return _given(control_of(needed_for(model, acts)), function.name)


@once(max_bytes=200_000)
def _given(control: Control, function: str) -> tuple[str, ...]:
    needed = model_of(control)
    moment = Moment(needed, build_machine(needed))
    told = {name: each for name in SIGNS if (each := sign(needed, name)) is not None}
    literals = {name: moment.condition(condition) for name, condition in told.items()}
    acts = moment.functions[function].active
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        alone = tuple(
            name
            for name, literal in literals.items()
            if solver.can_be(acts, literal, *(-other for other in literals.values() if other != literal))
        )
        by_itself = solver.can_be(acts, *(-literals[name] for name in alone))
        return () if by_itself else alone
    finally:
        solver.close()
