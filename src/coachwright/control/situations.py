"""What does the machine put out in a named situation, once everything has come to rest?

A situation is set as at power-up: no event fires, condition moves act; then its memories are laid in; then its settings
stand until no timer runs; hold-offs don't count. `tried` goes on from there: these settings change, as a hand or the
vehicle would change them, and stand until no timer runs.

See Also
--------
coachwright.control.machine : the step. coachwright.flash.waves, coachwright.control.measures : who asks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import wraps
from hashlib import blake2b
from io import BytesIO
from pickle import Pickler
from typing import Concatenate, ParamSpec, TypeVar

from coachwright.build.model import Input, Model, Situation
from coachwright.control.machine import (
    Machine,
    State,
    build_machine,
    changed_inputs,
    ends_next_ms,
    lay_in,
    memory_of,
    outputs_of,
    power_up,
    start_inputs,
    step,
)
from coachwright.control.sources import Setting, let_go
from coachwright.control.statement import Outputs
from coachwright.kit.by_digest import by_digest

MOST_MOMENTS = 10_000
"""Ends of timers that are waited for; a machine that goes on longer never comes to rest."""

P = ParamSpec("P")
R = TypeVar("R")

_ABSENT = ""


@dataclass(frozen=True, slots=True)
class Settled:
    """A situation at rest.

    lost_memory : memories that did not stay where the situation laid them, with where they went.
    comes_to_rest : False when timers go on for ever.
    """

    state: State
    outputs: Outputs
    lost_memory: tuple[tuple[str, str], ...] = ()
    comes_to_rest: bool = True


@dataclass(frozen=True, slots=True)
class _Core:
    """A model by what its machine is made of: a lamp that moves or turns leaves the digest as it was."""

    model: Model
    digest: str


@by_digest
def _core(model: Model) -> _Core:
    return _Core(model, machine_digest(model) if model.digest else "")


def by_machine(answer: Callable[Concatenate[Model, P], R]) -> Callable[Concatenate[Model, P], R]:
    """Remember answers that depend on nothing but the machine: a lamp that is moved or turned asks for none again.

    What looks at poses, parts of lamps or light must not be remembered so.
    """

    @by_digest
    def remembered(core: _Core, /, *args: P.args, **kwargs: P.kwargs) -> R:
        return answer(core.model, *args, **kwargs)

    @wraps(answer)
    def asked(model: Model, /, *args: P.args, **kwargs: P.kwargs) -> R:
        return remembered(_core(model), *args, **kwargs)

    return asked


def machine_digest(model: Model) -> str:
    """Digest of everything that can change what the machine does or is asked; aims and parts of lamps can't."""
    heads = tuple((head.id, head.lamp, head.colours, head.burns_together, head.reach) for head in model.heads)
    controllers = tuple(part.model_dump_json() for _, part in model.parts if part.kind == "controller")
    said = (heads, controllers, model.inputs, model.words, model.memories, model.ranks, model.functions, model.messages)
    panels = tuple((name, panel.model_dump_json()) for name, panel in model.body.panels.items())
    more = (panels, model.limits, model.stops, model.equipment, model.outputs, model.situations, model.promises)
    written = BytesIO()
    pickler = Pickler(written, protocol=5)
    pickler.fast = True  # without it the bytes would tell which equal words are one object
    pickler.dump((said, more, model.cannot_be))
    return blake2b(written.getvalue(), digest_size=16).hexdigest()


def machine_of(model: Model) -> Machine:
    """The machine of a model, built once."""
    return _machine(_core(model))


@by_digest
def _machine(core: _Core) -> Machine:
    return build_machine(core.model)


def rest_inputs(model: Model) -> dict[str, Setting]:
    """Every input at rest. `last` (either value; proofs try both) is taken as off here, and printed."""
    return {item.name: _rest(item) for item in model.inputs}


def settings_of(model: Model, situation: str) -> tuple[tuple[str, Setting], ...]:
    """Every input with its value in the situation, those at rest included."""
    return tuple({**rest_inputs(model), **dict(model.situation(situation).settings)}.items())


def judged(model: Model, situation: str) -> Outputs:
    """What the machine really puts out in a situation: what all rooms are asked about."""
    return settled(model, situation).outputs


def settled(model: Model, situation: str) -> Settled:
    """The situation at rest, with what could not be as it was set."""
    return _settled(_core(model), situation)


@by_digest
def _settled(core: _Core, situation: str) -> Settled:
    return settle(_machine(core), core.model.situation(situation))


def tried(model: Model, situation: str, changes: Mapping[str, Setting]) -> Outputs:
    """The situation, then these settings changed in one step, then rest."""
    return tried_settled(model, situation, changes).outputs


def tried_settled(model: Model, situation: str, changes: Mapping[str, Setting]) -> Settled:
    """As `tried`, with the state: from there one can go on."""
    return _tried(_core(model), situation, tuple(sorted(changes.items())))


@by_digest
def _tried(core: _Core, situation: str, changes: tuple[tuple[str, Setting], ...]) -> Settled:
    return after(_machine(core), _settled(core, situation).state, dict(changes))


def after(machine: Machine, state: State, changes: Mapping[str, Setting]) -> Settled:
    """From `state`: these settings change in one step and stand until no timer runs."""
    now = {item.name: value for item, value in _there(machine, changes)}
    changed, _ = step(machine, state, changed_inputs(machine, state, now), 0)
    at_rest, rests = _wait(machine, changed)
    released = let_go(machine.inputs, at_rest.inputs)
    if released != at_rest.inputs:  # a toggle is pushed, not held
        changed, _ = step(machine, at_rest, released, 0)
        at_rest, also_rests = _wait(machine, changed)
        rests = rests and also_rests
    return Settled(at_rest, outputs_of(machine, at_rest), comes_to_rest=rests)


def settle(machine: Machine, situation: Situation) -> Settled:
    """A situation at rest, on any machine of its model."""
    inputs, kept = start_inputs(machine, dict(situation.settings))
    state, _ = power_up(machine, inputs, kept=kept)
    if situation.memory:
        state, _ = lay_in(machine, state, dict(situation.memory))
    state, rests = _wait(machine, state)
    state = replace(state, held_off=0)
    stands = memory_of(machine, state)
    moved = tuple((name, stands[name]) for name, value in situation.memory if stands.get(name, _ABSENT) != value)
    return Settled(state, outputs_of(machine, state), moved, rests)


def _wait(machine: Machine, state: State) -> tuple[State, bool]:
    """Let time pass until no timer runs."""
    for _ in range(MOST_MOMENTS):
        next_ms = ends_next_ms(machine, state)
        if not next_ms:
            return state, True
        state, _ = step(machine, state, state.inputs, next_ms)
    return state, False


def _there(machine: Machine, changes: Mapping[str, Setting]) -> list[tuple[Input, Setting]]:
    """Only what this vehicle has: rules try `park-brake` also on a body without one."""
    by_name = {item.name: item for item in machine.inputs}
    return [(by_name[name], value) for name, value in changes.items() if name in by_name]


def _rest(item: Input) -> Setting:
    if item.rest == "last":
        return item.values[0]
    return item.rest
