"""The language reference: every example on the page is read, with the names the page gives."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from coachwright.build.condition import HeadStatement
from coachwright.build.condition_scope import ALLOWED, Place
from coachwright.build.condition_text import Scope, read_condition
from coachwright.build.condition_words import COLOUR_WORDS, RESERVED_WORDS, SHOWING_WORDS
from coachwright.build.pattern_text import ShowText, read_show
from coachwright.kit.nodes import Plain, read_nodes

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "language.md").read_text(encoding="utf-8")
FENCES = re.findall(r"^```([a-z -]+)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
PLACES_OF_KEYS: dict[str, Place] = {"on": "memory-on", "if": "memory-if"}


def names() -> Scope:
    """The invented vehicle of the page."""
    plain = read_nodes(next(text for mark, text in FENCES if mark == "names"), file="names").plain
    assert isinstance(plain, dict)

    def listed(value: Plain) -> tuple[str, ...]:
        return tuple(str(item) for item in value)

    def values(name: str) -> dict[str, Plain]:
        found = plain[name]
        assert isinstance(found, dict)
        return found

    inputs: dict[str, tuple[str, ...] | str] = {}
    for name, value in values("inputs").items():
        inputs[name] = listed(value) if isinstance(value, list) else ("off", "on") if value == "on/off" else str(value)
    memories = {name: listed(value) for name, value in values("memories").items()}
    rest = {name: listed(plain[name]) for name in ("ordered", "pushed", "words", "functions", "equipment", "selectors")}
    return Scope(inputs, memories, **rest)


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


def lines_of(section: str, plain: Plain, key: str = "") -> Iterator[tuple[str, str, Place | None]]:
    """Each condition and show in a piece of a build: its key, its text, its place (None for a show)."""
    if isinstance(plain, list):
        for item in plain:
            yield from lines_of(section, item, key)
    elif isinstance(plain, dict):
        for name, value in plain.items():
            yield from lines_of(section, value, "at-most" if key == "at-most" else name)
    elif key in COLOUR_WORDS:
        yield key, plain, None
    elif section == "words":
        yield key, plain, "word"
    elif section == "memory" and key in PLACES_OF_KEYS:
        yield key, plain, PLACES_OF_KEYS[key]
    elif section == "promises" and key in ("when", "then", "never", "after", "until"):
        yield key, plain, f"promise-{key}"  # type: ignore[misc]
    elif key in ("when", "at-most"):
        places: dict[str, Place] = {"functions": "function", "limits": "limit", "stops": "stop", "messages": "message"}
        yield key, plain, places[section]


def test_the_pieces_of_builds_on_the_page_are_read() -> None:
    """Print: docs/language.md, every condition and every show within them."""
    read_n = 0
    for mark, text in FENCES:
        if mark != "yaml":
            continue
        document = read_nodes(text, file="language.md")
        assert document.findings == ()
        assert isinstance(document.plain, dict)
        for section, plain in document.plain.items():
            for _, line, place in lines_of(section, plain):
                read_n += 1
                if place is None:
                    assert isinstance(read_show(line, signals=SCOPE.inputs), ShowText), line
                else:
                    found = read_condition(line, place=place, scope=SCOPE)
                    assert not isinstance(found, tuple), said_about(found)
    assert read_n > 30


def test_every_fence_is_looked_at() -> None:
    """Law: a fence with a mark nobody reads would prove nothing."""
    known = {"names", "yaml", "selector", "condition", "condition refused", "show", "show refused"}

    assert {mark for mark, _ in FENCES} <= known | {f"condition {place}" for place in ALLOWED}


def test_the_page_names_every_reserved_word() -> None:
    """Law: a word that can't be a name is on the page."""
    words = set(re.findall(r"[a-z]+(?:-[a-z]+)*", PAGE))

    assert not RESERVED_WORDS - words
    assert not SHOWING_WORDS - words
