"""Nothing that somebody typed reaches code, or ends a remark."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Message, Model
from coachwright.control.export.about import About
from coachwright.control.export.es_module import es_module, read_es_module
from coachwright.control.export.exported import json_table
from coachwright.control.export.names import RESERVED, Names
from coachwright.control.export.plain import json_text, remark
from coachwright.control.export.program import step_of
from coachwright.control.export.structured_text import read_structured_text, structured_text
from coachwright.control.export.table import read_table
from tests.control import by_hand

HOSTILE = [
    "*)",
    "*/ alert(1) /*",
    "(*",
    "</script><script>alert(1)</script>",
    "<!-- -->",
    "\n; END_FUNCTION_BLOCK",
    "\r\nexport default 1",
    "\u2028let x = 1\u2029",
    "{attribute 'x'}",
    "`${process.exit()}`",
    '"); evil("',
    "\\u002a)",
    "\u202eabc\x00\x1b[31m",
    "[step begins]",
    "\n// [step ends]\n",
    "日本語 🚒",
]
TEXTS = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(min_size=1, max_size=30),
    st.lists(st.sampled_from(HOSTILE), min_size=1).map("".join),
)


def build(said: str, name: str = "warning") -> Model:
    """A build in which everything that may be typed freely says this."""
    model = by_hand.build(
        inputs=[by_hand.slide("slide", "off", "full")],
        heads=["tail"],
        functions=[by_hand.function(name, by="slide", levels={"full": [by_hand.show("tail", red="single")]})],
    )
    message = Message(said, None, said, said, 0, said, "messages")
    return replace(
        model, job=replace(model.job, name=said, customer=said), file=f"a/{said}", serial=said, messages=(message,)
    )


@given(TEXTS)
def test_a_text_changes_nothing_but_remarks(said: str) -> None:
    """Law: whatever is typed, the program that is read back is the one of a build with plain words."""
    plain = step_of(build("plain")).program
    model = build(said)
    step = step_of(model)
    about = About("test", (said,))
    read = (
        read_structured_text(structured_text(step, about)),
        read_es_module(es_module(step, about)),
        read_table(json_table(step, about)),
    )

    for program in read:
        assert len(program.variables) == len(plain.variables)
        assert len(program.body) == len(plain.body)
        assert program.body == step.program.body


@given(TEXTS)
def test_no_letter_of_danger_outside_its_place(said: str) -> None:
    """Law: all three files are plain ASCII; no remark ends early, no tag and no line end comes from a text."""
    step, plain = step_of(build(said)), step_of(build("plain"))
    about, about_plain = About("test", (said,)), About("test", ("plain",))
    text, module, table = structured_text(step, about), es_module(step, about), json_table(step, about)

    for made, like in (
        (text, structured_text(plain, about_plain)),
        (module, es_module(plain, about_plain)),
        (table, json_table(plain, about_plain)),
    ):
        assert made.isascii()
        assert made.count("\n") == like.count("\n")
        assert "</" not in made
        assert "\r" not in made
        assert "\x00" not in made
    assert text.count("*)") == text.count("(*") == structured_text(plain, about_plain).count("*)")
    assert module.count("*/") == es_module(plain, about_plain).count("*/")
    assert json.loads(table)["meaning"]["messages"][0]["say"] == said


@given(TEXTS)
def test_a_remark_is_plain_and_stays_so(said: str) -> None:
    """Law: one line without a letter that means something, and the same when it is done twice."""
    plain = remark(said)

    assert re.fullmatch(r"[A-Za-z0-9 .,:;%/=+\-_()\[\]<>!?']*", plain)
    assert remark(plain) == plain
    assert json.loads(json_text(said)) == said


@given(st.lists(st.text(min_size=1, max_size=60), max_size=30))
def test_names_are_never_the_same(words: list[str]) -> None:
    """Law: any texts, also those alike but for case, hyphens or their ends, become different plain identifiers."""
    names = Names()
    made = [names.new(*word.split("|")) for word in [*words, *words, *map(str.upper, words)]]

    assert len(set(made)) == len(made)
    for name in made:
        assert re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", name), name
        assert len(name) <= 40
        assert name not in RESERVED


@pytest.mark.parametrize(
    "word", ["if", "END_IF", "at", "class", "eval", "pass", "this", "__proto__", "1", "-", "ß", ""]
)
def test_a_keyword_is_never_a_name(word: str) -> None:
    """Case: words of the languages, and what is no word at all, get another name."""
    assert re.fullmatch(r"[a-z][a-z0-9_]*", Names().new(word))
    assert Names().new(word) not in RESERVED


def test_names_that_fall_together_are_told_apart() -> None:
    """Case: head "a.b" and head "a-b" are both "a_b" at first sight."""
    names = Names()

    assert [names.new("red", "a.b"), names.new("red", "a-b"), names.new("red", "A_B")] == [
        "red_a_b",
        "red_a_b_2",
        "red_a_b_3",
    ]
