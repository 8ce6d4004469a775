"""What always goes with a memory's value, so that nobody is sent to a setting that no story reaches.

Facts of the shape "while this memory stands there, that word doesn't hold, or that input doesn't read so". Kept is what
holds at power-up and is kept by every step; asked one by one, so that their number costs no depth.

See Also
--------
coachwright.control.lemmas : the same for proofs, with other candidates.
"""

from __future__ import annotations

from collections.abc import Sequence

from coachwright.build.condition import Constant
from coachwright.build.model import Promise
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.frames import Frame
from coachwright.control.functions import names_through_words
from coachwright.control.promised import Promised
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.unrolled import Unrolled

MOST_CANDIDATES = 2000


def always(moment: Moment, shown: Shown) -> list[int]:
    """Literals of the moment that are true in every moment of every story."""
    if not moment.memories:
        return []
    nothing = Promise("nothing", "never", "", never=Constant(value=False))
    unrolled = Unrolled(moment, Promised(moment, shown, nothing))
    left = kept_by(unrolled, candidates(moment), None, unrolled.start())
    before = unrolled.anywhere()
    after = unrolled.after(before)
    while True:
        kept = kept_by(unrolled, left, before, after)
        if kept == left:
            return kept
        left = kept


def candidates(moment: Moment) -> list[int]:
    """Literals that might always be true: what a memory's value goes with."""
    found: dict[int, None] = {}
    for memory in moment.model.memories:
        read = read_by_moves(moment, [memory.name])
        said = [moment.condition(condition) for condition in moment.words.values()]
        said += [literal for name in read for literal in moment.choice(name).literals]
        for standing in moment.memories[memory.name].literals:
            for each in dict.fromkeys(said):
                for literal in (each, -each):
                    fact = moment.circuit.implies(standing, literal)
                    if fact not in (TRUE, FALSE) and len(found) < MOST_CANDIDATES:
                        found[fact] = None
    return list(found)


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


def kept_by(unrolled: Unrolled, wanted: Sequence[int], before: Frame | None, after: Frame) -> list[int]:
    """Those that hold `after`, when all of them hold `before`."""
    circuit = unrolled.moment.circuit
    rules = [*(before.rules if before is not None else ()), *after.rules]
    if before is not None:
        rules += circuit.copied(list(wanted), unrolled.circuit, dict(before.values))
    solver = Solver(unrolled.circuit, rules)
    try:
        there = circuit.copied(list(wanted), unrolled.circuit, dict(after.values))
        return [each for each, literal in zip(wanted, there, strict=True) if not solver.can_be(-literal)]
    finally:
        solver.close()
