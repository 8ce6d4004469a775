"""Do the memories of a build always come to rest, whatever happens and wherever they stand?

Rounds that come back take *all* memories back to where they were before the moment. So where that can happen, every
memory of a build depends on every other one; where it can't, only on those it looks at.

See Also
--------
coachwright.control.rounds : what coming back does. coachwright.control.needed : who has to know.
"""

from __future__ import annotations

from dataclasses import replace

from coachwright.build.condition import Condition, Constant
from coachwright.build.model import Memory, Model, Promise
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


def always_come_to_rest(model: Model, memories: tuple[Memory, ...]) -> bool:
    """Is there no moment in which the rounds of these memories, left to themselves, come back or don't end soon?

    Whatever the inputs read: also what the body says can't be, since a source may lie.
    memories : a memory that one of them looks at has to be among them.
    """
    if not memories:
        return True
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


def _reads_no_more(condition: Condition, words: dict[str, Condition], names: frozenset[str]) -> bool:
    return names_through_words(condition, words) <= names


@once(max_bytes=1_000_000)
def _come_to_rest(control: Control) -> bool:
    model = model_of(control)
    moment = Moment(model, build_machine(model))
    # free: a source that lies, is lost or comes back, and a controller that falls asleep or wakes, are among this
    unrolled = Unrolled(moment, Promised(moment, Shown(moment), _NOTHING), free=frozenset(moment.inputs))
    before = unrolled.anywhere()
    after = unrolled.after(before)
    if after.unsettled == FALSE:
        return True
    solver = Solver(unrolled.circuit, all_rules([before, after]))
    try:
        return not solver.can_be(after.unsettled)
    finally:
        solver.close()
