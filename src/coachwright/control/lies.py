"""What does an input read from the moment on in which its source begins to lie, and stays at it?

A source that sticks looks like one that moves there once more and never again: what a true move fires is fired. One
that is lost fires nothing, and from then on the input reads its `lost`: a value, or what it read last. A power-up in
between forgets what was read last and what a finger chose.

A fault begins where it is read: a level that sticks once it has stood for its debounce time, a turn wire once its edge
hold is over. Until then the machine does what it does while the source tells the truth.

See Also
--------
coachwright.control.signals : what the machine reads. coachwright.control.unrolled : where this becomes literals.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.model import Input
from coachwright.control.choices import Choice
from coachwright.control.encode import Moment
from coachwright.control.signals import PARK, PARKS, SPEED
from coachwright.control.sources import LOST, Fault

AS_IT_WAS = -1
"""In place of a place: what the input read before."""


@dataclass(frozen=True, slots=True)
class Lie:
    """How one input reads while its source lies. All are places of its values.

    Parameters
    ----------
    begins : what it reads when the fault begins, `AS_IT_WAS` where it holds what it read last.
    at_boot : what it reads after a power-up.
    silent : the loss fires nothing; a source that sticks may fire as it goes there.
    by_hand : a finger or hand has to bring it there first, since the source itself doesn't say what is read.
    parks : place of P where it reads P while the vehicle stands, else -1.
    """

    fault: Fault
    begins: int
    at_boot: int
    silent: bool = False
    by_hand: bool = False
    parks: int = -1

    @property
    def input(self) -> str:
        """The input whose source lies."""
        return self.fault.input

    @property
    def places(self) -> frozenset[int] | None:
        """What it may read; None for any of its values."""
        if AS_IT_WAS in (self.begins, self.at_boot):
            return None
        return frozenset({self.begins, self.at_boot, *([self.parks] if self.parks >= 0 else [])})


def stuck_at(item: Input, choice: Choice, place: int) -> Lie:
    """Its source sticks so that the input reads this place; of a turn wire that is off, whichever way it sticks."""
    if item.kind == "turn-wire":
        return Lie(Fault(item.name, "low"), 0, 0)
    if item.kind == "toggle":  # the finger never moves again, and what is kept stays
        return Lie(Fault(item.name, "released"), place, _start(item, choice, place), by_hand=True)
    at_boot = _start(item, choice, place) if item.kind == "pick-one" else place
    return Lie(Fault(item.name, choice.values[place]), place, at_boot)


def loss(item: Input, choice: Choice) -> Lie:
    """Its source falls silent."""
    fault = Fault(item.name, LOST)
    if item.kind == "turn-wire":
        return Lie(fault, 0, 0)
    if item.lost not in ("hold", PARKS):
        place = choice.place(item.lost)
        return Lie(fault, place, place, silent=True)
    keeps = item.kind in ("toggle", "pick-one")
    at_boot = _start(item, choice, AS_IT_WAS) if keeps else choice.rest
    parks = choice.values.index(PARK) if item.lost == PARKS and PARK in choice.values else -1
    return Lie(fault, AS_IT_WAS, at_boot, silent=True, parks=parks)


def stands_still(moment: Moment) -> int | None:
    """Literal: the speed reads 0; None where the moment doesn't tell that apart."""
    speed = moment.inputs.get(SPEED)
    if speed is None or 0.0 not in speed.thresholds:
        return None
    return speed.literals[speed.place(0.0)]


def _start(item: Input, choice: Choice, last: int) -> int:
    """What a toggle or pick-one keeps after a power-up. last : where its start is `last`."""
    return choice.place(item.start) if item.start in choice.values else last
