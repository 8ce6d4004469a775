"""The sections of a YAML text, each composed by itself and remembered by its text.

After an edit only the section that was edited is composed again. A section begins at a line that is not indented. The
parts are the whole as long as each is a mapping in block style by itself and nothing reaches across; whatever is not as
plain as that (a fault, an anchor, a tab, a second document, a list, a repeated name) is left to the slow way, which
composes the text as one.
"""

from __future__ import annotations

import re
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import yaml

from coachwright.kit.text_faults import is_plain
from coachwright.kit.yaml_loader import compose_nodes

_SECTION = re.compile(r"^(?=[^\s#])", re.MULTILINE)
_MOST_CHARACTERS = 1_500_000
"""Of all texts that are remembered: some builds of some thousand lines, and the edits made to them."""

_MOST_SECTIONS = 200
"""A text of more is none of ours."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a text that was composed. index, line : of its first character within the whole text, from 0."""

    root: yaml.Node
    index: int
    line: int


@dataclass(frozen=True, slots=True)
class _Known:
    """What a section says by itself. root : None when it is comments only."""

    root: yaml.MappingNode | None
    plain: dict[str, Any]
    lines_n: int


_remembered: OrderedDict[str, _Known] = OrderedDict()
_lock = threading.Lock()


def pieces_of(
    text: str, plain_of: Callable[[yaml.MappingNode], dict[str, Any] | None]
) -> tuple[tuple[Piece, ...], dict[str, Any]] | None:
    """The composed sections of a text and all they say; None where the slow way has to be taken.

    plain_of : what a section says, None if anything is wrong in it.
    """
    starts = [found.start() for found in _SECTION.finditer(text)]
    if not 0 < len(starts) <= _MOST_SECTIONS:
        return None
    pieces: list[Piece] = []
    plain: dict[str, Any] = {}
    names_n = line = 0
    for start, end in zip([0, *starts[1:]], [*starts[1:], len(text)], strict=True):
        known = _section(text[start:end], plain_of)
        if known is None or known.root is None:
            return None
        pieces.append(Piece(known.root, start, line))
        plain |= known.plain
        names_n += len(known.plain)
        line += known.lines_n
    return None if names_n > len(plain) else (tuple(pieces), plain)


def _section(text: str, plain_of: Callable[[yaml.MappingNode], dict[str, Any] | None]) -> _Known | None:
    with _lock:
        known = _remembered.get(text)
        if known is not None:
            _remembered.move_to_end(text)
            return known
    if not is_plain(text):
        return None
    try:
        root = compose_nodes(text)
    except (yaml.YAMLError, UnicodeError):
        return None
    if not isinstance(root, yaml.MappingNode) or root.flow_style or root.start_mark is None:
        return None
    plain = plain_of(root)
    if plain is None:
        return None
    known = _Known(root, plain, text.count("\n"))
    _remember(text, known)
    return known


def _remember(text: str, known: _Known) -> None:
    if len(text) > _MOST_CHARACTERS:
        return
    with _lock:
        _remembered[text] = known
        kept = sum(map(len, _remembered))
        while kept > _MOST_CHARACTERS and len(_remembered) > 1:
            oldest, _ = _remembered.popitem(last=False)
            kept -= len(oldest)
