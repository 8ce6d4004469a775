"""Can a mistake ever be seen? Both machines side by side as one build, and the promise that they never differ.

One moment proves nothing where memory, a timer or a hold-off comes to stand otherwise by the mistake. Here the two go
on together from power-up, and the prover is asked: no story leads to where they would be seen to differ, or there is a
story, the shortest, or neither is found. What counts as a difference is what a person at the bench sees and hears.

See Also
--------
coachwright.control.bench_twins : the one build. coachwright.control.prove : the prover.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal, cast

from coachwright.build.condition import First, Held
from coachwright.build.model import Model, Promise
from coachwright.control.bench_leaves import renamed
from coachwright.control.bench_seen import Eyes, Sight
from coachwright.control.bench_twins import TWIN, Twins, twins
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.frame import Pair
from coachwright.control.lemmas import always_true, candidates, read_by_moves
from coachwright.control.machine import Instant, build_machine, outputs_at
from coachwright.control.mutations import Mutation, read_as_swapped, stuck_place
from coachwright.control.promised import Promised
from coachwright.control.prove import Question, answered, reads_one_of, unrolled_of
from coachwright.control.related_timers import relate_timers
from coachwright.control.run import Acted, Watched
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.sources import Fault

MOST_FACTS = 1000
SIDE_BY_SIDE = "proved for both builds side by side: no story leads to where they would be seen to differ"

Ends = Literal["alike", "different", "undecided"]


@dataclass(frozen=True, slots=True)
class Apart:
    """How the two compare. story : of a difference; why : of a proof, or of what can't be decided."""

    ends: Ends
    why: str
    story: Acted | None = None


def never_apart(model: Model, mutation: Mutation) -> str:
    """How it was proved that nothing that is seen ever differs; "" when it wasn't."""
    try:
        return Product(model, Eyes(model), mutation).never_apart()
    except ValueError:
        return ""


class Product:
    """One mistake beside the build without it.

    Raises
    ------
    ValueError : for a mistake that isn't one of the program or of a single input, or that reorders ranks.
    """

    def __init__(self, model: Model, eyes: Eyes, mutation: Mutation) -> None:
        self.twins = _twins(model, mutation)
        self.eyes = eyes.with_twins(self.twins.model, {f"{each}{TWIN}": each for each in self.twins.twinned})
        self._stuck = mutation.stuck
        self._known: Question | None = None

    def never_apart(self) -> str:
        """How it was proved that they are never seen to differ; "" when it wasn't. Quick: no story is looked for."""
        question = self._question()
        moment, promised = question.moment, question.promised
        solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
        try:
            stuck = [reads_one_of(moment, name, [place]) for name, place in question.stuck.items()]
            if promised.broken == FALSE or not solver.can_be(promised.broken, *stuck):
                return SIDE_BY_SIDE
        finally:
            solver.close()
        kept = always_true(unrolled_of(question), (*candidates(moment, promised), *_facts(question)))
        return SIDE_BY_SIDE if -promised.broken in kept else ""

    def decided(self) -> Apart:
        """Whether they are ever seen to differ, with the shortest story; looks for long."""
        question = self._question()
        proof = answered(question, facts=_facts(question))
        match proof.state:
            case "proved":
                return Apart("alike", SIDE_BY_SIDE)
            case "broken":
                return Apart("different", proof.how, proof.story)
            case _:
                return Apart("undecided", proof.how)

    def _question(self) -> Question:
        if self._known is None:
            both, promise = self.twins.model, self.twins.promise
            moment = Moment(both, build_machine(both))
            promised = Promised(moment, Shown(moment), promise)
            promised.wrong = moment.circuit.any_of([promised.wrong, *self._differ(moment)])
            relate_timers(moment)
            in_step = _in_step(moment)
            stuck, faults = self._of_fault(moment)
            self._known = Question(
                _Watched(both, promise, self),
                promised,
                stuck=stuck,
                faults=faults,
                free=frozenset(moment.inputs),  # a source may be unplugged, moved and plugged in again
                in_step=in_step,
            )
        return self._known

    def _of_fault(self, moment: Moment) -> tuple[Mapping[str, int], tuple[Fault, ...]]:
        if self._stuck is None:
            return {}, ()
        name = f"{self._stuck.input}{TWIN}"
        if name not in moment.inputs:  # nothing that is seen depends on it
            return {}, ()
        return {name: stuck_place(moment.inputs[name], self._stuck)}, (replace(self._stuck, input=name),)

    def _differ(self, moment: Moment) -> Iterable[int]:
        """Literals: something that stands there twice isn't seen twice."""
        mine, theirs = dict[Sight, int](), dict[Sight, int]()
        for sight, literal in self.eyes.literals(moment).items():
            name = sight.name.removesuffix(TWIN)
            if name in self.twins.twinned and sight.kind not in ("message", "tell-tale"):
                (mine if sight.name == name else theirs)[replace(sight, name=name)] = literal
        for sight in dict.fromkeys((*mine, *theirs)):
            one, other = mine.get(sight, FALSE), theirs.get(sight, FALSE)
            if one != other:
                yield -moment.circuit.same(one, other)

    def seen_apart(self, seen: Iterable[Sight]) -> bool:
        """Is something that stands there twice seen once?"""
        mine, theirs = set[Sight](), set[Sight]()
        for sight in seen:
            name = sight.name.removesuffix(TWIN)
            if name in self.twins.twinned and sight.kind not in ("message", "tell-tale"):
                (mine if sight.name == name else theirs).add(replace(sight, name=name))
        return mine != theirs


class _Watched(Watched):
    """Both machines as one, told when what they show differs."""

    def __init__(self, model: Model, promise: Promise, product: Product) -> None:
        super().__init__(model, promise)
        self.product = product

    def sees(self, instant: Instant, armed: bool) -> tuple[bool, bool]:
        """Do they differ in this moment?"""
        said = instant.watched[0]
        return said or self.product.seen_apart(self.product.eyes.seen(outputs_at(self.machine, instant))), armed


def _twins(model: Model, mutation: Mutation) -> Twins:
    if mutation.changed is not None:
        return twins(model, mutation.changed)
    if mutation.swapped is not None:
        return twins(model, read_as_swapped(model, mutation.swapped))
    if mutation.stuck is not None and model.input(mutation.stuck.input).kind not in ("turn-wire", "hazard"):
        return twins(model, model, apart=(mutation.stuck.input,))
    raise ValueError("a stuck turn wire or exchanged outputs are not asked of both builds side by side")


def _in_step(moment: Moment) -> tuple[Pair, ...]:
    """Timers that stand there twice, with the rule that two that have as much left are over together."""
    variables, circuit = set(moment.circuit.variables.values()), moment.circuit
    names = [*moment.inputs, *moment.memories, *moment.words]
    twin = {name: f"{name}{TWIN}" for name in names if f"{name}{TWIN}" in names}
    found = []
    for timed, literal in list(moment.timed.items()):
        other = moment.timed.get(cast("Held", renamed(timed, twin)))
        if isinstance(timed, First) or other in (None, literal) or not {literal, other} <= variables:
            continue
        pair = Pair(circuit.variable(("in step", timed)), literal, other, isinstance(timed, Held))
        moment.rules.append(circuit.implies(pair.literal, circuit.same(literal, other)))
        found.append(pair)
    return tuple(found)


def _facts(question: Question) -> list[int]:
    """Each value of a memory stands in both or in neither: always, or while a word, an input or a function says so.

    Of timers: both have as much left. Of hold-offs: both wait.
    """
    moment, circuit = question.moment, question.moment.circuit
    pairs = [name for name in moment.memories if f"{name}{TWIN}" in moment.memories]
    guards = [TRUE]
    for condition in moment.words.values():
        guards += [moment.condition(condition), -moment.condition(condition)]
    guards += [literal for name in read_by_moves(moment, pairs) for literal in moment.inputs[name].literals]
    guards += [each.wanting for each in moment.functions.values()]
    found: dict[int, None] = {}
    for name in pairs:
        one, other = moment.memories[name], moment.memories[f"{name}{TWIN}"]
        for guard in dict.fromkeys(guards):
            for mine, twin in zip(one.literals, other.literals, strict=True):
                fact = circuit.implies(guard, circuit.same(mine, twin))
                if fact not in (TRUE, FALSE):
                    found[fact] = None
    for name, bit in moment.held_off_bits.items():
        if f"{name}{TWIN}" in moment.held_off_bits:
            found[circuit.same(bit, moment.held_off_bits[f"{name}{TWIN}"])] = None
    return [*(pair.literal for pair in question.in_step), *list(found)[:MOST_FACTS]]
