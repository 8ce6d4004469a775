"""Which lamps does a view show? The table beside it: number, name, part, colours in words, height, where each looks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.model import Colour, Model
from coachwright.draw.lamps import DrawnHead
from coachwright.draw.letters import fitted, lines_of, text_width_mm
from coachwright.draw.svg import MM_PER_PT, Element, Point, element, hatch_fill, line, text
from coachwright.kit.geom import bearing_and_elevation
from coachwright.kit.show import show, show_in
from coachwright.look.style import INK, LIGHTS, LINE_PT, QUIET, RULE_LINE
from coachwright.place.poses import place_and_side

HEAD_MM, GAP_MM = 5.4, 6.0
ROW_MM = 7.6
"""Height of a row: two lines, the part under the lamp's name."""

_SIZE_PT, _HEAD_PT, _LINE_MM = 7.0, 6.5, 2.9
_LEVEL_RAD = math.radians(80.0)
_MOST_HEAD_WORDS_N = 2


@dataclass(frozen=True, slots=True)
class LampRow:
    """One lamp with both its sides, as a table says it."""

    item: int
    name: str
    part: str
    place: str
    colours: tuple[Colour, ...]
    height: str
    looks: str


COLUMNS: tuple[tuple[str, float], ...] = (
    ("", 0.04),
    ("lamp, part", 0.205),
    ("colours", 0.265),
    ("height", 0.12),
    ("looks toward", 0.13),
    ("where it is fitted", 0.24),
)
"""Heads and shares of the width."""
_NAME_AT, _COLOURS_AT = 1, 2


def lamp_rows(model: Model, heads: Iterable[DrawnHead]) -> tuple[LampRow, ...]:
    """One row for each lamp, in the order of the file."""
    lamps: dict[int, list[DrawnHead]] = {}
    for each in heads:
        lamps.setdefault(each.item, []).append(each)
    return tuple(_row(model, lamps[item]) for item in sorted(lamps))


def _row(model: Model, heads: list[DrawnHead]) -> LampRow:
    first = heads[0]
    colours: dict[Colour, None] = {}
    for each in heads:
        colours.update(dict.fromkeys(each.head.colours))
    what = "; ".join(dict.fromkeys(_where(model, each) for each in heads))
    part = first.head.part if first.fitted else "the vehicle's own"
    return LampRow(first.item, first.head.lamp, part, what, tuple(colours), height_text(heads), looks_text(heads))


def _where(model: Model, each: DrawnHead) -> str:
    return place_and_side(each.head, model.body)[0].what or each.head.place


def height_text(heads: Sequence[DrawnHead]) -> str:
    """Height of the optical centre above the ground; from lowest to highest where they differ."""
    heights = [each.pose.position_m[2] for each in heads]
    low, high = (show_in(height, "mm", kind="length") for height in (min(heights), max(heights)))
    if low == high:
        return low
    low, high = (show_in(height, "m", kind="length") for height in (min(heights), max(heights)))
    return f"{low.removesuffix(' m')}–{high}"


def looks_text(heads: Sequence[DrawnHead]) -> str:
    """The bearings the heads look toward; up or down where they do."""
    said: dict[str, None] = {}
    for each in heads:
        bearing, elevation = bearing_and_elevation(each.pose.forward)
        if abs(elevation) > _LEVEL_RAD:
            said["up" if elevation > 0 else "down"] = None
        else:
            said[degrees_text(bearing)] = None
    words = list(said)
    if len(words) > _MOST_HEAD_WORDS_N:
        words = [words[0], "…", words[-1]]
    return (
        " ".join([", ".join(words).replace(", …,", " …"), "deg"])
        if any(word[0].isdigit() for word in words)
        else words[0]
    )


def degrees_text(bearing_rad: float) -> str:
    """A bearing in degrees without its unit; whole ones without a point."""
    said = show(bearing_rad, "angle").removesuffix(" deg").removesuffix(".0")
    return "0" if said == "360" else said


def table_height_mm(rows_n: int, *, columns_n: int) -> float:
    """Height of the table laid in so many blocks side by side. [mm]"""
    return HEAD_MM + math.ceil(rows_n / columns_n) * ROW_MM


def rows_that_fit_n(height_mm: float, *, columns_n: int) -> int:
    """How many rows go into this height. [mm]"""
    return max(0, int((height_mm - HEAD_MM) / ROW_MM + 1e-6)) * columns_n


def table_elements(rows: Sequence[LampRow], at: Point, *, width_mm: float, columns_n: int) -> tuple[Element, ...]:
    """The table, its upper left corner at `at`, in blocks side by side, filled one after the other."""
    if not rows:
        return ()
    each_n = math.ceil(len(rows) / columns_n)
    block_mm = (width_mm - (columns_n - 1) * GAP_MM) / columns_n
    drawn: list[Element] = []
    for block in range(math.ceil(len(rows) / each_n)):
        x = at[0] + block * (block_mm + GAP_MM)
        drawn += _head((x, at[1]), block_mm)
        for place, row in enumerate(rows[block * each_n : (block + 1) * each_n]):
            drawn += _row_elements(row, (x, at[1] + HEAD_MM + place * ROW_MM), block_mm)
    return tuple(drawn)


def _head(at: Point, width_mm: float) -> list[Element]:
    x, y = at
    drawn: list[Element] = []
    for head, share in COLUMNS:
        if head:
            drawn.append(text((x, y + 3.4), head, size_pt=_HEAD_PT, ink=QUIET))
        x += share * width_mm
    foot = y + HEAD_MM - 0.6
    return [*drawn, line((at[0], foot), (at[0] + width_mm, foot), ink=INK, width_mm=LINE_PT["detail"] * MM_PER_PT)]


def _row_elements(row: LampRow, at: Point, width_mm: float) -> list[Element]:
    x, y = at
    foot = y + 3.2
    said = (str(row.item), row.name, "", row.height, row.looks, row.place)
    drawn: list[Element] = []
    for place, ((_, share), words) in enumerate(zip(COLUMNS, said, strict=True)):
        room = share * width_mm
        if place == _COLOURS_AT:
            drawn += colour_words(row.colours, (x, foot), width_mm=room - 1.5)
        elif place == _NAME_AT:
            for line_n, (part, bold) in enumerate(((words, True), (row.part, False))):
                kept_one = fitted(part, width_mm=room - 1.5, size_pt=_SIZE_PT, bold=bold)
                ink = INK if bold else QUIET
                drawn.append(text((x, foot + line_n * _LINE_MM), kept_one, size_pt=_SIZE_PT, ink=ink, bold=bold))
        else:
            kept = lines_of(words, width_mm=room - 1.5, size_pt=_SIZE_PT, most_n=2, bold=place == 0)
            drawn += [
                text((x, foot + number * _LINE_MM), said_line, size_pt=_SIZE_PT, ink=INK, bold=place == 0)
                for number, said_line in enumerate(kept)
            ]
        x += room
    line_y = y + ROW_MM - 0.2
    return [*drawn, line((at[0], line_y), (at[0] + width_mm, line_y), ink=RULE_LINE, width_mm=0.09)]


def colour_words(colours: Iterable[Colour], at: Point, *, width_mm: float, size_pt: float = _SIZE_PT) -> list[Element]:
    """Each colour as a small hatched field with its word beside it; words are left out where there is no room."""
    x, foot = at
    end = x + width_mm
    drawn: list[Element] = []
    for colour in colours:
        word = LIGHTS[colour].word
        wide = text_width_mm(word, size_pt=size_pt)
        if x + 3.2 + wide > end + 0.01:
            drawn.append(text((min(x, end - 1.5), foot), "…", size_pt=size_pt, ink=INK))
            break
        drawn.append(swatch(colour, (x, foot - 1.9)))
        drawn.append(text((x + 3.2, foot), word, size_pt=size_pt, ink=INK))
        x += 3.2 + wide + 1.7
    return drawn


def swatch(colour: Colour, at: Point, *, width_mm: float = 2.6, height_mm: float = 2.0) -> Element:
    """A small field of a colour's hatch."""
    return element(
        "rect",
        x=at[0],
        y=at[1],
        width=width_mm,
        height=height_mm,
        fill=hatch_fill(colour),
        stroke=LIGHTS[colour].ink,
        stroke_width=0.16,
    )
