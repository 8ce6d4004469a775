"""One life told twice: the machine and an exported program go through the same steps, and are compared after each.

`Told` turns what stands at the sources into the program's inputs, and what either puts out into one form.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from coachwright.build.model import Model
from coachwright.control.export.contests import share_number
from coachwright.control.export.terms import Program
from coachwright.control.machine import Machine, State, build_machine, memory_of, power_up, step
from coachwright.control.signals import Inputs
from coachwright.control.sources import stand, start_values
from coachwright.control.statement import Outputs
from tests.control.export.interpreter import runner, start_of
from tests.control.machines import Change, at_rest, can_stand

Facts = Mapping[str, Any]
Values = Mapping[str, Any]


def standing(model: Model, change: Change) -> Inputs:
    """The sources of one step, for the machine."""
    base = Inputs((0,) * len(model.inputs), asleep=change.asleep)
    sources = stand(model.inputs, base, change.sources)
    return stand(model.inputs, sources, dict.fromkeys(change.lost, "lost"))


def given(facts: Facts, inputs: Inputs, elapsed_ms: int) -> dict[str, Any]:
    """The inputs of the program."""
    found: dict[str, Any] = {"elapsed_ms": elapsed_ms, "asleep": inputs.asleep}
    for place, fact in enumerate(facts["inputs"]):
        if "in" in fact:
            value = inputs.values[place]
            found[fact["in"]] = bool(value) if fact["two-way"] else value if fact["values"] else float(value)
            found[fact["silent"]] = place in inputs.lost
    return found


def said_by_program(facts: Facts, out: Values) -> dict[str, Any]:
    """What the program read, keeps and puts out, by the names of the build."""
    shows = {fact["number"]: fact for fact in facts["shows"]}
    functions = facts["functions"]
    return {
        "memory": {fact["name"]: fact["values"][out[fact["at"]]] for fact in facts["memories"]},
        "restless": {fact["name"] for fact in facts["memories"] if out[fact["restless"]]},
        "active": {fact["name"] for fact in functions if out[fact["acts"]]},
        "levels": {
            (f["name"], f["levels"][out[f["level"]]]) for f in functions if out[f["acts"]] and f["levels"] != [""]
        },
        "stopped": {
            (name, stop["name"])
            for stop in facts["stops"]
            if out[stop["at"]]
            for name in stop["stops"]
            if next(f for f in functions if f["name"] == name) and _wants(functions, name, out)
        },
        "heads": {
            fact["name"]: (
                {owner["function"] for owner in fact["owners"] if out[owner["at"]]},
                bool(out[fact["undecided"]]),
                {_burns(shows[out[each["at"]]], out[each["share"]]) for each in fact["colours"] if out[each["at"]]},
            )
            for fact in facts["heads"]
        },
        "sirens": {
            fact["name"]: (
                fact["tones"][out[fact["at"]] - 1] if out[fact["at"]] else "",
                {owner["function"] for owner in fact["owners"] if out[owner["at"]]},
                bool(out[fact["undecided"]]),
            )
            for fact in facts["sirens"]
            if out[fact["at"]] or out[fact["undecided"]]
        },
        "runs": {fact["name"] for fact in facts["runs"] if out[fact["at"]]},
        "interrupts": {fact["name"] for fact in facts["interrupts"] if out[fact["at"]]},
        "messages": {fact["name"] for fact in facts["messages"] if out[fact["at"]]},
        "tell-tales": {(fact["control"], fact["values"][out[fact["at"]]]) for fact in facts["tell-tales"]},
    }


def _wants(functions: Any, name: str, out: Values) -> bool:
    return next(out[f["level"]] >= 0 for f in functions if f["name"] == name)


def _burns(show: Mapping[str, Any], share: int) -> tuple[Any, ...]:
    text = show["pattern"]["text"] if "pattern" in show else ""
    return (show["colour"], show["manner"], text, show["sides"], show["signal"], share)


def said_by_machine(machine: Machine, state: State, outputs: Outputs) -> dict[str, Any]:
    """The same of the machine."""
    return {
        "memory": memory_of(machine, state),
        "restless": set(outputs.restless),
        "active": set(outputs.active),
        "levels": set(outputs.levels),
        "stopped": set(outputs.stopped),
        "heads": {
            head.head: (
                set(head.owners),
                head.ambiguous,
                {
                    (
                        part.colour,
                        part.show.manner,
                        part.show.pattern.text if part.show.pattern is not None else "",
                        part.show.sides,
                        part.show.signal,
                        share_number(part.share),
                    )
                    for part in head.parts
                },
            )
            for head in outputs.heads
        },
        "sirens": {sound.siren: (sound.tone, set(sound.owners), sound.ambiguous) for sound in outputs.sounds},
        "runs": set(outputs.runs),
        "interrupts": set(outputs.interrupts),
        "messages": set(outputs.messages),
        "tell-tales": set(outputs.tell_tales),
    }


# ------------------------------------------------------------------------------------------------ a life of its own
_TIMES_MS = (0, 0, 1, 2, 3, 4, 5, 6, 7, 9, 12, 15, 20, 24, 61, 300)


def random_life(model: Model, seed: int, steps_n: int) -> list[Change]:
    """So many steps, the same for the same seed: sources change, fall silent and come back, the controller sleeps."""
    rng = random.Random(seed)
    sources = {item.name: at_rest(item) for item in model.inputs}
    movable = [item for item in model.inputs if len(can_stand(item)) > 1]
    lost: set[str] = set()
    asleep = False
    life = []
    for _ in range(steps_n):
        for _ in range(rng.choice([0, 1, 1, 1, 2, 3])):
            item = rng.choice(movable)
            sources[item.name] = rng.choice([each for each in can_stand(item) if each != sources[item.name]])
        if rng.random() < 0.1:
            lost ^= {rng.choice(movable).name}
        if rng.random() < (0.3 if asleep else 0.05):
            asleep = not asleep
        life.append(Change(rng.choice(_TIMES_MS), dict(sources), frozenset(lost), asleep))
    return life


def rest_of(model: Model) -> Change:
    """Everything at rest, with which a life begins."""
    return Change(0, {item.name: at_rest(item) for item in model.inputs}, frozenset(), asleep=False)


def told_by_machine(model: Model, life: list[Change]) -> list[dict[str, Any]]:
    """What the machine says after each step, the power-up first."""
    machine = build_machine(model)
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, outputs = power_up(machine, inputs)
    told = [said_by_machine(machine, state, outputs)]
    for change in life:
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        told.append(said_by_machine(machine, state, outputs))
    return told


def told_by_program(model: Model, program: Program, facts: Facts, life: list[Change]) -> list[dict[str, Any]]:
    """What a program says after each step."""
    run, kept = runner(program), start_of(program)
    told = []
    for change in [rest_of(model), *life]:
        kept = run(kept, given(facts, standing(model, change), change.elapsed_ms))
        told.append(said_by_program(facts, kept))
    return told


def first_difference(one: list[dict[str, Any]], other: list[dict[str, Any]]) -> str:
    """Where two lives part, in words; "" where they don't."""
    for number, (here, there) in enumerate(zip(one, other, strict=True)):
        apart = {key: (here[key], there[key]) for key in here if here[key] != there[key]}
        if apart:
            return f"step {number}: {apart}"
    return ""
