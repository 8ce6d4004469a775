"""What one timed condition says about another, when what they measure is related.

    speed > 35 mph held 10 s   entails   speed > 20 mph held 3 s
    hatch == open plus 1 min   entails   (hatch == open or tailgate == open) plus 2 min

Whoever has stood for ten seconds above the one has stood for three above the other: what the first measures entails
what the second measures in every round of every moment, and both count from the same power-up and stand still in the
same sleep. A single moment doesn't know that; said as rules it may.

See Also
--------
coachwright.control.encode : times of one and the same condition are related there.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from coachwright.build.condition import First, Held, Plus
from coachwright.control.circuit import TRUE
from coachwright.control.encode import Moment
from coachwright.control.sat import Solver


def relate_timers(moment: Moment) -> None:
    """Add to the rules of the moment what its timed conditions entail of each other."""
    pairs = list(_pairs(moment))
    if not pairs:
        return
    solver = Solver(moment.circuit, moment.rules)
    try:
        for one, other in pairs:
            inside, around = moment.condition(one.item), moment.condition(other.item)
            if moment.circuit.implies(inside, around) == TRUE or not solver.can_be(inside, -around):
                moment.rules.append(moment.circuit.implies(moment.timed[one], moment.timed[other]))
    finally:
        solver.close()


def _pairs(moment: Moment) -> Iterator[tuple[Held | Plus, Held | Plus]]:
    """Of one kind, about different things, the first at least as hard to reach as far as times go."""
    timed = [each for each in moment.timed if not isinstance(each, First)]
    for one, other in permutations(timed, 2):
        if one.item == other.item:
            continue
        match one, other:
            case Held(), Held() if one.time_ms >= other.time_ms:
                yield one, other
            case Plus(), Plus() if one.time_ms <= other.time_ms:
                yield one, other
