"""Where is every lamp on the vehicle? Plan, sides, front and rear to scale, with numbers and a table beside.

See Also
--------
coachwright.draw.body_lines, coachwright.draw.lamps : what is drawn. coachwright.draw.sheet : what stands round it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

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
from coachwright.draw.sheet import PaperSize, Plate, fitting_scale_n, framed, room_mm, scale_bar
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
    return framed(model, plates(model, width_mm=width, height_mm=height), digest=digest, size=size)


def plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """Every view as a picture for a paper, and further lists of lamps where a table was too long for its view."""
    heads = drawn_heads(model)
    made: list[Plate] = []
    for view in VIEWS:
        seen = seen_in(heads, view)
        made.extend(_plates_of(_Asked(model, view, seen, lamp_rows(model, seen), width_mm, height_mm)))
    return tuple(made)


def vehicle_picture(model: Model, *, width_mm: float) -> Plate:
    """The vehicle from its left with its lamps, nothing written beside it: for a cover."""
    view = VIEWS[1]
    seen = seen_in(drawn_heads(model), view)
    bounds = _bounds(model.body, view, seen)
    scale_n = fitting_scale_n(bounds.width, room_mm=width_mm - 12.0)
    frame = Frame(view, bounds, (width_mm - bounds.width * 1000.0 / scale_n) / 2, 3.0, scale_n)
    return Plate(
        "vehicle",
        f"{model.body.title}, from the left",
        width_mm,
        frame.foot_mm + 2.0,
        tuple(_picture(model, frame, seen)),
        scale_n,
    )


@dataclass(frozen=True, slots=True)
class _Asked:
    """One view to be laid out on a plate of this size. [mm]"""

    model: Model
    view: View
    seen: tuple[DrawnHead, ...]
    rows: tuple[LampRow, ...]
    width_mm: float
    height_mm: float

    def plate(self, drawn: list[Element], scale_n: int) -> Plate:
        return Plate(
            self.view.name, self.view.title, self.width_mm, self.height_mm, tuple(drawn), scale_n, self.view.name
        )


def _plates_of(asked: _Asked) -> list[Plate]:
    lay = _long if asked.view.name in LONG_VIEWS else _compact
    plate, shown_n = lay(asked)
    made = [plate]
    rest = asked.rows[shown_n:]
    room = asked.height_mm - _CAPTION_MM
    while rest:
        fit_n = max(2, rows_that_fit_n(room, columns_n=2))
        name = f"{asked.view.name}-lamps-{len(made) + 1}"
        at = (0.0, _CAPTION_MM)
        drawn = table_elements(rest[:fit_n], at, width_mm=asked.width_mm, columns_n=2)
        title = f"{asked.view.title}: lamps, continued"
        made.append(Plate(name, title, asked.width_mm, asked.height_mm, drawn, number=name))
        rest = rest[fit_n:]
    return made


def _long(asked: _Asked) -> tuple[Plate, int]:
    """A view longer than high: numbers over and under it, the table beneath in two blocks."""
    width_mm, height_mm, body = asked.width_mm, asked.height_mm, asked.model.body
    bounds = _bounds(body, asked.view, asked.seen)
    dimensions = 0.0 if asked.view.name == "plan" else _DIMENSIONS_MM
    fixed = 2 * _EDGE_MM + dimensions + _SCALE_BAR_MM + _GAP_MM
    least_table = min(table_height_mm(len(asked.rows), columns_n=2), height_mm * 0.4)
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=width_mm - 16.0),
        fitting_scale_n(bounds.height, room_mm=height_mm - fixed - least_table),
    )
    left = (width_mm - bounds.width * 1000.0 / scale_n) / 2
    frame = Frame(asked.view, bounds, left, _EDGE_MM, scale_n)
    drawn = _picture(asked.model, frame, asked.seen)
    lamps = named_lamps(asked.seen, frame)
    numbers = rows_above_and_below(lamps, frame, low_mm=SIZE_MM / 2, high_mm=width_mm - SIZE_MM / 2)
    drawn.append(group(*numbers, name="numbers"))
    y = frame.foot_mm + _EDGE_MM
    if dimensions:
        drawn.append(_length_dimensions(body, frame, y))
        y += dimensions
    drawn.append(scale_bar((4.0, y), scale_n=scale_n))
    drawn.append(_caption((width_mm, y + 1.6)))
    y += _SCALE_BAR_MM + _GAP_MM
    room = height_mm - y
    shown_n = rows_that_fit_n(room, columns_n=2)
    listed = table_elements(asked.rows[:shown_n], (0.0, y), width_mm=width_mm, columns_n=2)
    drawn.append(group(*listed, name="lamps-listed"))
    return asked.plate(drawn, scale_n), shown_n


def _compact(asked: _Asked) -> tuple[Plate, int]:
    """A view about as high as wide: numbers at both sides, the table to its right."""
    width_mm, height_mm, body = asked.width_mm, asked.height_mm, asked.model.body
    bounds = _bounds(body, asked.view, asked.seen)
    table = width_mm * _SIDE_TABLE_SHARE
    room = width_mm - table - _GAP_MM * 2
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=room - 2 * _EDGE_MM - 6.0),
        fitting_scale_n(bounds.height, room_mm=height_mm - _DIMENSIONS_MM - _SCALE_BAR_MM - 12.0),
    )
    drawn_height = bounds.height * 1000.0 / scale_n
    top = max(6.0, (height_mm - _DIMENSIONS_MM - _SCALE_BAR_MM - drawn_height) / 2)
    left = 6.0 + (room - bounds.width * 1000.0 / scale_n) / 2
    frame = Frame(asked.view, bounds, left, top, scale_n)
    drawn = _picture(asked.model, frame, asked.seen)
    lamps = named_lamps(asked.seen, frame)
    numbers = columns_beside(lamps, frame, low_mm=frame.top_mm + 1.5, high_mm=frame.foot_mm)
    drawn.append(group(*numbers, name="numbers"))
    drawn.append(_width_dimensions(body, frame))
    drawn.append(scale_bar((4.0, height_mm - _SCALE_BAR_MM), scale_n=scale_n))
    shown_n = rows_that_fit_n(height_mm - HEAD_MM, columns_n=1)
    at = (width_mm - table, 2.0)
    listed = table_elements(asked.rows[:shown_n], at, width_mm=table, columns_n=1)
    drawn.append(group(*listed, name="lamps-listed"))
    return asked.plate(drawn, scale_n), shown_n


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
    nose_m, from_mm = body.front_overhang, frame.foot_mm + 0.5
    front, rear, nose, tail = (frame.at((x, 0.0, 0.0))[0] for x in (0.0, -body.wheelbase, nose_m, nose_m - body.length))
    wheelbase = dimension_text("wheelbase", body.wheelbase)
    length = dimension_text("length", body.length)
    return group(
        *across(front, rear, y_mm=top_mm + 3.5, from_mm=from_mm, said=wheelbase, name="wheelbase"),
        *across(nose, tail, y_mm=top_mm + 9.5, from_mm=from_mm, said=length, name="length"),
        name="dimensions",
    )


def _width_dimensions(body: BodyPart, frame: Frame) -> Element:
    """Width of the body (without mirrors) and height, at a front or rear view."""
    left, right = (frame.at((0.0, y, 0.0))[0] for y in (body.width / 2, -body.width / 2))
    high, low = (frame.at((0.0, 0.0, z))[1] for z in (body.height, 0.0))
    foot = frame.foot_mm
    beside = frame.left_mm - AWAY_MM - SIZE_MM / 2 - 3.0
    width, height = dimension_text("body width", body.width), dimension_text("height", body.height)
    return group(
        *across(left, right, y_mm=foot + 6.0, from_mm=foot + 0.5, said=width, name="width"),
        *upright(high, low, x_mm=beside, said=height, name="height"),
        name="dimensions",
    )


def _caption(at: Point) -> Element:
    said = "Boxes are lamps at their true size; a tick shows where a head looks; shaded: its beam to half of the peak."
    return text(at, said, size_pt=TYPE_PT["label"], ink=QUIET, anchor="end")
