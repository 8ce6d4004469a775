"""What is a step made of, once it is written out? Variables, expressions and four kinds of statements.

Everything that is exported is printed from these, and read back into these. There are no calls, no pointers and no
text: what a program can do is set variables, choose, and go round.

    If(((Compare("<", Ref("read_speed"), Const(1.5)), (Set("stands", Const(True)),)),), ())

Whole numbers fit 32 bits with a sign, reals are compared and never computed with.

See Also
--------
coachwright.control.export.program : makes one of a model.
coachwright.control.export.structured_text, table, es_module : print it and read it back.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

Value = bool | int | float
Type = Literal["bool", "int", "real"]
Role = Literal["input", "kept", "retained", "own", "output"]
"""`kept` goes from step to step, `retained` also through a loss of power, `own` is the step's own."""
Sign = Literal["==", "!=", "<", "<=", ">", ">="]
SIGNS: tuple[Sign, ...] = ("==", "!=", "<", "<=", ">", ">=")
Sum = Literal["+", "-", "*"]


@dataclass(frozen=True, slots=True)
class Const:
    """A value as it is."""

    value: Value


@dataclass(frozen=True, slots=True)
class Ref:
    """What a variable holds."""

    name: str


@dataclass(frozen=True, slots=True)
class Item:
    """What a row of whole numbers holds at a place, 0 first."""

    name: str
    index: Expr


@dataclass(frozen=True, slots=True)
class Opposite:
    item: Expr


@dataclass(frozen=True, slots=True)
class AllOf:
    items: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    items: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Compare:
    sign: Sign
    one: Expr
    other: Expr


@dataclass(frozen=True, slots=True)
class Reckon:
    """Two whole numbers together."""

    sign: Sum
    one: Expr
    other: Expr


Expr: TypeAlias = Const | Ref | Item | Opposite | AllOf | AnyOf | Compare | Reckon

TRUE, FALSE = Const(True), Const(False)


@dataclass(frozen=True, slots=True)
class Set:
    name: str
    value: Expr


@dataclass(frozen=True, slots=True)
class Put:
    """Sets one place of a row."""

    name: str
    index: Expr
    value: Expr


@dataclass(frozen=True, slots=True)
class If:
    """The block of the first condition that holds, else `otherwise`."""

    branches: tuple[tuple[Expr, Block], ...]
    otherwise: Block = ()


@dataclass(frozen=True, slots=True)
class While:
    condition: Expr
    block: Block


@dataclass(frozen=True, slots=True)
class Note:
    """A remark. In brackets it names the part that follows: ``[functions]``."""

    text: str


Stmt: TypeAlias = Set | Put | If | While | Note
Block: TypeAlias = tuple[Stmt, ...]


@dataclass(frozen=True, slots=True)
class Variable:
    """One variable. size : places of a row of whole numbers, 0 for a single one. says : what it is, for people."""

    name: str
    type: Type
    role: Role
    start: Value
    size: int = 0
    says: str = ""


@dataclass(frozen=True, slots=True)
class Program:
    """One step. Every variable of its own is set before it is read."""

    variables: tuple[Variable, ...]
    body: Block

    def of(self, *roles: Role) -> tuple[Variable, ...]:
        """Variables of these roles, in their order."""
        return tuple(each for each in self.variables if each.role in roles)

    def without_words(self) -> Program:
        """The same with nothing said about variables: what two programs have to share to be the same program."""
        return Program(
            tuple(Variable(each.name, each.type, each.role, each.start, each.size) for each in self.variables),
            self.body,
        )


class NoSuchPartError(ValueError):
    """A part that isn't in a program."""


def part(block: Block, name: str) -> Block:
    """The statements from the note ``[name]`` to the next such note, wherever they stand.

    Raises
    ------
    NoSuchPartError : there is none.
    """
    found = _part(block, f"[{name}]")
    if found is None:
        raise NoSuchPartError(f"nothing is titled {name}")
    return found


def _part(block: Block, title: str) -> Block | None:
    for place, stmt in enumerate(block):
        if stmt == Note(title):
            rest = block[place + 1 :]
            end = next((at for at, each in enumerate(rest) if _is_title(each)), len(rest))
            return rest[:end]
        for inside in blocks_in(stmt):
            found = _part(inside, title)
            if found is not None:
                return found
    return None


def _is_title(stmt: Stmt) -> bool:
    return isinstance(stmt, Note) and stmt.text.startswith("[")


def blocks_in(stmt: Stmt) -> Iterator[Block]:
    """The blocks directly inside a statement."""
    match stmt:
        case If(branches, otherwise):
            for _, block in branches:
                yield block
            yield otherwise
        case While(_, block):
            yield block
        case _:
            return


# ------------------------------------------------------------------------------------------- made simple as it is made
def opposite(item: Expr) -> Expr:
    """Not `item`."""
    match item:
        case Const(value):
            return Const(not value)
        case Opposite(inside):
            return inside
        case Compare("==", one, other):
            return Compare("!=", one, other)
        case Compare("!=", one, other):
            return Compare("==", one, other)
        case _:
            return Opposite(item)


def all_of(items: Iterable[Expr]) -> Expr:
    """True when all are."""
    found: list[Expr] = []
    for item in items:
        if item == FALSE:
            return FALSE
        for each in item.items if isinstance(item, AllOf) else (item,):
            if each != TRUE and each not in found:
                found.append(each)
    if not found:
        return TRUE
    if any(opposite(each) in found for each in found):
        return FALSE
    return found[0] if len(found) == 1 else AllOf(tuple(found))


def any_of(items: Iterable[Expr]) -> Expr:
    """True when at least one is."""
    found: list[Expr] = []
    for item in items:
        if item == TRUE:
            return TRUE
        for each in item.items if isinstance(item, AnyOf) else (item,):
            if each != FALSE and each not in found:
                found.append(each)
    if not found:
        return FALSE
    if any(opposite(each) in found for each in found):
        return TRUE
    return found[0] if len(found) == 1 else AnyOf(tuple(found))


def compare(one: Expr, sign: Sign, other: Expr | Value) -> Expr:
    """`one sign other`."""
    return Compare(sign, one, other if not isinstance(other, bool | int | float) else Const(other))


def one_of(one: Expr, values: Iterable[Value]) -> Expr:
    """`one` is one of these values."""
    return any_of(compare(one, "==", value) for value in values)


def put(name: Ref, value: Expr | Value) -> Set:
    """Sets a variable."""
    return Set(name.name, value if not isinstance(value, bool | int | float) else Const(value))


def when(condition: Expr, *block: Stmt, otherwise: Iterable[Stmt] = ()) -> Block:
    """The block if the condition holds, else the other one; nothing to choose where that is known."""
    rest = tuple(otherwise)
    if condition == TRUE:
        return tuple(block)
    if condition == FALSE:
        return rest
    if not block:
        return (If(((opposite(condition), rest),)),) if rest else ()
    return (If(((condition, tuple(block)),), rest),)
