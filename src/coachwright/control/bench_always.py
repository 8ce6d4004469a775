"""What always goes with a memory's value, so that nobody is sent to a setting that no story reaches.

Facts of the shape "while this memory stands there, that word doesn't hold, or that input doesn't read so". Kept is what
holds at power-up and is kept by every step.

See Also
--------
coachwright.control.lemmas : the same for proofs, with other candidates.
"""

from __future__ import annotations

from coachwright.build.condition import Constant
from coachwright.build.model import Promise
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.lemmas import always_true, read_by_moves
from coachwright.control.promised import Promised
from coachwright.control.shown import Shown
from coachwright.control.unrolled import Unrolled

MOST_CANDIDATES = 2000


def always(moment: Moment, shown: Shown) -> list[int]:
    """Literals of the moment that are true in every moment of every story."""
    if not moment.memories:
        return []
    nothing = Promise("nothing", "never", "", never=Constant(value=False))
    # a source may be unplugged, moved and plugged in again: what reads otherwise then was never seen to move
    unrolled = Unrolled(moment, Promised(moment, shown, nothing), free=frozenset(moment.inputs))
    return list(always_true(unrolled, candidates(moment)))


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
