"""The step as one ES module, and its step read back.

No dependency, no text that is run as code: it works under the strictest content security policy. The step itself stands
between two marks, in a subset as small as that of Structured Text; what turns names into numbers and back stands around
it (`around.js`) and is the same for every build.

References
----------
.. [1] ECMA-262, ECMAScript language specification, 2022 and later.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.resources import files

from coachwright.control.export.about import About, about_lines, build_fact
from coachwright.control.export.plain import json_text, remark
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

SPELLING = Spelling(
    "true",
    "false",
    "!",
    "&&",
    "||",
    {"==": "===", "!=": "!==", "<": "<", "<=": "<=", ">": ">", ">=": ">="},
)
_BEGINS, _ENDS = "// [step begins]", "// [step ends]"
_LISTS: tuple[tuple[str, Role], ...] = (("KEPT", "kept"), ("RETAINED", "retained"), ("INPUTS", "input"))
_TOKENS = re.compile(
    r"(?P<space>\s+)|(?P<remark>//[^\n]*)|(?P<number>\d+\.\d+(?:E-?\d+)?|\d+)|(?P<word>[A-Za-z][A-Za-z0-9_]*)"
    r"|(?P<sign>===|!==|<=|>=|&&|\|\||[-+*<>=:;(){}\[\],.!])"
)
_FROZEN = "Object.freeze("


def es_module(step: Step, about: About) -> str:
    """The whole file."""
    program = step.program
    lines = [f"// {line}".rstrip() for line in about_lines(step, about)]
    lines += ["", f"const BUILD = {_FROZEN}{json_text(build_fact(step, about))});"]
    lines += [f"const MEANING = {json_text(step.facts)};", "", _BEGINS]
    for title, role in _LISTS:
        lines.append(f"const {title} = {_FROZEN}{{")
        for each in program.of(role):
            says = f" // {remark(each.says)}" if each.says else ""
            lines.append(f"  {each.name}: {value_text(each.start, SPELLING)},{says}")
        lines.append("});")
    lines.append("function run(kept, given) {")
    for source, roles in (("kept", ("kept", "retained")), ("given", ("input",))):
        lines += [f"  let {each.name} = {source}.{each.name};" for each in program.variables if each.role in roles]
    for each in program.of("own", "output"):
        value = f"new Array({each.size}).fill(0)" if each.size else value_text(each.start, SPELLING)
        says = f" // {remark(each.says)}" if each.says else ""
        lines.append(f"  let {each.name} = {value};{says}")
    lines += _block(program.body, 1)
    given = [each.name for each in program.variables if each.role in ("kept", "retained", "output")]
    lines += ["  return {", *(f"    {name}," for name in given), "  };", "}", _ENDS, ""]
    around = (files(__package__) / "around.js").read_text(encoding="utf-8")
    return "\n".join(lines) + "\n" + around


def _block(block: Block, depth: int) -> Iterable[str]:
    pad = "  " * depth
    for stmt in block:
        match stmt:
            case Set(name, value):
                yield f"{pad}{name} = {_text(value)};"
            case Put(name, index, value):
                yield f"{pad}{name}[{_text(index)}] = {_text(value)};"
            case If(branches, otherwise):
                for place, (condition, inside) in enumerate(branches):
                    yield f"{pad}{'} else if' if place else 'if'} ({_text(condition)}) {{"
                    yield from _block(inside, depth + 1)
                if otherwise:
                    yield f"{pad}}} else {{"
                    yield from _block(otherwise, depth + 1)
                yield f"{pad}}}"
            case While(condition, inside):
                yield f"{pad}while ({_text(condition)}) {{"
                yield from _block(inside, depth + 1)
                yield f"{pad}}}"
            case Note(text):
                yield f"{pad}// {remark(text)}"


def _text(expr: Expr) -> str:
    return expr_text(expr, SPELLING)


# ---------------------------------------------------------------------------------------------------------- read back
def read_es_module(text: str) -> Program:
    """The program between the marks of a module of ours; what remarks say of variables is left out.

    Raises
    ------
    NotOursError : it isn't in the subset that is written here.
    """
    if text.count(f"\n{_BEGINS}\n") != 1 or text.count(f"\n{_ENDS}\n") != 1:
        raise NotOursError(f"The step stands between {_BEGINS} and {_ENDS}; they aren't here, each once.")
    inner = text.split(f"\n{_BEGINS}\n")[1].split(f"\n{_ENDS}\n", maxsplit=1)[0]
    reader = Reader(tokens(inner, _TOKENS), SPELLING)
    starts: dict[str, tuple[Role, Value]] = {}
    for title, role in _LISTS:
        reader.take("const", title, "=", "Object", ".", "freeze", "(", "{")
        while not reader.is_next("}"):
            name = reader.word()
            reader.take(":")
            starts[name] = (role, reader.value())
            reader.take(",")
            _skip_remarks(reader)
        reader.take(")", ";")
    reader.take("function", "run", "(", "kept", ",", "given", ")", "{")
    own = _read_variables(reader, starts)
    body = _read_block(reader, "return")
    reader.take("return", "{")
    given = []
    while not reader.is_next("}"):
        given.append(reader.word())
        reader.take(",")
    reader.take(";", "}")
    return Program(_variables(starts, own, given), body)


def _variables(
    starts: dict[str, tuple[Role, Value]], own: dict[str, tuple[Value, int]], given: list[str]
) -> tuple[Variable, ...]:
    found = [Variable(name, _type(value), role, value) for name, (role, value) in starts.items()]
    for name, (value, size) in own.items():
        found.append(Variable(name, _type(value), "output" if name in given else "own", value, size))
    handed_on = {each.name for each in found if each.role in ("kept", "retained", "output")}
    if handed_on != set(given):
        raise NotOursError(f"What is kept and what is given back differ: {sorted(handed_on ^ set(given))}.")
    return tuple(found)


def _type(value: Value) -> Type:
    return "bool" if isinstance(value, bool) else "int" if isinstance(value, int) else "real"


def _read_variables(reader: Reader, starts: dict[str, tuple[Role, Value]]) -> dict[str, tuple[Value, int]]:
    """Variables at the head of the step: those handed in under their own name, then the step's own."""
    own: dict[str, tuple[Value, int]] = {}
    while reader.is_next("let"):
        name = reader.word()
        reader.take("=")
        if name in starts:
            reader.take("given" if starts[name][0] == "input" else "kept", ".", name, ";")
            continue
        if reader.is_next("new"):
            reader.take("Array", "(")
            size = int(reader.value())
            reader.take(")", ".", "fill", "(", "0", ")")
            own[name] = (0, size)
        else:
            own[name] = (reader.value(), 0)
        reader.take(";")
        _skip_remarks(reader)
    return own


def _skip_remarks(reader: Reader) -> None:
    while reader.now.kind == "remark":
        reader.next()


def _read_block(reader: Reader, *ends: str) -> Block:
    return read_block(reader, ends, statement=_read_stmt, note=lambda text: text.removeprefix("// "))


def _read_stmt(reader: Reader) -> Stmt:
    if reader.is_next("if"):
        return _read_if(reader)
    if reader.is_next("while"):
        condition = _read_condition(reader)
        return While(condition, _read_inside(reader))
    return read_assigned(reader, "=")


def _read_condition(reader: Reader) -> Expr:
    reader.take("(")
    condition = reader.expr()
    reader.take(")")
    return condition


def _read_inside(reader: Reader) -> Block:
    reader.take("{")
    block = _read_block(reader, "}")
    reader.take("}")
    return block


def _read_if(reader: Reader) -> If:
    condition = _read_condition(reader)
    branches = [(condition, _read_inside(reader))]
    while reader.is_next("else"):
        if not reader.is_next("if"):
            return If(tuple(branches), _read_inside(reader))
        condition = _read_condition(reader)
        branches.append((condition, _read_inside(reader)))
    return If(tuple(branches))
