"""Where is every lamp on the vehicle? Plan, sides, front and rear to scale, with numbers and a table beside.

See Also
--------
coachwright.draw.body_lines, coachwright.draw.lamps : what is drawn. coachwright.draw.sheet : what stands round it.
"""

from __future__ import annotations

from collections.abc import Iterable

from coachwright.build.model import Model
from coachwright.draw.balloons import AWAY_MM, SIZE_MM, columns_beside, named_lamps, rows_above_and_below
from coachwright.draw.body_lines import body_elements, ground, lines_in
from coachwright.draw.dimensions import across, dimension_text, upright
from coachwright.draw.lamp_table import (
    HEAD_MM,
    LampRow,
    lamp_rows,
    rows_that_fit_n,
    table_elements,
    table_height_mm,
)
from coachwright.draw.lamps import DrawnHead, drawn_heads, head_elements, seen_in
from coachwright.draw.project import VIEWS, Bounds, Frame, View, bounds_of, on_view
from coachwright.draw.sheet import PaperSize, Plate, fitting_scale_n, room_mm, scale_bar, sheet_svg, title_block
from coachwright.draw.svg import Element, Point, group, text
from coachwright.look.style import QUIET, TYPE_PT
from coachwright.parts.schema import BodyPart

_EDGE_MM = AWAY_MM + SIZE_MM / 2 + 1.0
_DIMENSIONS_MM, _SCALE_BAR_MM, _CAPTION_MM, _GAP_MM = 13.0, 7.0, 5.0, 4.0
_SIDE_TABLE_SHARE = 0.47
LONG_VIEWS = ("plan", "left", "right")


def sheets(model: Model, *, digest: str, size: PaperSize = "a3") -> tuple[tuple[str, str], ...]:
    """Every view as a sheet of its own, framed: (name, SVG)."""
    width, height = room_mm(size)
    return tuple(
        (plate.name, sheet_svg(plate, title_block(model, plate, digest=digest), size=size))
        for plate in plates(model, width_mm=width, height_mm=height)
    )


def plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """Every view as a picture for a paper, and further lists of lamps where a table was too long for its view."""
    heads = drawn_heads(model)
    made: list[Plate] = []
    for view in VIEWS:
        made.extend(_plates_of(model, view, heads, width_mm=width_mm, height_mm=height_mm))
    return tuple(made)


def vehicle_picture(model: Model, *, width_mm: float) -> Plate:
    """The vehicle from its left with its lamps, nothing written beside it: for a cover."""
    view = VIEWS[1]
    seen = seen_in(drawn_heads(model), view)
    bounds = _bounds(model.body, view, seen)
    scale_n = fitting_scale_n(bounds.width, room_mm=width_mm - 12.0)
    frame = Frame(view, bounds, (width_mm - bounds.width * 1000.0 / scale_n) / 2, 3.0, scale_n)
    return Plate("vehicle", f"{model.body.title}, from the left", width_mm, frame.foot_mm + 2.0, tuple(_picture(model, frame, seen)), scale_n)


def _plates_of(
    model: Model, view: View, heads: tuple[DrawnHead, ...], *, width_mm: float, height_mm: float
) -> list[Plate]:
    seen = seen_in(heads, view)
    rows = lamp_rows(model, seen)
    lay = _long if view.name in LONG_VIEWS else _compact
    plate, shown_n = lay(model, view, seen, rows, width_mm, height_mm)
    made = [plate]
    rest = rows[shown_n:]
    while rest:
        fit_n = max(2, rows_that_fit_n(height_mm - _CAPTION_MM, columns_n=2))
        name = f"{view.name}-lamps-{len(made) + 1}"
        title = f"{view.title}: lamps, continued"
        listed = rest[:fit_n]
        room = height_mm - _CAPTION_MM
        drawn = table_elements(listed, (0.0, _CAPTION_MM), width_mm=width_mm, height_mm=room, columns_n=2)
        made.append(Plate(name, title, width_mm, height_mm, drawn, number=name))
        rest = rest[fit_n:]
    return made


def _long(
    model: Model, view: View, seen: tuple[DrawnHead, ...], rows: tuple[LampRow, ...], width_mm: float, height_mm: float
) -> tuple[Plate, int]:
    """A view longer than high: numbers over and under it, the table beneath in two blocks."""
    bounds = _bounds(model.body, view, seen)
    dimensions = 0.0 if view.name == "plan" else _DIMENSIONS_MM
    fixed = 2 * _EDGE_MM + dimensions + _SCALE_BAR_MM + _GAP_MM
    least_table = min(table_height_mm(len(rows), columns_n=2), height_mm * 0.4)
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=width_mm - 16.0),
        fitting_scale_n(bounds.height, room_mm=height_mm - fixed - least_table),
    )
    left = (width_mm - bounds.width * 1000.0 / scale_n) / 2
    frame = Frame(view, bounds, left, _EDGE_MM, scale_n)
    drawn = _picture(model, frame, seen)
    drawn.append(
        group(
            *rows_above_and_below(
                named_lamps(seen, frame), frame, low_mm=SIZE_MM / 2, high_mm=width_mm - SIZE_MM / 2
            ),
            name="numbers",
        )
    )
    y = frame.foot_mm + _EDGE_MM
    if dimensions:
        drawn.append(_length_dimensions(model.body, frame, y))
        y += dimensions
    drawn.append(scale_bar((4.0, y), scale_n=scale_n))
    drawn.append(_caption((width_mm, y + 1.6)))
    y += _SCALE_BAR_MM + _GAP_MM
    shown_n = rows_that_fit_n(height_mm - y, columns_n=2)
    listed = table_elements(rows[:shown_n], (0.0, y), width_mm=width_mm, height_mm=height_mm - y, columns_n=2)
    drawn.append(group(*listed, name="lamps-listed"))
    return Plate(view.name, view.title, width_mm, height_mm, tuple(drawn), scale_n, view.name), shown_n


def _compact(
    model: Model, view: View, seen: tuple[DrawnHead, ...], rows: tuple[LampRow, ...], width_mm: float, height_mm: float
) -> tuple[Plate, int]:
    """A view about as high as wide: numbers at both sides, the table to its right."""
    bounds = _bounds(model.body, view, seen)
    table = width_mm * _SIDE_TABLE_SHARE
    room = width_mm - table - _GAP_MM * 2
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=room - 2 * _EDGE_MM - 6.0),
        fitting_scale_n(bounds.height, room_mm=height_mm - _DIMENSIONS_MM - _SCALE_BAR_MM - 10.0),
    )
    drawn_height = bounds.height * 1000.0 / scale_n
    top = max(6.0, (height_mm - _DIMENSIONS_MM - _SCALE_BAR_MM - drawn_height) / 2)
    left = 6.0 + (room - bounds.width * 1000.0 / scale_n) / 2
    frame = Frame(view, bounds, left, top, scale_n)
    drawn = _picture(model, frame, seen)
    lamps = named_lamps(seen, frame)
    drawn.append(group(*columns_beside(lamps, frame, low_mm=frame.top_mm + 1.5, high_mm=frame.foot_mm), name="numbers"))
    drawn.append(_width_dimensions(model.body, frame))
    drawn.append(scale_bar((4.0, height_mm - _SCALE_BAR_MM), scale_n=scale_n))
    shown_n = rows_that_fit_n(height_mm - HEAD_MM, columns_n=1)
    at, room = (width_mm - table, 2.0), height_mm - 2.0
    listed = table_elements(rows[:shown_n], at, width_mm=table, height_mm=room, columns_n=1)
    drawn.append(group(*listed, name="lamps-listed"))
    return Plate(view.name, view.title, width_mm, height_mm, tuple(drawn), scale_n, view.name), shown_n


def _picture(model: Model, frame: Frame, seen: Iterable[DrawnHead]) -> list[Element]:
    lamps = [part for each in seen for part in head_elements(each, frame)]
    floor = [] if frame.view.name == "plan" else [ground(frame)]
    return [
        group(*floor, *body_elements(model.body, frame), name="vehicle"),
        group(*lamps, name="lamps"),
    ]


def _bounds(body: BodyPart, view: View, seen: Iterable[DrawnHead]) -> Bounds:
    """All that is drawn: outlines, lamps, the ground, and the body's own length and width."""
    points: list[Point] = [point for drawn in lines_in(body, view) for point in drawn.points]
    points += [on_view(view, each.pose.position_m) for each in seen]
    nose, tail = body.front_overhang, body.front_overhang - body.length
    points += [
        on_view(view, (x, y, z))
        for x in (nose, tail)
        for y in (body.width / 2, -body.width / 2)
        for z in (0.0, body.height)
    ]
    return bounds_of(points)


def _length_dimensions(body: BodyPart, frame: Frame, top_mm: float) -> Element:
    """Wheelbase and length over all, under a side view."""
    front, rear = frame.at((0.0, 0.0, 0.0)), frame.at((-body.wheelbase, 0.0, 0.0))
    nose = frame.at((body.front_overhang, 0.0, 0.0))
    tail = frame.at((body.front_overhang - body.length, 0.0, 0.0))
    return group(
        *across(front[0], rear[0], y_mm=top_mm + 3.5, from_mm=frame.foot_mm + 0.5, said=dimension_text("wheelbase", body.wheelbase), name="wheelbase"),
        *across(nose[0], tail[0], y_mm=top_mm + 9.5, from_mm=frame.foot_mm + 0.5, said=dimension_text("length", body.length), name="length"),
        name="dimensions",
    )  # fmt: skip


def _width_dimensions(body: BodyPart, frame: Frame) -> Element:
    """Width of the body (without mirrors) and height, at a front or rear view."""
    left, right = frame.at((0.0, body.width / 2, 0.0)), frame.at((0.0, -body.width / 2, 0.0))
    high, low = frame.at((0.0, 0.0, body.height)), frame.at((0.0, 0.0, 0.0))
    return group(
        *across(left[0], right[0], y_mm=frame.foot_mm + 6.0, from_mm=frame.foot_mm + 0.5, said=dimension_text("body width", body.width), name="width"),
        *upright(high[1], low[1], x_mm=frame.left_mm - AWAY_MM - SIZE_MM / 2 - 3.0, said=dimension_text("height", body.height), name="height"),
        name="dimensions",
    )  # fmt: skip


def _caption(at: Point) -> Element:
    said = "Boxes are lamps at their true size; a tick shows where a head looks; shaded: its beam to half of the peak."
    return text(at, said, size_pt=TYPE_PT["label"], ink=QUIET, anchor="end")
