"""What does a person have to do, from power-up, to see this? A short row of acts, found through the machine's step.

One act changes one control or signal, or waits until the next timer ends. Settings that the body excludes are not gone
through. The search is bounded by a number of steps tried; what isn't found within it may still be possible.

See Also
--------
coachwright.control.ambiguity : says which settings to head for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count

from coachwright.build.quantity_text import print_time
from coachwright.control.choices import Choice, Value
from coachwright.control.encode import Moment
from coachwright.control.machine import (
    Machine,
    State,
    changed_inputs,
    ends_next_ms,
    memory_of,
    power_up,
    start_inputs,
    step,
    values_read,
)
from coachwright.control.statement import Outputs

Goal = Callable[[State, Outputs], bool]


@dataclass(frozen=True, slots=True)
class Act:
    """One act of a story: a new setting (none without a name), and how long it then stands.

    A setting stands until its source is read as steady (debounce): that isn't told. Any other wait is an act.
    """

    name: str
    value: Value
    wait_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class Story:
    """How to get there from power-up at rest. acts : none when it is so from the start."""

    acts: tuple[Act, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """A line per act, to be read aloud."""
        return ("power-up, everything at rest", *(act.text for act in self.acts))


@dataclass(frozen=True, slots=True)
class Target:
    """Where to head for: what inputs read and where memories stand."""

    settings: tuple[tuple[str, Value], ...] = ()
    memory: tuple[tuple[str, str], ...] = ()


def any_story(
    moment: Moment, goal: Goal, target: Target, *, movable: Sequence[str], steps_most: int
) -> tuple[Story | None, int]:
    """A story straight to `target`, and how many steps were tried; `movable` inputs may be used on the way."""
    search = _Search(moment, goal, steps_most)
    names = [name for name, _ in target.settings]
    return search.run(target, list(dict.fromkeys((*names, *movable)))), search.tried_n


def short_story(
    moment: Moment, goal: Goal, target: Target, *, movable: Sequence[str], steps_most: int
) -> tuple[Story | None, int]:
    """The story, and how many steps were tried.

    First straight for `target`; then, if that needs more acts than settings differ, every row of acts of `movable`
    inputs, short ones first. Each of the two tries at most `steps_most` steps.
    """
    search = _Search(moment, goal, steps_most)
    names = [name for name, _ in target.settings]
    straight = search.run(target, list(dict.fromkeys((*names, *movable))))
    if straight is not None and len(straight.acts) <= len(target.settings):
        return straight, search.tried_n
    around = search.run(Target(), list(movable))
    found = [story for story in (straight, around) if story is not None]
    return min(found, key=lambda story: len(story.acts), default=None), search.tried_n


class _Search:
    """A* over states; ``how far`` counts what isn't as the target has it."""

    def __init__(self, moment: Moment, goal: Goal, steps_most: int) -> None:
        self.moment = moment
        self.machine: Machine = moment.machine
        self.goal = goal
        self.steps_most = steps_most
        self.tried_n = 0
        self.excluded = [moment.condition(condition) for condition, _ in moment.model.cannot_be]

    def run(self, target: Target, names: Sequence[str]) -> Story | None:
        inputs, kept = start_inputs(self.machine, {})
        state, outputs = power_up(self.machine, inputs, kept=kept)
        if self.goal(state, outputs):
            return Story(())
        turn = count()
        far = self._how_far(state, target)
        waiting = [(far, far, next(turn), state, tuple[Act, ...]())]
        seen = {state}
        left_n = self.steps_most
        while waiting:
            _, _, _, state, acts = heappop(waiting)
            for act in self._acts(state, names):
                if left_n <= 0:
                    return None
                left_n -= 1
                self.tried_n += 1
                after, outputs, done = self._done(state, act)
                if after in seen:
                    continue
                seen.add(after)
                if self.excluded and not self._can_stand(after):
                    continue
                story = (*acts, done)
                if self.goal(after, outputs):
                    return Story(story)
                far = self._how_far(after, target)
                heappush(waiting, (len(story) + far, far, next(turn), after, story))
        return None

    def _done(self, state: State, act: Act) -> tuple[State, Outputs, Act]:
        """State and outputs at the end of an act, and the act with the time in it that a setting took to be read."""
        if act.name:
            state, outputs = step(self.machine, state, changed_inputs(self.machine, state, {act.name: act.value}), 0)
            settle_ms = max((left_ms for _, _, left_ms in state.reading.settling), default=0)
            if not settle_ms:
                return state, outputs, act
            act = replace(act, wait_ms=settle_ms)
        state, outputs = step(self.machine, state, state.inputs, act.wait_ms)
        return state, outputs, act

    def _acts(self, state: State, names: Sequence[str]) -> list[Act]:
        read = values_read(self.machine, state)
        found = []
        for name in names:
            choice = self.moment.inputs[name]
            now = choice.place(read[name])
            found += [set_to(choice, place) for place in range(len(choice.values)) if place != now]
        wait_ms = ends_next_ms(self.machine, state)
        if wait_ms:
            found.append(Act("", "", wait_ms, f"wait {print_time(wait_ms)}"))
        return found

    def _how_far(self, state: State, target: Target) -> int:
        if not target.settings and not target.memory:
            return 0
        read: Mapping[str, Value] = values_read(self.machine, state)
        stands = memory_of(self.machine, state)
        apart = sum(not _reads(self.moment.inputs[name], read[name], value) for name, value in target.settings)
        return apart + sum(stands[name] != value for name, value in target.memory)

    def _can_stand(self, state: State) -> bool:
        values = self.moment.values(values_read(self.machine, state), memory_of(self.machine, state), timed={})
        return not any(self.moment.circuit.evaluate(self.excluded, values))


def set_to(choice: Choice, place: int) -> Act:
    """The act that gives an input one of its values."""
    return Act(choice.name, choice.values[place], 0, choice.texts[place])


def _reads(choice: Choice, read: Value, wanted: Value) -> bool:
    return choice.place(read) == choice.place(wanted)
