"""Who can have a head or a siren, and who can stand against whom there with nothing to decide? As literals.

The rule is that of control.ranks, written once more as a circuit. Heads that the same functions want in the same way
are one question.

See Also
--------
coachwright.control.encode : the moment. coachwright.control.ambiguity : asks for the settings.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field
from itertools import combinations

from coachwright.build.model import ColourShow
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.heads import CompiledHead, SoundClaim
from coachwright.control.ranks import ROAD


@dataclass(frozen=True, slots=True)
class Wish:
    """One statement of one function for a head or siren; `wanted` is true while it makes it.

    tone_memory : place of the value among `tones` decides which tone it is; "" for a fixed statement.
    shows : its colours as written; two wishes are equal by their statement.
    """

    function: str
    rank_place: int
    rank: str
    wins_over: frozenset[str]
    wanted: int
    statement: Hashable
    colours: tuple[str, ...] = ()
    dark: bool = False
    beside: bool = False
    tone_memory: str = ""
    shows: tuple[ColourShow, ...] = field(default=(), compare=False)


@dataclass(frozen=True, slots=True)
class Rivals:
    """Functions between which nothing decides while `literal` is true.

    circle : each of them is beaten by another one. beside : the question is who shows beside the winner.
    """

    functions: tuple[str, ...]
    rank: str
    literal: int
    circle: bool = False
    beside: bool = False


@dataclass(frozen=True, slots=True)
class Contested:
    """One head or siren, or several alike.

    wishes : all that is wanted of it.
    owns : per function, true while it has it (or shows beside). lit : true while anybody burns a colour or sounds.
    parts : (function, colour as shown, true while it burns there). Of functions that make one statement each has its
        own.
    """

    ids: tuple[str, ...]
    kind: str
    wishes: tuple[Wish, ...]
    ambiguous: int
    owns: tuple[tuple[str, int], ...]
    lit: int
    rivals: tuple[Rivals, ...]
    parts: tuple[tuple[str, ColourShow, int], ...] = ()


def contested_heads(moment: Moment) -> tuple[Contested, ...]:
    """Every head somebody may want, those alike together, in the model's order."""
    bids = _bids(moment)
    alike: dict[tuple[bool, tuple[Wish, ...]], list[str]] = {}
    for place, head in enumerate(moment.machine.heads.heads):
        wishes = tuple(_head_wishes(moment, head, bids.get(place, {})))
        if wishes:
            alike.setdefault((head.burns_together, wishes), []).append(head.id)
    return tuple(
        _Contest(moment, wishes, may_add=together).decided(tuple(ids), "head")
        for (together, wishes), ids in alike.items()
    )


def contested_sirens(moment: Moment) -> tuple[Contested, ...]:
    """Every siren that a function sounds."""
    return tuple(
        _Contest(moment, tuple(_siren_wish(moment, claim) for claim in claims), may_add=False).decided((name,), "siren")
        for name, claims in moment.machine.heads.sirens
    )


def _bids(moment: Moment) -> dict[int, dict[int, list[int]]]:
    """Per head (by place) and bit of a claim there: literals of the variants that make it."""
    found: dict[int, dict[int, list[int]]] = {}
    for place, per_variant in enumerate(moment.machine.heads.bids):
        acting = moment.functions[moment.machine.functions[place].name]
        for literal, bids in zip(acting.variants, per_variant, strict=True):
            for head, bit in bids:
                found.setdefault(head, {}).setdefault(bit, []).append(literal)
    return found


def _head_wishes(moment: Moment, head: CompiledHead, bids: dict[int, list[int]]) -> list[Wish]:
    wishes = []
    for number, item in enumerate(head.claims):
        wanted = moment.circuit.any_of(bids.get(1 << number, ()))
        if wanted != FALSE:
            claim, show = item.claim, item.show
            colours = tuple(colour.colour for colour in show.colours)
            wishes.append(
                Wish(
                    claim.function,
                    claim.rank_place,
                    claim.rank,
                    claim.wins_over,
                    wanted,
                    claim.statement,
                    colours,
                    show.dark,
                    show.beside,
                    shows=show.colours,
                )
            )
    return wishes


def _siren_wish(moment: Moment, claim: SoundClaim) -> Wish:
    function = claim.function
    memory = ""
    if claim.tone_at >= 0:
        memory = moment.machine.memories[claim.tone_at - len(moment.machine.inputs)].name
    return Wish(
        function.name,
        function.rank_place,
        function.rank,
        claim.wins_over,
        moment.functions[function.name].active,
        claim.tone,
        tone_memory=memory,
    )


class _Contest:
    """One contest, rank by rank. `may_add` : others may show beside the winner."""

    def __init__(self, moment: Moment, wishes: tuple[Wish, ...], *, may_add: bool) -> None:
        self.moment = moment
        self.circuit = moment.circuit
        self.may_add = may_add
        self.by_rank: dict[int, list[Wish]] = {}
        for wish in wishes:
            self.by_rank.setdefault(wish.rank_place, []).append(wish)
        self.rivals: list[Rivals] = []
        self.owns: dict[str, list[int]] = {}
        self.lit: list[int] = []
        self.parts: list[tuple[str, ColourShow, int]] = []
        self.ambiguous: list[int] = []

    def decided(self, ids: tuple[str, ...], kind: str) -> Contested:
        nobody_yet, adding = TRUE, FALSE
        named: dict[str, int] = {}
        for rank in sorted(self.by_rank):
            wishes = self.by_rank[rank]
            present = self.circuit.any_of(wish.wanted for wish in wishes)
            left = self._left(wishes)
            nobody_left = self.circuit.all_of(-each for each in left)
            self._circle(wishes, self.circuit.all_of((nobody_yet, present, nobody_left)))
            first, after = (self.circuit.all_of((each, -nobody_left)) for each in (nobody_yet, adding))
            agreed = -self._rivals_of(wishes, left, first, after)
            won, added = (self.circuit.all_of((each, agreed)) for each in (first, after))
            goes_on, skipped = self._take(wishes, left, named, won=won, added=added)
            adding = self.circuit.any_of((self.circuit.all_of((adding, nobody_left)), skipped, goes_on))
            nobody_yet = self.circuit.all_of((nobody_yet, -present))
        return Contested(
            ids,
            kind,
            tuple(wish for wishes in self.by_rank.values() for wish in wishes),
            self.circuit.any_of(self.ambiguous),
            tuple((name, self.circuit.any_of(literals)) for name, literals in self.owns.items()),
            self.circuit.any_of(self.lit),
            tuple(each for each in self.rivals if each.literal != FALSE),
            tuple(part for part in self.parts if part[2] != FALSE),
        )

    def _left(self, wishes: Sequence[Wish]) -> list[int]:
        """Per wish: it is wanted, and nobody of its rank here wins over its function."""
        beaten = {
            wish.function: self.circuit.any_of(
                other.wanted for other in wishes if wish.function in other.wins_over and other.function != wish.function
            )
            for wish in wishes
        }
        return [self.circuit.all_of((wish.wanted, -beaten[wish.function])) for wish in wishes]

    def _circle(self, wishes: Sequence[Wish], literal: int) -> None:
        if literal != FALSE:
            names = sorted({wish.function for wish in wishes})
            self.rivals.append(Rivals(tuple(names), wishes[0].rank, literal, circle=True))
            self.ambiguous.append(literal)

    def _rivals_of(self, wishes: Sequence[Wish], left: Sequence[int], first: int, after: int) -> int:
        """Literal: two that are left don't say the same. Notes who they are."""
        against: dict[tuple[str, str], list[int]] = {}
        for (one, one_left), (other, other_left) in combinations(zip(wishes, left, strict=True), 2):
            if one.function != other.function:
                both = self.circuit.all_of((one_left, other_left, -self._say_the_same(one, other)))
                if both != FALSE:
                    names = (min(one.function, other.function), max(one.function, other.function))
                    against.setdefault(names, []).append(both)
        for names, literals in sorted(against.items()):
            differ = self.circuit.any_of(literals)
            for before, beside in ((first, False), (after, True)):
                literal = self.circuit.all_of((before, differ))
                if literal != FALSE:
                    self.rivals.append(Rivals(names, wishes[0].rank, literal, beside=beside))
        differs = self.circuit.any_of(literal for literals in against.values() for literal in literals)
        self.ambiguous += [self.circuit.all_of((before, differs)) for before in (first, after)]
        return differs

    def _say_the_same(self, one: Wish, other: Wish) -> int:
        if not one.tone_memory and not other.tone_memory:
            return TRUE if one.statement == other.statement else FALSE
        if one.tone_memory and other.tone_memory:
            mine, theirs = (self.moment.memories[wish.tone_memory] for wish in (one, other))
            return self.circuit.any_of(
                self.circuit.all_of((literal, theirs.literals[theirs.place(value)]))
                for value, literal in zip(mine.values, mine.literals, strict=True)
                if value in theirs.values
            )
        moving, fixed = (one, other) if one.tone_memory else (other, one)
        memory = self.moment.memories[moving.tone_memory]
        return memory.literals[memory.place(str(fixed.statement))] if fixed.statement in memory.values else FALSE

    def _take(
        self, wishes: Sequence[Wish], left: Sequence[int], named: dict[str, int], *, won: int, added: int
    ) -> tuple[int, int]:
        """Gives heads and colours to those left. Literals: somebody may add to it; a dark one was passed over."""
        all_of, any_of = self.circuit.all_of, self.circuit.any_of
        goes_on, skipped, naming = list[int](), list[int](), dict[str, list[int]]()
        for wish, literal in zip(wishes, left, strict=True):
            winner = all_of((won, literal))
            beside = FALSE if wish.dark else all_of((added, literal))
            new = any_of(-named.get(colour, FALSE) for colour in wish.colours)
            self.owns.setdefault(wish.function, []).append(any_of((winner, all_of((beside, new)))))
            if wish.colours or isinstance(wish.statement, str):  # a siren's statement is its tone
                self.lit += [winner, beside]
            for colour in wish.colours:
                naming.setdefault(colour, []).append(any_of((winner, beside)))
            for show in wish.shows:
                added_here = all_of((beside, -named.get(show.colour, FALSE)))
                self.parts.append((wish.function, show, any_of((winner, added_here))))
            if wish.dark:
                skipped.append(all_of((added, literal)))
            elif wish.beside and self.may_add:
                goes_on.append(beside if wish.rank == ROAD else any_of((winner, beside)))
        for colour, literals in naming.items():
            named[colour] = any_of((named.get(colour, FALSE), *literals))
        return any_of(goes_on), any_of(skipped)
