"""Can this be true? Asks CaDiCaL, through python-sat, about literals of a circuit.

Only the part of the circuit that a question needs is handed over, and only once: the solver keeps what it learned from
question to question.

See Also
--------
coachwright.control.circuit : where literals come from.

References
----------
.. [1] G. S. Tseitin, "On the complexity of derivation in propositional calculus" (1968): one clause set per gate, of a
       size that grows with the circuit and not with its formula.
.. [2] O. Bailleux, Y. Boufkhad, "Efficient CNF encoding of Boolean cardinality constraints" (2003): the totalizer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.control.circuit import FALSE, TRUE, Circuit


@dataclass(frozen=True, slots=True)
class Solution:
    """Values of variables under which everything asked for is true."""

    circuit: Circuit
    true: frozenset[int]

    def holds(self, *literals: int) -> tuple[bool, ...]:
        """Truth of literals; a variable that the question didn't need is false."""
        return self.circuit.evaluate(literals, dict.fromkeys(self.true, True))


class Solver:
    """A solver over one circuit.

    rules : lists of literals that hold in every question; they may grow between questions.
    """

    def __init__(self, circuit: Circuit, *rules: list[int]) -> None:
        from pysat.solvers import Cadical195

        self.circuit = circuit
        self._rules = rules
        self._required_n = [0] * len(rules)
        self.asked_n = 0
        self._solver = Cadical195(bootstrap_with=[[TRUE]])
        self._given: set[int] = {TRUE}
        self._counters: dict[tuple[int, ...], Sequence[int]] = {}

    def _require(self) -> None:
        """Rules that came since the last question hold from now on."""
        for place, rules in enumerate(self._rules):
            for literal in rules[self._required_n[place] :]:
                self._give((literal,))
                self._solver.add_clause([literal])
            self._required_n[place] = len(rules)

    def can_be(self, *literals: int) -> bool:
        """Can all of these be true at once?"""
        if FALSE in literals:
            return False
        self._require()
        self._give(literals)
        self.asked_n += 1
        return bool(self._solver.solve(assumptions=list(literals)))

    def solution(self, *literals: int) -> Solution | None:
        """One way in which all of these are true, if there is any."""
        if not self.can_be(*literals):
            return None
        model = self._solver.get_model() or ()
        return Solution(self.circuit, frozenset(literal for literal in model if literal > 0))

    def fewest(self, wanted: Sequence[int], costly: Sequence[int]) -> tuple[Solution, int] | None:
        """A way in which all of `wanted` are true and as few as possible of `costly`, and how many those are."""
        found = self.solution(*wanted)
        if found is None:
            return None
        true_n = sum(found.holds(*costly))
        if not true_n:
            return found, 0
        above = self._counted(costly, true_n - 1)
        for most in range(true_n):
            fewer = self.solution(*wanted, -above[most])
            if fewer is not None:
                return fewer, most
        return found, true_n

    def _counted(self, literals: Sequence[int], most: int) -> Sequence[int]:
        """Literals of the solver, per number up to `most`: more than so many of these are true. [2]"""
        from pysat.card import ITotalizer

        known = self._counters.get(tuple(literals))
        if known is not None and len(known) > most:
            return known
        self._give(literals)
        counter = ITotalizer(lits=list(literals), ubound=most, top_id=self.circuit.size_n)
        self.circuit.reserve(counter.top_id - self.circuit.size_n)
        for clause in counter.cnf.clauses:
            self._solver.add_clause(clause)
        self._counters[tuple(literals)] = tuple(counter.rhs)
        counter.delete()
        return self._counters[tuple(literals)]

    def one_of(self, literals: Sequence[int]) -> int:
        """A literal under which at least one of these is true: for many at once, where no gate is needed."""
        self._give(literals)
        mark = self.circuit.variable(("at least one", self.asked_n))
        self._solver.add_clause([-mark, *literals])
        return mark

    def count(self, wanted: Sequence[int], over: Sequence[int], *, most: int) -> int:
        """How many different values the literals `over` can have while `wanted` are true; stops at `most`."""
        self._give((*wanted, *over))
        mark = self.circuit.variable(("counting", self.asked_n))
        found_n = 0
        while found_n < most:
            found = self.solution(*wanted, mark)
            if found is None:
                break
            found_n += 1
            values = found.holds(*over)
            clause = [-literal if true else literal for literal, true in zip(over, values, strict=True)]
            self._solver.add_clause([-mark, *clause])
        return found_n

    def close(self) -> None:
        """Gives back the solver's memory."""
        self._solver.delete()

    def _give(self, literals: Iterable[int]) -> None:
        """Hands over every gate in the cone of these that the solver doesn't know yet."""
        waiting = [abs(literal) for literal in literals]
        while waiting:
            gate = waiting.pop()
            if gate in self._given:
                continue
            self._given.add(gate)
            below = self.circuit.inputs(gate)
            if not below:
                continue
            for literal in below:
                self._solver.add_clause([-gate, literal])
            self._solver.add_clause([gate, *(-literal for literal in below)])
            waiting.extend(abs(literal) for literal in below)
