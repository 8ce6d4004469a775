"""Which mistakes does the bench list catch, and what of those it doesn't?

The list is gone through on every wrong build, act for act and at the same pace; a mistake is caught at the first step
at which something visible isn't as expected. What is caught nowhere is proved to be no mistake (nothing visible ever
differs), or is a gap: then a setting is looked for in which it shows, and the list gets a step more.

See Also
--------
coachwright.control.mutations : the mistakes. coachwright.control.bench : the list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.model import Model
from coachwright.control.bench_asked import Moments
from coachwright.control.bench_seen import Eyes, Sight
from coachwright.control.bench_walk import MOST_WAITS, PACE_MS
from coachwright.control.choices import bits_of
from coachwright.control.circuit import FALSE
from coachwright.control.encode import Moment
from coachwright.control.functions import names_through_words
from coachwright.control.machine import (
    Machine,
    State,
    advance,
    build_machine,
    changed_inputs,
    ends_next_ms,
    outputs_of,
    power_up,
    start_inputs,
)
from coachwright.control.mutations import KINDS, Kind, Mutation, mutations, read_as_swapped, stuck_place
from coachwright.control.sat import Solver
from coachwright.control.signals import Inputs
from coachwright.control.sources import Fault, faulted, let_go
from coachwright.control.story import Act

Ends = Literal["caught", "equivalent", "undecided"]

Sights = frozenset[Sight]

_SAID = ("message", "tell-tale")
"""What has no output of its own that could be exchanged."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A power-up, a step to `inputs` after `elapsed_ms`, or a look."""

    what: Literal["power-up", "step", "look"]
    inputs: Inputs | None = None
    elapsed_ms: int = 0
    kept: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Fate:
    """How one mistake ends. step : the first step that shows it, from 1; 0 when none does."""

    mutation: Mutation
    ends: Ends
    step: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class Count:
    """All mistakes of one kind."""

    kind: Kind
    all_n: int
    caught_n: int
    equivalent_n: int
    undecided_n: int


def tape(machine: Machine, steps: Sequence[tuple[bool, Sequence[Act]]]) -> tuple[Mark, ...]:
    """What stands at the sources while the acts of a list are done. steps : (from power-up, acts)."""
    marks: list[Mark] = []
    state = _begin(machine, marks)
    for number, (anew, acts) in enumerate(steps):
        if anew and number:
            state = _begin(machine, marks)
        for act in acts:
            state = act_on_tape(machine, state, act, marks)
        marks.append(Mark("look"))
    return tuple(marks)


def _begin(machine: Machine, marks: list[Mark]) -> State:
    inputs, kept = start_inputs(machine, {})
    state, _ = power_up(machine, inputs, kept=kept)
    marks.append(Mark("power-up", inputs, 0, kept))
    for _ in range(MOST_WAITS):
        wait_ms = ends_next_ms(machine, state)
        if not wait_ms:
            break
        state = _step(machine, state, state.inputs, -(-wait_ms // 1000) * 1000, marks)
    return state


def act_on_tape(machine: Machine, state: State, act: Act, marks: list[Mark]) -> State:
    """The state after an act at a person's pace; what stood at the sources meanwhile is put on the tape."""
    if not act.name:
        return _step(machine, state, state.inputs, act.wait_ms, marks)
    state = _step(machine, state, state.inputs, PACE_MS, marks)
    state = _settled(machine, state, changed_inputs(machine, state, {act.name: act.value}), marks)
    released = let_go(machine.inputs, state.inputs)
    return state if released == state.inputs else _settled(machine, state, released, marks)


def _settled(machine: Machine, state: State, inputs: Inputs, marks: list[Mark]) -> State:
    state = _step(machine, state, inputs, 0, marks)
    settle_ms = max((left_ms for _, _, left_ms in state.reading.settling), default=0)
    return _step(machine, state, inputs, settle_ms, marks) if settle_ms else state


def _step(machine: Machine, state: State, inputs: Inputs, elapsed_ms: int, marks: list[Mark]) -> State:
    marks.append(Mark("step", inputs, elapsed_ms))
    return advance(machine, state, inputs, elapsed_ms)


@dataclass(frozen=True, slots=True)
class Wired:
    """A machine as it may have been built: with a mistake of its program, of its wiring, or none."""

    machine: Machine
    eyes: Eyes
    mutation: Mutation | None = None

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The input that doesn't tell the truth, if there is one."""
        return (self.mutation.stuck,) if self.mutation is not None and self.mutation.stuck is not None else ()

    def start(self) -> State:
        """Power-up with everything at rest, and time to come to rest."""
        state: State | None = None
        for mark in tape(self.machine, [(False, ())]):
            state = self.step(state, mark) if mark.what != "look" else state
        assert state is not None
        return state

    def reads(self, inputs: Inputs) -> Inputs:
        """What reaches the controller of what stands at the sources."""
        return faulted(self.machine.inputs, _swapped(self.machine, inputs, self.mutation), self.faults)

    def as_wired(self, seen: Sights) -> Sights:
        """What is seen of what the right wiring shows."""
        return _as_wired(seen, self.mutation)

    def step(self, state: State | None, mark: Mark) -> State:
        """The state after a power-up or a step of a tape."""
        assert mark.inputs is not None
        inputs = _swapped(self.machine, mark.inputs, self.mutation)
        if mark.what == "power-up" or state is None:
            return power_up(self.machine, inputs, kept=mark.kept, faults=self.faults)[0]
        return advance(self.machine, state, inputs, mark.elapsed_ms, faults=self.faults)

    def seen(self, state: State) -> Sights:
        """What is seen of a state."""
        return _as_wired(self.eyes.seen(outputs_of(self.machine, state)), self.mutation)


def wired(moments: Moments, mutation: Mutation | None = None) -> Wired:
    """The build's machine with this mistake."""
    if mutation is None or mutation.changed is None:
        return Wired(moments.machine, moments.eyes, mutation)
    return Wired(build_machine(mutation.changed), moments.eyes.of(mutation.changed), mutation)


def looks(machine: Wired, marks: Iterable[Mark]) -> Iterator[Sights]:
    """What is seen at each look of a tape."""
    state: State | None = None
    for mark in marks:
        if mark.what == "look":
            assert state is not None
            yield machine.seen(state)
        else:
            state = machine.step(state, mark)


def _swapped(machine: Machine, inputs: Inputs, mutation: Mutation | None) -> Inputs:
    if mutation is None or mutation.swapped is None:
        return inputs
    places = [place for place, item in enumerate(machine.inputs) if item.name in mutation.swapped]
    values = list(inputs.values)
    values[places[0]], values[places[1]] = values[places[1]], values[places[0]]
    return replace(inputs, values=tuple(values))


def _as_wired(seen: Sights, mutation: Mutation | None) -> Sights:
    """What is seen where two outputs are exchanged, or one is open. A lamp that moved burns in its old half."""
    if mutation is None or not mutation.exchanged:
        return seen
    from_of = mutation.exchanged
    moved = {source: name for name, source in from_of.items() if source}
    found = []
    for sight in seen:
        if sight.kind in _SAID or sight.name not in from_of:
            found.append(sight)
        elif sight.name in moved:
            found.append(replace(sight, name=moved[sight.name]))
    return frozenset(found)


class Study:
    """The mistakes of one build, run against lists of it."""

    def __init__(self, moments: Moments) -> None:
        self.moments = moments
        self.solver = Solver(moments.circuit, [*moments.moment.rules, *moments.moment.rules_at_rest, *moments.facts])

        self._wired: tuple[Mutation, Wired] | None = None

    def wired(self, mutation: Mutation) -> Wired:
        """The machine with this mistake; the last one asked for is kept."""
        if self._wired is None or self._wired[0] is not mutation:
            self._wired = (mutation, wired(self.moments, mutation))
        return self._wired[1]

    def close(self) -> None:
        """Gives back the solver's memory."""
        self.solver.close()

    def every(self, kinds: Iterable[Kind] = KINDS) -> list[Mutation]:
        """Every mistake of these kinds."""
        wanted = set(kinds)
        return [each for each in mutations(self.moments.model, self.moments.moment.inputs) if each.kind in wanted]

    def caught_at(self, marks: Sequence[Mark], expected: Sequence[Sights], mutation: Mutation) -> int:
        """The first look, from 1, at which something isn't as expected; 0 when there is none. Run from end to end.

        coachwright.control.bench_together says the same of many at once, sooner.
        """
        if mutation.exchanged:
            seen: Iterable[Sights] = (_as_wired(each, mutation) for each in expected)
        else:
            seen = looks(self.wired(mutation), marks)
        for number, (one, other) in enumerate(zip(seen, expected, strict=False), start=1):
            if one != other:
                return number
        return 0

    def apart(self, mutation: Mutation) -> int:
        """Literal: in a moment with the same memory and times, something is seen otherwise."""
        moments = self.moments
        if mutation.changed is not None:
            return moments.apart(moments.beside(mutation.changed))
        if mutation.exchanged:
            return self._exchanged(mutation)
        if mutation.swapped is not None:
            return moments.apart(moments.beside(read_as_swapped(moments.model, mutation.swapped)))
        known: dict[int, int] = {literal: literal for literal in moments.circuit.variables.values()}
        known |= self._read_otherwise(mutation)
        literals = moments.circuit.copied(list(moments.sights.values()), moments.circuit, known)
        return moments.apart(dict(zip(moments.sights, literals, strict=True)))

    def _exchanged(self, mutation: Mutation) -> int:
        circuit, differ = self.moments.circuit, []
        by_name: dict[str, dict[Sight, int]] = {}
        for sight, literal in self.moments.sights.items():
            if sight.kind not in _SAID:
                by_name.setdefault(sight.name, {})[replace(sight, name="")] = literal
        for name, source in mutation.exchanged.items():
            own, shown = by_name.get(name, {}), by_name.get(source, {})
            for sight in dict.fromkeys((*own, *shown)):
                one, other = own.get(sight, FALSE), shown.get(sight, FALSE)
                if one != other:
                    differ.append(-circuit.same(one, other))
        return circuit.any_of(dict.fromkeys(differ))

    def _read_otherwise(self, mutation: Mutation) -> dict[int, int]:
        """Variables of inputs as a wrong wiring makes them read."""
        found: dict[int, int] = {}
        if mutation.stuck is not None:
            choice = self.moments.moment.inputs[mutation.stuck.input]
            place = stuck_place(choice, mutation.stuck)
            for bit, var in enumerate(bits_of(self.moments.circuit, choice.name, len(choice.values))):
                found[var] = 1 if place >> bit & 1 else -1
        return found

    def survived(self, mutation: Mutation) -> Fate:
        """Nobody sees it on this list: is there anything to see?"""
        apart = self.apart(mutation)
        if not self.solver.can_be(apart) and not self._moves_otherwise(mutation):
            return Fate(mutation, "equivalent", why="proved: nothing that is seen ever differs")
        return Fate(mutation, "undecided")

    def _moves_otherwise(self, mutation: Mutation) -> bool:
        """May memory, a time or a hold-off come to stand elsewhere by it? Then one moment proves nothing."""
        if mutation.exchanged:
            return False
        changed = mutation.changed
        if mutation.swapped is not None:
            changed = read_as_swapped(self.moments.model, mutation.swapped)
        if changed is not None:
            return not self._keep_alike(changed)
        names = {mutation.stuck.input} if mutation.stuck is not None else set()
        return bool(names & _remembered(self.moments))

    def _keep_alike(self, changed: Model) -> bool:
        """Are the moves of all memories, what stops and what asks the very same functions of inputs and times?"""
        moments = self.moments
        other = Moment(changed, build_machine(changed), moments.circuit)
        one_moves, other_moves = (
            [
                (move.to, move.next, moment.acts(move, events=True))
                for memory in moment.model.memories
                for move in memory.moves
            ]
            for moment in (moments.moment, other)
        )
        asked = [[function.asked_by for function in each.machine.functions] for each in (moments.moment, other)]
        stops = [each.stops for each in (moments.moment, other)]
        timed = [set(each.machine.timed) for each in (moments.moment, other)]
        return one_moves == other_moves and all(one == two for one, two in (asked, stops, timed))


def _remembered(moments: Moments) -> set[str]:
    """Inputs that memories, timed conditions or stops that have to be asked again depend on."""
    model = moments.model
    words = {word.name: word.condition for word in model.words}
    said = [each for memory in model.memories for move in memory.moves for each in (move.on, move.condition)]
    said += list(moments.machine.timed)
    for stop in model.stops:
        if stop.resume == "ask":
            said.append(stop.when)
            said += [each.when for each in model.functions if each.name in stop.functions or each.rank in stop.ranks]
    return {name for each in said if each is not None for name in names_through_words(each, words)}


def counts(fates: Sequence[Fate]) -> tuple[Count, ...]:
    """A row per kind, in the order of kinds; kinds with no mistake in this build are left out."""
    found = []
    for kind in KINDS:
        of_kind = [fate for fate in fates if fate.mutation.kind == kind]
        if of_kind:
            ends = [fate.ends for fate in of_kind]
            found.append(
                Count(kind, len(ends), ends.count("caught"), ends.count("equivalent"), ends.count("undecided"))
            )
    return tuple(found)
