"""A second opinion about one moment of a build: the rules of the language as formulas for z3, written apart.

Lists are whole numbers, numbers are reals, timed conditions and hold-offs are free within what is always true of them.
Who has a head is said for all functions at once, the way the language page says it, without ranks worked off in turn.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import z3

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
from coachwright.build.model import ColourShow, Function, Model, Promise, Show, Sound
from coachwright.build.pattern_text import read_show, same_pattern
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
        self.always += [z3.Not(self.true(condition)) for condition, _ in model.cannot_be]
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

    # ---- what is shown

    def active(self, function: Function) -> Any:
        """It acts: with a control only at a position at or above one of its levels."""
        if not function.by:
            return self.wants(function, "")
        positions = self.values[function.by]
        levels = [positions.index(level.position) for level in function.levels]
        showing = [p for p in range(len(positions)) if p in levels or (not function.one_level and p >= min(levels))]
        return z3.Or(*(self.wants(function, positions[place]) for place in showing))

    def breaks(self, promise: Promise) -> Any:
        """The moment breaks the promise; of one between two events, while it is armed."""
        excused = frozenset(promise.but)
        if promise.kind == "then" and promise.when is not None and promise.then is not None:
            asked = self.said(promise.when, excused)
            if promise.within_ms:
                asked = self.over_time(Held(promise.when, promise.within_ms), promise.when, promise.within_ms)
            return z3.And(asked, z3.Not(self.said(promise.then, excused)))
        assert promise.never is not None
        return self.said(promise.never, excused)

    def said(self, condition: Condition, excused: frozenset[str]) -> Any:
        """A condition of a promise."""
        match condition:
            case Not(item):
                return z3.Not(self.said(item, excused))
            case And(items):
                return z3.And(*(self.said(item, excused) for item in items))
            case Or(items):
                return z3.Or(*(self.said(item, excused) for item in items))
            case FunctionState(name, state):
                function = next(each for each in self.model.functions if each.name == name)
                if state == "active":
                    return self.active(function)
                raise AssertionError(condition)
            case HeadStatement():
                answers = [self.head_says(condition, head, excused) for head in condition.heads]
                return z3.And(*answers) if condition.every else z3.Or(*answers)
            case Truth(name) if name not in self.words and name not in self.at:
                return self.equipment_says(name, excused)
            case _:
                return self.true(condition)

    def head_says(self, statement: HeadStatement, head: str, excused: frozenset[str]) -> Any:
        """It is true of this head: of every way in which functions may want it, worked out by hand."""
        choices = []
        for function in self.model.functions:
            shows: list[tuple[Any, Show]] = []
            for when, show in self.statements(function, head):
                known = next((place for place, (_, other) in enumerate(shows) if other == show), None)
                if known is None:
                    shows.append((when, show))
                else:
                    shows[known] = (z3.Or(shows[known][0], when), show)
            if shows:
                nothing = (z3.Not(z3.Or(*(when for when, _ in shows))), None)
                choices.append([(function, *each) for each in (*shows, nothing)])
        together = next(each.burns_together for each in self.model.heads if each.id == head)
        ways = []
        for way in product(*choices):
            wanted = {function.name: show for function, _, show in way if show is not None}
            true = self.way_says(statement, wanted, excused, together=together)
            if not z3.is_false(true):
                ways.append(z3.And(*(when for _, when, _ in way), true))
        return z3.Or(*ways)

    def way_says(
        self, statement: HeadStatement, wanted: dict[str, Show], excused: frozenset[str], *, together: bool
    ) -> Any:
        """It is true when just these functions want the head, each with its show."""
        parts, owners, unclear = self.burning(wanted, together=together)
        if unclear:
            return z3.BoolVal(False)
        if statement.manner == "dark":
            lit = any(not statement.colour or colour.colour == statement.colour for _, colour in parts)
            return z3.BoolVal(not lit and not excused & owners)
        fits = {place: self.fits(statement, owner, colour) for place, (owner, colour) in enumerate(parts)}
        said = z3.Or(*(fits[place] for place, (owner, _) in enumerate(parts) if owner not in excused))
        if not statement.only:
            return said
        alone = []
        for colour in {colour.colour for _, colour in parts}:
            alone.append(z3.Or(*(fits[place] for place, (_, other) in enumerate(parts) if other.colour == colour)))
        return z3.And(said, *alone)

    def fits(self, statement: HeadStatement, owner: str, colour: ColourShow) -> Any:
        """This colour is what the statement asks for, bright enough under whatever limit holds."""
        manners = {"steady": colour.manner == "steady", "flashing": colour.manner != "steady", "lit": True}
        if statement.manner == "pattern":
            asked = read_show(statement.pattern)
            assert not isinstance(asked, tuple)
            right = colour.pattern is not None and same_pattern(asked.pattern, colour.pattern)
        else:
            right = manners[statement.manner]
        if not right or (statement.colour and statement.colour != colour.colour):
            return z3.BoolVal(False)
        if statement.at_least_share is None:
            return z3.BoolVal(True)
        function = next(each for each in self.model.functions if each.name == owner)
        enough = [z3.BoolVal(colour.share >= statement.at_least_share - 1e-9)]
        for limit in self.model.limits:
            dims = function.rank in limit.ranks and function.rank != "road" and owner not in limit.but_not
            if dims and colour.share * limit.scale_to_share < statement.at_least_share - 1e-9:
                enough.append(z3.Not(self.true(limit.when)))
        return z3.And(*enough)

    def burning(
        self, wanted: dict[str, Show], *, together: bool
    ) -> tuple[list[tuple[str, ColourShow]], frozenset[str], bool]:
        """Colours with whose they are, who has the head, and whether nothing decides."""
        best, unclear = self.best(wanted, wanted)
        parts: dict[str, list[tuple[str, ColourShow]]] = {}
        owners: set[str] = set(best)
        used: set[str] = set()
        while best and not unclear:
            used |= set(best)
            show = wanted[best[0]]
            fresh = [colour for colour in show.colours if colour.colour not in parts]
            if fresh:
                owners |= set(best)
            for colour in fresh:
                parts[colour.colour] = [
                    (name, next(each for each in wanted[name].colours if each.colour == colour.colour)) for name in best
                ]
            road = any(self.function(name).rank == "road" for name in best)
            if not show.beside or show.dark or road or not together:
                break
            best, unclear = self.next_beside(wanted, used)
        return [part for each in parts.values() for part in each], frozenset(owners), unclear

    def next_beside(self, wanted: dict[str, Show], used: set[str]) -> tuple[list[str], bool]:
        """Who shows beside: the next best of those nobody beats, a dark one skipped."""
        while True:
            rest = {name: show for name, show in wanted.items() if name not in used and not self.beaten(name, wanted)}
            best, unclear = self.best(rest, rest)
            if not best or not wanted[best[0]].dark:
                return best, unclear
            used |= set(best)

    def best(self, wanted: dict[str, Any], field: dict[str, Any]) -> tuple[list[str], bool]:
        """The first rank's functions that nobody beats, if they say the same; and whether nothing decides."""
        if not wanted:
            return [], False
        first = min(self.model.ranks.index(self.function(name).rank) for name in wanted)
        of_rank = [name for name in wanted if self.model.ranks.index(self.function(name).rank) == first]
        left = [name for name in of_rank if not self.beaten(name, field)]
        if left and all(same(wanted[left[0]], wanted[name]) for name in left):
            return left, False
        return [], True

    def beaten(self, name: str, field: dict[str, Any]) -> bool:
        me = self.function(name)
        return any(
            other != name and name in self.function(other).wins_over and self.function(other).rank == me.rank
            for other in field
        )

    def function(self, name: str) -> Function:
        return next(each for each in self.model.functions if each.name == name)

    def equipment_says(self, name: str, excused: frozenset[str]) -> Any:
        """It sounds or runs, and not for an excused function alone."""
        sounding = [(each, sound) for each in self.model.functions for sound in each.sounds if sound.siren == name]
        ways = []
        for chosen in product((True, False), repeat=len(sounding)):
            here = [
                self.active(each) if true else z3.Not(self.active(each))
                for (each, _), true in zip(sounding, chosen, strict=True)
            ]
            wanted = {each.name: sound for (each, sound), true in zip(sounding, chosen, strict=True) if true}
            ways.append(z3.And(*here, self.sounds(wanted, excused)))
        runs = [self.active(each) for each in self.model.functions if name in each.runs and each.name not in excused]
        cut = [self.active(each) for each in self.model.functions if name in each.interrupts]
        return z3.Or(*ways, z3.And(z3.Or(*runs), z3.Not(z3.Or(*cut))))

    def sounds(self, wanted: dict[str, Sound], excused: frozenset[str]) -> Any:
        """One of those that are not excused has the siren, when just these want it."""
        if not wanted:
            return z3.BoolVal(False)
        first = min(self.model.ranks.index(self.function(name).rank) for name in wanted)
        of_rank = [name for name in wanted if self.model.ranks.index(self.function(name).rank) == first]
        left = [name for name in of_rank if not self.beaten(name, wanted)]
        if not set(left) - excused:
            return z3.BoolVal(False)
        tones = {tone for sound in wanted.values() for tone in self.tones(sound)}
        alike = [z3.And(*(self.tone(wanted[name], tone) for name in left)) for tone in tones]
        return z3.Or(*alike)

    def tones(self, sound: Sound) -> tuple[str, ...]:
        return self.values[sound.tone_memory] if sound.tone_memory else (sound.tone,)

    def tone(self, sound: Sound, tone: str) -> Any:
        """The tone it sounds is this one."""
        if not sound.tone_memory:
            return z3.BoolVal(sound.tone == tone)
        values = self.values[sound.tone_memory]
        return self.at[sound.tone_memory] == values.index(tone) if tone in values else z3.BoolVal(False)

    def can_be(self, *formulas: Any) -> bool:
        solver = z3.Solver()
        solver.add(*self.always, *formulas)
        answer = solver.check()
        assert answer in (z3.sat, z3.unsat)
        return bool(answer == z3.sat)
