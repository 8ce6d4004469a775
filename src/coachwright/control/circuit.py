"""A boolean circuit in which everything equal is the same: what is true, as a function of free variables.

A literal is a whole number: a variable or a gate, or its opposite (``-literal``). Every gate is an `and`; an `or` is
the opposite of an `and` of opposites. Gates are made once (equal inputs, equal gate) and simplified as they are made,
so that much is decided before a solver is asked.

See Also
--------
coachwright.control.sat : asks a solver. coachwright.control.encode : what a machine looks like as a circuit.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from itertools import combinations

TRUE = 1
FALSE = -1

_FLAT_INPUTS = 12
"""A larger gate stays a gate inside another one: taken apart everywhere, it would be copied too often."""


class Circuit:
    """Grows by variables and gates; nothing in it ever changes."""

    def __init__(self) -> None:
        self._inputs: dict[int, tuple[int, ...]] = {}
        self._gates: dict[tuple[int, ...], int] = {}
        self._variables: dict[Hashable, int] = {}
        self._last = TRUE

    @property
    def size_n(self) -> int:
        """Variables and gates."""
        return self._last

    def variable(self, name: Hashable) -> int:
        """The variable of this name, made when it is first asked for."""
        if name not in self._variables:
            self._last += 1
            self._variables[name] = self._last
        return self._variables[name]

    def reserve(self, count_n: int) -> None:
        """Leaves out so many numbers: what a solver adds of its own never is a literal of the circuit."""
        self._last += count_n

    @property
    def variables(self) -> Mapping[Hashable, int]:
        """Every variable by its name, in the order in which they were made."""
        return self._variables

    def inputs(self, literal: int) -> tuple[int, ...]:
        """Inputs of the gate behind a literal; nothing for a variable."""
        return self._inputs.get(abs(literal), ())

    def all_of(self, literals: Iterable[int]) -> int:
        """True when all are."""
        inside = self._tidy(literals)
        if inside is None:
            return FALSE
        if not inside:
            return TRUE
        if len(inside) == 1:
            return next(iter(inside))
        key = tuple(sorted(inside))
        gate = self._gates.get(key)
        if gate is None:
            self._last += 1
            gate = self._gates[key] = self._last
            self._inputs[gate] = key
        return gate

    def any_of(self, literals: Iterable[int]) -> int:
        """True when at least one is."""
        return -self.all_of(-literal for literal in literals)

    def implies(self, one: int, other: int) -> int:
        """True unless `one` is and `other` isn't."""
        return -self.all_of((one, -other))

    def same(self, one: int, other: int) -> int:
        """True when both are, or neither."""
        return self.all_of((self.implies(one, other), self.implies(other, one)))

    def pairs(self, literals: Sequence[int]) -> int:
        """True when at least two are."""
        if len(literals) <= 4:
            return self.any_of(self.all_of(pair) for pair in combinations(literals, 2))
        return -self.at_most(literals, 1)

    def at_most(self, literals: Sequence[int], most: int) -> int:
        """True when no more than `most` are: counted one after the other, each (how many, of how many) once."""
        return -self._at_least(tuple(literals), most + 1)

    def _at_least(self, literals: tuple[int, ...], least: int) -> int:
        if least <= 0:
            return TRUE
        row = [TRUE] + [FALSE] * least
        for number, literal in enumerate(literals, start=1):
            for count in range(min(number, least), 0, -1):
                row[count] = self.any_of((row[count], self.all_of((row[count - 1], literal))))
        return row[least]

    def _tidy(self, literals: Iterable[int]) -> set[int] | None:
        """Inputs of an `and` without what says nothing; None when it can't be true."""
        waiting: list[int] | None = list(literals)
        inside: set[int] | None = set()
        while waiting is not None:
            inside = self._flat(waiting)
            if inside is None:
                return None
            waiting = self._with_less(inside)
        return inside

    def _flat(self, waiting: list[int]) -> set[int] | None:
        """Every input once, small gates taken apart."""
        inside: set[int] = set()
        while waiting:
            literal = waiting.pop()
            if literal == TRUE or literal in inside:
                continue
            if literal == FALSE or -literal in inside:
                return None
            below = self._inputs.get(literal, ())
            if below and len(below) <= _FLAT_INPUTS:
                waiting.extend(below)
            else:
                inside.add(literal)
        return inside

    def _with_less(self, inside: set[int]) -> list[int] | None:
        """Take from each `or` what the rest already decides: the inputs to begin again with; None when all stand."""
        for literal in [each for each in inside if each < 0 and -each in self._inputs]:
            below = self._inputs[-literal]
            if any(-each in inside for each in below):
                inside.discard(literal)
                continue
            left = [each for each in below if each not in inside]
            if not left:
                return [FALSE]
            if len(left) < len(below):
                return [*(inside - {literal}), -self.all_of(left)]
        return None

    def cone(self, literals: Iterable[int]) -> list[int]:
        """Every variable and gate that the literals depend on, each behind what it needs."""
        found: set[int] = set()
        waiting = [abs(literal) for literal in literals]
        while waiting:
            node = waiting.pop()
            if node in found or node == TRUE:
                continue
            found.add(node)
            waiting.extend(abs(each) for each in self._inputs.get(node, ()))
        return sorted(found)

    def copied(self, literals: Sequence[int], into: Circuit, values: dict[int, int]) -> list[int]:
        """The same functions in another circuit. values : a literal over there for every variable; gates are added.

        Raises
        ------
        KeyError : for a variable without a value.
        """
        values.setdefault(TRUE, TRUE)
        for node in self.cone(literals):
            if node not in values:
                below = self._inputs.get(node)
                if below is None:
                    raise KeyError(node)
                values[node] = into.all_of(values[each] if each > 0 else -values[-each] for each in below)
        return [values[each] if each > 0 else -values[-each] for each in literals]

    def evaluate(self, literals: Sequence[int], values: Mapping[int, bool]) -> tuple[bool, ...]:
        """Truth of the literals under values of variables; a variable without a value is false."""
        known: dict[int, bool] = {TRUE: True}
        for node in self.cone(literals):
            below = self._inputs.get(node)
            if below is None:
                known[node] = values.get(node, False)
            else:
                known[node] = all(known[abs(each)] == (each > 0) for each in below)
        return tuple(known[abs(literal)] == (literal > 0) for literal in literals)
