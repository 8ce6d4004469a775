"""What is a program drafted with: names that are handed out once, variables, and conditions as expressions.

Words, timers and ``becomes`` are tasks: each has a variable for its truth, and they are listed so that each stands
behind what it needs. Equal timers are one timer.

See Also
--------
coachwright.control.conditions : the same for the machine that runs here; the proof holds them together.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from coachwright.build import condition as written
from coachwright.build.condition import Condition, Event
from coachwright.build.condition_print import print_condition
from coachwright.build.model import Model
from coachwright.control.export.names import Names
from coachwright.control.export.terms import (
    FALSE,
    TRUE,
    Expr,
    Ref,
    Role,
    Type,
    Value,
    Variable,
    all_of,
    any_of,
    compare,
    one_of,
    opposite,
)

TaskKind = Literal["word", "held", "first", "plus", "becomes"]


@dataclass(frozen=True, slots=True)
class Task:
    """Something to be worked out in each round. kept : of a timer its ms left, of ``becomes`` what was true before.

    condition : what it stands for. late : worked out once functions are known.
    """

    kind: TaskKind
    at: Ref
    of: Expr
    kept: Ref | None
    time_ms: int
    condition: Condition
    late: bool


class Draft:
    """A program as it grows."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.names = Names()
        self.variables: list[Variable] = []
        self.tasks: list[Task] = []
        self.late_tasks: list[Task] = []
        self.events: dict[Event, Ref] = {}
        self.reads: dict[str, Ref] = {}
        self.values: dict[str, tuple[str, ...]] = {item.name: item.values for item in model.inputs}
        self.values |= {memory.name: memory.values for memory in model.memories}
        self.active: dict[str, Expr] = {}
        self.held_off: dict[str, Expr] = {}
        self._words = {word.name: word.condition for word in model.words}
        self._known: dict[tuple[bool, object], Ref] = {}
        self._kinds = {item.name: item.number_kind for item in model.inputs if not item.values}
        for item in model.inputs:
            self.reads[item.name] = self.own("read", item.name, kind="int" if item.values else "real")
        for memory in model.memories:
            start = memory.values.index(memory.start)
            self.reads[memory.name] = self.kept("memory", memory.name, start=start, says=_listed(memory.values))

    # -------------------------------------------------------------------------------------------------- variables
    def variable(self, *words: str, kind: Type, role: Role, start: Value, says: str = "", size: int = 0) -> Ref:
        """A new variable with a name that says these words."""
        name = self.names.new(*words)
        self.variables.append(Variable(name, kind, role, start, size, says))
        return Ref(name)

    def own(self, *words: str, kind: Type = "int", says: str = "") -> Ref:
        """A variable of the step's own."""
        start: Value = {"bool": False, "int": 0, "real": 0.0}[kind]
        return self.variable(*words, kind=kind, role="own", start=start, says=says)

    def flag(self, *words: str, says: str = "") -> Ref:
        """A truth of the step's own."""
        return self.own(*words, kind="bool", says=says)

    def kept(self, *words: str, start: Value, says: str = "") -> Ref:
        """A variable that goes from step to step."""
        kind: Type = "bool" if isinstance(start, bool) else "int" if isinstance(start, int) else "real"
        return self.variable(*words, kind=kind, role="kept", start=start, says=says)

    def output(self, *words: str, kind: Type, says: str = "") -> Ref:
        """A variable that others read after the step."""
        return self.variable(*words, kind=kind, role="output", start=False if kind == "bool" else 0, says=says)

    def event(self, event: Event) -> Ref:
        """Truth of a press, release or leave, in the first round."""
        if event not in self.events:
            self.events[event] = self.flag("event", event.kind, event.name, event.position, says=self.said(event))
        return self.events[event]

    def said(self, condition: Condition) -> str:
        """The condition as one writes it."""
        return print_condition(condition, kinds=self._kinds)

    # ------------------------------------------------------------------------------------------------- conditions
    def expr(self, condition: Condition | None, *, late: bool = False) -> Expr:
        """The condition as an expression; always, where none is written.

        Raises
        ------
        ValueError : for what can't be read there (the file door refuses it).
        """
        match condition:
            case None:
                return TRUE
            case written.Constant(value):
                return TRUE if value else FALSE
            case written.Not(item):
                return opposite(self.expr(item, late=late))
            case written.And(items):
                return all_of(self.expr(item, late=late) for item in items)
            case written.Or(items):
                return any_of(self.expr(item, late=late) for item in items)
            case written.Held() | written.First() | written.Plus():
                return self._timer(condition, late=late and not self._is_early(condition))
            case Event():
                return self._becomes(condition) if condition.kind == "becomes" else self.event(condition)
            case written.FunctionState(name, state) if late:
                return self.active[name] if state == "active" else self.held_off[name]
            case written.Truth() | written.Compare() | written.OneOf():
                return self._look(condition)
            case _:
                raise ValueError(f"{condition} can't be read here")

    def _look(self, condition: written.Truth | written.Compare | written.OneOf) -> Expr:
        name = condition.name
        if isinstance(condition, written.Truth) and name in self._words:
            return self._word(name)
        if name not in self.reads:
            raise ValueError(f"nothing that a condition can read is named {name}")
        read = self.reads[name]
        match condition:
            case written.Truth():
                values = self.values[name]
                return compare(read, "==", values.index("on") if "on" in values else 1)
            case written.OneOf(_, values):
                return one_of(read, (self._value(name, value) for value in values))
            case written.Compare(_, operator, value):
                return compare(read, operator, self._value(name, value))

    def _value(self, name: str, value: str | float) -> Value:
        return self.values[name].index(str(value)) if self.values[name] else float(value)

    def _word(self, name: str) -> Ref:
        if (False, name) not in self._known:
            condition = self._words[name]
            of = self.expr(condition)
            at = self.flag("word", name, says=self.said(condition))
            self._known[False, name] = at
            self.tasks.append(Task("word", at, of, None, 0, written.Truth(name), late=False))
        return self._known[False, name]

    def _timer(self, timer: written.Held | written.First | written.Plus, *, late: bool) -> Ref:
        if (late, timer) not in self._known:
            of = self.expr(timer.item, late=late)
            tasks = self.late_tasks if late else self.tasks
            kind: TaskKind = "plus"
            if not isinstance(timer, written.Plus):
                kind = "held" if isinstance(timer, written.Held) else "first"
            number = str(len([each for each in (*self.tasks, *self.late_tasks) if each.time_ms]) + 1)
            at = self.flag("timed", number, says=self.said(timer))
            left = self.kept("left", number, "ms", start=BLANK[kind], says=f"of: {self.said(timer)}")
            self._known[late, timer] = at
            tasks.append(Task(kind, at, of, left, timer.time_ms, timer, late=late))
        return self._known[late, timer]

    def _becomes(self, event: Event) -> Ref:
        item = event.item or written.Truth(event.name)
        if (False, ("becomes", item)) not in self._known:
            of = self.expr(item)
            number = str(len([each for each in self.tasks if each.kind == "becomes"]) + 1)
            at = self.flag("becomes", number, says=self.said(event))
            was = self.kept("was_true", number, start=False, says=f"before: {self.said(item)}")
            self._known[False, ("becomes", item)] = at
            self.tasks.append(Task("becomes", at, of, was, 0, item, late=False))
        return self._known[False, ("becomes", item)]

    def _is_early(self, condition: Condition) -> bool:
        """Does it read no function?"""
        match condition:
            case written.FunctionState() | written.HeadStatement():
                return False
            case written.Truth(name):
                return name in self._words or name in self.reads
            case written.Not(item) | written.Held(item, _) | written.First(item, _) | written.Plus(item, _):
                return self._is_early(item)
            case written.And(items) | written.Or(items):
                return all(self._is_early(item) for item in items)
            case _:
                return True


BLANK = {"held": -1, "first": -1, "plus": 0}
"""A timer at power-up: -1 nothing to count, above 0 the ms left, 0 over."""


def _listed(values: tuple[str, ...]) -> str:
    return ", ".join(f"{place} {value}" for place, value in enumerate(values))
