"""Cuts the text of a show into words, and reads the numbers in it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from coachwright.build.problem import Problem, quantity_not_read, show_not_possible, show_not_read, unit_missing
from coachwright.kit.units import UnitError, parse

MAX_CHARACTERS = 2000

_WORD = re.compile(r"[^\s,]+|,")
_NUMBER = re.compile(r"[-+−]?\.?[0-9]")


@dataclass(frozen=True, slots=True)
class Word:
    """A word or a comma. start, end : characters of the text, end excluded."""

    text: str
    start: int
    end: int


class NotReadError(Exception):
    """Ends one reading; `problems` say why."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__()
        self.problems = problems


def not_read(first: Word, last: Word, why: str, write: str = "", near: str = "") -> NotReadError:
    """The words from `first` to `last` don't make a show."""
    return NotReadError(show_not_read(first.start, last.end, why, write, near))


def not_possible(first: Word, last: Word, why: str, write: str = "") -> NotReadError:
    """The words from `first` to `last` make a show that can't be."""
    return NotReadError(show_not_possible(first.start, last.end, why, write))


def cut_words(text: str) -> list[Word]:
    """All words and commas of `text`; at least one, and the first no comma."""
    if len(text) > MAX_CHARACTERS:
        raise NotReadError(
            show_not_read(MAX_CHARACTERS, len(text), f"A show has at most {MAX_CHARACTERS:,} characters.")
        )
    words = [Word(found[0], *found.span()) for found in _WORD.finditer(text)]
    if not words or words[0].text == ",":
        write = "Write it like single sides, steady 40 % or follow turn-left."
        raise NotReadError(show_not_read(0, len(text), "What does this colour do?", write))
    return words


def read_quantity(text: str, words: list[Word], kind: str, *, example: str) -> float:
    """All of `words` as one number with its unit. [SI]"""
    first, last = words[0], words[-1]
    written = text[first.start : last.end]
    if not _NUMBER.match(written):
        raise not_read(first, last, f"{written[:60]} doesn't belong here.", f"Write it like {example}.")
    try:
        return parse(written, kind)
    except UnitError as error:
        wrong = unit_missing if error.reason == "no-unit" else quantity_not_read
        raise NotReadError(wrong(first.start, last.end, kind, str(error), error.write)) from None
