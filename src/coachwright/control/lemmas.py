"""What is always true of memories, though no single moment shows it: found by trying, kept only where it is proved.

Candidates are of the shape "that holds", or "while this memory stands there, that holds"; between two events and under
a fault also "while the promise is armed", "while the source lies". Those that a power-up or a step can break are
dropped until none can be broken; what is left holds in every moment of every story, because it holds at power-up and
every step keeps it.

References
----------
.. [1] C. Flanagan, K. R. M. Leino, "Houdini, an annotation assistant for ESC/Java" (2001): the greatest set of
       candidates that is inductive.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coachwright.control.asleep import sleep_of
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.frame import ASLEEP, Frame
from coachwright.control.functions import names_through_words
from coachwright.control.promised import Promised
from coachwright.control.sat import Solver
from coachwright.control.unrolled import Unrolled

MOST_CANDIDATES = 6000
"""More would cost more than they help; a build has some hundred."""


def candidates(moment: Moment, promised: Promised) -> tuple[int, ...]:
    """Literals of the moment that might always be true, the promise itself first."""
    circuit = moment.circuit
    standing = [literal for choice in moment.memories.values() for literal in choice.literals]
    standing += [each for each in (promised.armed, promised.lying) if each != TRUE]
    said = [moment.condition(condition) for condition in moment.words.values()]
    said += [*moment.stops, *moment.timed.values(), *moment.held_off_bits.values()]
    said += [acting.wanting for acting in moment.functions.values()]
    sleep = sleep_of(moment.model)
    said += [] if sleep is None else [moment.condition(sleep.awake_while)]
    consequences = list(dict.fromkeys(abs(each) for each in (*said, *standing) if each not in (TRUE, FALSE)))
    found = {-promised.broken: None}
    found |= dict.fromkeys(literal for each in consequences for literal in (each, -each))
    both_ways = [literal for each in consequences for literal in (each, -each)]
    waits = _waits(moment)
    for premise, literals in (*((each, (*both_ways, *waits)) for each in standing), *_read_by_moves(moment)):
        for each in literals:
            candidate = circuit.implies(premise, each)
            if candidate != TRUE and len(found) < MOST_CANDIDATES:
                found[candidate] = None
    return tuple(found)


def _read_by_moves(moment: Moment) -> Iterator[tuple[int, list[int]]]:
    """Per value of a memory: what the inputs that its moves read may read, or may not, while it stands there.

    Where the controller may sleep, also: while it is awake.
    """
    sleeps = sleep_of(moment.model) is not None
    asleep = moment.circuit.variable(ASLEEP) if sleeps else FALSE
    for name, choice in moment.memories.items():
        read = [moment.inputs[each] for each in read_by_moves(moment, [name])]
        either = [literal for each in read for place in each.literals for literal in (place, -place)]
        either += [moment.circuit.any_of((asleep, each)) for each in either] if sleeps else []
        for standing in choice.literals:
            yield standing, either


def read_by_moves(moment: Moment, memories: Sequence[str]) -> list[str]:
    """Inputs that the moves of these memories read."""
    words = {word.name: word.condition for word in moment.model.words}
    read: set[str] = set()
    for memory in moment.model.memories:
        if memory.name in memories:
            for move in memory.moves:
                for condition in (move.on, move.condition):
                    read |= names_through_words(condition, words) if condition is not None else frozenset()
    return [name for name in moment.inputs if name in read]


def _waits(moment: Moment) -> list[int]:
    """Per function that may have to be asked again: it waits, or what would ask for it stands so that nobody asks.

    Between a stop and the next push that is what keeps it off: its hold-off, until a power-up clears it and puts its
    control back to its start.
    """
    circuit, machine = moment.circuit, moment.machine
    found: list[int] = []
    for function in machine.functions:
        bit = moment.held_off_bits.get(function.name)
        if bit is None:
            continue
        asked_by, inputs = function.asked_by, machine.inputs
        quiet = [moment.inputs[inputs[place].name].literals[0] for place in sorted(asked_by.turned_on)]
        if asked_by.by >= 0:
            literals = moment.inputs[inputs[asked_by.by].name].literals
            quiet.append(-circuit.any_of(literals[place] for place in sorted(asked_by.showing)))
        for place in sorted(asked_by.moved):
            quiet += moment.inputs[inputs[place].name].literals
        for place in sorted(asked_by.memories):
            quiet += moment.memories[machine.memories[place].name].literals
        found += [circuit.any_of((bit, each)) for each in quiet]
    return found


def always_true(unrolled: Unrolled, wanted: Sequence[int]) -> tuple[int, ...]:
    """Those of `wanted` (literals of the moment) that hold at power-up and are kept by every step."""
    left = _kept_by(unrolled, wanted, None, unrolled.start())
    before = unrolled.anywhere()
    after = unrolled.after(before)
    while True:
        kept = _kept_by(unrolled, left, before, after)
        if kept == left:
            return left
        left = kept


def _kept_by(unrolled: Unrolled, wanted: Sequence[int], before: Frame | None, after: Frame) -> tuple[int, ...]:
    """Those that hold `after`, when all of them hold `before`."""
    rules = [*(before.rules if before is not None else ()), *after.rules]
    solver = Solver(unrolled.circuit, rules)
    try:
        assumed = _at(unrolled, wanted, before) if before is not None else []
        left = dict(zip(wanted, _at(unrolled, wanted, after), strict=True))
        while left:
            found = solver.solution(*assumed, solver.one_of([-literal for literal in left.values()]))
            if found is None:
                break
            holds = found.holds(*left.values())
            left = {each: literal for (each, literal), true in zip(left.items(), holds, strict=True) if true}
        return tuple(left)
    finally:
        solver.close()


def _at(unrolled: Unrolled, wanted: Sequence[int], frame: Frame) -> list[int]:
    return unrolled.moment.circuit.copied(list(wanted), unrolled.circuit, dict(frame.values))
