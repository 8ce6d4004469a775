"""What was written in each section, and which fields can't be read?

The stage "fields": every section by its own schema, item by item, all faults at once. An item whose fields can't be
read is *lost*: it exists, but nobody knows what it says, so whatever names it is not blamed.

Notes
-----
Each item is remembered by its text. After an edit only the item that was edited is read again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from coachwright.build.field_trouble import example_of, troubles_of
from coachwright.build.language import NEEDED, SECTIONS
from coachwright.build.problem import closest
from coachwright.build.sections.base import Section
from coachwright.build.trouble import Trouble, listed
from coachwright.kit.fields import NAME
from coachwright.kit.nodes import Document, PathPieces

MOST_ITEMS = 5_000
"""Of one section. A job has some hundred."""

MOST_UNKNOWN = 100
"""Sections nobody knows that are told; a text of more is no build."""

_MOST_REMEMBERED = 50_000
_remembered: dict[tuple[str, str], tuple[Any, tuple[Trouble, ...]]] = {}


@dataclass(slots=True)
class Lost:
    """What was written and can't be read: whole sections, or single names in them."""

    sections: set[str] = field(default_factory=set)
    names: dict[str, set[str]] = field(default_factory=dict)

    def add(self, section: str, name: str) -> None:
        self.names.setdefault(section, set()).add(name)

    def of(self, *sections: str) -> frozenset[str]:
        """Names lost in these sections."""
        return frozenset(name for section in sections for name in self.names.get(section, ()))

    def any_of(self, *sections: str) -> bool:
        """Is one of these sections lost as a whole, so that any name could be of it?"""
        return not self.sections.isdisjoint(sections)


@dataclass(frozen=True, slots=True)
class WrittenBuild:
    """Everything that could be read.

    one : sections with fields of their own, and single words. entries : named items. lists : items without a name.
    """

    one: Mapping[str, Any]
    entries: Mapping[str, Mapping[str, Any]]
    lists: Mapping[str, tuple[Any, ...]]
    lost: Lost
    troubles: tuple[Trouble, ...]

    def items(self, section: str) -> Mapping[str, Any]:
        """Named items of a section, in the order of the file; none when it isn't written."""
        return self.entries.get(section, {})


def read_written(document: Document) -> WrittenBuild:
    """Read every section of a build."""
    reading = _Reading(document)
    plain = document.plain
    if not isinstance(plain, dict):
        why = "A build is a list of sections, each with a name and a colon."
        reading.troubles.append(Trouble((), "BLD-015", "shape-not-read", why, "Begin with coachwright: 1."))
        plain = {}
    for path in document.left_out:
        reading.leave_out(path)
    unreadable = frozenset(reading.lost.sections)
    for name in plain:
        if name not in unreadable:
            reading.section(name)
    for name in NEEDED:
        if name not in plain and name not in reading.lost.sections and plain:
            reading.missing(name)
    if not plain and not document.findings and not reading.troubles:
        reading.troubles.append(
            Trouble((), "BLD-013", "field-missing", "Nothing is written here.", "Begin with coachwright: 1.")
        )
    return WrittenBuild(reading.one, reading.entries, reading.lists, reading.lost, tuple(reading.troubles))


class _Reading:
    """One way through the sections."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.plain: Any = document.plain
        self.one: dict[str, Any] = {}
        self.entries: dict[str, dict[str, Any]] = {}
        self.lists: dict[str, tuple[Any, ...]] = {}
        self.lost = Lost()
        self.troubles: list[Trouble] = []
        self.unknown_n = 0

    def section(self, name: str) -> None:
        section = SECTIONS.get(name)
        if section is None:
            self.unknown_n += 1
            if self.unknown_n <= MOST_UNKNOWN:
                self._not_read(name)
            return
        content = self.plain[name]
        match section.shape:
            case "one":
                value, troubles = _read_item(section, content, None)
                if self._told(troubles, (name,)):
                    self.lost.sections.add(name)
                else:
                    self.one[name] = value
            case "entries":
                self._entries(section, content)
            case "list":
                self._list(section, content)

    def _entries(self, section: Section, content: Any) -> None:
        found = self.entries.setdefault(section.name, {})
        if content == "":
            return
        if not isinstance(content, dict):
            self._wrong_shape(section, "Names belong here, each with a colon and what it is.")
            return
        if len(content) > MOST_ITEMS:
            self._wrong_shape(section, f"{len(content):,} items stand here; {MOST_ITEMS:,} is the most.")
            return
        trusted = not self.document.findings  # with a fault in the text, text and value may differ
        sources = dict(self.document.entries(section.name)) if trusted else {}
        for name, item in content.items():
            if name in self.lost.names.get(section.name, ()):
                continue
            if not _KEYS[section.keys](name):
                bad = self._bad_number if section.keys == "numbers" else self._bad_name
                bad(section.name, name)
                continue
            value, troubles = _read_item(section, item, sources.get(name))
            if troubles and self._told(troubles, (section.name, name)):
                self.lost.add(section.name, name)
            else:
                found[name] = value

    def _list(self, section: Section, content: Any) -> None:
        items = content if isinstance(content, list) else [] if content == "" else [content]
        if isinstance(content, dict):
            self._wrong_shape(section, "A list belongs here.")
            return
        found: list[Any] = []
        for number, item in enumerate(items[:MOST_ITEMS], start=1):
            value, troubles = _read_item(section, item, None)
            path = (section.name, str(number))
            if self._told(troubles, path):
                self.lost.sections.add(section.name)
            elif value in found:
                why = f"{value} stands twice in this list."
                self.troubles.append(Trouble(path, "BLD-019", "item-twice", why, "Keep one of the two.", str(value)))
            else:
                found.append(value)
        self.lists[section.name] = tuple(found)

    def _told(self, troubles: tuple[Trouble, ...], path: PathPieces) -> bool:
        for each in troubles:
            self.troubles.append(_moved(each, path))
        return any(each.severity == "error" for each in troubles)

    def _wrong_shape(self, section: Section, why: str) -> None:
        example = section.example.splitlines()
        write = f"Write it like {example[1].strip()}" if len(example) > 1 else f"Write it like {example[0]}"
        self.troubles.append(Trouble((section.name,), "BLD-015", "shape-not-read", why, write))
        self.lost.sections.add(section.name)

    def _bad_name(self, section: str, name: str) -> None:
        why = "Names are small letters, digits and hyphens, and begin with a letter."
        plain = "-".join("".join(letter if letter.isalnum() else " " for letter in name.lower()).split())
        write = f"Write it like {plain if _is_name(plain) else 'corner-lamp-2'}."
        self.troubles.append(Trouble((section, name), "BLD-008", "name-not-plain", why, write, name[:80], on_key=True))
        self.lost.add(section, name)

    def _bad_number(self, section: str, name: str) -> None:
        why = f"{name[:60] or 'This'} is no number; vehicles of a job are counted 1, 2, 3."
        write = "Write the number of the vehicle, and its name behind it: {name: C-3}."
        trouble = Trouble((section, name), "BLD-150", "serial-not-a-number", why, write, name[:80], on_key=True)
        self.troubles.append(trouble)
        self.lost.add(section, name)

    def _not_read(self, name: str) -> None:
        near = closest(name, SECTIONS)
        write = f"Closest: {near}." if near else f"Sections are {listed(SECTIONS, most=30)}."
        why = f"No section is called {name[:60] or 'nothing'}."
        self.troubles.append(Trouble((name,), "BLD-016", "section-not-known", why, write, name[:80], near, on_key=True))
        if near:
            self.lost.sections.add(near)

    def leave_out(self, path: PathPieces) -> None:
        """Take note of what the reader of the text had to leave out."""
        if not path:
            self.lost.sections.update(name for name in SECTIONS if name not in self.plain)
        elif len(path) == 1 or SECTIONS.get(path[0]) is None or SECTIONS[path[0]].shape != "entries":
            self.lost.sections.add(path[0])
        else:
            self.lost.add(path[0], path[1])

    def missing(self, name: str) -> None:
        item = SECTIONS[name].item
        is_model = isinstance(item, type) and issubclass(item, BaseModel)
        example = f"{name}: {example_of(item)}" if is_model else SECTIONS[name].example
        why = f"{name} is missing. {SECTIONS[name].question}"
        self.troubles.append(Trouble((), "BLD-013", "field-missing", why, f"Write {example}."))
        self.lost.sections.add(name)


def _is_number(name: str) -> bool:
    return name.isascii() and name.isdecimal() and len(name) <= 5 and not name.startswith("0")


def _is_name(name: str) -> bool:
    return len(name) <= 64 and NAME.fullmatch(name) is not None and name[0].isalpha()


def _is_path(name: str) -> bool:
    first, *others = name.split(".")
    return len(name) <= 200 and _is_name(first) and all(NAME.fullmatch(piece) for piece in others)


_KEYS = {"names": _is_name, "numbers": _is_number, "paths": _is_path}


def _read_item(section: Section, item: Any, source: str | None) -> tuple[Any, tuple[Trouble, ...]]:
    if source is None:
        return _validated(section, item)
    key = (section.name, source)
    known = _remembered.get(key)
    if known is None:
        known = _validated(section, item)
        if len(_remembered) >= _MOST_REMEMBERED:
            _remembered.clear()
        _remembered[key] = known
    return known


@cache
def _adapter(section: str) -> TypeAdapter[Any]:
    return TypeAdapter(SECTIONS[section].item)


def _validated(section: Section, item: Any) -> tuple[Any, tuple[Trouble, ...]]:
    try:
        return _adapter(section.name).validate_python(item), ()
    except ValidationError as error:
        return None, troubles_of(error, section, item)


def _moved(trouble: Trouble, path: PathPieces) -> Trouble:
    return Trouble(
        (*path, *trouble.path),
        trouble.code,
        trouble.name,
        trouble.why,
        trouble.write,
        trouble.read,
        trouble.near,
        trouble.on_key,
        trouble.span,
        trouble.severity,
    )
