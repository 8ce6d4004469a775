"""How does a person get from where the vehicle stands to where one has to look? Acts, tried on the machine itself.

What reads otherwise is set one thing after the other, then timers are waited for. Where memory or a hold-off stands
elsewhere in the end, acts of what moves it are tried, few first. The search is bounded by a number of acts tried.

See Also
--------
coachwright.control.story : one act. coachwright.control.bench_find : says where to go.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count

from coachwright.build.condition import Condition, First, Held
from coachwright.build.model import Model
from coachwright.control.bench_asked import Moments
from coachwright.control.choices import Choice
from coachwright.control.functions import names_through_words
from coachwright.control.machine import (
    Machine,
    State,
    advance,
    ends_next_ms,
    memory_of,
    power_up,
    start_inputs,
    values_read,
)
from coachwright.control.signals import ends_in_ms
from coachwright.control.story import Act, arrived, waiting

MOST_TRIED, MOST_TRIED_DEEP = 400, 6000
"""Acts tried, at most, where setting things and waiting doesn't lead there; and for what nothing else shows."""
MOST_RECIPES = 6
MOST_WAITS = 24
PACE_MS = 2000
"""Time a person takes to move one thing: the machine goes on meanwhile. An assumption, printed with the list."""
LEAST_LOOK_MS = 2500
"""What runs out sooner than this can't be looked at after other things were moved. An assumption."""
_SECOND_MS = 1000
_STRAIGHT = 4


@dataclass(frozen=True, slots=True)
class Place:
    """Where the machine is to stand.

    reads : per input that matters, the place of its value. timed : per timed condition, whether it is true.
    held_off : functions that wait to be asked. calm : no timer may run.
    """

    reads: tuple[tuple[str, int], ...]
    memory: tuple[tuple[str, str], ...]
    timed: tuple[bool, ...]
    held_off: frozenset[str]
    calm: bool = True


@dataclass(slots=True)
class Walker:
    """Knows one build's machine and how its inputs are said. can_stand : settings the body lets stand, remembered."""

    moments: Moments
    names: tuple[str, ...]
    tried_n: int = 0
    can_stand: dict[tuple[int, ...], bool] = field(default_factory=dict)
    recipes: dict[frozenset[tuple[str, str]], list[tuple[Act, ...]]] = field(default_factory=dict)

    @property
    def model(self) -> Model:
        return self.moments.model

    def start(self) -> State:
        """Power-up with everything at rest, and time to come to rest."""
        inputs, kept = start_inputs(self.moments.machine, {})
        state, _ = power_up(self.moments.machine, inputs, kept=kept)
        return self.rested(state)[0]

    def rested(self, state: State) -> tuple[State, tuple[Act, ...]]:
        """Once no timer runs, and the waits that took."""
        acts: list[Act] = []
        for _ in range(MOST_WAITS):
            if not ends_next_ms(self.moments.machine, state):
                break
            acts.append(self._wait(state))
            state = acted(self.moments.machine, state, acts[-1])
        return state, tuple(acts)

    def _wait(self, state: State) -> Act:
        """The wait until the next timer has ended, in whole seconds."""
        wait_ms = ends_next_ms(self.moments.machine, state)
        return waiting(-(-wait_ms // _SECOND_MS) * _SECOND_MS)

    def stands(self, state: State) -> Place:
        """Where the machine stands."""
        machine = self.moments.machine
        read = values_read(machine, state)
        reads = tuple((name, self.choice(name).place(read[name])) for name in self.names)
        held = frozenset(
            function.name for place, function in enumerate(machine.functions) if state.held_off >> place & 1
        )
        timed = tuple(_is_true(each, left) for each, left in zip(machine.timed, state.timers, strict=True))
        return Place(reads, tuple(memory_of(machine, state).items()), timed, held, not ends_next_ms(machine, state))

    def choice(self, name: str) -> Choice:
        return self.moments.moment.inputs[name]

    def can_be_looked_at(self, state: State, target: Place) -> bool:
        """Does it stay so for long enough to look?"""
        left_ms = ends_next_ms(self.moments.machine, state)
        return target.calm or not left_ms or left_ms >= LEAST_LOOK_MS

    def act(self, name: str, place: int) -> Act:
        """The act of giving an input one of its values."""
        choice = self.choice(name)
        return Act(name, choice.values[place], 0, choice.texts[place])

    def reach(self, state: State, target: Place, *, deep: bool = False) -> tuple[tuple[Act, ...], State] | None:
        """Acts that lead there and the state they lead to. deep : tries for long."""
        tries = [(self._set_all(state, target, last_first=last_first)) for last_first in (False, True)]
        straight = [each for each in tries if each is not None]
        for walked in straight:
            if not _apart(self.stands(walked[1]), target):
                return walked
        begins = min(straight, key=lambda each: _apart(self.stands(each[1]), target), default=((), state))
        kept = _kept_apart(self.stands(begins[1]), target)
        for recipe in self.recipes.get(kept, [])[:MOST_RECIPES]:
            for acts, at in (begins, ((), state)):
                walked_on = self._along(at, recipe, target)
                if walked_on is not None:
                    return (*acts, *walked_on[0]), walked_on[1]
        for acts, at in (begins, ((), state)):
            found = self._search(at, target, most=MOST_TRIED)
            if found is not None:
                self.recipes.setdefault(kept, []).append(found[0])
                return (*acts, *found[0]), found[1]
        return self._in_two(state, target, kept) if deep else None

    def _along(self, state: State, recipe: Sequence[Act], target: Place) -> tuple[tuple[Act, ...], State] | None:
        """Acts that led to such a memory once, then what still reads otherwise."""
        acts: list[Act] = []
        for act in recipe:
            if act.name and dict(self.stands(state).reads)[act.name] == self.choice(act.name).place(act.value):
                continue
            after = self.do(state, act)
            if after is None:
                return None
            acts.append(act)
            state = after
        walked = self._set_all(state, target, last_first=False)
        if walked is None or _apart(self.stands(walked[1]), target):
            return None
        return (*acts, *walked[0]), walked[1]

    def _in_two(
        self, state: State, target: Place, kept: frozenset[tuple[str, str]]
    ) -> tuple[tuple[Act, ...], State] | None:
        """First to where memory and hold-offs stand right, whatever else; from there to the rest."""
        found = self._search(state, target, most=MOST_TRIED_DEEP, kept_only=True)
        if found is None:
            return None
        walked = self._set_all(found[1], target, last_first=False)
        if walked is None or _apart(self.stands(walked[1]), target):
            walked = self._search(found[1], target, most=MOST_TRIED)
        if walked is None:
            return None
        self.recipes.setdefault(kept, []).append(found[0])
        return (*found[0], *walked[0]), walked[1]

    # ---------------------------------------------------------------------------------------------------- straight
    def _set_all(self, state: State, target: Place, *, last_first: bool) -> tuple[tuple[Act, ...], State] | None:
        """Set what reads otherwise; what feeds a timer that has to run goes last."""
        acts: list[Act] = []
        late = self._feeders(target) if not target.calm else frozenset[str]()
        for _ in range(3):
            now = dict(self.stands(state).reads)
            names = [name for name, place in target.reads if now[name] != place]
            if not names:
                break
            names.sort(key=lambda name: self._turn(name, last_first))
            names.sort(key=lambda name: name in late)
            wanted = dict(target.reads)
            for number, name in enumerate(names):
                if late and name in late and number and names[number - 1] not in late:
                    state, waits = self.rested(state)
                    acts += waits
                if dict(self.stands(state).reads)[name] == wanted[name]:
                    continue
                after = self.do(state, self.act(name, wanted[name]))
                if after is None:
                    return None
                acts.append(self.act(name, wanted[name]))
                state = after
            state, turned = self._turns_over(state, wanted)
            acts += turned
        if target.calm:
            state, waits = self.rested(state)
            acts += waits
        return tuple(acts), state

    def _turns_over(self, state: State, wanted: Mapping[str, int]) -> tuple[State, list[Act]]:
        """Wires that were switched off read so once their edge hold is over."""
        acts: list[Act] = []
        turns = [name for name in self.names if self.model.input(name).kind in ("turn-wire", "hazard")]
        for _ in range(MOST_WAITS):
            now = dict(self.stands(state).reads)
            if not ends_in_ms(state.reading) or all(now[name] == wanted[name] for name in turns):
                break
            acts.append(self._wait(state))
            state = acted(self.moments.machine, state, acts[-1])
        return state, acts

    def _turn(self, name: str, last_first: bool) -> int:
        """Hand controls after what the vehicle says, buttons last; or the other way round."""
        item = self.model.input(name)
        turn = {"button": 3, "toggle": 2, "slide": 2, "pick-one": 2}.get(item.kind, 1 if item.hand == "hand" else 0)
        return -turn if last_first else turn

    def do(self, state: State, act: Act) -> State | None:
        """The state after an act; None where the body says it can't be so."""
        self.tried_n += 1
        after = acted(self.moments.machine, state, act)
        return after if self.may_stand(after) else None

    # ------------------------------------------------------------------------------------------------------ search
    def _search(
        self,
        state: State,
        target: Place,
        *,
        most: int,
        kept_only: bool = False,
        shows: Callable[[Place], bool] | None = None,
    ) -> tuple[tuple[Act, ...], State] | None:
        """Best first. kept_only : only memory and hold-offs have to stand as in the target; shows : see `arrive`."""
        names = self._movable(state, target)
        turn = count()
        waits: list[tuple[int, int, State, tuple[Act, ...], Act]] = []

        def offer(state: State, acts: tuple[Act, ...]) -> None:
            here = self.stands(state)
            far = len(_kept_apart(here, target)) if kept_only else _apart(here, target)
            for act, nearer in self._acts(state, here, target, names):
                left = far if kept_only else far - nearer
                heappush(waits, (len(acts) + 1 + _STRAIGHT * left, next(turn), state, acts, act))

        offer(state, ())
        seen = {state}
        for _ in range(most):
            if not waits:
                break
            *_, before, acts, act = heappop(waits)
            after = self.do(before, act)
            if after is None or after in seen:
                continue
            seen.add(after)
            here = self.stands(after)
            if shows is not None:
                there = here.timed == target.timed and not _kept_apart(here, target) and shows(here)
            else:
                there = not (_kept_apart(here, target) if kept_only else _apart(here, target))
            if there:
                return (*acts, act), after
            offer(after, (*acts, act))
        return None

    def _acts(self, state: State, here: Place, target: Place, names: Sequence[str]) -> Iterator[tuple[Act, int]]:
        reads, wanted = dict(here.reads), dict(target.reads)
        for name in names:
            for place in range(len(self.choice(name).values)):
                if place != reads[name]:
                    yield self.act(name, place), (place == wanted[name]) - (reads[name] == wanted[name])
        if ends_next_ms(self.moments.machine, state):
            yield self._wait(state), 0

    def arrive(
        self, state: State, target: Place, shows: Callable[[Place], bool]
    ) -> tuple[tuple[Act, ...], State] | None:
        """Acts to wherever memory, times and hold-offs are as in the target and `shows` says so; the start last.

        What runs out is looked at right after what started it: everything else may read as it likes.
        """
        return self._search(state, target, most=MOST_TRIED_DEEP, shows=shows)

    def _movable(self, state: State, target: Place) -> list[str]:
        """What may be moved on the way: what reads otherwise, and what moves that which stands otherwise."""
        here = self.stands(state)
        names = {name for (name, place), (_, now) in zip(target.reads, here.reads, strict=True) if place != now}
        for (name, value), (_, now) in zip(target.memory, here.memory, strict=True):
            if value != now:
                names |= self._moves(name)
        for timed, true, now_true in zip(self.moments.machine.timed, target.timed, here.timed, strict=True):
            if true != now_true:
                names |= self._read_by((timed,))
        for name in here.held_off ^ target.held_off:
            names |= self._asks(name)
        for condition, _ in self.model.cannot_be:  # what the body excludes has to get out of the way
            read = self._read_by((condition,))
            names |= read if names & read else set()
        return [name for name in self.names if name in names]

    def feeding(self, place: Place) -> frozenset[str]:
        """Inputs that had to do with how memories away from their start, and those who wait, came there."""
        found: set[str] = set()
        for memory, (name, value) in zip(self.model.memories, place.memory, strict=True):
            if value != memory.start:
                found |= self._moves(name)
        for name in place.held_off:
            found |= self._asks(name)
        return frozenset(found) or frozenset(self.names)

    def _moves(self, memory: str) -> set[str]:
        moves = next(each.moves for each in self.model.memories if each.name == memory)
        return self._read_by([each for move in moves for each in (move.on, move.condition) if each is not None])

    def _asks(self, function: str) -> set[str]:
        """What a function that waits reads, and what stops it."""
        written = next(each for each in self.model.functions if each.name == function)
        conditions = [written.when] if written.when is not None else []
        conditions += [
            stop.when for stop in self.model.stops if function in stop.functions or written.rank in stop.ranks
        ]
        return self._read_by(conditions) | ({written.by} if written.by else set())

    def _feeders(self, target: Place) -> frozenset[str]:
        """Inputs read by timed conditions that run in the target."""
        found: set[str] = set()
        for timed, literal, true in zip(self.moments.machine.timed, self.moments.timed, target.timed, strict=True):
            if isinstance(timed, First) and true and abs(literal) != 1:
                found |= self._read_by((timed,))
        return frozenset(found)

    def _read_by(self, conditions: Iterable[Condition]) -> set[str]:
        words = {word.name: word.condition for word in self.model.words}
        memories = {memory.name for memory in self.model.memories}
        found: set[str] = set()
        waits = set[str]().union(*(names_through_words(each, words) for each in conditions))
        while waits:
            name = waits.pop()
            if name in found:
                continue
            found.add(name)
            if name in memories:
                moves = next(each.moves for each in self.model.memories if each.name == name)
                for move in moves:
                    for each in (move.on, move.condition):
                        waits |= names_through_words(each, words) if each is not None else set()
        return found

    def may_stand(self, state: State) -> bool:
        """Does the body let its signals stand so?"""
        if not self.model.cannot_be:
            return True
        moment = self.moments.moment
        read = values_read(self.moments.machine, state)
        places = tuple(choice.place(read[name]) for name, choice in moment.inputs.items())
        if places not in self.can_stand:
            values = moment.values(read, {}, timed={})
            excluded = [moment.condition(condition) for condition, _ in self.model.cannot_be]
            self.can_stand[places] = not any(moment.circuit.evaluate(excluded, values))
        return self.can_stand[places]


def acted(machine: Machine, state: State, act: Act) -> State:
    """The state at the end of an act, done at a person's pace."""
    if act.name:
        state = advance(machine, state, state.inputs, PACE_MS)
    return arrived(machine, state, act)


def joined(acts: Iterable[Act]) -> tuple[Act, ...]:
    """The same acts with waits that follow each other as one."""
    found: list[Act] = []
    for act in acts:
        if found and not act.name and not found[-1].name:
            found[-1] = waiting(found[-1].wait_ms + act.wait_ms)
        else:
            found.append(act)
    return tuple(found)


def _is_true(timed: object, left_ms: int) -> bool:
    if isinstance(timed, Held):
        return left_ms == 0
    return left_ms > 0 if isinstance(timed, First) else left_ms != 0


def _apart(here: Place, target: Place) -> int:
    """How much stands otherwise."""
    found = sum(one != other for one, other in zip(here.reads, target.reads, strict=True))
    found += sum(one != other for one, other in zip(here.memory, target.memory, strict=True))
    found += sum(one != other for one, other in zip(here.timed, target.timed, strict=True))
    found += len(here.held_off ^ target.held_off)
    return found + (target.calm and not here.calm)


def _kept_apart(here: Place, target: Place) -> frozenset[tuple[str, str]]:
    """Memories that stand elsewhere, with where they should; hold-offs that differ."""
    memory = {wanted for wanted, now in zip(target.memory, here.memory, strict=True) if wanted != now}
    held = {(name, "waits" if name in target.held_off else "doesn't") for name in here.held_off ^ target.held_off}
    return frozenset(memory | held)
