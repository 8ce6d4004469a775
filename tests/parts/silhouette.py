"""The drawn shape of a body in one view: what covers a point, and how far it is to the nearest edge."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from itertools import pairwise

from coachwright.parts.schema import BodyPart, Outline

Point = tuple[float, float]
Shape = list[Point]


def shapes_in(body: BodyPart, *views: str, layers: Collection[str] = ("body",)) -> list[Shape]:
    """Closed shapes of these layers in the named views (a side and what both sides share), halves put together. [m]"""
    return [
        shape
        for each in body.outlines
        if each.view in views and each.layer in layers and each.closed
        for shape in whole(each)
    ]


def whole(outline: Outline) -> list[Shape]:
    """What is drawn for one outline: the shape, or both halves as the outline says."""
    points = list(outline.points)
    if not outline.half:
        return [points]
    across = 1 if outline.view == "top" else 0
    image = [(along, -up) if across else (-along, up) for along, up in points]
    if points[0][across] == points[-1][across] == 0:
        return [points + image[::-1]]
    return [points, image]


def covered(shapes: Iterable[Shape], point: Point, *, slack_m: float = 0.0) -> bool:
    """Within one of the shapes, or no further than `slack_m` from its edge."""
    return any(_contains(shape, point) or edge_m(shape, point) <= slack_m for shape in shapes)


def edge_m(shape: Shape, point: Point) -> float:
    """From a point to the nearest edge of a shape. [m]"""
    return min(_apart_m(point, one, other) for one, other in pairwise([*shape, shape[0]]))


def _contains(shape: Shape, point: Point) -> bool:
    odd = False
    for (x1, y1), (x2, y2) in pairwise([*shape, shape[0]]):
        if (y1 > point[1]) != (y2 > point[1]) and point[0] < (x2 - x1) * (point[1] - y1) / (y2 - y1) + x1:
            odd = not odd
    return odd


def _apart_m(point: Point, one: Point, other: Point) -> float:
    run, rise = other[0] - one[0], other[1] - one[1]
    length2 = run * run + rise * rise
    along = 0.0 if not length2 else ((point[0] - one[0]) * run + (point[1] - one[1]) * rise) / length2
    along = min(1.0, max(0.0, along))
    return math.hypot(point[0] - one[0] - along * run, point[1] - one[1] - along * rise)
