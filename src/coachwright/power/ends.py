"""Which terminal is crimped on each wire that ends at a stud: at a battery, a block, a disconnect, a ground point?

What ends at a device ends in its connector (power.pins). A terminal is taken by the copper of the wire; a stud of
another size is for who fits it.

See Also
--------
coachwright.power.as_settled : the wires.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.parts.schema import FittingPart, WirePart
from coachwright.power.as_settled import settled_harness
from coachwright.power.harness import Harness
from coachwright.power.runs import Run
from coachwright.power.shelf import our_shelf

_BOTH = frozenset({"main", "join", "feed", "battery-return", "charge"})
"""Kinds of run that have a stud at both ends."""
_AT_BEGINNING = frozenset({"supply", "tap"})
_AT_END = frozenset({"return"})


@dataclass(frozen=True, slots=True)
class End:
    """One end of a wire at a stud. place : of it. part : None where no terminal on the shelf takes the wire."""

    run: str
    path: str
    place: str
    wire: WirePart
    part: FittingPart | None


@by_digest
def ends_of(model: Model) -> tuple[End, ...]:
    """Every end at a stud, in the order of the runs."""
    return tuple(_ends(settled_harness(model)))


def terminal_for(wire: WirePart) -> FittingPart | None:
    """The terminal for a wire: of those that take its copper the one made for the least; None where none does."""
    terminals = [each for each in our_shelf().fittings if each.what == "terminal"]
    fitting = [
        each for each in terminals if each.least_area <= wire.area * 1.005 and wire.area <= each.most_area * 1.005
    ]
    return min(fitting, key=lambda each: (each.most_area, each.name), default=None)


def _ends(harness: Harness) -> Iterator[End]:
    for run in harness.runs:
        wire = harness.wires[run.name].part
        if wire is None:
            continue
        for place in _places(run):
            yield End(run.name, run.path, place, wire, terminal_for(wire))


def _places(run: Run) -> tuple[str, ...]:
    if run.kind in _BOTH:
        return run.from_place, run.to_place
    if run.kind in _AT_BEGINNING:
        return (run.from_place,)
    return (run.to_place,) if run.kind in _AT_END else ()
