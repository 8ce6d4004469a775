"""Which wire is each run made of, as far as that is known?

Sizes are settled after the harness is laid, because the length is one of their reasons. What is handed over comes
first, then what the lead fixed, then the lock, and for the rest a stated guess (harness.yaml) that lets bundles, reels
and mass be looked at from the first day on.

See Also
--------
coachwright.power.bundle, coachwright.power.cutlist : who asks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.kit.errors import DataWrong
from coachwright.parts.schema import WirePart
from coachwright.power.laying import defaults
from coachwright.power.runs import Run
from coachwright.power.shelf import Shelf, wire_of_gauge

SIZED = frozenset({"supply", "return", "feed", "main", "join", "charge", "tap", "battery-return"})
"""Kinds of run that have the gauge of their subject. Signals, speakers and aerials have their own."""
_BESIDE = ("memory", "on ")
"""A second, thin supply of the same thing."""


@dataclass(frozen=True, slots=True)
class Wired:
    """What a run is made of. part : None for a coaxial cable, which comes with its antenna. diameter_m : of one. [m]

    is_settled : somebody decided it; else it is the guess.
    """

    part: WirePart | None
    diameter_m: float
    is_settled: bool


def gauges_of(model: Model, shelf: Shelf) -> tuple[dict[str, WirePart], tuple[tuple[str, str], ...]]:
    """Wire by subject as fixed or locked; and (subject, gauge) of what the shelf doesn't have."""
    said = {each.subject: each.value for each in model.decisions if each.what == "gauge"}
    said |= {each.subject: each.value for each in model.fixed if each.what == "gauge"}
    found = {subject: wire_of_gauge(gauge, shelf) for subject, gauge in said.items()}
    lacking = tuple((subject, said[subject]) for subject, wire in found.items() if wire is None)
    return {subject: wire for subject, wire in found.items() if wire is not None}, lacking


def wires_of(runs: Sequence[Run], shelf: Shelf, *, sizes: Mapping[str, WirePart] | None = None) -> dict[str, Wired]:
    """What every run is made of, by its name.

    Parameters
    ----------
    sizes : wire by subject: of the run itself, of a load it carries, or of the lamp as a whole. Of several the one
        with most copper is taken, because all of their current flows in it.

    Raises
    ------
    DataWrong : the shelf lacks a wire harness.yaml names.
    """
    return {run.name: _wired(run, shelf, sizes or {}) for run in runs}


def _wired(run: Run, shelf: Shelf, sizes: Mapping[str, WirePart]) -> Wired:
    by = defaults()
    if run.kind == "coax":
        return Wired(None, by.coax_m, False)
    if run.kind in SIZED and not run.goes.startswith(_BESIDE):
        loads = run.carries if run.kind in ("supply", "return", "tap") else ()
        asked = (run.subject, *loads, ".".join(run.subject.split(".")[:2]))
        found = [sizes[subject] for subject in asked if subject in sizes]
        if found:
            thickest = max(found, key=lambda wire: (wire.area, wire.name))
            return Wired(thickest, thickest.diameter, True)
    name = by.battery_return if run.kind == "battery-return" else by.wires[run.kind]
    part = shelf.wire(name)
    if part is None:
        raise DataWrong(f"harness.yaml, defaults: the shelf has no wire {name}.")
    return Wired(part, part.diameter, False)
