"""How much light to work by falls on the ground round the vehicle? A plan to scale, lux in steps, who stands where.

Values are handed in; the vehicle is drawn over its own shadow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coachwright.draw.bands import Raster, band_elements, ladder_elements, ladder_mm, levels_for
from coachwright.draw.body_lines import body_elements, open_elements
from coachwright.draw.contours import Floats
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.project import VIEWS, Bounds, Frame
from coachwright.draw.sheet import Plate, fitting_scale_n, scale_bar
from coachwright.draw.svg import Element, Point, element, group, line, text
from coachwright.look.style import ACCENT, INK, PAPER, QUIET, RULE_LINE
from coachwright.parts.schema import BodyPart
from coachwright.place.solids import Solid

SERIES_LX = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)

_HEAD_MM, _FOOT_MM, _EDGE_MM, _LINE_MM = 8.0, 18.0, 7.0, 4.0
_WORD_PT = 7.0
_UNIT = "lx on the ground, mean"
_SCALE_MM, _LEAST_LADDER_MM = 70.0, 100.0
"""Kept for the scale bar; what a ladder beside it needs."""


@dataclass(frozen=True, slots=True)
class DrawnGround:
    """What a ground map shows.

    x_m, y_m : of the samples, vehicle frame, ascending at equal steps. lux : shape (y, x).
    people : (name, x, y) of who stands there. said : lines written under the map.
    patches : (x from, x to, y from, y to) of the ground that is judged. [m]
    """

    title: str
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    lux: Floats
    people: tuple[tuple[str, float, float], ...] = ()
    patches: tuple[tuple[float, float, float, float], ...] = ()
    said: tuple[str, ...] = ()


def ground_plate(
    shown: DrawnGround,
    body: BodyPart,
    opened: Sequence[Solid] = (),
    *,
    width_mm: float,
    height_mm: float,
    name: str = "ground",
) -> Plate:
    """The map, nose to the left, with its ladder, its scale and what was found.

    opened : panels that stand open.
    """
    view = VIEWS[0]
    bounds = Bounds(-shown.x_m[-1], -shown.x_m[0], -shown.y_m[-1], -shown.y_m[0])
    foot_mm = _FOOT_MM + _LINE_MM * len(shown.said)
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=width_mm - 2 * _EDGE_MM),
        fitting_scale_n(bounds.height, room_mm=height_mm - _HEAD_MM - foot_mm),
    )
    frame = Frame(view, bounds, (width_mm - bounds.width * 1000.0 / scale_n) / 2, _HEAD_MM, scale_n)
    raster = _raster(shown, frame)
    levels = levels_for(float(shown.lux.max()), SERIES_LX)
    title = fitted(shown.title, width_mm=width_mm - 2 * _EDGE_MM, size_pt=9.0, bold=True)
    y = frame.foot_mm + 4.0
    words_y = y + (18.5 if _is_narrow(frame, width_mm) else 10.5)
    drawn = [
        text((frame.left_mm, 4.4), title, size_pt=9.0, ink=INK, bold=True),
        *_metres(shown, frame),
        group(*band_elements(raster, levels, _lux), name="steps"),
        *(_patch(each, frame) for each in shown.patches),
        group(*body_elements(body, frame), *open_elements(opened, frame), name="vehicle"),
        *(part for each in shown.people for part in _person(each, frame, shown.people)),
        _border(frame),
        scale_bar((frame.left_mm, y), scale_n=scale_n),
        *_ladder(frame, y, levels, width_mm),
        *(
            text(
                (frame.left_mm, words_y + _LINE_MM * place),
                fitted(said, width_mm=width_mm - frame.left_mm - 2.0, size_pt=_WORD_PT),
                size_pt=_WORD_PT,
                ink=INK,
            )
            for place, said in enumerate(shown.said)
        ),
    ]
    return Plate(name, shown.title, width_mm, height_mm, tuple(drawn), scale_n, name)


def _lux(level: float) -> str:
    return f"{level:g}"


def _raster(shown: DrawnGround, frame: Frame) -> Raster:
    """The nose is to the left and the vehicle's left side below: columns run against x, rows against y."""
    values = np.asarray(shown.lux[:, ::-1], dtype=np.float64)
    left, top = frame.at((shown.x_m[-1], shown.y_m[0], 0.0))
    right, foot = frame.at((shown.x_m[0], shown.y_m[-1], 0.0))
    rows_n, columns_n = values.shape
    return Raster(values, left, top, (right - left) / (columns_n - 1), (foot - top) / (rows_n - 1))


def _metres(shown: DrawnGround, frame: Frame) -> list[Element]:
    """A thin net of whole metres under the steps."""
    step_n = 1
    xs = np.arange(np.ceil(shown.x_m[0]), shown.x_m[-1] + 1e-9, step_n).tolist()
    ys = np.arange(np.ceil(shown.y_m[0]), shown.y_m[-1] + 1e-9, step_n).tolist()
    upright = (line(frame.at((x, shown.y_m[0], 0)), frame.at((x, shown.y_m[-1], 0)), ink=RULE_LINE, width_mm=0.09)
               for x in xs)  # fmt: skip
    level = (line(frame.at((shown.x_m[0], y, 0)), frame.at((shown.x_m[-1], y, 0)), ink=RULE_LINE, width_mm=0.09)
             for y in ys)  # fmt: skip
    return [*upright, *level]


def _border(frame: Frame) -> Element:
    return element(
        "rect", x=frame.left_mm, y=frame.top_mm, width=frame.right_mm - frame.left_mm,
        height=frame.foot_mm - frame.top_mm, fill="none", stroke=INK, stroke_width=0.2,
    )  # fmt: skip


def _patch(patch: tuple[float, float, float, float], frame: Frame) -> Element:
    x_from, x_to, y_from, y_to = patch
    left, top = frame.at((max(x_from, x_to), min(y_from, y_to), 0.0))
    right, foot = frame.at((min(x_from, x_to), max(y_from, y_to), 0.0))
    return element(
        "rect", class_="patch", x=left, y=top, width=right - left, height=foot - top, fill="none", stroke=ACCENT,
        stroke_width=0.3, stroke_dasharray="1.6 1",
    )  # fmt: skip


def _person(
    who: tuple[str, float, float], frame: Frame, everybody: Sequence[tuple[str, float, float]]
) -> list[Element]:
    """A head and shoulders from above, with a word beside it that stays off the other words."""
    name, x_m, y_m = who
    x, y = frame.at((x_m, y_m, 0.0))
    order = sorted(everybody, key=lambda each: frame.at((each[1], each[2], 0.0)))
    said = f"at the open {name.replace('.', ' ').replace('-', ' ')}"
    wide = text_width_mm(said, size_pt=6.5) + 1.0
    down = (order.index(who) - (len(order) - 1) / 2) * 5.0
    to_right = x + 4.0 + wide < frame.right_mm
    start = x + 4.0 if to_right else x - 4.0 - wide
    side = 1.0 if to_right else -1.0
    word: Point = (start + 0.5, y + down + 0.75)
    return [
        element("ellipse", class_="person", cx=x, cy=y, rx=0.8, ry=1.7, fill=PAPER, stroke=INK, stroke_width=0.3),
        element("circle", cx=x, cy=y, r=0.7, fill=INK),
        line((x + side, y), (start if to_right else start + wide, y + down), ink=INK, width_mm=0.13),
        element("rect", x=start, y=y + down - 1.6, width=wide, height=3.1, fill=PAPER, stroke=QUIET, stroke_width=0.1),
        text(word, said, size_pt=6.5, ink=INK),
    ]  # fmt: skip


def _ladder(frame: Frame, y: float, levels: Sequence[float], width_mm: float) -> list[Element]:
    """Beside the scale at the right, or under it where the plate is narrow."""
    wide = ladder_mm(levels) + text_width_mm(_UNIT, size_pt=7.0) + 2.5
    beside = width_mm - frame.left_mm - _SCALE_MM - 1.0
    if _is_narrow(frame, width_mm):
        return ladder_elements((1.0, y + 7.4), levels, _lux, unit=_UNIT, width_mm=width_mm - 2.0)
    left = max(width_mm - _EDGE_MM - wide, width_mm - beside - 1.0)
    return ladder_elements((left, y - 0.6), levels, _lux, unit=_UNIT, width_mm=beside)


def _is_narrow(frame: Frame, width_mm: float) -> bool:
    return width_mm - frame.left_mm - _SCALE_MM < _LEAST_LADDER_MM
