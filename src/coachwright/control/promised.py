"""One promise over the circuit of one moment: what breaks it, and what it needs to remember.

    {when: brake, then: tail red steady}             broken while `when` holds and `then` doesn't
    {when: brake, then: ..., within: 100 ms}         broken once `when` has stood for that long and `then` doesn't hold
    {never: main-siren and parked, but: [air-horn]}  broken while it holds, not counting what is excused
    {after: becomes parked, until: ..., never: ...}  broken while it holds between the two; `until` wins over `after`

See Also
--------
coachwright.control.shown : what heads and equipment show. coachwright.control.unrolled : moment after moment.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.condition import (
    And,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Not,
    Or,
    Plus,
    Truth,
    children,
)
from coachwright.build.model import Promise
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment, Timed
from coachwright.control.shown import Shown


@dataclass(frozen=True, slots=True)
class LateTimer:
    """A timed condition of a promise that reads heads, functions or equipment: a free variable of the moment."""

    timed: Timed
    literal: int
    inside: int


@dataclass(frozen=True, slots=True)
class LateTurn:
    """`becomes` in a promise: true in the moment in which `inside` turns true, at the end of its rounds."""

    literal: int
    inside: int


class Promised:
    """A promise as literals.

    Parameters
    ----------
    when : what it asks about; wrong : what may not be while it does. TRUE where there is nothing to ask.
    after, until : of a promise between two events; FALSE otherwise. armed : variable, true between them.
    lying : variable, true from the moment on in which a source lies; TRUE where no fault is asked about.
    timers, turns : what the moment alone can't know.
    """

    def __init__(self, moment: Moment, shown: Shown, promise: Promise, *, under_fault: bool = False) -> None:
        self.moment = moment
        self.shown = shown
        self.circuit = moment.circuit
        self.excused = frozenset(promise.but)
        self.timers: dict[Timed, LateTimer] = {}
        self.turns: dict[Condition, LateTurn] = {}
        self.after = self.until = FALSE
        self.armed = TRUE
        self.lying = self.circuit.variable(("lying", promise.name)) if under_fault else TRUE
        if promise.kind == "between":
            self.after = self.read(promise.after or Constant(value=False))
            self.until = self.read(promise.until or Constant(value=False))
            self.armed = self.circuit.variable(("armed", promise.name))
        if promise.kind == "then" and promise.when is not None and promise.then is not None:
            asked: Condition = Held(promise.when, promise.within_ms) if promise.within_ms else promise.when
            self.when, self.wrong = self.read(asked), -self.read(promise.then)
        else:
            self.when, self.wrong = TRUE, self.read(promise.never or Constant(value=False))

    @property
    def broken(self) -> int:
        """Literal: the moment breaks it; under a fault, while the source lies."""
        return self.circuit.all_of((self.armed, self.when, self.wrong, self.lying))

    def read(self, condition: Condition) -> int:
        """Literal of a condition of the promise."""
        if isinstance(condition, Event) and condition.kind == "becomes":
            return self._turns(condition.item or Truth(condition.name))
        if not self.is_late(condition) and not _has_turn(condition):
            return self.moment.condition(condition, events=True)
        match condition:
            case Not(item):
                return -self.read(item)
            case And(items):
                return self.circuit.all_of(map(self.read, items))
            case Or(items):
                return self.circuit.any_of(map(self.read, items))
            case Held() | First() | Plus():
                return self._timed(condition)
            case HeadStatement():
                return self.shown.heads_say(condition, self.excused)
            case Truth(name):
                return self.shown.equipment_says(name, self.excused)
            case _:
                return self.moment.condition(condition, events=True)

    def is_late(self, condition: Condition) -> bool:
        """Does it read heads, functions or equipment?"""
        match condition:
            case FunctionState() | HeadStatement():
                return True
            case Truth(name):
                moment = self.moment
                return name not in moment.words and name not in moment.inputs and name not in moment.memories
            case Event():
                return False
            case _:
                return any(map(self.is_late, children(condition)))

    def _turns(self, item: Condition) -> int:
        if item not in self.turns:
            self.turns[item] = LateTurn(self.circuit.variable(("turns", item)), self.read(item))
        return self.turns[item].literal

    def _timed(self, timed: Timed) -> int:
        """As in the moment: a free variable; `first T of X` is X without `X held T`."""
        inside = self.read(timed.item)
        if isinstance(timed, First):
            return self.circuit.all_of((inside, -self._timed(Held(timed.item, timed.time_ms))))
        if inside == FALSE and isinstance(timed, Held):
            return FALSE
        if timed.time_ms <= 0 or (inside == TRUE and isinstance(timed, Plus)):
            return inside
        if timed not in self.timers:
            self.timers[timed] = LateTimer(timed, self.circuit.variable(("late", timed)), inside)
        return self.timers[timed].literal


def _has_turn(condition: Condition) -> bool:
    """Does a `becomes` stand in it?"""
    if isinstance(condition, Event):
        return condition.kind == "becomes"
    return any(map(_has_turn, children(condition)))
