"""A text as if some of it were written otherwise: what it says, where that stands, and that nothing else changed."""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.changed_text import ChangedText, find
from coachwright.kit.nodes import Document, read_nodes

TEXT = """\
lamps:
  bar: {part: bar-4, at: roof}
  tail: {part: short, at: tail}
groups:
  front: [bar, tail, bar.1]
  rear: tail
one: {set: {lamps.bar.at: roof-rear}, add: {lamps.new: {part: x, at: y}, feeds.radio: {from: z}}}
"""


def read() -> Document:
    """The text above."""
    return read_nodes(TEXT, file="b")


def written(document: Document, *path: str) -> str:
    """The characters a mark leads to."""
    mark = document.mark(path)
    assert mark is not None, path
    return document.text[mark.start : mark.end]


def test_what_is_put_in_leads_to_where_it_is_written() -> None:
    """Case: a field, an entry and a section that wasn't there; all else leads where it did."""
    before = read()
    text = ChangedText(before)
    text.put(("lamps", "bar", "at"), "roof-rear", written_at=("one", "set", "lamps.bar.at"))
    text.put(("lamps", "new"), {"part": "x", "at": "y"}, written_at=("one", "add", "lamps.new"))
    text.put(("feeds", "radio"), {"from": "z"}, written_at=("one", "add", "feeds.radio"))
    after = text.document()

    assert isinstance(after.plain, dict)
    assert after.plain["lamps"] == {
        "bar": {"part": "bar-4", "at": "roof-rear"},
        "tail": {"part": "short", "at": "tail"},
        "new": {"part": "x", "at": "y"},
    }
    assert after.plain["feeds"] == {"radio": {"from": "z"}}
    assert written(after, "lamps", "bar", "at") == "roof-rear"
    assert written(after, "lamps", "new", "part") == "x"
    assert written(after, "feeds", "radio", "from") == "z"
    assert written(after, "lamps", "bar", "part") == "bar-4"
    assert after.mark(("feeds",)) == after.mark(("one", "add", "feeds.radio"))


def test_the_document_that_was_read_stays_as_it_was() -> None:
    """Law: what is changed is copied first."""
    before = read()
    kept = copy.deepcopy(before.plain)
    text = ChangedText(before)
    text.put(("groups", "front", "2"), "new", written_at=("one",))
    text.put(("groups", "rear", "2"), "new", written_at=("one",))
    text.drop([("groups", "front", "1"), ("lamps", "tail")])

    assert before.plain == kept
    assert text.plain != kept


def test_items_behind_a_dropped_one_keep_their_places() -> None:
    """Case: the list moves up; its marks still lead to what is meant."""
    text = ChangedText(read())
    text.put(("groups", "front", "4"), "more", written_at=("one", "set"))
    text.drop([("groups", "front", "1"), ("groups", "front", "3")])
    after = text.document()

    assert find(after.plain, ("groups", "front")) == ["tail", "more"]
    assert written(after, "groups", "front", "1") == "tail"
    assert written(after, "groups", "front", "2").startswith("{lamps.bar.at")


def test_a_single_item_becomes_a_list_when_it_goes_on() -> None:
    """Case: `rear: tail` is a list of one."""
    text = ChangedText(read())
    text.put(("groups", "rear", "2"), "bar", written_at=("one",))

    assert find(text.plain, ("groups", "rear")) == ["tail", "bar"]
    assert find(read().plain, ("groups", "rear", "1")) == "tail"
    assert find(read().plain, ("groups", "rear", "2")) is None


def test_entries_that_were_touched_have_a_text_of_their_own() -> None:
    """Law: equal texts mean equal values, so what was touched is never mistaken for what is written in the file."""
    before = dict(read().entries("lamps"))
    text = ChangedText(read())
    text.put(("lamps", "bar", "at"), "roof-rear", written_at=("one",))
    text.drop([("lamps", "tail", "at")])
    after = dict(text.document().entries("lamps"))

    assert after["bar"] != before["bar"]
    assert after["tail"] != before["tail"]
    assert all(source.startswith("\0") for source in after.values())
    assert dict(text.document().entries("groups")) == dict(read().entries("groups"))


NAMES = st.sampled_from(["a", "b", "1", "2", "3"])
TREES = st.recursive(
    st.sampled_from(["x", "y"]),
    lambda inner: st.lists(inner, min_size=1, max_size=3) | st.dictionaries(NAMES, inner, min_size=1, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from(["a", "b"]), TREES, min_size=1), st.data())
def test_dropping_agrees_with_plain_python(tree: dict[str, Any], data: st.DataObject) -> None:
    """Law: several drops at once are those paths and no others, as deleting from the last to the first gives."""
    import json

    document = read_nodes(json.dumps(tree), file="b")
    paths = sorted(_paths(document.plain, ()))
    chosen = data.draw(st.lists(st.sampled_from(paths), unique=True, max_size=3))
    chosen = [path for path in chosen if not any(path != other and path[: len(other)] == other for other in chosen)]
    expected: Any = copy.deepcopy(document.plain)
    for path in sorted(chosen, key=lambda path: [int(piece) if piece.isdigit() else 0 for piece in path], reverse=True):
        holder = expected
        for piece in path[:-1]:
            holder = holder[int(piece) - 1] if isinstance(holder, list) else holder[piece]
        if isinstance(holder, list):
            holder[int(path[-1]) - 1] = None
        else:
            del holder[path[-1]]

    text = ChangedText(document)
    text.drop(chosen)

    assert text.plain == _without_none(expected)
    after = text.document()
    for path in _paths(after.plain, ()):
        value = find(after.plain, path)
        if isinstance(value, str):
            assert written(after, *path).strip('"') == value


def _paths(plain: Any, path: tuple[str, ...]) -> list[tuple[str, ...]]:
    items = plain.items() if isinstance(plain, dict) else []
    if isinstance(plain, list):
        items = [(str(number), item) for number, item in enumerate(plain, 1)]
    return [each for name, item in items for each in [(*path, name), *_paths(item, (*path, name))]]


def _without_none(plain: Any) -> Any:
    if isinstance(plain, dict):
        return {name: _without_none(item) for name, item in plain.items()}
    return [_without_none(item) for item in plain if item is not None] if isinstance(plain, list) else plain
