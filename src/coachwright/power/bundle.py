"""What lies together in one way, how thick is it, and does it go through the hole?

See Also
--------
coachwright.power.runs : what is led along each way. coachwright.power.ampacity : what a bundle takes from the current.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coachwright.power.laying import laying
from coachwright.power.route import Segment
from coachwright.power.runs import Run
from coachwright.power.wires import Wired

CARRIES = frozenset({"supply", "return", "feed", "main", "join", "charge", "tap", "battery-return"})
"""Kinds of run whose conductors are warm, and count where a bundle is derated. Signals are not."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """Everything in one way on one side.

    runs : by name. conductors_n : of all; warm_n : of those that carry the current of a load. diameter_m : together.
    fill_share : of its hole that wires fill, most_share : that they may; None where the way is open. [m]
    """

    segment: Segment
    runs: tuple[str, ...]
    conductors_n: int
    warm_n: int
    diameter_m: float
    fill_share: float | None
    most_share: float | None

    @property
    def goes_through(self) -> bool:
        """Is the bundle no thicker than the hole?"""
        return self.segment.bore_m <= 0 or self.diameter_m <= self.segment.bore_m


def bundles(runs: Sequence[Run], wires: Mapping[str, Wired]) -> tuple[Bundle, ...]:
    """Every way anything is led along, by name."""
    together: dict[str, list[Run]] = {}
    segments: dict[str, Segment] = {}
    for run in runs:
        for segment in run.segments:
            together.setdefault(segment.name, []).append(run)
            segments[segment.name] = segment
    return tuple(_bundle(segments[name], together[name], wires) for name in sorted(together))


def warm_n(run: Run, found: Sequence[Bundle]) -> int:
    """Conductors that carry current in the fullest bundle this run lies in, itself with them; 1 where it lies alone."""
    return max((bundle.warm_n for bundle in found if run.name in bundle.runs), default=1)


def bundle_diameter_m(diameters_m: Sequence[float]) -> float:
    """How thick wires are together, laid by hand. [m]

    Parameters
    ----------
    diameters_m : over the jackets. [m]

    Notes
    -----
    One: its own. Two: both. More: D = k sqrt(sum d^2), k = 1.25, and at least the two thickest beside each other. The
    densest packings known of equal wires need k = 1.08 to 1.25 (7 wires 1.13, 6 wires 1.22, 3 wires 1.24) [1], so
    nothing laid by hand is thinner than they are.

    References
    ----------
    .. [1] Circle packing in a circle, table of best known packings of 1 to 20 equal circles.
    """
    thickest = sorted(diameters_m, reverse=True)[:2]
    if len(diameters_m) <= 2:
        return sum(thickest)
    return max(sum(thickest), laying().lay_share * math.sqrt(sum(each**2 for each in diameters_m)))


def fill_share(diameters_m: Sequence[float], *, bore_m: float) -> float:
    """Share of a round hole that wires fill by their own sections.

    Notes
    -----
    sum d^2 / D^2.
    """
    return sum(each**2 for each in diameters_m) / bore_m**2


def most_fill_share(count_n: int) -> float:
    """Share of a hole that so many wires may fill: one 53 %, two 31 %, more 40 %.

    References
    ----------
    .. [1] NEC, chapter 9, table 1, as handbooks quote it. Written for conduit in buildings; here it is a guide that
       leaves room to draw one wire more.
    """
    table = laying().most_fill
    return table[max(least for least in table if least <= max(count_n, 1))]


def _bundle(segment: Segment, runs: Sequence[Run], wires: Mapping[str, Wired]) -> Bundle:
    diameters_m = [wires[run.name].diameter_m for run in runs for _ in range(run.conductors_n)]
    is_hole = segment.bore_m > 0
    return Bundle(
        segment,
        tuple(sorted(run.name for run in runs)),
        len(diameters_m),
        sum(run.conductors_n for run in runs if run.kind in CARRIES),
        bundle_diameter_m(diameters_m),
        fill_share(diameters_m, bore_m=segment.bore_m) if is_hole else None,
        most_fill_share(len(diameters_m)) if is_hole else None,
    )
