"""Where are the eyes of somebody who stands at an opened panel, and how bright do the heads shine into them?

Near by, but candela all the same: a head is small against the distance to the eye, and its place counts, and so does
what stands between.

See Also
--------
coachwright.place.panels : what is open. coachwright.light.seen : light toward points near by.
"""

from __future__ import annotations

import math

from coachwright.build.model import Model
from coachwright.kit.geom import Vector, unit
from coachwright.light.lit import Glow
from coachwright.light.seen import candela_at
from coachwright.parts.schema import BodyPart, Panel
from coachwright.parts.standing import Side, place_pose
from coachwright.place.panels import carried, panel_name


def eyes(model: Model, opened: frozenset[str], *, height_m: float, away_m: float) -> dict[str, Vector]:
    """Eyes at each open panel: that high above the ground, that far out from the panel's outermost place. [m]

    Panels on which the body names no place are left out: nothing is known of where they end.
    """
    found: dict[str, Vector] = {}
    for name, panel in model.body.panels.items():
        sides: tuple[Side, ...] = ("left", "right") if panel.mirrored else ("",)
        for side in sides:
            called = panel_name(name, panel, side)
            points = _points(model.body, name, panel, side) if called in opened else []
            if points:
                found[called] = _eye(panel, side, points, height_m=height_m, away_m=away_m)
    return found


def candela_at_eye(glow: Glow, eye_m: Vector) -> float:
    """Intensity of a head toward an eye at its brightest instant; limits, pane and what is in the way counted. [cd]"""
    return glow.part.wave.peak() * candela_at(glow.source, eye_m)


def _points(body: BodyPart, name: str, panel: Panel, side: Side) -> list[Vector]:
    """Places that ride on a panel, where it carries them when it opens. [m]"""
    found = []
    for place in body.places.values():
        if place.panel != name:
            continue
        on: tuple[Side, ...] = (side,) if panel.mirrored else ("left", "right") if place.mirrored else ("",)
        found += [carried(place_pose(place, each), body, name, each).position_m for each in on]
    return found


def _eye(panel: Panel, side: Side, points: list[Vector], *, height_m: float, away_m: float) -> Vector:
    """Out beyond the outermost point, away from the hinge; along the slide of a panel that slides."""
    middle_x, middle_y = (sum(point[axis] for point in points) / len(points) for axis in (0, 1))
    hinge_x, hinge_y = panel.hinge_x, -panel.hinge_y if side == "right" else panel.hinge_y
    if panel.axis == "none":
        start, out = (middle_x, middle_y), (math.copysign(1.0, panel.slide_x), 0.0)
    elif panel.axis == "y":
        start, out = (hinge_x, middle_y), (math.copysign(1.0, middle_x - hinge_x), 0.0)
    elif panel.axis == "x":
        start, out = (middle_x, hinge_y), (0.0, math.copysign(1.0, middle_y - hinge_y))
    else:
        far = max(points, key=lambda point: math.hypot(point[0] - hinge_x, point[1] - hinge_y))
        start, out = (hinge_x, hinge_y), unit((far[0] - hinge_x, far[1] - hinge_y, 0.0))[:2]
    reach_m = max((point[0] - start[0]) * out[0] + (point[1] - start[1]) * out[1] for point in points) + away_m
    return (start[0] + out[0] * reach_m, start[1] + out[1] * reach_m, height_m)
