"""The step as JSON, and read back.

    ["set", "scene_on", ["and", ["==", "read_slide", 2], ["not", "read_brake"]]]

A bare text is a variable, a bare number or truth itself. What else there is stands in step.schema.json, beside this.
"""

from __future__ import annotations

import json
from typing import Any

from coachwright.control.export.syntax import NotOursError
from coachwright.control.export.terms import (
    SIGNS,
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
    Variable,
    While,
)

FORMAT = "coachwright-step"
FORMAT_VERSION = 1


def variable_table(program: Program) -> list[dict[str, Any]]:
    """The variables."""
    return [
        {
            "name": each.name,
            "type": each.type,
            "role": each.role,
            "start": each.start,
            "size": each.size,
            "says": each.says,
        }
        for each in program.variables
    ]


def block_table(block: Block) -> list[Any]:
    """Statements as lists."""
    return [_stmt(stmt) for stmt in block]


def _stmt(stmt: Stmt) -> list[Any]:
    match stmt:
        case Set(name, value):
            return ["set", name, _expr(value)]
        case Put(name, index, value):
            return ["put", name, _expr(index), _expr(value)]
        case If(branches, otherwise):
            chosen = [[_expr(condition), block_table(block)] for condition, block in branches]
            return ["if", chosen, block_table(otherwise)]
        case While(condition, block):
            return ["while", _expr(condition), block_table(block)]
        case Note(text):
            return ["note", text]


def _expr(expr: Expr) -> Any:
    match expr:
        case Const(value):
            return value
        case Ref(name):
            return name
        case Item(name, index):
            return ["at", name, _expr(index)]
        case Opposite(item):
            return ["not", _expr(item)]
        case AllOf(items):
            return ["and", *map(_expr, items)]
        case AnyOf(items):
            return ["or", *map(_expr, items)]
        case Compare(sign, one, other) | Reckon(sign, one, other):
            return [sign, _expr(one), _expr(other)]


# ---------------------------------------------------------------------------------------------------------- read back
def read_table(text: str) -> Program:
    """The program that stands in a table; what is said of variables is left out.

    Raises
    ------
    NotOursError : it isn't one of ours.
    """
    try:
        table = json.loads(text)
    except ValueError as error:
        raise NotOursError(f"This isn't JSON: {error}.") from None
    if not isinstance(table, dict) or table.get("format") != FORMAT or table.get("version") != FORMAT_VERSION:
        raise NotOursError(f"This isn't a {FORMAT} of version {FORMAT_VERSION}.")
    try:
        variables = tuple(
            Variable(each["name"], each["type"], each["role"], each["start"], each["size"])
            for each in table["variables"]
        )
        return Program(variables, _read_block(table["step"]))
    except (KeyError, TypeError, ValueError, IndexError) as error:
        raise NotOursError(f"Something in the table isn't as its schema says: {error}.") from None


def _read_block(listed: list[Any]) -> Block:
    return tuple(_read_stmt(each) for each in listed)


def _read_stmt(each: list[Any]) -> Stmt:
    match each:
        case ["set", str(name), value]:
            return Set(name, _read_expr(value))
        case ["put", str(name), index, value]:
            return Put(name, _read_expr(index), _read_expr(value))
        case ["if", list(branches), list(otherwise)]:
            chosen = tuple((_read_expr(condition), _read_block(block)) for condition, block in branches)
            return If(chosen, _read_block(otherwise))
        case ["while", condition, list(block)]:
            return While(_read_expr(condition), _read_block(block))
        case ["note", str(text)]:
            return Note(text)
        case _:
            raise NotOursError(f"{each!r:.60} is no statement")


def _read_expr(each: Any) -> Expr:
    match each:
        case bool() | int() | float():
            return Const(each)
        case str():
            return Ref(each)
        case ["at", str(name), index]:
            return Item(name, _read_expr(index))
        case ["not", item]:
            return Opposite(_read_expr(item))
        case ["and", *items]:
            return AllOf(tuple(map(_read_expr, items)))
        case ["or", *items]:
            return AnyOf(tuple(map(_read_expr, items)))
        case ["+" | "-" | "*" as sign, one, other]:
            return Reckon(sign, _read_expr(one), _read_expr(other))
        case [sign, one, other] if sign in SIGNS:
            return Compare(sign, _read_expr(one), _read_expr(other))
        case _:
            raise NotOursError(f"{each!r:.60} is no expression")
