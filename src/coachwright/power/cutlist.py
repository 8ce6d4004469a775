"""Which wires are cut, how long, from which reel, and what do they weigh?

See Also
--------
coachwright.power.cut : how reels are shared out. coachwright.power.marks : what is printed on the wires.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coachwright.parts.schema import WirePart
from coachwright.power.cut import Cutting, cut
from coachwright.power.marks import Mark
from coachwright.power.runs import Run
from coachwright.power.wires import Wired


@dataclass(frozen=True, slots=True)
class CutWire:
    """One wire to cut. from_place, to_place : where it ends. length_m : to cut. [m]"""

    run: str
    mark: Mark
    part: WirePart
    length_m: float
    from_place: str
    to_place: str


@dataclass(frozen=True, slots=True)
class Reels:
    """All wires of one part.

    wires : of one vehicle. cutting : of `vehicles_n` alike; its piece number p is wire p modulo their count.
    metres_m, mass_kg : of one vehicle.
    """

    part: WirePart
    wires: tuple[CutWire, ...]
    vehicles_n: int
    cutting: Cutting
    metres_m: float
    mass_kg: float


def cut_wires(
    runs: Sequence[Run], wires: Mapping[str, Wired], marks: Mapping[str, tuple[Mark, ...]]
) -> tuple[CutWire, ...]:
    """Every wire of one vehicle, by part and mark. Coaxial cables come with their antennas and are not cut."""
    found = []
    for run in runs:
        part = wires[run.name].part
        if part is None:
            continue
        for mark in marks[run.name]:
            found.append(CutWire(run.name, mark, part, run.length_m, run.from_place, run.to_place))
    return tuple(sorted(found, key=lambda wire: (wire.part.name, wire.mark.number, wire.mark.words)))


def reels_of(wires: Sequence[CutWire], *, vehicles_n: int = 1) -> tuple[Reels, ...]:
    """Reels of every part, for so many vehicles alike.

    Notes
    -----
    A length longer than a whole reel has no reel; it stands in `cutting.too_long`.
    """
    by_part: dict[str, list[CutWire]] = {}
    for wire in wires:
        by_part.setdefault(wire.part.name, []).append(wire)
    return tuple(_reels(found, vehicles_n) for _, found in sorted(by_part.items()))


def _reels(wires: Sequence[CutWire], vehicles_n: int) -> Reels:
    part = wires[0].part
    metres_m = sum(wire.length_m for wire in wires)
    lengths_m = [wire.length_m for _ in range(vehicles_n) for wire in wires]
    cutting = cut(lengths_m, reel_m=part.reel)
    return Reels(part, tuple(wires), vehicles_n, cutting, metres_m, metres_m * part.mass_per_length)
