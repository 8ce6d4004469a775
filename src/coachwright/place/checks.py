"""Can the lamps be fitted so? A lamp that lights the body it is bolted to, or that stands where another one is.

Findings PLC-001 (lamp-lights-body), PLC-002 (place-holds-no-lamp), PLC-003 (lamps-in-one-spot). Those about what stands
where nothing may be fitted, PLC-004 to PLC-006, are told by place.keep_outs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from coachwright.build.model import Head, Model
from coachwright.kit.finding import Finding, Fix, Quantity
from coachwright.kit.geom import angle_between
from coachwright.parts.schema import LampPart
from coachwright.parts.standing import Side, lamp_pose, place_pose
from coachwright.place.keep_outs import keep_out_findings
from coachwright.place.poses import lamps_fitted


def place_findings(model: Model) -> tuple[Finding, ...]:
    """What is wrong with where the lamps are, in the order of the file, then what is in a keep-out."""
    return (*_findings(model), *keep_out_findings(model))


def _findings(model: Model) -> Iterator[Finding]:
    taken: dict[tuple[str, Side], str] = {}
    for head in lamps_fitted(model):
        lamp, side = head.lamp, head.side
        place = model.body.places[head.place]
        part = model.part(head.part)
        standing = lamp_pose(place, side, aim_rad=head.aim_rad, elevation_rad=head.elevation_rad)
        turned_rad = angle_between(standing.forward, place_pose(place, side).forward)
        if turned_rad > place.clear + 1e-9 and side != "right":
            yield _lights_body(lamp, head, turned_rad, place.clear)
        if isinstance(part, LampPart) and not _holds(place.holds) and side != "right":
            yield _holds_no_lamp(lamp, head, model)
        stands_on: Side = "left" if place.mirrored and not side else side
        other = taken.setdefault((head.place, stands_on), lamp)
        if other != lamp and side != "right":
            yield _one_spot(lamp, other, head)


def _holds(holds: tuple[str, ...]) -> bool:
    return "lamp" in holds or "bar" in holds


def _lights_body(lamp: str, head: Head, turned_rad: float, clear_rad: float) -> Finding:
    return Finding(
        "PLC-001",
        "lamp-lights-body",
        "warning",
        "{lamp} is turned {turned} from where {place} looks; from {clear} on the body is in its way.",
        {
            "lamp": lamp,
            "place": head.place,
            "turned": Quantity(turned_rad, "angle"),
            "clear": Quantity(clear_rad, "angle"),
        },
        about=f"{head.path}.aim",
        value=Quantity(turned_rad, "angle"),
        limit=Quantity(clear_rad, "angle"),
        margin=Quantity(clear_rad - turned_rad, "angle"),
        fix=Fix("Turn it less, or take a place that looks the way you want."),
    )


def _holds_no_lamp(lamp: str, head: Head, model: Model) -> Finding:
    better = sorted(name for name, place in model.body.places.items() if _holds(place.holds))
    nearest_one = min(better, key=lambda name: _apart_m(model, name, head.place), default="")
    return Finding(
        "PLC-002",
        "place-holds-no-lamp",
        "warning",
        "{lamp} is at {place}, where no lamp can be fitted.",
        {"lamp": lamp, "place": head.place},
        about=f"{head.path}.at",
        fix=Fix(f"The nearest place for a lamp is {nearest_one}.") if nearest_one else None,
    )


def _one_spot(lamp: str, other: str, head: Head) -> Finding:
    return Finding(
        "PLC-003",
        "lamps-in-one-spot",
        "warning",
        "{lamp} and {other} are both at {place}.",
        {"lamp": lamp, "other": other, "place": head.place},
        about=f"{head.path}.at",
        fix=Fix("Move one of them, or say in the body that there is room for two places."),
    )


def _apart_m(model: Model, name: str, other: str) -> float:
    one, two = model.body.places[name], model.body.places[other]
    return math.dist((one.x, one.y, one.z), (two.x, two.y, two.z))
