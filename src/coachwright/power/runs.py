"""Which way does every wire of a build take, and how long is it?

Length = ways of the body + tails from joint to device, times the slack + a loop at each end (harness.yaml). Loops over
hinges are in the lengths of the body's own ways. The wire of a feed that begins at its own block is one loop long: the
fuse sits as near to its source as it can.

See Also
--------
coachwright.power.joined : which wires there are. coachwright.power.bundle : what lies together in one way.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.power.ground import GroundPoint, battery_post, ground_points, nearest_ground
from coachwright.power.joined import joined
from coachwright.power.laying import laying
from coachwright.power.route import Net, Route, Segment, net_of, routes_from
from coachwright.power.spots import Spot
from coachwright.power.wanted import Joined, Kind, NotJoined


@dataclass(frozen=True, slots=True)
class Run:
    """One wire, or one cable of several conductors, and its way.

    name : one of a kind (``lamps.grille.left supply``): subject, and what it does (goes). path : to blame.
    carries : loads whose current it leads. from_place, to_place : where it ends, as a fitter finds it.
    length_m : to cut. [m]
    """

    name: str
    subject: str
    goes: str
    kind: Kind
    path: str
    segments: tuple[Segment, ...]
    length_m: float
    from_joint: str
    to_joint: str
    from_place: str
    to_place: str
    carries: tuple[str, ...] = ()
    conductors_n: int = 1
    channel: str = ""
    feed: str = ""

    @property
    def hottest_degc(self) -> float:
        """Of the ways it takes; -273.15 where it takes none. [degC]"""
        return max((each.ambient_degc for each in self.segments), default=-273.15)

    @property
    def is_wet(self) -> bool:
        return any(each.wet for each in self.segments)


@dataclass(frozen=True, slots=True)
class Runs:
    """All of a build. missed : wires that could not be laid, and why. led_n : runs led along each way, by its name."""

    runs: tuple[Run, ...]
    missed: tuple[NotJoined, ...]
    net: Net
    led_n: Mapping[str, int]


@by_digest
def laid(model: Model) -> Runs:
    """Every wire with its way, in the order of the file."""
    return lay(model)


def runs_of(model: Model) -> tuple[Run, ...]:
    """Supply and return of every load, feeds, cables of batteries, taps, data, speakers; in the order of the file."""
    return laid(model).runs


def lay(
    model: Model, *, channels: Mapping[str, str] | None = None, insulation_degc: Mapping[str, float] | None = None
) -> Runs:
    """The same, with channels and jackets as they are handed over.

    Parameters
    ----------
    channels : by subject (power.joined).
    insulation_degc : hottest a jacket bears, by subject; a subject that isn't named may lie anywhere.
    """
    net = net_of(model.body)
    wanted, missed = joined(model, net, channels=channels)
    points = ground_points(model.body, net)
    found: list[Run] = []
    not_laid = list(missed)
    for wire in wanted:
        bears_degc = (insulation_degc or {}).get(wire.subject, math.inf)
        end, route = _end_and_route(model, net, points, wire, bears_degc)
        if route is None or end is None:
            where = end.place if end is not None else "any ground point"
            why = f"No way that is allowed leads from {wire.begin.place} to {where}."
            not_laid.append(NotJoined(wire.subject, wire.path, where, why))
            continue
        found.append(_run(wire, end, route))
    led_n = Counter(name for run in found for name in {segment.name for segment in run.segments})
    return Runs(tuple(found), tuple(not_laid), net, led_n)


def length_to_cut_m(route_m: float, tails_m: Iterable[float]) -> float:
    """Length of a wire: way and tails with their slack, and a loop at both ends, up to the next whole step. [m]"""
    by = laying()
    bare_m = (route_m + sum(tails_m)) * (1.0 + by.slack_share) + 2.0 * by.loop_at_end_m
    return math.ceil(round(bare_m / by.steps_m, 6)) * by.steps_m


def _end_and_route(
    model: Model, net: Net, points: tuple[GroundPoint, ...], wire: Joined, bears_degc: float
) -> tuple[Spot | None, Route | None]:
    if wire.end is not None:
        return wire.end, routes_from(net, wire.begin.node, insulation_degc=bears_degc).get(wire.end.node)
    route = nearest_ground(net, points, wire.begin.node, insulation_degc=bears_degc)
    if route is not None:
        return Spot(route.end, f"ground point {route.end}", 0.0), route
    if points:
        return None, None
    post = battery_post(model)
    if post is None:
        return None, None
    return post, routes_from(net, wire.begin.node, insulation_degc=bears_degc).get(post.node)


def _run(wire: Joined, end: Spot, route: Route) -> Run:
    is_pigtail = wire.kind == "feed" and wire.begin == end
    tails_m = (wire.begin.tail_m, end.tail_m) if wire.begin.place != end.place else ()
    return Run(
        name=f"{wire.subject} {wire.goes}",
        subject=wire.subject,
        goes=wire.goes,
        kind=wire.kind,
        path=wire.path,
        segments=route.segments,
        length_m=laying().loop_at_end_m if is_pigtail else length_to_cut_m(route.length_m, tails_m),
        from_joint=wire.begin.node,
        to_joint=end.node,
        from_place=wire.begin.place,
        to_place=end.place,
        carries=wire.carries,
        conductors_n=wire.conductors_n,
        channel=wire.channel,
        feed=wire.feed,
    )
