"""What does a person have to do, from power-up, to see this? A short row of acts, found through the machine's step.

One act changes one control or signal, or waits until the next timer ends. Settings that the body excludes are not gone
through. The search is bounded by a number of steps tried; what isn't found within it may still be possible.

See Also
--------
coachwright.control.ambiguity : says which settings to head for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count

from coachwright.build.condition import names_read
from coachwright.build.quantity_text import print_time
from coachwright.control.choices import Choice, Value
from coachwright.control.encode import Moment
from coachwright.control.machine import (
    Machine,
    State,
    advance,
    changed_inputs,
    ends_next_ms,
    memory_of,
    power_up,
    start_inputs,
    step,
    values_read,
)
from coachwright.control.signals import Inputs
from coachwright.control.sources import let_go
from coachwright.control.statement import Outputs

_STRAIGHT = 4
"""How many acts of a detour weigh as much as one setting that isn't yet as the target has it."""

Goal = Callable[[State, Outputs], bool]


@dataclass(frozen=True, slots=True)
class Act:
    """One act of a story: a new setting, or (without a name) a wait of `wait_ms`.

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
    """Best first over states; ``how far`` counts what isn't as the target has it.

    Without a target short rows of acts come first, so that the first found is one of the shortest. An act is tried
    only when its turn comes.
    """

    def __init__(self, moment: Moment, goal: Goal, steps_most: int) -> None:
        self.moment = moment
        self.machine: Machine = moment.machine
        self.goal = goal
        self.steps_most = steps_most
        self.tried_n = 0
        self.excluded = [moment.condition(condition) for condition, _ in moment.model.cannot_be]
        named = {name for condition, _ in moment.model.cannot_be for name in names_read(condition)}
        self.excluding = [choice for name, choice in moment.inputs.items() if name in named]
        self.can_stand: dict[tuple[int, ...], bool] = {}

    def run(self, target: Target, names: Sequence[str]) -> Story | None:
        inputs, kept = start_inputs(self.machine, {})
        state, outputs = power_up(self.machine, inputs, kept=kept)
        if self.goal(state, outputs):
            return Story(())
        turn = count()
        waiting: list[tuple[int, int, int, State, tuple[Act, ...], Act]] = []

        def offer(state: State, acts: tuple[Act, ...]) -> None:
            far = self._how_far(state, target)
            for act, nearer in self._acts(state, target, names):
                left = far - nearer
                heappush(waiting, (len(acts) + 1 + _STRAIGHT * left, left, next(turn), state, acts, act))

        offer(state, ())
        seen = {state}
        for _ in range(self.steps_most):
            if not waiting:
                break
            *_, before, acts, act = heappop(waiting)
            self.tried_n += 1
            state, outputs = act_out(self.machine, before, act)
            if state in seen or not self._can_stand(state):
                continue
            seen.add(state)
            if self.goal(state, outputs):
                return Story((*acts, act))
            offer(state, (*acts, act))
        return None

    def _acts(self, state: State, target: Target, names: Sequence[str]) -> list[tuple[Act, int]]:
        """What can be done, and by how much the inputs come nearer to the target by it."""
        read = values_read(self.machine, state)
        wanted = dict(target.settings)
        found = []
        for name in names:
            choice = self.moment.inputs[name]
            now = choice.place(read[name])
            goal = choice.place(wanted[name]) if name in wanted else None
            for place in range(len(choice.values)):
                if place != now:
                    found.append((set_to(choice, place), (place == goal) - (now == goal)))
        wait_ms = ends_next_ms(self.machine, state)
        if wait_ms:
            found.append((waiting(wait_ms), 0))
        return found

    def _how_far(self, state: State, target: Target) -> int:
        if not target.settings and not target.memory:
            return 0
        read: Mapping[str, Value] = values_read(self.machine, state)
        stands = memory_of(self.machine, state)
        apart = sum(not _reads(self.moment.inputs[name], read[name], value) for name, value in target.settings)
        return apart + sum(stands[name] != value for name, value in target.memory)

    def _can_stand(self, state: State) -> bool:
        """Does the body let its signals stand so?"""
        if not self.excluded:
            return True
        read = values_read(self.machine, state)
        places = tuple(choice.place(read[choice.name]) for choice in self.excluding)
        if places not in self.can_stand:
            values = self.moment.values({choice.name: read[choice.name] for choice in self.excluding}, {}, timed={})
            self.can_stand[places] = not any(self.moment.circuit.evaluate(self.excluded, values))
        return self.can_stand[places]


def act_out(machine: Machine, state: State, act: Act) -> tuple[State, Outputs]:
    """State and outputs at the end of an act."""
    if not act.name:
        return step(machine, state, state.inputs, act.wait_ms)
    state, outputs = _settled(machine, state, changed_inputs(machine, state, {act.name: act.value}))
    released = let_go(machine.inputs, state.inputs)  # a toggle is pushed, not held
    return (state, outputs) if released == state.inputs else _settled(machine, state, released)


def arrived(machine: Machine, state: State, act: Act) -> State:
    """State at the end of an act, for those who don't look."""
    if not act.name:
        return advance(machine, state, state.inputs, act.wait_ms)
    state = _steady(machine, state, changed_inputs(machine, state, {act.name: act.value}))
    released = let_go(machine.inputs, state.inputs)
    return state if released == state.inputs else _steady(machine, state, released)


def _settled(machine: Machine, state: State, inputs: Inputs) -> tuple[State, Outputs]:
    """With these sources, once each is read as steady (debounce)."""
    state, outputs = step(machine, state, inputs, 0)
    settle_ms = max((left_ms for _, _, left_ms in state.reading.settling), default=0)
    return step(machine, state, inputs, settle_ms) if settle_ms else (state, outputs)


def _steady(machine: Machine, state: State, inputs: Inputs) -> State:
    state = advance(machine, state, inputs, 0)
    settle_ms = max((left_ms for _, _, left_ms in state.reading.settling), default=0)
    return advance(machine, state, inputs, settle_ms) if settle_ms else state


def set_to(choice: Choice, place: int) -> Act:
    """The act that gives an input one of its values."""
    return Act(choice.name, choice.values[place], 0, choice.texts[place])


def waiting(wait_ms: int) -> Act:
    """The act of waiting."""
    return Act("", "", wait_ms, f"wait {print_time(wait_ms)}")


def _reads(choice: Choice, read: Value, wanted: Value) -> bool:
    return choice.place(read) == choice.place(wanted)
