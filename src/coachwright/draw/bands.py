"""How is a map drawn that has many values? In steps of grey, each closed by a line, with its number inside.

Grey says more or less only together with its number: in the map where there is room, and always in the ladder beside.

See Also
--------
coachwright.draw.contours : where the lines run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from coachwright.draw.contours import Floats, loops_over, spot_within
from coachwright.draw.letters import text_width_mm
from coachwright.draw.svg import Element, Point, element, number, path_of, text
from coachwright.look.style import INK, PAPER, QUIET

SHADES = ("#eef2f5", "#dde5eb", "#cad6df", "#b6c6d3", "#a1b5c5", "#8ca4b7", "#7793a9", "#62829b", "#52728b", "#44637b")
"""From the lowest level up; ink can be read on all but the last three, paper on those."""

_DARK_FROM_N = 6
_LABEL_PT, _LABEL_HIGH_MM, _LABEL_ROOM_MM = 6.5, 2.0, 0.9
_STEP_MM, _STEP_HIGH_MM = 15.0, 2.6
_SPECK_MM = 2.0
"""A shorter piece of a limit's line, cut off by the map's edge, is no line."""


@dataclass(frozen=True, slots=True)
class Raster:
    """Samples at equal steps on paper.

    values : shape (rows, columns). left_mm, top_mm : of the first sample. column_mm, row_mm : between two; a negative
    one runs to the left or up.
    """

    values: Floats
    left_mm: float
    top_mm: float
    column_mm: float
    row_mm: float

    def at(self, spot: Point) -> Point:
        """Where a spot (column, row) is on paper. [mm]"""
        return (self.left_mm + spot[0] * self.column_mm, self.top_mm + spot[1] * self.row_mm)


def band_elements(
    raster: Raster, levels: Sequence[float], said: Callable[[float], str], *, limits: Sequence[float] = ()
) -> list[Element]:
    """Every level's region over the one below, and the level's number where its step is wide enough.

    levels : ascending, more than 0. Between samples the logarithm runs straight. limits : lines numbers stay off.
    """
    logs = np.log(np.maximum(raster.values, levels[0] / 100.0))
    drawn: list[Element] = []
    for place, level in enumerate(levels):
        loops = loops_over(logs, float(np.log(level)))
        if loops:
            drawn.append(
                element(
                    "path",
                    class_=f"level {level:g}",
                    d="".join(_loop([raster.at(point) for point in loop]) for loop in loops),
                    fill=SHADES[min(place, len(SHADES) - 1)],
                    fill_rule="evenodd",
                    stroke=QUIET,
                    stroke_width=0.13,
                    stroke_linejoin="round",
                )
            )
    return [*drawn, *_numbers(raster, logs, levels, said, limits)]


def ladder_elements(
    at: Point, levels: Sequence[float], said: Callable[[float], str], *, unit: str, width_mm: float = math.inf
) -> list[Element]:
    """The steps side by side with the number each begins at; `at` is the upper left corner, 6.5 mm high in all."""
    x, y = at
    step_mm = min(_STEP_MM, (width_mm - text_width_mm(unit, size_pt=7.0) - 2.5) / (len(levels) + 1))
    drawn: list[Element] = []
    for place in range(len(levels) + 1):
        fill = PAPER if place == 0 else SHADES[min(place - 1, len(SHADES) - 1)]
        drawn.append(
            element(
                "rect", x=x + place * step_mm, y=y, width=step_mm, height=_STEP_HIGH_MM, fill=fill, stroke=QUIET,
                stroke_width=0.13,
            )
        )  # fmt: skip
        if place:
            words = said(levels[place - 1])
            drawn.append(text((x + place * step_mm, y + 5.6), words, size_pt=6.5, ink=INK, anchor="middle"))
    end = x + (len(levels) + 1) * step_mm
    drawn.append(text((end + 2.0, y + 2.1), unit, size_pt=7.0, ink=QUIET))
    return drawn


def ladder_mm(levels: Sequence[float]) -> float:
    """How wide a ladder is without its unit. [mm]"""
    return (len(levels) + 1) * _STEP_MM


def levels_for(most: float, series: Sequence[float]) -> tuple[float, ...]:
    """Those of a series that are reached; the lowest two always."""
    return tuple(level for place, level in enumerate(series) if place < 2 or level <= most)


def dashed_level(raster: Raster, level: float, *, name: str) -> Element | None:
    """The line of one level alone, bold and dashed: a limit. None where the map is all over it."""
    logs = np.log(np.maximum(raster.values, level / 100.0))
    if not (logs < np.log(level)).any():
        return None
    loops = loops_over(logs, float(np.log(level)))
    if not loops:
        return None
    runs = [[raster.at(point) for point in run] for loop in loops for run in _inside(loop, raster.values.shape)]
    long = [run for run in runs if sum(math.dist(one, other) for one, other in pairwise(run)) >= _SPECK_MM]
    if not long:
        return None
    d = "".join(map(path_of, long))
    return element("path", class_=name, d=d, fill="none", stroke=INK, stroke_width=0.45, stroke_dasharray="1.6 0.9")


def _inside(loop: Sequence[Point], shape: tuple[int, ...]) -> list[list[Point]]:
    """The stretches of a closed line that don't run along the map's edge."""
    rows_n, columns_n = shape
    far = (columns_n - 1.0, rows_n - 1.0)

    def on_edge(one: Point, other: Point) -> bool:
        return any(one[axis] == other[axis] and one[axis] in {0.0, far[axis]} for axis in (0, 1))

    pairs = list(zip(loop, (*loop[1:], loop[0]), strict=True))
    start = next((place for place, pair in enumerate(pairs) if on_edge(*pair)), 0)
    runs: list[list[Point]] = []
    is_open = False
    for one, other in (*pairs[start:], *pairs[:start]):
        if on_edge(one, other):
            is_open = False
        elif is_open:
            runs[-1].append(other)
        else:
            runs.append([one, other])
            is_open = True
    return runs


def _loop(points: Sequence[Point]) -> str:
    return "M" + " ".join(f"{number(x)},{number(y)}" for x, y in points) + "Z"


def _numbers(
    raster: Raster, logs: Floats, levels: Sequence[float], said: Callable[[float], str], limits: Sequence[float]
) -> list[Element]:
    drawn: list[Element] = []
    taken: list[Point] = []
    ends = [*(float(np.log(level)) for level in levels), float("inf")]
    for place, (low, high) in enumerate(pairwise(ends)):
        words = said(levels[place])
        wide = text_width_mm(words, size_pt=_LABEL_PT) + _LABEL_ROOM_MM
        box = (wide / abs(raster.column_mm), (_LABEL_HIGH_MM + _LABEL_ROOM_MM) / abs(raster.row_mm))
        cuts = [low, *sorted(cut for cut in np.log(limits).tolist() if low < cut < high), high]
        spots = (spot_within(logs, one, other, box=box, apart=taken) for one, other in pairwise(cuts))
        spot = next((found for found in spots if found is not None), None)
        if spot is None:
            continue
        taken.append(spot)
        x, y = raster.at(spot)
        ink = PAPER if place > _DARK_FROM_N else INK
        drawn.append(text((x, y + 0.75), words, size_pt=_LABEL_PT, ink=ink, anchor="middle"))
    return drawn
