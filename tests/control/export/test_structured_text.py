"""Structured Text is read by a parser that others wrote, and holds nothing but the subset."""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from coachwright.build.model import Model
from coachwright.control.export.about import About
from coachwright.control.export.names import RESERVED
from coachwright.control.export.program import step_of
from coachwright.control.export.structured_text import read_structured_text, structured_text
from coachwright.control.export.syntax import NotOursError
from coachwright.control.export.terms import If, Put, Set, Stmt, While, blocks_in
from tests.control import by_hand

ABOUT = About("test", ("Mind the *) gap",))


def small() -> Model:
    """One slide, one memory, a timer, one head, one limit: each kind of statement is in it."""
    return by_hand.build(
        inputs=[by_hand.slide("slide", "off", "full"), by_hand.number("speed")],
        heads=["tail"],
        memories=[by_hand.memory("m", "a", "b", moves=[{"on": "slide leaves full", "next": ["a", "b"]}])],
        functions=[
            by_hand.function(
                "warning",
                when="(slide == full held 3 s) and m == a and speed < 0.3 m/s",
                show=by_hand.show("tail", red="single"),
            )
        ],
    )


def every(block: tuple[Stmt, ...]) -> list[Stmt]:
    """Every statement, the ones inside others too."""
    found: list[Stmt] = []
    for stmt in block:
        found.append(stmt)
        for inside in blocks_in(stmt):
            found += every(inside)
    return found


def parts_of(thing: Any) -> Iterator[Any]:
    """Every node of a syntax tree of theirs."""
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        yield thing
        for field in dataclasses.fields(thing):
            yield from parts_of(getattr(thing, field.name))
    elif isinstance(thing, list | tuple):
        for each in thing:
            yield from parts_of(each)


@pytest.mark.slow
def test_a_parser_of_others_reads_the_same() -> None:
    """blark (IEC 61131-3:2013 with common extensions) finds our variables, and as many statements of each kind."""
    from blark.parse import parse_source_code

    text = structured_text(step_of(small()), ABOUT)
    program = read_structured_text(text)
    parsed = parse_source_code(text)

    assert parsed.exception is None
    (block,) = parsed.transform().items
    assert str(block.name) == "coachwright_step"
    names = {str(init.variables[0].name) for part in block.declarations for init in part.items}
    assert names == {each.name for each in program.variables}
    theirs = Counter(type(part).__name__ for part in parts_of(block.body))
    ours = Counter(type(stmt) for stmt in every(program.body))
    assert theirs["IfStatement"] == ours[If]
    assert theirs["WhileStatement"] == ours[While]
    assert theirs["AssignmentStatement"] == ours[Set] + ours[Put]
    further = sum(len(stmt.branches) - 1 for stmt in every(program.body) if isinstance(stmt, If))
    assert theirs["ElseIfClause"] == further


def test_only_words_of_the_standard_stand_in_it() -> None:
    """Law: without its remarks the file is made of a small list of words, our identifiers, numbers and signs."""
    step = step_of(small())
    text = re.sub(r"\(\*.*?\*\)", "", structured_text(step, ABOUT), flags=re.DOTALL)
    words = set(re.findall(r"[A-Za-z_]\w*", text)) - {each.name for each in step.program.variables}

    assert words <= set(
        "FUNCTION_BLOCK END_FUNCTION_BLOCK VAR_INPUT VAR_OUTPUT VAR RETAIN END_VAR BOOL DINT LREAL ARRAY OF TRUE FALSE "
        "IF THEN ELSIF ELSE END_IF WHILE DO END_WHILE AND OR NOT coachwright_step".split()
    )


def test_no_variable_is_a_word_of_the_language() -> None:
    """Law: names differ without regard to case, have no two underlines in a row, and are no keyword."""
    names = [each.name for each in step_of(small()).program.variables]

    assert len({name.lower() for name in names}) == len(names)
    assert [name for name in names if name in RESERVED or "__" in name or name.endswith("_")] == []


@pytest.mark.parametrize(
    "text",
    [
        "",
        "PROGRAM x END_PROGRAM",
        "FUNCTION_BLOCK coachwright_step x := 1 END_FUNCTION_BLOCK",
        "FUNCTION_BLOCK coachwright_step x := (1 + 2; END_FUNCTION_BLOCK",
        "FUNCTION_BLOCK coachwright_step IF x THEN y := 1; END_FUNCTION_BLOCK",
        "FUNCTION_BLOCK coachwright_step x := F(1); END_FUNCTION_BLOCK",
        "FUNCTION_BLOCK coachwright_step x := 1; END_FUNCTION_BLOCK y := 2;",
        "FUNCTION_BLOCK coachwright_step x := a AND b OR c; END_FUNCTION_BLOCK",
        "FUNCTION_BLOCK coachwright_step {pragma} END_FUNCTION_BLOCK",
    ],
)
def test_what_isnt_ours_is_refused(text: str) -> None:
    """Case: the reader takes what the printer writes and guesses nothing."""
    with pytest.raises(NotOursError):
        read_structured_text(text)


def test_a_number_keeps_all_its_digits() -> None:
    """Law: 0.3 m/s is compared as the very number that the machine compares with."""
    assert "read_speed < 0.3)" in structured_text(step_of(small()), ABOUT)
