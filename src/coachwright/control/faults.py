"""Does a promise hold while one wire, bus value or control doesn't tell the truth?

Every input a promise depends on is stuck at each of its values, and lost, one at a time, from power-up on. The promise
is asked twice: what it asks about (`when`) as the machine reads it, and as it truly stands.

    holds       no state breaks it, either way
    broken      a story breaks it as the machine reads it
    blind       what it asks about truly holds, the machine can't know, and the promise isn't kept
    not asked   what it asks about can't hold under this fault, either way
    undecided   neither a proof nor a story was found: never green

A loss reads as the input's `lost` value, which is one of those it is stuck at; `hold` may be any of them.

See Also
--------
coachwright.control.prove : without faults.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.condition import And, Condition, First, Held, Not
from coachwright.build.model import Input, Model, Promise
from coachwright.control.acted import Acted, Watched, acted_blind
from coachwright.control.choices import Choice, Value, bits_of
from coachwright.control.circuit import FALSE
from coachwright.control.cone import Control, control_of, model_of
from coachwright.control.encode import Moment
from coachwright.control.functions import names_through_words
from coachwright.control.needed import needed_for
from coachwright.control.promised import Promised
from coachwright.control.prove import Question, answered, over_a_moment
from coachwright.control.sat import Solver
from coachwright.control.situations import by_machine
from coachwright.control.sources import LOST, Fault
from coachwright.control.unrolled import TRUE_READING
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
    found: list[UnderFault] = []
    watched = Watched(needed, promise)
    for item in needed.inputs:
        if item.name in _read_by(needed, promise) and item.kind != "hazard":
            found += _of_input(watched, needed, item)
    return tuple(found)


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


def _of_input(watched: Watched, needed: Model, item: Input) -> Iterator[UnderFault]:
    words = {word.name: word.condition for word in needed.words}
    kept = tuple(each for each in needed.cannot_be if item.name not in names_through_words(each[0], words))
    wired = replace(needed, cannot_be=kept)  # the body speaks of the vehicle, not of what a wire says
    promised = over_a_moment(wired, watched.promise)
    choice = promised.moment.inputs[item.name]
    known: dict[int, UnderFault] = {}
    for place, stuck_at in _stuck(item, choice):
        if place not in known:
            known[place] = _stuck_at(watched, promised, item=item, place=place, needed=needed)
        said = _words_of(item, choice, place)
        known[place] = replace(known[place], words=said, story=_told(known[place].story, f"{item.name} {said}"))
        yield replace(known[place], stuck_at=stuck_at, words="" if item.kind == "turn-wire" else said)
    lost = [known[place] for place in _lost_places(item, choice) if place in known]
    if lost:
        worst = min(lost, key=lambda each: _WORST.index(each.state))
        yield replace(worst, stuck_at=LOST, words="", story=_told(worst.story, f"{item.name} lost"))


def _told(story: Acted | None, fault: str) -> Acted | None:
    """The story with its fault in these words."""
    return None if story is None else replace(story, faults=(fault,))


def _stuck(item: Input, choice: Choice) -> list[tuple[int, str]]:
    """Places at which an input can stick, each with how the source stands then."""
    if item.kind == "turn-wire":  # a wire stuck either way isn't a turn
        return [(0, "low"), (0, "high")]
    if item.kind in ("toggle", "pick-one"):  # it keeps what it had
        return [(place, str(choice.values[place])) for place in _kept_places(item, choice)]
    return [(place, _said(value)) for place, value in enumerate(choice.values)]


def _kept_places(item: Input, choice: Choice) -> list[int]:
    if item.start in choice.values:
        places = {choice.place(item.start)}
        if item.lost in choice.values:
            places.add(choice.place(item.lost))
        return sorted(places)
    return list(range(len(choice.values)))


def _lost_places(item: Input, choice: Choice) -> list[int]:
    if item.kind == "turn-wire":
        return [0]
    if not isinstance(item.lost, str) or item.lost in choice.values:
        return [choice.place(item.lost)]
    return list(range(len(choice.values)))


def _said(value: Value) -> str:
    return value if isinstance(value, str) else f"{value:g}"


def _stuck_at(watched: Watched, promised: Promised, *, item: Input, place: int, needed: Model) -> UnderFault:
    choice = promised.moment.inputs[item.name]
    value = _value_of(item, choice, place)
    fault = Fault(item.name, _source_of(item, value))
    proof = answered(Question(watched, promised, {item.name: place}, (fault,)))
    said = str(value)
    if proof.state == "broken":
        return UnderFault(item.name, said, "broken", proof.story)
    blind, story = _blind(watched, promised, item=item, place=place, fault=fault, needed=needed)
    if blind:
        return UnderFault(item.name, said, blind, story)
    if proof.state == "undecided":
        return UnderFault(item.name, said, "undecided")
    asked = _asked(promised, {item.name: place})
    return UnderFault(item.name, said, "holds" if asked else "not asked")


def _value_of(item: Input, choice: Choice, place: int) -> Value:
    return "low" if item.kind == "turn-wire" else choice.values[place]


def _words_of(item: Input, choice: Choice, place: int) -> str:
    """How a person says at what it sticks: a number by the stretch between thresholds it stands in."""
    if item.values:
        return f"stuck at {_source_of(item, _value_of(item, choice, place))}"
    stretch = choice.texts[place].replace(f"{item.name} ", "")
    if stretch[0] in "<>":
        return f"stuck {stretch.replace('> ', 'above ').replace('< ', 'below ')}"
    return f"stuck at {stretch}"


def _source_of(item: Input, value: Value) -> Value:
    """What stands at the source of an input that reads `value`: of what keeps a value, a finger that never moves."""
    return "released" if item.kind == "toggle" else value


def _asked(promised: Promised, stuck: Mapping[str, int]) -> bool:
    """Can what the promise asks about hold at all?"""
    moment = promised.moment
    literals = [moment.inputs[name].literals[place] for name, place in stuck.items()]
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        return solver.can_be(promised.when, promised.armed, *literals)
    finally:
        solver.close()


def _blind(
    watched: Watched,
    promised: Promised,
    *,
    item: Input,
    place: int,
    fault: Fault,
    needed: Model,
) -> tuple[Literal["", "blind", "undecided"], Acted | None]:
    """What the promise asks about truly holds and it isn't kept, although it is kept as the machine reads it."""
    moment = promised.moment
    circuit = moment.circuit
    parts = _asked_and_wrong(watched.promise, promised)
    if parts is None or item.kind == "turn-wire":
        return "", None
    truly, rules = _truly(moment, item.name)
    asked = promised.read(parts[0])
    (when,) = circuit.copied([asked], circuit, dict(truly))
    if when == asked:
        return "", None  # it doesn't ask about this input
    rules += [*moment.rules, *moment.rules_at_rest]
    for condition, _ in needed.cannot_be:  # the vehicle itself still can't be so
        (rule,) = circuit.copied([moment.condition(condition)], circuit, dict(truly))
        rules.append(-rule)
    stuck = moment.inputs[item.name].literals[place]
    wanted = [when, promised.read(parts[1]), stuck]
    if FALSE in wanted:
        return "", None
    solver = Solver(circuit, rules)
    try:
        found = solver.fewest(wanted, [choice.away for choice in moment.inputs.values() if choice.away != FALSE])
        if found is None:
            return "", None
        settings: list[tuple[str, Value]] = []
        for choice in moment.inputs.values():
            literals = choice.literals
            if choice.name == item.name:
                literals = tuple(circuit.copied(list(literals), circuit, dict(truly)))
            settings.append((choice.name, choice.values[found[0].holds(*literals).index(True)]))
    finally:
        solver.close()
    story = acted_blind(watched, tuple(settings), moment, fault, parts)
    return ("blind", story) if story is not None else ("undecided", None)


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


def _truly(moment: Moment, name: str) -> tuple[dict[int, int], list[int]]:
    """Every variable as itself, but the bits of one input as how it truly stands, and times measured by it; rules."""
    circuit = moment.circuit
    values = {var: var for var in circuit.variables.values()}
    for bit, var in enumerate(bits_of(circuit, name, len(moment.inputs[name].literals))):
        values[var] = circuit.variable((TRUE_READING, name, bit))
    rules: list[int] = []
    for timed, literal in list(moment.timed.items()):
        if isinstance(timed, First):
            continue
        inside = moment.condition(timed.item)
        (truth,) = circuit.copied([inside], circuit, dict(values))
        if truth != inside and literal in values:
            true = values[literal] = circuit.variable((TRUE_READING, timed))
            held = isinstance(timed, Held)
            rules.append(circuit.implies(true, truth) if held else circuit.implies(truth, true))
    return values, rules
