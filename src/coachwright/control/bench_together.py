"""Many wrong machines beside the right one, run once: a wrong one is followed alone only where it reads something else.

Every condition of the right machine that a mistake changes is answered twice, as it is written and as the mistake has
it. As long as both say the same, all the way to the end of a step, the wrong machine goes through the very same states,
and need not be run. The same holds while two exchanged wires stand alike, and while a stuck input stands where it is
stuck. What only shows otherwise (patterns, colours, ranks) goes through the right one's states for ever.

See Also
--------
coachwright.control.mutation_study : runs one wrong machine alone; what is found here is what is found there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from coachwright.build.condition import And, Condition
from coachwright.build.model import Model
from coachwright.control.bench_asked import Moments
from coachwright.control.bench_leaves import every_written
from coachwright.control.compiled import compile_with
from coachwright.control.conditions import Answer, Compiler, Scene, WordTask
from coachwright.control.machine import Machine, State, ends_next_ms
from coachwright.control.mutation_study import Mark, Sights, Wired, act_on_tape, wired
from coachwright.control.mutations import Mutation
from coachwright.control.story import Act

Way = Literal["shows", "reads", "wires", "alone"]
"""How a wrong machine goes with the right one: it shows otherwise; reads a condition otherwise; is wired otherwise; or
keeps other times, so that its states are no states of the right one."""

_Owner = tuple[str, int, int]


@dataclass(slots=True, eq=False)
class Node:
    """A state of the right machine, once. after : per act, what follows.

    seen : what is seen of it, and bits of the mistakes that may show otherwise there; None until somebody looks.
    """

    state: State
    after: dict[Act, Passed] = field(default_factory=dict)
    seen: tuple[Sights, int] | None = None
    may_stand: bool | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Passed:
    """An act of the right machine. apart : bits of the mistakes that read something else while it was done."""

    node: Node
    marks: tuple[Mark, ...]
    apart: int


@dataclass(frozen=True, slots=True)
class _Run:
    """One mark of a tape on the right machine. before : None at a power-up. looked : at a look, what is seen."""

    mark: Mark
    before: State | None
    after: State
    apart: int
    looked: Sights | None = None


@dataclass(frozen=True, slots=True)
class Tape:
    """A tape, gone through by the right machine."""

    runs: tuple[_Run, ...]

    @property
    def expected(self) -> list[Sights]:
        """What is seen at each look."""
        return [run.looked for run in self.runs if run.looked is not None]


class Together:
    """The right machine with ears for these mistakes."""

    def __init__(self, moments: Moments, wrong: Sequence[Mutation]) -> None:
        self.moments = moments
        self._noted = 0
        self.bits = {id(mutation): 1 << place for place, mutation in enumerate(wrong)}
        self._wrong = tuple(wrong)  # keeps their ids
        self.ways: dict[int, Way] = {}
        self._alone: dict[int, Wired] = {}
        self.machine = self._listening(wrong)
        self.right = Wired(self.machine, moments.eyes)
        self._nodes: dict[State, Node] = {}

    # --------------------------------------------------------------------------------------------------------- wrong
    def way(self, mutation: Mutation) -> Way:
        """How this mistake goes with the right machine."""
        return self.ways[id(mutation)]

    def alone(self, mutation: Mutation) -> Wired:
        """The wrong machine itself."""
        found = self._alone.get(id(mutation))
        if found is None:
            found = wired(self.moments, mutation)
            if self.ways[id(mutation)] == "reads":  # it shows the same, whenever it does
                found = replace(found, eyes=self.moments.eyes)
            self._alone[id(mutation)] = found
        return found

    def caught_at(self, tape: Tape, mutation: Mutation) -> int:
        """The first look of a tape, from 1, at which something isn't as expected; 0 when there is none."""
        other, looks_n = None, 0  # None: it stands as the right one does
        alone = self.way(mutation) == "alone"
        for run in tape.runs:
            if run.looked is not None:
                looks_n += 1
                if self._seen(mutation, other or run.after, run.looked, run.apart, alike=other is None) != run.looked:
                    return looks_n
            elif other is not None or alone or self._apart(mutation, run.mark, run.apart):
                stood = run.before if other is None else other
                after = self.alone(mutation).step(stood, run.mark)
                other = None if not alone and after == run.after else after
        return 0

    def _apart(self, mutation: Mutation, mark: Mark, apart: int) -> bool:
        """May a wrong machine that stands as the right one does come to stand elsewhere by this?"""
        if self.ways[id(mutation)] == "wires":
            assert mark.inputs is not None
            return self.alone(mutation).reads(mark.inputs) != mark.inputs
        return bool(apart & self.bits[id(mutation)])

    def _seen(self, mutation: Mutation, state: State, expected: Sights, apart: int, *, alike: bool) -> Sights:
        """What is seen of a wrong machine. alike : it stands as the right one, of which `expected` is seen."""
        way = self.ways[id(mutation)]
        if alike and (way == "wires" or (way == "reads" and not apart & self.bits[id(mutation)])):
            return expected
        if alike and mutation.exchanged:
            return self.alone(mutation).as_wired(expected)
        return self.alone(mutation).seen(state)

    # --------------------------------------------------------------------------------------------------------- right
    def tape(self, marks: Iterable[Mark]) -> Tape:
        """A tape, gone through by the right machine."""
        runs: list[_Run] = []
        state: State | None = None
        for mark in marks:
            before, self._noted = state, 0
            if mark.what == "look":
                assert state is not None
                seen = self.right.seen(state)
                runs.append(_Run(mark, state, state, self._noted, seen))
            else:
                state = self.right.step(None if mark.what == "power-up" else state, mark)
                runs.append(_Run(mark, before, state, self._noted))
        return Tape(tuple(runs))

    def node(self, state: State) -> Node:
        """The node of a state."""
        found = self._nodes.get(state)
        if found is None:
            found = self._nodes[state] = Node(state)
        return found

    def passed(self, node: Node, act: Act) -> Passed:
        """What an act leads to, at a person's pace."""
        found = node.after.get(act)
        if found is None:
            marks: list[Mark] = []
            self._noted = 0
            state = act_on_tape(self.machine, node.state, act, marks)
            apart = self._noted
            found = node.after[act] = Passed(self.node(state), tuple(marks), apart)
        return found

    def follow(self, mutation: Mutation, node: Node, other: State | None, passed: Passed) -> State | None:
        """Where a wrong machine stands after an act; None : as the right one does. other : where it stood."""
        if other is None and not any(self._apart(mutation, mark, passed.apart) for mark in passed.marks):
            return None
        state, machine = other if other is not None else node.state, self.alone(mutation)
        for mark in passed.marks:
            state = machine.step(state, mark)
        return None if self.way(mutation) != "alone" and state == passed.node.state else state

    def start(self, mutation: Mutation, node: Node) -> State | None:
        """Where a wrong machine stands after power-up and rest; None : as the right one, which is `node`."""
        if self.way(mutation) == "shows":
            return None
        state = self.alone(mutation).start()
        return None if self.way(mutation) != "alone" and state == node.state else state

    def differ(self, mutation: Mutation, node: Node, other: State | None) -> bool:
        """Is something seen otherwise of a wrong machine?"""
        if node.seen is None:
            self._noted = 0
            node.seen = (self.right.seen(node.state), self._noted)
        seen, apart = node.seen
        return self._seen(mutation, other or node.state, seen, apart, alike=other is None) != seen

    def ends_next_ms(self, mutation: Mutation, node: Node, other: State | None) -> set[int]:
        """When the next timer ends, on either machine."""
        found = {ends_next_ms(self.machine, node.state)}
        if other is not None:
            found.add(ends_next_ms(self.alone(mutation).machine, other))
        return found - {0}

    # ---------------------------------------------------------------------------------------------------------- ears
    def _listening(self, wrong: Sequence[Mutation]) -> Machine:
        machine, compiler = compile_with(self.moments.model)
        ears: dict[_Owner, list[tuple[int, Answer]]] = {}
        for mutation in wrong:
            self.ways[id(mutation)] = self._way(mutation, machine, compiler, ears)
        return self._with_ears(machine, compiler, ears)

    def _way(
        self,
        mutation: Mutation,
        machine: Machine,
        compiler: Compiler,
        ears: dict[_Owner, list[tuple[int, Answer]]],
    ) -> Way:
        if mutation.changed is None:
            return "shows" if mutation.exchanged else "wires"
        changed = changed_conditions(self.moments.model, mutation.changed)
        if changed is None:
            return "alone"
        if not changed:
            return "shows"
        own = wired(self.moments, mutation).machine
        if own.timed != machine.timed or own.turning != machine.turning or _asked(own) != _asked(machine):
            return "alone"
        found: list[tuple[_Owner, Answer]] = []
        for owner, condition in changed.items():
            answer = compiler.compile_beside(condition, late=owner[0] == "messages")
            if answer is None:
                return "alone"
            found.append((owner, answer))
        for owner, answer in found:
            ears.setdefault(owner, []).append((self.bits[id(mutation)], answer))
        return "reads"

    def _with_ears(
        self, machine: Machine, compiler: Compiler, ears: Mapping[_Owner, Sequence[tuple[int, Answer]]]
    ) -> Machine:
        def heard(answer: Answer, owner: _Owner) -> Answer:
            return self._heard(answer, ears[owner]) if owner in ears else answer

        words = {compiler.place_of_word(word.name): at for at, word in enumerate(self.moments.model.words)}
        functions = tuple(
            replace(
                each,
                when=heard(each.when, ("functions", at, 0)),
                at_most=tuple((heard(one, ("at-most", at, sub)), to) for sub, (one, to) in enumerate(each.at_most)),
            )
            for at, each in enumerate(machine.functions)
        )
        tasks = tuple(
            replace(task, answer=heard(task.answer, ("words", words[task.at], 0)))
            if isinstance(task, WordTask) and task.at in words
            else task
            for task in machine.rounds.tasks
        )
        moves = tuple(
            tuple(replace(move, answer=heard(move.answer, ("moves", at, sub))) for sub, move in enumerate(of_one))
            for at, of_one in enumerate(machine.rounds.moves)
        )
        limits = tuple(
            replace(each, answer=heard(each.answer, ("limits", at, 0))) for at, each in enumerate(machine.heads.limits)
        )
        messages = tuple(
            replace(each, answer=heard(each.answer, ("messages", at, 0)))
            for at, each in enumerate(machine.later.messages)
        )
        return replace(
            machine,
            functions=functions,
            stops=tuple(
                replace(each, answer=heard(each.answer, ("stops", at, 0))) for at, each in enumerate(machine.stops)
            ),
            rounds=replace(machine.rounds, tasks=tasks, moves=moves),
            heads=replace(machine.heads, limits=limits),
            later=replace(machine.later, messages=messages),
        )

    def _heard(self, answer: Answer, others: Sequence[tuple[int, Answer]]) -> Answer:
        def both(scene: Scene) -> bool:
            truth = answer(scene)
            noted = self._noted
            for bit, other in others:
                if not noted & bit and bool(other(scene)) != bool(truth):
                    noted |= bit
            self._noted = noted
            return truth

        return both


def changed_conditions(model: Model, changed: Model) -> dict[_Owner, Condition] | None:
    """Conditions that are another one in `changed`, by their owner; None where more than conditions and shows is.

    Nothing, where only what functions show, and who wins over whom, is otherwise.
    """
    found: dict[_Owner, Condition] = {}
    back = changed
    for written in every_written(model, moves=True):
        before, after = written.read(model), written.read(changed)
        if before == after:
            continue
        if after is None:
            return None
        back = written.put(back, before)
        if written.section in ("on", "if"):
            move = changed.memories[written.at].moves[written.sub]
            both = [each for each in (move.on, move.condition) if each is not None]
            found["moves", written.at, written.sub] = both[0] if len(both) == 1 else And(tuple(both))
        else:
            found[written.section, written.at, written.sub] = after
    if found:
        return found if replace(back, digest=model.digest) == model else None
    same = list(_kept(model)) == list(_kept(changed))
    return found if same else None


def _asked(machine: Machine) -> list[object]:
    """What asks again for functions that can be held off."""
    held_off = 0
    for stop in machine.stops:
        held_off |= stop.functions if stop.asks else 0
    asked = [each.asked_by for place, each in enumerate(machine.functions) if held_off >> place & 1]
    if not any(each.memories for each in asked):
        return [asked]
    places = {event.at: event for event in machine.rounds.events}
    events = [[[places[at] for at in move.control_events] for move in moves] for moves in machine.rounds.moves]
    return [asked, [[[(each.kind, each.input, each.value) for each in one] for one in of_one] for of_one in events]]


def _kept(model: Model) -> Iterator[object]:
    """What decides in which states the machine can be."""
    for function in model.functions:
        yield function.name, function.rank, function.when, function.by, function.at_most, function.one_level
        yield [level.position for level in function.levels]
    yield model.inputs, model.words, model.memories, model.stops, model.limits, model.messages, model.cannot_be
