"""A second opinion about one moment of a build: the rules of the language as formulas for z3, written apart.

Lists are whole numbers, numbers are reals, timed conditions and hold-offs are free within what is always true of them.
Who has a head is said for all functions at once, the way the language page says it, without ranks worked off in turn.
"""

from __future__ import annotations

from typing import Any

import z3

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.model import Function, Model
from tests.control.reference import same


class Opinion:
    """Formulas about one build. always : what holds in every moment at rest."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.values = {item.name: item.values for item in model.inputs} | {m.name: m.values for m in model.memories}
        self.at: dict[str, Any] = {}
        self.always: list[Any] = []
        for name, values in self.values.items():
            self.at[name] = z3.Int(name) if values else z3.Real(name)
            if values:
                self.always += [self.at[name] >= 0, self.at[name] < len(values)]
        for item in model.inputs:
            if not item.values and item.low < item.high:
                reached = [float(v) for v in (item.rest, item.start, item.lost) if not isinstance(v, str)]
                low, high = min([item.low, *reached]), max([item.high, *reached])
                self.always += [self.at[item.name] >= low, self.at[item.name] <= high]
            if item.kind == "hazard":
                wires = [wire.name for wire in model.inputs if wire.kind == "turn-wire"]
                self.always += [z3.Implies(self.at[item.name] == 1, self.at[wire] == 0) for wire in wires]
        self.words = {word.name: word.condition for word in model.words}
        self.timed: dict[Condition, Any] = {}
        self.held_off = {function.name: z3.Bool(f"held off {function.name}") for function in model.functions}
        self.restless = z3.Bool("restless")
        for stop in model.stops:
            for function in model.functions:
                if stop.resume == "ask" and self.ends(stop, function):
                    self.always.append(z3.Implies(self.true(stop.when), self.held_off[function.name]))
        for function in model.functions:
            if not any(stop.resume == "ask" and self.ends(stop, function) for stop in model.stops):
                self.always.append(z3.Not(self.held_off[function.name]))
        for memory in model.memories:
            before: list[Any] = []
            for move in memory.moves:
                acts = z3.And(self.true(move.on), self.true(move.condition) if move.condition else True)
                stays = self.at[memory.name] == self.place(memory.name, move.to or move.next[0])
                if len(move.next) > 1:
                    stays = z3.BoolVal(False)
                first = z3.And(acts, *(z3.Not(other) for other in before))
                self.always.append(z3.Or(self.restless, z3.Implies(first, stays)))
                before.append(acts)

    @staticmethod
    def ends(stop: Any, function: Function) -> bool:
        return function.rank != "road" and (function.name in stop.functions or function.rank in stop.ranks)

    def place(self, name: str, value: Any) -> Any:
        return self.values[name].index(value) if self.values[name] else value

    def true(self, condition: Condition) -> Any:
        match condition:
            case Constant(value):
                return z3.BoolVal(value)
            case Truth(name) if name in self.words:
                return self.true(self.words[name])
            case Truth(name):
                return self.at[name] == 1
            case Compare(name, sign, value):
                one, other = self.at[name], self.place(name, value)
                signs = {"==": one == other, "!=": one != other, "<": one < other, "<=": one <= other}
                return (signs | {">": one > other, ">=": one >= other})[sign]
            case OneOf(name, values):
                return z3.Or(*(self.at[name] == self.place(name, value) for value in values))
            case Not(item):
                return z3.Not(self.true(item))
            case And(items):
                return z3.And(*map(self.true, items))
            case Or(items):
                return z3.Or(*map(self.true, items))
            case Event():
                return z3.BoolVal(False)
            case Held(item, time_ms) | First(item, time_ms) | Plus(item, time_ms):
                return self.over_time(condition, item, time_ms)
            case _:
                raise AssertionError(condition)

    def over_time(self, condition: Any, item: Condition, time_ms: int) -> Any:
        """`held` is true at most while its condition is, `plus` at least; longer times are harder to reach."""
        inside = self.true(item)
        if isinstance(condition, First):
            return z3.And(inside, z3.Not(self.true(Held(item, time_ms))))
        if condition not in self.timed:
            new = z3.Bool(f"timed {len(self.timed)}")
            held = isinstance(condition, Held)
            self.always.append(z3.Implies(new, inside) if held else z3.Implies(inside, new))
            for other, known in self.timed.items():
                if type(other) is type(condition) and other.item == item:  # type: ignore[union-attr]
                    longer_is_new = (time_ms > other.time_ms) == held  # type: ignore[union-attr]
                    self.always.append(z3.Implies(new, known) if longer_is_new else z3.Implies(known, new))
            self.timed[condition] = new
        return self.timed[condition]

    # ---- functions

    def wants(self, function: Function, position: str) -> Any:
        """It acts, and acts as if its control stood at this position ("" without a control)."""
        also = [self.true(function.when)] if function.when else []
        stops = [self.true(stop.when) for stop in self.model.stops if self.ends(stop, function)]
        also += [z3.Not(z3.Or(*stops)), z3.Not(self.held_off[function.name])]
        if not position:
            return z3.And(*also)
        positions = self.values[function.by]
        lever = self.at[function.by]
        for most in function.at_most:
            level = positions.index(most.level)
            lever = z3.If(z3.And(self.true(most.condition), lever > level), level, lever)
        return z3.And(lever == positions.index(position), *also)

    def statements(self, function: Function, head: str) -> list[tuple[Any, Any]]:
        """(when, show) pairs of a function on a head; at most one of them holds at once."""
        plain = {each: show for show in function.shows for each in show.heads}
        if not function.by:
            return [(self.wants(function, ""), plain[head])] if head in plain else []
        positions = self.values[function.by]
        found = []
        for position in positions:
            beneath = [lv for lv in function.levels if positions.index(lv.position) <= positions.index(position)]
            if function.one_level:
                beneath = [level for level in beneath if level.position == position]
            beneath.sort(key=lambda level: positions.index(level.position))
            shows = {} if not beneath else dict(plain)
            for level in beneath:
                shows |= {each: show for show in level.shows for each in show.heads}
            if head in shows:
                found.append((self.wants(function, position), shows[head]))
        return found

    def ambiguous(self, head: str) -> Any:
        """Nothing decides who has this head (who shows beside the owner is not asked)."""
        wanted = {function: self.statements(function, head) for function in self.model.functions}
        here = {function: z3.Or(*(when for when, _ in stated)) for function, stated in wanted.items()}
        ranks = {function: self.model.ranks.index(function.rank) for function in wanted}
        left = {}
        for function in wanted:
            better = [here[other] for other in wanted if ranks[other] < ranks[function]]
            beats = [
                here[other]
                for other in wanted
                if ranks[other] == ranks[function] and other is not function and function.name in other.wins_over
            ]
            left[function] = z3.And(z3.Not(z3.Or(*better)), z3.Not(z3.Or(*beats)))
        nobody = z3.And(z3.Or(*here.values()), *(z3.Not(z3.And(here[each], left[each])) for each in wanted))
        differ = [
            z3.And(when, other_when, left[one], left[other])
            for one, stated in wanted.items()
            for other, other_stated in wanted.items()
            if one.name < other.name
            for when, show in stated
            for other_when, other_show in other_stated
            if not same(show, other_show)
        ]
        return z3.Or(nobody, *differ)

    def can_be(self, *formulas: Any) -> bool:
        solver = z3.Solver()
        solver.add(*self.always, *formulas)
        answer = solver.check()
        assert answer in (z3.sat, z3.unsat)
        return bool(answer == z3.sat)
