"""The step as one function block in Structured Text (IEC 61131-3), and read back.

A portable subset: BOOL, DINT, LREAL and arrays of DINT; IF, WHILE and assignment; no function is called, no timer of a
maker is used. Names are told apart without regard to large and small letters.

References
----------
.. [1] IEC 61131-3:2013, Programmable controllers, part 3: programming languages; Structured Text is its clause 7.3.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from coachwright.control.export.about import About, about_lines
from coachwright.control.export.plain import remark
from coachwright.control.export.program import Step
from coachwright.control.export.syntax import (
    NotOursError,
    Reader,
    Spelling,
    expr_text,
    read_assigned,
    read_block,
    tokens,
    value_text,
)
from coachwright.control.export.terms import (
    Block,
    Expr,
    If,
    Note,
    Program,
    Put,
    Role,
    Set,
    Stmt,
    Type,
    Value,
    Variable,
    While,
)

BLOCK_NAME = "coachwright_step"
SPELLING = Spelling(
    "TRUE",
    "FALSE",
    "NOT ",
    "AND",
    "OR",
    {"==": "=", "!=": "<>", "<": "<", "<=": "<=", ">": ">", ">=": ">="},
)
_TYPES: dict[Type, str] = {"bool": "BOOL", "int": "DINT", "real": "LREAL"}
_SECTIONS: tuple[tuple[str, Role], ...] = (
    ("VAR_INPUT", "input"),
    ("VAR_OUTPUT", "output"),
    ("VAR RETAIN", "retained"),
    ("VAR", "kept"),
    ("VAR", "own"),
)
_TOKENS = re.compile(
    r"(?P<space>\s+)|(?P<remark>\(\*.*?\*\))|(?P<number>\d+\.\d+(?:E-?\d+)?|\d+)|(?P<word>[A-Za-z][A-Za-z0-9_]*)"
    r"|(?P<sign>:=|<>|<=|>=|\.\.|[-+*<>=:;()\[\],])",
    re.DOTALL,
)
_OWN = "of the step's own"


def structured_text(step: Step, about: About) -> str:
    """The whole file."""
    lines = [f"FUNCTION_BLOCK {BLOCK_NAME}"]
    lines += [f"(* {line} *)" if line else "" for line in about_lines(step, about)]
    for title, role in _SECTIONS:
        lines += _section(title, step.program.of(role), role)
    lines += [*_block(step.program.body, 1), "END_FUNCTION_BLOCK", ""]
    return "\n".join(lines)


def _section(title: str, variables: Sequence[Variable], role: Role) -> list[str]:
    if not variables:
        return []
    lines = ["", title]
    lines += [f"    (* {_OWN} *)"] if role == "own" else []
    for each in variables:
        says = f" (* {remark(each.says)} *)" if each.says else ""
        kind = _TYPES[each.type]
        if each.size:
            lines.append(f"    {each.name} : ARRAY[0..{each.size - 1}] OF {kind};{says}")
        else:
            lines.append(f"    {each.name} : {kind} := {value_text(each.start, SPELLING)};{says}")
    return [*lines, "END_VAR"]


def _block(block: Block, depth: int) -> Iterable[str]:
    pad = "    " * depth
    for stmt in block:
        match stmt:
            case Set(name, value):
                yield f"{pad}{name} := {_text(value)};"
            case Put(name, index, value):
                yield f"{pad}{name}[{_text(index)}] := {_text(value)};"
            case If(branches, otherwise):
                for place, (condition, inside) in enumerate(branches):
                    yield f"{pad}{'ELSIF' if place else 'IF'} {_text(condition)} THEN"
                    yield from _inside(inside, depth + 1)
                if otherwise:
                    yield f"{pad}ELSE"
                    yield from _inside(otherwise, depth + 1)
                yield f"{pad}END_IF;"
            case While(condition, inside):
                yield f"{pad}WHILE {_text(condition)} DO"
                yield from _inside(inside, depth + 1)
                yield f"{pad}END_WHILE;"
            case Note(text):
                yield f"{pad}(* {remark(text)} *)"


def _inside(block: Block, depth: int) -> Iterable[str]:
    """A block; an empty statement where there is nothing to do."""
    yield from _block(block, depth)
    if all(isinstance(stmt, Note) for stmt in block):
        yield "    " * depth + ";"


def _text(expr: Expr) -> str:
    return expr_text(expr, SPELLING)


# ---------------------------------------------------------------------------------------------------------- read back
def read_structured_text(text: str) -> Program:
    """The program that stands in a file of ours; what remarks say of variables is left out.

    Raises
    ------
    NotOursError : it isn't in the subset that is written here.
    """
    reader = Reader(tokens(text, _TOKENS), SPELLING)
    reader.take("FUNCTION_BLOCK", BLOCK_NAME)
    variables: list[Variable] = []
    while (found := _read_section(reader)) is not None:
        variables += found
    body = _read_block(reader, "END_FUNCTION_BLOCK")
    reader.take("END_FUNCTION_BLOCK")
    if reader.now.kind != "end":
        raise NotOursError(f"line {reader.now.line}: {reader.now.text!r} stands behind the end.")
    return Program(tuple(variables), body)


def _skip_remarks(reader: Reader) -> list[str]:
    found = []
    while reader.now.kind == "remark":
        found.append(reader.next().text)
    return found


def _read_section(reader: Reader) -> list[Variable] | None:
    _skip_remarks(reader)
    place = reader.now
    roles: dict[str, Role] = {"VAR_INPUT": "input", "VAR_OUTPUT": "output", "VAR": "kept"}
    if place.text not in roles:
        return None
    role = roles[reader.next().text]
    if role == "kept" and reader.is_next("RETAIN"):
        role = "retained"
    if f"(* {_OWN} *)" in _skip_remarks(reader):
        role = "own"
    variables = []
    while not reader.is_next("END_VAR"):
        variables.append(_read_variable(reader, role))
        _skip_remarks(reader)
    return variables


def _read_variable(reader: Reader, role: Role) -> Variable:
    kinds: dict[str, Type] = {word: kind for kind, word in _TYPES.items()}
    name = reader.word()
    reader.take(":")
    size = 0
    if reader.is_next("ARRAY"):
        reader.take("[", "0", "..")
        size = int(reader.value()) + 1
        reader.take("]", "OF")
    word = reader.word()
    if word not in kinds:
        raise NotOursError(f"line {reader.now.line}: {word!r} stands where a type should.")
    start: Value = 0
    if not size:
        reader.take(":=")
        start = reader.value()
    reader.take(";")
    return Variable(name, kinds[word], role, start, size)


def _read_block(reader: Reader, *ends: str) -> Block:
    return read_block(
        reader, ends, statement=_read_stmt, note=lambda text: text.removeprefix("(* ").removesuffix(" *)")
    )


def _read_stmt(reader: Reader) -> Stmt | None:
    if reader.is_next(";"):
        return None
    if reader.is_next("IF"):
        return _read_if(reader)
    if reader.is_next("WHILE"):
        condition = reader.expr()
        reader.take("DO")
        block = _read_block(reader, "END_WHILE")
        reader.take("END_WHILE", ";")
        return While(condition, block)
    return read_assigned(reader, ":=")


def _read_if(reader: Reader) -> If:
    branches = []
    while True:
        condition = reader.expr()
        reader.take("THEN")
        branches.append((condition, _read_block(reader, "ELSIF", "ELSE", "END_IF")))
        if not reader.is_next("ELSIF"):
            break
    otherwise = _read_block(reader, "END_IF") if reader.is_next("ELSE") else ()
    reader.take("END_IF", ";")
    return If(tuple(branches), otherwise)
