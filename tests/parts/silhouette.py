"""The drawn shape of a body in one view: what covers a point, and how far it is to the nearest edge."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.parts.schema import BodyPart, Outline

Point = tuple[float, float]
Shape = list[Point]
Floats: TypeAlias = NDArray[np.float64]


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


def covered_all(shapes: Iterable[Shape], points: Floats, *, slack_m: float) -> NDArray[np.bool_]:
    """For many points at once: within one of the shapes, or no further than `slack_m` from an edge of one.

    points : (N, 2).
    """
    found = np.zeros(len(points), dtype=bool)
    for shape in shapes:
        left = np.flatnonzero(~found)
        if not len(left):
            break
        starts = np.array(shape, dtype=float)
        ends = np.roll(starts, -1, axis=0)
        here = points[left]
        found[left] = _odd(starts, ends, here) | (_edges_m(starts, ends, here) <= slack_m)
    return found


def along(shape: Shape, *, step_m: float) -> Floats:
    """Points on a closed outline, no further apart than `step_m`: corners and what lies between. (N, 2)"""
    pieces = []
    for one, other in pairwise([*shape, shape[0]]):
        steps_n = max(1, math.ceil(math.dist(one, other) / step_m))
        share = np.arange(steps_n)[:, None] / steps_n
        pieces.append(np.array(one) + share * (np.array(other) - np.array(one)))
    return np.concatenate(pieces)


def _odd(starts: Floats, ends: Floats, points: Floats) -> NDArray[np.bool_]:
    """Whether a line to the right from each point crosses the outline an odd number of times."""
    x, y = points[:, :1], points[:, 1:]
    rise = ends[:, 1] - starts[:, 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        at_x = starts[:, 0] + (y - starts[:, 1]) * (ends[:, 0] - starts[:, 0]) / rise
    crossed = ((starts[:, 1] > y) != (ends[:, 1] > y)) & (x < at_x)
    odd: NDArray[np.bool_] = crossed.sum(axis=1) % 2 == 1
    return odd


def _edges_m(starts: Floats, ends: Floats, points: Floats) -> Floats:
    """From each point to the nearest edge. [m]"""
    run = ends - starts
    length2 = np.maximum((run**2).sum(axis=1), 1e-18)
    arm = points[:, None, :] - starts
    share = np.clip((arm * run).sum(axis=2) / length2, 0.0, 1.0)
    away: Floats = np.linalg.norm(arm - share[:, :, None] * run, axis=2).min(axis=1)
    return away
