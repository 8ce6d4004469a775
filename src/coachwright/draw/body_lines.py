"""How is the vehicle itself drawn? Its outlines in one view, layer by layer, in the order of the body's file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.draw.project import Frame, View, hull, on_view
from coachwright.draw.svg import MM_PER_PT, Element, Point, element, path_of
from coachwright.kit.geom import Vector
from coachwright.look.style import LINE_PT, PAPER, QUIET
from coachwright.parts.schema import BodyPart, Outline
from coachwright.place.solids import Solid

_ON_CENTRE_LINE_M = 1e-6
_BODY_FILL, _GLASS_FILL, _WHEEL_FILL, _BODY_INK = "#f6f7f5", "#e3eaee", "#d9dee2", "#3c4852"


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """One outline in a view. points : along and up. [m]"""

    layer: str
    closed: bool
    points: tuple[Point, ...]


def lines_in(body: BodyPart, view: View) -> tuple[DrawnLine, ...]:
    """Every outline of the body that belongs to a view; halves made whole."""
    return tuple(
        DrawnLine(outline.layer, outline.closed, tuple(on_view(view, point) for point in points))
        for outline in body.outlines
        if outline.view in (view.outline, view.name)
        for points in _whole(outline)
    )


def body_elements(body: BodyPart, frame: Frame) -> tuple[Element, ...]:
    """The vehicle on paper."""
    return tuple(_drawn(line, frame) for line in lines_in(body, frame.view))


def open_elements(opened: Iterable[Solid], frame: Frame) -> tuple[Element, ...]:
    """Panels as they stand open, by their outermost lines."""
    return tuple(
        element(
            "path",
            element("title", solid.name),
            class_="open",
            d=path_of(hull([frame.at(spot) for spot in corners_of(solid)]), closed=True),
            fill=_BODY_FILL,
            fill_opacity="0.7",
            stroke=_BODY_INK,
            stroke_width=0.16,
            stroke_dasharray="1 0.6",
            stroke_linejoin="round",
        )
        for solid in opened
    )


def corners_of(solid: Solid) -> list[Vector]:
    """Corners of a piece. [m]"""
    return [(float(x), float(y), float(z)) for x, y, z in solid.vertices_m.tolist()]


def _whole(outline: Outline) -> tuple[tuple[Vector, ...], ...]:
    points = tuple(_in_space(outline.view, pair) for pair in outline.points)
    if not outline.half:
        return (points,)
    other = tuple((x, -y, z) for x, y, z in points)
    ends = (outline.points[0], outline.points[-1])
    across = 1 if outline.view == "top" else 0
    if outline.closed and all(abs(end[across]) < _ON_CENTRE_LINE_M for end in ends):
        return ((*points, *reversed(other)),)
    return (points, other)


def _in_space(view: str, pair: Point) -> Vector:
    if view in ("side", "left", "right"):
        return (pair[0], 0.0, pair[1])
    if view == "top":
        return (pair[0], pair[1], 0.0)
    return (0.0, pair[0], pair[1])


def _drawn(line: DrawnLine, frame: Frame) -> Element:
    fill = {"body": _BODY_FILL, "glass": _GLASS_FILL, "wheel": _WHEEL_FILL}.get(line.layer, "none")
    heavy = line.layer in ("body", "wheel")
    ink = _BODY_INK if heavy else QUIET
    width = LINE_PT["outline"] * 0.62 if heavy else LINE_PT["detail"] * 0.8
    return element(
        "path",
        class_=line.layer,
        d=path_of([frame.flat(point) for point in line.points], closed=line.closed),
        fill=fill if line.closed else "none",
        stroke=ink,
        stroke_width=width * MM_PER_PT,
        stroke_linejoin="round",
        stroke_linecap="round",
    )


def ground(frame: Frame) -> Element:
    """The line the vehicle stands on."""
    y = frame.flat((0.0, 0.0))[1]
    return element(
        "path",
        d=f"M{frame.left_mm - 4:.3f},{y:.3f}H{frame.right_mm + 4:.3f}",
        stroke=QUIET,
        stroke_width=0.12,
        fill=PAPER,
    )
