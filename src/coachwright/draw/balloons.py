"""Where do the numbers of lamps go? Along the edges of a view, none on another, each with a line to its lamp."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from coachwright.draw.lamps import DrawnHead
from coachwright.draw.project import Frame
from coachwright.draw.spread import spread
from coachwright.draw.svg import Element, Point, element, line, text
from coachwright.look.style import ACCENT, INK, PAPER, QUIET

SIZE_MM, GAP_MM, AWAY_MM = 4.6, 5.2, 6.4


@dataclass(frozen=True, slots=True)
class Named:
    """One lamp of one side in a view, and where it is on paper."""

    item: int
    at: Point


def named_lamps(heads: Iterable[DrawnHead], frame: Frame) -> tuple[Named, ...]:
    """Each lamp, side and place once, in the middle of its heads; on top of one another only once."""
    spots: dict[tuple[int, str, str], list[Point]] = {}
    for each in heads:
        spots.setdefault((each.item, each.head.side, each.head.place), []).append(frame.at(each.pose.position_m))
    middles = {
        (item, side, place): (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))
        for (item, side, place), points in spots.items()
    }
    unique = {(item, round(x, 1), round(y, 1)): Named(item, (x, y)) for (item, _, _), (x, y) in middles.items()}
    return tuple(unique.values())


def rows_above_and_below(lamps: Sequence[Named], frame: Frame, *, low_mm: float, high_mm: float) -> tuple[Element, ...]:
    """Numbers over and under the view, for views that are longer than high."""
    middle = (frame.top_mm + frame.foot_mm) / 2
    above = sorted((each for each in lamps if each.at[1] <= middle), key=lambda each: each.at)
    below = sorted((each for each in lamps if each.at[1] > middle), key=lambda each: each.at)
    drawn: list[Element] = []
    for row, y in ((above, frame.top_mm - AWAY_MM), (below, frame.foot_mm + AWAY_MM)):
        places = spread([each.at[0] for each in row], gap_mm=GAP_MM, low_mm=low_mm, high_mm=high_mm)
        size = _size(places)
        for each, x in zip(row, places, strict=True):
            drawn += _balloon(each, (x, y), size)
    return tuple(drawn)


def columns_beside(lamps: Sequence[Named], frame: Frame, *, low_mm: float, high_mm: float) -> tuple[Element, ...]:
    """Numbers left and right of the view, for views that are about as high as wide."""
    middle = (frame.left_mm + frame.right_mm) / 2
    by_height = sorted(lamps, key=lambda each: (each.at[1], each.at[0]))
    drawn: list[Element] = []
    for column, x in (
        ([each for each in by_height if each.at[0] <= middle], frame.left_mm - AWAY_MM),
        ([each for each in by_height if each.at[0] > middle], frame.right_mm + AWAY_MM),
    ):
        places = spread([each.at[1] for each in column], gap_mm=GAP_MM, low_mm=low_mm, high_mm=high_mm)
        size = _size(places)
        for each, y in zip(column, places, strict=True):
            drawn += _balloon(each, (x, y), size)
    return tuple(drawn)


def _size(places: Sequence[float]) -> float:
    """As large as the closest two allow."""
    closest = min((after - before for before, after in pairwise(places)), default=GAP_MM)
    return min(SIZE_MM, closest * SIZE_MM / GAP_MM)


def _balloon(lamp: Named, at: Point, size_mm: float) -> list[Element]:
    far = ((at[0] - lamp.at[0]) ** 2 + (at[1] - lamp.at[1]) ** 2) ** 0.5
    share = min(1.0, size_mm / 2 / far) if far else 0.0
    start = (at[0] + (lamp.at[0] - at[0]) * share, at[1] + (lamp.at[1] - at[1]) * share)
    size_pt = size_mm * 1.52
    return [
        line(start, lamp.at, ink=QUIET, width_mm=0.11),
        element("circle", cx=lamp.at[0], cy=lamp.at[1], r=0.35, fill=INK),
        element("circle", cx=at[0], cy=at[1], r=size_mm / 2, fill=PAPER, stroke=ACCENT, stroke_width=0.2),
        text((at[0], at[1] + size_pt * 0.116), str(lamp.item), size_pt=size_pt, ink=INK, anchor="middle", bold=True),
    ]
