"""Who has a head, or a siren, of all functions that want it, and why?

The first in the list of ranks has it. Within one rank a function is out if any active one of its rank here wins over
it, even one that is out itself. If nobody or more than one is left nobody has it, unless all that are left make the
very same statement. The order of functions in the file never decides: where an order is needed it is that of their
names.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from coachwright.control.statement import Wanted

ROAD = "road"


@dataclass(frozen=True, slots=True)
class Claim:
    """One function that wants this head or siren.

    rank_place : place of its rank in the list of ranks, 0 first. statement : what it wants, equal for the very same.
    """

    function: str
    rank: str
    rank_place: int
    wins_over: frozenset[str]
    statement: Hashable


@dataclass(frozen=True, slots=True)
class Contest:
    """What came of it. winners : those who have it, by name; empty when nobody has.

    contenders : the winners, or those of the first rank among whom nothing decides. beaten : (function, who beats it).
    """

    winners: tuple[Claim, ...]
    contenders: tuple[Claim, ...]
    beaten: tuple[tuple[str, str], ...]

    @property
    def ambiguous(self) -> bool:
        """Does more than one want it with nothing to decide?"""
        return bool(self.contenders) and not self.winners


def contest(claims: Sequence[Claim]) -> Contest:
    """Decide between all active functions that want one thing."""
    if not claims:
        return Contest((), (), ())
    first = min(claim.rank_place for claim in claims)
    field = sorted((claim for claim in claims if claim.rank_place == first), key=lambda claim: claim.function)
    beaten = beaten_by(claims)
    left = [claim for claim in field if claim.function not in beaten]
    agreed = bool(left) and len({claim.statement for claim in left}) == 1
    return Contest(tuple(left) if agreed else (), tuple(left or field), tuple(sorted(beaten.items())))


def beaten_by(claims: Sequence[Claim]) -> dict[str, str]:
    """Functions that another one of their rank wins over, and which ones do."""
    found: dict[str, str] = {}
    for claim in claims:
        winners = [
            other.function
            for other in claims
            if other.rank_place == claim.rank_place
            and other.function != claim.function
            and claim.function in other.wins_over
        ]
        if winners:
            found[claim.function] = ", ".join(sorted(winners))
    return found


def next_best(claims: Sequence[Claim], used: Sequence[Claim]) -> Contest:
    """Who comes after `used`: the same rule over the functions not yet used and not beaten."""
    beaten = beaten_by(claims)
    names = {claim.function for claim in used}
    return contest([claim for claim in claims if claim.function not in beaten and claim.function not in names])


def outcomes(
    claims: Sequence[Claim], decided: Contest, *, beside: Sequence[str] = (), unclear: Sequence[str] = ()
) -> tuple[Wanted, ...]:
    """What became of each claim, in the order of ranks and names.

    beside : functions that show beside the winner. unclear : those among whom nothing decides who shows beside it.
    """
    beaten = dict(decided.beaten)
    winners = tuple(claim.function for claim in decided.winners)
    rivals = tuple(claim.function for claim in decided.contenders) if decided.ambiguous else tuple(unclear)
    held_by = ", ".join(claim.function for claim in decided.contenders)
    found = []
    for claim in sorted(claims, key=lambda claim: (claim.rank_place, claim.function)):
        name = claim.function
        if name in winners:
            outcome, by = "owns", ""
        elif name in rivals:
            outcome, by = "ambiguous", ", ".join(other for other in rivals if other != name)
        elif name in beside:
            outcome, by = "beside", ", ".join(winners)
        elif name in beaten:
            outcome, by = "beaten", beaten[name]
        else:
            outcome, by = "lower-rank", held_by
        found.append(Wanted(name, claim.rank, outcome, by))
    return tuple(found)
