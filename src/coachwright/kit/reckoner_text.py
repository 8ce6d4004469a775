"""What do the words ``key=value key=value`` say to a reckoner?

A door calls `work_out` with its own reader of units; everything that is refused is refused in one line that says what
was read, why not, and what to write.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from coachwright.kit.near import nearest
from coachwright.kit.reckoner import (
    COUNT,
    FILE,
    NUMBER,
    TEXT,
    WORD,
    YES_NO,
    InputRefused,
    Key,
    Outcome,
    Part,
    Reckoner,
    Value,
)
from coachwright.kit.reckoning import Reckoning, Worked

MOST_CHARACTERS = 20_000
MOST_ITEMS = 2_000
"""Longer inputs are refused whole."""

PLAIN_KINDS = (NUMBER, COUNT, WORD, YES_NO, TEXT, FILE)

MOST_FILE_NAME = 1_000

ParseUnit = Callable[[str, str], float]
"""(text, unit kind) -> SI value; raises an error with `write`, what to write instead."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?")


def work_out(asked: Reckoner, texts: Sequence[str], *, parse: ParseUnit, unit_error: type[Exception]) -> Reckoning:
    """Read the inputs, answer, and turn the results into their printed units.

    Parameters
    ----------
    texts : ``key=value``, one each.
    parse, unit_error : the door's reader of units and what it raises.

    Raises
    ------
    InputRefused : with one line for people.
    """
    reader = _Reader(asked, parse, unit_error)
    written = reader.split(texts)
    values: dict[str, Any] = {}
    shown, defaulted = [], set()
    for key in asked.keys:
        text = written.get(key.name)
        if text is None:
            text = _default(key, written)
            defaulted.add(key.name)
        if text is None:
            values[key.argument] = None
            continue
        values[key.argument] = reader.read(key, text)
        shown.append((key.name, reader.with_units(key, text)))
    outcome = asked.answer(**values)
    return Reckoning(
        reckoner=asked,
        inputs=tuple(shown),
        results=tuple(_results(asked, outcome, parse)),
        notes=outcome.notes,
        sources=asked.sources + outcome.sources,
        defaulted=frozenset(defaulted),
    )


class _Reader:
    """Reads the texts of one reckoner with one door's units."""

    def __init__(self, asked: Reckoner, parse: ParseUnit, unit_error: type[Exception]) -> None:
        self.asked, self.parse, self.unit_error = asked, parse, unit_error

    def split(self, texts: Sequence[str]) -> dict[str, str]:
        """By key; refuses what is unknown, written twice or missing."""
        names = [key.name for key in self.asked.keys]
        written: dict[str, str] = {}
        for text in texts:
            name, equals, value = text.partition("=")
            name, value = name.strip(), value.strip()
            if not equals:
                raise self.no(text, "this isn't key=value", f"Write it like {self.example(names[0])}.")
            if name not in names:
                near = nearest(name, names)
                hint = f"Did you mean {near[0]}?" if near else f"There are {', '.join(names)}."
                raise self.no(text, f"no input is called {name[:40] or 'nothing'}", hint)
            if name in written:
                raise self.no(text, f"{name} is written twice", "Keep one of them.")
            if not value:
                raise self.no(text, f"{name} has no value", f"Write it like {self.example(name)}.")
            if len(value) > MOST_CHARACTERS:
                raise self.no(text, f"{name} is longer than {MOST_CHARACTERS:,} characters", "Write less of it.")
            written[name] = value
        missing = [key.name for key in self.asked.keys if not key.may_be_left_out and key.name not in written]
        if missing:
            raise InputRefused(f"{self.asked.name}: {missing[0]} is missing. Write it like {self.example(missing[0])}.")
        return written

    def read(self, key: Key, text: str) -> Any:
        """The value of one key: SI number, word, yes or no, or a tuple of those."""
        if not key.many:
            return self.item(key, text)
        items = [item.strip() for item in text.rstrip().rstrip(",").split(",")]
        if len(items) > MOST_ITEMS:
            raise self.no(f"{key.name}={text}", f"more than {MOST_ITEMS:,} entries", "Write fewer.")
        return tuple(self.item(key, item) for item in items)

    def item(self, key: Key, text: str) -> Any:
        """One entry, whole or in its parts."""
        if len(key.parts) == 1:
            return self.part(key, key.parts[0], text)
        pieces = [piece.strip() for piece in text.split("@")]
        if len(pieces) != len(key.parts):
            why = f"an entry has {len(key.parts)} parts with @ between"
            raise self.no(f"{key.name}={text}", why, f"Write it like {self.example(key.name)}.")
        return tuple(self.part(key, part, piece) for part, piece in zip(key.parts, pieces, strict=True))

    def part(self, key: Key, part: Part, text: str) -> Value:
        """One value."""
        where = f"{key.name}={text}"
        if part.kind == TEXT:
            return text
        if part.kind == FILE:
            if len(text) > MOST_FILE_NAME or not text.isprintable():
                why = f"a file has a name of at most {MOST_FILE_NAME:,} printable characters"
                raise self.no(where, why, f"Write it like {self.example(key.name)}.")
            return text
        if part.kind == YES_NO:
            return self.word(where, ("yes", "no"), text) == "yes"
        if part.kind == WORD:
            return self.word(where, part.choices, text)
        value = self.number(key, part, text)
        if part.bounds is not None and not part.bounds.hold(value):
            raise self.no(where, f"{key.name} is {part.bounds.words}", f"Write it like {self.example(key.name)}.")
        return value

    def word(self, where: str, choices: Sequence[str], text: str) -> str:
        """One of a few words."""
        if text not in choices:
            near = nearest(text, choices)
            hint = f"Did you mean {near[0]}?" if near else f"Write one of {', '.join(choices)}."
            raise self.no(where, "no such word", hint)
        return text

    def number(self, key: Key, part: Part, text: str) -> float:
        """A number or quantity, through the door's units."""
        for word in part.words_after:
            text = text.removesuffix(word).rstrip()
        is_bare = _NUMBER.fullmatch(text) is not None
        try:
            return self.parse(f"{text} {part.bare_unit}" if is_bare and part.bare_unit else text, part.kind)
        except self.unit_error as error:
            write = getattr(error, "write", "") or f"Write it like {self.example(key.name)}."
            raise self.no(f"{key.name}={text}", str(error), write) from None

    def with_units(self, key: Key, text: str) -> str:
        """As written, with the unit a bare number was taken in."""
        unit = key.parts[0].bare_unit
        if len(key.parts) > 1 or unit in ("", "1"):
            return text
        items = [item.strip() for item in text.split(",")] if key.many else [text]
        return ", ".join(f"{item} {unit}" if _NUMBER.fullmatch(item) else item for item in items)

    def example(self, name: str) -> str:
        """How a key is written."""
        return next(f'"{key.name}={key.example}"' for key in self.asked.keys if key.name == name)

    def no(self, read: str, why: str, write: str) -> InputRefused:
        """One line: what was read, why not, what to write."""
        clean = " ".join(read.split())
        short = clean if len(clean) <= 80 else f"{clean[:77]}..."
        reason = " ".join(why.split())
        end = "" if reason.endswith(("?", ".")) else "."
        return InputRefused(f"{self.asked.name}: {short!r}: {reason}{end} {' '.join(write.split())}")


def _default(key: Key, written: Mapping[str, str]) -> str | None:
    if key.default_by_unit is not None:
        other, by_unit = key.default_by_unit
        unit = _NUMBER.sub("", written.get(other, ""), count=1).strip()
        return by_unit.get(unit, key.default)
    return key.default


def _results(asked: Reckoner, outcome: Outcome, parse: ParseUnit) -> list[Worked]:
    declared = {result.key: result for result in asked.results}
    worked = []
    for key, answered in outcome.values.items():
        value = answered
        result = declared.get(key)
        unit = outcome.units.get(key, result.unit if result else "")
        if result is not None and result.kind not in PLAIN_KINDS and isinstance(value, float) and math.isfinite(value):
            value /= parse(f"1 {unit}", result.kind)
        worked.append(Worked(key, value, unit, tuple(outcome.details.get(key, {}).items())))
    return worked
