"""The harness of one vehicle, all of it: ways, bundles, connectors, grounds, marks, reels, mass.

    for line in cut_lines(harness_of(model)): ...

See Also
--------
coachwright.power.harness_text : the same in lines a person in the bay reads.
coachwright.power.harness_findings : what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.parts.schema import WirePart
from coachwright.power.bundle import Bundle, bundles
from coachwright.power.cutlist import CutWire, Reels, cut_wires, reels_of
from coachwright.power.marks import Mark, marks_of
from coachwright.power.pins import Connector, Splice, Unplugged, connectors_of, splices_of
from coachwright.power.returns import Grounded, grounded
from coachwright.power.runs import Run, laid
from coachwright.power.shelf import Shelf, our_shelf
from coachwright.power.wanted import NotJoined
from coachwright.power.wires import Wired, gauges_of, wires_of


@dataclass(frozen=True, slots=True)
class Harness:
    """One vehicle's harness.

    missed : wires that can't be laid. wires, marks : by name of run. unplugged : wires no connector takes.
    reels : for all vehicles of the job that are like this one. lacking_gauges : (subject, gauge) not on the shelf.
    metres_m, mass_kg : of all wire of one vehicle, without connectors and loom.
    """

    runs: tuple[Run, ...]
    missed: tuple[NotJoined, ...]
    wires: Mapping[str, Wired]
    marks: Mapping[str, tuple[Mark, ...]]
    bundles: tuple[Bundle, ...]
    connectors: tuple[Connector, ...]
    unplugged: tuple[Unplugged, ...]
    splices: tuple[Splice, ...]
    grounds: tuple[Grounded, ...]
    cuts: tuple[CutWire, ...]
    reels: tuple[Reels, ...]
    lacking_gauges: tuple[tuple[str, str], ...]

    @property
    def metres_m(self) -> float:
        return sum(each.metres_m for each in self.reels)

    @property
    def mass_kg(self) -> float:
        return sum(each.mass_kg for each in self.reels)


def harness_of(
    model: Model,
    *,
    sizes: Mapping[str, WirePart] | None = None,
    kept_numbers: Mapping[str, int] | None = None,
    shelf: Shelf | None = None,
    vehicles_n: int | None = None,
) -> Harness:
    """The harness of a model.

    Parameters
    ----------
    sizes : wire by subject, over what is fixed and locked (power.wires).
    kept_numbers : numbers of marks that were given out before (power.marks).
    shelf : of the shop; ours when left out.
    vehicles_n : that are cut for at once; all of the job that chose the same when left out.
    """
    shelf = shelf or our_shelf()
    everything = laid(model)
    known, lacking = gauges_of(model, shelf)
    wires = wires_of(everything.runs, shelf, sizes=known | dict(sizes or {}))
    marks = marks_of(everything.runs, kept=kept_numbers)
    connectors, unplugged = connectors_of(everything.runs, wires, marks, shelf)
    cuts = cut_wires(everything.runs, wires, marks)
    return Harness(
        runs=everything.runs,
        missed=everything.missed,
        wires=wires,
        marks=marks,
        bundles=bundles(everything.runs, wires),
        connectors=connectors,
        unplugged=unplugged,
        splices=splices_of(everything.runs, wires, shelf),
        grounds=grounded(model.body, everything.net, everything.runs),
        cuts=cuts,
        reels=reels_of(cuts, vehicles_n=alike_n(model) if vehicles_n is None else vehicles_n),
        lacking_gauges=lacking,
    )


def alike_n(model: Model) -> int:
    """How many vehicles of the job have the same choices as this one; at least itself."""
    base = tuple((option.name, option.base) for option in model.options)
    own = {serial.number: serial.choices for serial in model.serials}
    choices = dict(model.choices or base)
    return max(1, sum(dict(own.get(number, base)) == choices for number in range(1, model.count + 1)))
