"""What is left of a condition once one control stands somewhere? The circumstances that a driver has to be told.

See Also
--------
coachwright.control.operator : tells them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
    every_node,
)
from coachwright.build.model import Input, Model
from coachwright.control.functions import names_through_words

Manner = Literal["only", "not", "at-most", "after", "since"]


@dataclass(frozen=True, slots=True)
class Circumstance:
    """One thing that has to hold beside the control.

    manner : ``only`` while the condition holds; ``not`` while it does; for ``at-most`` the time of a timer on the
        control itself; ``after`` that time; ``since`` its end for that time. condition : as it is said. whole : as the
        machine reads it.
    """

    manner: Manner
    condition: Condition
    whole: Condition
    time_ms: int = 0


class Reading:
    """Reads the conditions of one build with some inputs standing still."""

    def __init__(self, model: Model) -> None:
        self.inputs: dict[str, Input] = {item.name: item for item in model.inputs}
        self.words = {word.name: word.condition for word in model.words}
        self.memories = {memory.name: memory for memory in model.memories}

    def left(self, condition: Condition, stands: Mapping[str, str]) -> Condition:
        """What is left to be true. stands : value of each input or memory that is known."""
        match condition:
            case Truth(name) if name in self.words:
                inside = self.words[name]
                if stands.keys().isdisjoint(names_through_words(inside, self.words)):
                    return condition
                return self.left(inside, stands)
            case Truth(name) | Compare(name=name) | OneOf(name=name) if name in stands:
                return Constant(value=self._true(condition, stands[name]))
            case Not(item):
                inside = self.left(item, stands)
                return Constant(value=not inside.value) if isinstance(inside, Constant) else Not(inside)
            case And(items) | Or(items):
                return self._several(condition, items, stands)
            case _:
                return condition  # a time that runs on the control is told as a time

    def _several(self, condition: Condition, items: tuple[Condition, ...], stands: Mapping[str, str]) -> Condition:
        ends = isinstance(condition, Or)  # what one part alone decides
        kept: list[Condition] = []
        for item in items:
            inside = self.left(item, stands)
            if isinstance(inside, Constant):
                if inside.value == ends:
                    return inside
            else:
                kept.append(inside)
        if not kept:
            return Constant(value=not ends)
        return kept[0] if len(kept) == 1 else Or(tuple(kept)) if ends else And(tuple(kept))

    def _true(self, condition: Condition, value: str) -> bool:
        match condition:
            case OneOf(_, values):
                return value in values
            case Compare(name, operator, other) if isinstance(other, str):
                known = self.inputs[name].values if name in self.inputs else self.memories[name].values
                one, two = known.index(value), known.index(other)
                return {
                    "==": one == two, "!=": one != two, "<": one < two, "<=": one <= two, ">": one > two,
                    ">=": one >= two,
                }[operator]  # fmt: skip
            case Truth(name):
                values = self.inputs[name].values
                return value == ("on" if "on" in values else values[1])
            case _:
                return False

    def circumstances(self, condition: Condition | None, stands: Mapping[str, str]) -> tuple[Circumstance, ...] | None:
        """Everything else that has to hold, each on its own; None when it can't be."""
        left = Constant(value=True) if condition is None else self.left(condition, stands)
        if isinstance(left, Constant):
            return () if left.value else None
        found = [self._circumstance(each, stands) for each in _conjuncts(left, holds=True)]
        return tuple(dict.fromkeys(found))

    def _circumstance(self, condition: Condition, stands: Mapping[str, str]) -> Circumstance:
        match condition:
            case First(item, time_ms) if self.left(item, stands) == Constant(value=True):
                return Circumstance("at-most", condition, condition, time_ms)
            case Held(item, time_ms) if self.left(item, stands) == Constant(value=True):
                return Circumstance("after", condition, condition, time_ms)
            case Plus(item, time_ms) if self.left(item, stands) == Constant(value=False):
                return Circumstance("since", item, condition, time_ms)
            case Not(item):
                return Circumstance("not", item, condition)
            case Compare(name, "==", value) if self._only_two(name) and value == self.inputs[name].rest:
                other = next(each for each in self.inputs[name].values if each != value)
                return Circumstance("not", Compare(name, "==", other), condition)
            case Compare(name, "!=", value) if name in self.memories or self._only_two(name):
                return Circumstance("not", Compare(name, "==", value), condition)
            case _:
                return Circumstance("only", condition, condition)

    def _only_two(self, name: str) -> bool:
        return name in self.inputs and len(self.inputs[name].values) == 2


def _conjuncts(condition: Condition, *, holds: bool) -> list[Condition]:
    """All that has to hold at once, nots pushed as far as that takes."""
    match condition:
        case Not(item):
            return _conjuncts(item, holds=not holds)
        case And(items) if holds:
            return [each for item in items for each in _conjuncts(item, holds=True)]
        case Or(items) if not holds:
            return [each for item in items for each in _conjuncts(item, holds=False)]
        case _:
            return [condition if holds else Not(condition)]


def control_events_in(condition: Condition, controls: frozenset[str]) -> tuple[Event, ...]:
    """The presses, releases and leavings of controls that it names."""
    return tuple(
        node
        for node in every_node(condition)
        if isinstance(node, Event) and node.kind != "becomes" and node.name in controls
    )
