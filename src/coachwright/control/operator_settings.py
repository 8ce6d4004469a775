"""At which setting can this be true? The plainest one: everything at rest that may be, in the order of the names.

The order of the build file decides nothing here: inputs and memories are gone through by name, and each is left at
rest where that is possible.

See Also
--------
coachwright.control.encode : the moment that is asked. coachwright.control.operator_claims : acts settings out.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.condition import Condition
from coachwright.build.model import Function, Model
from coachwright.control.choices import Choice, Value
from coachwright.control.circuit import FALSE
from coachwright.control.contested import contested_heads
from coachwright.control.encode import Acting, Moment
from coachwright.control.machine import build_machine
from coachwright.control.sat import Solver


@dataclass(frozen=True, slots=True)
class Plain:
    """A setting: inputs away from rest, and memories away from their start."""

    inputs: tuple[tuple[str, Value], ...]
    memory: tuple[tuple[str, str], ...]

    def without(self, *names: str) -> tuple[tuple[str, Value], ...]:
        """The inputs but these."""
        return tuple(each for each in self.inputs if each[0] not in names)


class Settings:
    """Asks one moment of a build. Close it when done."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.moment = Moment(model, build_machine(model))
        self.heads = {one: each for each in contested_heads(self.moment) for one in each.ids}
        self._solver = Solver(self.moment.circuit, self.moment.rules, self.moment.rules_at_rest)
        self._still = [-each for each in (*self.moment.stir, self.moment.restless)]

    def close(self) -> None:
        """Gives back the solver's memory."""
        self._solver.close()

    def acting(self, function: Function) -> Acting:
        """Literals of a function."""
        return self.moment.functions[function.name]

    def literal(self, condition: Condition) -> int:
        """Literal of a condition."""
        return self.moment.condition(condition)

    def at(self, name: str, value: Value) -> int:
        """Literal: this input or memory has this value."""
        choice = self.moment.choice(name)
        return choice.literals[choice.place(value)]

    def at_rest(self, name: str) -> int:
        """Literal: it is at rest, or where it starts."""
        choice = self.moment.choice(name)
        return choice.literals[choice.rest]

    def owns(self, function: str, head: str) -> int:
        """Literal: this function has this head; false of a head that nobody can want."""
        contested = self.heads.get(head)
        return next((literal for name, literal in contested.owns if name == function), FALSE) if contested else FALSE

    def can_be(self, *wanted: int) -> bool:
        """Can all of these hold at once, in some moment?"""
        return self._solver.can_be(*wanted)

    def plain(self, *wanted: int, still: bool = True) -> Plain | None:
        """The plainest setting in which all of these hold; None when there is none.

        still : nothing is under way in it: no time is running, nobody is held off; without it as little as can be.
        """
        held = [*wanted, *(self._still if still else ())]
        if not self._solver.can_be(*held):
            return None
        if not still:
            for each in self._still:
                if self._solver.can_be(*held, each):
                    held.append(each)
        inputs: list[tuple[str, Value]] = []
        memory: list[tuple[str, str]] = []
        for name in sorted({*self.moment.inputs, *self.moment.memories}):
            choice = self.moment.choice(name)
            place = self._plainest(choice, held, is_input=name in self.moment.inputs)
            held.append(choice.literals[place])
            if place == choice.rest:
                continue
            if name in self.moment.inputs:
                inputs.append((name, choice.values[place]))
            else:
                memory.append((name, str(choice.values[place])))
        return Plain(tuple(inputs), tuple(memory))

    def _plainest(self, choice: Choice, held: list[int], *, is_input: bool) -> int:
        """Rest, else for a signal the value farthest in its list (a gear that drives), else the nearest to rest."""
        places = sorted(range(len(choice.values)), key=lambda place: (abs(place - choice.rest), place))
        if is_input and not choice.thresholds and not self.model.input(choice.name).is_control:
            places = [choice.rest, *(place for place in reversed(range(len(choice.values))) if place != choice.rest)]
        for place in places[:-1]:
            if self._solver.can_be(*held, choice.literals[place]):
                return place
        return places[-1]
