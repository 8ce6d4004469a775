"""How are lamps drawn? As boxes of their true size at their places, hatched by colour, with a tick where they look.

See Also
--------
coachwright.place.poses : where each head stands. coachwright.draw.views : lays them over the vehicle.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.build.model import Colour, Head, Model
from coachwright.draw.project import Frame, View, hull
from coachwright.draw.svg import Element, Point, element, hatch_fill, line, path_of
from coachwright.kit.geom import Pose, Vector, dot
from coachwright.look.style import ACCENT, INK, LIGHTS
from coachwright.parts.photometry import half_width_rad
from coachwright.parts.schema import LampPart
from coachwright.place.poses import moved_pose

SEEN_FROM_COSINE = 0.4
"""A head counts as seen in a view when its bearing lies at least this much toward the eye (up to 66 deg aside)."""

_VEHICLE_LAMP_M = (0.10, 0.07, 0.02)
_TICK_MM, _CONE_MM = 4.0, 7.0


@dataclass(frozen=True, slots=True)
class DrawnHead:
    """One head as it is drawn.

    item : number of its lamp in drawings and tables. size_m : width, height, depth of its share of the lamp.
    half_width_rad : of the beam, to half of its peak; 0 when it is not known.
    """

    head: Head
    item: int
    pose: Pose
    size_m: Vector
    half_width_rad: float
    fitted: bool


def drawn_heads(model: Model, opened: frozenset[str] = frozenset()) -> tuple[DrawnHead, ...]:
    """Every head of the model while these panels stand open, numbered by lamp in the order of the file."""
    items: dict[str, int] = {}
    return tuple(_drawn_head(model, head, items.setdefault(head.lamp, len(items) + 1), opened) for head in model.heads)


def _drawn_head(model: Model, head: Head, item: int, opened: frozenset[str]) -> DrawnHead:
    pose = moved_pose(head, model, opened)
    if head.reach != "own":
        return DrawnHead(head, item, pose, _VEHICLE_LAMP_M, 0.0, fitted=False)
    part = model.part(head.part)
    assert isinstance(part, LampPart)  # poses refuse anything else before
    colours = part.heads[head.head_index].colours
    widest = max((half_width_rad(colours[colour]) for colour in head.colours), default=0.0)
    size = (part.width / len(part.heads), part.height, part.depth)
    return DrawnHead(head, item, pose, size, widest, fitted=True)


def seen_in(heads: Iterable[DrawnHead], view: View) -> tuple[DrawnHead, ...]:
    """The heads a view shows: all of them from above, else those that look toward the eye."""
    return tuple(each for each in heads if view.name == "plan" or _faces(each.pose.forward, view))


def _faces(forward: Vector, view: View) -> bool:
    """By bearing alone: a head under a shut hatch looks down, and belongs to the rear all the same."""
    level = math.hypot(forward[0], forward[1])
    return level > 0.1 and dot(forward, view.toward) / level > SEEN_FROM_COSINE


def head_elements(each: DrawnHead, frame: Frame) -> tuple[Element, ...]:
    """A head's box, one field for each colour, and its direction."""
    colours = each.head.colours
    count = max(1, len(colours))
    fields = []
    for place, colour in enumerate(colours):
        corners = _corners(each, low=place / count, high=(place + 1) / count)
        outline = hull([frame.at(corner) for corner in corners])
        fields.append(_field(outline, colour, name=f"{each.head.id}.{colour}"))
    return (*_direction(each, frame), *fields)


def _field(outline: tuple[Point, ...], colour: Colour, *, name: str) -> Element:
    return element(
        "path",
        element("title", name.replace(".", " ")),
        class_=f"lamp {colour}",
        d=path_of(outline, closed=True),
        fill=hatch_fill(colour),
        stroke=LIGHTS[colour].ink,
        stroke_width=0.2,
        stroke_linejoin="round",
    )


def _corners(each: DrawnHead, *, low: float, high: float) -> list[Vector]:
    """Corners of one colour's share of the box; 0 is its left edge, 1 its right, seen from behind the lamp."""
    width, height, depth = each.size_m
    pose = each.pose
    left = pose.left
    return [
        _moved(pose.position_m, (left, width * (0.5 - side)), (pose.up, height * up), (pose.forward, -depth * back))
        for side in (low, high)
        for up in (-0.5, 0.5)
        for back in (0.0, 1.0)
    ]


def _moved(start: Vector, *ways: tuple[Vector, float]) -> Vector:
    x, y, z = start
    for way, far in ways:
        x, y, z = x + way[0] * far, y + way[1] * far, z + way[2] * far
    return (x, y, z)


def _direction(each: DrawnHead, frame: Frame) -> tuple[Element, ...]:
    """From above: the cone to half of the peak. Everywhere: a tick along the direction, as long as it is seen."""
    view, start = frame.view, frame.at(each.pose.position_m)
    along, up = dot(view.across, each.pose.forward), dot(view.up, each.pose.forward)
    length = math.hypot(along, up)
    if length < 0.1:
        return ()
    parts = []
    if view.name == "plan" and each.half_width_rad and length > 0.5:
        parts.append(_cone(start, math.atan2(up, along), each.half_width_rad))
    end = (start[0] + along * _TICK_MM, start[1] - up * _TICK_MM)
    parts.append(line(start, end, ink=INK, width_mm=0.16))
    if length > 0.5:
        parts.append(_arrow(end, math.atan2(up, along)))
    return tuple(parts)


def _cone(start: Point, angle_rad: float, half_rad: float) -> Element:
    def at(turn: float) -> str:
        return f"{start[0] + _CONE_MM * math.cos(turn):.3f},{start[1] - _CONE_MM * math.sin(turn):.3f}"

    half = min(half_rad, math.radians(85.0))
    d = f"M{start[0]:.3f},{start[1]:.3f}L{at(angle_rad + half)}A{_CONE_MM},{_CONE_MM} 0 0 1 {at(angle_rad - half)}Z"
    return element("path", class_="cone", d=d, fill=ACCENT, fill_opacity="0.09", stroke="none")


def _arrow(tip: Point, angle_rad: float) -> Element:
    back = [
        (tip[0] - 1.1 * math.cos(angle_rad + turn), tip[1] + 1.1 * math.sin(angle_rad + turn)) for turn in (0.35, -0.35)
    ]
    return element("path", d=path_of([tip, *back], closed=True), fill=INK)
