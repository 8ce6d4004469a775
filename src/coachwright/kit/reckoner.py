"""Which single calculations are there, and what does each of them take and give?

A published-formula function is registered once, in its room's ``reckoners.py``, and is then a ``reckon`` command, a
workbench page and a row of the docs. What is registered says everything a face needs: nobody describes it twice.

Kinds are words here (a unit kind of kit.units, or one of those below); a door turns texts into values with them.
"""

from __future__ import annotations

import importlib
import importlib.util
import keyword
import math
import pkgutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from coachwright.kit.errors import CoachwrightError

NUMBER = "number"
COUNT = "count"
WORD = "word"
YES_NO = "yes-no"
TEXT = "text"
FILE = "file"
"""Kinds without a unit: a plain number, a whole number, one word of `choices`, yes or no, any text, the name of a file.

A file is named from the folder one stands in and opened by the function itself, bounded; a face that serves others than
the person at this machine asks for the file's content instead, or leaves such a calculation out."""

SourceState = Literal["read", "second-hand", "memory", "draft", "common practice"]
"""read: on the page itself; second-hand: as another page tells it; memory: not looked up; draft: not read, for one or
the other reason; common practice: has no source."""

Value = float | str | bool | None
"""A worked-out value. Numbers are SI where the result has a unit kind; None where there is none to give."""


class InputRefused(CoachwrightError):
    """An input no answer can be given for. One line: what was read, why not, what to write."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """Between which values (SI) a formula makes sense at all.

    words : the same for people, in the unit they write: ``more than 0 and at most 90 deg``.
    """

    words: str
    least: float = -math.inf
    most: float = math.inf
    above: float = -math.inf

    def hold(self, value: float) -> bool:
        """Whether the value lies between them."""
        return self.least <= value <= self.most and value > self.above


POSITIVE = Bounds("more than 0", above=0.0)
NOT_NEGATIVE = Bounds("0 or more", least=0.0)


@dataclass(frozen=True, slots=True)
class Part:
    """One value as written.

    kind : unit kind, or one of the kinds above.
    bare_unit : the unit of a number written without one; empty when a unit must be written.
    words_after : words that may stand behind a plain number and mean nothing (``years``).
    """

    kind: str
    bare_unit: str = ""
    choices: tuple[str, ...] = ()
    words_after: tuple[str, ...] = ()
    bounds: Bounds | None = None


@dataclass(frozen=True, slots=True)
class Key:
    """One input of a reckoner.

    Parameters
    ----------
    name : as written before ``=``; small letters and underscores; `argument` is the function's.
    parts : one part; several are written with ``@`` between them (``50 ms @ 1000 cd``).
    help : what it is, for people.
    example : how it is written.
    many : a list of such values, comma separated; the function gets a tuple (of tuples if there are several parts).
    default : as it would be written; None when there is no default.
    optional : may be left out without a default; the function then gets None.
    default_by_unit : key whose written unit decides the default, and default by unit, e.g. feet for who writes miles.
    """

    name: str
    parts: tuple[Part, ...]
    help: str
    example: str
    many: bool = False
    default: str | None = None
    optional: bool = False
    default_by_unit: tuple[str, Mapping[str, str]] | None = None

    @property
    def argument(self) -> str:
        """Name of the function's argument: a word Python keeps for itself gets an underscore (``from_``)."""
        return f"{self.name}_" if keyword.iskeyword(self.name) else self.name

    @property
    def may_be_left_out(self) -> bool:
        """Whether an answer can be given without it."""
        return self.optional or self.default is not None


@dataclass(frozen=True, slots=True)
class Result:
    """One output. kind : unit kind its SI value is turned from, or one of the kinds above; unit : as printed."""

    key: str
    unit: str
    kind: str
    help: str = ""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula stands."""

    title: str
    clause: str = ""
    state: SourceState = "memory"

    def __str__(self) -> str:
        return f"{self.title}, {self.clause}" if self.clause else self.title


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a registered function gives back.

    Parameters
    ----------
    values : by result key; a result left out isn't printed. Keys beyond the declared ones need a unit in `units`.
    notes : sentences for people: what was assumed, what lies outside the range of validity.
    units : unit of a result where it depends on the inputs (``ft`` instead of ``m``), of the same kind.
    details : further words on a result, by result key and name.
    sources : that this answer alone rests on, after those of the reckoner.
    """

    values: Mapping[str, Value]
    notes: tuple[str, ...] = ()
    units: Mapping[str, str] = field(default_factory=dict)
    details: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, slots=True)
class Reckoner:
    """One calculation by itself.

    Parameters
    ----------
    room, name : where it lives and how it is called; names are unique over all rooms.
    title : what it answers, one line.
    formula : as text, in the terms of its keys or explained there.
    valid : range of validity in words.
    caution : what to keep in mind before acting on it; empty when nothing can go wrong.
    answer : called with the keys as keyword arguments.
    """

    room: str
    name: str
    title: str
    keys: tuple[Key, ...]
    results: tuple[Result, ...]
    formula: str
    valid: str
    sources: tuple[Source, ...]
    answer: Callable[..., Outcome]
    caution: str = ""

    @property
    def example(self) -> list[str]:
        """Inputs as somebody would write them, without those that may be left out; where all may, the first."""
        due = [key for key in self.keys if not key.may_be_left_out] or list(self.keys[:1])
        return [f"{key.name}={key.example}" for key in due]


RECKONERS: dict[str, Reckoner] = {}
"""Every reckoner by name, in the order of registration. Filled by `load_reckoners`."""


def reckoner(
    *,
    room: str,
    name: str,
    title: str,
    keys: Sequence[Key],
    results: Sequence[Result],
    formula: str,
    valid: str,
    sources: Sequence[Source],
    caution: str = "",
) -> Callable[[Callable[..., Outcome]], Callable[..., Outcome]]:
    """Register the function below it as a reckoner. See `Reckoner` for the arguments."""

    def register(answer: Callable[..., Outcome]) -> Callable[..., Outcome]:
        known = RECKONERS.get(name)
        if known is not None and known.answer.__module__ != answer.__module__:
            raise ValueError(f"two rooms answer {name}")
        RECKONERS[name] = Reckoner(
            room, name, title, tuple(keys), tuple(results), formula, valid, tuple(sources), answer, caution
        )
        return answer

    return register


def load_reckoners() -> dict[str, str]:
    """Import every room's ``reckoners`` module; rooms that fail to load, with the reason, are given back.

    A room joins by having such a module. Nothing is imported before somebody asks.
    """
    top = __name__.split(".")[0]
    broken = {}
    for room in pkgutil.iter_modules(importlib.import_module(top).__path__, f"{top}."):
        if not room.ispkg or importlib.util.find_spec(f"{room.name}.reckoners") is None:
            continue
        try:
            importlib.import_module(f"{room.name}.reckoners")
        except Exception as trouble:  # a broken room must not hide the others; the face prints the reason
            broken[room.name.removeprefix(f"{top}.")] = f"{type(trouble).__name__}: {trouble}"
    return broken


def one(
    name: str,
    kind: str,
    about: str,
    *,
    example: str,
    default: str | None = None,
    optional: bool = False,
    bounds: Bounds | None = None,
    bare_unit: str = "",
    words_after: Sequence[str] = (),
) -> Key:
    """A key with a single value."""
    part = Part(kind, bare_unit=bare_unit, words_after=tuple(words_after), bounds=bounds)
    return Key(name, (part,), about, example, default=default, optional=optional)


def choice(name: str, choices: Sequence[str], about: str, *, default: str | None = None) -> Key:
    """A key that takes one word of a few."""
    return Key(name, (Part(WORD, choices=tuple(choices)),), about, choices[0], default=default)


def many(
    name: str,
    parts: Sequence[Part],
    about: str,
    *,
    example: str,
    default: str | None = None,
    optional: bool = False,
) -> Key:
    """A key that takes a comma-separated list."""
    return Key(name, tuple(parts), about, example, many=True, default=default, optional=optional)
