"""Text, marks and what is wrong with a text, before anybody asks what it means."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit import nodes
from coachwright.kit.errors import DoorRefused
from coachwright.kit.nodes import Document, read_nodes


def found(text: str) -> list[tuple[int, int, str]]:
    """Line, column and code of everything that is wrong."""
    document = read_nodes(text, file="a.yaml")
    return [(each.where[0].line, each.where[0].column, each.code) for each in document.findings]


def at(document: Document, path: str) -> str:
    """The text a mark points to."""
    mark = document.mark(path)
    assert mark is not None
    return document.text[mark.start : mark.end]


def test_scalars_stay_text() -> None:
    """Case: what YAML takes for numbers, truths and dates are words here."""
    plain = read_nodes("a: off\nb: 007\nc: 12:30\nd: 2027-03-15\ne: ~\nf:\n", file="a.yaml").plain

    assert plain == {"a": "off", "b": "007", "c": "12:30", "d": "2027-03-15", "e": "~", "f": ""}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: *\nb: 1\n", [(1, 4, "BLD-040")]),
        ("a: {on: *, x: 1}\n", [(1, 9, "BLD-040")]),
        ("a: &x 1\nb: *x\n", [(1, 4, "BLD-040"), (2, 4, "BLD-040")]),
        ("a: !!str 1\nb: !x [1]\n", [(1, 4, "BLD-041"), (2, 4, "BLD-041")]),
        ("%YAML 1.1\n---\na: 1\n", [(1, 1, "BLD-042")]),
        ("a: 1\n---\nb: 2\n", [(2, 1, "BLD-043")]),
        ("a:\n\tb: 1\nc:\td\n", [(2, 1, "BLD-044"), (3, 3, "BLD-044")]),
        ("a: 1  # a\ttab in a comment\n", []),
        ("a: x\x07y\n", [(1, 5, "BLD-046")]),
        ("a: \ud800\n", [(1, 4, "BLD-046")]),
        ("a: 1\nb: 2\na: 3\n", [(3, 1, "BLD-002")]),
        ("a: {b: 1, b: 2}\n", [(1, 11, "BLD-002")]),
        ("[a]: 3\n", [(1, 1, "BLD-003")]),
        ("a: {b: 1\nc: 2\n", [(1, 4, "BLD-001")]),
        ("a: [1, 2\nc: 2\n", [(1, 4, "BLD-001")]),
        ('a: "b\nc: 2\n', [(1, 4, "BLD-001")]),
        ("a: b: c\n", [(1, 5, "BLD-001")]),
        ("a: @b\n", [(1, 4, "BLD-001")]),
        ("a: `b`\n", [(1, 4, "BLD-001")]),
        ("a: %\n", [(1, 4, "BLD-001")]),
        ("a: 40 %\nb: x != y\nc: a*b & c\n", []),
        ("", []),
        ("# nothing\n", []),
    ],
)
def test_faults_of_the_text(text: str, expected: list[tuple[int, int, str]]) -> None:
    """Case: each at its line and column, and nothing else."""
    assert found(text) == expected


def test_a_bare_star_says_what_to_write() -> None:
    """Case: `on: *` is what people write for everything."""
    (finding,) = read_nodes("a: {on: *}\n", file="a.yaml").findings

    assert finding.fix is not None
    assert finding.fix.sentence == "Write all."


def test_several_faults_are_told_and_the_rest_is_read() -> None:
    """Case: an open bracket, an open quotation mark, a repeated name; what stands between is there."""
    text = "one:\n  a: {x: 1, y: [2}\n  b: {x: 3}\ntwo: 'open\nthree: 4\nthree: 5\n"
    document = read_nodes(text, file="a.yaml")

    assert [each.code for each in document.findings] == ["BLD-001", "BLD-001", "BLD-002"]
    assert document.plain == {"one": {"b": {"x": "3"}}, "three": "4"}
    assert document.left_out == (("one", "a"), ("two",))


@pytest.mark.parametrize("count", [60, 3000, 100_000])
@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "- - [{a: "])
def test_depth_never_ends_the_program(opening: str, count: int) -> None:
    """Case: the C composer dies of some thousand levels; here it is a finding, closed or not."""
    closing = {"[": "]", "{a: ": "}"}.get(opening, "")
    for text in (f"x: 1\ny: {opening * count}", f"y: {opening * count}1{closing * count}"):
        codes = {each.code for each in read_nodes(text, file="a.yaml").findings}

        assert codes & {"BLD-045", "BLD-001"}


def test_indentation_is_depth_too() -> None:
    """Case: a thousand lines, each a level deeper."""
    text = "\n".join(f"{' ' * level}a:" for level in range(1000))

    assert found(text) == [(nodes.MAX_DEPTH + 1, nodes.MAX_DEPTH + 1, "BLD-045")]


def test_aliases_are_not_multiplied() -> None:
    """Case: ten lists of ten aliases each would be ten thousand million words."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 11)]
    document = read_nodes("\n".join(lines), file="a.yaml")

    assert {each.code for each in document.findings} == {"BLD-040"}
    assert len(str(document.plain)) < 5000


@pytest.mark.parametrize(("text", "sentence"), [("a\x00b", "NUL"), ("a" * 10_000_001, "longer than")])
def test_what_is_refused_whole(text: str, sentence: str) -> None:
    """Case: no text, or no end of it."""
    with pytest.raises(DoorRefused, match=sentence):
        read_nodes(text, file="a.yaml")


@pytest.mark.parametrize("start", ["", "\ufeff"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_marks_count_characters(start: str, newline: str) -> None:
    """Case: letters of any width, a byte order mark, either end of line."""
    text = start + newline.join(["# Größe 𝄞", "é: {größe: ÿ𝄞z, b: c}", "d: e", ""])
    document = read_nodes(text, file="a.yaml")
    mark = document.mark("é.b")

    assert at(document, "é.größe") == "ÿ𝄞z"
    assert at(document, "d") == "e"
    assert mark is not None
    assert (mark.line, mark.column) == (2, 20)


def test_a_single_item_is_a_list_of_one() -> None:
    """Case: `on: tail` is found at on.1, as `on: [tail]` is."""
    document = read_nodes("on: tail\nshow: {on: bar}\n", file="a.yaml")

    assert at(document, "on.1") == "tail"
    assert at(document, "show.1.on.1") == "bar"
    assert document.mark("on.2") is None


def test_the_nearest_mark_walks_up() -> None:
    """Case: what was not written stands where its parent does."""
    document = read_nodes("a:\n  b: c\n", file="a.yaml")

    assert document.nearest_mark("a.b.x.y") == document.mark("a.b")
    assert document.nearest_mark("z") == document.mark("")


def test_entries_tell_their_written_text() -> None:
    """Case: the same words at another column are another text, for there they may mean something else."""
    document = read_nodes("s:\n  a: {x: 1}\n  b:   {x: 1}\n  c: {x: 1}   # said\n", file="a.yaml")
    entries = dict(document.entries("s"))

    assert entries["a"] == entries["c"] == "5 {x: 1}"
    assert entries["b"] != entries["a"]


# ---- laws

WORDS = st.text(st.sampled_from("abé𝄞 01-_.:,#'\"\\"), min_size=1, max_size=12)


@given(
    st.lists(st.tuples(st.text(st.sampled_from("abcdefgé"), min_size=1, max_size=4), WORDS), max_size=8), st.booleans()
)
def test_every_value_is_found_at_its_mark(pairs: list[tuple[str, str]], with_mark: bool) -> None:
    """Law: what was put in quotes is read back, and its mark spans exactly the quoted text."""
    said = dict(pairs)
    text = ("\ufeff" if with_mark else "") + "".join(
        f"{key}: '{value.replace(chr(39), chr(39) * 2)}'\n" for key, value in said.items()
    )
    document = read_nodes(text, file="a.yaml")

    assert document.plain == said
    for key, value in said.items():
        assert at(document, key) == f"'{value.replace(chr(39), chr(39) * 2)}'"


@given(
    st.lists(
        st.sampled_from(
            ["a: 1", "b:", "  c: {x: 1}", "  d: [1, 2]", "# e", "", "f: g", "  - h", "a: 2", "i: |", "  j"]
        ),
        max_size=14,
    )
)
def test_section_by_section_is_the_same_as_whole(lines: list[str]) -> None:
    """Law: reading sections apart and reading the text as one come to the same words and marks."""
    text = "\n".join(lines) + "\n"
    apart = read_nodes(text, file="a.yaml")
    whole = read_nodes("---\n" + text, file="a.yaml")  # the line of a document takes the slow way

    assert (apart.plain or {}) == (whole.plain or {})
    assert [each.code for each in apart.findings] == [each.code for each in whole.findings]
    for path in paths(apart.plain):
        one, other = apart.mark(path), whole.mark(path)
        assert one is not None
        assert other is not None
        assert (one.line + 1, one.column, one.start + 4, one.end + 4) == (
            other.line,
            other.column,
            other.start,
            other.end,
        )


def paths(plain: object, before: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Every path in nested names and lists."""
    if isinstance(plain, dict):
        return [path for key, value in plain.items() for path in ((*before, key), *paths(value, (*before, key)))]
    if isinstance(plain, list):
        return [
            path for n, value in enumerate(plain, 1) for path in ((*before, str(n)), *paths(value, (*before, str(n))))
        ]
    return []


@given(st.text(st.sampled_from("ab: \n\t-[]{},&*!%'\"#|>\\?@`\r\x07é"), max_size=60))
def test_any_text_is_read_or_told(text: str) -> None:
    """Law: findings with marks inside the text, whatever comes in."""
    document = read_nodes(text, file="a.yaml")

    for finding in document.findings:
        mark = finding.where[0]
        assert 0 <= mark.start <= mark.end <= len(text) + 1
        assert 1 <= mark.line <= len(text.splitlines()) + 1
