"""What should somebody know who asked about one setting, beside what the vehicle does there?

That the vehicle can't be so; that a memory didn't stay where it was put; that something reads otherwise than it was
set; that a level is held down; what was taken as off though it may be on.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Model, Situation
from coachwright.build.quantity_text import print_quantity
from coachwright.control.functions import names_through_words
from coachwright.control.machine import Watch, build_machine, instants, power_up, start_inputs, values_read
from coachwright.control.situations import Settled, machine_of
from coachwright.control.sources import LOST, Setting
from coachwright.control.tries import controls_read

_ON_ITS_WIRE = ("flashing", "low", "high", "pressed", "released")


def to_know(model: Model, asked: Situation, settled: Settled) -> tuple[str, ...]:
    """Sentences, most important first; none when there is nothing to say."""
    return (
        *_excluded(model, asked),
        *_memory(asked, settled),
        *_levels(model, settled),
        *_read_otherwise(model, asked, settled),
        *_either(model, asked),
    )


def _excluded(model: Model, asked: Situation) -> Iterator[str]:
    """What the body says can't be; nothing is said about what is lost, for nobody knows how it stands."""
    lost = {name for name, value in asked.settings if value == LOST}
    words = {word.name: word.condition for word in model.words}
    known = [(condition, why) for condition, why in model.cannot_be if not lost & names_through_words(condition, words)]
    if not known:
        return
    machine = build_machine(model, watch=[Watch(condition) for condition, _ in known])
    inputs, kept = start_inputs(machine, {name: value for name, value in asked.settings if name not in lost})
    state, _ = power_up(machine, inputs, kept=kept)
    *_, moment = instants(machine, state, inputs, 0)
    for (_, why), holds in zip(known, moment.watched, strict=True):
        if holds:
            yield f"The vehicle can't be so: {why.rstrip('.')}."


def _memory(asked: Situation, settled: Settled) -> Iterator[str]:
    for name, went in settled.lost_memory:
        yield f"{name} was put at {dict(asked.memory)[name]}, and a move took it to {went}."
    for name in settled.outputs.restless:
        yield f"The moves of {name} lead round and round in one step; it stays where it was."
    if not settled.comes_to_rest:
        yield "Its timers never run out: this is one moment of many."


def _levels(model: Model, settled: Settled) -> Iterator[str]:
    reads = values_read(machine_of(model), settled.state)
    functions = {function.name: function for function in model.functions}
    for name, level in settled.outputs.levels:
        function = functions[name]
        if function.at_most and function.by and reads[function.by] != level:
            positions = model.input(function.by).values
            if positions.index(str(reads[function.by])) > positions.index(level):
                yield f"{name} shows its level {level}, though {function.by} stands at {reads[function.by]}."


def _read_otherwise(model: Model, asked: Situation, settled: Settled) -> Iterator[str]:
    reads = values_read(machine_of(model), settled.state)
    kinds = {item.name: item.number_kind for item in model.inputs}
    for name, value in asked.settings:
        if value not in _ON_ITS_WIRE and reads[name] != value:
            yield f"{name} {'is lost and reads' if value == LOST else 'reads'} {_said(reads[name], kinds[name])}."


def _either(model: Model, asked: Situation) -> Iterator[str]:
    named = {name for name, _ in asked.settings}
    kept = [
        item.name
        for item in model.inputs
        if item.rest == "last" and item.name not in named and item.name in controls_read(model)
    ]
    if len(kept) == 1:
        yield f"{kept[0]} keeps its last value and is taken as off here; it may as well be on."
    elif kept:
        yield f"{', '.join(kept)} keep their last values and are taken as off here; each may as well be on."


def _said(value: Setting, kind: str) -> str:
    return print_quantity(value, kind) if isinstance(value, float) else str(value)
