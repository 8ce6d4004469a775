"""From where is the vehicle looked at, and where on paper does a point of it come to?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from coachwright.draw.svg import Point
from coachwright.kit.geom import Vector, dot

ViewName = Literal["plan", "left", "right", "front", "rear"]


@dataclass(frozen=True, slots=True)
class View:
    """One way to look.

    outline : which lines of the body belong to it. across, up : vehicle directions that point right and up on paper.
    toward : to the eye.
    """

    name: ViewName
    title: str
    outline: Literal["side", "top", "front", "rear"]
    across: Vector
    up: Vector
    toward: Vector


VIEWS: tuple[View, ...] = (
    View("plan", "Plan, nose to the left", "top", (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    View("left", "Left side", "side", (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),
    View("right", "Right side", "side", (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
    View("front", "Front", "front", (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
    View("rear", "Rear", "rear", (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)),
)
"""Front and plan as an engineer lays them out: the left side under the plan, nose to the left in both."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """A stretch of a view: along and up, in metres."""

    left: float
    right: float
    low: float
    high: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Frame:
    """A view laid on paper: where its left edge and its top come to, and how large. [mm, 1 to scale_n]"""

    view: View
    bounds: Bounds
    left_mm: float
    top_mm: float
    scale_n: int

    def at(self, point_m: Vector) -> Point:
        """Where a point of the vehicle comes to on paper. [mm]"""
        return self.flat(on_view(self.view, point_m))

    def flat(self, along_up_m: Point) -> Point:
        """Where a point of the view comes to on paper. [mm]"""
        mm_per_m = 1000.0 / self.scale_n
        along, up = along_up_m
        return (
            self.left_mm + (along - self.bounds.left) * mm_per_m,
            self.top_mm + (self.bounds.high - up) * mm_per_m,
        )

    @property
    def right_mm(self) -> float:
        return self.left_mm + self.bounds.width * 1000.0 / self.scale_n

    @property
    def foot_mm(self) -> float:
        return self.top_mm + self.bounds.height * 1000.0 / self.scale_n


def on_view(view: View, vector: Vector) -> Point:
    """A point or a direction of the vehicle, seen: along and up. [m]"""
    return (dot(view.across, vector), dot(view.up, vector))


def bounds_of(points: Iterable[Point]) -> Bounds:
    """The smallest stretch that holds all points.

    Raises
    ------
    ValueError : there are none.
    """
    listed = list(points)
    if not listed:
        raise ValueError("nothing is drawn here")
    along = [point[0] for point in listed]
    up = [point[1] for point in listed]
    return Bounds(min(along), max(along), min(up), max(up))


def hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """The outline of points as a tight string lays itself round them (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def chain(run: Iterable[Point]) -> list[Point]:
        kept: list[Point] = []
        for point in run:
            while len(kept) > 1 and _turns_right(kept[-2], kept[-1], point):
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return (*chain(ordered), *chain(reversed(ordered)))


def _turns_right(first: Point, middle: Point, last: Point) -> bool:
    return (middle[0] - first[0]) * (last[1] - first[1]) - (middle[1] - first[1]) * (last[0] - first[0]) <= 0
