"""What does a straight part of a program do for all values at once? Statements laid out as a circuit.

A truth is a literal; a whole or real number is, for each value it can have, the literal that it has it. There is no
`While` in what is laid out here.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.export.terms import (
    AllOf,
    AnyOf,
    Block,
    Compare,
    Const,
    Expr,
    If,
    Item,
    Note,
    Opposite,
    Program,
    Put,
    Reckon,
    Ref,
    Set,
    Stmt,
    While,
)

Number = dict[int | float, int]
Held = int | Number

_SIGNS: Mapping[str, Callable[[Any, Any], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}
_SUMS: Mapping[str, Callable[[Any, Any], Any]] = {"+": operator.add, "-": operator.sub, "*": operator.mul}


class NotStraightError(ValueError):
    """Something that can't be laid out: a loop, a row, or a variable that nothing has set."""


class Lane:
    """What every variable holds, as it goes along."""

    def __init__(self, circuit: Circuit, program: Program) -> None:
        self.circuit = circuit
        self.types = {each.name: each.type for each in program.variables}
        self._held: dict[str, Held] = {}

    def set(self, name: str, held: Held) -> None:
        """Lays in a value."""
        self._held[name] = held

    def set_all(self, value: bool, names: Iterable[str]) -> None:
        """Lays in one value for many; no number stands at a place where nothing was done."""
        for name in names:
            self._held[name] = (TRUE if value else FALSE) if self.types[name] == "bool" else {-1: TRUE}

    def truth(self, name: str) -> int:
        """Literal of a variable that is true or false.

        Raises
        ------
        NotStraightError : it is a number, or nothing has set it.
        """
        held = self._look(name)
        if isinstance(held, dict):
            raise NotStraightError(f"{name} is a number")
        return held

    def number(self, name: str) -> Number:
        """Every value of a number.

        Raises
        ------
        NotStraightError : it is a truth, or nothing has set it.
        """
        held = self._look(name)
        if not isinstance(held, dict):
            raise NotStraightError(f"{name} isn't a number")
        return held

    def _look(self, name: str) -> Held:
        if name not in self._held:
            raise NotStraightError(f"{name} is read, and nothing has set it")
        return self._held[name]

    # -------------------------------------------------------------------------------------------------- statements
    def run(self, block: Block) -> None:
        """Goes through a part.

        Raises
        ------
        NotStraightError : there is a loop or a row in it, or it reads what nothing has set.
        """
        for stmt in block:
            self._run(stmt)

    def _run(self, stmt: Stmt) -> None:
        match stmt:
            case Set(name, value):
                self._held[name] = self.expr(value)
            case If(branches, otherwise):
                self._choose(branches, otherwise)
            case Note():
                pass
            case Put() | While():
                raise NotStraightError(f"{type(stmt).__name__} can't be laid out")

    def _choose(self, branches: tuple[tuple[Expr, Block], ...], otherwise: Block) -> None:
        before = dict(self._held)
        not_yet, ways = TRUE, []
        for condition, block in branches:
            literal = self._truth(condition)
            ways.append((self.circuit.all_of((not_yet, literal)), block))
            not_yet = self.circuit.all_of((not_yet, -literal))
        ways.append((not_yet, otherwise))
        ended: list[tuple[int, dict[str, Held]]] = []
        for literal, block in ways:
            if literal != FALSE:
                self._held = dict(before)
                self.run(block)
                ended.append((literal, self._held))
        self._held = self._joined(before, ended)

    def _joined(self, before: dict[str, Held], ended: list[tuple[int, dict[str, Held]]]) -> dict[str, Held]:
        after = dict(before)
        changed = {name for _, held in ended for name, value in held.items() if before.get(name) is not value}
        for name in changed:
            ways = [(literal, held[name]) for literal, held in ended if name in held]
            if len(ways) < len(ended):
                after.pop(name, None)  # set in some ways only: whoever reads it now reads nothing
            else:
                after[name] = self._either(ways)
        return after

    def _either(self, ways: list[tuple[int, Held]]) -> Held:
        found: Number = {}
        truths: list[int] = []
        for literal, held in ways:
            if isinstance(held, dict):
                for value, here in held.items():
                    both = self.circuit.all_of((literal, here))
                    found[value] = self.circuit.any_of((found.get(value, FALSE), both))
            else:
                truths.append(self.circuit.all_of((literal, held)))
        return found if not truths else self.circuit.any_of(truths)

    # ------------------------------------------------------------------------------------------------- expressions
    def expr(self, expr: Expr) -> Held:
        """What an expression is.

        Raises
        ------
        NotStraightError : as `run`.
        """
        match expr:
            case Const(value):
                return (TRUE if value else FALSE) if isinstance(value, bool) else {value: TRUE}
            case Ref(name):
                return self._look(name)
            case Opposite(item):
                return -self._truth(item)
            case AllOf(items):
                return self.circuit.all_of([self._truth(item) for item in items])
            case AnyOf(items):
                return self.circuit.any_of([self._truth(item) for item in items])
            case Compare(sign, one, other):
                pairs = self._pairs(one, other)
                return self.circuit.any_of([both for left, right, both in pairs if _SIGNS[sign](left, right)])
            case Reckon(sum_, one, other):
                found: Number = {}
                for left, right, both in self._pairs(one, other):
                    value = _SUMS[sum_](left, right)
                    found[value] = self.circuit.any_of((found.get(value, FALSE), both))
                return found
            case Item(name, _):
                raise NotStraightError(f"{name} is a row")

    def _pairs(self, one: Expr, other: Expr) -> list[tuple[int | float, int | float, int]]:
        left, right = self.expr(one), self.expr(other)
        if not isinstance(left, dict) or not isinstance(right, dict):
            raise NotStraightError(f"{one} and {other} aren't numbers")
        return [(a, b, self.circuit.all_of((here, there))) for a, here in left.items() for b, there in right.items()]

    def _truth(self, expr: Expr) -> int:
        held = self.expr(expr)
        if isinstance(held, dict):
            raise NotStraightError(f"{expr} is a number")
        return held
