"""What of a build does control depend on? The key under which its answers are remembered.

An edit of an aim or of a price leaves this as it is, and so everything that was found about control.

See Also
--------
coachwright.kit.once : remembers. coachwright.control.ambiguity, coachwright.control.before_proof : what is remembered.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from coachwright.build.condition import Condition
from coachwright.build.model import (
    Equipment,
    Function,
    Head,
    Input,
    Job,
    Limit,
    Memory,
    Message,
    Model,
    Promise,
    Situation,
    Stop,
    VehicleOutput,
    Word,
)
from coachwright.build.model_fitted import Feed
from coachwright.control.asleep import sleeping_feeds
from coachwright.control.functions import names_through_words
from coachwright.parts.schema import BodyPart, ControllerPart


@dataclass(frozen=True, slots=True)
class Control:
    """A build, as far as control reads it.

    heads : without place and aim. controllers : (part, least voltage [V]). feeds : those that say when one sleeps.
    """

    heads: tuple[Head, ...]
    inputs: tuple[Input, ...]
    words: tuple[Word, ...]
    memories: tuple[Memory, ...]
    ranks: tuple[str, ...]
    functions: tuple[Function, ...]
    messages: tuple[Message, ...]
    limits: tuple[Limit, ...]
    stops: tuple[Stop, ...]
    equipment: tuple[Equipment, ...]
    outputs: tuple[VehicleOutput, ...]
    situations: tuple[Situation, ...]
    promises: tuple[Promise, ...]
    cannot_be: tuple[tuple[Condition, str], ...]
    controllers: tuple[tuple[str, float], ...]
    feeds: tuple[Feed, ...] = ()


def control_of(model: Model) -> Control:
    """The part of a build that control reads."""
    heads = tuple(
        replace(head, place="", aim_rad=0.0, elevation_rad=0.0, clock_tolerance_share=0.0) for head in model.heads
    )
    controllers = tuple((name, part.least_voltage) for name, part in model.parts if isinstance(part, ControllerPart))
    return Control(
        heads=heads,
        inputs=model.inputs,
        words=model.words,
        memories=model.memories,
        ranks=model.ranks,
        functions=model.functions,
        messages=model.messages,
        limits=model.limits,
        stops=model.stops,
        equipment=model.equipment,
        outputs=model.outputs,
        situations=model.situations,
        promises=model.promises,
        cannot_be=model.cannot_be,
        controllers=controllers,
        feeds=tuple(replace(feed, note="", path="") for feed in sleeping_feeds(model)),
    )


def model_of(control: Control) -> Model:
    """A build with this control and nothing else in it."""
    nothing: dict[str, Any] = {}
    parts = []
    for name, least_v in control.controllers:
        known: dict[str, Any] = {"kind": "controller", "name": name, "least_voltage": least_v}
        parts.append((name, ControllerPart.model_construct(**known)))
    return Model(
        file="",
        digest="",
        version=1,
        job=Job("", "", "", "", "", "", "", ()),
        count=1,
        body=BodyPart.model_construct(**nothing),
        packs=(),
        parts=tuple(parts),
        heads=control.heads,
        groups=(),
        inputs=control.inputs,
        words=control.words,
        memories=control.memories,
        ranks=control.ranks,
        functions=control.functions,
        messages=control.messages,
        limits=control.limits,
        stops=control.stops,
        equipment=control.equipment,
        outputs=control.outputs,
        situations=control.situations,
        promises=control.promises,
        waivers=(),
        cannot_be=control.cannot_be,
        feeds=control.feeds,
    )


def cone_of(control: Control, ids: Iterable[str]) -> Control:
    """The same with those functions only that can want one of these heads or sirens, and nothing that is only told."""
    wanted = set(ids)
    functions = tuple(function for function in control.functions if _wants_one_of(function, wanted))
    names = {function.name for function in functions}
    stops = tuple(
        replace(stop, functions=tuple(name for name in stop.functions if name in names)) for stop in control.stops
    )
    return replace(
        control,
        functions=functions,
        messages=(),
        limits=(),
        situations=(),
        promises=(),
        inputs=tuple(replace(item, tell_tale="", tell_tale_condition=None) for item in control.inputs),
        stops=stops,
    )


def _wants_one_of(function: Function, ids: set[str]) -> bool:
    shows = (*function.shows, *(show for level in function.levels for show in level.shows))
    sounds = any(sound.siren in ids for sound in function.sounds)
    return sounds or any(not ids.isdisjoint(show.heads) for show in shows)


def inputs_of(model: Model, functions: Iterable[str]) -> tuple[str, ...]:
    """Inputs that decide whether these functions act: through words, memory, levels and stops too."""
    words = {word.name: word.condition for word in model.words}
    names = set(functions)
    chosen = [function for function in model.functions if function.name in names]
    waiting = {function.by for function in chosen}
    waiting |= {sound.tone_memory for function in chosen for sound in function.sounds}
    for condition in _conditions_of(model, chosen):
        waiting |= names_through_words(condition, words)
    return inputs_of_memories(model, waiting)


def inputs_of_memories(model: Model, names: Iterable[str]) -> tuple[str, ...]:
    """Those of these names that are inputs, and the inputs that move those that are memories."""
    words = {word.name: word.condition for word in model.words}
    moves = {memory.name: memory.moves for memory in model.memories}
    read, waiting = set[str](), set(names)
    while waiting:
        name = waiting.pop()
        if name not in read:
            read.add(name)
            for move in moves.get(name, ()):
                for each in (move.on, move.condition):
                    waiting |= names_through_words(each, words) if each is not None else frozenset()
    return tuple(item.name for item in model.inputs if item.name in read)


def _conditions_of(model: Model, functions: list[Function]) -> list[Condition]:
    found = [function.when for function in functions if function.when is not None]
    found += [each.condition for function in functions for each in function.at_most]
    ended = {function.name for function in functions} | {function.rank for function in functions}
    return found + [stop.when for stop in model.stops if not ended.isdisjoint((*stop.functions, *stop.ranks))]
