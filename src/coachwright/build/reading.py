"""Reads the conditions and shows of one build, against the names that exist in it.

A condition that names something lost is passed over in silence: nobody can know what is wrong with it.

Notes
-----
Conditions are remembered by their text and by what the names in them stand for, so that an edit which adds a lamp does
not read every condition anew. Only what could be read is remembered: an error looks at every name there is.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from coachwright.build.condition import And, Condition, Event, First, HeadStatement, Held, Not, Or, Plus
from coachwright.build.condition_scope import Place, Scope
from coachwright.build.condition_text import read_condition
from coachwright.build.pattern_text import ShowText, read_show
from coachwright.build.selectors import Selectors
from coachwright.build.trouble import Trouble, from_problem
from coachwright.kit.nodes import PathPieces

_WORD = re.compile(r"[a-z0-9][a-z0-9-]*", re.ASCII)
MOST_FAILED = 500
"""Conditions of one build that are looked at although the ones before could not be read."""

_MOST_REMEMBERED = 50_000
_remembered: dict[tuple[str, Place, tuple[Any, ...]], Condition] = {}

read_show_text: Callable[[str], Any] = lru_cache(maxsize=8192)(read_show)


@dataclass(slots=True)
class Reading:
    """What one build's texts are read with.

    Parameters
    ----------
    scope : names that exist. facts : of each name, everything the scope says of it.
    lost : names that exist and could not be understood. all_lost : any unknown name may be one of those.
    told : troubles so far.
    """

    scope: Scope
    facts: dict[str, Any]
    selectors: Selectors
    lost: frozenset[str]
    all_lost: bool
    told: list[Trouble]
    failed_n: int = 0

    def condition(self, text: str, path: PathPieces, place: Place) -> Condition | None:
        """The tree of a condition; None when it can't be read (told) or names something lost (not told)."""
        words = _words(text)
        if not self.lost.isdisjoint(words):
            return None
        facts = self.facts
        key = (text, place, tuple([facts.get(word) for word in words]))
        found = _remembered.get(key)
        if found is None:
            if self.failed_n > MOST_FAILED:
                return None
            read = read_condition(text, place=place, scope=self.scope)
            if isinstance(read, tuple):
                self.failed_n += 1
                if not (self.all_lost and any(self.scope.knows(word) is False for word in words)):
                    self.told.extend(from_problem(problem, path) for problem in read)
                return None
            found = read
            if len(_remembered) >= _MOST_REMEMBERED:
                _remembered.clear()
            _remembered[key] = found
        if not place.startswith("promise"):
            return found
        return self._with_heads(found, text, path)

    def show(self, text: str, path: PathPieces) -> ShowText | None:
        """What one colour does; None, with the trouble told, when it can't be read."""
        read = read_show_text(text)
        if isinstance(read, ShowText):
            return read
        self.told.extend(from_problem(problem, path) for problem in read)
        return None

    def _with_heads(self, condition: Condition, text: str, path: PathPieces) -> Condition | None:
        """Selectors filled in; None when one of them is lost or wrong."""
        match condition:
            case HeadStatement(selector=selector):
                at = text.find(selector)
                heads = self.selectors.heads(selector, path, self.told, span=(at, at + len(selector)))
                return None if heads is None else replace(condition, heads=tuple(head.id for head in heads))
            case And(items) | Or(items):
                filled = [self._with_heads(item, text, path) for item in items]
                whole = tuple(item for item in filled if item is not None)
                return type(condition)(whole) if len(whole) == len(items) else None
            case Not() | Held() | First() | Plus():
                inside = self._with_heads(condition.item, text, path)
                return None if inside is None else replace(condition, item=inside)
            case Event(item=item) if item is not None:
                inside = self._with_heads(item, text, path)
                return None if inside is None else replace(condition, item=inside)
            case _:
                return condition


def facts_of(scope: Scope) -> dict[str, Any]:
    """Everything the scope says of each name it has."""
    found: dict[str, list[Any]] = {}
    for mark, names in (
        ("i", scope.inputs),
        ("m", scope.memories),
    ):
        for name, said in names.items():
            found.setdefault(name, []).append((mark, said))
    for mark, plain in (
        ("w", scope.words),
        ("f", scope.functions),
        ("e", scope.equipment),
        ("s", scope.selectors),
        ("o", scope.ordered),
        ("p", scope.pushed),
    ):
        for name in plain:
            found.setdefault(name, []).append(mark)
    return {name: tuple(said) for name, said in found.items()}


@lru_cache(maxsize=16384)
def _words(text: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(text))
