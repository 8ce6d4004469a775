"""What is one wire that has to be laid, and what is the list of them as it grows?

See Also
--------
coachwright.power.joined : who fills it. coachwright.power.runs : which way each takes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from coachwright.build.model import Model
from coachwright.power.route import Net, routes_from
from coachwright.power.spots import NoSpot, Spot

Kind = Literal[
    "supply", "return", "feed", "main", "join", "charge", "tap", "data", "switch", "speaker", "coax", "battery-return"
]
"""What a wire does. main : from a battery to a block of feeds, or to what breaks it; feed : of one feed, to its block;
join : of two batteries; tap : to one of the vehicle's own circuits; switch : of a control, or of a switch of ours."""


@dataclass(frozen=True, slots=True)
class Joined:
    """One wire or cable that is wanted.

    subject : ``lamps.grille.left``, ``equipment.radio-1``, ``feeds.radios``. goes : what it does, in words; no two of
    a subject are alike. carries : loads whose current it leads. path : to blame. begin, end : None for a return, which
    power.ground ends. conductors_n : in one cable. channel, feed : it hangs on, or "".
    """

    subject: str
    goes: str
    kind: Kind
    path: str
    begin: Spot
    end: Spot | None
    carries: tuple[str, ...] = ()
    conductors_n: int = 1
    channel: str = ""
    feed: str = ""


@dataclass(frozen=True, slots=True)
class NotJoined:
    """A wire that can't be laid. place : where it should have gone; why : not.

    by_body : the body doesn't say where, and nothing in the build is amiss.
    """

    subject: str
    path: str
    place: str
    why: str
    by_body: bool = False


@dataclass(slots=True)
class Plan:
    """What is wanted so far. controllers, blocks : where controllers and the blocks of feeds stand, by name."""

    model: Model
    net: Net
    channels: Mapping[str, str]
    wanted: list[Joined] = field(default_factory=list)
    missed: list[NotJoined] = field(default_factory=list)
    controllers: dict[str, Spot] = field(default_factory=dict)
    blocks: dict[str, Spot] = field(default_factory=dict)


def spot_or_told(plan: Plan, subject: str, path: str, found: Spot | NoSpot, *, by_body: bool = False) -> Spot | None:
    """The spot, or None with the wire told as one that can't be laid."""
    if isinstance(found, Spot):
        return found
    plan.missed.append(NotJoined(subject, path, found.place, found.why, by_body))
    return None


def nearest_controller(plan: Plan, spot: Spot) -> Spot | None:
    """Where the controller with the shortest way to a spot stands; None where there is none."""
    name = nearest_name(plan, spot)
    return plan.controllers[name] if name else None


def nearest_name(plan: Plan, spot: Spot) -> str:
    """The controller with the shortest way to a spot; of equals the first by name. "" where there is none."""
    if not plan.controllers:
        return ""
    from_here = routes_from(plan.net, spot.node)
    far_m = {name: from_here[at.node].length_m for name, at in plan.controllers.items() if at.node in from_here}
    if not far_m:
        return min(plan.controllers)
    return min(far_m, key=lambda name: (round(far_m[name], 6), name))
