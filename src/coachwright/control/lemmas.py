"""What is always true of memories, though no single moment shows it: found by trying, kept only where it is proved.

Candidates are of the shape "that holds", or "while this memory stands there, that holds". Those that a power-up or a
step can break are dropped until none can be broken; what is left holds in every moment of every story, because it holds
at power-up and every step keeps it.

References
----------
.. [1] C. Flanagan, K. R. M. Leino, "Houdini, an annotation assistant for ESC/Java" (2001): the greatest set of
       candidates that is inductive.
"""

from __future__ import annotations

from collections.abc import Sequence

from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.frames import Frame
from coachwright.control.promised import Promised
from coachwright.control.sat import Solver
from coachwright.control.unrolled import Unrolled

MOST_CANDIDATES = 6000
"""More would cost more than they help; a build has some hundred."""


def candidates(moment: Moment, promised: Promised) -> tuple[int, ...]:
    """Literals of the moment that might always be true, the promise itself first."""
    circuit = moment.circuit
    standing = [literal for choice in moment.memories.values() for literal in choice.literals]
    if promised.armed != TRUE:
        standing.append(promised.armed)
    said = [moment.condition(condition) for condition in moment.words.values()]
    said += [*moment.stops, *moment.timed.values(), *moment.held_off_bits.values()]
    said += [acting.wanting for acting in moment.functions.values()]
    consequences = list(dict.fromkeys(abs(each) for each in (*said, *standing) if each not in (TRUE, FALSE)))
    found = {-promised.broken: None}
    found |= dict.fromkeys(literal for each in consequences for literal in (each, -each))
    for premise in standing:
        for each in consequences:
            for literal in (each, -each):
                candidate = circuit.implies(premise, literal)
                if candidate != TRUE and len(found) < MOST_CANDIDATES:
                    found[candidate] = None
    return tuple(found)


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
