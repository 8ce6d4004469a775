"""Writes the tree of a condition as text: canonical, with no more brackets than its meaning needs.

Law: reading the text gives the tree again (with `kinds`, where numbers are compared).
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.quantity_text import print_quantity, print_time

_OR, _AND, _NOT, _TIMED, _PART = range(1, 6)


def print_condition(condition: Condition, *, kinds: Mapping[str, str] | None = None) -> str:
    """Text of the condition.

    kinds : unit kind of each number it compares (``{"speed": "speed", "supply": "voltage"}``). A number of no known
        kind is printed as its bare SI value, which people can read and the reader refuses.
    """
    return _text(condition, kinds or {})[0]


def _text(condition: Condition, kinds: Mapping[str, str]) -> tuple[str, int]:
    """Text, and how strongly its outermost word binds."""

    def inside(item: Condition, at_least: int) -> str:
        text, binds = _text(item, kinds)
        return text if binds >= at_least else f"({text})"

    match condition:
        case Or(items):
            return " or ".join(inside(item, _OR) for item in items), _OR
        case And(items):
            return " and ".join(inside(item, _AND) for item in items), _AND
        case Not(item):
            return f"not {inside(item, _NOT)}", _NOT
        case Held(item, time_ms):
            return f"{inside(item, _PART)} held {print_time(time_ms)}", _TIMED
        case Plus(item, time_ms):
            return f"{inside(item, _PART)} plus {print_time(time_ms)}", _TIMED
        case First(item, time_ms):
            return f"first {print_time(time_ms)} of {inside(item, _PART)}", _TIMED
        case _:
            return _part(condition, kinds), _PART


def _part(condition: Condition, kinds: Mapping[str, str]) -> str:
    match condition:
        case Constant(value):
            return "always" if value else "never"
        case Truth(name):
            return name
        case Compare(name, operator, value):
            return f"{name} {operator} {_value(name, value, kinds)}"
        case OneOf(name, values):
            return f"{name} in ({', '.join(_value(name, value, kinds) for value in values)})"
        case Event("becomes", name, item=item):
            return f"becomes {name or _becoming(item, kinds)}"
        case Event("leaves", name, position):
            return f"{name} leaves {position}"
        case Event(kind, name):
            return f"{kind} {name}"
        case FunctionState(name, state):
            return f"{name} {state}"
        case HeadStatement():
            return _statement(condition)
        case _:
            raise TypeError(f"{condition!r} is no part of a condition")


def _becoming(item: Condition | None, kinds: Mapping[str, str]) -> str:
    if item is None:
        raise ValueError("becomes of nothing")
    return item.name if isinstance(item, Truth) else f"({_text(item, kinds)[0]})"


def _value(name: str, value: str | float, kinds: Mapping[str, str]) -> str:
    return value if isinstance(value, str) else print_quantity(value, kinds.get(name, ""))


def _statement(statement: HeadStatement) -> str:
    words = [statement.selector]
    if statement.only:
        words.append("only")
    if statement.colour:
        words.append(statement.colour)
    words.append(statement.pattern if statement.manner == "pattern" else statement.manner)
    if statement.at_least_share is not None:
        words.append(f"at least {print_quantity(statement.at_least_share, 'share')}")
    return " ".join(words)
