"""Along which ways can wire run in a body: segments with both sides written out, their ends and lengths?

A node is a joint or a place: ``firewall``, or ``sill-fore.left`` where it is one of a pair.

See Also
--------
coachwright.parts.body_upfit : how ways are written. coachwright.parts.body_ways_checks : what can be wrong with them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from coachwright.parts.body import BodyPart, Place
from coachwright.parts.body_upfit import Joint, Way
from coachwright.parts.body_words import side_and_name
from coachwright.parts.standing import Side

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Segment:
    """One way on one side. name : ``sill.left`` for one of a pair. start, end : nodes. [m]"""

    name: str
    start: str
    end: str
    length_m: float
    side: Side
    way: Way


def segments(body: BodyPart) -> tuple[Segment, ...]:
    """Every way of the body whose ends are known, pairs written out, in the order of the file."""
    return tuple(_segments(body))


def nodes(body: BodyPart) -> frozenset[str]:
    """Every end of a segment."""
    return frozenset(node for each in segments(body) for node in (each.start, each.end))


def node_of(body: BodyPart, spot: str, side: Side = "") -> str | None:
    """The node a spot is, as said by something on `side`; None where no joint or place has that name.

    What is said on the left holds in mirror image on the right: ``sill.left`` is ``sill.right`` there. A pair that is
    named without a side, by something that has none, is no node.
    """
    name, said = side_and_name(spot)
    found = _found(body, spot if not said else name)
    if found is None:
        return None
    if not found.mirrored:
        return name if not said else None
    if said and side == "right":
        said = "left" if said == "right" else "right"
    here = said or side
    return f"{name}.{here}" if here else None


def node_of_place(body: BodyPart, place: str, side: Side = "") -> str | None:
    """Where the wire of something fitted at a place leaves the ways; None where the body doesn't say.

    Parameters
    ----------
    place : name of a place, without a side.
    side : on which of a pair.
    """
    spot = body.places[place].joint
    here: Side = side or ("left" if body.places[place].mirrored else "")
    if spot:
        return node_of(body, spot, here)
    own = node_of(body, place, here)
    return own if own in nodes(body) else None


def spot_m(body: BodyPart, node: str) -> Point:
    """Where a node is, with everything shut. [m]"""
    name, side = side_and_name(node)
    found = _found(body, name)
    if found is None:
        raise KeyError(node)
    return (found.x, -found.y if side == "right" else found.y, found.z)


def panel_of(body: BodyPart, node: str) -> str:
    """What a node rides on; ``body`` doesn't move."""
    found = _found(body, side_and_name(node)[0])
    return "body" if found is None else found.panel


def drawn_length_m(body: BodyPart, way: Way, *, start: str, end: str, side: Side) -> float:
    """Length of a way as it is drawn, from node to node through its points. [m]"""
    sign = -1.0 if side == "right" else 1.0
    between = [(x, sign * y, z) for x, y, z in way.through]
    return sum(math.dist(one, other) for one, other in pairwise([spot_m(body, start), *between, spot_m(body, end)]))


def reached_from(body: BodyPart, node: str) -> frozenset[str]:
    """Every node that hangs together with this one."""
    neighbours: dict[str, set[str]] = {}
    for each in segments(body):
        neighbours.setdefault(each.start, set()).add(each.end)
        neighbours.setdefault(each.end, set()).add(each.start)
    seen, waiting = {node}, [node]
    while waiting:
        for other in neighbours.get(waiting.pop(), ()):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return frozenset(seen)


def _segments(body: BodyPart) -> Iterator[Segment]:
    for name, way in body.ways.items():
        sides: tuple[Side, ...] = ("left", "right") if way.mirrored else ("",)
        for side in sides:
            start, end = node_of(body, way.start, side), node_of(body, way.end, side)
            if start is None or end is None:
                continue
            length_m = way.length or drawn_length_m(body, way, start=start, end=end, side=side)
            yield Segment(f"{name}.{side}" if side else name, start, end, length_m, side, way)


def _found(body: BodyPart, name: str) -> Joint | Place | None:
    return body.joints.get(name) or body.places.get(name)
