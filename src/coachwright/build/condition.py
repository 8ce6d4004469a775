"""The tree a condition is read into. The reader of its text is build.condition_text.

    gear == P or (park-brake and speed < 3 mph)        supply < 11.8 V held 2 min
    first 20 s of low-tone                             pressed ring
    any red flashing                                   siren active

Every node is frozen and hashable, so that equal conditions are the same key everywhere.
Numbers are SI floats, times whole milliseconds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

Operator = Literal["==", "!=", "<", "<=", ">", ">="]
Manner = Literal["steady", "flashing", "dark", "lit", "pattern"]


@dataclass(frozen=True, slots=True)
class Constant:
    """Always or never."""

    value: bool


@dataclass(frozen=True, slots=True)
class Truth:
    """A bare name: an on/off input that is on, a word that holds, an equipment that sounds or runs.

    `ignition` alone is resolved to ``ignition in (run, crank)`` by build.resolve.
    """

    name: str


@dataclass(frozen=True, slots=True)
class Compare:
    """`name operator value`. Ordered positions compare by their place in the list, numbers by value (SI)."""

    name: str
    operator: Operator
    value: str | float


@dataclass(frozen=True, slots=True)
class OneOf:
    """`name in (a, b)`."""

    name: str
    values: tuple[str | float, ...]


@dataclass(frozen=True, slots=True)
class Not:
    item: Condition


@dataclass(frozen=True, slots=True)
class And:
    items: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Or:
    items: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """`item held T`: true once `item` has been true for T, while it stays true; true from T on."""

    item: Condition
    time_ms: int


@dataclass(frozen=True, slots=True)
class First:
    """`first T of item`: true while `item` is, for at most T from its start; false from T on."""

    item: Condition
    time_ms: int


@dataclass(frozen=True, slots=True)
class Plus:
    """`item plus T`: true while `item` is and T after it ends, restarting; false at power-up and T after the end."""

    item: Condition
    time_ms: int


@dataclass(frozen=True, slots=True)
class Event:
    """`pressed N`, `released N`, `becomes W`, `N leaves P`: true in one step.

    name : the control or word; position : for ``leaves`` only. ``becomes`` may carry any condition in `item`
    (`becomes parked` has Truth("parked")).
    """

    kind: Literal["pressed", "released", "becomes", "leaves"]
    name: str
    position: str = ""
    item: Condition | None = None


@dataclass(frozen=True, slots=True)
class FunctionState:
    """`FUNCTION active`, `FUNCTION held-off`: in promises, messages and tell-tales only."""

    name: str
    state: Literal["active", "held-off"]


@dataclass(frozen=True, slots=True)
class HeadStatement:
    """`SELECTOR [only] [COLOUR] steady|flashing|dark|PATTERN [at least N %]`: in promises only.

    every : True in `then` (every head of the selector), False in `never` (at least one).
    heads : ids of model heads, filled by build.resolve from `selector`.
    pattern : canonical text of the pattern when manner is ``pattern``.
    """

    selector: str
    colour: str
    manner: Manner
    only: bool = False
    pattern: str = ""
    at_least_share: float | None = None
    every: bool = True
    heads: tuple[str, ...] = ()


Condition: TypeAlias = (
    Constant | Truth | Compare | OneOf | Not | And | Or | Held | First | Plus | Event | FunctionState | HeadStatement
)


def children(condition: Condition) -> tuple[Condition, ...]:
    """The conditions directly inside this one."""
    match condition:
        case And(items) | Or(items):
            return items
        case Not(item) | Held(item, _) | First(item, _) | Plus(item, _):
            return (item,)
        case Event(item=item) if item is not None:
            return (item,)
        case _:
            return ()


def every_node(condition: Condition) -> Iterator[Condition]:
    """The condition and all that is in it."""
    waiting = [condition]
    while waiting:
        node = waiting.pop()
        yield node
        waiting.extend(children(node))


def around(node: Condition, items: tuple[Condition, ...]) -> Condition:
    """The node with these conditions directly inside of it; the node itself where there are none."""
    if not items:
        return node
    match node:
        case And():
            return And(items)
        case Or():
            return Or(items)
        case Not():
            return Not(items[0])
        case Held(_, time_ms):
            return Held(items[0], time_ms)
        case First(_, time_ms):
            return First(items[0], time_ms)
        case Plus(_, time_ms):
            return Plus(items[0], time_ms)
        case Event():
            return replace(node, item=items[0])
        case _:
            return node


def names_read(condition: Condition) -> frozenset[str]:
    """Every input, word, memory or equipment name the condition reads itself (words are not opened)."""
    found: set[str] = set()
    for node in every_node(condition):
        match node:
            case Truth(name) | Compare(name=name) | OneOf(name=name):
                found.add(name)
            case Event(name=name) if name:
                found.add(name)
    return frozenset(found)
