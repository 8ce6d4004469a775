"""Where can current go home: at which ground points of the body, and which of them is nearest?

A body says at which joints a stud in bare metal carries how much (joints, ground). A load returns at the one with the
shortest way. No return leads through a hinge as metal: what rides on a panel has its wire over the hinge. A body that
names no point sends every return to the negative post of its battery.

See Also
--------
coachwright.power.runs : the returns themselves. coachwright.power.returns : what comes together at each point.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import BodyPart
from coachwright.power.route import Net, Route, routes_from
from coachwright.power.spots import Spot, spot_of_battery


@dataclass(frozen=True, slots=True)
class GroundPoint:
    """A stud the body has. node : joint it stands at. most_a : it carries for good; 0 where nobody says. [A]"""

    node: str
    what: str
    most_a: float


def ground_points(body: BodyPart, net: Net) -> tuple[GroundPoint, ...]:
    """Every point of the body a way leads to, by name."""
    found = []
    for node in sorted(net.nodes):
        joint = body.joints.get(side_and_name(node)[0])
        if joint is not None and joint.ground > 0 and joint.panel == "body":
            found.append(GroundPoint(node, joint.what, joint.ground))
    return tuple(found)


def nearest_ground(
    net: Net, points: Sequence[GroundPoint], start: str, *, insulation_degc: float = float("inf")
) -> Route | None:
    """The shortest way from a joint to a ground point; None where none can be reached. Of equals the first by name."""
    reached = routes_from(net, start, insulation_degc=insulation_degc)
    found = [reached[point.node] for point in points if point.node in reached]
    return min(found, key=lambda route: (round(route.length_m, 6), route.end), default=None)


def battery_post(model: Model) -> Spot | None:
    """The negative post of the vehicle's own battery, where the body says where that stands."""
    found = spot_of_battery(model, "main-battery")
    return found if isinstance(found, Spot) else None
