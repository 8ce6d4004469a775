"""Settings in which much of what has to be seen is seen at once: the pool from which the list is chosen.

One thing is taken for granted and others are laid upon it while the solver can follow; then everything that needn't be
away from rest goes back. Every setting is walked to on the machine before it counts. Orders are drawn with a seed.

See Also
--------
coachwright.control.bench_cover : chooses from the pool.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from random import Random

from coachwright.build.condition import First, Held
from coachwright.control.bench_asked import Asked, Moments, relevant_inputs
from coachwright.control.bench_walk import Place, Walker
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.encode import Timed
from coachwright.control.machine import State
from coachwright.control.sat import Solution, Solver
from coachwright.control.story import Act

MOST_TRIES, MOST_DEEP = 8, 3
"""Settings tried for one thing that is hard to get to, and how many of them for long."""


@dataclass(frozen=True, slots=True)
class Found:
    """A setting that was walked to from power-up. shows : bits of what is seen there, by place in the asked."""

    place: Place
    acts: tuple[Act, ...]
    shows: int


class Finder:
    """Finds settings for what is asked, over one solver."""

    def __init__(self, moments: Moments, asked: Sequence[Asked]) -> None:
        self.moments = moments
        self.asked = tuple(asked)
        self.names = relevant_inputs(moments.model)
        self.walker = Walker(moments, self.names)
        self.start: State = self.walker.start()
        self.rules = list(moments.rules)
        self.solver = Solver(moments.circuit, self.rules)
        self.found: dict[Place, Found] = {}
        self.failed: set[Place] = set()
        self.possible: dict[int, str] = {}
        self._alone: dict[int, Found | None] = {}
        self._last: Place

    def close(self) -> None:
        """Gives back the solver's memory."""
        self.solver.close()

    def can(self, number: int) -> str:
        """``calm``, ``moving`` (only while a timer runs or somebody waits) or ``never``: for one of the asked."""
        if number not in self.possible:
            literal = self.asked[number].literal
            calm = self.solver.can_be(literal, self.moments.calm)
            self.possible[number] = "calm" if calm else "moving" if self.solver.can_be(literal) else "never"
        return self.possible[number]

    def laid(self, first: int, order: Iterable[int]) -> Found | None:
        """A setting for `first` and for as many of the others as go with it, in this order.

        Memory, times and hold-offs stand as where `first` alone was reached: that is what is hard to get to.
        """
        alone = self.alone(first)
        if alone is None:
            return None
        taken = [*self._past(alone.place), self.asked[first].literal]
        if not self.solver.can_be(*taken):  # where it was reached something runs that no setting at rest knows
            return alone
        for number in order:
            literal = self.asked[number].literal
            if number != first and literal != FALSE and self.solver.can_be(*taken, literal):
                taken.append(literal)
        return self._walked(taken, calm=alone.place.calm) or alone

    def alone(self, first: int) -> Found | None:
        """A setting for `first`, tried again elsewhere where nobody gets to it."""
        if first not in self._alone:
            self._alone[first] = self._find_alone(first)
        return self._alone[first]

    def also(self, asked: Asked) -> Found | None:
        """A setting for one thing more that has to be seen; it is asked for from now on."""
        self.asked = (*self.asked, asked)
        return self.alone(len(self.asked) - 1)

    def _find_alone(self, first: int) -> Found | None:
        calm = [self.moments.calm] if self.can(first) == "calm" else []
        taken = [*calm, self.asked[first].literal]
        for number in range(MOST_TRIES):
            if not self.solver.can_be(*taken):
                return None
            found = self._walked(taken, calm=bool(calm), deep=number < MOST_DEEP)
            if found is not None and (calm or found.shows >> first & 1):
                return found
            if not calm:
                found = self._arrived(first)
                if found is not None:
                    return found
            taken.append(-self.same_reads(self._last))
        return None

    def _walked(self, taken: list[int], *, calm: bool, deep: bool = False) -> Found | None:
        place = self._place(self._quiet(taken), calm=calm)
        self._last = place
        if place in self.found:
            return self.found[place]
        if place in self.failed and not deep:
            return None
        walked = self.walker.reach(self.start, place, deep=deep)
        if walked is None or not self.walker.can_be_looked_at(walked[1], place):
            self.failed.add(place)
            return None
        self.found[place] = Found(place, walked[0], self.shows([place])[0])
        return self.found[place]

    def _arrived(self, first: int) -> Found | None:
        """Where `first` is seen right after the act that starts what is running."""
        literal = self.asked[first].literal

        def shows(place: Place) -> bool:
            return self.moments.circuit.evaluate([literal], self.values(place))[0]

        walked = self.walker.arrive(self.start, self._last, shows)
        if walked is None:
            return None
        place = self.walker.stands(walked[1])
        self.found[place] = Found(place, walked[0], self.shows([place])[0])
        return self.found[place]

    def _past(self, place: Place) -> list[int]:
        """Literals: memory, running times and hold-offs are those of a place."""
        moment = self.moments.moment
        literals = [moment.memories[name].literals[moment.memories[name].place(value)] for name, value in place.memory]
        literals += [bit if name in place.held_off else -bit for name, bit in moment.held_off_bits.items()]
        if place.calm:
            return [*literals, self.moments.calm]
        solved = self.values(place)
        stir = [each for each in moment.stir if abs(each) != TRUE]
        true = self.moments.circuit.evaluate(stir, solved)
        return [*literals, *(each if now else -each for each, now in zip(stir, true, strict=True))]

    def _quiet(self, taken: Sequence[int]) -> Solution:
        """A solution with as much as possible at rest: timers and waiting first, then memories, then inputs."""
        moment, fixed = self.moments.moment, list(taken)
        away = [*moment.stir, *(choice.away for choice in moment.memories.values())]
        away += [moment.inputs[name].away for name in self.names]
        for literal in away:
            if literal != FALSE and self.solver.can_be(*fixed, -literal):
                fixed.append(-literal)
        solution = self.solver.solution(*fixed)
        assert solution is not None
        return solution

    def _place(self, solution: Solution, *, calm: bool) -> Place:
        moment = self.moments.moment
        choices = [*(moment.inputs[name] for name in self.names), *moment.memories.values()]
        held = [moment.held_off_bits.get(name, FALSE) for name in moment.functions]
        literals = [literal for choice in choices for literal in choice.literals]
        true = iter(solution.holds(*literals, *self.moments.timed, *held))
        at = [[next(true) for _ in choice.literals].index(True) for choice in choices]
        timed = tuple(next(true) for _ in self.moments.timed)
        waits = frozenset(name for name in moment.functions if next(true))
        inputs_n = len(self.names)
        memory = tuple(
            (name, str(choice.values[place]))
            for (name, choice), place in zip(moment.memories.items(), at[inputs_n:], strict=True)
        )
        return Place(tuple(zip(self.names, at, strict=False)), memory, timed, waits, calm)

    def same_reads(self, place: Place) -> int:
        """Literal: memories and hold-offs stand as there, and so does all that moves them."""
        moment = self.moments.moment
        feeding = self.walker.feeding(place)
        literals = [moment.inputs[name].literals[at] for name, at in place.reads if name in feeding]
        literals += [moment.memories[name].literals[moment.memories[name].place(value)] for name, value in place.memory]
        literals += [bit if name in place.held_off else -bit for name, bit in moment.held_off_bits.items()]
        return self.moments.circuit.all_of(literals)

    def shows(self, places: Sequence[Place]) -> list[int]:
        """Per setting, the bits of what is seen there."""
        variables: dict[int, int] = {}
        for number, place in enumerate(places):
            for variable, true in self.values(place).items():
                if true:
                    variables[variable] = variables.get(variable, 0) | 1 << number
        columns = side_by_side(self.moments.circuit, [each.literal for each in self.asked], variables, len(places))
        return [
            sum(1 << row for row, column in enumerate(columns) if column >> number & 1) for number in range(len(places))
        ]

    def values(self, place: Place) -> dict[int, bool]:
        """Values of the circuit's variables at a setting."""
        moment = self.moments.moment
        read = {name: moment.inputs[name].values[at] for name, at in place.reads}
        times: dict[Timed, bool] = dict(zip(self.moments.machine.timed, place.timed, strict=True))
        known = moment.values(read, dict(place.memory), timed=times, held_off=place.held_off)
        # `first T of X` is X without `X held T`: over where X holds and it doesn't.
        for timed, true in zip(self.moments.machine.timed, place.timed, strict=True):
            if isinstance(timed, First):
                inside = moment.circuit.evaluate([moment.condition(timed.item)], known)[0]
                times[Held(timed.item, timed.time_ms)] = inside and not true
        return moment.values(read, dict(place.memory), timed=times, held_off=place.held_off)


def side_by_side(circuit: Circuit, literals: Sequence[int], variables: Mapping[int, int], cases_n: int) -> list[int]:
    """Truth of literals in many cases at once, a bit per case. variables : those that are true somewhere."""
    everywhere = (1 << cases_n) - 1
    known = {1: everywhere}
    for node in circuit.cone(literals):
        below = circuit.inputs(node)
        if below:
            bits = everywhere
            for each in below:
                bits &= known[each] if each > 0 else everywhere ^ known[-each]
                if not bits:
                    break
            known[node] = bits
        else:
            known[node] = variables.get(node, 0)
    return [known[each] if each > 0 else everywhere ^ known[-each] for each in literals]


def shuffled(numbers: Iterable[int], seed: int) -> list[int]:
    """The same numbers in an order drawn with this seed."""
    order = list(numbers)
    Random(seed).shuffle(order)
    return order
