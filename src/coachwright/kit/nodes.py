"""Reads YAML text into plain names, lists and words, and remembers where each stood.

Every scalar stays the text it was (`off`, `no`, `007` are words). Used by every door: builds, parts and packs.
The reading is bounded: size, depth and number of nodes have limits, and nothing in a file is ever executed. What can't
be read is a finding; the entry it stands in is left out (`Document.left_out`), and the rest is read.

See Also
--------
coachwright.kit.text_faults : what is looked at before and after the reader of YAML.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

import yaml

from coachwright.kit.errors import DoorRefused
from coachwright.kit.finding import Finding
from coachwright.kit.mark import Mark
from coachwright.kit.text_faults import Composed, compose, text_finding
from coachwright.kit.text_pieces import Piece, pieces_of
from coachwright.kit.within import place_in_source

Plain: TypeAlias = "str | list[Plain] | dict[str, Plain]"
PathPieces: TypeAlias = tuple[str, ...]

MAX_CHARACTERS = 10_000_000
MAX_DEPTH = 40
MAX_NODES = 2_000_000
MAX_FINDINGS = 100
"""More faults of the text itself help nobody."""


@dataclass(frozen=True, slots=True)
class Document:
    """A text file that was read: what it says, and where.

    Parameters
    ----------
    file : its name as given.
    text : all of it.
    plain : nested dict, list and str; an empty value is "".
    findings : what is wrong with the text itself (stage "text").
    left_out : paths of entries that could not be read; they exist, and nobody knows what they say.
    elsewhere : of a document that was changed after it was read: for the paths at which something else stands now,
        where in the text that is written.
    changed : the entries (section, name) that were touched by it; a section alone stands for all of its entries.
    """

    file: str
    text: str
    plain: Plain
    findings: tuple[Finding, ...] = ()
    left_out: tuple[PathPieces, ...] = ()
    elsewhere: Mapping[PathPieces, PathPieces] = field(default_factory=dict, repr=False)
    changed: frozenset[PathPieces] = frozenset()
    _pieces: tuple[Piece, ...] = field(default=(), repr=False, compare=False)

    def mark(self, path: str | PathPieces, *, key: bool = False) -> Mark | None:
        """Where the value at `path` stands, or its key. List items are counted from 1. None when there is no such path.

        `path` is dotted text (``lamps.corner.aim``) or its pieces.
        """
        found = self._node(path)
        if found is None:
            return None
        return self._mark_of(found.key if key and found.key is not None else found.value, found.piece)

    def mark_within(self, path: str | PathPieces, start: int, end: int) -> Mark | None:
        """Where the characters `start` to `end` of the text at `path` stand, whatever its quotes, escapes and folds."""
        found = self._node(path)
        if found is None or not isinstance(found.value, yaml.ScalarNode):
            return self.mark(path)
        node = found.value
        whole = self._mark_of(node, found.piece)
        source = self.text[whole.start : whole.end]
        first, last = place_in_source(source, node.value, start, end)
        before = source[:first]
        line = whole.line + before.count("\n")
        column = first - (before.rfind("\n") + 1) + 1 if "\n" in before else whole.column + first
        return Mark(self.file, line, column, whole.start + first, whole.start + last)

    def nearest_mark(self, path: str | PathPieces) -> Mark | None:
        """Mark of `path`, or of the nearest of its parents that was written."""
        pieces = path.split(".") if isinstance(path, str) and path else list(path)
        while pieces:
            mark = self.mark(tuple(pieces))
            if mark is not None:
                return mark
            pieces.pop()
        return self.mark(())

    def written_at(self, path: PathPieces) -> PathPieces:
        """Where in the text that is written which stands at `path`: somewhere else only in a changed document."""
        for end in range(len(path), 0, -1) if self.elsewhere else ():
            other = self.elsewhere.get(path[:end])
            if other is not None:
                return other + path[end:]
        return path

    def entries(self, *path: str) -> Iterator[tuple[str, str]]:
        """Name and written text of each entry of the mapping at `path`, repeated names once.

        Equal written texts (with the column at which they begin, which is put before them) mean equal values.
        """
        yield from self._changed_entries(path)
        found = self._node(path) if path not in self.changed else None
        if found is None or not isinstance(found.value, yaml.MappingNode):
            return
        seen = set()
        shift = found.piece.index
        for key, value in found.value.value:
            name = key.value
            if isinstance(name, str) and name not in seen and (*path, name) not in self.changed:
                seen.add(name)
                start, end = value.start_mark, value.end_mark
                yield name, f"{start.column} {self.text[start.index + shift : end.index + shift]}"

    def _changed_entries(self, path: PathPieces) -> Iterator[tuple[str, str]]:
        """Of each entry that was touched: its name, and all it says now in one line no file can hold."""
        content: Plain = self.plain
        for name in path if self.changed else ():
            content = content.get(name, "") if isinstance(content, dict) else ""
        if self.changed and isinstance(content, dict):
            for name, value in content.items():
                if path in self.changed or (*path, name) in self.changed:
                    yield name, f"\0{json.dumps(value)}"

    def _node(self, path: str | PathPieces) -> _Found | None:
        """Key and value at a path. A single item written where a list could stand is its first item."""
        names = tuple(path.split(".")) if isinstance(path, str) and path else tuple(path)
        names = self.written_at(names)
        piece = self._piece(names[0]) if names else (self._pieces[0] if self._pieces else None)
        if piece is None:
            return None
        node, key_node = piece.root, None
        for name in names:
            if isinstance(node, yaml.MappingNode):
                found = next((pair for pair in node.value if pair[0].value == name), None)
                if found is not None:
                    key_node, node = found
                elif name != "1":
                    return None
            elif isinstance(node, yaml.SequenceNode):
                if not name.isdecimal() or not 1 <= int(name) <= len(node.value):
                    return None
                node = node.value[int(name) - 1]
                key_node = node
            elif name != "1":
                return None
        return _Found(piece, key_node, node)

    def _piece(self, section: str) -> Piece | None:
        """The part of the text in which a section stands."""
        if len(self._pieces) == 1:
            return self._pieces[0]
        for piece in self._pieces:
            if any(key.value == section for key, _ in piece.root.value):
                return piece
        return None

    def _mark_of(self, node: yaml.Node, piece: Piece) -> Mark:
        start, end = node.start_mark, node.end_mark
        assert start is not None  # libyaml marks every node
        assert end is not None
        first, last = start.index + piece.index, end.index + piece.index
        if last > first and not isinstance(node, yaml.ScalarNode):
            last = first + len(self.text[first:last].rstrip())  # a block ends behind the blank lines that follow it
        elif isinstance(node, yaml.ScalarNode) and not node.value and not node.style:
            last = first  # an empty value is given the spaces behind it
        return Mark(self.file, start.line + piece.line + 1, start.column + 1, first, last)


@dataclass(frozen=True, slots=True)
class _Found:
    """A value, its key if it has one, and the part of the text both stand in."""

    piece: Piece
    key: yaml.Node | None
    value: yaml.Node


def read_nodes(text: str, *, file: str) -> Document:
    """Compose `text`; what is wrong with it comes back as findings, and the clean rest goes on.

    Raises
    ------
    DoorRefused : when the file is too large or no text.
    """
    if len(text) > MAX_CHARACTERS:
        raise DoorRefused(f"{file} is longer than {MAX_CHARACTERS:,} characters. A build is a few thousand lines.")
    if "\x00" in text:
        raise DoorRefused(f"{file} isn't a text file (it holds NUL bytes).")
    clean = pieces_of(text, _clean_plain)
    if clean is not None:
        return Document(file, text, clean[1], _pieces=clean[0])
    composed = compose(text, file=file, most_depth=MAX_DEPTH)
    reading = _Reading(file, list(composed.findings), composed)
    plain = reading.plain(composed.root, ()) if composed.root is not None else {}
    findings = tuple(sorted(reading.findings, key=Finding.sort_key)[:MAX_FINDINGS])
    pieces = (Piece(composed.root, composed.shift, 0),) if composed.root is not None else ()
    return Document(file, text, plain, findings, composed.left_out + tuple(reading.left_out), _pieces=pieces)


class _UncleanError(Exception):
    """Ends the quick way through a section: something in it needs a finding."""


def _clean_plain(root: yaml.MappingNode) -> dict[str, Plain] | None:
    """What a section says that was composed by itself; None if anything is wrong in it."""
    try:
        return _clean_mapping(root)
    except _UncleanError:
        return None


def _clean_mapping(node: yaml.MappingNode) -> dict[str, Plain]:
    result: dict[str, Plain] = {}
    for key, value in node.value:
        if not isinstance(key, yaml.ScalarNode):
            raise _UncleanError
        result[key.value] = value.value if isinstance(value, yaml.ScalarNode) else _clean(value)
    if len(result) < len(node.value):
        raise _UncleanError
    return result


def _clean(node: yaml.Node) -> Plain:
    if isinstance(node, yaml.MappingNode):
        return _clean_mapping(node)
    return [item.value if isinstance(item, yaml.ScalarNode) else _clean(item) for item in node.value]


class _Reading:
    """One way through the nodes: the findings so far, and how many nodes were met."""

    def __init__(self, file: str, findings: list[Finding], composed: Composed) -> None:
        self.file = file
        self.findings = findings
        self.left_out: list[PathPieces] = []
        self.shift = composed.shift
        self.aliased = composed.aliased
        self.seen: set[int] = set()
        self.nodes_n = 0

    def plain(self, node: yaml.Node, path: PathPieces) -> Plain:
        if self.aliased:
            if id(node) in self.seen:  # what stands behind an alias is not read twice
                self.left_out.append(path)
                return ""
            self.seen.add(id(node))
        self.nodes_n += 1
        if self.nodes_n > MAX_NODES:
            raise DoorRefused(f"{self.file} has more than {MAX_NODES:,} entries. A build has a few thousand.")
        if isinstance(node, yaml.ScalarNode):
            return node.value  # type: ignore[no-any-return]
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path)
        return [self.plain(item, (*path, str(number))) for number, item in enumerate(node.value, start=1)]

    def _mapping(self, node: yaml.MappingNode, path: PathPieces) -> Plain:
        result: dict[str, Plain] = {}
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                why, write = "A name is a single word here, not a list.", "Write a word."
                self.findings.append(text_finding("BLD-003", "name-not-a-word", why, write, self._mark(key)))
                continue
            name = key.value
            if name in result and len(self.findings) > MAX_FINDINGS:
                continue
            if name in result:
                why = f"{name[:60] or 'This name'} is written twice here."
                found = text_finding(
                    "BLD-002", "name-twice", why, "Keep one of the two.", self._mark(key), about=".".join((*path, name))
                )
                self.findings.append(found)
                continue
            result[name] = (
                value.value
                if isinstance(value, yaml.ScalarNode) and not self.aliased
                else self.plain(value, (*path, name))
            )
        self.nodes_n += len(result)
        return result

    def _mark(self, node: yaml.Node) -> Mark:
        start, end = node.start_mark, node.end_mark
        return Mark(self.file, start.line + 1, start.column + 1, start.index + self.shift, end.index + self.shift)


__all__ = ["MAX_CHARACTERS", "MAX_DEPTH", "MAX_NODES", "Document", "PathPieces", "Plain", "read_nodes"]
