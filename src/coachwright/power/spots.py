"""At which joint does the wire of something fitted leave the ways, and how far is it from there?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.build.places import body_place
from coachwright.kit.by_digest import by_digest
from coachwright.parts.body_ways import node_of_place, nodes, spot_m
from coachwright.parts.body_words import side_and_name
from coachwright.parts.standing import Side, place_pose


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a wire begins or ends.

    node : joint at which it leaves the ways. place : what stands there, as a fitter finds it (``grille.left``).
    tail_m : from the joint to the place. [m]
    """

    node: str
    place: str
    tail_m: float


@dataclass(frozen=True, slots=True)
class NoSpot:
    """There is none: no place of that name on the body, or no joint at it. place : the one that was looked at."""

    place: str
    why: str


def spot_at(model: Model, at: str, side: Side = "") -> Spot | NoSpot:
    """The spot of something fitted at `at`, as the build writes it.

    Parameters
    ----------
    side : on which of a pair, where `at` doesn't say.

    Notes
    -----
    What stands in a console, tray or locker is where that stands. Where no way leads there (the floor of a bed), the
    body's own place of that name counts, if it has one: a tray has its joint on the tray.
    """
    where = body_place(model, at)
    seen = []
    for name in dict.fromkeys((where, at, at.partition(".")[0])):
        found = _spot(model, name, side)
        if isinstance(found, Spot):
            return found
        seen.append(found)
    return seen[0]


def spot_of_battery(model: Model, name: str) -> Spot | NoSpot:
    """The spot of ``main-battery``, ``second-battery``, or of a battery the shop adds."""
    for item in model.equipment:
        if item.name == name:
            return spot_at(model, item.at)
    battery = model.body.second_battery if name == "second-battery" else model.body.battery
    if battery is None:
        return NoSpot(name, f"The body doesn't say where the {name.replace('-', ' ')} stands.")
    return spot_at(model, battery.at)


def spot_of_circuit(model: Model, lamp: str, *, near: Spot) -> Spot | NoSpot:
    """Where one of the vehicle's own circuits is tapped: at the one of its lamps that stands nearest to `near`."""
    body = model.body
    heads = body.lamps[lamp].heads if lamp in body.lamps else ()
    found = [spot for spot in (_spot(model, head.place, head.side) for head in heads) if isinstance(spot, Spot)]
    if not found:
        return NoSpot(lamp, f"The body doesn't say where the wire of {lamp} can be reached.")
    here = spot_m(body, near.node)
    return min(found, key=lambda spot: (round(math.dist(here, spot_m(body, spot.node)), 6), spot.place))


def stands(model: Model, at: str, *, count_n: int) -> Iterator[Side]:
    """On which sides something stands: once, or on both where the place is a pair and there are several."""
    where = body_place(model, at)
    name, side = (where, _NO_SIDE) if where in model.body.places else side_and_name(where)
    place = model.body.places.get(name)
    if place is not None and place.mirrored and not side and count_n > 1:
        yield "left"
        yield "right"
    else:
        yield side


@by_digest
def _ends(model: Model) -> frozenset[str]:
    """Every joint and place a way ends at."""
    return nodes(model.body)


def _spot(model: Model, at: str, side: Side) -> Spot | NoSpot:
    body = model.body
    name, said = (at, _NO_SIDE) if at in body.places else side_and_name(at)
    place = body.places.get(name)
    if place is None:
        return NoSpot(at, f"The body has no place {at}.")
    here: Side = said or side or ("left" if place.mirrored else "")
    here = here if place.mirrored else ""
    called = f"{name}.{here}" if here else name
    node = node_of_place(body, name, here)
    if node is None or node not in _ends(model):
        return NoSpot(called, f"No way for wire leads to {called}.")
    tail_m = math.dist(spot_m(body, node), place_pose(place, here).position_m)
    return Spot(node, called, tail_m)


_NO_SIDE: Side = ""
