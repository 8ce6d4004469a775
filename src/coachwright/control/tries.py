"""What windows of control try: one hand at a control, one thing the vehicle does, from a situation at rest.

A control that nobody's conditions read can't change anything, so only those are tried that something reads.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from coachwright.build.condition import Condition
from coachwright.build.model import Function, Head, Input, Model, Show
from coachwright.control.functions import names_through_words
from coachwright.control.situations import settings_of
from coachwright.control.sources import Setting
from coachwright.control.statement import HeadState, Outputs
from coachwright.kit.by_digest import by_digest
from coachwright.place.panels import open_panels
from coachwright.place.zones import Zone, zones_of

QUARTERS: dict[Zone, str] = {"A": "front", "B": "right", "C": "rear", "D": "left"}
WARN = "warn"
ROAD = "road"
ARROWS = ("run-left", "run-right", "run-split")


@dataclass(frozen=True, slots=True)
class Try:
    """One control moved to one value. said : for people."""

    control: str
    value: Setting

    @property
    def said(self) -> str:
        """As a person would say it."""
        return f"{self.control} {self.value}"


def drives(model: Model, **also: Setting) -> dict[str, Setting]:
    """Driving in gear: what makes brake, turn and travel mean something, as far as this vehicle has it."""
    there = {item.name for item in model.inputs}
    wanted: dict[str, Setting] = {
        "gear": "D",
        "park-brake": "off",
        **{key.replace("_", "-"): v for key, v in also.items()},
    }
    return {name: value for name, value in wanted.items() if name in there}


def has(model: Model, *names: str) -> bool:
    """Does the vehicle have all these inputs?"""
    return set(names) <= {item.name for item in model.inputs}


@by_digest
def controls_read(model: Model) -> frozenset[str]:
    """Hand and foot controls that some condition, memory or level reads."""
    read = names_of(model, all_conditions(model)) | {function.by for function in model.functions if function.by}
    return frozenset(item.name for item in model.inputs if item.is_control and item.name in read)


def hand_tries(model: Model, situation: str, only: frozenset[str] | None = None) -> Iterator[Try]:
    """Each control moved alone to each value it doesn't have in the situation."""
    stands = dict(settings_of(model, situation))
    for item in model.inputs:
        if not item.is_control or item.name not in (controls_read(model) if only is None else only):
            continue
        yield from (Try(item.name, value) for value in item.values if value != stands.get(item.name))


def positions(item: Input) -> tuple[str, ...]:
    """Values of a slide or pick-one above its first; nothing for the rest."""
    return item.values[1:] if item.kind in ("slide", "pick-one") else ()


def all_conditions(model: Model) -> Iterator[Condition]:
    """Every condition that can change what happens."""
    for function in model.functions:
        yield from conditions_of(function)
    for memory in model.memories:
        for move in memory.moves:
            yield move.on
            if move.condition is not None:
                yield move.condition
    yield from (stop.when for stop in model.stops)
    yield from (limit.when for limit in model.limits)


def conditions_of(function: Function) -> Iterator[Condition]:
    """When a function acts, and what holds its level down."""
    if function.when is not None:
        yield function.when
    yield from (limit.condition for limit in function.at_most)


def names_of(model: Model, conditions: Iterable[Condition]) -> frozenset[str]:
    """Inputs and memories read, through words."""
    words = {word.name: word.condition for word in model.words}
    found: set[str] = set()
    for condition in conditions:
        found |= names_through_words(condition, words)
    return frozenset(found)


def reads_through_memory(model: Model, function: Function) -> frozenset[str]:
    """Inputs a function depends on: its own, and those that move the memories it reads."""
    found = set(names_of(model, conditions_of(function)) | ({function.by} if function.by else set()))
    memories = {memory.name: memory for memory in model.memories}
    waiting = [name for name in found if name in memories]
    waiting += [sound.tone_memory for sound in function.sounds if sound.tone_memory]
    done: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name in done:
            continue
        done.add(name)
        moved = names_of(
            model, [each for move in memories[name].moves for each in (move.on, move.condition) if each is not None]
        )
        found |= moved
        waiting.extend(other for other in moved if other in memories)
    return frozenset(found)


def buttons_of(model: Model, function: Function) -> tuple[str, ...]:
    """Buttons a function reads itself, through words."""
    reads = names_of(model, conditions_of(function))
    return tuple(item.name for item in model.inputs if item.kind == "button" and item.name in reads)


def all_shows(function: Function) -> Iterator[tuple[str, Show]]:
    """Every show of a function with the position it belongs to."""
    yield from (("", show) for show in function.shows)
    yield from ((level.position, show) for level in function.levels for show in level.shows)


def lit_by(outputs: Outputs, ranks: dict[str, str], rank: str) -> frozenset[str]:
    """Heads of which a function of this rank lights a colour."""
    return frozenset(
        state.head for state in outputs.heads if any(ranks.get(part.owner) == rank for part in state.parts)
    )


def owned_by(state: HeadState, functions: frozenset[str]) -> bool:
    """Does one of these functions light the head?"""
    return any(part.owner in functions for part in state.parts)


@by_digest
def ranks_of(model: Model) -> dict[str, str]:
    """Rank of every function."""
    return {function.name: function.rank for function in model.functions}


@by_digest
def toward_of(model: Model, situation: str) -> dict[str, str]:
    """Quarter every head looks into in a situation; empty for one that looks straight up or down."""
    panels = open_panels(model.body, dict(settings_of(model, situation)))
    found = {}
    for head in model.heads:
        zones = zones_of(head, model, panels)
        found[head.id] = QUARTERS[zones[0]] if zones else ""
    return found


@by_digest
def heads_by_id(model: Model) -> dict[str, Head]:
    """Every head by its id."""
    return {head.id: head for head in model.heads}


def manner_said(manner: str) -> str:
    """Steady or flashing: what a rule asks."""
    return "steady" if manner == "steady" else "flashing"
