"""Do the memories of a build come to rest by themselves, whatever happens and wherever they stand?

Rounds that come back take *all* memories back to where they were before the moment. So where some may go round on the
way, every memory of a build depends on every other one. Where they only come back to where they stood before the
moment, nobody else has moved either, and what else would move does so when the moment is gone through once more.

See Also
--------
coachwright.control.rounds : what coming back does. coachwright.control.needed : who has to know.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from coachwright.build.condition import Condition, Constant, Event, First, Held, Plus, Truth, every_node
from coachwright.build.model import Memory, Model, Promise
from coachwright.control.choices import every_condition
from coachwright.control.circuit import FALSE
from coachwright.control.cone import Control, control_of, inputs_of_memories, model_of
from coachwright.control.encode import Moment
from coachwright.control.frame import all_rules
from coachwright.control.functions import names_through_words
from coachwright.control.machine import build_machine
from coachwright.control.promised import Promised
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.unrolled import Unrolled
from coachwright.kit.once import once

_NOTHING = Promise("", "never", "", never=Constant(value=False))


Rest = Literal["at once", "as before", "not always"]


def how_they_rest(model: Model, memories: tuple[Memory, ...]) -> Rest:
    """How memories, left to themselves, come to rest in every moment.

    at once : no rounds of theirs ever come back. as before : where they do, it is to where they were before the moment.
    not always : they may come back to where they were on the way, or not come to rest soon.

    Whatever the inputs read: also what the body says can't be, since a source may lie.
    memories : a memory that one of them looks at has to be among them.
    """
    if not memories:
        return "at once"
    there = frozenset(memory.name for memory in memories)
    words = {word.name: word.condition for word in model.words}
    inputs = {*inputs_of_memories(model, there)}
    wires = {item.name for item in model.inputs if item.kind in ("turn-wire", "hazard")}
    inputs |= wires if inputs & wires else set()
    left = replace(
        model,
        heads=(),
        inputs=tuple(
            replace(item, tell_tale="", tell_tale_condition=None) for item in model.inputs if item.name in inputs
        ),
        words=tuple(word for word in model.words if _reads_no_more(word.condition, words, there | inputs)),
        memories=memories,
        functions=(),
        messages=(),
        limits=(),
        stops=(),
        equipment=(),
        outputs=(),
        situations=(),
        promises=(),
        parts=(),
        cannot_be=(),
        feeds=(),
    )
    return _come_to_rest(control_of(left))


def nobody_tells(model: Model) -> bool:
    """Does it make no difference to any memory, timer or `becomes` what else moves in the same moment?

    Rounds that come back are dropped only where nothing else has moved. Where they come back to how it was before the
    moment, memory stands the same either way, and only what was timed or became true on the way can tell.
    """
    if how_they_rest(model, model.memories) == "not always":
        return False
    telling = {name for condition in every_condition(model) for name in _timed_or_turned(model, condition)}
    return all(
        memory.name not in telling or how_they_rest(model, _with_looked_at(model, memory)) == "at once"
        for memory in model.memories
    )


def _timed_or_turned(model: Model, condition: Condition) -> frozenset[str]:
    words = {word.name: word.condition for word in model.words}
    found: frozenset[str] = frozenset()
    for node in every_node(condition):
        if isinstance(node, Held | First | Plus):
            found |= names_through_words(node.item, words)
        elif isinstance(node, Event) and node.kind == "becomes":
            found |= names_through_words(node.item or Truth(node.name), words)
    return found


def _with_looked_at(model: Model, memory: Memory) -> tuple[Memory, ...]:
    """The memory and all that it looks at, through others too."""
    words = {word.name: word.condition for word in model.words}
    known = {each.name: each for each in model.memories}
    found, waiting = set[str](), {memory.name}
    while waiting:
        name = waiting.pop()
        found.add(name)
        for move in known[name].moves:
            for each in (move.on, move.condition):
                read = names_through_words(each, words) if each is not None else frozenset()
                waiting |= (read & known.keys()) - found
    return tuple(each for each in model.memories if each.name in found)


def _reads_no_more(condition: Condition, words: dict[str, Condition], names: frozenset[str]) -> bool:
    return names_through_words(condition, words) <= names


@once(max_bytes=1_000_000)
def _come_to_rest(control: Control) -> Rest:
    model = model_of(control)
    moment = Moment(model, build_machine(model))
    # free: a source that lies, is lost or comes back, and a controller that falls asleep or wakes, are among this
    unrolled = Unrolled(moment, Promised(moment, Shown(moment), _NOTHING), free=frozenset(moment.inputs))
    before = unrolled.anywhere()
    after = unrolled.after(before)
    if after.came_back == after.restless == FALSE:
        return "at once"
    solver = Solver(unrolled.circuit, all_rules([before, after]))
    try:
        if solver.can_be(after.restless):
            return "not always"
        return "as before" if solver.can_be(after.came_back) else "at once"
    finally:
        solver.close()
