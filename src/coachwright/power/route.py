"""Which ways does a wire follow from one spot of the body to another: the shortest that is allowed?

The ways of a body are a net of joints. A wire crosses a hinge only to reach what rides on that panel, is not laid where
it is hotter than its jacket bears, and is led through a box to keep out of only where nothing else leads there. Of two
ways of equal length the one whose names come first is taken, so the order of a file changes nothing.

See Also
--------
coachwright.parts.body_ways : the net as a body writes it. coachwright.power.runs : what is led along it.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from coachwright.kit.geom import Vector
from coachwright.parts.body_ways import Segment as DrawnSegment
from coachwright.parts.body_ways import panel_of, segments, spot_m
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import BodyPart, KeepOut
from coachwright.parts.standing import Side
from coachwright.power.laying import laying

_UM = 1e6
"""Lengths are compared in whole micrometres, so that equal ways are equal in every sum."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One way on one side, as a wire follows it.

    start, end : nodes of the body, as the file writes the way. ambient_degc : the hottest it gets there in service.
    hinge : panel over whose hinge it leads, or "". bore_m : narrowest hole, 0 where it is open.
    through : boxes to keep out of it leads through, each with how far. [m]
    """

    way: str
    side: Side
    start: str
    end: str
    length_m: float
    ambient_degc: float
    zone: str
    wet: bool
    hinge: str
    bore_m: float
    through: tuple[tuple[str, float], ...] = ()

    @property
    def name(self) -> str:
        """``sill.left`` for one of a pair."""
        return f"{self.way}.{self.side}" if self.side else self.way


@dataclass(frozen=True, slots=True)
class Net:
    """Every way of a body. ways : from each node, where each leads. panels : what each node rides on, with its side."""

    ways: Mapping[str, tuple[tuple[str, Segment], ...]]
    panels: Mapping[str, str]
    avoid_um: Mapping[str, int]

    @property
    def nodes(self) -> frozenset[str]:
        return frozenset(self.ways)


@dataclass(frozen=True, slots=True)
class Route:
    """The ways from one node to another, in their order; none where both are one. length_m : of them together."""

    start: str
    end: str
    segments: tuple[Segment, ...]

    @property
    def length_m(self) -> float:
        return math.fsum(each.length_m for each in self.segments)


def net_of(body: BodyPart) -> Net:
    """The net of a body's ways."""
    ways: dict[str, list[tuple[str, Segment]]] = {}
    avoid_um: dict[str, int] = {}
    for drawn in segments(body):
        segment = _segment(body, drawn)
        ways.setdefault(drawn.start, []).append((drawn.end, segment))
        ways.setdefault(drawn.end, []).append((drawn.start, segment))
        kept_from = (metres for box, metres in segment.through if body.keep_outs[box].kind in laying().avoid)
        avoid_um[segment.name] = sum(round(metres * _UM) for metres in kept_from)
    in_order = {node: tuple(sorted(found, key=lambda each: each[1].name)) for node, found in ways.items()}
    panels = {node: _panel(body, node) for node in in_order}
    return Net(MappingProxyType(in_order), MappingProxyType(panels), MappingProxyType(avoid_um))


def routes_from(net: Net, start: str, *, insulation_degc: float = math.inf) -> Mapping[str, Route]:
    """The best way from one node to every other that can be reached.

    Parameters
    ----------
    insulation_degc : hottest the jacket bears; ways as hot as that or hotter are not taken.

    Notes
    -----
    Dijkstra's algorithm over (metres within boxes to avoid, length, names). A wire leaves the panel it starts on, and
    ends on the one it enters: nothing runs over a hatch from one side of the body to the other.
    """
    if start not in net.ways:
        return MappingProxyType({})
    home = net.panels[start]
    found: dict[str, Route] = {}
    waiting: list[tuple[int, int, tuple[str, ...], str, tuple[Segment, ...]]] = [(0, 0, (), start, ())]
    while waiting:
        avoid_um, length_um, names, node, taken = heapq.heappop(waiting)
        if node in found:
            continue
        found[node] = Route(start, node, taken)
        here = net.panels[node]
        for other, segment in net.ways[node]:
            stays = here in (net.panels[other], home, "body")
            if other in found or not stays or segment.ambient_degc >= insulation_degc:
                continue
            heapq.heappush(
                waiting,
                (
                    avoid_um + net.avoid_um[segment.name],
                    length_um + round(segment.length_m * _UM),
                    (*names, segment.name),
                    other,
                    (*taken, segment),
                ),
            )
    return MappingProxyType(found)


def shortest(net: Net, start: str, end: str, *, insulation_degc: float = math.inf) -> Route | None:
    """The best way between two nodes; None where none is allowed."""
    return routes_from(net, start, insulation_degc=insulation_degc).get(end)


def _segment(body: BodyPart, drawn: DrawnSegment) -> Segment:
    way = drawn.way
    return Segment(
        way=side_and_name(drawn.name)[0],
        side=drawn.side,
        start=drawn.start,
        end=drawn.end,
        length_m=drawn.length_m,
        ambient_degc=way.ambient,
        zone=way.zone,
        wet=way.wet,
        hinge=way.hinge,
        bore_m=way.bore,
        through=tuple(_through(body, drawn)),
    )


def _panel(body: BodyPart, node: str) -> str:
    """What a node rides on; of a pair of panels the left one is another than the right one."""
    name = panel_of(body, node)
    if name == "body" or not body.panels[name].mirrored:
        return name
    return f"{name}.{side_and_name(node)[1] or 'left'}"


def _through(body: BodyPart, drawn: DrawnSegment) -> Iterator[tuple[str, float]]:
    """Boxes of the body that the way, as it is drawn, leads through, and how far."""
    sign = -1.0 if drawn.side == "right" else 1.0
    between: list[Vector] = [(x, sign * y, z) for x, y, z in drawn.way.through]
    line = [spot_m(body, drawn.start), *between, spot_m(body, drawn.end)]
    for name, box in body.keep_outs.items():
        inside_m = sum(_inside_m(box, one, other) for one, other in pairwise(line))
        if inside_m > laying().drawn_within_m:
            yield name, inside_m


def _inside_m(box: KeepOut, one: Vector, other: Vector) -> float:
    """How much of a straight line lies in a box and, where that is mirrored, in its mirror image. [m]"""
    across = [(box.from_y, box.to_y), (-box.to_y, -box.from_y)] if box.mirrored else [(box.from_y, box.to_y)]
    total_m = 0.0
    for from_y, to_y in across:
        first, last = 0.0, 1.0
        sides = ((box.from_x, box.to_x), (from_y, to_y), (box.from_z, box.to_z))
        for (low, high), begin, end in zip(sides, one, other, strict=True):
            if begin == end:
                first, last = (first, last) if low < begin < high else (1.0, 0.0)
                continue
            enters, leaves = sorted(((low - begin) / (end - begin), (high - begin) / (end - begin)))
            first, last = max(first, enters), min(last, leaves)
        total_m += max(0.0, last - first) * math.dist(one, other)
    return total_m
