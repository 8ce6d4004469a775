"""Turns a condition into something that answers at once, and decides in which order words and timers are worked out.

A machine has one list of numbers, the scene: what every input reads, every memory's value, the truth of every word,
timer and event. A compiled condition looks at places of the scene. Words, timers and ``becomes`` are tasks; they are
listed so that each stands behind what it needs. Equal timers are one timer.

See Also
--------
coachwright.control.rounds : runs the tasks. coachwright.build.condition : the tree that comes in.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.model import Input, Memory, Word

Scene: TypeAlias = list[Any]
Answer: TypeAlias = Callable[[Scene], bool]

_SIGNS: Mapping[str, Callable[[Any, Any], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


@dataclass(frozen=True, slots=True)
class WordTask:
    """Work out a word and keep it at `at`."""

    at: int
    answer: Answer


@dataclass(frozen=True, slots=True)
class TimerTask:
    """Work out a timer: number `number` in the state's timers, its truth at `at`."""

    at: int
    answer: Answer
    number: int
    kind: Literal["held", "first", "plus"]
    time_ms: int


@dataclass(frozen=True, slots=True)
class BecomesTask:
    """Work out whether something turned true: number `number` in the state's `was`, its truth at `at`."""

    at: int
    answer: Answer
    number: int


Task: TypeAlias = WordTask | TimerTask | BecomesTask


@dataclass(frozen=True, slots=True)
class EventPlace:
    """Where a press, release or leave is noted. input, value : places; value is -1 except for `leaves`."""

    at: int
    kind: Literal["pressed", "released", "leaves"]
    input: int
    value: int


class Compiler:
    """Compiles the conditions of one machine: grows its scene and its tasks.

    Two lists of tasks: those every round works out, and those worked out once functions are known (`after_functions`),
    which may read functions, heads and equipment.
    """

    def __init__(self, inputs: tuple[Input, ...], memories: tuple[Memory, ...], words: tuple[Word, ...]) -> None:
        self.values: dict[str, tuple[str, ...]] = {item.name: item.values for item in inputs}
        self.values |= {memory.name: memory.values for memory in memories}
        self.places = {name: place for place, name in enumerate(self.values)}
        self.inputs_n = len(inputs)
        self.words = {word.name: word.condition for word in words}
        self.scene_n = len(self.values)
        self.tasks: list[Task] = []
        self.late_tasks: list[Task] = []
        self.timers: list[Held | First | Plus] = []
        self.becomes: list[Condition] = []
        self.events: dict[Event, EventPlace] = {}
        # What answers FUNCTION active, heads and equipment; `excused` functions don't make these true.
        self.leaf: Callable[[Condition], Answer | None] = lambda _condition: None
        self.excused: frozenset[str] = frozenset()
        self._known: dict[tuple[bool, frozenset[str], object], int] = {}
        self._open: list[str] = []

    def new_place(self) -> int:
        """One more place in the scene."""
        self.scene_n += 1
        return self.scene_n - 1

    def compile(self, condition: Condition, *, late: bool = False) -> Answer:
        """What answers `condition`.

        Parameters
        ----------
        late : worked out once functions are known.

        Raises
        ------
        ValueError : for what the file door refuses: unknown names and values, words in a circle, functions read too
            early.
        """
        match condition:
            case Constant(value):
                return (lambda _scene: True) if value else (lambda _scene: False)
            case Truth(name):
                return self._truth(condition, name, late=late)
            case Compare() | OneOf():
                return self._comparison(condition)
            case Not(item):
                inside = self.compile(item, late=late)
                return lambda scene: not inside(scene)
            case And(items):
                return _all_of(tuple(self.compile(item, late=late) for item in items))
            case Or(items):
                return _any_of(tuple(self.compile(item, late=late) for item in items))
            case Held() | First() | Plus():
                return _look_at(self._timer(condition, late=late and not self._is_early(condition)))
            case Event():
                return _look_at(self._event(condition, late=late))
            case FunctionState() | HeadStatement():
                return self._leaf(condition)

    def compile_beside(self, condition: Condition, *, late: bool = False) -> Answer | None:
        """What answers a condition of another build in this one's scene; None where the scene has no place for it."""
        before = (dict(self._known), list(self.tasks), list(self.late_tasks), list(self.timers), list(self.becomes))
        events, scene_n = dict(self.events), self.scene_n
        answer = self.compile(condition, late=late)
        if self.scene_n == scene_n:
            return answer
        self._known, self.tasks, self.late_tasks, self.timers, self.becomes = before
        self.events, self.scene_n = events, scene_n
        return None

    def place_of_word(self, name: str) -> int:
        """Where in the scene the truth of a word is kept."""
        return self._word(name)

    def _truth(self, condition: Truth, name: str, *, late: bool) -> Answer:
        if name in self.words:
            return _look_at(self._word(name))
        values = self.values.get(name)
        if values is None:
            if late:
                return self._leaf(condition)
            raise ValueError(f"nothing that a condition can read is named {name}")
        place, on = self.places[name], values.index("on") if "on" in values else 1
        return lambda scene: bool(scene[place] == on)

    def _comparison(self, condition: Compare | OneOf) -> Answer:
        place = self.places[condition.name]
        if isinstance(condition, OneOf):
            any_of = frozenset(self._place_of(condition.name, value) for value in condition.values)
            return lambda scene: scene[place] in any_of
        wanted, test = self._place_of(condition.name, condition.value), _SIGNS[condition.operator]
        if condition.operator == "==":
            return lambda scene: bool(scene[place] == wanted)
        return lambda scene: test(scene[place], wanted)

    def _leaf(self, condition: Condition) -> Answer:
        answer = self.leaf(condition)
        if answer is None:
            raise ValueError(f"{condition} can't be read here")
        return answer

    def _place_of(self, name: str, value: str | float) -> int | float:
        values = self.values[name]
        if values:
            if value not in values:
                raise ValueError(f"{name} is never {value}")
            return values.index(str(value))
        return float(value)

    def _word(self, name: str) -> int:
        key = (False, frozenset[str](), name)
        if key not in self._known:
            if name in self._open:
                raise ValueError(f"words read each other in a circle: {' '.join([*self._open, name])}")
            self._open.append(name)
            answer = self.compile(self.words[name])
            self._open.pop()
            self._known[key] = self.new_place()
            self.tasks.append(WordTask(self._known[key], answer))
        return self._known[key]

    def _timer(self, timer: Held | First | Plus, *, late: bool) -> int:
        key = (late, self.excused if late else frozenset[str](), timer)
        if key not in self._known:
            answer = self.compile(timer.item, late=late)
            self._known[key] = self.new_place()
            kind: Literal["held", "first", "plus"]
            kind = "held" if isinstance(timer, Held) else "first" if isinstance(timer, First) else "plus"
            tasks = self.late_tasks if late else self.tasks
            tasks.append(TimerTask(self._known[key], answer, len(self.timers), kind, timer.time_ms))
            self.timers.append(timer)
        return self._known[key]

    def _event(self, event: Event, *, late: bool) -> int:
        if event.kind == "becomes":
            return self._becomes(event.item or Truth(event.name), late=late)
        if event not in self.events:
            place = self.places[event.name]
            value = self._place_of(event.name, event.position) if event.kind == "leaves" else -1
            self.events[event] = EventPlace(self.new_place(), event.kind, place, int(value))
        return self.events[event].at

    def _becomes(self, item: Condition, *, late: bool) -> int:
        key = (late, self.excused if late else frozenset[str](), ("becomes", item))
        if key not in self._known:
            answer = self.compile(item, late=late)
            self._known[key] = self.new_place()
            (self.late_tasks if late else self.tasks).append(BecomesTask(self._known[key], answer, len(self.becomes)))
            self.becomes.append(item)
        return self._known[key]

    def _is_early(self, condition: Condition) -> bool:
        """Can every round work it out: does it read no function, head or equipment?"""
        match condition:
            case FunctionState() | HeadStatement():
                return False
            case Truth(name):
                return name in self.words or name in self.values
            case Not(item) | Held(item, _) | First(item, _) | Plus(item, _):
                return self._is_early(item)
            case And(items) | Or(items):
                return all(self._is_early(item) for item in items)
            case _:
                return True


def _look_at(place: int) -> Answer:
    return lambda scene: bool(scene[place])


def _all_of(answers: tuple[Answer, ...]) -> Answer:
    """`and`, halved until two are left: deep enough for any length, and quicker than a loop."""
    if len(answers) == 1:
        return answers[0]
    half = len(answers) // 2
    one, other = _all_of(answers[:half]), _all_of(answers[half:])
    return lambda scene: one(scene) and other(scene)


def _any_of(answers: tuple[Answer, ...]) -> Answer:
    if len(answers) == 1:
        return answers[0]
    half = len(answers) // 2
    one, other = _any_of(answers[:half]), _any_of(answers[half:])
    return lambda scene: one(scene) or other(scene)
