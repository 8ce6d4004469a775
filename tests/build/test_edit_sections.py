"""Edits within every section: one value changes, one entry goes, and all else stays byte for byte."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from coachwright.build.edit import DeleteEntry, InsertEntry, SetValue, edit_text, undo_edit
from coachwright.kit.nodes import PathPieces, Plain, read_nodes
from tests.build import small

TEXT = "# power, cargo, film\n" + small.whole(**small.FULL).replace("trailer:\n", "trailer:   # behind\n")


def leaves(plain: Plain, path: PathPieces = ()) -> Iterator[PathPieces]:
    """Paths of every single text in a build."""
    if isinstance(plain, dict):
        for name, value in plain.items():
            yield from leaves(value, (*path, name))
    elif isinstance(plain, list):
        for number, value in enumerate(plain, start=1):
            yield from leaves(value, (*path, str(number)))
    else:
        yield path


LEAVES = [path for path in leaves(read_nodes(TEXT, file="a.yaml").plain) if path[0] in small.MORE]


def test_there_is_much_to_edit() -> None:
    """Law: the walk goes through all of them; a handful would mean it stopped at the first level."""
    assert {path[0] for path in LEAVES} == set(small.MORE)
    assert len(LEAVES) > 70


@pytest.mark.parametrize("path", LEAVES, ids=".".join)
def test_a_value_changes_and_nothing_else(path: PathPieces) -> None:
    """Law: the characters before and behind stay; the way back gives the same bytes."""
    document = read_nodes(TEXT, file="a.yaml")
    mark = document.mark(path)
    assert mark is not None
    edited = edit_text(TEXT, [SetValue(".".join(path), "other-word")])

    assert edited.text.startswith(TEXT[: mark.start])
    assert edited.text.endswith(TEXT[mark.end :])
    assert "other-word" in edited.text[mark.start : len(edited.text) - len(TEXT) + mark.end]
    assert undo_edit(edited.text, edited) == TEXT


@pytest.mark.parametrize("section", [name for name in small.MORE if name != "parts-by"])
def test_an_entry_goes_and_one_comes(section: str) -> None:
    """Law: what is read afterwards is what was read before, with that one difference."""
    before = read_nodes(TEXT, file="a.yaml").plain
    assert isinstance(before, dict)
    content = before[section]
    assert isinstance(content, dict)
    last = list(content)[-1]
    gone = edit_text(TEXT, [DeleteEntry(f"{section}.{last}")]).text
    come = edit_text(TEXT, [InsertEntry(section, {"part": "fan", "at": "floor"}, "new")]).text

    assert read_nodes(gone, file="a.yaml").plain == before | {
        section: {name: item for name, item in content.items() if name != last}
    }
    assert read_nodes(come, file="a.yaml").plain == before | {
        section: content | {"new": {"part": "fan", "at": "floor"}}
    }
