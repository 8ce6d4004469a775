"""Does a promise hold in every state that any story reaches? Proved, broken with a story, or undecided.

    1. No moment at all breaks it, reached or not: proved.
    2. A row of moments from power-up breaks it, and the row can be acted out through the machine's step: broken.
    3. It holds at power-up and every step keeps it, with the help of what is always true of memories: proved.
    4. Otherwise undecided, and never green.

See Also
--------
coachwright.control.unrolled, coachwright.control.lemmas, coachwright.control.acted : how.
coachwright.control.witness : the same question over every setting, asked in another way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from coachwright.build.model import Input, Model, Promise
from coachwright.control.acted import acted_out, row_of
from coachwright.control.asleep import reads_off, sleep_of
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.comes_to_rest import how_they_rest
from coachwright.control.cone import Control, control_of, model_of
from coachwright.control.encode import Moment
from coachwright.control.frame import Frame, Pair, all_rules
from coachwright.control.lemmas import always_true, candidates
from coachwright.control.lies import Lie
from coachwright.control.machine import build_machine
from coachwright.control.needed import needed_for
from coachwright.control.promised import Promised
from coachwright.control.related_timers import relate_timers
from coachwright.control.run import Acted, Watched
from coachwright.control.sat import Solution, Solver
from coachwright.control.shown import Shown
from coachwright.control.signals import PARKS, SPEED
from coachwright.control.situations import by_machine
from coachwright.control.sources import Fault
from coachwright.control.unrolled import Unrolled
from coachwright.control.witness import Witness, witness
from coachwright.kit.once import once

State = Literal["proved", "broken", "undecided"]

SHALLOW, DEEP = 3, 8
"""Moments after power-up that are looked at before and after looking for a proof."""
MOST_ROWS = 24
"""Rows of moments that break a promise on paper and are tried on the machine."""
MOST_STEPS_BACK = 4
"""Moments in a row that a proof may assume."""


@dataclass(frozen=True, slots=True)
class Proof:
    """How one promise ends.

    Parameters
    ----------
    how : in words, for those who want to know why.
    story : of a broken one. rows_n : rows that looked as if they broke it and could not be acted out.
    lemmas_n : facts about memories that the proof rests on.
    """

    promise: str
    state: State
    how: str
    story: Acted | None = None
    rows_n: int = 0
    lemmas_n: int = 0


@by_machine
def prove(model: Model, promise: Promise) -> Proof:
    """The proof of one promise of a build. An edit that it doesn't depend on changes nothing and costs nothing."""
    return _proved(control_of(needed_for(model, promise)))


@once(max_bytes=8_000_000)
def _proved(control: Control) -> Proof:
    needed = model_of(control)
    (promise,) = needed.promises
    return answered(Question(Watched(needed, promise), over_a_moment(needed, promise)))


def over_a_moment(
    needed: Model,
    promise: Promise,
    *,
    under_fault_of: Input | None = None,
    apart: Mapping[str, frozenset[float]] | None = None,
) -> Promised:
    """The promise over one moment of the build's machine, with what its times say of each other.

    under_fault_of : an input whose source lies in some of the moments. apart : further numbers that are told apart.
    """
    told_apart = dict(apart or {})
    if under_fault_of is not None and under_fault_of.lost == PARKS:
        told_apart[SPEED] = told_apart.get(SPEED, frozenset()) | {0.0}
    moment = Moment(needed, build_machine(needed), apart=told_apart)
    promised = Promised(moment, Shown(moment), promise, under_fault=under_fault_of is not None)
    relate_timers(moment)
    return promised


def second_witness(model: Model, promise: Promise) -> Witness:
    """Every setting of one moment, gone through without a solver.

    A promise that is proved by more than one moment may have settings that break it here: no story leads to them.
    """
    return _gone_through(control_of(needed_for(model, promise)))


@once(max_bytes=1_000_000)
def _gone_through(control: Control) -> Witness:
    needed = model_of(control)
    promised = over_a_moment(needed, needed.promises[0])
    moment = promised.moment
    return witness(moment.circuit, promised.broken, [*moment.rules, *moment.rules_at_rest])


@dataclass(frozen=True, slots=True)
class Question:
    """A promise over a moment.

    lie : while a source lies from some moment on: how it does. stuck : inputs that read one place from power-up on,
    because of these faults. free : inputs that read whatever they like. in_step : timers that may count alike.
    """

    watched: Watched
    promised: Promised
    lie: Lie | None = None
    stuck: Mapping[str, int] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    free: frozenset[str] = frozenset()
    in_step: tuple[Pair, ...] = ()

    @property
    def moment(self) -> Moment:
        """What the promise is read over."""
        return self.promised.moment


def answered(question: Question, *, facts: Sequence[int] = ()) -> Proof:
    """Proved, broken or undecided. facts : further literals of the moment that might always be true."""
    moment, promised = question.moment, question.promised
    name = question.watched.promise.name
    if not _can_be(question):
        return Proof(name, "proved", "no setting of anything it depends on breaks it")
    unrolled = unrolled_of(question)
    frames = [unrolled.start()]
    tried = _Tried(question.watched, unrolled, question.faults)
    story = tried.rows(frames, SHALLOW)
    if story is not None:
        return Proof(name, "broken", "a story breaks it", story, tried.rows_n)
    lemmas = always_true(unrolled, (*candidates(moment, promised), *facts))
    if -promised.broken in lemmas:
        how = "it holds at power-up, and every step keeps it"
        return Proof(name, "proved", how, rows_n=tried.rows_n, lemmas_n=len(lemmas) - 1)
    steps_n = _steps_back(unrolled, lemmas, tried)
    if steps_n:
        how = f"it holds in the first {steps_n} moments, and every {steps_n} moments keep it"
        return Proof(name, "proved", how, rows_n=tried.rows_n, lemmas_n=len(lemmas))
    story = tried.rows(frames, DEEP)
    if story is not None:
        return Proof(name, "broken", "a story breaks it", story, tried.rows_n)
    how = f"neither a proof nor a story of up to {DEEP} moments was found"
    return Proof(name, "undecided", how, rows_n=tried.rows_n, lemmas_n=len(lemmas))


def unrolled_of(question: Question) -> Unrolled:
    """Its moments in a row."""
    return Unrolled(
        question.moment,
        question.promised,
        lie=question.lie,
        free=question.free,
        stuck=question.stuck,
        in_step=question.in_step,
        rests_at_once=rests_at_once(question.moment),
    )


def rests_at_once(moment: Moment) -> bool:
    """Do its memories come to rest in every moment without coming back? Then less has to be asked."""
    return how_they_rest(moment.model, moment.model.memories) == "at once"


def _can_be(question: Question) -> bool:
    """Is there a moment that breaks it, whether or not a story leads there?"""
    moment, broken = question.moment, question.promised.broken
    if broken == FALSE:
        return False
    reads = reads_while_lying(moment, question.lie) if question.lie is not None else TRUE
    stuck = [reads_one_of(moment, name, [place]) for name, place in question.stuck.items()]
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        return solver.can_be(broken, reads, *stuck)
    finally:
        solver.close()


def reads_while_lying(moment: Moment, lie: Lie) -> int:
    """Literal: the input reads what it may while its source lies, or what it reads asleep."""
    return TRUE if lie.places is None else reads_one_of(moment, lie.input, sorted(lie.places))


def reads_one_of(moment: Moment, name: str, places: Sequence[int]) -> int:
    """Literal: an input reads one of these places, or what it reads asleep."""
    literals = moment.inputs[name].literals
    asleep = [literals[0]] if reads_off(moment.model.input(name)) and sleep_of(moment.model) is not None else []
    return moment.circuit.any_of((*(literals[place] for place in places), *asleep))


def kept_whatever_it_reads(promised: Promised, free: frozenset[str]) -> bool:
    """Does it hold at power-up and does every step keep it, while these inputs read whatever they like? Sure when True.

    Each fault of one of them is among what it then does, whenever it begins, and so is a loss and a return.
    """
    moment = promised.moment
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        if promised.broken == FALSE or not solver.can_be(promised.broken):
            return True
    finally:
        solver.close()
    unrolled = Unrolled(moment, promised, free=free, rests_at_once=rests_at_once(moment))
    return -promised.broken in always_true(unrolled, candidates(moment, promised))


class _Tried:
    """Rows of moments from power-up that break a promise on paper, tried on the machine."""

    def __init__(self, watched: Watched, unrolled: Unrolled, faults: tuple[Fault, ...]) -> None:
        self.watched = watched
        self.unrolled = unrolled
        self.faults = faults
        self.rows_n = 0
        self.looked_n = 0
        self.clean_n = 0
        """Moments from power-up that nothing breaks, even on paper."""

    def rows(self, frames: list[Frame], most: int) -> Acted | None:
        """The first row of at most `most` moments after power-up that the machine confirms."""
        while True:
            at = len(frames) - 1
            if at >= self.looked_n:
                rows_n = self.rows_n
                story = self._breaking(frames)
                self.looked_n = at + 1
                if story is None and self.rows_n == rows_n and self.clean_n == at:
                    self.clean_n = at + 1
                if story is not None:
                    return story
            if at >= most or self.rows_n >= MOST_ROWS:
                return None
            frames.append(self.unrolled.after(frames[-1]))

    def _breaking(self, frames: list[Frame]) -> Acted | None:
        rules = all_rules(frames)
        solver = Solver(self.unrolled.circuit, rules)
        costly: list[int] = []
        for before, frame in pairwise(frames):
            turned = [-self.unrolled.circuit.same(before.asleep, frame.asleep)]
            turned.append(-self.unrolled.circuit.same(before.lying, frame.lying))
            changes = [*frame.changed.values(), *turned]
            # A moment in which nothing changes is no step of its own: the end of a time that the next one waits for.
            costly += [*changes, frame.boot, self.unrolled.circuit.any_of(changes)]
        first = [choice.away for choice in self.unrolled.moment.inputs.values() if choice.away != FALSE]
        away = self.unrolled.moment.circuit.copied(first, self.unrolled.circuit, dict(frames[0].values))
        costly += away
        try:
            while self.rows_n < MOST_ROWS:
                found = solver.fewest([frames[-1].broken], [each for each in costly if each != FALSE])
                if found is None:
                    return None
                row = row_of(self.unrolled, frames, found[0])
                story = acted_out(self.watched, row, self.unrolled.moment, self.unrolled.heard.lie, faults=self.faults)
                if story is not None:
                    return story
                self.rows_n += 1
                rules.append(-self.unrolled.circuit.all_of(_skeleton(frames, found[0])))
            return None
        finally:
            solver.close()


def _skeleton(frames: list[Frame], solution: Solution) -> list[int]:
    """What made this row this row: who was changed when, and which times had passed."""
    found = []
    for frame in frames:
        literals = [*frame.changed.values(), *(frame.values[each] for each in frame.inside)]
        literals += [frame.asleep, frame.lying]
        literals = [each for each in literals if abs(each) != 1]
        found += [each if true else -each for each, true in zip(literals, solution.holds(*literals), strict=True)]
    return found


def _steps_back(unrolled: Unrolled, lemmas: tuple[int, ...], tried: _Tried) -> int:
    """How many unbroken moments in a row make the next one unbroken; 0 when none of those tried do."""
    source, circuit = unrolled.moment.circuit, unrolled.circuit
    frames = [unrolled.anywhere()]
    for steps_n in range(1, MOST_STEPS_BACK + 1):
        frames.append(unrolled.after(frames[-1]))
        if steps_n == 1 or tried.clean_n < steps_n:
            continue
        known = [literal for frame in frames for literal in source.copied(list(lemmas), circuit, dict(frame.values))]
        solver = Solver(circuit, [*all_rules(frames), *known])
        try:
            if not solver.can_be(frames[-1].broken, *(-frame.broken for frame in frames[:-1])):
                return steps_n
        finally:
            solver.close()
    return 0


def proofs(model: Model) -> tuple[Proof, ...]:
    """One for each promise of the build, in the order of the file."""
    return tuple(prove(model, promise) for promise in model.promises)
