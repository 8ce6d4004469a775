"""The list with its gaps closed: for every mistake that it misses, a step is looked for that shows it.

First among all settings that are known, then where the solver says that something would be seen otherwise, then in the
neighbourhood of every way that is known: one or two acts more, on the right machine and the wrong one side by side.
What is found for one mistake is tried on all, and the fewest are taken. What isn't found is said; a mistake of memory
that no story shows is asked of the prover.

See Also
--------
coachwright.control.mutation_study : what the list misses. coachwright.control.bench_product : asks the prover.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from coachwright.build.model import Model
from coachwright.control.bench import Listed, Progress, Step, listed_by, step_at
from coachwright.control.bench_asked import Asked, Moments, everything_asked
from coachwright.control.bench_cover import cover
from coachwright.control.bench_find import Finder
from coachwright.control.bench_product import never_apart
from coachwright.control.bench_walk import acted
from coachwright.control.machine import Machine, State, ends_next_ms, outputs_of
from coachwright.control.mutation_study import (
    Count,
    Fate,
    Mark,
    Sights,
    Study,
    Wired,
    act_on_tape,
    counts,
    looks,
    tape,
    wired,
)
from coachwright.control.mutations import KINDS, Kind, Mutation
from coachwright.control.sources import LOST
from coachwright.control.story import Act, waiting

CONTEXTS_MOST, CONTEXTS_TWICE, APART_FIRST, APART_MOST = 400, 30, 12, 80
"""Ways begun from which one act more is tried, and two; pairs apart unseen: to go on from at first, and in all."""
TRIES = 4
"""Settings the solver is asked for, per mistake."""

Acts = tuple[Act, ...]


@dataclass(frozen=True, slots=True)
class Closed:
    """A list that catches what can be caught, and how every mistake ends on it."""

    listed: Listed
    fates: tuple[Fate, ...]

    @property
    def counts(self) -> tuple[Count, ...]:
        """A row per kind."""
        return counts(self.fates)


def closed_bench(
    model: Model,
    *,
    kinds: Sequence[Kind] = KINDS,
    every: int = 1,
    progress: Progress = lambda doing, done, of: None,
) -> Closed:
    """The list of a build, closed against mistakes of these kinds. every : of those only each so-manieth."""
    moments = Moments(model)
    finder, study = Finder(moments, everything_asked(moments)), Study(moments)
    try:
        listed = listed_by(finder, progress)
        wrong = study.every(kinds)[::every]
        fates = study.fates(listed, wrong, progress)
        left = [fate.mutation for fate in fates if fate.ends == "undecided"]
        extra = _Closer(finder, study, progress).steps(left)
        listed = replace(listed, steps=(*listed.steps, *extra))
        return Closed(listed, _fates_after(study, listed, fates, extra))
    finally:
        finder.close()
        study.close()


def _fates_after(study: Study, listed: Listed, fates: Sequence[Fate], extra: Sequence[Step]) -> tuple[Fate, ...]:
    moments = study.moments
    marks = tape(moments.machine, [(number > 0, each.acts) for number, each in enumerate(extra)])
    expected = list(looks(wired(moments), marks))
    before_n = len(listed.steps) - len(extra)
    found = []
    for fate in fates:
        at = study.caught_at(marks, expected, fate.mutation) if fate.ends == "undecided" and extra else 0
        if at:
            found.append(Fate(fate.mutation, "caught", before_n + at))
        else:
            found.append(_proved(moments, fate) if fate.ends == "undecided" else fate)
    return tuple(found)


def _proved(moments: Moments, fate: Fate) -> Fate:
    why = never_apart(moments.model, fate.mutation)
    if why:
        return replace(fate, ends="equivalent", why=why)
    return replace(fate, why="nothing that was tried shows it, and no proof was found that nothing can")


class _Closer:
    """Looks for steps that show mistakes."""

    def __init__(self, finder: Finder, study: Study, progress: Progress) -> None:
        self.finder = finder
        self.study = study
        self.progress = progress
        self.moments = finder.moments
        self.machine: Machine = self.moments.machine
        self.tapes: dict[Acts, tuple[tuple[Mark, ...], list[Sights]]] = {}
        self.known: dict[Acts, None] = dict.fromkeys(found.acts for found in finder.found.values())

    def steps(self, left: Sequence[Mutation]) -> tuple[Step, ...]:
        """The fewest found that show all of those that can be shown."""
        shown: dict[Acts, int] = {}
        for number, mutation in enumerate(left):
            self.progress("gaps", number, len(left))
            if any(bits >> number & 1 for bits in shown.values()):
                continue
            acts = self._found(mutation)
            if acts is not None:
                shown[acts] = sum(1 << place for place, other in enumerate(left) if self._shows(acts, other))
        rows = list(shown)
        chosen = cover([shown[acts] for acts in rows]).chosen if rows else ()
        return tuple(
            self._step(rows[place], [left[at].text for at in range(len(left)) if shown[rows[place]] >> at & 1])
            for place in chosen
        )

    def _step(self, acts: Acts, mistakes: Sequence[str]) -> Step:
        state = self.finder.start
        for act in acts:
            state = acted(self.machine, state, act)
        return step_at(self.finder, acts, state, mistakes)

    def _shows(self, acts: Acts, mutation: Mutation) -> bool:
        if acts not in self.tapes:
            marks = tape(self.machine, [(False, acts)])
            self.tapes[acts] = (marks, list(looks(wired(self.moments), marks)))
        return bool(self.study.caught_at(*self.tapes[acts], mutation))

    def _found(self, mutation: Mutation) -> Acts | None:
        for acts in self.known:
            if self._shows(acts, mutation):
                return acts
        for acts in self._solved(mutation):
            if self._shows(acts, mutation):
                self.known[acts] = None
                return acts
        found = self._nearby(mutation, lost=False) or self._nearby(mutation, lost=True)
        if found is not None:
            self.known[found] = None
        return found

    def _solved(self, mutation: Mutation) -> Iterator[Acts]:
        """Ways to settings in which the solver sees a difference."""
        literal = self.study.apart(mutation)
        for _ in range(TRIES):
            found = self.finder.also(Asked("mistake", mutation.kind, mutation.text, literal))
            if found is None:
                return
            yield found.acts
            literal = self.moments.circuit.all_of((literal, -self.finder.same_reads(found.place)))

    # ------------------------------------------------------------------------------------------------ side by side
    def _nearby(self, mutation: Mutation, *, lost: bool) -> Acts | None:
        """A few acts more than a known way, or than its beginning: first one of what the mistake is about, then any.

        lost : a source of what it is about is unplugged.
        """
        wrong = self.study.wired(mutation)
        names = [name for name in self.finder.names if name in mutation.reads]
        contexts = self._contexts(wrong)
        apart: list[_Pair] = []
        for pair in contexts:
            for after in self._begun(wrong, pair, names, lost=lost):
                if self._differ(wrong, after):
                    return after.acts
                if after.stand_apart:
                    apart.append(after)
        if not apart and not lost:  # two acts before anything stands apart
            for pair in sorted(contexts, key=lambda pair: len(pair.acts))[:CONTEXTS_TWICE]:
                for begun in self._begun(wrong, pair, names):
                    apart += [after for after in self._begun(wrong, begun, names) if after.stand_apart]
        return self._further(wrong, sorted(apart, key=lambda pair: len(pair.acts))[:APART_FIRST])

    def _begun(self, wrong: Wired, pair: _Pair, names: Sequence[str], *, lost: bool = False) -> Iterator[_Pair]:
        """One act more, and after it a wait, if there is one."""
        for begun in self._tried(wrong, pair, names, lost=lost):
            yield begun
            yield from self._tried(wrong, begun, ())

    def _further(self, wrong: Wired, waits: list[_Pair]) -> Acts | None:
        """From pairs that stand apart unseen, any acts until it is seen."""
        for pair in waits:
            if self._differ(wrong, pair):
                return pair.acts
        seen = {(pair.right, pair.wrong) for pair in waits}
        for pair in waits:  # grows while it is gone through
            for after in self._tried(wrong, pair, self.finder.names):
                if self._differ(wrong, after):
                    return after.acts
                if after.stand_apart and (after.right, after.wrong) not in seen and len(waits) < APART_MOST:
                    seen.add((after.right, after.wrong))
                    waits.append(after)
        return None

    def _contexts(self, wrong: Wired) -> list[_Pair]:
        """Both machines along every known way."""
        found: dict[tuple[State, State], _Pair] = {}
        for acts in self.known:
            pair = _Pair(self.finder.start, wrong.start(), ())
            found.setdefault((pair.right, pair.wrong), pair)
            for act in acts:
                pair = self._after(wrong, pair, act)
                found.setdefault((pair.right, pair.wrong), pair)
        return list(found.values())[:CONTEXTS_MOST]

    def _tried(self, wrong: Wired, pair: _Pair, names: Sequence[str], *, lost: bool = False) -> Iterator[_Pair]:
        walker = self.finder.walker
        reads = dict(walker.stands(pair.right).reads)
        for name in names if lost else ():
            yield self._after(wrong, pair, Act(name, LOST, 0, f"{name} unplugged"))
        for name in () if lost else names:
            for place in range(len(walker.choice(name).values)):
                if place != reads[name]:
                    after = self._after(wrong, pair, walker.act(name, place))
                    if walker.may_stand(after.right):
                        yield after
        ends_ms = {ends_next_ms(self.machine, pair.right), ends_next_ms(wrong.machine, pair.wrong)} - {0}
        for wait_ms in sorted(ends_ms):
            yield self._after(wrong, pair, waiting(-(-wait_ms // 1000) * 1000))

    def _after(self, wrong: Wired, pair: _Pair, act: Act) -> _Pair:
        marks: list[Mark] = []
        right, other = act_on_tape(self.machine, pair.right, act, marks), pair.wrong
        for mark in marks:
            other = wrong.step(other, mark)
        return _Pair(right, other, (*pair.acts, act))

    def _differ(self, wrong: Wired, pair: _Pair) -> bool:
        return self.moments.eyes.seen(outputs_of(self.machine, pair.right)) != wrong.seen(pair.wrong)


@dataclass(frozen=True, slots=True)
class _Pair:
    """The right machine and the wrong one after the same acts."""

    right: State
    wrong: State
    acts: Acts

    @property
    def stand_apart(self) -> bool:
        """Does memory, a time that is over or a hold-off stand otherwise, seen or not?"""
        one, other = (
            (state.memory, [min(left, 1) for left in state.timers], state.held_off, state.reading.kept)
            for state in (self.right, self.wrong)
        )
        return one != other
