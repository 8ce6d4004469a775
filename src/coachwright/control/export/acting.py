"""Which functions act now, written out as statements: who wants to, who is stopped, who waits to be asked again.

The same as coachwright.control.functions does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coachwright.build.model import Function
from coachwright.control.compiled import Machine
from coachwright.control.export.draft import Draft
from coachwright.control.export.sources import Wired
from coachwright.control.export.terms import (
    FALSE,
    Block,
    Expr,
    Ref,
    Stmt,
    all_of,
    any_of,
    compare,
    one_of,
    opposite,
    put,
    when,
)
from coachwright.control.functions import NOT_WANTED, CompiledFunction


@dataclass(frozen=True, slots=True)
class Actor:
    """One function. level : place of what it would show, -1 when it doesn't want to act. held : it waits (kept)."""

    function: Function
    compiled: CompiledFunction
    level: Ref
    active: Ref
    stopped: Expr
    held: Ref | None
    held_off: Expr

    def shows(self, variants: frozenset[int]) -> Expr:
        """It acts, and shows one of these."""
        if len(variants) == len(self.compiled.variants):
            return self.active
        return all_of((self.active, one_of(self.level, sorted(variants))))


class Acts:
    """All functions and stops of one machine."""

    def __init__(self, draft: Draft, machine: Machine) -> None:
        self.draft = draft
        self.machine = machine
        model = draft.model
        self.stops = tuple(
            draft.output("stop", each.name, kind="bool", says=draft.said(each.when)) for each in model.stops
        )
        self.actors = tuple(
            self._actor(function, compiled, place)
            for place, (function, compiled) in enumerate(zip(model.functions, machine.functions, strict=True))
        )
        draft.active = {each.function.name: each.active for each in self.actors}
        draft.held_off = {each.function.name: each.held_off for each in self.actors}

    def _stopping(self, place: int, *, asks: bool) -> Expr:
        return any_of(
            ref
            for ref, each in zip(self.stops, self.machine.stops, strict=True)
            if each.functions >> place & 1 and (each.asks or not asks)
        )

    def _actor(self, function: Function, compiled: CompiledFunction, place: int) -> Actor:
        draft, name = self.draft, function.name
        levels = ", ".join(f"{at} {each.position}" for at, each in enumerate(compiled.variants) if each.position)
        level = draft.output("level", name, kind="int", says=f"-1 doesn't want to act{', ' if levels else ''}{levels}")
        active = draft.output("acts", name, kind="bool", says=f"{name}, rank {function.rank}")
        stopped = self._stopping(place, asks=False)
        held = None
        held_off: Expr = FALSE
        if self._stopping(place, asks=True) != FALSE:
            held = draft.kept("waits", name, start=False, says=f"{name} is held off until it is asked for again")
            held_off = all_of((compare(level, ">=", 0), opposite(stopped), held))
        return Actor(function, compiled, level, active, stopped, held, held_off)

    def block(self, inputs: Mapping[str, Wired], asked: Mapping[str, Ref]) -> Block:
        """Who acts, once memory stands. asked : per memory, whether an event of a control made a move act there."""
        found: list[Stmt] = []
        for each in self.actors:
            found += self._wants(each)
        for ref, stop in zip(self.stops, self.draft.model.stops, strict=True):
            found.append(put(ref, self.draft.expr(stop.when)))
        for place, each in enumerate(self.actors):
            if each.held is not None:
                again = all_of((each.held, opposite(self._asked(each, inputs, asked))))
                found.append(put(each.held, any_of((self._stopping(place, asks=True), again))))
            free = opposite(each.held) if each.held is not None else opposite(FALSE)
            found.append(put(each.active, all_of((compare(each.level, ">=", 0), opposite(each.stopped), free))))
        return tuple(found)

    def _wants(self, each: Actor) -> Block:
        function, compiled, level = each.function, each.compiled, each.level
        wants = self.draft.expr(function.when)
        nothing = put(level, NOT_WANTED)
        if not function.by:
            return when(wants, put(level, 0), otherwise=(nothing,))
        stands: Ref = self.draft.reads[function.by]
        found: list[Stmt] = []
        if function.at_most:
            at = self.draft.own("stands", function.name)
            found.append(put(at, stands))
            for (_, most), written in zip(compiled.at_most, function.at_most, strict=True):
                found += when(all_of((compare(at, ">", most), self.draft.expr(written.condition))), put(at, most))
            stands = at
        found.append(nothing)
        shown: list[Stmt] = []
        for variant in range(len(compiled.variants)):
            places = [place for place, at_place in enumerate(compiled.variant_at) if at_place == variant]
            shown += when(one_of(stands, places), put(level, variant))
        return (*found, *when(wants, *shown))

    def _asked(self, each: Actor, inputs: Mapping[str, Wired], asked: Mapping[str, Ref]) -> Expr:
        by = each.compiled.asked_by
        names = [item.name for item in self.draft.model.inputs]
        memories = [memory.name for memory in self.draft.model.memories]
        found: list[Expr] = [_flag(inputs[names[place]].turned_on) for place in sorted(by.turned_on)]
        found += [_flag(inputs[names[place]].moved) for place in sorted(by.moved)]
        if by.by >= 0:
            own = inputs[names[by.by]]
            if own.moved is not None:
                found.append(all_of((own.moved, one_of(own.read, sorted(by.showing)))))
        found += [asked[memories[place]] for place in sorted(by.memories)]
        return any_of(found)


def _flag(ref: Ref | None) -> Expr:
    return FALSE if ref is None else ref
