"""What does the shop have on its shelf to lay a harness with: wires, connectors, fittings?

No build names these parts; the shop takes them. A shop with a catalogue of its own hands over that one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

from coachwright.parts.schema import AnyPart, ConnectorPart, FittingPart, WirePart
from coachwright.parts.store import Catalogue, load_catalogue
from coachwright.power.wire import NoSize, awg_name, conductor

Kind = TypeVar("Kind", WirePart, ConnectorPart, FittingPart)

_GAUGE = re.compile(r"(?P<size>[0-9/]+) AWG", re.ASCII)
_SAME_SHARE = 0.01


@dataclass(frozen=True, slots=True)
class Shelf:
    """Parts to lay a harness with, each kind by name."""

    wires: tuple[WirePart, ...]
    connectors: tuple[ConnectorPart, ...]
    fittings: tuple[FittingPart, ...]

    def wire(self, name: str) -> WirePart | None:
        return next((each for each in self.wires if each.name == name), None)


def shelf_of(catalogue: Catalogue) -> Shelf:
    """The shelf of a catalogue."""
    return Shelf(
        tuple(_only(catalogue.of_kind("wire"), WirePart)),
        tuple(_only(catalogue.of_kind("connector"), ConnectorPart)),
        tuple(_only(catalogue.of_kind("fitting"), FittingPart)),
    )


@cache
def our_shelf() -> Shelf:
    """Of the parts that come with coachwright."""
    return shelf_of(load_catalogue())


def wire_of_gauge(gauge: str, shelf: Shelf) -> WirePart | None:
    """The wire of a size as a build fixes it (``14 AWG``, ``2.5 mm2``); None where the shelf has none.

    Notes
    -----
    An AWG number means AWG wire, never the thinner SAE wire of that number.
    """
    found = _GAUGE.fullmatch(gauge)
    if found is not None:
        size = awg_name(found["size"])
        return next((each for each in shelf.wires if each.family == "awg" and awg_name(each.size) == size), None)
    try:
        area_m2 = conductor(gauge, family="metric").area_m2
    except NoSize:
        return None
    metric = (each for each in shelf.wires if each.family == "metric")
    return next((each for each in metric if abs(each.area - area_m2) <= _SAME_SHARE * area_m2), None)


def _only(parts: Iterable[AnyPart], kind: type[Kind]) -> Iterable[Kind]:
    return (part for part in parts if isinstance(part, kind))
