"""Do two drivers see each other before it is too late to stop? Both roads from above, the corner, the line of sight.

The moment drawn is the other driver's last one to begin to stop. Roads are drawn 7 m wide; everything else is to scale.

See Also
--------
coachwright.light.approach : where the two are. coachwright.light.crossing_measures : what he notices on the way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from coachwright.draw.letters import fitted, lines_of, text_width_mm
from coachwright.draw.sheet import Plate, fitting_scale_n, scale_bar
from coachwright.draw.svg import Element, Point, element, group, line, path_of, text
from coachwright.light.approach import Approach, Track, track, unhidden
from coachwright.light.words import speed
from coachwright.look.style import ACCENT, INK, PAPER, QUIET, RULE_LINE
from coachwright.parts.schema import BodyPart

ROAD_M, CAR_M, CAR_WIDE_M, BEYOND_M = 7.0, 4.6, 1.8, 18.0
_ROAD_FILL, _BUILDING_FILL = "#eef0f1", "#d3d9de"
_EYE_BACK_M = 1.9
"""Of the other driver's eyes behind his front end: drawn, not counted."""

_BELOW = "Below nought (-) is too late: he notices the warning after the last moment, past the last place, to stop."
_LIST_SHARE, _GAP_MM, _ROW_MM, _FOOT_MM = 0.33, 6.0, 4.4, 10.0
_PT = 7.5


@dataclass(frozen=True, slots=True)
class DrawnCrossing:
    """One crossing to draw.

    title, found : a heading, and the answer in a sentence. approach : of both. eye_m, short_m : height of his eyes,
    and where they come to rest. before_s : how long before his last moment the picture of the measure begins.
    columns, rows : the table of speeds, as said.
    """

    title: str
    found: str
    approach: Approach
    eye_m: float
    short_m: float
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class _Paper:
    """The crossing of the paths lies at `middle`; our road runs level, we come from the left."""

    middle: Point
    mm_per_m: float
    up: int

    def at(self, along_m: float, toward_other_m: float) -> Point:
        return (
            self.middle[0] + along_m * self.mm_per_m,
            self.middle[1] - self.up * toward_other_m * self.mm_per_m,
        )


def crossing_plate(
    shown: DrawnCrossing, body: BodyPart, places_m: Sequence[tuple[float, float, float]], *, width_mm: float,
    height_mm: float, name: str = "crossing",
) -> Plate:  # fmt: skip
    """The plan to the left; the answer, the way both have, and the table to the right.

    places_m : of the lamps that warn, vehicle frame.
    """
    approach = shown.approach
    way = track(approach, nose_m=body.front_overhang, eye_m=shown.eye_m, short_m=shown.short_m, before_s=0.0)
    own_m, cross_m = float(way.own_m[way.last]), float(way.cross_m[way.last])
    room_w, room_h = width_mm * (1.0 - _LIST_SHARE) - _GAP_MM, height_mm - _FOOT_MM
    wide_m = own_m + body.length + BEYOND_M + 6.0
    tall_m = cross_m + CAR_M + BEYOND_M + 6.0
    scale_n = max(fitting_scale_n(wide_m, room_mm=room_w), fitting_scale_n(tall_m, room_mm=room_h))
    mm_per_m = 1000.0 / scale_n
    used_w, used_h = wide_m * mm_per_m, tall_m * mm_per_m
    up = approach.side
    middle_y = used_h - BEYOND_M * mm_per_m if up > 0 else BEYOND_M * mm_per_m
    top = (room_h - used_h) / 2
    paper = _Paper(((room_w - used_w) / 2 + (wide_m - BEYOND_M) * mm_per_m, top + middle_y), mm_per_m, up)
    box = ((room_w - used_w) / 2, top, used_w, used_h)
    sees = bool(unhidden(approach, way, tuple(places_m), nose_m=body.front_overhang)[:, way.last].any())
    drawn = [
        group(*_roads(paper, box), *_building(approach, paper, box), name="place"),
        *_sight(approach, way, paper, sees=sees),
        *_vehicles(paper, body, own_m, cross_m),
        *_names(approach, paper, body, own_m, cross_m),
        *_ways(approach, way, paper, box),
        scale_bar((4.0, height_mm - 7.0), scale_n=scale_n),
        *_said(shown, way, (width_mm * (1.0 - _LIST_SHARE), 0.0), width_mm=width_mm * _LIST_SHARE,
               height_mm=height_mm, sees=sees),
    ]  # fmt: skip
    return Plate(name, shown.title, width_mm, height_mm, tuple(drawn), scale_n, name)


def _rect(one: Point, other: Point, **looks: str | float) -> Element:
    x, y = min(one[0], other[0]), min(one[1], other[1])
    return element("rect", x=x, y=y, width=abs(one[0] - other[0]), height=abs(one[1] - other[1]), **looks)


def _roads(paper: _Paper, box: tuple[float, float, float, float]) -> list[Element]:
    left, top, wide, tall = box
    half = ROAD_M / 2 * paper.mm_per_m
    x, y = paper.middle
    return [
        _rect((left, y - half), (left + wide, y + half), fill=_ROAD_FILL),
        _rect((x - half, top), (x + half, top + tall), fill=_ROAD_FILL),
        line((left, y), (left + wide, y), ink=QUIET, width_mm=0.13, dash="2 1.4"),
        line((x, top), (x, top + tall), ink=QUIET, width_mm=0.13, dash="2 1.4"),
    ]


def _building(approach: Approach, paper: _Paper, box: tuple[float, float, float, float]) -> list[Element]:
    """All beyond the corner, away from both roads, as far as the picture goes."""
    if approach.from_cross_m is None or approach.from_own_m is None:
        return []
    left, top, _, tall = box
    x, y = paper.at(-approach.from_cross_m, approach.from_own_m)
    far = (left, top if paper.up > 0 else top + tall)
    if x <= left or not top < y < top + tall:
        return []
    wide, high = x - left, abs(far[1] - y)
    step = 2.4
    upper = min(y, far[1])
    bars = []
    for place in range(1, math.ceil((wide + high) / step)):
        off = place * step
        start = (left + min(off, wide), upper + max(0.0, off - wide))
        end = (left + max(0.0, off - high), upper + min(off, high))
        bars.append(path_of([start, end]))
    return [
        _rect((x, y), far, fill=_BUILDING_FILL, id="building"),
        element("path", d="".join(bars), stroke=QUIET, stroke_width=0.11, fill="none"),
        line((x, y), (left, y), ink=INK, width_mm=0.3),
        line((x, y), (x, far[1]), ink=INK, width_mm=0.3),
        element("circle", id="corner", cx=x, cy=y, r=0.8, fill=INK),
    ]


def _vehicles(paper: _Paper, body: BodyPart, own_m: float, cross_m: float) -> list[Element]:
    """Ours as long and wide as it is, the other as a car; a point at the front end of each."""
    half = body.width / 2
    ours = [
        paper.at(-own_m - body.length, half), paper.at(-own_m - 1.0, half), paper.at(-own_m, 0.0),
        paper.at(-own_m - 1.0, -half), paper.at(-own_m - body.length, -half),
    ]  # fmt: skip
    front_m, side = cross_m - _EYE_BACK_M, CAR_WIDE_M / 2
    other = [
        paper.at(side, front_m + CAR_M), paper.at(side, front_m + 0.8), paper.at(0.0, front_m),
        paper.at(-side, front_m + 0.8), paper.at(-side, front_m + CAR_M),
    ]  # fmt: skip
    return [
        element("path", id="own", d=path_of(ours, closed=True), fill=ACCENT, stroke=INK, stroke_width=0.2),
        element("path", id="other", d=path_of(other, closed=True), fill=PAPER, stroke=INK, stroke_width=0.3),
    ]


def _names(approach: Approach, paper: _Paper, body: BodyPart, own_m: float, cross_m: float) -> list[Element]:
    """Who is who, and how fast: ours under its tail, the other beside him."""
    ours, his = f"we, {speed(approach.own_m_s)}", f"the other, {speed(approach.cross_m_s)}"
    x, y = paper.at(-own_m - body.length, -ROAD_M / 2)
    right, level = paper.at(ROAD_M / 2, cross_m + CAR_M / 2)
    return [
        text((x, y + (4.0 if paper.up > 0 else -1.4)), ours, size_pt=_PT, ink=INK),
        text((right + 1.2, level + 0.9), his, size_pt=_PT, ink=INK),
    ]


def _sight(approach: Approach, way: Track, paper: _Paper, *, sees: bool) -> list[Element]:
    """From our nose to his eyes; where the corner cuts it the rest is dashed, and a cross marks the cut."""
    own_m, cross_m = float(way.own_m[way.last]), float(way.cross_m[way.last])
    start, end = paper.at(-own_m, 0.0), paper.at(0.0, cross_m)
    cut = None if sees else _cut(approach, own_m, cross_m)
    if cut is None:
        return [line(start, end, ink=INK, width_mm=0.4, name="sight-free")]
    at = paper.at(*cut)
    arm = 1.5
    return [
        line(start, at, ink=INK, width_mm=0.4),
        line(at, end, ink=INK, width_mm=0.3, dash="1.2 1", name="sight-cut"),
        line((at[0] - arm, at[1] - arm), (at[0] + arm, at[1] + arm), ink=INK, width_mm=0.6),
        line((at[0] - arm, at[1] + arm), (at[0] + arm, at[1] - arm), ink=INK, width_mm=0.6),
    ]


def _cut(approach: Approach, own_m: float, cross_m: float) -> tuple[float, float] | None:
    """Where the straight line from our nose runs into the building: at its face toward our road."""
    p_m, q_m = approach.from_cross_m, approach.from_own_m
    if p_m is None or q_m is None or q_m >= cross_m:
        return None
    return (-own_m * (1.0 - q_m / cross_m), q_m)


def _ways(approach: Approach, way: Track, paper: _Paper, box: tuple[float, float, float, float]) -> list[Element]:
    """How far each is from the crossing of the paths, and how long that takes; the corner's place."""
    own_m, cross_m = float(way.own_m[way.last]), float(way.cross_m[way.last])
    off_m = -(ROAD_M / 2 + 9.0 / paper.mm_per_m)
    ours = f"{own_m:.0f} m, {own_m / approach.own_m_s:.1f} s"
    his = f"{cross_m:.0f} m, {cross_m / approach.cross_m_s:.1f} s"
    drawn = _dimension(paper.at(-own_m, off_m), paper.at(0.0, off_m), ours, name="own-way")
    side_m = ROAD_M / 2 + 4.0 / paper.mm_per_m
    drawn += _dimension(paper.at(side_m, 0.0), paper.at(side_m, cross_m), his, name="cross-way")
    if approach.from_cross_m is not None and approach.from_own_m is not None:
        corner = (-approach.from_cross_m, approach.from_own_m)
        said = f"corner {approach.from_cross_m:g} m and {approach.from_own_m:g} m off the paths"
        x, y = paper.at(*corner)
        if not (box[0] < x and box[1] < y < box[1] + box[3]):
            return drawn
        wide = text_width_mm(said, size_pt=_PT) + 2.0
        right = max(x - 2.5, box[0] + wide)
        down = y - paper.up * 4.2
        drawn.append(element("rect", x=right - wide, y=down - 1.9, width=wide, height=3.6, fill=PAPER))
        drawn.append(text((right - 1.0, down + 0.8), said, size_pt=_PT, ink=INK, anchor="end"))
    return drawn


def _dimension(one: Point, other: Point, said: str, *, name: str) -> list[Element]:
    level = abs(one[1] - other[1]) < 1e-6
    wide = text_width_mm(said, size_pt=_PT, bold=True) + 2.0
    middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    ends = [
        line((x - 0.8, y + 0.8), (x + 0.8, y - 0.8), ink=INK, width_mm=0.25) for x, y in (one, other)
    ]  # fmt: skip
    x = middle[0] if level else middle[0] + wide / 2 + 0.8
    ground = [] if not level else [
        element("rect", x=x - wide / 2, y=middle[1] - 1.8, width=wide, height=3.6, fill=PAPER)
    ]  # fmt: skip
    word = text((x, middle[1] + 0.9), said, size_pt=_PT, ink=INK, anchor="middle", bold=True)
    return [line(one, other, ink=INK, width_mm=0.16, name=name), *ends, *ground, word]


def _said(
    shown: DrawnCrossing, way: Track, at: Point, *, width_mm: float, height_mm: float, sees: bool
) -> list[Element]:
    left, y = at
    drawn = []
    own_m, cross_m = float(way.own_m[way.last]), float(way.cross_m[way.last])
    y += 3.8
    for said in lines_of(shown.title, width_mm=width_mm, size_pt=9.5, most_n=2, bold=True):
        drawn.append(text((left, y), said, size_pt=9.5, ink=INK, bold=True))
        y += 4.8
    sight = "The line of sight is free." if sees else "The corner cuts the line of sight."
    drawn_is = f"the other driver's last moment to begin to stop, {cross_m:.0f} m before the crossing of the paths"
    told = (f"Drawn: {drawn_is}. We are {own_m:.0f} m before it. {sight}", shown.found)
    for paragraph in told:
        for said in lines_of(paragraph, width_mm=width_mm, size_pt=_PT, most_n=6):
            drawn.append(text((left, y), said, size_pt=_PT, ink=INK))
            y += 3.9
        y += 1.6
    shares = [1.0 / len(shown.columns)] * len(shown.columns)
    y += 2.0
    heads = [
        lines_of(head, width_mm=share * width_mm - 2.0, size_pt=6.5, most_n=3)
        for head, share in zip(shown.columns, shares, strict=True)
    ]
    for head, x in zip(heads, _starts(left, shares, width_mm), strict=True):
        drawn += [text((x, y + 2.9 * place), said, size_pt=6.5, ink=QUIET) for place, said in enumerate(head)]
    y += 2.9 * max((len(head) for head in heads), default=1)
    drawn.append(line((left, y - 1.0), (left + width_mm, y - 1.0), ink=INK, width_mm=0.25))
    y += 3.0
    room_n = max(0, int((height_mm - y) / _ROW_MM))
    for row in shown.rows[:room_n]:
        for said, x, share in zip(row, _starts(left, shares, width_mm), shares, strict=True):
            kept = fitted(said, width_mm=share * width_mm - 2.0, size_pt=_PT)
            drawn.append(text((x, y), kept, size_pt=_PT, ink=INK))
        drawn.append(line((left, y + 1.3), (left + width_mm, y + 1.3), ink=RULE_LINE, width_mm=0.1))
        y += _ROW_MM
    if y + 1.0 <= height_mm and any(said.startswith("-") for row in shown.rows for said in row):
        drawn.append(text((left, y + 0.6), fitted(_BELOW, width_mm=width_mm, size_pt=6.5), size_pt=6.5, ink=QUIET))
    return drawn


def _starts(left: float, shares: Sequence[float], width_mm: float) -> list[float]:
    starts = [left]
    for share in shares[:-1]:
        starts.append(starts[-1] + share * width_mm)
    return starts
