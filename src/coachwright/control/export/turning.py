"""Is the driver turning, or is it the hazard flasher? The rule of two turn wires, written out as statements.

The same as coachwright.control.turns does: times in whole milliseconds, 0 over, `ON_AND_ON` a wire that keeps flashing.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.control.export.draft import Draft
from coachwright.control.export.sources import DOWN, NO_EDGE, UP, Wired
from coachwright.control.export.terms import (
    Block,
    Expr,
    If,
    Reckon,
    Ref,
    Stmt,
    all_of,
    any_of,
    compare,
    opposite,
    put,
    when,
)
from coachwright.control.turns import FLASHING, ON_AND_ON, TurnWires


@dataclass(frozen=True, slots=True)
class Turning:
    """One wire. alone : its edge is known to have stayed alone in this moment."""

    wired: Wired
    edge_hold_ms: int
    hold_ms: Ref
    up_ms: Ref
    down_ms: Ref
    alone: Ref

    @property
    def times(self) -> tuple[Ref, ...]:
        return (self.hold_ms, self.up_ms, self.down_ms)

    @property
    def flashes(self) -> Expr:
        return compare(self.wired.seen, "==", FLASHING)

    @property
    def waits(self) -> Expr:
        return any_of((compare(self.up_ms, ">", 0), compare(self.down_ms, ">", 0)))


class TurnRule:
    """The statements of both wires, or of the only one. hazard_read : what conditions read, where there are two."""

    def __init__(self, draft: Draft, wires: TurnWires | None, inputs: tuple[Wired, ...], hazard: str) -> None:
        found = [each for each in inputs if each.edge is not None] if wires is not None else []
        self.together_ms = wires.together_ms if wires is not None else 0
        holds = wires.edge_hold_ms if wires is not None else ()
        self.wires = tuple(
            Turning(
                each,
                hold_ms,
                draft.kept("hold", each.item.name, "ms", start=0, says="left of its edge hold, -1 flashes on and on"),
                draft.kept("up", each.item.name, "ms", start=0, says="until its last edge up counts as alone"),
                draft.kept("down", each.item.name, "ms", start=0, says="until its last edge down counts as alone"),
                draft.flag("alone", each.item.name),
            )
            for each, hold_ms in zip(found, holds, strict=True)
        )
        self.hazard = draft.kept("hazard", start=False, says="the hazard flasher is on") if self.wires else None
        self.hazard_read = draft.reads[hazard] if hazard else None
        self.was_together = draft.flag("edges_together") if len(self.wires) == 2 else None

    @property
    def pairs(self) -> tuple[tuple[Turning, Turning], ...]:
        if len(self.wires) != 2:
            return ()
        one, other = self.wires
        return (one, other), (other, one)

    def read(self, power: Ref) -> Block:
        """What is known after the edges of this moment."""
        if self.hazard is None:
            return ()
        starts: list[Stmt] = [put(self.hazard, False)]
        for each in self.wires:
            on = when(each.flashes, put(each.hold_ms, ON_AND_ON), otherwise=(put(each.hold_ms, 0),))
            starts += [*on, put(each.up_ms, 0), put(each.down_ms, 0)]
        if self.pairs:
            starts += when(all_of(each.flashes for each in self.wires), put(self.hazard, True))
        later = [stmt for each in self.wires for stmt in self._after_edge(each)]
        return (
            If(
                ((power, (*starts, *self._tidy(0))),),
                (*later, *self._found_together(), *self._tidy(self.together_ms + 1)),
            ),
        )

    def _after_edge(self, each: Turning) -> Block:
        on_and_on = compare(each.hold_ms, "==", ON_AND_ON)
        assert each.wired.edge is not None
        forget = (put(each.up_ms, 0), put(each.down_ms, 0))
        alone_in = self.together_ms + 1
        flashing = (
            *when(opposite(on_and_on), put(each.up_ms, 0)),
            put(each.hold_ms, ON_AND_ON),
            put(each.down_ms, 0),
        )
        edge = (
            *when(on_and_on, *forget),
            put(each.hold_ms, each.edge_hold_ms),
            If(((compare(each.wired.edge, "==", UP), (put(each.up_ms, alone_in),)),), (put(each.down_ms, alone_in),)),
        )
        lost = when(on_and_on, put(each.hold_ms, each.edge_hold_ms), *forget)
        return (If(((each.flashes, flashing), (compare(each.wired.edge, ">=", DOWN), edge)), lost),)

    def _found_together(self) -> Block:
        """Is this moment's edge the partner of another one, the same way?"""
        if self.was_together is None or self.hazard is None:
            return ()
        one, other = self.wires
        some = any_of(compare(_edge(each), ">", NO_EDGE) for each in self.wires)
        both = all_of((one.flashes, other.flashes))
        neither = all_of((opposite(one.flashes), opposite(other.flashes)))
        partners = any_of(
            all_of((compare(mine, ">", 0), compare(theirs, ">", 0)))
            for mine, theirs in ((one.up_ms, other.up_ms), (one.down_ms, other.down_ms))
        )
        forget = [put(each, 0) for wire in self.wires for each in (wire.up_ms, wire.down_ms)]
        return (
            put(self.was_together, all_of((some, any_of((both, all_of((neither, partners))))))),
            *when(self.was_together, put(self.hazard, True), *forget),
        )

    def _tidy(self, wait_ms: int) -> Block:
        """Hazard ends with both holds. Beside a wire that flashes on and on the edges of the other are alone."""
        assert self.hazard is not None
        found = list(when(all_of(compare(each.hold_ms, "==", 0) for each in self.wires), put(self.hazard, False)))
        for one, other in self.pairs:
            beside = any_of(
                (
                    compare(other.hold_ms, ">", 0),
                    all_of((self.hazard, opposite(compare(other.hold_ms, "==", ON_AND_ON)))),
                )
            )
            begins = when(compare(one.up_ms, "==", 0), put(one.up_ms, wait_ms)) if wait_ms else ()
            up = when(beside, *begins, otherwise=(put(one.up_ms, 0),))
            found += when(compare(one.hold_ms, "==", ON_AND_ON), *up, put(one.down_ms, 0))
        return tuple(found)

    def pass_time(self, elapsed: Ref) -> Block:
        """So much later, without an edge."""
        if self.hazard is None:
            return ()
        later: list[Stmt] = []
        for each in self.wires:
            ends = (all_of((compare(ms, ">", 0), compare(ms, "<=", elapsed))) for ms in (each.up_ms, each.down_ms))
            later.append(put(each.alone, any_of(ends)))
            for ms in each.times:
                later += when(compare(ms, ">", 0), put(ms, Reckon("-", ms, elapsed)))
            for ms in (each.up_ms, each.down_ms):
                later += when(compare(ms, "<", 0), put(ms, 0))
        later += when(any_of(each.alone for each in self.wires), put(self.hazard, False))
        for one, other in self.pairs:
            own_edge = any_of((other.waits, other.alone))
            ends_other = all_of(
                (
                    one.alone,
                    compare(other.hold_ms, ">", 0),
                    any_of((compare(one.hold_ms, "==", ON_AND_ON), opposite(own_edge))),
                )
            )
            later += when(ends_other, *(put(ms, 0) for ms in other.times))
        runs = any_of(any_of((compare(each.hold_ms, ">", 0), each.waits)) for each in self.wires)
        return when(runs, *later, *self._tidy(0))

    @property
    def times(self) -> tuple[Ref, ...]:
        """Times that run."""
        return tuple(ms for each in self.wires for ms in each.times)

    def values_read(self) -> Block:
        """What conditions read of turns and hazard."""
        found: list[Stmt] = []
        for each in self.wires:
            assert self.hazard is not None
            turns = all_of((opposite(compare(each.hold_ms, "==", 0)), opposite(self.hazard)))
            found += when(turns, put(each.wired.read, 1), otherwise=(put(each.wired.read, 0),))
        if self.hazard_read is not None and self.hazard is not None:
            found += when(self.hazard, put(self.hazard_read, 1), otherwise=(put(self.hazard_read, 0),))
        return tuple(found)


def _edge(each: Turning) -> Ref:
    assert each.wired.edge is not None
    return each.wired.edge
