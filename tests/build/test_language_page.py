"""The language reference: every example on the page is read, and every word of every section is on it."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
import yaml
from pydantic import BaseModel

from coachwright.build.condition import HeadStatement
from coachwright.build.condition_scope import ALLOWED, Place
from coachwright.build.condition_text import Scope, read_condition
from coachwright.build.condition_words import RESERVED_WORDS, SHOWING_WORDS
from coachwright.build.language import SECTIONS
from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.build.pattern_text import ShowText, read_show
from coachwright.build.sections.base import Section, as_written
from coachwright.kit.nodes import read_nodes
from coachwright.parts.store import load_catalogue
from tests.build.conftest import spoken
from tools import language_tables

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "language.md").read_text(encoding="utf-8")
FENCES = re.findall(r"^```([a-z -]+)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)


BUILD = next(text for mark, text in FENCES if mark == "build")
PIECES = [text for mark, text in FENCES if mark == "yaml"]
MADE_WITHOUT_FEEDS = frozenset(("BLD-106", "BLD-107"))
"""A piece about feeds says nothing of every other thing that could hang on them."""


def whole_build() -> Model:
    """The small build the page begins with."""
    loaded = read_build(BUILD, catalogue=load_catalogue())
    assert loaded.model is not None, [spoken(each) for each in loaded.findings]
    assert loaded.findings == ()
    return loaded.model


def names() -> Scope:
    """Everything that can be read in that build."""
    model = whole_build()
    return Scope(
        inputs={item.name: item.values or item.number_kind for item in model.inputs},
        memories={item.name: item.values for item in model.memories},
        words=frozenset(item.name for item in model.words),
        functions=frozenset(item.name for item in model.functions),
        equipment=frozenset(item.name for item in model.equipment),
        selectors=frozenset((*(head.lamp for head in model.heads), *dict(model.groups))),
        ordered=frozenset(("slide", "arrow", "stage")),
        pushed=frozenset(item.name for item in model.inputs if item.kind in ("toggle", "button")),
    )


SCOPE = names()


def examples(wanted: str) -> Iterator[tuple[str, str]]:
    """Each line of the fences marked so: the example, and what is said behind #."""
    for mark, text in FENCES:
        if mark == wanted:
            for line in text.splitlines():
                example, _, said = line.partition("#")
                yield example.strip(), said.strip()


def said_about(problems: object) -> str:
    assert isinstance(problems, tuple), f"read as {problems}"
    return " ".join(str(problem) for problem in problems)


@pytest.mark.parametrize(("text", "_said"), list(examples("condition")))
def test_a_condition_of_the_page_is_read(text: str, _said: str) -> None:
    """Print: docs/language.md, and a function may read it."""
    found = read_condition(text, place="function", scope=SCOPE)

    assert not isinstance(found, tuple), said_about(found)


@pytest.mark.parametrize("place", ["message", "memory-on", "promise-then"])
def test_conditions_of_other_places_are_read_there_and_not_in_functions(place: Place) -> None:
    """Print: docs/language.md, events, functions and heads have their places."""
    found = [text for text, _ in examples(f"condition {place}")]
    assert found
    for text in found:
        read = read_condition(text, place=place, scope=SCOPE)
        assert not isinstance(read, tuple), said_about(read)
        assert isinstance(read_condition(text, place="function", scope=SCOPE), tuple)


@pytest.mark.parametrize(("text", "said"), list(examples("condition refused")))
def test_a_condition_the_page_refuses_is_answered_as_printed(text: str, said: str) -> None:
    """Print: docs/language.md, the very words."""
    assert said_about(read_condition(text, place="function", scope=SCOPE)) == said


@pytest.mark.parametrize(("text", "_said"), list(examples("show")))
def test_a_show_of_the_page_is_read(text: str, _said: str) -> None:
    """Print: docs/language.md."""
    found = read_show(text, signals=SCOPE.inputs)

    assert isinstance(found, ShowText), said_about(found)


@pytest.mark.parametrize(("text", "said"), list(examples("show refused")))
def test_a_show_the_page_refuses_is_answered_as_printed(text: str, said: str) -> None:
    """Print: docs/language.md, the very words."""
    assert said_about(read_show(text)) == said


@pytest.mark.parametrize(("text", "_said"), list(examples("selector")))
def test_a_selector_of_the_page_is_read(text: str, _said: str) -> None:
    """Print: docs/language.md."""
    found = read_condition(f"{text} dark", place="promise-then", scope=SCOPE)

    assert isinstance(found, HeadStatement), said_about(found)
    assert found.selector == text


def put_in(piece: str) -> str:
    """The whole build with a piece in it: named items beside its own, anything else in its place."""
    document = read_nodes(piece, file="language.md")
    assert document.findings == ()
    whole, added = read_nodes(BUILD, file="language.md").plain, document.plain
    assert isinstance(whole, dict)
    assert isinstance(added, dict)
    for section, content in added.items():
        before = whole.get(section)
        beside = SECTIONS[section].shape == "entries" and isinstance(before, dict) and isinstance(content, dict)
        whole[section] = {**before, **content} if beside else content  # type: ignore[dict-item]
    return yaml.safe_dump(whole, sort_keys=False, allow_unicode=True)


@pytest.mark.parametrize("piece", PIECES, ids=lambda piece: piece.partition(":")[0])
def test_a_piece_of_a_build_on_the_page_loads(piece: str) -> None:
    """Print: docs/language.md, each piece put into the whole build at its head."""
    loaded = read_build(put_in(piece), catalogue=load_catalogue())
    told = [each for each in loaded.findings if each.code not in MADE_WITHOUT_FEEDS and each.severity != "note"]

    assert [f"{each.where[0]} {each.code} {spoken(each)}" for each in told] == []
    assert loaded.model is not None


def chapter(section: str) -> str:
    """What the page says of one section."""
    found = re.search(rf"^### {section}\n(.*?)(?=^##|\Z)", PAGE, re.MULTILINE | re.DOTALL)
    assert found is not None, f"no heading ### {section}"
    return found[1]


@pytest.mark.parametrize("section", SECTIONS.values(), ids=lambda section: section.name)
def test_every_word_of_a_section_is_on_the_page(section: Section) -> None:
    """Law: each section has a heading and a piece that loads; each word of it a row with its help and an example."""
    text = chapter(section.name)
    pieces = re.findall(r"^```yaml\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)

    assert any(re.search(rf"^{section.name}:", piece, re.MULTILINE) for piece in pieces)
    rows = [line for line in text.splitlines() if line.startswith("| `")]
    words = list(words_of(section.item))
    for word, help_text, example in words:
        assert any(f"`{word}`" in row and help_text in row and f"`{word}: {example}`" in row for row in rows), word
    assert len(rows) == len(words)


def words_of(item: Any) -> Iterator[tuple[str, str, str]]:
    """Every word of a section's schema, however deep: itself, its help, its first example as written."""
    waiting, seen = [item], set[type[BaseModel]]()
    while waiting:
        here = waiting.pop()
        if isinstance(here, type) and issubclass(here, BaseModel) and here not in seen:
            seen.add(here)
            for name, field in here.model_fields.items():
                assert field.description
                assert field.examples
                yield field.alias or name, field.description, as_written(field.examples[0])
                waiting.append(field.annotation)
            waiting.append(get_type_hints(here).get("__pydantic_extra__"))
        waiting += get_args(here)


def test_the_tables_are_what_the_sections_say() -> None:
    """Law: python tools/language_tables.py writes them."""
    assert language_tables.page(PAGE) == PAGE
    assert language_tables.main(["--check"]) == 0


def test_a_table_that_is_behind_is_seen() -> None:
    """Law: a row taken out is put in again, and nothing outside of the tables changes."""
    row = next(line for line in PAGE.splitlines() if line.startswith("| `on-while`"))

    assert language_tables.page(PAGE.replace(row + "\n", "")) == PAGE


def test_every_word_of_a_small_choice_is_on_the_page() -> None:
    """Case: where one of a few words belongs, the table lists them."""
    assert "(`slide`, `pick-one`, `toggle`, `button`, `rotary-disconnect`)" in chapter("controls")
    assert "(`cabin`, `outside`, `sealed`)" in chapter("cargo")


def test_every_fence_is_looked_at() -> None:
    """Law: a fence with a mark nobody reads would prove nothing."""
    known = {"build", "yaml", "selector", "condition", "condition refused", "show", "show refused"}

    assert {mark for mark, _ in FENCES} <= known | {f"condition {place}" for place in ALLOWED}


def test_the_page_names_every_reserved_word() -> None:
    """Law: a word that can't be a name is on the page."""
    words = set(re.findall(r"[a-z]+(?:-[a-z]+)*", PAGE))

    assert not RESERVED_WORDS - words
    assert not SHOWING_WORDS - words
