"""Is a light red, amber, white... as the standards draw the line?

The lines are data (chromaticity.yaml), each with its source and status. A new standard is a new entry there.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, table_of
from coachwright.kit.nodes import Plain, read_nodes

DATA = "chromaticity.yaml"
LOCUS_BOUNDARY = "spectral locus"
ROUNDING = 1e-9
"""A point this close to a line is on it: 0.98 - 0.65 isn't 0.33 to a computer."""

_NUMBER = r"-?\d+(?:\.\d+)?"
_RELATION = re.compile(rf"([xy]) (<=|>=) ({_NUMBER})(?: ([+-]) (\d+(?:\.\d+)?) ([xy]))?")


@dataclass(frozen=True, slots=True)
class HalfPlane:
    """Where  x_factor x + y_factor y <= limit."""

    x_factor: float
    y_factor: float
    limit: float

    def holds(self, x: float, y: float) -> bool:
        """Whether the point lies in it; its edge counts."""
        return self.x_factor * x + self.y_factor * y <= self.limit + ROUNDING


@dataclass(frozen=True, slots=True)
class Boundary:
    """One side of a colour's field. The light is within it if any of the relations holds.

    name : as the standard calls it. text : the relation as printed.
    """

    name: str
    text: str
    any_of: tuple[HalfPlane, ...]


@dataclass(frozen=True, slots=True)
class ColourField:
    """Where one standard lets one colour lie."""

    standard: str
    title: str
    colour: str
    boundaries: tuple[Boundary, ...]
    cite: Cite


@dataclass(frozen=True, slots=True)
class SpectralLocus:
    """Colours of pure light, round which every real colour lies.

    points : (x, y) from violet to red; the line back from red to violet closes it.
    allowance : how far outside a measured light may come to lie. [1]
    """

    points: tuple[tuple[float, float], ...]
    allowance: float
    cite: Cite


@dataclass(frozen=True, slots=True)
class ColourAnswer:
    """Whether a light is of a field's colour.

    failed : the first boundary it lies beyond, in the standard's order.
    """

    field: ColourField
    inside: bool
    failed: Boundary | None


@lru_cache(maxsize=1024)
def judge(x: float, y: float) -> tuple[ColourAnswer, ...]:
    """Every standard's answer to one chromaticity.

    Parameters
    ----------
    x, y : CIE 1931 chromaticity coordinates, 2 degree observer. [1]

    Notes
    -----
    Points on a boundary are inside. A point outside the spectral locus by more than the stated allowance is no light's
    colour and inside nothing.

    References
    ----------
    Named with each field in chromaticity.yaml.
    """
    fields, locus = colour_fields(), spectral_locus()
    beyond_locus = outside_locus(x, y) > locus.allowance
    answers = []
    for field in fields:
        failed = next((side for side in field.boundaries if not any(half.holds(x, y) for half in side.any_of)), None)
        if failed is None and beyond_locus:
            failed = Boundary(LOCUS_BOUNDARY, "no real light lies outside it", ())
        answers.append(ColourAnswer(field, failed is None, failed))
    return tuple(answers)


def outside_locus(x: float, y: float) -> float:
    """How far a point lies outside the spectral locus, 0 inside or on it. [1]"""
    points = spectral_locus().points
    inside, nearest = False, math.inf
    for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
        nearest = min(nearest, _distance_to_segment(x, y, (x1, y1), (x2, y2)))
    return 0.0 if inside else nearest


@cache
def colour_fields() -> tuple[ColourField, ...]:
    """All fields of the shipped standards, in their order."""
    fields = []
    for standard, entry in table_of(_data()["standards"], DATA).items():
        what = f"{DATA}, {standard}"
        title, cite = named(entry, "title", what), cite_of(entry, what)
        for colour, sides in table_of(table_of(entry, what)["colours"], what).items():
            boundaries = tuple(_boundary(name, text, what) for name, text in table_of(sides, what).items())
            fields.append(ColourField(standard, title, colour, boundaries, cite))
    return tuple(fields)


@cache
def spectral_locus() -> SpectralLocus:
    """The locus of pure spectral light, 380 to 700 nm."""
    entry = _data()["spectral-locus"]
    rows = [row.split() for row in named(entry, "points", DATA).split(";")]
    points = tuple((float(x), float(y)) for _, x, y in rows)
    return SpectralLocus(points, float(named(entry, "allowance", DATA)), cite_of(entry, DATA))


def _data() -> dict[str, Plain]:
    text = resources.files("coachwright.light").joinpath(DATA).read_text(encoding="utf-8")
    return table_of(read_nodes(text, file=DATA).plain, DATA)


def _boundary(name: str, relations: Plain, what: str) -> Boundary:
    texts = [str(text) for text in relations] if isinstance(relations, list) else [str(relations)]
    return Boundary(name, " or ".join(texts), tuple(half_plane(text, what) for text in texts))


def half_plane(text: str, what: str) -> HalfPlane:
    """Read ``y >= 0.98 - 1.00 x`` or ``x <= 0.50``."""
    found = _RELATION.fullmatch(text)
    if found is None or found[1] == found[6]:
        raise DataWrong(f"{what}: can't read the boundary {text!r}. Write it like y >= 0.98 - 1.00 x.")
    variable, relation, constant, sign, slope, _ = found.groups()
    free, other = 1.0, 0.0 if slope is None else -float(slope) * (1.0 if sign == "+" else -1.0)
    limit = float(constant)
    if relation == ">=":
        free, other, limit = -free, -other, -limit
    return HalfPlane(free, other, limit) if variable == "x" else HalfPlane(other, free, limit)


def _distance_to_segment(x: float, y: float, start: tuple[float, float], end: tuple[float, float]) -> float:
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    length2 = along_x**2 + along_y**2
    share = 0.0 if length2 == 0.0 else ((x - start[0]) * along_x + (y - start[1]) * along_y) / length2
    share = min(1.0, max(0.0, share))
    return math.hypot(x - start[0] - share * along_x, y - start[1] - share * along_y)
