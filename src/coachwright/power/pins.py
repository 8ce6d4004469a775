"""Where does the harness come apart, and which wire is in which way of which connector? Where are wires spliced?

- At each hinge or slide, so that a hatch, a gate or a tray comes off without a knife.
- At each lamp.
- Wires of one channel are joined at the controller, each lamp keeping a wire of its own: one that chafes darkens one
  lamp, and a lamp is found by its mark at both ends.

See Also
--------
coachwright.power.marks : what the wires are called.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from coachwright.parts.schema import ConnectorPart, FittingPart
from coachwright.power.marks import Mark
from coachwright.power.route import Segment
from coachwright.power.runs import Run
from coachwright.power.shelf import Shelf
from coachwright.power.wires import Wired


@dataclass(frozen=True, slots=True)
class Pin:
    """One way of a connector. number : counted from 1. run : what is in it, "" for a spare one."""

    number: int
    run: str
    mark: Mark | None


@dataclass(frozen=True, slots=True)
class Connector:
    """One connector. at : way or lamp it belongs to (``hatch-loop``, ``lamps.grille.left``)."""

    at: str
    part: ConnectorPart
    pins: tuple[Pin, ...]


@dataclass(frozen=True, slots=True)
class Unplugged:
    """A wire no connector of the shelf takes. at : where it would come apart; why : not."""

    at: str
    run: str
    path: str
    why: str


@dataclass(frozen=True, slots=True)
class Splice:
    """Wires joined into one. at : joint. runs : they belong to. part : None where the shelf has none that fits."""

    channel: str
    at: str
    runs: tuple[str, ...]
    part: FittingPart | None

    @property
    def pieces_n(self) -> int:
        """Each joins two wires."""
        return len(self.runs) - 1


@dataclass(frozen=True, slots=True)
class _Cable:
    """One run as it comes to a connector: a wire, or the conductors of one cable."""

    run: Run
    marks: tuple[Mark, ...]
    wired: Wired


def connectors_of(
    runs: Sequence[Run], wires: Mapping[str, Wired], marks: Mapping[str, tuple[Mark, ...]], shelf: Shelf
) -> tuple[tuple[Connector, ...], tuple[Unplugged, ...]]:
    """Every connector with its pins: hinges by name, then lamps in the order of the runs; and what none takes."""
    found: list[Connector] = []
    lacking: list[Unplugged] = []
    for at, segment, ends in (*_over_hinges(runs), *_at_lamps(runs)):
        cables = [_Cable(run, marks[run.name], wires[run.name]) for run in ends]
        wet, ambient_degc = (segment.wet, segment.ambient_degc) if segment is not None else (False, 0.0)
        fit_here = [part for part in shelf.connectors if (part.sealed or not wet) and part.temperature > ambient_degc]
        by_kinds: dict[tuple[str, ...], list[_Cable]] = {}
        for cable in cables:
            takes = tuple(part.name for part in fit_here if _takes(part, cable))
            if takes:
                by_kinds.setdefault(takes, []).append(cable)
            else:
                lacking.append(Unplugged(at, cable.run.name, cable.run.path, _why(cable.wired, wet, ambient_degc)))
        for takes, group in by_kinds.items():
            found += _plugged(at, group, [part for part in fit_here if part.name in takes])
    return tuple(found), tuple(lacking)


def splices_of(runs: Sequence[Run], wires: Mapping[str, Wired], shelf: Shelf) -> tuple[Splice, ...]:
    """One for each channel that feeds several wires, by channel."""
    by_channel: dict[tuple[str, str], list[Run]] = {}
    for run in runs:
        if run.channel and run.kind in ("supply", "tap"):
            by_channel.setdefault((run.from_joint, run.channel), []).append(run)
    return tuple(
        Splice(channel, joint, tuple(run.name for run in found), _splice_part(found, wires, shelf))
        for (joint, channel), found in sorted(by_channel.items())
        if len(found) > 1
    )


def _splice_part(runs: Sequence[Run], wires: Mapping[str, Wired], shelf: Shelf) -> FittingPart | None:
    areas = [wired.part.area for wired in (wires[run.name] for run in runs) if wired.part is not None]
    return next(
        (
            part
            for part in shelf.fittings
            if part.what == "splice" and all(part.least_area <= area <= part.most_area for area in areas)
        ),
        None,
    )


def _over_hinges(runs: Sequence[Run]) -> Iterator[tuple[str, Segment, list[Run]]]:
    crossing: dict[str, tuple[Segment, list[Run]]] = {}
    for run in runs:
        for segment in run.segments:
            if segment.hinge and run.kind != "coax":
                crossing.setdefault(segment.name, (segment, []))[1].append(run)
    yield from ((name, *crossing[name]) for name in sorted(crossing))


def _at_lamps(runs: Sequence[Run]) -> Iterator[tuple[str, Segment | None, list[Run]]]:
    """Each lamp with the way it hangs on; None where it stands at the joint of its controller."""
    ends: dict[str, list[Run]] = {}
    for run in runs:
        if run.subject.startswith("lamps."):
            ends.setdefault(run.subject, []).append(run)
    for subject, found in ends.items():
        ways = found[0].segments
        yield subject, ways[-1] if ways else None, found


def _plugged(at: str, cables: Sequence[_Cable], parts: Sequence[ConnectorPart]) -> Iterator[Connector]:
    """Wires in as few connectors as will do; the conductors of one cable stay together."""
    waiting = list(cables)
    while waiting:
        part = _best(parts, sum(len(cable.marks) for cable in waiting))
        here: list[_Cable] = []
        for cable in waiting:
            if sum(len(each.marks) for each in (*here, cable)) <= part.ways:
                here.append(cable)
        waiting = [cable for cable in waiting if cable not in here]
        contacts = [(cable.run.name, mark) for cable in here for mark in cable.marks]
        pins = [Pin(number, name, mark) for number, (name, mark) in enumerate(contacts, start=1)]
        free = [Pin(number, "", None) for number in range(len(pins) + 1, part.ways + 1)]
        yield Connector(at, part, (*pins, *free))


def _best(parts: Sequence[ConnectorPart], wires_n: int) -> ConnectorPart:
    """The smallest that takes all of them, else the largest; of equals the first by name."""
    whole = [part for part in parts if part.ways >= wires_n]
    if whole:
        return min(whole, key=lambda part: (part.ways, part.name))
    return max(parts, key=lambda part: (part.ways, part.name))


def _takes(part: ConnectorPart, cable: _Cable) -> bool:
    wire = cable.wired.part
    return wire is not None and part.least_area <= wire.area <= part.most_area and len(cable.marks) <= part.ways


def _why(wired: Wired, wet: bool, ambient_degc: float) -> str:
    area_mm2 = wired.part.area * 1e6 if wired.part is not None else 0.0
    sealed = "sealed " if wet else ""
    return f"No {sealed}connector on the shelf takes {area_mm2:.2g} mm2 at {ambient_degc:.0f} degC."
