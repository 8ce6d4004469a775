"""500 lights of other people's arithmetic against the colours of 49 CFR 571.108, all six of them.

The oracle is another way round: the spectral locus of colour-science, cut by each printed line in turn, is a polygon;
whether a point lies in it is asked by counting crossings. Nothing here reads coachwright's data of boundaries.
"""

from __future__ import annotations

import warnings
from functools import cache

import numpy as np
import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.light.colour import judge

Point = tuple[float, float]
Line = tuple[float, float, float]
"""a, b, c of  a x + b y <= c."""

PRINTED: dict[str, list[list[Line]]] = {
    # 49 CFR 571.108 (2015) S14.4.1.4.2, typed here a second time: each colour is one or two runs of lines
    "red": [[(0, 1, 0.33), (-1, -1, -0.98)]],
    "amber": [[(0, -1, -0.39), (-0.67, -1, -0.79), (-1, 1, -0.12)]],
    "white": [
        [(-1, 0, -0.31), (1, 0, 0.50), (0, 1, 0.44), (-0.64, 1, 0.15), (0.75, -1, -0.05)],
        [(-1, 0, -0.44), (1, 0, 0.50), (0, 1, 0.44), (-0.64, 1, 0.15), (0, -1, -0.38)],
    ],
    "green": [[(0.73, 1, 0.73), (1, -0.63, -0.04), (-0.50, -1, -0.50)]],
    "restricted-blue": [[(-0.81, 1, 0.07), (1, 1, 0.40), (1, -0.60, 0.13)]],
    "signal-blue": [[(0, 1, 0.32), (1, 1, 0.40), (1, -0.60, 0.13)], [(0, 1, 0.32), (1, 0, 0.16), (1, -0.60, 0.13)]],
}
LIGHTS_N = 500
EDGE = 1e-3
"""Closer to a printed line than this the rounding of the corners decides, and nothing is asked."""


@cache
def observer() -> np.ndarray:
    """CIE 1931, 2 degrees, 380 to 700 nm at 1 nm, as colour-science tabulates it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    values = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    return np.array([values[wavelength] for wavelength in range(380, 701)])


@cache
def locus() -> tuple[Point, ...]:
    """Chromaticities of pure light; the straight line of purples closes them."""
    xyz = observer()
    return tuple((float(x), float(y)) for x, y in xyz[:, :2] / xyz.sum(axis=1, keepdims=True))


def cut(polygon: list[Point], line: Line) -> list[Point]:
    """What of a convex polygon lies on the inner side of a line."""
    a, b, c = line
    kept: list[Point] = []
    for (x1, y1), (x2, y2) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        before, after = a * x1 + b * y1 - c, a * x2 + b * y2 - c
        if before <= 0:
            kept.append((x1, y1))
        if before * after < 0:
            share = before / (before - after)
            kept.append((x1 + share * (x2 - x1), y1 + share * (y2 - y1)))
    return kept


def in_polygon(point: Point, polygon: list[Point]) -> bool:
    """Ray casting."""
    x, y = point
    crossings = sum(
        (y1 <= y) != (y2 <= y) and x1 + (y - y1) * (x2 - x1) / (y2 - y1) > x
        for (x1, y1), (x2, y2) in zip(polygon, polygon[1:] + polygon[:1], strict=True)
    )
    return crossings % 2 == 1


@cache
def polygons(colour: str) -> tuple[tuple[Point, ...], ...]:
    """The field of a colour, in one or two convex pieces."""
    pieces = []
    for lines in PRINTED[colour]:
        piece = list(locus())
        for line in lines:
            piece = cut(piece, line)
        pieces.append(tuple(piece))
    return tuple(pieces)


@cache
def lights() -> tuple[Point, ...]:
    """Invented lights: one to three bumps on the spectrum, narrow ones and wide ones in turn, and pure light."""
    draw = np.random.default_rng(571108)
    wavelengths = np.arange(380, 701)
    found = []
    for number in range(LIGHTS_N):
        spectrum = np.zeros(wavelengths.size)
        for _ in range(draw.integers(1, 4)):
            width_nm = draw.uniform(3.0, 12.0) if number % 2 else draw.uniform(10.0, 110.0)
            spectrum += draw.uniform(0.05, 1.0) * np.exp(-(((wavelengths - draw.uniform(400, 690)) / width_nm) ** 2))
        x, y, z = spectrum @ observer()
        found.append((float(x / (x + y + z)), float(y / (x + y + z))))
    return tuple(found)


def is_clear(point: Point, colour: str) -> bool:
    """Whether no printed line of the colour runs so near that rounding decides."""
    x, y = point
    return all(abs(a * x + b * y - c) / float(np.hypot(a, b)) > EDGE for lines in PRINTED[colour] for a, b, c in lines)


@pytest.mark.parametrize("colour", PRINTED)
def test_five_hundred_lights_are_what_a_polygon_of_49_cfr_571_108_says(colour: str) -> None:
    """S14.4.1.4.2.1 to .6: inside and outside; points are looked at a hair toward white, off the chords."""
    asked = {True: 0, False: 0}
    for x, y in lights():
        if not is_clear((x, y), colour):
            continue
        hair = (x + 2e-4 * (1 / 3 - x), y + 2e-4 * (1 / 3 - y))
        within = any(in_polygon(hair, list(piece)) for piece in polygons(colour))
        (answer,) = (a for a in judge(x, y) if (a.field.standard, a.field.colour) == ("us-108", colour))
        assert answer.inside == within, (x, y, answer.failed)
        asked[within] += 1

    assert asked[True] >= 10
    assert asked[False] >= 200


def test_polygons_have_the_corners_worked_by_hand() -> None:
    """Two printed lines each, solved with a pencil: white's six corners, amber's two, blue's two (to three digits)."""
    hand = {
        "red": [(0.650, 0.330)],
        "amber": [(0.597, 0.390), (0.545, 0.425)],
        "white": [(0.310, 0.348), (0.453, 0.440), (0.500, 0.440), (0.500, 0.380), (0.440, 0.380), (0.310, 0.283)],
        "restricted-blue": [(0.182, 0.218), (0.231, 0.169)],
        "signal-blue": [(0.160, 0.320), (0.231, 0.169)],  # (0.160, 0.240) is where its two pieces cross
    }
    for colour, corners in hand.items():
        drawn = np.array([point for piece in polygons(colour) for point in piece])
        for corner in corners:
            assert np.abs(drawn - corner).max(axis=1).min() < 1e-3, (colour, corner)


def test_the_calculation_says_the_same_as_the_judgement() -> None:
    """Law: `light.chromaticity` at the bench and the rule of the pack are one answer."""
    for x, y in lights()[:40]:
        said = reckon("chromaticity", [f"x={x:.6f}", f"y={y:.6f}"]).as_json()["results"]
        for answer in judge(round(x, 6), round(y, 6)):
            name = f"{answer.field.standard} {answer.field.colour}"
            assert said[name]["value"] == ("yes" if answer.inside else "no"), name
