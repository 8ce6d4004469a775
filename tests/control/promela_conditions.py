"""Conditions of a build as formulas for spin, and which clocks and memories of their own they need.

See Also
--------
tests.control.promela : what is covered, and the machine around it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
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
    children,
)
from coachwright.build.model import Function, Input, Model, Promise
from tests.control.promela_shown import ROAD, Rules, tree, variants

KEEPS = ("toggle", "pick-one")
"""Inputs with a value of their own beside their finger or lever."""
Timed = Held | First | Plus


def every_node(condition: Condition) -> Iterator[Condition]:
    """The condition and everything inside it, what is inside first."""
    for item in children(condition):
        yield from every_node(item)
    yield condition


class Conditions:
    """One build and one promise, on the way to text.

    Names in the text: s source, n its next level, k kept value, m memory, c clock, b what `becomes` looked at before,
    v variant of a function (0: nothing), h held off, x variant that it shows, after stops.
    """

    def __init__(self, model: Model, promise: Promise) -> None:
        self.model = model
        self.promise = promise
        self.rules = Rules(model)
        self.inputs = {item.name: place for place, item in enumerate(model.inputs)}
        self.memories = {memory.name: place for place, memory in enumerate(model.memories)}
        self.functions = {function.name: place for place, function in enumerate(model.functions)}
        self.words = {word.name: word.condition for word in model.words}
        self.points = {item.name: self._thresholds(item) for item in model.inputs if not item.values}
        self.excused = frozenset(promise.but)
        self.broken = self._broken()
        said = [each for each in (self.broken, promise.after, promise.until) if each is not None]
        timed = list(dict.fromkeys([*self._read_early(), *(each for one in said for each in self._timed_in(one))]))
        self.clocks = [each for each in timed if not self._is_late(each)]
        self.late_clocks = [each for each in timed if self._is_late(each)]
        self.turns = list(dict.fromkeys(self._becomes_in(self._moved_by())))
        self.late_turns = list(dict.fromkeys(self._becomes_in(said)))
        self.source = "s"  # whose levels conditions read: s, or n for what would stand next

    # ------------------------------------------------------------------------------------------- what has to be kept

    def _broken(self) -> Condition:
        promise = self.promise
        if promise.when is not None and promise.then is not None:
            asked = Held(promise.when, promise.within_ms) if promise.within_ms else promise.when
            return And((asked, Not(promise.then)))
        assert promise.never is not None
        return promise.never

    def _moved_by(self) -> Iterator[Condition]:
        for memory in self.model.memories:
            for move in memory.moves:
                yield move.on
                if move.condition is not None:
                    yield move.condition

    def _read_early(self) -> Iterator[Timed]:
        """Timed conditions that every round works out, each behind those it needs."""
        read = [*self._moved_by(), *(stop.when for stop in self.model.stops), *(lim.when for lim in self.model.limits)]
        for function in self.model.functions:
            read += [function.when] if function.when is not None else []
            read += [each.condition for each in function.at_most]
        for condition in (*self.words.values(), *read):
            yield from self._timed_in(condition)

    def _timed_in(self, condition: Condition) -> Iterator[Timed]:
        for node in every_node(condition):
            bare = isinstance(node, Truth) or (isinstance(node, Event) and node.item is None)
            if bare and node.name in self.words:  # type: ignore[union-attr]
                yield from self._timed_in(self.words[node.name])  # type: ignore[union-attr]
            if isinstance(node, Held | First | Plus):
                yield node

    @staticmethod
    def _becomes_in(conditions: Iterable[Condition]) -> Iterator[Condition]:
        for condition in conditions:
            for node in every_node(condition):
                if isinstance(node, Event) and node.kind == "becomes":
                    yield node.item or Truth(node.name)

    def _is_late(self, condition: Condition) -> bool:
        """Does it read functions, heads or equipment, so that it is worked out after the rounds?"""
        known = (*self.words, *self.inputs, *self.memories)
        return any(
            isinstance(node, FunctionState | HeadStatement) or (isinstance(node, Truth) and node.name not in known)
            for node in every_node(condition)
        )

    # ---------------------------------------------------------------------------------------------------- conditions

    def says(self, condition: Condition) -> str:  # noqa: PLR0911
        """A condition as a formula."""
        match condition:
            case Constant(value):
                return str(int(value))
            case Truth(name) if name in self.words:
                return self.says(self.words[name])
            case Truth(name) if name in self.inputs:
                return f"({self.reads(name)} == 1)"
            case Truth(name):
                return self._equipment(name)
            case Compare(name, sign, value):
                return f"({self.reads(name)} {sign} {self.place(name, value)})"
            case OneOf(name, values):
                return any_of(f"({self.reads(name)} == {self.place(name, value)})" for value in values)
            case Not(item):
                return f"(!{self.says(item)})"
            case And(items):
                return all_of(map(self.says, items))
            case Or(items):
                return any_of(map(self.says, items))
            case Held() | First() | Plus():
                return self._clock_says(condition)
            case Event():
                return self._event(condition)
            case FunctionState(name, "active"):
                return f"(x{self.functions[name]} != 0)"
            case FunctionState(name, _):
                at = self.functions[name]
                return f"(v{at} != 0 && !{self._stopped(self.model.functions[at])} && h{at})"
            case HeadStatement():
                heads = [self._head(condition, head) for head in condition.heads]
                return all_of(heads) if condition.every else any_of(heads)

    def reads(self, name: str) -> str:
        """Where the value of an input or a memory stands."""
        if name in self.memories:
            return f"m{self.memories[name]}"
        place = self.inputs[name]
        return f"k{place}" if self.model.inputs[place].kind in KEEPS else f"{self.source}{place}"

    def place(self, name: str, value: str | float) -> int:
        """Place of a value; of a number 2 n + 1 for the nth threshold, even for what lies between."""
        if name in self.memories:
            return self.model.memories[self.memories[name]].values.index(str(value))
        item = self.model.inputs[self.inputs[name]]
        return item.values.index(str(value)) if item.values else 2 * self.points[name].index(float(value)) + 1

    def _thresholds(self, item: Input) -> tuple[float, ...]:
        read = [*self._all_conditions(), *(condition for condition, _ in self.model.cannot_be)]
        found = {
            float(value)
            for condition in read
            for node in every_node(condition)
            if isinstance(node, Compare | OneOf) and node.name == item.name
            for value in ((node.value,) if isinstance(node, Compare) else node.values)
        }
        return tuple(sorted(found))

    def _all_conditions(self) -> Iterator[Condition]:
        promise, model = self.promise, self.model
        said = (promise.when, promise.then, promise.never, promise.after, promise.until)
        yield from (each for each in said if each is not None)
        yield from self.words.values()
        yield from self._moved_by()
        yield from (stop.when for stop in model.stops)
        yield from (limit.when for limit in model.limits)
        for function in model.functions:
            yield from (each.condition for each in function.at_most)
            if function.when is not None:
                yield function.when

    def levels(self, item: Input) -> list[int]:
        """What can stand at a source."""
        if item.values:
            return list(range(len(item.values)))
        points = self.points[item.name]
        reached = [float(each) for each in (item.rest, item.start, item.lost) if not isinstance(each, str)]
        low, high = min([item.low, *reached]), max([item.high, *reached])
        edges = (float("-inf"), *points, float("inf"))
        found = [2 * at + 1 for at, point in enumerate(points) if low <= point <= high]
        for at, (left, right) in enumerate(pairwise(edges)):
            reaches = left < low < right or left < high < right or (low <= left and right <= high)
            found += [2 * at] if reaches else []
        return sorted(found)

    def _clock_says(self, timed: Timed) -> str:
        clock = self._clock(timed)
        match timed:
            case Held():
                return f"({clock} == {timed.time_ms + 1})"
            case First():
                return f"({clock} >= 1 && {clock} <= {timed.time_ms})"
            case Plus():
                return f"({clock} >= 1)"

    def _clock(self, timed: Timed) -> str:
        if self._is_late(timed):
            return f"lc{self.late_clocks.index(timed)}"
        return f"c{self.clocks.index(timed)}"

    def _event(self, event: Event) -> str:
        if event.kind == "becomes":
            item = event.item or Truth(event.name)
            return f"lt{self.late_turns.index(item)}" if self.late else f"t{self.turns.index(item)}"
        place = self.inputs[event.name]
        if event.kind == "leaves":
            return f"(first && l{place} == {self.place(event.name, event.position) + 1})"
        return f"(first && {'p' if event.kind == 'pressed' else 'r'}{place})"

    late = False
    """Is the promise being read? Its `becomes` looks from the end of one moment to the end of the next."""

    # ------------------------------------------------------------------------------------------------------- showing

    def _head(self, statement: HeadStatement, head_id: str) -> str:
        together = next(head.burns_together for head in self.model.heads if head.id == head_id)
        asked: list[tuple[str, list[object]]] = []
        names = []
        for place, function in enumerate(self.model.functions):
            ways, _ = variants(self.model, function)
            shows = [None, *(way.get(head_id) for way in ways)]
            if any(shows):
                asked.append((f"x{place}", list(shows)))
                names.append(function.name)
        limits = self.model.limits if statement.at_least_share is not None else ()
        asked += [(f"d{self.model.limits.index(limit)}", ["", limit.name]) for limit in limits]

        def answer(meant: tuple[object, ...]) -> bool:
            wants = {name: show for name, show in zip(names, meant, strict=False) if show is not None}
            scaling = frozenset(map(str, meant[len(names) :]))
            shown = self.rules.head(wants, burns_together=together)  # type: ignore[arg-type]
            return self.rules.says(statement, shown, self.excused, scaling)

        return tree(asked, answer)

    def _equipment(self, name: str) -> str:
        """It sounds or runs, and not by what an excused function does."""
        asked: list[tuple[str, list[object]]] = []
        told: list[str] = []
        for function in self.model.functions:
            for sound in {each.siren: each for each in function.sounds}.values():
                if sound.siren == name:
                    asked.append((f"(x{self.functions[function.name]} != 0)", [False, True]))
                    told.append(function.name)
        memories = sorted({s.tone_memory for f in self.model.functions for s in f.sounds if s.siren == name} - {""})
        asked += [
            (f"m{self.memories[memory]}", list(self.model.memories[self.memories[memory]].values))
            for memory in memories
        ]

        def answer(meant: tuple[object, ...]) -> bool:
            tones = dict(zip(memories, meant[len(told) :], strict=True))
            wants = {
                function: str(tones[sound.tone_memory]) if sound.tone_memory else sound.tone
                for function, wanted in zip(told, meant, strict=False)
                for sound in self.rules.functions[function].sounds
                if wanted and sound.siren == name
            }
            owners, _ = self.rules.best(wants, wants)
            return any(owner not in self.excused for owner in owners)

        runs = [f for f in self.model.functions if name in f.runs and f.name not in self.excused]
        cuts = [f for f in self.model.functions if name in f.interrupts]
        running = any_of(f"(x{self.functions[each.name]} != 0)" for each in runs)
        cut = any_of(f"(x{self.functions[each.name]} != 0)" for each in cuts)
        return any_of([tree(asked, answer), f"({running} && !{cut})"])

    def _ends(self, function: Function, *, ask: bool | None = None) -> list[str]:
        return [
            self.says(stop.when)
            for stop in self.model.stops
            if function.rank != ROAD
            and (function.name in stop.functions or function.rank in stop.ranks)
            and ask in (None, stop.resume == "ask")
        ]

    def _stopped(self, function: Function) -> str:
        return any_of(self._ends(function))


def all_of(said: Iterable[str]) -> str:
    each = list(said)
    return "(" + " && ".join(each) + ")" if each else "1"


def any_of(said: Iterable[str]) -> str:
    each = list(said)
    return "(" + " || ".join(each) + ")" if each else "0"
