"""What is wrong within one line of text (a condition, a show), where in it, and what to write instead.

The readers of such texts know nothing of files; build.load turns a Problem into a Finding at file:line:column.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.kit.near import nearest

MAX_PROBLEMS = 20
"""More than these in one line of text help nobody; the reading ends there."""

_MOST_COMPARED = 1000


class TooManyProblemsError(Exception):
    """Ends the reading of a text that is no text of this language."""


def closest(word: str, names: Iterable[str]) -> str:
    """The one name that `word` was most likely meant for, or "" when none is near.

    Of very many names only those that begin alike and are about as long are compared.
    """
    known = list(names)
    if len(known) > _MOST_COMPARED:
        known = [name for name in known if name[:1] == word[:1] and abs(len(name) - len(word)) <= 2][:_MOST_COMPARED]
    found = nearest(word, known)
    return found[0] if found else ""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that can't be read, or can't mean anything.

    Parameters
    ----------
    start, end : characters of the text it is about, counted from 0, end excluded.
    code, name : as of a finding (``BLD-031``, ``name-not-known``).
    why : a sentence for a shop lead. write : a sentence with what to write, or "".
    near : the closest known name, or "".
    """

    start: int
    end: int
    code: str
    name: str
    why: str
    write: str = ""
    near: str = ""

    def __str__(self) -> str:
        return f"{self.why} {self.write}".rstrip()


def condition_not_read(start: int, end: int, why: str, write: str = "", near: str = "") -> Problem:
    """The words don't make a condition: something is missing, left over, or no part of the language."""
    return Problem(start, end, "BLD-030", "condition-not-read", why, write, near)


def name_not_known(start: int, end: int, why: str, write: str = "", near: str = "") -> Problem:
    """Nothing of this name can be read here."""
    return Problem(start, end, "BLD-031", "name-not-known", why, write, near)


def value_not_known(start: int, end: int, why: str, write: str = "", near: str = "") -> Problem:
    """The control, signal or memory never has this value."""
    return Problem(start, end, "BLD-032", "value-not-known", why, write, near)


def value_not_said(start: int, end: int, why: str, write: str = "") -> Problem:
    """A bare name that is neither on nor off by itself."""
    return Problem(start, end, "BLD-033", "value-not-said", why, write)


def not_comparable(start: int, end: int, why: str, write: str = "") -> Problem:
    """The comparison makes no sense for what stands on its left."""
    return Problem(start, end, "BLD-034", "not-comparable", why, write)


def unit_missing(start: int, end: int, kind: str, why: str, write: str = "") -> Problem:
    """A bare number where a unit is due: the same finding as in any other field."""
    return Problem(start, end, "BLD-004", f"{kind}-without-unit", why, write)


def quantity_not_read(start: int, end: int, kind: str, why: str, write: str = "") -> Problem:
    """A number or unit that can't be read: the same finding as in any other field."""
    return Problem(start, end, "BLD-006", f"{kind}-not-read", why, write)


def time_not_usable(start: int, end: int, why: str, write: str = "") -> Problem:
    """A time no timer can keep."""
    return Problem(start, end, "BLD-035", "time-not-usable", why, write)


def not_read_here(start: int, end: int, why: str, write: str = "") -> Problem:
    """It means something, but not at this place of the build."""
    return Problem(start, end, "BLD-036", "not-read-here", why, write)


def event_not_possible(start: int, end: int, why: str, write: str = "") -> Problem:
    """An event that never happens, or an event that is missing where one is needed."""
    return Problem(start, end, "BLD-037", "event-not-possible", why, write)


def show_not_read(start: int, end: int, why: str, write: str = "", near: str = "") -> Problem:
    """The words don't make a show."""
    return Problem(start, end, "BLD-038", "show-not-read", why, write, near)


def show_not_possible(start: int, end: int, why: str, write: str = "") -> Problem:
    """A show that can be read but not be made: steps that don't fit, a share above everything."""
    return Problem(start, end, "BLD-039", "show-not-possible", why, write)
