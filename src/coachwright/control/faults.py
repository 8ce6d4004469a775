"""Does a promise hold while one wire, bus value or control doesn't tell the truth?

Every input a promise depends on sticks at each of its values, and falls silent, one at a time, in any moment of any
story, and stays so. The promise is asked twice: what it asks about (`when`) as the machine reads it, and as it truly
stands.

    holds       no state breaks it, either way
    broken      a story breaks it as the machine reads it
    blind       what it asks about truly holds, the machine can't know, and the promise isn't kept
    not asked   what it asks about can't hold under this fault, either way
    undecided   neither a proof nor a story was found: never green

As the machine reads it, one proof can answer for all faults of an input: that the promise holds while the input reads
whatever it likes. Where it doesn't, each fault is asked by itself, from the moment on in which it begins.

See Also
--------
coachwright.control.prove : without faults.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.condition import And, Condition, First, Held, Not
from coachwright.build.model import Input, Model, Promise
from coachwright.control.acted_blind import acted_blind
from coachwright.control.choices import Choice, Value, bits_of, input_choice, thresholds_of
from coachwright.control.circuit import FALSE, Circuit
from coachwright.control.compiled import SUPPLY
from coachwright.control.cone import Control, control_of, model_of
from coachwright.control.encode import Moment
from coachwright.control.frame import TRUE_READING
from coachwright.control.functions import names_through_words
from coachwright.control.lemmas import always_true, candidates
from coachwright.control.lies import Lie, loss, stands_still, stuck_at
from coachwright.control.needed import needed_for
from coachwright.control.promised import Promised
from coachwright.control.prove import Question, answered, kept_whatever_it_reads, over_a_moment, rests_at_once
from coachwright.control.run import Acted, Settings, Watched
from coachwright.control.sat import Solver
from coachwright.control.situations import by_machine
from coachwright.control.sources import LOST
from coachwright.control.unrolled import Unrolled
from coachwright.kit.once import once

State = Literal["holds", "broken", "blind", "undecided", "not asked"]
_WORST = ("broken", "undecided", "blind", "holds", "not asked")


@dataclass(frozen=True, slots=True)
class UnderFault:
    """How a promise ends under one fault.

    stuck_at : value or ``lost``; words : the same as a person says it, "" where that is no other.
    story : of a broken or blind one, where one was found.
    """

    input: str
    stuck_at: str
    state: State
    story: Acted | None = None
    words: str = ""

    @property
    def fault(self) -> str:
        """``speed stuck above 25 mph``, ``hatch lost``."""
        usual = "lost" if self.stuck_at == LOST else f"stuck at {self.stuck_at}"
        return f"{self.input} {self.words or usual}"

    def __str__(self) -> str:
        return f"{self.fault}: {self.state}"


@by_machine
def kept_whatever_is_read(model: Model, promise: Promise) -> bool:
    """Does no moment at all break it, whatever any input reads, alone and together with others? Sure only when True.

    Then no source that lies breaks it, and none needs to be asked. A promise with a `when` may be blind all the same.
    """
    return promise.when is None and _kept(control_of(needed_for(replace(model, cannot_be=()), promise)))


@once(max_bytes=1_000_000)
def _kept(control: Control) -> bool:
    needed = model_of(control)
    promised = over_a_moment(needed, needed.promises[0])
    moment = promised.moment
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        return not solver.can_be(promised.broken)
    finally:
        solver.close()


@by_machine
def under_faults(model: Model, promise: Promise) -> tuple[UnderFault, ...]:
    """One for each fault of each input the promise depends on, in the order of the file."""
    return _under_faults(control_of(needed_for(model, promise)))


@once(max_bytes=8_000_000)
def _under_faults(control: Control) -> tuple[UnderFault, ...]:
    needed = model_of(control)
    (promise,) = needed.promises
    watched = Watched(needed, promise)
    read = _read_by(needed, promise)
    lying = [item for item in needed.inputs if item.name in read and item.kind != "hazard"]
    anything = over_a_moment(replace(needed, cannot_be=()), promise)
    whatever = kept_whatever_it_reads(anything, frozenset(anything.moment.inputs))
    return tuple(found for item in lying for found in _of_input(watched, needed, item, whatever=whatever))


def _read_by(needed: Model, promise: Promise) -> frozenset[str]:
    """Inputs that the promise and its functions read; those that only the body's rules name are no matter."""
    without = needed_for(replace(needed, cannot_be=()), promise)
    words = {word.name: word.condition for word in without.words}
    conditions: list[Condition | None] = [promise.when, promise.then, promise.never, promise.after, promise.until]
    for function in without.functions:
        conditions += [function.when, *(each.condition for each in function.at_most)]
    conditions += [stop.when for stop in without.stops]
    conditions += [limit.when for limit in without.limits]
    conditions += [each for memory in without.memories for move in memory.moves for each in (move.on, move.condition)]
    read = {function.by for function in without.functions}
    for condition in conditions:
        read |= names_through_words(condition, words) if condition is not None else frozenset()
    return frozenset(read)


def _of_input(watched: Watched, needed: Model, item: Input, *, whatever: bool) -> Iterator[UnderFault]:
    """Whatever : the promise holds whatever any input reads, as the machine reads it."""
    words = {word.name: word.condition for word in needed.words}
    kept = tuple(each for each in needed.cannot_be if item.name not in names_through_words(each[0], words))
    wired = replace(needed, cannot_be=kept)  # the body speaks of the vehicle, not of what a wire says
    promised = over_a_moment(wired, watched.promise, under_fault_of=item, apart=thresholds_of(needed))
    moment = promised.moment
    for condition, _ in needed.cannot_be:  # until it lies, what it says is how the vehicle is
        moment.rules.append(moment.circuit.any_of((promised.lying, -moment.condition(condition))))
    asked = _Asked(
        watched, promised, item, needed, whatever or kept_whatever_it_reads(promised, frozenset({item.name}))
    )
    choice = moment.inputs[item.name]
    as_read = _as_read(wired, moment, item)
    known: dict[int, UnderFault] = {}
    for read, said in _stuck(item, as_read):
        place = _place_in(choice, as_read, read)
        if place not in known:
            known[place] = asked.under(stuck_at(item, choice, place), [place], str(choice.values[place]))
        words_of = _words_of(item, as_read, read)
        story = _told(known[place].story, words_of)
        yield replace(known[place], stuck_at=said, story=story, words="" if item.kind == "turn-wire" else words_of)
    yield asked.under(loss(item, choice), _lost_places(item, choice), LOST)


def _as_read(wired: Model, moment: Moment, item: Input) -> Choice:
    """What an input can read as far as the machine and the promise tell it apart."""
    if item.values:
        return moment.inputs[item.name]
    least = moment.machine.least_supply_v if item.name == SUPPLY else -math.inf
    return input_choice(Circuit(), item, thresholds_of(wired).get(item.name, ()), least=least)


def _place_in(choice: Choice, as_read: Choice, read: int) -> int:
    """Place of a value read that way; of numbers the one nearest to rest, where the body excludes least."""
    if not as_read.thresholds:
        return choice.place(as_read.values[read])
    there = [place for place, value in enumerate(choice.values) if as_read.place(value) == read]
    return min(there, key=lambda place: abs(place - choice.rest))


def _told(story: Acted | None, words: str) -> Acted | None:
    """The story with its fault in these words, at power-up or on the way."""
    if story is None:
        return None
    acts = tuple(act if act.fault is None else replace(act, text=f"{act.fault.input} {words}") for act in story.acts)
    on_the_way = [act.fault for act in acts if act.fault is not None]
    faults = () if on_the_way else tuple(f"{fault.split(' ', 1)[0]} {words}" for fault in story.faults)
    return replace(story, acts=acts, faults=faults)


def _stuck(item: Input, choice: Choice) -> list[tuple[int, str]]:
    """Places at which an input can stick, each with how the source stands then."""
    if item.kind == "turn-wire":  # a wire stuck either way isn't a turn
        return [(0, "low"), (0, "high")]
    return [(place, _said(value)) for place, value in enumerate(choice.values)]


def _lost_places(item: Input, choice: Choice) -> list[int]:
    """What it may read while its source is silent."""
    places = loss(item, choice).places
    return sorted(places) if places is not None else list(range(len(choice.values)))


def _said(value: Value) -> str:
    return value if isinstance(value, str) else f"{value:g}"


def _words_of(item: Input, choice: Choice, place: int) -> str:
    """How a person says at what it sticks: a number by the stretch between thresholds it stands in."""
    if item.kind == "toggle":  # the finger never moves again
        return f"stuck while {choice.values[place]}"
    if item.values:
        return f"stuck at {'low' if item.kind == 'turn-wire' else choice.values[place]}"
    stretch = choice.texts[place].replace(f"{item.name} ", "")
    if stretch[0] in "<>":
        return f"stuck {stretch.replace('> ', 'above ').replace('< ', 'below ')}"
    return f"stuck at {stretch}"


@dataclass(frozen=True, slots=True)
class _Asked:
    """A promise while the source of one input lies.

    promised : over a moment in which the body says nothing of that input. needed : the build, with what the body says.
    as_read : it holds as the machine reads it, whatever that input reads.
    """

    watched: Watched
    promised: Promised
    item: Input
    needed: Model
    as_read: bool

    def under(self, lie: Lie, places: Sequence[int], said: str) -> UnderFault:
        """How it ends. places : what the input may read while its source lies."""
        name = self.item.name
        proof = None if self.as_read else answered(Question(self.watched, self.promised, lie))
        if proof is not None and proof.state == "broken":
            return UnderFault(name, said, "broken", proof.story)
        holds = proof is None or proof.state == "proved"
        known = [self.promised.lying, -self.promised.broken] if holds else []
        found = [self._blind_at(lie, place, known) for place in places]
        if (proof is not None and proof.state == "undecided") or "undecided" in [state for state, _ in found]:
            return UnderFault(name, said, "undecided")
        for state, story in found:
            if state == "blind":
                return UnderFault(name, said, "blind", story)
        return UnderFault(name, said, "holds" if self._can_be_asked(places) else "not asked")

    def _can_be_asked(self, places: Sequence[int]) -> bool:
        """Can what the promise asks about hold at all while the input reads one of these?"""
        moment = self.promised.moment
        reads = moment.circuit.any_of(moment.inputs[self.item.name].literals[place] for place in places)
        solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
        try:
            return solver.can_be(self.promised.when, self.promised.armed, reads)
        finally:
            solver.close()

    def _blind_at(
        self, lie: Lie, place: int, known: Sequence[int]
    ) -> tuple[Literal["", "blind", "undecided"], Acted | None]:
        """Does what it asks about truly hold while this is read, and isn't it kept? known : what holds as read."""
        parts = _asked_and_wrong(self.watched.promise, self.promised)
        if parts is None or self.item.kind == "turn-wire":
            return "", None
        moment = self.promised.moment
        read = (self.item.name, moment.inputs[self.item.name].values[place])
        for with_facts in (False, True):  # what is always true costs more, and seldom decides
            facts = self._always(lie) if with_facts else ()
            settings = self._blind_setting(lie, place, parts, (*known, *facts))
            if settings is None:
                return "", None
            story = acted_blind(self.watched, settings, moment, fault=lie.fault, parts=parts, read=read)
            if story is not None:
                return "blind", story
        return "undecided", None

    def _always(self, lie: Lie) -> tuple[int, ...]:
        """What is true in every moment in which the source lies, as the machine reads it."""
        moment = self.promised.moment
        unrolled = Unrolled(moment, self.promised, lie=lie, rests_at_once=rests_at_once(moment))
        return (self.promised.lying, *always_true(unrolled, candidates(moment, self.promised)))

    def _blind_setting(
        self, lie: Lie, place: int, parts: tuple[Condition, Condition], known: Sequence[int]
    ) -> Settings | None:
        """How everything truly stands where the promise is blind; None when there is no such moment."""
        moment, promised, name = self.promised.moment, self.promised, self.item.name
        circuit = moment.circuit
        truly, rules = _truly(moment, self.item, lie, place)
        asked = promised.read(parts[0])
        (when,) = circuit.copied([asked], circuit, dict(truly))
        if when == asked:
            return None  # it doesn't ask about this input
        rules += [*moment.rules, *moment.rules_at_rest, *known]
        for condition, _ in self.needed.cannot_be:  # the vehicle itself still can't be so
            (rule,) = circuit.copied([moment.condition(condition)], circuit, dict(truly))
            rules.append(-rule)
        wanted = [when, promised.read(parts[1]), moment.inputs[name].literals[place]]
        stands = stands_still(moment)
        if lie.parks >= 0 and place != lie.parks and stands is not None:
            wanted.append(-stands)  # standing it would read P
        if FALSE in wanted:
            return None
        solver = Solver(circuit, rules)
        try:
            found = solver.fewest(wanted, [choice.away for choice in moment.inputs.values() if choice.away != FALSE])
            if found is None:
                return None
            settings: list[tuple[str, Value]] = []
            for choice in moment.inputs.values():
                literals = choice.literals
                if choice.name == name:
                    literals = tuple(circuit.copied(list(literals), circuit, dict(truly)))
                settings.append((choice.name, choice.values[found[0].holds(*literals).index(True)]))
            return tuple(settings)
        finally:
            solver.close()


def _asked_and_wrong(promise: Promise, promised: Promised) -> tuple[Condition, Condition] | None:
    """What a promise asks about and what may not be then; None where the two aren't said apart.

    Of `never: siren and parked` the vehicle's own part (parked) is what it asks about. What stands between two events
    is asked about as the machine reads it only.
    """
    if promise.kind == "then" and promise.when is not None and promise.then is not None:
        return promise.when, Not(promise.then)
    if promise.kind != "never" or not isinstance(promise.never, And):
        return None
    shown = tuple(item for item in promise.never.items if promised.is_late(item))
    stands = tuple(item for item in promise.never.items if not promised.is_late(item))
    return (And(stands), And(shown)) if shown and stands else None


def _truly(moment: Moment, item: Input, lie: Lie, place: int) -> tuple[dict[int, int], list[int]]:
    """Every variable as itself, but the bits of one input as how it truly stands, and times measured by it; rules.

    Before the fault began it was read as it truly stood, and from then on as this place. So what is measured truly has
    stood for no longer than what is measured as it is read, where at this place the first entails the second; and the
    other way round. Not so where a lost gear reads now P, now what it held, nor for the moments of a debounce.
    """
    circuit, name = moment.circuit, item.name
    related = lie.parks < 0 and (lie.silent or not item.values or not item.debounce_ms)
    values = {var: var for var in circuit.variables.values()}
    for bit, var in enumerate(bits_of(circuit, name, len(moment.inputs[name].literals))):
        values[var] = circuit.variable((TRUE_READING, name, bit))
    rules: list[int] = []
    solver = Solver(circuit, moment.rules, [moment.inputs[name].literals[place]])
    try:
        for timed, literal in list(moment.timed.items()):
            if isinstance(timed, First):
                continue
            inside = moment.condition(timed.item)
            (truth,) = circuit.copied([inside], circuit, dict(values))
            if truth != inside and literal in values:
                true = values[literal] = circuit.variable((TRUE_READING, timed))
                held = isinstance(timed, Held)
                rules.append(circuit.implies(true, truth) if held else circuit.implies(truth, true))
                if related and not solver.can_be(truth, -inside):
                    rules.append(circuit.implies(true, literal))
                if related and not solver.can_be(inside, -truth):
                    rules.append(circuit.implies(literal, true))
    finally:
        solver.close()
    return values, rules
