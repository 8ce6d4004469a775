"""Whatever stands in the file: findings with marks, or one clear refusal; never a traceback, never without end."""

from __future__ import annotations

import signal
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import Loaded, read_build
from coachwright.kit.errors import DoorRefused
from tests.build import small
from tests.build.conftest import spoken
from tests.build.mutations import mutated

MOST_S = 20
"""A bound, not a measurement: a reading of one small file that takes longer would never end."""

CATALOGUE = small.small_catalogue()

_TEXT_CODES = {"BLD-001", "BLD-002", "BLD-003", *(f"BLD-04{digit}" for digit in range(7))}
_FIELD_CODES = {f"BLD-{number:03}" for number in (*range(4, 11), *range(12, 29), 47)}


@contextmanager
def bounded() -> Iterator[None]:
    """Ends what doesn't end."""

    def give_up(*_: object) -> None:
        raise TimeoutError(f"not read within {MOST_S} s")

    signal.signal(signal.SIGALRM, give_up)
    signal.alarm(MOST_S)
    try:
        yield
    finally:
        signal.alarm(0)


def stage_reached(text: str) -> str:
    """How far a text comes; judges everything that is said of it on the way."""
    with bounded():
        try:
            loaded = read_build(text, catalogue=CATALOGUE)
        except DoorRefused:
            return "refused"
    check_told(loaded)
    codes = {each.code for each in loaded.findings if each.severity == "error"}
    if codes & _TEXT_CODES:
        return "text"
    if codes & _FIELD_CODES:
        return "fields"
    return "references" if codes else "clean"


def check_told(loaded: Loaded) -> None:
    """Every finding has its place inside the text, says something, and stands there once."""
    text = loaded.document.text
    lines = text.splitlines() or [""]
    for finding in loaded.findings:
        mark = finding.where[0]
        assert mark.file == "build.yaml"
        assert 1 <= mark.line <= len(lines) + 1, spoken(finding)
        assert 0 <= mark.start <= mark.end <= len(text), spoken(finding)
        assert str(finding.values["why"]).strip()
        assert "!" not in str(finding.values["why"]).replace("!=", "").replace("behind !", "").replace(
            text[mark.start : mark.end], ""
        )
        assert finding.fix is None or finding.fix.sentence.strip()
    places = Counter((each.where[0], each.code, each.values["why"]) for each in loaded.findings)
    assert {place: n for place, n in places.items() if n > 1} == {}
    assert (loaded.model is None) == any(each.severity == "error" for each in loaded.findings)


HEAD = "coachwright: 1\njob: {name: a}\nvehicle: {body: small-van}\n"
HOSTILE = {
    "sections": lambda n: "\n".join(f"k{i}: 1" for i in range(n)),
    "repeated": lambda n: "a: 1\n" * n,
    "tabs": lambda n: "a:\t1\n" * n,
    "aliases": lambda n: "a: &x 1\n" + "b: *x\n" * n,
    "stars": lambda n: "\n".join(f"k{i}: *" for i in range(n)),
    "open": lambda n: "\n".join(f"k{i}: [" for i in range(n)),
    "items": lambda n: "packs: [" + ", ".join(f"h{i}" for i in range(n)) + "]",
    "words": lambda n: HEAD + "words:\n" + "\n".join(f"  w{i}: brake and w{i + 1}" for i in range(n)),
    "unknown": lambda n: HEAD + "words:\n" + "\n".join(f"  w{i}: brake and y{i}" for i in range(n)),
    "groups": lambda n: HEAD + "groups:\n" + "\n".join(f"  g{i}: g{i + 1}" for i in range(n)),
    "situations": lambda n: HEAD + "situations:\n" + "\n".join(f"  g{i}: {{like: g{i + 1}}}" for i in range(n)),
    "condition": lambda n: HEAD + "words:\n  a: " + "not " * n + "brake",
    "brackets": lambda n: HEAD + "words:\n  a: " + "(" * n + "brake",
    "selector": lambda n: HEAD + "groups:\n  a: [" + ", ".join(["high-beam.left"] * n) + "]",
    "quoted": lambda n: "a: '" + "''" * n,
    "dashes": lambda n: "- " * n,
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_size_ends_no_reading(kind: str) -> None:
    """Law: some ten thousands of anything are read or told, without growing past all bounds."""
    assert stage_reached(HOSTILE[kind](4900)) in {"text", "fields", "references", "clean"}
    assert stage_reached(HOSTILE[kind](50_000)) in {"text", "fields", "references"}


def check_mutations(seeds: range) -> Counter[str]:
    """How far each of them comes."""
    reached: Counter[str] = Counter()
    for seed in seeds:
        text = mutated(seed)
        try:
            reached[stage_reached(text)] += 1
        except Exception as error:
            error.add_note(f"mutation {seed}")
            raise
    return reached


def test_mutations_are_read_or_told() -> None:
    """Law: 500 changed builds; at least half of them come past the stages "text" and "fields"."""
    reached = check_mutations(range(500))

    assert reached["references"] + reached["clean"] >= 250, reached
    assert reached["text"] >= 20, reached
    assert reached["fields"] >= 20, reached


@pytest.mark.long
def test_many_mutations_are_read_or_told() -> None:
    """Law: 100,000 changed builds."""
    reached = check_mutations(range(1000, 101_000))

    assert reached["references"] + reached["clean"] >= 50_000, reached


@given(st.integers(min_value=10**6))
@settings(max_examples=100)
def test_mutations_hypothesis_thinks_of(seed: int) -> None:
    """Law: the same, with seeds of its own."""
    assert stage_reached(mutated(seed)) in {"text", "fields", "references", "clean", "refused"}


@given(st.text(st.sampled_from("ab \n:-[]{},&*!%'\"#|>\\?@\t0.") | st.characters(), max_size=200))
def test_any_text_at_all(text: str) -> None:
    """Law: no text ends the program, and none is taken for a build."""
    assert stage_reached(text) != "clean"


PLAIN = st.recursive(
    st.sampled_from(["", "off", "5", "25 deg", "a b", "tail", "*", "é", "x" * 3000, "brake and", "{", "[a", "'"]),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.sampled_from(["on", "part", "x", "Ä b"]), inside),
    max_leaves=6,
)


@given(st.data())
def test_anything_in_any_field(data: st.DataObject) -> None:
    """Law: a value of any shape at any path of a good build is taken or told."""
    import yaml

    plain = yaml.load(small.whole(**small.FULL), Loader=yaml.BaseLoader)
    node, key = plain, data.draw(st.sampled_from(sorted(plain)))
    while isinstance(node[key], dict | list) and node[key] and data.draw(st.booleans()):
        node = node[key]
        key = (
            data.draw(st.sampled_from(sorted(node)))
            if isinstance(node, dict)
            else data.draw(st.integers(0, len(node) - 1))
        )
    node[key] = data.draw(PLAIN)
    text = yaml.dump(
        plain, allow_unicode=True, sort_keys=False, default_style=data.draw(st.sampled_from(["", '"'])) or None
    )

    assert stage_reached(text) != "text"


@given(st.data())
def test_an_unknown_word_is_told_once_at_its_place(data: st.DataObject) -> None:
    """Law: a name nobody knows, in the place of one that is read, gives exactly one finding, and there."""
    text = small.whole()
    found = data.draw(st.sampled_from(read_names(text)))
    changed = text[: found[0]] + "zzzzzzzz" + text[found[1] :]
    loaded = read_build(changed, catalogue=CATALOGUE)
    errors = [each for each in loaded.findings if each.severity == "error"]

    assert [(each.where[0].start, each.where[0].end) for each in errors] == [(found[0], found[0] + 8)], [
        (str(each.where[0]), each.code, spoken(each)) for each in errors
    ]


def read_names(text: str) -> list[tuple[int, int]]:
    """Where a name is read that is said elsewhere: in conditions, selectors, lists and single fields."""
    import re

    places: list[tuple[int, int]] = []
    for pattern in (
        r"when: (?:not )?([a-z][a-z-]+)(?= |,|\})",
        r"(?:and|or|not) (?!not|park-brake and)([a-z][a-z-]+)(?= |,|\}|\))",
        r"on: \[?([a-z-]+)(?=[,.\]])",
        r"(?:stops|but|wins-over|run|interrupt|like|rank: warn\n    by): \[?([a-z-]+)(?=[,\]}\n])",
        r"pressed ([a-z]+)",
        r"becomes ([a-z]+)",
        r"follow ([a-z-]+)",
        r"groups:\n  front: \[([a-z]+)",
    ):
        places += [found.span(1) for found in re.finditer(pattern, text)]
    return sorted(set(places))
