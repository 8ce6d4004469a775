"""Does anything we fit stand where nothing may be: where a bag unfolds, at fuel or heat, in the way of what moves?

Findings PLC-004 (in-way-of-airbag), PLC-005 (at-fuel-or-heat), PLC-006 (in-way-of-what-moves). The boxes are the
body's; the last word has the vehicle maker's guide for body builders.

See Also
--------
coachwright.parts.body_upfit : the boxes. coachwright.place.checks : what else can be wrong with where a lamp stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.kit.finding import Finding, Fix, Severity
from coachwright.kit.geom import Vector
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import KeepOut, LampPart
from coachwright.parts.standing import Side, lamp_pose, place_pose
from coachwright.place.poses import lamps_fitted

_NO_SIDE: Side = ""

_TOLD: dict[str, tuple[str, str, Severity]] = {
    "airbag": ("PLC-004", "in-way-of-airbag", "error"),
    "curtain": ("PLC-004", "in-way-of-airbag", "error"),
    "fuel": ("PLC-005", "at-fuel-or-heat", "warning"),
    "hot": ("PLC-005", "at-fuel-or-heat", "warning"),
    "moving": ("PLC-006", "in-way-of-what-moves", "warning"),
}
"""What stands in the way of a bag is thrown at people; the rest breaks, burns or chafes."""

_FIX = Fix(
    "Take another place. The boxes of a body file are a warning, not a permit: the vehicle maker's guide for body "
    "builders says where bags, curtains, fuel and heat are."
)


@dataclass(frozen=True, slots=True)
class _Fitted:
    """Something fitted: what it is called, where it says so, and the points of it that are looked at. [m]"""

    name: str
    place: str
    path: str
    points: tuple[Vector, ...]


def keep_out_findings(model: Model) -> tuple[Finding, ...]:
    """Each thing that stands in a box to keep out of, once a box, with everything shut; lamps first."""
    found: dict[tuple[str, str], Finding] = {}
    for fitted in (*_lamps(model), *_equipment(model)):
        for label, box in model.body.keep_outs.items():
            if any(in_box(box, point) for point in fitted.points):
                found.setdefault((fitted.path, label), _told(fitted, label, box))
    return tuple(found.values())


def in_box(box: KeepOut, point_m: Vector) -> bool:
    """Whether a point lies in a box or, where the box is mirrored, in its mirror image. On its face is outside."""
    x, y, z = point_m
    across = (y, -y) if box.mirrored else (y,)
    return (
        box.from_x < x < box.to_x and box.from_z < z < box.to_z and any(box.from_y < each < box.to_y for each in across)
    )


def _lamps(model: Model) -> Iterator[_Fitted]:
    """A lamp by its middle and both of its ends."""
    for head in lamps_fitted(model):
        part = model.part(head.part)
        if not isinstance(part, LampPart):
            continue
        place = model.body.places[head.place]
        pose = lamp_pose(place, head.side, aim_rad=head.aim_rad, elevation_rad=head.elevation_rad)
        half_m = part.width / 2
        points = tuple(pose.point_to_world((0.0, across_m, 0.0)) for across_m in (-half_m, 0.0, half_m))
        yield _Fitted(head.lamp, head.place, f"{head.path}.at", points)


def _equipment(model: Model) -> Iterator[_Fitted]:
    """Equipment, its speakers and cargo, each by the spot of its place. What stands on our own things is left out."""
    said = [(item.name, item.at, f"{item.path}.at") for item in model.equipment]
    said += [(item.name, item.at, f"{item.path}.at") for item in model.cargo]
    said += [
        (item.name, at, f"{item.path}.speakers.{number}")
        for item in model.equipment
        for number, at in enumerate(item.speakers, start=1)
    ]
    for called, at, path in said:
        name, side = (at, _NO_SIDE) if at in model.body.places else side_and_name(at)
        place = model.body.places.get(name)
        if place is not None:
            yield _Fitted(called, at, path, (place_pose(place, side).position_m,))


def _told(fitted: _Fitted, label: str, box: KeepOut) -> Finding:
    code, name, severity = _TOLD[box.kind]
    return Finding(
        code,
        name,
        severity,
        "{fitted} at {place} stands in {box}: {what}.",
        {"fitted": fitted.name, "place": fitted.place, "box": label, "what": box.what or box.kind},
        about=fitted.path,
        fix=_FIX,
    )
