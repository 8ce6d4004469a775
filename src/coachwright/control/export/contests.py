"""Who has each head and each siren, and what it shows, written out as statements?

The rule of coachwright.control.ranks, rank by rank: of the first rank that wants a thing those are left whom nobody of
their rank beats; they have it if they all say the very same. Then, where the winner says ``beside``, the next rank may
add colours not yet named. Heads that the same functions want in the same way are decided once.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from coachwright.build.model import ColourShow
from coachwright.control.export.draft import Draft
from coachwright.control.export.terms import (
    FALSE,
    TRUE,
    Block,
    Const,
    Expr,
    Ref,
    Stmt,
    all_of,
    any_of,
    compare,
    opposite,
    put,
    when,
)
from coachwright.control.ranks import ROAD

WHOLE = 10_000
"""Shares are whole numbers, in hundredths of a percent."""


Scales: TypeAlias = dict[str, tuple[Ref, tuple[float, ...]]]


def share_number(share: float) -> int:
    """A share as it is exported."""
    return round(share * WHOLE)


@dataclass(frozen=True, slots=True)
class Bid:
    """One thing that one function may want of a head or siren.

    wanted : while it does. statement : equal for the very same; None where `tone` says it. numbers : of each colour.
    """

    function: str
    rank: str
    rank_place: int
    wins_over: frozenset[str]
    wanted: Expr
    statement: Hashable
    colours: tuple[ColourShow, ...] = ()
    numbers: tuple[int, ...] = ()
    dark: bool = False
    beside: bool = False
    tone: Expr | None = None


@dataclass(slots=True)
class Won:
    """What came of a contest. parts : (bid, colour, its number, while it burns). owns : per function."""

    statements: list[Stmt]
    undecided: Expr
    owns: dict[str, Expr]
    parts: list[tuple[Bid, ColourShow, int, Expr]]


def contest(draft: Draft, name: str, bids: Sequence[Bid], *, may_add: bool) -> Won:
    """Decide one head or siren. may_add : others may show beside the winner."""
    return _Contest(draft, name, bids, may_add=may_add).decided()


class _Contest:
    def __init__(self, draft: Draft, name: str, bids: Sequence[Bid], *, may_add: bool) -> None:
        self.draft = draft
        self.name = name
        self.may_add = may_add
        self.bids = sorted(bids, key=lambda bid: (bid.rank_place, bid.function))
        self.statements: list[Stmt] = []
        self.owns: dict[str, list[Expr]] = {}
        self.parts: list[tuple[Bid, ColourShow, int, Expr]] = []
        self.undecided: list[Expr] = []

    def decided(self) -> Won:
        free: Expr = TRUE
        adding: Expr = FALSE
        named: dict[str, Expr] = {}
        ranks = sorted({bid.rank_place for bid in self.bids})
        for rank_place in ranks:
            bids = [bid for bid in self.bids if bid.rank_place == rank_place]
            wanted = [self._known(bid.wanted, "wants", bid.function) for bid in bids]
            left = [
                self._known(each, "left", bid.function)
                for bid, each in zip(bids, self._left(bids, wanted), strict=True)
            ]
            present, somebody = any_of(wanted), any_of(left)
            differ = self._differ(bids, left)
            open_to = any_of((free, adding))
            self.undecided += [all_of((free, present, opposite(somebody))), all_of((open_to, differ))]
            won = self._known(all_of((free, opposite(differ))), "first", bids[0].rank)
            add = self._known(all_of((adding, opposite(differ))), "adds", bids[0].rank)
            goes_on, named = self._take(bids, left, named, won=won, add=add)
            if rank_place == ranks[-1]:
                break
            adding = any_of((all_of((adding, opposite(somebody))), goes_on))
            adding = self._known(adding, "open", bids[0].rank)
            free = self._known(all_of((free, opposite(present))), "free", bids[0].rank)
        owns = {function: any_of(found) for function, found in self.owns.items()}
        return Won(self.statements, any_of(self.undecided), owns, self.parts)

    def _known(self, value: Expr, *words: str) -> Expr:
        """A variable that holds it, so that it is worked out once."""
        if isinstance(value, Const | Ref):
            return value
        ref = self.draft.flag(self.name, *words)
        self.statements.append(put(ref, value))
        return ref

    def _left(self, bids: Sequence[Bid], wanted: Sequence[Expr]) -> list[Expr]:
        found = []
        for bid, own in zip(bids, wanted, strict=True):
            beaten = any_of(
                theirs
                for other, theirs in zip(bids, wanted, strict=True)
                if other.function != bid.function and bid.function in other.wins_over
            )
            found.append(all_of((own, opposite(beaten))))
        return found

    def _differ(self, bids: Sequence[Bid], left: Sequence[Expr]) -> Expr:
        """Two that are left don't say the same."""
        found = []
        for at, one in enumerate(bids):
            for further, other in enumerate(bids[at + 1 :], at + 1):
                if one.function != other.function:
                    found.append(all_of((left[at], left[further], _unlike(one, other))))
        return self._known(any_of(found), "differ", bids[0].rank)

    def _take(
        self, bids: Sequence[Bid], left: Sequence[Expr], named: dict[str, Expr], *, won: Expr, add: Expr
    ) -> tuple[Expr, dict[str, Expr]]:
        """Gives it to those left. Whether somebody may add to it, and the colours named by now."""
        goes_on: list[Expr] = []
        naming: dict[str, list[Expr]] = {}
        for bid, own in zip(bids, left, strict=True):
            winner = self._known(all_of((won, own)), "has", bid.function)
            beside = FALSE if bid.dark else self._known(all_of((add, own)), "adds", bid.function)
            new = any_of(opposite(named.get(colour.colour, FALSE)) for colour in bid.colours)
            self.owns.setdefault(bid.function, []).append(any_of((winner, all_of((beside, new)))))
            for colour, number in zip(bid.colours, bid.numbers, strict=True):
                burns = any_of((winner, all_of((beside, opposite(named.get(colour.colour, FALSE))))))
                self.parts.append((bid, colour, number, burns))
                naming.setdefault(colour.colour, []).append(any_of((winner, beside)))
            if bid.dark:
                goes_on.append(all_of((add, own)))
            elif bid.beside and self.may_add:
                goes_on.append(beside if bid.rank == ROAD else any_of((winner, beside)))
        known = dict(named)
        for colour_name, found in naming.items():
            known[colour_name] = any_of((named.get(colour_name, FALSE), *found))
        return any_of(goes_on), known


def _unlike(one: Bid, other: Bid) -> Expr:
    if one.tone is not None and other.tone is not None:
        if isinstance(one.tone, Const) and isinstance(other.tone, Const):
            return FALSE if one.tone == other.tone else TRUE
        return opposite(compare(one.tone, "==", other.tone))
    return FALSE if one.statement == other.statement else TRUE


def burning(won: Won, colour: str, shown: Ref, share: Ref, scales: Scales) -> Block:
    """What one colour of a head shows and at which share; of several owners the brightest counts.

    scales : per function that limits scale, what they leave of it now, and every factor that can be.
    """
    found: list[Stmt] = [put(shown, 0), put(share, 0)]
    parts = [(bid, each, number, burns) for bid, each, number, burns in won.parts if each.colour == colour]
    for bid, each, number, burns in parts:
        alone = all(other.function == bid.function for other, _, theirs, _ in parts if theirs == number)
        found += when(burns, put(shown, number), *_level(bid.function, each.share, share, scales, alone=alone))
    return tuple(found)


def _level(function: str, own_share: float, share: Ref, scales: Scales, *, alone: bool) -> Block:
    """At which share it burns. alone : nobody else can say the very same."""
    if function not in scales:
        whole = share_number(own_share)
        return (put(share, whole),) if alone else when(compare(share, "<", whole), put(share, whole))
    scale, factors = scales[function]
    found: list[Stmt] = []
    for factor in factors:
        number = share_number(own_share * factor)
        here = compare(scale, "==", share_number(factor))
        brighter = here if alone else all_of((here, compare(share, "<", number)))
        found += when(brighter, put(share, number))
    return tuple(found)
