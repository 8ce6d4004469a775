"""Runs a program that was read back: each statement becomes the line of Python that does the same.

Whole numbers are checked to fit 32 bits with a sign, and a variable that is read before it is set is an error.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

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
    Value,
    While,
)

State = dict[str, Value]
Run = Callable[[Mapping[str, Value], Mapping[str, Value]], State]


MOST_TURNS = 20_000


class EndlessError(Exception):
    """A loop that doesn't end."""


def start_of(program: Program) -> State:
    """What is kept before the first step."""
    return {each.name: each.start for each in program.of("kept", "retained")}


def runner(program: Program) -> Run:
    """The program as a function of what was kept and of its inputs; it gives what is kept and put out."""
    rows = {each.name: each.size for each in program.of("own") if each.size}
    lines = ["def run(kept, inputs):"]
    lines += [f"    {each.name} = kept[{each.name!r}]" for each in program.of("kept", "retained")]
    lines += [f"    {each.name} = inputs[{each.name!r}]" for each in program.of("input")]
    lines += [f"    {name} = [None] * {size}" for name, size in rows.items()]
    lines += _block(program.body, 1)
    given = ", ".join(f"{each.name!r}: {each.name}" for each in program.of("kept", "retained", "output"))
    lines.append(f"    return {{{given}}}")
    scope: dict[str, Any] = {"fits": _fits, "EndlessError": EndlessError}
    exec("\n".join(lines), scope)
    run: Run = scope["run"]
    return run


def _fits(number: int) -> int:
    assert -(2**31) <= number < 2**31, number
    return number


def _block(block: Block, depth: int) -> Iterable[str]:
    for stmt in block:
        yield from _stmt(stmt, depth)
    if all(isinstance(stmt, Note) for stmt in block):
        yield "    " * depth + "pass"


def _stmt(stmt: Stmt, depth: int) -> Iterable[str]:
    pad = "    " * depth
    match stmt:
        case Set(name, value):
            yield f"{pad}{name} = {_expr(value)}"
        case Put(name, index, value):
            yield f"{pad}{name}[{_expr(index)}] = {_expr(value)}"
        case If(branches, otherwise):
            for place, (condition, block) in enumerate(branches):
                yield f"{pad}{'elif' if place else 'if'} {_expr(condition)}:"
                yield from _block(block, depth + 1)
            if otherwise:
                yield f"{pad}else:"
                yield from _block(otherwise, depth + 1)
        case While(condition, block):
            yield f"{pad}for turn in range({MOST_TURNS}):"
            yield f"{pad}    if not {_expr(condition)}: break"
            yield from _block(block, depth + 1)
            yield f"{pad}else: raise EndlessError"
        case Note():
            pass


def _expr(expr: Expr) -> str:
    match expr:
        case Const(value):
            return repr(value)
        case Ref(name):
            return name
        case Item(name, index):
            return f"{name}[{_expr(index)}]"
        case Opposite(item):
            return f"(not {_expr(item)})"
        case AllOf(items):
            return f"({' and '.join(map(_expr, items))})"
        case AnyOf(items):
            return f"({' or '.join(map(_expr, items))})"
        case Compare(sign, one, other):
            return f"({_expr(one)} {sign} {_expr(other)})"
        case Reckon(sign, one, other):
            return f"fits({_expr(one)} {sign} {_expr(other)})"
