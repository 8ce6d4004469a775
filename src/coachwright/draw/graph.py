"""How is a value drawn over another? Axes, straight or logarithmic, with their ticks, and lines between points.

See Also
--------
coachwright.draw.bands : values over a plane.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from coachwright.draw.svg import Element, Point, element, line, path_of, text
from coachwright.look.style import INK, PAPER, QUIET, RULE_LINE

TICK_PT = 6.5
_SAME_MM = 1e-6
_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)


@dataclass(frozen=True, slots=True)
class Axis:
    """Values along a stretch of paper. low, high : its ends; both above 0 where `log`. [mm]"""

    low: float
    high: float
    low_mm: float
    high_mm: float
    log: bool = False

    def at(self, value: float) -> float:
        """Where a value is; what lies beyond an end is drawn at that end. [mm]"""
        return self.beyond(min(max(value, self.low), self.high))

    def beyond(self, value: float) -> float:
        """Where a value is, or would be if the axis went on; above 0 where it is logarithmic. [mm]"""
        if self.log:
            share = math.log(value / self.low) / math.log(self.high / self.low)
        else:
            share = (value - self.low) / (self.high - self.low)
        return self.low_mm + share * (self.high_mm - self.low_mm)

    @property
    def length_mm(self) -> float:
        return abs(self.high_mm - self.low_mm)


@dataclass(frozen=True, slots=True)
class Field:
    """A field of paper between two axes."""

    x: Axis
    y: Axis

    def at(self, x: float, y: float) -> Point:
        """Where a pair of values is; at the edge where it lies beyond. [mm]"""
        return (self.x.at(x), self.y.at(y))

    def beyond(self, x: float, y: float) -> Point:
        """Where a pair of values is, also outside the field. [mm]"""
        return (self.x.beyond(x), self.y.beyond(y))


def ticks(axis: Axis, *, apart_mm: float, steps: Sequence[float] = _STEPS) -> tuple[float, ...]:
    """Values to write at an axis: whole steps at least `apart_mm` apart; of a logarithmic one the powers of ten."""
    if axis.log:
        low, high = math.ceil(math.log10(axis.low) - 1e-9), math.floor(math.log10(axis.high) + 1e-9)
        return tuple(10.0**power for power in range(low, high + 1))
    mm_per = axis.length_mm / (axis.high - axis.low)
    step = next((each for each in steps if each * mm_per >= apart_mm), steps[-1])
    first, last = math.ceil(axis.low / step - 1e-9), math.floor(axis.high / step + 1e-9)
    return tuple(step * number for number in range(first, last + 1))


def between(axis: Axis) -> tuple[float, ...]:
    """The lines of logarithmic paper between its powers of ten."""
    low, high = math.floor(math.log10(axis.low)), math.ceil(math.log10(axis.high))
    every = (place * 10.0**power for power in range(low, high) for place in range(2, 10))
    return tuple(value for value in every if axis.low < value < axis.high)


def clipped_line(points: Sequence[Point], field: Field) -> list[list[Point]]:
    """What of a line lies in a field: stretches of it, cut at the edges."""
    runs: list[list[Point]] = []
    for one, other in pairwise(points):
        cut = _cut(one, other, field)
        if cut is None:
            continue
        begin, end = cut
        if runs and math.dist(runs[-1][-1], begin) < _SAME_MM:
            runs[-1].append(end)
        else:
            runs.append([begin, end])
    return runs


def clipped_area(points: Sequence[Point], field: Field) -> list[Point]:
    """What of an area lies in a field, edge by edge (Sutherland and Hodgman)."""
    left, right, top, foot = _edges(field)
    kept = list(points)
    for axis, edge, sign in ((0, left, 1.0), (0, right, -1.0), (1, top, 1.0), (1, foot, -1.0)):
        before, kept = kept, []
        for place, point in enumerate(before):
            last = before[place - 1]
            inside, was = sign * (point[axis] - edge) >= 0, sign * (last[axis] - edge) >= 0
            if inside != was:
                share = (edge - last[axis]) / (point[axis] - last[axis])
                kept.append((last[0] + share * (point[0] - last[0]), last[1] + share * (point[1] - last[1])))
            if inside:
                kept.append(point)
    return kept


def round_up(
    value: float, *, least: float = 1.0, steps: Sequence[float] = (1.0, 1.2, 1.5, 2.0, 2.5, 3, 4, 5, 6, 8)
) -> float:
    """The next round number that isn't below a value."""
    value = max(value, least)
    power = 10.0 ** math.floor(math.log10(value))
    return next((power * step for step in (*steps, 10.0) if power * step >= value * (1 - 1e-9)), 10.0 * power)


def field_elements(
    field: Field,
    *,
    x_said: Callable[[float], str] | None = None,
    y_said: Callable[[float], str] | None = None,
    x_ticks: Iterable[float] = (),
    y_ticks: Iterable[float] = (),
) -> list[Element]:
    """The field's frame, its lines and their numbers; an axis without words has lines alone."""
    left, right = sorted((field.x.low_mm, field.x.high_mm))
    top, foot = sorted((field.y.low_mm, field.y.high_mm))
    drawn: list[Element] = [element("rect", x=left, y=top, width=right - left, height=foot - top, fill=PAPER)]
    for value in x_ticks:
        x = field.x.at(value)
        drawn.append(line((x, top), (x, foot), ink=RULE_LINE, width_mm=0.12))
        if x_said is not None:
            drawn.append(text((x, foot + 3.0), x_said(value), size_pt=TICK_PT, ink=QUIET, anchor="middle"))
    for value in y_ticks:
        y = field.y.at(value)
        drawn.append(line((left, y), (right, y), ink=RULE_LINE, width_mm=0.12))
        if y_said is not None:
            drawn.append(text((left - 1.2, y + 0.8), y_said(value), size_pt=TICK_PT, ink=QUIET, anchor="end"))
    drawn.append(
        element("rect", x=left, y=top, width=right - left, height=foot - top, fill="none", stroke=INK, stroke_width=0.2)
    )
    return drawn


def curve(
    points: Sequence[Point], *, name: str, ink: str = INK, width_mm: float = 0.4, dash: str | None = None
) -> Element:
    """A line through points of paper, in the drawing by its class."""
    return element(
        "path", class_=name, d=path_of(points), fill="none", stroke=ink, stroke_width=width_mm, stroke_dasharray=dash,
        stroke_linejoin="round",
    )  # fmt: skip


def _edges(field: Field) -> tuple[float, float, float, float]:
    left, right = sorted((field.x.low_mm, field.x.high_mm))
    top, foot = sorted((field.y.low_mm, field.y.high_mm))
    return left, right, top, foot


def _cut(one: Point, other: Point, field: Field) -> tuple[Point, Point] | None:
    """The stretch of a straight line inside (Liang and Barsky); None where none is."""
    left, right, top, foot = _edges(field)
    dx, dy = other[0] - one[0], other[1] - one[1]
    enters, leaves = 0.0, 1.0
    for step, room in ((-dx, one[0] - left), (dx, right - one[0]), (-dy, one[1] - top), (dy, foot - one[1])):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            enters = max(enters, room / step)
        else:
            leaves = min(leaves, room / step)
    if enters >= leaves:
        return None
    return (one[0] + enters * dx, one[1] + enters * dy), (one[0] + leaves * dx, one[1] + leaves * dy)


def hours_said(time_s: float) -> str:
    """``1:30 h``; ``40 min`` below an hour; ``0``."""
    minutes = round(time_s / 60.0)
    if minutes == 0:
        return "0"
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60}:{minutes % 60:02d} h"
