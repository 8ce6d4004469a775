"""What heads and equipment show, for spin: worked out for each way in which functions may want them.

Written from docs/control.md ("Who has the head", "Limits", "Promises") and docs/language.md ("What heads show").

See Also
--------
tests.control.promela : the machine around it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from coachwright.build.condition import HeadStatement
from coachwright.build.model import ColourShow, Function, Model, Show
from coachwright.build.pattern_text import read_show, same_pattern
from tests.control.reference import same

ROAD = "road"


@dataclass(frozen=True)
class Burns:
    """One colour of a head and the functions whose it is: more than one when they say the very same."""

    colour: str
    shows: tuple[tuple[str, ColourShow], ...]


@dataclass(frozen=True)
class OneHead:
    """What a head shows. decided : False when two want it, or want to stand beside, and nothing says who."""

    burns: tuple[Burns, ...]
    owners: frozenset[str]
    decided: bool


def tree(asked: Sequence[tuple[str, Sequence[Any]]], answer: Callable[[tuple[Any, ...]], bool]) -> str:
    """A formula that is true where `answer` is.

    asked : (name in the formula, what its values 0, 1, 2... mean), one after the other. answer : of one meaning each.
    """

    def below(known: tuple[Any, ...]) -> str:
        if len(known) == len(asked):
            return "1" if answer(known) else "0"
        name, meanings = asked[len(known)]
        ways = [below((*known, meaning)) for meaning in meanings]
        if len(set(ways)) == 1:
            return ways[0]
        said = "0"
        for place in range(len(ways) - 1, -1, -1):
            said = ways[place] if place == len(ways) - 1 else f"({name} == {place} -> {ways[place]} : {said})"
        return said

    return below(())


class Rules:
    """Who has what, by the ranks and `wins-over` of one build."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.functions = {function.name: function for function in model.functions}

    def head(self, wants: Mapping[str, Show], *, burns_together: bool) -> OneHead:
        """The first in the list of ranks, whole; who shows beside it."""
        best, decided = self.best(wants, wants)
        if not best:
            return OneHead((), frozenset(), decided)
        burns = list(self._added((), best, wants))
        owners, used = set(best), set(best)
        last = wants[best[0]]
        alone = last.dark or self.functions[best[0]].rank == ROAD or not burns_together
        while last.beside and not alone:
            left = {name: show for name, show in wants.items() if name not in used and not self.beaten(name, wants)}
            following, decided = self.best(left, left)
            if not following:
                break
            used |= set(following)
            if wants[following[0]].dark:
                continue
            added = self._added(burns, following, wants)
            burns += added
            owners |= set(following) if added else set()
            last = wants[following[0]]
        return OneHead(tuple(burns), frozenset(owners), decided)

    def _added(self, burns: Sequence[Burns], names: Sequence[str], wants: Mapping[str, Show]) -> list[Burns]:
        there = {each.colour for each in burns}
        colours = [each.colour for each in wants[names[0]].colours if each.colour not in there]
        return [
            Burns(
                colour, tuple((name, each) for name in names for each in wants[name].colours if each.colour == colour)
            )
            for colour in colours
        ]

    def best(self, wants: Mapping[str, Any], field: Mapping[str, Any]) -> tuple[tuple[str, ...], bool]:
        """Who is left in the first rank, if they say the very same; and whether that is decided."""
        for rank in self.model.ranks:
            of_rank = [name for name in wants if self.functions[name].rank == rank]
            if of_rank:
                left = tuple(name for name in of_rank if not self.beaten(name, field))
                if left and all(same(wants[left[0]], wants[name]) for name in left):
                    return left, True
                return (), False
        return (), True

    def beaten(self, name: str, field: Mapping[str, Any]) -> bool:
        """Does one of its rank here win over it, out itself or not?"""
        rank = self.functions[name].rank
        return any(
            other != name and self.functions[other].rank == rank and name in self.functions[other].wins_over
            for other in field
        )

    def factor(self, name: str, limits: frozenset[str]) -> float:
        """The smallest of the limits on a function."""
        function = self.functions[name]
        on_it = [
            limit.scale_to_share
            for limit in self.model.limits
            if limit.name in limits and function.rank in limit.ranks and name not in limit.but_not
        ]
        return 1.0 if function.rank == ROAD else min(on_it, default=1.0)

    def says(self, statement: HeadStatement, shown: OneHead, excused: frozenset[str], limits: frozenset[str]) -> bool:
        """Is the statement true of this head?"""
        if not shown.decided:
            return False
        if statement.manner == "dark":
            lit = any(not statement.colour or each.colour == statement.colour for each in shown.burns)
            return not lit and not (excused & shown.owners)
        fitting = [
            (each.colour, name)
            for each in shown.burns
            for name, show in each.shows
            if self._fits(statement, name, show, limits)
        ]
        if all(name in excused for _, name in fitting):
            return False
        return not statement.only or {each.colour for each in shown.burns} == {colour for colour, _ in fitting}

    def _fits(self, statement: HeadStatement, name: str, show: ColourShow, limits: frozenset[str]) -> bool:
        if statement.colour and show.colour != statement.colour:
            return False
        least_share = statement.at_least_share or 0.0
        if show.share * self.factor(name, limits) < least_share - 1e-9:
            return False
        if statement.manner == "pattern":
            asked = read_show(statement.pattern)
            assert not isinstance(asked, tuple)
            return show.pattern is not None and same_pattern(asked.pattern, show.pattern)
        steady = show.manner == "steady"
        return {"lit": True, "steady": steady, "flashing": not steady}[statement.manner]


def variants(model: Model, function: Function) -> tuple[tuple[Mapping[str, Show], ...], tuple[int, ...]]:
    """What a function may show, and for each position of its control which of it: 0 for nothing.

    Of a function without a control there is one way, the first. A head named twice shows the later entry.
    """
    plain = {head: show for show in function.shows for head in show.heads}
    if not function.by:
        return (plain,), (1,)
    positions = next(item.values for item in model.inputs if item.name == function.by)
    ways: list[Mapping[str, Show]] = []
    at = []
    for here, position in enumerate(positions):
        levels = sorted(
            (level for level in function.levels if positions.index(level.position) <= here),
            key=lambda level: positions.index(level.position),
        )
        if function.one_level:
            levels = [level for level in levels if level.position == position]
        if not levels:
            at.append(0)
            continue
        shows = plain | {head: show for level in levels for show in level.shows for head in show.heads}
        if shows not in ways:
            ways.append(shows)
        at.append(ways.index(shows) + 1)
    return tuple(ways), tuple(at)
