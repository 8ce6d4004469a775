"""Edits of a build file: laws, over documents in every mixture of blocks, brackets, quotes, comments and breaks."""

from dataclasses import dataclass

from hypothesis import assume, given
from hypothesis import strategies as st

from coachwright.build.edit import (
    BuildEdit,
    DeleteEntry,
    EditRefused,
    InsertEntry,
    SetValue,
    edit_text,
    text_digest,
    undo_edit,
)
from coachwright.build.edit_value import reads_as_is, written
from coachwright.kit.nodes import PathPieces, Plain, read_nodes

NAMES = ["aim", "at", "part", "on", "007", "a b", "x-1", "off", "- odd", "sharp #", "it's"]
WORDS = [
    *[
        "",
        "off",
        "25 deg",
        "12:30",
        "visor",
        "50 %",
        "a: b",
        "a, b",
        "x #y",
        "[x]",
        "{",
        "- x",
        "'q'",
        'say "no"',
        "\\",
    ],
    *[
        "*",
        "&a",
        "!t",
        "é ½",
        "two\nlines",
        " lead",
        "tail ",
        "null",
        "~",
        "=",
        "? x",
        "%x",
        "@x",
        "`x",
        "a:",
        "#",
        "|",
        ">-",
    ],
]
words = st.one_of(st.sampled_from(WORDS), st.text(st.characters(codec="utf-8"), max_size=8))
plains: st.SearchStrategy[Plain] = st.recursive(
    words,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(st.sampled_from(NAMES), inner, max_size=4)),
    max_leaves=12,
)


@dataclass
class Typist:
    """Writes plain values as somebody might have typed them, every choice drawn."""

    draw: st.DrawFn
    line_break: str

    def comment(self, odds: int = 4) -> str:
        return "   # said, [so]: {" if self.draw(st.integers(1, odds)) == 1 else ""

    def scalar(self, text: str, *, in_flow: bool) -> str:
        quotes = self.draw(st.sampled_from(["", "", "", "'", '"']))
        if text == "" and not in_flow and self.draw(st.booleans()):
            return ""
        return written(text, in_flow=in_flow, quotes=quotes)

    def gap(self) -> str:
        """Between the entries of brackets: a space, or a new line with or without a comment before it."""
        if self.draw(st.integers(1, 3)) > 1:
            return " " * self.draw(st.integers(0, 2))
        return f"{self.comment()}{self.line_break}{' ' * self.draw(st.integers(9, 12))}"

    def flow(self, plain: Plain) -> str:
        if isinstance(plain, str):
            return self.scalar(plain, in_flow=True)
        if isinstance(plain, dict):
            items = [f"{written(name, in_flow=True)}: {self.flow(item)}" for name, item in plain.items()]
        else:
            items = [self.flow(item) for item in plain]
        text = ""
        for number, item in enumerate(items):
            text += ("," if number else "") + (self.gap() or " ") + item
        if items:
            text += self.draw(st.sampled_from(["", "", ","])) + self.gap()
        opening, closing = "{}" if isinstance(plain, dict) else "[]"
        return opening + text + closing

    def behind(self, plain: Plain, indent: int) -> str:
        """What stands behind a colon, with its line break; a list may stand right under its name."""
        if not plain or isinstance(plain, str) or self.draw(st.integers(1, 3)) == 1:
            inline = self.flow(plain) if not isinstance(plain, str) else self.scalar(plain, in_flow=False)
            return f"{' ' if inline else ''}{inline}{self.comment()}{self.line_break}"
        deeper = indent + self.draw(st.sampled_from([1, 2, 4]))
        if isinstance(plain, list) and self.draw(st.booleans()):
            deeper = indent
        return self.comment() + self.line_break + self.block(plain, deeper)

    def block(self, plain: Plain, indent: int, *, inline: bool = False) -> str:
        """Lines of a mapping or list; `inline` leaves out the first indentation, which stands there already."""
        text = ""
        entries = plain.items() if isinstance(plain, dict) else ((None, item) for item in plain)
        for name, item in entries:
            if text and self.draw(st.integers(1, 5)) == 1:
                text += self.draw(st.sampled_from([self.line_break, f"{' ' * indent}# above{self.line_break}"]))
            text += "" if inline and not text else " " * indent
            if name is not None:
                text += written(name, in_flow=True) + ":" + self.behind(item, indent)
            elif isinstance(item, str) or not item or self.draw(st.booleans()):
                one = self.flow(item) if not isinstance(item, str) else self.scalar(item, in_flow=False)
                text += f"-{' ' if one else ''}{one}{self.comment()}{self.line_break}"
            else:
                text += "- " + self.block(item, indent + 2, inline=True)
        return text


@st.composite
def documents(draw: st.DrawFn) -> str:
    """A text that reads as a mapping, all of it typed in some way."""
    plain = draw(st.dictionaries(st.sampled_from(NAMES), plains, min_size=1, max_size=5))
    typist = Typist(draw, draw(st.sampled_from(["\n", "\r\n"])))
    top = draw(st.sampled_from(["", "# top", "---"]))
    text = (top + typist.line_break if top else "") + typist.block(plain, 0)
    if draw(st.booleans()):
        text += f"{typist.line_break}# the end{draw(st.sampled_from(['', typist.line_break]))}"
    elif draw(st.booleans()):
        text = text.removesuffix(typist.line_break)
    document = read_nodes(text, file="build.yaml")
    assert document.findings == ()
    assert document.plain == plain
    return text


def paths(plain: Plain, above: PathPieces = ()) -> list[PathPieces]:
    """Every path of a document, the top left out."""
    entries = list(plain.items()) if isinstance(plain, dict) else []
    if isinstance(plain, list):
        entries = [(str(number), item) for number, item in enumerate(plain, 1)]
    return [path for name, item in entries for path in ((*above, name), *paths(item, (*above, name)))]


def at(plain: Plain, path: PathPieces) -> Plain:
    for piece in path:
        plain = plain[piece] if isinstance(plain, dict) else plain[int(piece) - 1]
    return plain


def plain_of(text: str) -> Plain:
    return read_nodes(text, file="build.yaml").plain


@st.composite
def edits(draw: st.DrawFn, text: str) -> BuildEdit:
    """Some edit of a place that is there."""
    plain = plain_of(text)
    path = draw(st.sampled_from(paths(plain)))
    kind = draw(st.sampled_from(["set", "delete", "insert"]))
    if kind == "set":
        return SetValue(path, draw(plains))
    if kind == "delete":
        return DeleteEntry(path)
    into = draw(
        st.sampled_from(
            [(), *(each for each in paths(plain) if at(plain, each) == "" or not isinstance(at(plain, each), str))]
        )
    )
    holder = at(plain, into)
    after = ""
    if holder and draw(st.booleans()):
        numbers = [str(number) for number in range(1, len(holder) + 1)]
        after = draw(st.sampled_from(list(holder) if isinstance(holder, dict) else numbers))
    if isinstance(holder, list):
        return InsertEntry(into, draw(plains), after=after)
    return InsertEntry(into, draw(plains), name=draw(st.sampled_from(["new", "a: new", "n 1"])), after=after)


@given(documents(), st.data())
def test_no_edit_of_a_place_that_is_there_is_refused(text: str, data: st.DataObject) -> None:
    """Law: it says the old and the change (the edit proves that itself), and it can be taken back to the byte."""
    edit = data.draw(edits(text))
    edited = edit_text(text, [edit], seen=text_digest(text))

    assert undo_edit(edited.text, edited) == text
    assert edited.digest == text_digest(edited.text)
    if isinstance(edit, SetValue):
        assert at(plain_of(edited.text), tuple(edit.path)) == edit.value


@given(documents(), words, st.data())
def test_a_single_value_changes_no_character_outside_its_mark(text: str, value: str, data: st.DataObject) -> None:
    """Law: what kit.nodes marks as the value is all that changes."""
    document = read_nodes(text, file="build.yaml")
    single = [path for path in paths(document.plain) if isinstance(at(document.plain, path), str)]
    assume(single)
    path = data.draw(st.sampled_from(single))
    mark = document.mark(path)
    assert mark is not None
    new = edit_text(text, [SetValue(path, value)]).text

    if mark.start < mark.end:
        assert new.startswith(text[: mark.start])
        assert new.endswith(text[mark.end :])
    else:
        assert new.replace(" " + written(value, in_flow=False), "", 1) == text or len(new) > len(text)


@given(documents(), st.data())
def test_an_entry_takes_nothing_of_its_neighbours_along(text: str, data: st.DataObject) -> None:
    """Law: the characters of every other single value stand as they stood, quotes and all."""
    document = read_nodes(text, file="build.yaml")
    path = data.draw(st.sampled_from(paths(document.plain)))
    others = [
        each
        for each in paths(document.plain)
        if isinstance(at(document.plain, each), str) and each[: len(path)] != path
    ]
    new = edit_text(text, [DeleteEntry(path)]).text
    after = read_nodes(new, file="build.yaml")

    def moved(each: PathPieces) -> PathPieces:
        """The path it has now: items behind a deleted item move up."""
        number = len(path) - 1
        if path[:number] == each[:number] and isinstance(at(document.plain, path[:number]), list):
            here = int(each[number])
            return (*each[:number], str(here - (here > int(path[number]))), *each[number + 1 :])
        return each

    for each in others:
        before, now = document.mark(each), after.mark(moved(each))
        assert before is not None
        assert now is not None
        assert text[before.start : before.end] == new[now.start : now.end]


@given(documents(), plains, st.data())
def test_in_and_out_again_is_the_same_text(text: str, value: Plain, data: st.DataObject) -> None:
    """Law: inserting an entry and deleting it gives the old bytes, where there was an entry before it."""
    plain = plain_of(text)
    into = data.draw(
        st.sampled_from(
            [(), *(each for each in paths(plain) if at(plain, each) and not isinstance(at(plain, each), str))]
        )
    )
    holder = at(plain, into)
    if isinstance(holder, list):
        number = data.draw(st.integers(1, len(holder)))
        insert, path = InsertEntry(into, value, after=str(number)), (*into, str(number + 1))
    else:
        after = data.draw(st.sampled_from(list(holder)))
        insert, path = InsertEntry(into, value, name="new", after=after), (*into, "new")
    with_entry = edit_text(text, [insert]).text

    assert edit_text(with_entry, [DeleteEntry(path)]).text == text


@given(documents(), st.data())
def test_there_and_back_is_the_same_text(text: str, data: st.DataObject) -> None:
    """Law: another bare word and then the old one gives the old bytes, where the old one was written as we would."""
    document = read_nodes(text, file="build.yaml")
    single = []
    for path in paths(document.plain):
        value, mark = at(document.plain, path), document.mark(path)
        assert mark is not None
        in_flow = any(sign in text[: mark.start] for sign in "{[")
        if isinstance(value, str) and text[mark.start : mark.end] == value and reads_as_is(value, in_flow=in_flow):
            single.append((path, value))
    assume(single)
    path, old = data.draw(st.sampled_from(single))
    there = edit_text(text, [SetValue(path, data.draw(st.sampled_from(["x", "45 deg", "a, b: c #d"])))]).text

    assert edit_text(there, [SetValue(path, old)]).text == text


@given(documents(), st.lists(st.data(), min_size=2, max_size=4))
def test_several_edits_are_the_same_as_one_after_the_other(text: str, data: list[st.DataObject]) -> None:
    """Law: deletions and values at different places, made at once, or each by itself from the last to the first."""
    plain = plain_of(text)
    chosen: list[PathPieces] = []
    for each in data:
        path = each.draw(st.sampled_from(paths(plain)))
        if all(path[: len(other)] != other and other[: len(path)] != path for other in chosen):
            chosen.append(path)
    made: list[BuildEdit] = [
        DeleteEntry(path) if each.draw(st.booleans()) else SetValue(path, "x")
        for path, each in zip(chosen, data, strict=False)
    ]
    order = {path: number for number, path in enumerate(paths(plain))}
    one_by_one = text
    for edit in sorted(made, key=lambda edit: order[tuple(edit.path)], reverse=True):  # type: ignore[union-attr]
        one_by_one = edit_text(one_by_one, [edit]).text

    assert edit_text(text, made).text == one_by_one


@given(st.text(max_size=60), st.sampled_from(["a", "a.b", "1", ""]), st.sampled_from(["set", "delete", "insert"]))
def test_any_text_is_edited_or_refused(text: str, path: str, kind: str) -> None:
    """Law: no text and no path brings a traceback."""
    edit: BuildEdit = SetValue(path, "x")
    if kind != "set":
        edit = DeleteEntry(path) if kind == "delete" else InsertEntry(path, "x", name="n")
    try:
        edited = edit_text(text, [edit])
    except EditRefused:
        edited = None
    if edited is not None:
        assert undo_edit(edited.text, edited) == text
