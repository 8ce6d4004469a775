"""When does each head burn? Strips of time, one row for each head, in milliseconds, to scale.

A strip is continuous: a rectangle begins and ends where the light does, and is as high as its share of full light. Each
colour has its hatch, and its word beside the head's name.

See Also
--------
coachwright.flash.waves : where the waves come from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from coachwright.build.model import Colour
from coachwright.draw.lamp_table import colour_words
from coachwright.draw.letters import fitted
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, element, hatch_fill, line, text
from coachwright.kit.wave import Wave, overlap_ms
from coachwright.look.style import INK, LIGHTS, QUIET, RULE_LINE

if TYPE_CHECKING:
    from coachwright.flash.waves import HeadWave

LANE_MM, ROW_GAP_MM, AXIS_MM = 3.3, 1.2, 7.0
LONGEST_MS, SHORTEST_MS = 2000, 1000
_NAME_SHARE, _WORD_SHARE, _EDGE_MM = 0.15, 0.175, 4.0
_STEPS_MS = (50, 100, 200, 250, 500, 1000, 2000, 5000, 10000)
_MOST_RECTANGLES = 400
_LEAST_HEIGHT_MM = 0.7


@dataclass(frozen=True, slots=True)
class StripRow:
    """One head. parts : each colour with its share of full light over time. note : said behind the words."""

    head: str
    parts: tuple[tuple[Colour, Wave], ...]


def rows_of(waves: Iterable[HeadWave]) -> tuple[StripRow, ...]:
    """The heads that are lit at some time, in the order given."""
    return tuple(
        StripRow(each.head, tuple((part.colour, part.wave) for part in each.parts if part.wave.peak() > 0))
        for each in waves
        if any(part.wave.peak() > 0 for part in each.parts)
    )


def span_ms(rows: Iterable[StripRow]) -> int:
    """How much time to draw: the longest cycle, at least one second, at most two."""
    longest = max((wave.period_ms for row in rows for _, wave in row.parts), default=0)
    repeats = math.ceil(SHORTEST_MS / longest) if longest else 1
    return min(LONGEST_MS, max(SHORTEST_MS, longest * repeats))


def strips(
    rows: Sequence[StripRow], *, width_mm: float, most_height_mm: float, time_ms: int = 0, name: str = "strips"
) -> tuple[Plate, ...]:
    """The rows as pictures, each no higher than `most_height_mm`, all with the same axis.

    Parameters
    ----------
    time_ms : to draw from 0; 0: as `span_ms` says. [ms]
    """
    drawn_ms = time_ms or span_ms(rows)
    pages: list[list[StripRow]] = []
    left_mm = 0.0
    for row in rows:
        height = _height(row)
        if not pages or height > left_mm:
            pages.append([])
            left_mm = most_height_mm - AXIS_MM - 1.0
        pages[-1].append(row)
        left_mm -= height
    return tuple(
        _plate(page, width_mm=width_mm, time_ms=drawn_ms, name=f"{name}-{number}")
        for number, page in enumerate(pages, start=1)
    )


def lanes_of(row: StripRow) -> tuple[tuple[tuple[Colour, Wave], ...], ...]:
    """Colours that never burn at once share a lane; others lie one under the other."""
    lanes: list[list[tuple[Colour, Wave]]] = []
    for colour, wave in row.parts:
        free = next((lane for lane in lanes if all(overlap_ms(wave, other) == 0 for _, other in lane)), None)
        if free is None:
            lanes.append([(colour, wave)])
        else:
            free.append((colour, wave))
    return tuple(tuple(lane) for lane in lanes)


def _height(row: StripRow) -> float:
    return max(1, len(lanes_of(row))) * LANE_MM + ROW_GAP_MM


def _plate(rows: Sequence[StripRow], *, width_mm: float, time_ms: int, name: str) -> Plate:
    start = width_mm * (_NAME_SHARE + _WORD_SHARE)
    mm_per_ms = (width_mm - start - _EDGE_MM) / time_ms
    foot = AXIS_MM + sum(_height(row) for row in rows)
    drawn = _axis(start, mm_per_ms, time_ms, foot)
    y = AXIS_MM
    for row in rows:
        drawn += _row(row, y, start=start, mm_per_ms=mm_per_ms, time_ms=time_ms, width_mm=width_mm)
        y += _height(row)
    return Plate(name, "Time strips", width_mm, foot + 1.0, tuple(drawn))


def _axis(start: float, mm_per_ms: float, time_ms: int, foot: float) -> list[Element]:
    step = next((each for each in _STEPS_MS if each * mm_per_ms >= 11.0), _STEPS_MS[-1])
    drawn = []
    for at_ms in range(0, time_ms + 1, step):
        x = start + at_ms * mm_per_ms
        drawn.append(line((x, AXIS_MM - 2.2), (x, foot), ink=RULE_LINE, width_mm=0.12))
        drawn.append(
            text((x, AXIS_MM - 3.2), f"{at_ms:,}" if at_ms else "0 ms", size_pt=6.5, ink=QUIET, anchor="middle")
        )
    drawn.append(line((start, AXIS_MM - 1.0), (start + time_ms * mm_per_ms, AXIS_MM - 1.0), ink=INK, width_mm=0.16))
    return drawn


def _row(row: StripRow, top: float, *, start: float, mm_per_ms: float, time_ms: int, width_mm: float) -> list[Element]:
    lanes = lanes_of(row)
    height = max(1, len(lanes)) * LANE_MM
    name = fitted(row.head, width_mm=width_mm * _NAME_SHARE - 1.5, size_pt=7.0, bold=True)
    drawn: list[Element] = [text((0.0, top + 2.5), name, size_pt=7.0, ink=INK, bold=True)]
    drawn += colour_words(
        [colour for colour, _ in row.parts], (width_mm * _NAME_SHARE, top + 2.5), width_mm=width_mm * _WORD_SHARE - 1.0
    )
    for number, lane in enumerate(lanes):
        floor = top + (number + 1) * LANE_MM
        for colour, wave in lane:
            drawn += _burning(colour, wave, floor, start=start, mm_per_ms=mm_per_ms, time_ms=time_ms)
    base = top + height
    drawn.append(line((start, base), (start + time_ms * mm_per_ms, base), ink=QUIET, width_mm=0.12))
    return drawn


def _burning(
    colour: Colour, wave: Wave, floor: float, *, start: float, mm_per_ms: float, time_ms: int
) -> list[Element]:
    edges, values = wave.steps(0, time_ms)
    drawn: list[Element] = []
    for (begins, ends), share in zip(pairwise(edges.tolist()), values.tolist(), strict=True):
        if share <= 0:
            continue
        if len(drawn) == _MOST_RECTANGLES:
            break
        height = max(_LEAST_HEIGHT_MM, (LANE_MM - 0.5) * min(1.0, share))
        drawn.append(
            element(
                "rect", class_=f"lit {colour}", x=start + begins * mm_per_ms, y=floor - height,
                width=(ends - begins) * mm_per_ms, height=height, fill=hatch_fill(colour), stroke=LIGHTS[colour].ink,
                stroke_width=0.15,
            )
        )  # fmt: skip
    return drawn
