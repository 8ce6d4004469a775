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
from coachwright.control.bench_product import Apart, Product
from coachwright.control.bench_together import Node, Tape, Together
from coachwright.control.bench_walk import acted
from coachwright.control.machine import Machine, State
from coachwright.control.mutation_study import Count, Fate, Study, counts, tape
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
        fates = _fates(study, listed, wrong, progress)
        closer = _Closer(finder, study, [fate.mutation for fate in fates if fate.ends == "undecided"], progress)
        extra = closer.steps()
        listed = replace(listed, steps=(*listed.steps, *extra))
        return Closed(listed, tuple(closer.fate(fate, len(listed.steps) - len(extra), extra) for fate in fates))
    finally:
        finder.close()
        study.close()


def _fates(study: Study, listed: Listed, wrong: Sequence[Mutation], progress: Progress) -> list[Fate]:
    """How each mistake ends on the list as it is."""
    together = Together(study.moments, wrong)
    on_list = together.tape(tape(together.machine, [(each.from_power_up, each.acts) for each in listed.steps]))
    found = []
    for number, mutation in enumerate(wrong):
        progress("mistakes", number, len(wrong))
        at = together.caught_at(on_list, mutation)
        found.append(Fate(mutation, "caught", at) if at else study.survived(mutation))
    return found


class _Closer:
    """Looks for steps that show mistakes."""

    def __init__(self, finder: Finder, study: Study, left: Sequence[Mutation], progress: Progress) -> None:
        self.finder = finder
        self.study = study
        self.left = tuple(left)
        self.progress = progress
        self.moments = finder.moments
        self.machine: Machine = self.moments.machine
        self.together = Together(self.moments, self.left)
        self.start = self.together.node(finder.start)
        self.tapes: dict[Acts, Tape] = {}
        self.known: dict[Acts, None] = dict.fromkeys(found.acts for found in finder.found.values())
        self.asked: dict[int, Apart] = {}
        """What the prover said, by `id` of the mistake."""

    def steps(self) -> tuple[Step, ...]:
        """The fewest found that show all of those that can be shown."""
        shown: dict[Acts, int] = {}
        for number, mutation in enumerate(self.left):
            self.progress("gaps", number, len(self.left))
            if any(bits >> number & 1 for bits in shown.values()):
                continue
            acts = self._found(mutation)
            if acts is not None:
                shown[acts] = sum(1 << place for place, other in enumerate(self.left) if self._shows(acts, other))
        rows = list(shown)
        chosen = cover([shown[acts] for acts in rows]).chosen if rows else ()
        return tuple(
            self._step(rows[place], [each.text for at, each in enumerate(self.left) if shown[rows[place]] >> at & 1])
            for place in chosen
        )

    def fate(self, fate: Fate, before_n: int, extra: Sequence[Step]) -> Fate:
        """How a mistake ends on the list with these steps more, that come after `before_n` others."""
        if fate.ends != "undecided":
            return fate
        for number, step in enumerate(extra, start=before_n + 1):
            if self._shows(step.acts, fate.mutation):
                return Fate(fate.mutation, "caught", number)
        said = self._asked(fate.mutation)
        return replace(fate, ends="equivalent" if said.ends == "alike" else "undecided", why=said.why)

    def _step(self, acts: Acts, mistakes: Sequence[str]) -> Step:
        state = self.finder.start
        for act in acts:
            state = acted(self.machine, state, act)
        return step_at(self.finder, acts, state, mistakes)

    def _shows(self, acts: Acts, mutation: Mutation) -> bool:
        if acts not in self.tapes:
            self.tapes[acts] = self.together.tape(tape(self.together.machine, [(False, acts)]))
        return bool(self.together.caught_at(self.tapes[acts], mutation))

    def _found(self, mutation: Mutation) -> Acts | None:
        """Acts that show it: known ones, then where the solver sees it, then the shortest story, then nearby."""
        for acts in self.known:
            if self._shows(acts, mutation):
                return acts
        found = next((acts for acts in self._solved(mutation) if self._shows(acts, mutation)), None)
        found = found or self._told(mutation)
        if found is None and self._asked(mutation).ends != "alike":
            found = self._nearby(mutation, lost=False) or self._nearby(mutation, lost=True)
        if found is not None:
            self.known[found] = None
        return found

    def _asked(self, mutation: Mutation) -> Apart:
        """What the prover says of it."""
        if id(mutation) not in self.asked:
            try:
                self.asked[id(mutation)] = Product(self.moments.model, self.moments.eyes, mutation).decided()
            except ValueError as why:
                self.asked[id(mutation)] = Apart("undecided", str(why))
        return self.asked[id(mutation)]

    def _told(self, mutation: Mutation) -> Acts | None:
        """The shortest story in which it differs, where a person who does one thing after the other sees it."""
        story = self._asked(mutation).story
        if story is None:
            return None
        walker, acts = self.finder.walker, list[Act]()
        for settings, wait_ms in ((story.start, 0), *((act.settings, act.wait_ms) for act in story.acts)):
            acts += [walker.act(name, walker.choice(name).place(value)) for name, value in settings]
            acts += [waiting(-(-wait_ms // 1000) * 1000)] if not settings and wait_ms else []
        return tuple(acts) if self._shows(tuple(acts), mutation) else None

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

        lost : a source of what it is about is unplugged, and plugged in again.
        """
        names = [name for name in self.finder.names if name in mutation.reads]
        contexts = self._contexts(mutation)
        apart: list[_Pair] = []
        for pair in contexts:
            for after in self._begun(mutation, pair, names, lost=lost):
                if self._differ(mutation, after):
                    return after.acts
                if after.stand_apart:
                    apart.append(after)
        if not apart and not lost:  # two acts before anything stands apart
            for pair in sorted(contexts, key=lambda pair: len(pair.acts))[:CONTEXTS_TWICE]:
                for begun in self._begun(mutation, pair, names):
                    apart += [after for after in self._begun(mutation, begun, names) if after.stand_apart]
        return self._further(mutation, sorted(apart, key=lambda pair: len(pair.acts))[:APART_FIRST])

    def _begun(self, mutation: Mutation, pair: _Pair, names: Sequence[str], *, lost: bool = False) -> Iterator[_Pair]:
        """One act more, and after it a wait, if there is one. lost : unplugged, and plugged in elsewhere."""
        for begun in self._tried(mutation, pair, names, lost=lost):
            yield begun
            unplugged = [begun.acts[-1].name] if lost and begun.acts[-1].name else []  # none after a wait
            if not lost or unplugged:
                yield from self._tried(mutation, begun, unplugged)

    def _further(self, mutation: Mutation, waits: list[_Pair]) -> Acts | None:
        """From pairs that stand apart unseen, any acts until it is seen."""
        for pair in waits:
            if self._differ(mutation, pair):
                return pair.acts
        seen = {pair.key for pair in waits}
        for pair in waits:  # grows while it is gone through
            for after in self._tried(mutation, pair, self.finder.names):
                if self._differ(mutation, after):
                    return after.acts
                if after.stand_apart and after.key not in seen and len(waits) < APART_MOST:
                    seen.add(after.key)
                    waits.append(after)
        return None

    def _contexts(self, mutation: Mutation) -> list[_Pair]:
        """Both machines along every known way."""
        found: dict[tuple[Node, State | None], _Pair] = {}
        for acts in self.known:
            pair = _Pair(self.start, self.together.start(mutation, self.start), ())
            found.setdefault(pair.key, pair)
            for act in acts:
                pair = self._after(mutation, pair, act)
                found.setdefault(pair.key, pair)
        return list(found.values())[:CONTEXTS_MOST]

    def _tried(self, mutation: Mutation, pair: _Pair, names: Sequence[str], *, lost: bool = False) -> Iterator[_Pair]:
        walker = self.finder.walker
        reads = dict(walker.stands(pair.right.state).reads)
        for name in names if lost else ():
            yield self._after(mutation, pair, Act(name, LOST, 0, f"{name} unplugged"))
        for name in () if lost else names:
            for place in range(len(walker.choice(name).values)):
                if place != reads[name]:
                    act = walker.act(name, place)
                    if self._may_stand(self.together.passed(pair.right, act).node):
                        yield self._after(mutation, pair, act)
        for wait_ms in sorted(self.together.ends_next_ms(mutation, pair.right, pair.wrong)):
            yield self._after(mutation, pair, waiting(-(-wait_ms // 1000) * 1000))

    def _may_stand(self, node: Node) -> bool:
        if node.may_stand is None:
            node.may_stand = self.finder.walker.may_stand(node.state)
        return node.may_stand

    def _after(self, mutation: Mutation, pair: _Pair, act: Act) -> _Pair:
        passed = self.together.passed(pair.right, act)
        return _Pair(passed.node, self.together.follow(mutation, pair.right, pair.wrong, passed), (*pair.acts, act))

    def _differ(self, mutation: Mutation, pair: _Pair) -> bool:
        return self.together.differ(mutation, pair.right, pair.wrong)


@dataclass(frozen=True, slots=True)
class _Pair:
    """The right machine and the wrong one after the same acts. wrong : None while it stands as the right one."""

    right: Node
    wrong: State | None
    acts: Acts

    @property
    def key(self) -> tuple[Node, State | None]:
        """Where the two stand."""
        return self.right, self.wrong

    @property
    def stand_apart(self) -> bool:
        """Does memory, a time that is over or a hold-off stand otherwise, seen or not?"""
        if self.wrong is None:
            return False
        one, other = (
            (state.memory, [min(left, 1) for left in state.timers], state.held_off, state.reading.kept)
            for state in (self.right.state, self.wrong)
        )
        return one != other
