"""Can every situation of a build be, and does it keep the memory it names?

See Also
--------
coachwright.control.machine : power-up, laying memory in, standing until no timer runs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from coachwright.build.model import Model, Promise, Situation
from coachwright.control.choices import Value
from coachwright.control.claims import both, reads
from coachwright.control.cone import inputs_of_memories
from coachwright.control.encode import Moment
from coachwright.control.machine import (
    Machine,
    State,
    build_machine,
    ends_next_ms,
    lay_in,
    memory_of,
    power_up,
    start_inputs,
    step,
    values_read,
)
from coachwright.control.prove import prove
from coachwright.control.statement import Outputs
from coachwright.control.story import Target, any_story
from coachwright.kit.finding import Finding, Fix

STEPS_MOST = 4000
_TIMERS_MOST = 1000
"""Ends of timers waited for, at most, until a situation stands."""


def situation_findings(moment: Moment, unreached: frozenset[tuple[str, str]]) -> Iterator[Finding]:
    """What is wrong with situations. unreached : (memory, value) pairs that no move leads to."""
    alone = _without_functions(moment) if any(situation.memory for situation in moment.model.situations) else moment
    for situation in moment.model.situations:
        yield from _situation(moment, situation, alone, unreached)


def _situation(
    moment: Moment, situation: Situation, alone: Moment, unreached: frozenset[tuple[str, str]]
) -> Iterator[Finding]:
    machine = moment.machine
    inputs, kept = start_inputs(machine, dict(situation.settings))
    state, outputs = power_up(machine, inputs, kept=kept)
    excluded = _excluded(moment, state)
    if excluded:
        yield _not_reached(situation, "{situation} can't be: {why}.", excluded, certain=True)
        return
    named = dict(situation.memory)
    before = memory_of(machine, state)
    restless = set(outputs.restless)
    state, outputs = lay_in(machine, state, named)
    restless |= set(outputs.restless)
    at_once = memory_of(machine, state)
    if not _taken(named, at_once) and any(before[name] != value for name, value in named.items()):
        yield from _memory_reached(alone, situation, values_read(machine, state), unreached)
    state, later_restless, comes_to_rest = _stood(machine, state)
    restless |= later_restless
    if not comes_to_rest:
        yield _never_rests(situation)
    for memory, value in _taken(named, memory_of(machine, state)):
        yield _memory_taken(situation, memory, value, at_once=at_once[memory] != value)
    for memory in sorted(restless):
        yield _restless(moment.model, situation, memory)


def _stood(machine: Machine, state: State) -> tuple[State, set[str], bool]:
    """The state once no timer runs, the memories that found no rest on the way, and whether it came to that."""
    restless: set[str] = set()
    for _ in range(_TIMERS_MOST):
        wait_ms = ends_next_ms(machine, state)
        if not wait_ms:
            return state, restless, True
        state, outputs = step(machine, state, state.inputs, wait_ms)
        restless |= set(outputs.restless)
    return state, restless, False


def _excluded(moment: Moment, state: State) -> str:
    """Why the body says that this can't be, or ""."""
    if not moment.model.cannot_be:
        return ""
    values = moment.values(values_read(moment.machine, state), memory_of(moment.machine, state), timed={})
    literals = [moment.condition(condition) for condition, _ in moment.model.cannot_be]
    answers = moment.circuit.evaluate(literals, values)
    return next((why for (_, why), true in zip(moment.model.cannot_be, answers, strict=True) if true), "")


def _taken(named: dict[str, str], stands: dict[str, str]) -> list[tuple[str, str]]:
    return [(name, value) for name, value in named.items() if stands[name] != value]


def _memory_reached(
    moment: Moment, situation: Situation, wanted: Mapping[str, Value], unreached: frozenset[tuple[str, str]]
) -> Iterator[Finding]:
    named = dict(situation.memory)
    never = [f"{name} at {value}" for name, value in situation.memory if (name, value) in unreached]
    if never:
        yield _not_reached(
            situation, "{situation} can't be reached: no move leads to {why}.", ", ".join(never), certain=True
        )
        return
    places = {name: choice.place(wanted[name]) for name, choice in moment.inputs.items()}
    settings = tuple((name, wanted[name]) for name, choice in moment.inputs.items() if choice.rest != places[name])

    def arrived(after: State, _outputs: Outputs) -> bool:
        if _taken(named, memory_of(moment.machine, after)):
            return False
        read = values_read(moment.machine, after)
        return all(choice.place(read[name]) == places[name] for name, choice in moment.inputs.items())

    movable = inputs_of_memories(moment.model, named)
    story, tried_n = any_story(
        moment, arrived, Target(settings, situation.memory), movable=movable, steps_most=STEPS_MOST
    )
    if story is None:
        stands = ", ".join(f"{name} at {value}" for name, value in situation.memory)
        if _never_together(moment.model, situation, {name: wanted[name] for name in movable}):
            why = f"proved over every state, no story leads to {stands} under its settings"
            yield _not_reached(situation, "{situation} can't be reached: {why}.", why, certain=True)
            return
        why = f"no story found within {tried_n} steps that leads to {stands}"
        yield _not_reached(situation, "{situation} may be out of reach: {why}.", why, certain=False)


def _never_together(model: Model, situation: Situation, settings: Mapping[str, Value]) -> bool:
    """Is it proved that its memory and the settings that move it never stand together?"""
    together = [reads(model, name, value) for name, value in (*settings.items(), *situation.memory)]
    return prove(model, Promise(situation.name, "never", situation.path, never=both(together))).state == "proved"


def _without_functions(moment: Moment) -> Moment:
    """The same inputs and memories alone: functions change neither, and the step goes faster without them."""
    model = replace(moment.model, functions=(), stops=(), limits=(), messages=(), heads=())
    model = replace(model, inputs=tuple(replace(item, tell_tale="", tell_tale_condition=None) for item in model.inputs))
    return Moment(model, build_machine(model))


def _not_reached(situation: Situation, template: str, why: str, *, certain: bool) -> Finding:
    return Finding(
        "CTL-020",
        "situation-not-reached",
        "error" if certain else "warning",
        template,
        {"situation": situation.name, "why": why.rstrip(".")},
        about=situation.path,
        fix=Fix("Set what a crew can really bring about, or add the move that leads there."),
    )


def _memory_taken(situation: Situation, memory: str, value: str, *, at_once: bool) -> Finding:
    return Finding(
        "CTL-021",
        "situation-memory-taken",
        "error",
        "{situation} names {memory} at {value}, but under its settings a move takes that away {when}.",
        {
            "situation": situation.name,
            "memory": memory,
            "value": value,
            "when": "at once" if at_once else "while it stands",
        },
        about=f"{situation.path}.{memory}",
        fix=Fix("Take the memory out of the situation, or change the setting that moves it."),
    )


def _never_rests(situation: Situation) -> Finding:
    return Finding(
        "CTL-029",
        "situation-never-rests",
        "error",
        "In {situation} timers start one another for ever, so it is judged in one moment of many.",
        {"situation": situation.name},
        about=situation.path,
        fix=Fix("Let one of the timed moves end, or set the input that keeps them going."),
    )


def _restless(model: Model, situation: Situation, memory: str) -> Finding:
    path = next(each.path for each in model.memories if each.name == memory)
    return Finding(
        "CTL-022",
        "memory-never-rests",
        "error",
        "In {situation} the moves of {memory} lead round and round in one step; it is left where it stood.",
        {"situation": situation.name, "memory": memory},
        about=path,
        fix=Fix("Let one of the moves hold only where another one doesn't take it back."),
    )
