"""What of a build does one promise depend on? The same build with nothing else in it.

Functions read no functions, so what a promise names decides which functions count; they decide which words, memories
and inputs do. The less there is, the quicker it is proved, and an edit elsewhere changes nothing. Only where memories
may go round within a moment does each depend on all of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from coachwright.build.condition import Condition, Event, FunctionState, HeadStatement, Truth, every_node
from coachwright.build.model import Function, Memory, Model, Promise, Show, Word
from coachwright.control.asleep import reads_off, sleeping_feeds
from coachwright.control.comes_to_rest import how_they_rest
from coachwright.control.compiled import SUPPLY
from coachwright.control.functions import names_through_words
from coachwright.control.heads import statement_of
from coachwright.control.signals import PARKS, SPEED
from coachwright.parts.schema import ControllerPart


def needed_for(model: Model, promise: Promise) -> Model:
    """The build without what can't matter to this promise."""
    said = [each for each in (promise.when, promise.then, promise.never, promise.after, promise.until) if each]
    said_heads = {head for condition in said for node in every_node(condition) for head in _heads_of(node)}
    functions = tuple(_on_these(each, said_heads) for each in model.functions if _matters(each, said))
    names = {function.name for function in functions}
    ranks = {function.rank for function in functions}
    stops = tuple(
        replace(stop, functions=tuple(name for name in stop.functions if name in names))
        for stop in model.stops
        if names.intersection(stop.functions) or ranks.intersection(stop.ranks)
    )
    limits = tuple(limit for limit in model.limits if ranks.intersection(limit.ranks))
    conditions: list[Condition] = [*said, *(stop.when for stop in stops), *(limit.when for limit in limits)]
    read: set[str] = {function.by for function in functions if function.by}
    for function in functions:
        conditions += [each.condition for each in function.at_most]
        conditions += [function.when] if function.when is not None else []
        read |= {sound.tone_memory for sound in function.sounds if sound.tone_memory}
    read |= _read(model, conditions)
    read |= _read(model, (condition for condition, _ in model.cannot_be))
    memories = _that_matter(model, read)
    read |= _read(model, _conditions_of(memories))
    feeds = sleeping_feeds(model) if any(reads_off(item) for item in model.inputs if item.name in read) else ()
    awake = [feed.sleep_after for feed in feeds if feed.sleep_after is not None]
    read |= _read(model, awake)
    memories = _that_matter(model, read | {memory.name for memory in memories})
    read |= _read(model, _conditions_of(memories))
    wires = {item.name for item in model.inputs if item.kind in ("turn-wire", "hazard")}
    if read & wires:
        read |= wires
    if any(item.lost == PARKS and item.name in read for item in model.inputs):
        read.add(SPEED)
    read.add(SUPPLY)
    inputs = tuple(replace(item, tell_tale="", tell_tale_condition=None) for item in model.inputs if item.name in read)
    controllers = {name for name, part in model.parts if isinstance(part, ControllerPart)}
    named_heads, named_equipment = said_heads | _heads_shown(functions), _done_by(functions, said)
    return replace(
        model,
        digest="",
        heads=tuple(head for head in model.heads if head.id in named_heads),
        # the controllers stay: under the least voltage of one of them everything begins anew
        equipment=tuple(each for each in model.equipment if each.name in named_equipment or each.part in controllers),
        inputs=inputs,
        words=_words(model, [*conditions, *awake, *_conditions_of(memories), *(each for each, _ in model.cannot_be)]),
        feeds=feeds,
        memories=memories,
        functions=functions,
        stops=stops,
        limits=limits,
        messages=(),
        situations=(),
        promises=(promise,),
    )


def _matters(function: Function, said: Iterable[Condition]) -> bool:
    """Can it have anything the promise speaks of?"""
    heads = {head for show in _shows(function) for head in show.heads}
    does = {*(sound.siren for sound in function.sounds), *function.runs, *function.interrupts}
    for condition in said:
        for node in every_node(condition):
            match node:
                case HeadStatement() if heads.intersection(node.heads):
                    return True
                case Truth(name) if name in does:
                    return True
                case FunctionState(name) if name == function.name:
                    return True
    return False


def _heads_of(node: Condition) -> tuple[str, ...]:
    return node.heads if isinstance(node, HeadStatement) else ()


def _on_these(function: Function, heads: set[str]) -> Function:
    """The function as far as these heads go; a level without a show is still one at which it acts."""
    levels = tuple(replace(level, shows=_with_heads(level.shows, heads)) for level in function.levels)
    return replace(function, shows=_with_heads(function.shows, heads), levels=levels, says=())


def _with_heads(shows: Iterable[Show], heads: set[str]) -> tuple[Show, ...]:
    """Shows as far as these heads go. One that runs over a row says something else over a shorter row, so it stays."""
    found = []
    for show in shows:
        there = replace(show, heads=tuple(each for each in show.heads if each in heads))
        if there.heads:
            found.append(there if statement_of(there) == statement_of(show) else show)
    return tuple(found)


def _heads_shown(functions: Iterable[Function]) -> set[str]:
    return {head for function in functions for show in _shows(function) for head in show.heads}


def _done_by(functions: Iterable[Function], said: Iterable[Condition]) -> set[str]:
    """Names of what these functions sound, run or interrupt, and of what the promise may speak of."""
    named = {node.name for condition in said for node in every_node(condition) if isinstance(node, Truth)}
    for function in functions:
        named |= {*(sound.siren for sound in function.sounds), *function.runs, *function.interrupts}
    return named


def _shows(function: Function) -> list[Show]:
    return [*function.shows, *(show for level in function.levels for show in level.shows)]


def _read(model: Model, conditions: Iterable[Condition | None]) -> set[str]:
    words = {word.name: word.condition for word in model.words}
    found: set[str] = set()
    for condition in conditions:
        if condition is not None:
            found |= names_through_words(condition, words)
    return found


def _that_matter(model: Model, read: set[str]) -> tuple[Memory, ...]:
    """The memories among these names and all that they read; all there are, where others may take theirs back."""
    found = _with_memories(model, read)
    if len(found) == len(model.memories) or not found:
        return found
    apart = how_they_rest(model, found) == "at once" and how_they_rest(model, model.memories) != "not always"
    return found if apart else model.memories


def _with_memories(model: Model, read: set[str]) -> tuple[Memory, ...]:
    """The memories among these names, and all that they read in turn."""
    known = {memory.name: memory for memory in model.memories}
    found, waiting = set[str](), set(read)
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        found.add(name)
        if name in known:
            waiting |= _read(model, _conditions_of([known[name]]))
    return tuple(memory for memory in model.memories if memory.name in found)


def _conditions_of(memories: Iterable[Memory]) -> list[Condition]:
    written = [each for memory in memories for move in memory.moves for each in (move.on, move.condition)]
    return [each for each in written if each is not None]


def _words(model: Model, conditions: Iterable[Condition]) -> tuple[Word, ...]:
    """The words these conditions use, through one another."""
    known = {word.name: word for word in model.words}
    used: set[str] = set()
    waiting = list(conditions)
    while waiting:
        for node in every_node(waiting.pop()):
            name = node.name if isinstance(node, Truth | Event) else ""
            if name in known and name not in used:
                used.add(name)
                waiting.append(known[name].condition)
    return tuple(word for word in model.words if word.name in used)
