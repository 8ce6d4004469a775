"""How much light goes where? A rose: bearing round the vehicle, candela outward on a logarithmic scale, zones A to D.

Every colour has a rose of its own, filled with its hatch: a black and white copy says the same. All colours together
have a plain grey one. A least value is a dashed ring; a band outside the dial marks where the vehicle hides its own
light. Values are handed in; nothing is worked out here but places on paper.

See Also
--------
coachwright.light : where the values come from. coachwright.place.zones : the zones.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.model import Colour
from coachwright.draw.body_lines import lines_in
from coachwright.draw.lamp_table import degrees_text, swatch
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.project import VIEWS, bounds_of
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, Point, element, group, hatch_fill, line, path_of, text
from coachwright.kit.show import show
from coachwright.look.style import ACCENT, INK, LIGHTS, PAPER, QUIET, RULE_LINE
from coachwright.parts.schema import BodyPart
from coachwright.place.zones import ZONE_MIDDLES_RAD

LOWEST_CD = 1.0
"""The innermost ring; what is dimmer lies on it."""

TITLE_MM, _OUTSIDE_MM, _INNER_SHARE = 11.0, 8.5, 0.24
ALL_COLOURS, ALL_FILL = "all colours", "#dfe5ea"
_BAND_MM = (0.4, 1.5)
"""Of the band that marks hidden light, off the outermost ring."""
_TICK_DEG, _WORD_DEG = 15, 45
_LEAST_BETWEEN_MM = 6.4
"""Rings closer than this along the slanting row of words would have their words on one another."""
_ZONE_WORDS = {"A": "A front", "B": "B right", "C": "C rear", "D": "D left"}


@dataclass(frozen=True, slots=True)
class RoseCurve:
    """Candela of one colour round the vehicle; of all colours together where none is named.

    heading : stands for the colour's word. title : what is shown, e.g. "effective intensity, level with the horizon".
    bearings_rad : ascending, clockwise from the nose, round once. values_cd : one for each.
    """

    title: str
    colour: Colour | None
    bearings_rad: tuple[float, ...]
    values_cd: tuple[float, ...]
    heading: str = ""

    def __post_init__(self) -> None:
        if len(self.bearings_rad) != len(self.values_cd) or len(self.bearings_rad) < 3:
            raise ValueError("a rose needs three bearings at least, and a value for each")

    @property
    def word(self) -> str:
        return self.heading or (LIGHTS[self.colour].word if self.colour else ALL_COLOURS)


@dataclass(frozen=True, slots=True)
class LimitRing:
    """A limit that holds all round, or for `zones` only. value : in candela."""

    said: str
    value_cd: float
    zones: tuple[str, ...] = ("A", "B", "C", "D")


def rose_plate(
    curve: RoseCurve,
    *,
    size_mm: float,
    most_cd: float,
    body: BodyPart | None = None,
    limits: Iterable[LimitRing] = (),
    hidden: Sequence[bool] = (),
    name: str = "rose",
) -> Plate:
    """One colour's rose as a square picture with its words above it.

    Parameters
    ----------
    most_cd : of the outermost ring, raised to a whole decade; the same for roses that are set side by side.
    body : drawn small in the middle, its nose up, not to scale.
    hidden : for each bearing of the curve, whether the vehicle hides so much of its light there that it is marked.
    """
    rings = tuple(limits)
    middle = (size_mm / 2, TITLE_MM + size_mm / 2)
    dial = _Dial(middle, size_mm / 2 - _OUTSIDE_MM, decades_n(most_cd))
    drawn = [
        *_title(curve, size_mm),
        _filled(curve, dial),
        *_rings(dial),
        *_zones(dial),
        *_bearings(dial),
        *_hidden(curve, hidden, dial),
        *(part for ring in rings for part in _limit(ring, dial)),
        _edge(curve, dial),
        *(part for place, ring in enumerate(rings) for part in _limit_words(ring, dial, on_right=place % 2 == 1)),
        element("circle", cx=middle[0], cy=middle[1], r=dial.inner_mm, fill=PAPER, stroke=QUIET, stroke_width=0.15),
        *(() if body is None else (_silhouette(body, dial),)),
        *_ring_words(dial),
    ]
    title = f"{curve.word}: {curve.title}"
    return Plate(name, title, size_mm, size_mm + TITLE_MM, tuple(drawn))


def decades_n(most_cd: float) -> int:
    """How many decades over the innermost ring hold this much; at least two."""
    return max(2, math.ceil(math.log10(max(most_cd, LOWEST_CD) / LOWEST_CD) - 1e-9))


@dataclass(frozen=True, slots=True)
class _Dial:
    middle: Point
    radius_mm: float
    decades_n: int

    @property
    def inner_mm(self) -> float:
        return self.radius_mm * _INNER_SHARE

    def far(self, value_cd: float) -> float:
        """How far from the middle this many candela lie. [mm]"""
        decades = math.log10(max(value_cd, LOWEST_CD) / LOWEST_CD)
        return self.inner_mm + (self.radius_mm - self.inner_mm) * min(1.0, decades / self.decades_n)

    def at(self, bearing_rad: float, far_mm: float) -> Point:
        return (
            self.middle[0] + far_mm * math.sin(bearing_rad),
            self.middle[1] - far_mm * math.cos(bearing_rad),
        )


def _title(curve: RoseCurve, size_mm: float) -> list[Element]:
    word = curve.word
    peak = max(curve.values_cd)
    at = curve.bearings_rad[curve.values_cd.index(peak)]
    most = f"most {candela_text(peak)} toward {degrees_text(at)} deg" if peak > 0 else "no light"
    word = fitted(word, width_mm=size_mm * 0.55, size_pt=10.0, bold=True)
    room = size_mm - 10.0 - text_width_mm(word, size_pt=10.0, bold=True)
    if text_width_mm(most, size_pt=7.5) > room:  # half a bearing tells less than none
        most = most.partition(" toward ")[0]
    most = fitted(most, width_mm=room, size_pt=7.5)
    said = fitted(curve.title, width_mm=size_mm - 1.0, size_pt=7.0)
    return [
        swatch(curve.colour, (0.5, 0.6), width_mm=4.0, height_mm=3.0) if curve.colour else _grey((0.5, 0.6)),
        text((6.0, 3.4), word, size_pt=10.0, ink=INK, bold=True),
        text((size_mm, 3.4), most, size_pt=7.5, ink=INK, anchor="end"),
        text((0.5, 7.6), said, size_pt=7.0, ink=QUIET),
    ]


def candela_text(value_cd: float) -> str:
    """To three figures: no beam is known better."""
    return show(float(f"{value_cd:.3g}"), "luminous-intensity")


def _grey(at: Point) -> Element:
    return element(
        "rect", x=at[0], y=at[1], width=4.0, height=3.0, fill=ALL_FILL, stroke=INK, stroke_width=0.16
    )  # fmt: skip


def _rings(dial: _Dial) -> list[Element]:
    drawn = []
    for decade in range(1, dial.decades_n + 1):
        outermost = decade == dial.decades_n
        drawn.append(
            element(
                "circle",
                cx=dial.middle[0],
                cy=dial.middle[1],
                r=dial.far(LOWEST_CD * 10**decade),
                fill="none",
                stroke=INK if outermost else RULE_LINE,
                stroke_width=0.2 if outermost else 0.14,
            )
        )
    return drawn


def _ring_words(dial: _Dial) -> list[Element]:
    """Candela of each ring, down a line between two bearing words, on paper's ground."""
    drawn = []
    every = max(1, math.ceil(_LEAST_BETWEEN_MM / (dial.far(LOWEST_CD * 10) - dial.inner_mm)))
    for decade in range(dial.decades_n, 0, -every):
        x, y = dial.at(math.radians(67.5), dial.far(LOWEST_CD * 10**decade))
        said = show(LOWEST_CD * 10**decade, "luminous-intensity")
        wide = text_width_mm(said, size_pt=6.0) + 0.8
        drawn.append(
            element("rect", x=x - wide / 2, y=y - 1.25, width=wide, height=2.3, fill=PAPER, fill_opacity="0.85")
        )
        drawn.append(text((x, y + 0.65), said, size_pt=6.0, ink=QUIET, anchor="middle"))
    return drawn


def _points(curve: RoseCurve, dial: _Dial) -> list[Point]:
    return [
        dial.at(bearing, dial.far(value)) for bearing, value in zip(curve.bearings_rad, curve.values_cd, strict=True)
    ]


def _filled(curve: RoseCurve, dial: _Dial) -> Element:
    fill = hatch_fill(curve.colour) if curve.colour else ALL_FILL
    return element("path", d=path_of(_points(curve, dial), closed=True), fill=fill, fill_opacity="0.85")


def _edge(curve: RoseCurve, dial: _Dial) -> Element:
    return element(
        "path", id="curve", d=path_of(_points(curve, dial), closed=True), fill="none",
        stroke=LIGHTS[curve.colour].ink if curve.colour else INK, stroke_width=0.45, stroke_linejoin="round",
    )  # fmt: skip


def _zones(dial: _Dial) -> list[Element]:
    """The lines between the zones, and their words outside."""
    drawn = []
    for zone, middle_rad in ZONE_MIDDLES_RAD.items():
        corner = middle_rad + math.pi / 4
        drawn.append(
            line(
                dial.at(corner, dial.inner_mm),
                dial.at(corner, dial.radius_mm + 2.0),
                ink=ACCENT,
                width_mm=0.2,
                dash="1.6 1",
            )
        )
        word = _ZONE_WORDS[zone]
        x, y = dial.at(middle_rad, dial.radius_mm + 5.2)
        wide = text_width_mm(word, size_pt=7.0, bold=True)
        if zone in "BD":  # beside the dial there is little room: stand off the horizontal line
            half = wide / 2 + 0.2
            x = min(max(x, half), dial.middle[0] * 2 - half)
            y -= 3.4
        drawn.append(text((x, y + 0.9), word, size_pt=7.0, ink=ACCENT, anchor="middle", bold=True))
    return drawn


def _bearings(dial: _Dial) -> list[Element]:
    drawn = []
    for degrees in range(0, 360, _TICK_DEG):
        bearing = math.radians(degrees)
        long = degrees % _WORD_DEG == 0
        drawn.append(
            line(
                dial.at(bearing, dial.radius_mm),
                dial.at(bearing, dial.radius_mm + (1.5 if long else 0.8)),
                ink=INK,
                width_mm=0.14,
            )
        )
        if long and degrees % 90:
            x, y = dial.at(bearing, dial.radius_mm + 4.4)
            drawn.append(text((x, y + 0.8), f"{degrees} deg", size_pt=6.0, ink=QUIET, anchor="middle"))
        elif long:
            far = dial.radius_mm + (2.6 if degrees in (0, 180) else 4.0)
            x, y = dial.at(bearing, far)
            shift = 5.2 if degrees in (0, 180) else 0.0
            drawn.append(
                text(
                    (x + shift, y + 0.8),
                    f"{degrees} deg" if degrees in (0, 180) else f"{degrees}",
                    size_pt=6.0,
                    ink=QUIET,
                    anchor="middle",
                )
            )
    return drawn


def _hidden(curve: RoseCurve, hidden: Sequence[bool], dial: _Dial) -> list[Element]:
    """A band outside the dial over every run of marked bearings."""
    if not any(hidden):
        return []
    half_rad = math.pi / len(curve.bearings_rad)
    near, far = (dial.radius_mm + off for off in _BAND_MM)
    drawn = []
    for bearing, marked in zip(curve.bearings_rad, hidden, strict=True):
        if marked:
            edge = [dial.at(bearing + turn, near) for turn in (-half_rad, half_rad)]
            outer = [dial.at(bearing + turn, far) for turn in (half_rad, -half_rad)]
            drawn.append(element("path", class_="hidden", d=path_of([*edge, *outer], closed=True), fill=INK))
    return drawn


def _limit(ring: LimitRing, dial: _Dial) -> list[Element]:
    """The limit over the zones it holds for, dashed, with its words at the first."""
    far = dial.far(ring.value_cd)
    drawn = []
    for zone in ring.zones:
        middle = ZONE_MIDDLES_RAD[zone]  # type: ignore[index]  # a ring for a zone that isn't one has no place
        points = [dial.at(middle + math.radians(degrees), far) for degrees in range(-45, 46, 3)]
        drawn.append(
            element(
                "path",
                class_="limit",
                d=path_of(points),
                fill="none",
                stroke=INK,
                stroke_width=0.4,
                stroke_dasharray="1.2 0.8",
            )
        )
    return drawn


def _limit_words(ring: LimitRing, dial: _Dial, *, on_right: bool) -> list[Element]:
    """Over all lines, or a second ring would run through the first one's words; those stand on its other side."""
    drawn: list[Element] = []
    if ring.zones:
        aside = math.radians(22.0 if on_right else -22.0)
        x, y = dial.at(ZONE_MIDDLES_RAD[ring.zones[0]] + aside, dial.far(ring.value_cd))  # type: ignore[index]
        said = fitted(ring.said, width_mm=dial.radius_mm, size_pt=6.0)
        wide = text_width_mm(said, size_pt=6.0) + 0.8
        drawn.append(element("rect", x=x - wide / 2, y=y - 1.25, width=wide, height=2.3, fill=PAPER))
        drawn.append(text((x, y + 0.65), said, size_pt=6.0, ink=INK, anchor="middle"))
    return drawn


def _silhouette(body: BodyPart, dial: _Dial) -> Element:
    """The body's outline from above, nose up, inside the innermost ring."""
    shapes = [drawn.points for drawn in lines_in(body, VIEWS[0]) if drawn.layer == "body" and drawn.closed]
    if not shapes:
        return group(name="vehicle")
    bounds = bounds_of(point for shape in shapes for point in shape)
    scale = dial.inner_mm * 1.62 / math.hypot(bounds.width, bounds.height)
    along, up = (bounds.left + bounds.right) / 2, (bounds.low + bounds.high) / 2

    def turned(point: Point) -> Point:
        """The plan has its nose to the left; here it points up."""
        return (dial.middle[0] + (point[1] - up) * scale, dial.middle[1] + (point[0] - along) * scale)

    drawn = (
        element(
            "path",
            d=path_of([turned(point) for point in shape], closed=True),
            fill=PAPER,
            stroke=QUIET,
            stroke_width=0.18,
        )
        for shape in shapes
    )
    return group(*drawn, name="vehicle")


def roses(
    curves: Sequence[RoseCurve], *, size_mm: float, body: BodyPart | None = None, limits: Sequence[LimitRing] = ()
) -> tuple[Plate, ...]:
    """A rose for each curve, all on one scale."""
    most = max((value for curve in curves for value in curve.values_cd), default=LOWEST_CD)
    most = max(most, *(ring.value_cd for ring in limits), LOWEST_CD)
    return tuple(
        rose_plate(curve, size_mm=size_mm, most_cd=most, body=body, limits=limits, name=f"rose-{place}-{curve.colour}")
        for place, curve in enumerate(curves, start=1)
    )
