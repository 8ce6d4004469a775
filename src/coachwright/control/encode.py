"""One moment of a machine as a circuit: who acts, given any values of inputs, memories, timers and hold-offs.

Free are: what each input reads, where each memory stands, whether each timed condition holds, who is held off. What no
story can bring about is left out by `rules`: the hazard flasher beside a turn, ``held`` without its condition, settings
that the body excludes, a memory that a move would take on at once. The rest may or may not be reached; every state that
is reached obeys the rules. No event is happening: the moment has come to rest.

See Also
--------
coachwright.control.contested : who gets the heads. coachwright.control.machine : the step, with which this agrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.model import Function, Memory, Model, Move
from coachwright.control.choices import Choice, Value, bits_of, input_choice, memory_choice, thresholds_of
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.compiled import SUPPLY
from coachwright.control.functions import names_through_words
from coachwright.control.machine import Machine
from coachwright.control.ranks import ROAD

Timed = Held | First | Plus


class NotOfOneMomentError(ValueError):
    """A condition about heads or equipment: not worked out here."""


@dataclass(frozen=True, slots=True)
class Acting:
    """One function. variants : one literal per variant it shows, in the machine's order, true while it acts."""

    name: str
    wanting: int
    stopped: int
    held_off: int
    active: int
    variants: tuple[int, ...]


class Moment:
    """A machine's moment, grown as it is asked about.

    Parameters
    ----------
    circuit : to be laid into, beside another moment; a new one when left out.
    apart : of a number, further values that are told apart from what lies around them.
    rules : literals that are true in every moment of every story.
    rules_at_rest : literals that are true as well once memory stands.
    restless : true where memory may stand against its own moves, because they never come to rest; FALSE when no memory
        looks at itself.
    """

    def __init__(
        self,
        model: Model,
        machine: Machine,
        circuit: Circuit | None = None,
        *,
        apart: Mapping[str, frozenset[float]] | None = None,
    ) -> None:
        self.model = model
        self.machine = machine
        self.circuit = circuit if circuit is not None else Circuit()
        thresholds = dict(thresholds_of(model))
        for name, values in (apart or {}).items():
            thresholds[name] = thresholds.get(name, frozenset()) | values
        least = {SUPPLY: machine.least_supply_v}
        self.inputs = {
            item.name: input_choice(
                self.circuit, item, thresholds.get(item.name, ()), least=least.get(item.name, -math.inf)
            )
            for item in model.inputs
        }
        self.memories = {memory.name: memory_choice(self.circuit, memory) for memory in model.memories}
        self.words = {word.name: word.condition for word in model.words}
        self.rules: list[int] = []
        self.rules_at_rest: list[int] = []
        self.timed: dict[Timed, int] = {}
        self.stir: list[int] = []
        """Literals that need the past: a timer that hasn't run out yet, a function held off."""
        self._known: dict[tuple[Condition, bool], int] = {}
        self.held_off_bits: dict[str, int] = {}
        self.stops = tuple(self.condition(stop.when) for stop in model.stops)
        self.limits = tuple(self.condition(limit.when) for limit in model.limits)
        self.functions = {
            function.name: self._acting(function, place) for place, function in enumerate(model.functions)
        }
        self.restless = self.circuit.variable("restless") if _may_be_restless(model) else FALSE
        self._add_rules()

    # ------------------------------------------------------------------------------------------------ conditions
    def condition(self, condition: Condition, *, events: bool = False) -> int:
        """Literal of a condition. events : in a moment in which events happen (each is free), not at rest.

        Raises
        ------
        NotOfOneMomentError : for what heads or equipment do.
        """
        key = (condition, events)
        if key not in self._known:
            self._known[key] = self._read(condition, events)
        return self._known[key]

    def _read(self, condition: Condition, events: bool) -> int:
        match condition:
            case Constant(value):
                return TRUE if value else FALSE
            case Truth() | Compare() | OneOf():
                return self._look(condition, events)
            case Not(item):
                return -self.condition(item, events=events)
            case And(items):
                return self.circuit.all_of(self.condition(item, events=events) for item in items)
            case Or(items):
                return self.circuit.any_of(self.condition(item, events=events) for item in items)
            case Held() | First() | Plus():
                return self._timed(condition)
            case Event():
                return self._event(condition) if events else FALSE
            case FunctionState(name, state):
                acting = self.functions[name]
                if state == "active":
                    return acting.active
                return self.circuit.all_of((acting.wanting, -acting.stopped, acting.held_off))
            case HeadStatement():
                raise NotOfOneMomentError(condition.selector)

    def _look(self, condition: Truth | Compare | OneOf, events: bool) -> int:
        match condition:
            case Truth(name):
                return self._truth(name, events)
            case Compare():
                return self._compare(condition)
            case OneOf(name, values):
                choice = self.choice(name)
                return self.circuit.any_of(choice.literals[choice.place(value)] for value in values)

    def _truth(self, name: str, events: bool) -> int:
        if name in self.words:
            return self.condition(self.words[name], events=events)
        if name not in self.inputs and name not in self.memories:
            raise NotOfOneMomentError(name)
        choice = self.choice(name)
        return choice.literals[choice.values.index("on") if "on" in choice.values else 1]

    def choice(self, name: str) -> Choice:
        """The input or memory of this name."""
        return self.inputs[name] if name in self.inputs else self.memories[name]

    def _compare(self, condition: Compare) -> int:
        choice = self.choice(condition.name)
        if isinstance(condition.value, str):
            wanted: float = choice.place(condition.value)
            places: Iterable[tuple[float, int]] = enumerate(choice.literals)
        else:
            wanted = condition.value
            places = ((float(value), each) for value, each in zip(choice.values, choice.literals, strict=True))
        return self.circuit.any_of(literal for at, literal in places if _compared(at, condition.operator, wanted))

    def _timed(self, timed: Timed) -> int:
        """A free variable, held within what is always true of it. `first T of X` is X without `X held T`."""
        inside = self.condition(timed.item)
        if isinstance(timed, First):
            over = self.condition(Held(timed.item, timed.time_ms))
            self.timed[timed] = self.circuit.all_of((inside, -over))
            return self.timed[timed]
        if inside == FALSE and isinstance(timed, Held):
            return FALSE
        if timed.time_ms <= 0 or (inside == TRUE and isinstance(timed, Plus)):
            return inside
        if timed not in self.timed:
            literal = self.circuit.variable(timed)
            self.rules += self._timer_rules(timed, literal, inside)
            self.timed[timed] = literal
        return self.timed[timed]

    def _timer_rules(self, timed: Held | Plus, literal: int, inside: int) -> list[int]:
        implies = self.circuit.implies
        held = isinstance(timed, Held)
        self.stir.append(self.circuit.all_of((inside, -literal) if held else (literal, -inside)))
        rules = [implies(literal, inside) if held else implies(inside, literal)]
        for other, known in self.timed.items():
            if type(other) is type(timed) and other.item == timed.item:
                longer, shorter = (literal, known) if timed.time_ms > other.time_ms else (known, literal)
                rules.append(implies(longer, shorter) if held else implies(shorter, longer))
        return rules

    def _event(self, event: Event) -> int:
        """A free variable, held within what is true at the very moment it happens."""
        literal = self.circuit.variable(event)
        for at_once in self._at_once(event):
            self.rules.append(self.circuit.implies(literal, at_once))
        return literal

    def _at_once(self, event: Event) -> list[int]:
        if event.kind == "becomes":
            return [self.condition(event.item or Truth(event.name), events=True)]
        item, choice = self.model.input(event.name), self.inputs[event.name]
        if event.kind == "leaves":
            others = [each for each in choice.values if each != event.position and isinstance(each, str)]
            rivals = [self.circuit.variable(Event("leaves", event.name, other)) for other in others]
            return [-choice.literals[choice.place(event.position)], *(-rival for rival in rivals)]
        other_kind = Event("released" if event.kind == "pressed" else "pressed", event.name)
        found = [-self.circuit.variable(other_kind)]
        if item.kind == "button":
            found.append(choice.literals[1 if event.kind == "pressed" else 0])
        return found

    # ------------------------------------------------------------------------------------------------- functions
    def _acting(self, function: Function, place: int) -> Acting:
        compiled = self.machine.functions[place]
        when = self.condition(function.when) if function.when is not None else TRUE
        wanted: tuple[int, ...] = (when,)
        if function.by:
            at = self._effective(function)
            wanted = tuple(
                self.circuit.all_of(
                    (when, self.circuit.any_of(at[p] for p, each in enumerate(compiled.variant_at) if each == variant))
                )
                for variant in range(len(compiled.variants))
            )
        stopped, asked = self._stopped(function)
        held_off = FALSE
        if asked:
            held_off = self.held_off_bits[function.name] = self.circuit.variable(("held off", function.name))
            self.rules_at_rest += [self.circuit.implies(stop, held_off) for stop in asked]
            self.stir.append(self.circuit.all_of((held_off, -stopped)))
        free = (-stopped, -held_off)
        variants = tuple(self.circuit.all_of((each, *free)) for each in wanted)
        wanting = self.circuit.any_of(wanted)
        return Acting(function.name, wanting, stopped, held_off, self.circuit.any_of(variants), variants)

    def _effective(self, function: Function) -> list[int]:
        """Per position of its control: it acts as if the control stood there."""
        choice = self.inputs[function.by]
        most = [(choice.place(each.level), self.condition(each.condition)) for each in function.at_most]
        at_least = []
        for place in range(len(choice.literals)):
            lower = [-condition for level, condition in most if level < place]
            at_least.append(self.circuit.all_of((self.circuit.any_of(choice.literals[place:]), *lower)))
        at_least.append(FALSE)
        return [self.circuit.all_of((here, -above)) for here, above in pairwise(at_least)]

    def _stopped(self, function: Function) -> tuple[int, list[int]]:
        """That it is stopped, and the stops after which it waits to be asked."""
        if function.rank == ROAD:
            return FALSE, []
        stops = [
            (literal, stop.resume)
            for stop, literal in zip(self.model.stops, self.stops, strict=True)
            if function.name in stop.functions or function.rank in stop.ranks
        ]
        asked = [literal for literal, resume in stops if resume == "ask" and literal != FALSE]
        return self.circuit.any_of(literal for literal, _ in stops), asked

    # ----------------------------------------------------------------------------------------------------- rules
    def _add_rules(self) -> None:
        for item in self.model.inputs:
            if item.kind == "hazard":
                turns = [self.inputs[wire.name] for wire in self.model.inputs if wire.kind == "turn-wire"]
                on = self.inputs[item.name].literals[1]
                self.rules += [self.circuit.implies(on, turn.literals[0]) for turn in turns]
        self.rules += [-self.condition(condition) for condition, _ in self.model.cannot_be]
        for memory in self.model.memories:
            self.rules_at_rest += [
                self.circuit.any_of((rule, self.restless)) for rule in self.stands(memory) if rule != TRUE
            ]

    def stands(self, memory: Memory) -> list[int]:
        """Per move: if it is the first that acts without an event, memory is where it leads."""
        choice, before, rules = self.memories[memory.name], list[int](), []
        for move in memory.moves:
            acts = self.acts(move)
            first = self.circuit.all_of((acts, *(-each for each in before)))
            before.append(acts)
            rules.append(self.circuit.implies(first, self.circuit.any_of(_kept_at(move, choice))))
        return rules

    def acts(self, move: Move, *, events: bool = False) -> int:
        """Literal: its `on` and `if` hold."""
        also = TRUE if move.condition is None else self.condition(move.condition, events=events)
        return self.circuit.all_of((self.condition(move.on, events=events), also))

    def values(
        self,
        read: Mapping[str, Value],
        memory: Mapping[str, str],
        *,
        timed: Mapping[Timed, bool],
        held_off: Iterable[str] = (),
        restless: bool = False,
    ) -> dict[int, bool]:
        """Values of the circuit's variables that say: this is read, memory stands there, these timers hold."""
        found: dict[int, bool] = {}
        for name, value in {**read, **memory}.items():
            choice = self.choice(name)
            place = choice.place(value)
            for bit, var in enumerate(bits_of(self.circuit, name, len(choice.literals))):
                found[var] = bool(place >> bit & 1)
        for condition, true in timed.items():
            if not isinstance(condition, First) and condition in self.timed:
                found[self.timed[condition]] = true
        found |= {self.held_off_bits[name]: True for name in held_off if name in self.held_off_bits}
        if self.restless != FALSE:
            found[self.restless] = restless
        return found


def _kept_at(move: Move, choice: Choice) -> list[int]:
    """Values of a memory that this move leaves as they are."""
    if not move.next:
        return [choice.literals[choice.place(move.to)]]
    return [choice.literals[choice.place(move.next[0])]] if len(move.next) == 1 else []


def _compared(one: float, operator: str, other: float) -> bool:
    match operator:
        case "==":
            return one == other
        case "!=":
            return one != other
        case "<":
            return one < other
        case "<=":
            return one <= other
        case ">":
            return one > other
        case _:
            return one >= other


def _may_be_restless(model: Model) -> bool:
    """Does a memory look at itself, alone or through others?"""
    words = {word.name: word.condition for word in model.words}
    memories = {memory.name for memory in model.memories}
    looks_at: dict[str, set[str]] = {}
    for memory in model.memories:
        read: set[str] = set()
        for move in memory.moves:
            for condition in (move.on, move.condition):
                if condition is not None:
                    read |= names_through_words(condition, words)
        looks_at[memory.name] = read & memories
    for name in memories:
        seen, waiting = set[str](), set(looks_at[name])
        while waiting:
            other = waiting.pop()
            if other == name:
                return True
            if other not in seen:
                seen.add(other)
                waiting |= looks_at[other]
    return False
