"""How much light to work by falls on a table of the vehicle? Its top from above, to scale, lux in steps.

Values are handed in; the nose of the vehicle is to the left, as in every plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coachwright.draw.bands import Raster, band_elements, ladder_elements, ladder_mm, levels_for
from coachwright.draw.contours import Floats
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.project import VIEWS, Bounds, Frame
from coachwright.draw.sheet import Plate, fitting_scale_n, scale_bar
from coachwright.draw.svg import Element, element, group, line, text
from coachwright.look.style import INK, PAPER, QUIET

SERIES_LX = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)

_HEAD_MM, _FOOT_MM, _EDGE_MM, _LINE_MM, _LAMP_MM = 9.0, 20.0, 4.0, 4.2, 20.0
_WORD_PT, _UNIT = 7.0, "lx, mean"
_SMALLEST_SCALE_N = 5


@dataclass(frozen=True, slots=True)
class DrawnTable:
    """What the picture of a table shows.

    x_m, y_m : of the samples, vehicle frame, ascending at equal steps from edge to edge. lux : shape (y, x).
    lamps : (name, x, y). said : lines written under it.
    """

    title: str
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    lux: Floats
    lamps: tuple[tuple[str, float, float], ...] = ()
    said: tuple[str, ...] = ()


def table_plate(shown: DrawnTable, *, width_mm: float, height_mm: float, name: str = "table") -> Plate:
    """The top with the lamps over it, its ladder and its scale."""
    bounds = Bounds(-shown.x_m[-1], -shown.x_m[0], -shown.y_m[-1], -shown.y_m[0])
    foot_mm = _FOOT_MM + _LINE_MM * len(shown.said)
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=width_mm - 2 * (_EDGE_MM + _LAMP_MM)),
        fitting_scale_n(bounds.height, room_mm=height_mm - _HEAD_MM - foot_mm),
        _SMALLEST_SCALE_N,
    )
    left_mm = (width_mm - bounds.width * 1000.0 / scale_n) / 2
    frame = Frame(VIEWS[0], bounds, left_mm, _HEAD_MM, scale_n)
    levels = levels_for(float(shown.lux.max()), SERIES_LX)[-len(SERIES_LX) :]
    start_mm = min(left_mm - _LAMP_MM, max(_EDGE_MM, (width_mm - ladder_mm(levels) - _LAMP_MM) / 2))
    y = frame.foot_mm + 5.0
    drawn = [
        text((start_mm, 4.6), fitted(shown.title, width_mm=width_mm - start_mm, size_pt=9.0, bold=True), size_pt=9.0,
             ink=INK, bold=True),
        group(*band_elements(_raster(shown, frame), levels, _lux), name="steps"),
        element("rect", x=frame.left_mm, y=frame.top_mm, width=frame.right_mm - frame.left_mm,
                height=frame.foot_mm - frame.top_mm, fill="none", stroke=INK, stroke_width=0.3),
        *(part for each in shown.lamps for part in _lamp(each, frame)),
        scale_bar((start_mm, y), scale_n=scale_n, room_mm=width_mm - start_mm),
        *ladder_elements((start_mm, y + 8.0), levels, _lux, unit=_UNIT, width_mm=width_mm - start_mm - 1.0),
        *(
            text((start_mm, y + 19.5 + _LINE_MM * place), fitted(said, width_mm=width_mm - start_mm, size_pt=_WORD_PT),
                 size_pt=_WORD_PT, ink=INK)
            for place, said in enumerate(shown.said)
        ),
    ]  # fmt: skip
    return Plate(name, shown.title, width_mm, height_mm, tuple(drawn), scale_n, name)


def _lux(level: float) -> str:
    return f"{level:g}"


def _raster(shown: DrawnTable, frame: Frame) -> Raster:
    values = np.asarray(shown.lux[:, ::-1], dtype=np.float64)
    left, top = frame.at((shown.x_m[-1], shown.y_m[0], 0.0))
    right, foot = frame.at((shown.x_m[0], shown.y_m[-1], 0.0))
    rows_n, columns_n = values.shape
    return Raster(values, left, top, (right - left) / (columns_n - 1), (foot - top) / (rows_n - 1))


def _lamp(lamp: tuple[str, float, float], frame: Frame) -> Sequence[Element]:
    """Where a lamp stands, with its name outside the top."""
    name, x_m, y_m = lamp
    x, y = frame.at((x_m, y_m, 0.0))
    wide = text_width_mm(name, size_pt=6.5)
    return (
        line((frame.left_mm - 2.0, y), (x, y), ink=INK, width_mm=0.13),
        element("rect", class_="lamp", x=x - 1.0, y=y - 2.2, width=2.0, height=4.4, fill=PAPER, stroke=INK,
                stroke_width=0.3),
        text((frame.left_mm - 3.0 - wide, y + 0.75), name, size_pt=6.5, ink=QUIET),
    )  # fmt: skip
