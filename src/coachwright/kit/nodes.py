"""Reads YAML text into plain names, lists and words, and remembers where each stood.

Every scalar stays the text it was (`off`, `no`, `007` are words). Used by every door: builds, parts and packs.
The reading is bounded: size, depth and number of nodes have limits, and nothing in a file is ever executed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

import yaml

from coachwright.kit.errors import DoorRefused
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark

Plain: TypeAlias = "str | list[Plain] | dict[str, Plain]"
PathPieces: TypeAlias = tuple[str, ...]

MAX_CHARACTERS = 10_000_000
MAX_DEPTH = 40
MAX_NODES = 2_000_000

_Loader: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Document:
    """A text file that was read: what it says, and where.

    Parameters
    ----------
    file : its name as given.
    text : all of it.
    plain : nested dict, list and str; an empty value is "".
    findings : what is wrong with the text itself (stage "text").
    """

    file: str
    text: str
    plain: Plain
    findings: tuple[Finding, ...] = ()
    _root: yaml.Node | None = field(default=None, repr=False, compare=False)

    def mark(self, path: str | PathPieces, *, key: bool = False) -> Mark | None:
        """Where the value at `path` stands, or its key. List items are counted from 1. None when there is no such path.

        `path` is dotted text (``lamps.corner.aim``) or its pieces.
        """
        pieces = tuple(path.split(".")) if isinstance(path, str) and path else tuple(path)
        node, key_node = self._root, None
        for piece in pieces:
            if isinstance(node, yaml.MappingNode):
                found = next((pair for pair in node.value if pair[0].value == piece), None)
                if found is None:
                    return None
                key_node, node = found
            elif isinstance(node, yaml.SequenceNode):
                if not piece.isdecimal() or not 1 <= int(piece) <= len(node.value):
                    return None
                node = node.value[int(piece) - 1]
                key_node = node
            else:
                return None
        target = key_node if key and key_node is not None else node
        return None if target is None else self._mark_of(target)

    def nearest_mark(self, path: str) -> Mark | None:
        """Mark of `path`, or of the nearest of its parents that was written."""
        pieces = path.split(".") if path else []
        while pieces:
            mark = self.mark(tuple(pieces))
            if mark is not None:
                return mark
            pieces.pop()
        return self.mark(())

    def _mark_of(self, node: yaml.Node) -> Mark:
        start, end = node.start_mark, node.end_mark
        return Mark(self.file, start.line + 1, start.column + 1, start.index, end.index)


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
    try:
        root = yaml.compose(text, Loader=_Loader)
    except yaml.YAMLError as error:
        return Document(file, text, {}, (_syntax(error, file),))
    findings: list[Finding] = []
    plain = _plain(root, file, findings, 0) if root is not None else {}
    return Document(file, text, plain, tuple(findings), root)


def _plain(node: yaml.Node, file: str, findings: list[Finding], depth: int) -> Plain:
    if depth > MAX_DEPTH:
        raise DoorRefused(f"{file} nests deeper than {MAX_DEPTH} levels.")
    if isinstance(node, yaml.MappingNode):
        result: dict[str, Plain] = {}
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                findings.append(_text_finding("BLD-003", "name-not-a-word", "a name has to be a single word", key, file))
                continue
            if key.value in result:
                findings.append(
                    _text_finding("BLD-002", "name-twice", f"{key.value} is written twice here; keep one of them", key, file)
                )
                continue
            result[key.value] = _plain(value, file, findings, depth + 1)
        return result
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, file, findings, depth + 1) for item in node.value]
    return str(node.value)


def _text_finding(code: str, name: str, sentence: str, node: yaml.Node, file: str) -> Finding:
    start = node.start_mark
    mark = Mark(file, start.line + 1, start.column + 1, start.index, node.end_mark.index)
    return Finding(code, name, "error", "{what}.", {"what": sentence}, where=(mark,), fix=Fix(sentence))


def _syntax(error: yaml.YAMLError, file: str) -> Finding:
    place = getattr(error, "problem_mark", None)
    line, column = (place.line + 1, place.column + 1) if place is not None else (1, 1)
    index = getattr(place, "index", 0) if place is not None else 0
    problem = getattr(error, "problem", None) or "the text can't be read here"
    return Finding(
        "BLD-001", "text-not-yaml", "error", "{what}.", {"what": str(problem)}, where=(Mark(file, line, column, index, index),)
    )
