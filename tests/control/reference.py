"""A slow controller that takes every millisecond one by one: the second opinion on coachwright.control.machine.

Written from docs/control.md and nothing else. Names instead of places, times of the clock instead of countdowns, sets
and recursion instead of bits and compiled answers; nothing is remembered that could be worked out again, and nothing
of coachwright.control is imported.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
    children,
)
from coachwright.build.model import Function, Model, Show
from tests.control.reference_sources import NEVER, Sources


class Reference(Sources):
    """One controller at work."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.by_name = {item.name: item for item in model.inputs}
        self.words = {word.name: word.condition for word in model.words}
        self.values_of = {item.name: item.values for item in model.inputs} | {m.name: m.values for m in model.memories}
        self.early_timers, self.late_timers, self.early_becomes = self._collect()

    def _collect(self) -> tuple[list[Condition], list[Condition], list[Condition]]:
        early: list[Condition] = list(self.words.values())
        for function in self.model.functions:
            early += [c for c in (function.when, *(item.condition for item in function.at_most)) if c is not None]
        early += [stop.when for stop in self.model.stops] + [limit.when for limit in self.model.limits]
        early += [
            c for m in self.model.memories for move in m.moves for c in (move.on, move.condition) if c is not None
        ]
        late = [message.when for message in self.model.messages if message.when is not None]
        late += [item.tell_tale_condition for item in self.model.inputs if item.tell_tale_condition is not None]
        nodes = [node for condition in early for node in every_node(condition)]
        late_nodes = [node for condition in late for node in every_node(condition)]
        timers = [node for node in (*nodes, *late_nodes) if isinstance(node, Held | First | Plus)]
        reads_functions = [t for t in timers if any(isinstance(node, FunctionState) for node in every_node(t))]
        becomes = [node for node in nodes if isinstance(node, Event) and node.kind == "becomes"]
        return [t for t in timers if t not in reads_functions], reads_functions, becomes

    # ---- the two ways in

    def power_up(
        self, sources: Mapping[str, Any], kept: Mapping[str, str], *, lost: frozenset[str], asleep: bool
    ) -> None:
        self.now = 0
        self.clock = 0  # what timed conditions count by; it stands still asleep
        self._fresh(dict(sources), dict(kept), lost, asleep)

    def _fresh(self, sources: dict[str, Any], kept: dict[str, str], lost: frozenset[str], asleep: bool) -> None:
        self.sources, self.lost, self.asleep = sources, lost, asleep
        self.kept = kept
        self.candidate: dict[str, tuple[Any, int]] = {}
        self.edges: dict[str, list[list[Any]]] = {name: [] for name in self.wires()}
        self.hold_until = dict.fromkeys(self.wires(), NEVER)
        self.beside_since: dict[str, int | None] = dict.fromkeys(self.wires())
        self.hazard = False
        self.since: dict[Condition, int | None] = {}
        self.ended: dict[Condition, int] = {}
        self.was: dict[Condition, bool] = {}
        self.held: set[str] = set()
        self.memory = {memory.name: memory.start for memory in self.model.memories}
        self.seen = {}
        for item in self.model.inputs:
            level = sources[item.name]
            if self.blind(item.name):
                level = self.unseen(item, item.start if item.kind == "pick-one" and item.start != "last" else item.rest)
            self.seen[item.name] = level
        flashing = [name for name in self.wires() if self.seen[name] == "flashing"]
        self.hazard = len(flashing) == 2
        self._watch_beside()
        self.low = self._is_low(sources)
        self.happened: set[Any] = set()
        self._moment(quiet=True)

    def _is_low(self, sources: Mapping[str, Any]) -> bool:
        parts = dict(self.model.parts)
        leasts = [
            parts[e.part].least_voltage
            for e in self.model.equipment
            if e.part in parts and parts[e.part].kind == "controller"
        ]
        return "supply" in self.by_name and bool(leasts) and sources["supply"] < max(leasts)

    def step(
        self,
        sources: Mapping[str, Any],
        elapsed_ms: int,
        *,
        lost: frozenset[str],
        asleep: bool,
        true: Mapping[str, Any],
    ) -> None:
        """`true` : the sources without faults, which decide about the supply."""
        for _ in range(elapsed_ms):
            if self.low:
                break
            self.now += 1
            self.clock += 0 if self.asleep else 1
            self.happened = set()
            self._lone_edges()
            self._read(self.sources, self.lost, self.asleep)
            self._moment(quiet=False)
        if self.low or self._is_low(true):
            kept = {
                item.name: self.kept[item.name] if item.start == "last" else item.start
                for item in self.model.inputs
                if item.kind in ("toggle", "pick-one")
            }
            self._fresh(dict(sources), kept, lost, asleep)
            self.low = self._is_low(true)
            return
        self.happened = set()
        self._read(sources, lost, asleep)
        self._moment(quiet=False)

    # ---- conditions

    def truth(self, condition: Condition, known: dict[Condition, bool]) -> bool:
        """`known` : timers and words already worked out in this round."""
        if condition not in known:
            known[condition] = self._truth(condition, known)
        return known[condition]

    def _truth(self, condition: Condition, known: dict[Condition, bool]) -> bool:  # noqa: PLR0911
        match condition:
            case Constant(value):
                return value
            case Truth(name) if name in self.words:
                return self.truth(self.words[name], known)
            case Truth(name):
                return self._of(name) == "on"
            case Compare(name, sign, value):
                here, there = self._of(name), value
                if self.values_of[name]:
                    here, there = self.values_of[name].index(here), self.values_of[name].index(str(value))
                return {
                    "==": here == there, "!=": here != there, "<": here < there,
                    "<=": here <= there, ">": here > there, ">=": here >= there,
                }[sign]  # fmt: skip
            case OneOf(name, values):
                return self._of(name) in values
            case Not(item):
                return not self.truth(item, known)
            case And(items):
                return all(self.truth(item, known) for item in items)
            case Or(items):
                return any(self.truth(item, known) for item in items)
            case Held(item, time_ms) | First(item, time_ms) | Plus(item, time_ms):
                return self._timed(condition, self.truth(item, known), time_ms)
            case Event("becomes", name, _, item):
                item = item or Truth(name)
                return self.truth(item, known) and not self.before.get(item, False) and not self.quiet
            case Event(kind, name, position):
                wanted = (kind, name, position) if kind == "leaves" else (kind, name)
                return self.first_round and wanted in self.happened
            case FunctionState(name, "active"):
                return name in self.active
            case FunctionState(name, _):
                return name in self.wanting and name not in self.stopped and name in self.held
        raise AssertionError(condition)

    def _of(self, name: str) -> Any:
        return self.memory[name] if name in self.memory else self.value(name)

    def _timed(self, timer: Condition, holds: bool, time_ms: int) -> bool:
        if holds and self.since.get(timer) is None:
            self.since[timer] = self.clock
        if not holds and self.since.get(timer) is not None:
            self.since[timer] = None
            self.ended[timer] = self.clock
        since = self.since.get(timer)
        if isinstance(timer, Held):
            return since is not None and self.clock - since >= time_ms
        if isinstance(timer, First):
            return since is not None and self.clock - since < time_ms
        return since is not None or self.clock - self.ended.get(timer, NEVER) < time_ms

    def _work_out(self) -> tuple[dict[Condition, bool], bool]:
        known: dict[Condition, bool] = {}
        for timer in self.early_timers:
            self.truth(timer, known)
        becomes = [self.truth(event, known) for event in self.early_becomes]  # every one, before memory moves on
        happened = any(becomes)
        if self.first_round:
            happened = happened or any(event[0] in ("pressed", "released", "leaves") for event in self.happened)
        return known, happened

    def _end_round(self, known: dict[Condition, bool]) -> None:
        self.before = {
            item: self.truth(item, known) for event in self.early_becomes for item in [event.item or Truth(event.name)]
        }

    # ---- one moment

    def _moment(self, *, quiet: bool) -> None:
        self.quiet, self.before = quiet, dict(self.was)
        self.asked: set[str] = set()
        self.restless: set[str] = set()
        start = dict(self.memory)
        self.first_round = True
        known, happened = self._work_out()
        for memory in self.model.memories:
            move = next((m for m in memory.moves if self._acts(m, known)), None)
            names = [] if move is None else [e for c in (move.on, move.condition) if c for e in every_node(c)]
            events = [
                e for e in names if isinstance(e, Event) and e.kind != "becomes" and self.by_name[e.name].is_control
            ]
            if any(self.truth(event, known) for event in events):
                self.asked.add(memory.name)
        saved = (dict(self.since), dict(self.ended))
        known = self._rounds(known, happened)
        if known is None:
            wandered = {name for m in self.path for name in m if m[name] != start[name]}
            self.restless = wandered
            self.memory, (self.since, self.ended) = start, (dict(saved[0]), dict(saved[1]))
            self.first_round, self.before = True, dict(self.was)
            first_known, _ = self._work_out()
            self._end_round(first_known)
            self.first_round = False
            known, _ = self._work_out()
            quiet_saved = (dict(self.since), dict(self.ended), dict(self.memory))
            quiet_known = known
            known = self._rounds(known, False)
            if known is None:
                self.since, self.ended, self.memory = quiet_saved
                known = quiet_known
        self._end_round(known)
        self.was = self.before
        self.first_round = True
        self._functions(known)

    def _acts(self, move: Any, known: dict[Condition, bool]) -> bool:
        return self.truth(move.on, known) and (move.condition is None or self.truth(move.condition, known))

    def _rounds(self, known: dict[Condition, bool], happened: bool) -> dict[Condition, bool] | None:
        """Memory moved until it stands; None when it comes back to where it was."""
        self.path = [dict(self.memory)]
        while True:
            new = {}
            for memory in self.model.memories:
                now = self.memory[memory.name]
                new[memory.name] = now
                for move in memory.moves:
                    if self._acts(move, known):
                        around = list(move.next)
                        following = (
                            around[(around.index(now) + 1) % len(around)] if now in around else (around or [""])[0]
                        )
                        new[memory.name] = following if around else move.to
                        break
            if new == self.memory and not happened:
                return known
            if new != self.memory:
                if new in self.path:
                    return None
                self.path.append(new)
                self.memory = new
            self._end_round(known)
            self.first_round = False
            known, happened = self._work_out()

    def _functions(self, known: dict[Condition, bool]) -> None:
        model = self.model
        self.shows: dict[str, dict[str, Show]] = {}
        for function in model.functions:
            shows = self._wants(function, known)
            if shows is not None:
                self.shows[function.name] = shows
        self.wanting = set(self.shows)
        self.stopped_by: dict[str, set[str]] = {}
        held_from_now = set()
        for stop in model.stops:
            if self.truth(stop.when, known):
                for function in model.functions:
                    if function.rank != "road" and (function.name in stop.functions or function.rank in stop.ranks):
                        self.stopped_by.setdefault(function.name, set()).add(stop.name)
                        if stop.resume == "ask":
                            held_from_now.add(function.name)
        self.stopped = set(self.stopped_by)
        for function in model.functions:
            if function.name in held_from_now:
                self.held.add(function.name)
            elif function.name in self.held and self._asks(function):
                self.held.discard(function.name)
        self.active = self.wanting - self.stopped - self.held
        late: dict[Condition, bool] = dict(known)
        for timer in self.late_timers:
            self.truth(timer, late)
        self.messages = {
            message.name
            for message in model.messages
            if (message.when is not None and self.truth(message.when, late))
            or any(message.name in function.says for function in model.functions if function.name in self.active)
        }
        self.factors = {}
        for function in model.functions:
            scales = [
                limit.scale_to_share
                for limit in model.limits
                if function.rank in limit.ranks
                and function.name not in limit.but_not
                and function.rank != "road"
                and self.truth(limit.when, known)
            ]
            self.factors[function.name] = min(scales, default=1.0)

    def _wants(self, function: Function, known: dict[Condition, bool]) -> dict[str, Show] | None:
        shows = {head: show for show in function.shows for head in show.heads}
        if function.when is not None and not self.truth(function.when, known):
            return None
        if not function.by:
            return shows
        positions = self.by_name[function.by].values
        position = positions.index(self.value(function.by))
        for most in function.at_most:
            if self.truth(most.condition, known):
                position = min(position, positions.index(most.level))
        levels = sorted(function.levels, key=lambda level: positions.index(level.position))
        beneath = [level for level in levels if positions.index(level.position) <= position]
        if function.one_level:
            beneath = [level for level in levels if positions.index(level.position) == position]
        if not beneath:
            return None
        return shows | {head: show for level in beneath for show in level.shows for head in show.heads}

    def _asks(self, function: Function) -> bool:
        read: set[str] = set()
        waiting = [] if function.when is None else [function.when]
        while waiting:
            for node in every_node(waiting.pop()):
                name = getattr(node, "name", "")
                if name in self.words and name not in read:
                    waiting.append(self.words[name])
                read.add(name)
        for event in self.happened:
            what, name = event[0], event[1]
            if what == "turned on" and name in (*read, function.by):
                return True
            if what == "moved" and name in read and name != function.by:
                return True
            if what == "moved" and name == function.by:
                shown = {level.position for level in function.levels}
                positions = list(self.by_name[name].values)
                at = positions.index(self.value(name))
                if function.one_level and self.value(name) in shown:
                    return True
                if not function.one_level and any(positions.index(position) <= at for position in shown):
                    return True
        return bool(self.asked & read)

    # ---- who has what

    def head(self, head_id: str) -> tuple[frozenset[Any], frozenset[str], bool]:
        """Colours as (colour, how, share), owners, ambiguous."""
        head = self.model.head(head_id)
        wants = {name: self.shows[name][head_id] for name in self.active if head_id in self.shows[name]}
        best, unclear = self._best(wants, wants)
        if not best:
            return frozenset(), frozenset(), unclear
        colours: dict[str, tuple[Any, float]] = {}
        owners = set(best)
        self._add(colours, best, wants)
        used = set(best)
        last = best
        road = any(self._function(name).rank == "road" for name in best)
        while wants[last[0]].beside and not wants[last[0]].dark and not road and head.burns_together:
            rest = {n: s for n, s in wants.items() if n not in used and not self._beaten(n, wants)}
            found, unclear = self._best(rest, rest)
            if not found:
                break
            used |= set(found)
            if wants[found[0]].dark:
                continue
            if self._add(colours, found, wants):
                owners |= set(found)
            last = found
        return frozenset((c, how, round(share, 9)) for c, (how, share) in colours.items()), frozenset(owners), unclear

    def _add(self, colours: dict[str, tuple[Any, float]], names: list[str], wants: Mapping[str, Show]) -> bool:
        added = False
        factor = max(self.factors[name] for name in names)
        for colour in wants[names[0]].colours:
            if colour.colour not in colours:
                how = (colour.manner, colour.pattern.text if colour.pattern else "", colour.sides, colour.signal)
                colours[colour.colour] = (how, colour.share * factor)
                added = True
        return added

    def _function(self, name: str) -> Function:
        return next(function for function in self.model.functions if function.name == name)

    def _beaten(self, name: str, among: Mapping[str, Any]) -> bool:
        rank = self._function(name).rank
        return any(
            name in self._function(other).wins_over and self._function(other).rank == rank and other != name
            for other in among
        )

    def _best(self, wants: Mapping[str, Any], field: Mapping[str, Any]) -> tuple[list[str], bool]:
        for rank in self.model.ranks:
            of_rank = sorted(name for name in wants if self._function(name).rank == rank)
            if of_rank:
                left = [name for name in of_rank if not self._beaten(name, field)]
                if left and all(same(wants[left[0]], wants[name]) for name in left):
                    return left, False
                return [], True
        return [], False

    def sound(self, siren: str) -> tuple[str, frozenset[str]] | None:
        """Tone and owners of a siren; None when nobody wants it."""
        tones = {
            function.name: self.memory[sound.tone_memory] if sound.tone_memory else sound.tone
            for function in self.model.functions
            if function.name in self.active
            for sound in function.sounds
            if sound.siren == siren
        }
        if not tones:
            return None
        best, _ = self._best(tones, tones)
        return (tones[best[0]] if best else "", frozenset(best))

    def doing(self, what: str) -> frozenset[str]:
        """Names that run, or are interrupted."""
        return frozenset(n for f in self.model.functions if f.name in self.active for n in getattr(f, what))


def same(one: Any, other: Any) -> bool:
    """Is it the very same statement?"""
    if isinstance(one, str):
        return bool(one == other)

    def said(show: Show) -> Any:
        runs = any(
            c.pattern and (c.pattern.word.startswith("run") or c.pattern.word == "four-corner") for c in show.colours
        )
        colours = {(c.colour, c.manner, c.pattern, c.sides, c.share, c.signal) for c in show.colours}
        return (show.dark, show.beside, colours, show.heads if runs else None)

    return bool(said(one) == said(other))


def every_node(condition: Condition) -> list[Condition]:
    """The condition and everything inside it."""
    return [condition, *(node for item in children(condition) for node in every_node(item))]
