"""Colours of signal light: printed corners, an independent polygon as oracle, then laws."""

import math
import warnings
from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.errors import DataWrong
from coachwright.light.colour import colour_fields, half_plane, judge, outside_locus, spectral_locus

Point = tuple[float, float]

CORNERS = {
    # 49 CFR 571.108 S14.4.1.4.2, two boundaries each, solved by hand. The rest of red, amber and green is the locus.
    "red": [(0.650, 0.330)],
    "amber": [(0.597, 0.390), (0.545, 0.425)],
    "white": [(0.310, 0.348), (0.453, 0.440), (0.500, 0.440), (0.500, 0.380), (0.440, 0.380), (0.310, 0.283)],
    "restricted-blue": [(0.182, 0.218), (0.231, 0.169)],
    "signal-blue": [(0.160, 0.320), (0.160, 0.240), (0.231, 0.169)],
}
MIDDLES = {
    "red": (0.69, 0.30),
    "amber": (0.575, 0.415),
    "white": (0.40, 0.385),
    "restricted-blue": (0.16, 0.10),
    "signal-blue": (0.15, 0.20),
}
"""A point well within each field."""


def inside(x: float, y: float, standard: str = "us-108") -> set[str]:
    """Colours of a standard the point is."""
    return {answer.field.colour for answer in judge(x, y) if answer.field.standard == standard and answer.inside}


@cache
def oracle_locus() -> np.ndarray:
    """The spectral locus at 1 nm from the colour-science library."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    values = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    xyz = np.array([values[wavelength] for wavelength in range(380, 701)])
    return xyz[:, :2] / xyz.sum(axis=1, keepdims=True)


def in_polygon(point: Point, polygon: list[Point]) -> bool:
    """Ray casting, written for this test alone."""
    x, y = point
    crossings = 0
    for (x1, y1), (x2, y2) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (y1 <= y) != (y2 <= y) and x1 + (y - y1) * (x2 - x1) / (y2 - y1) > x:
            crossings += 1
    return crossings % 2 == 1


def oracle_polygons() -> dict[str, list[Point]]:
    """Fields of 49 CFR 571.108 as corner lists: hand-solved corners, closed along the locus of colour-science."""
    locus = [(float(x), float(y)) for x, y in oracle_locus()]

    def beyond(line: Callable[[float, float], float]) -> tuple[int, Point]:
        """First nanometre past a line, coming from green, and where the locus meets the line."""
        at = next(index for index in range(140, len(locus)) if line(*locus[index]) <= 0.0)
        before, after = line(*locus[at - 1]), line(*locus[at])
        share = before / (before - after)
        (x1, y1), (x2, y2) = locus[at - 1], locus[at]
        return at, (x1 + share * (x2 - x1), y1 + share * (y2 - y1))

    red, at_red = beyond(lambda _x, y: y - 0.33)
    amber, at_green = beyond(lambda x, y: y - (x - 0.12))
    end, at_end = beyond(lambda _x, y: y - 0.39)
    # from the purple line, where y = 0.98 - x meets the line from 700 to 380 nm
    (xr, yr), (xv, yv) = locus[-1], locus[0]
    share = (xr + yr - 0.98) / ((xr + yr) - (xv + yv))
    purple = (xr + share * (xv - xr), yr + share * (yv - yr))
    return {
        "red": [CORNERS["red"][0], at_red, *locus[red:], purple],
        "amber": [*CORNERS["amber"], at_green, *locus[amber:end], at_end],
        "white": list(CORNERS["white"]),
    }


@pytest.mark.parametrize(("colour", "corners"), CORNERS.items())
def test_corners_lie_on_their_fields_as_49_cfr_571_108_draws_them(colour: str, corners: list[Point]) -> None:
    """S14.4.1.4.2.1-6: every corner is within, and a step away from the field's middle it is not."""
    middle = np.array(MIDDLES[colour])
    for x, y in corners:
        toward = middle - (x, y)
        toward = 0.004 * toward / np.linalg.norm(toward)
        if colour == "white" and (x, y) == (0.440, 0.380):
            toward = np.array([-0.001, 0.004])  # the one corner that points inward
        assert colour in inside(x + toward[0], y + toward[1])
        assert colour not in inside(x - toward[0], y - toward[1])


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        (0.690, 0.305, {"red"}),
        (0.575, 0.420, {"amber"}),
        (0.333, 0.333, {"white"}),
        (0.4476, 0.4074, {"white"}),  # CIE source A, the law's own white (S14.4.1.3.2.3)
        (0.200, 0.500, {"green"}),
        (0.150, 0.060, {"restricted-blue", "signal-blue"}),
        (0.140, 0.310, {"signal-blue"}),
        (0.250, 0.400, set()),
    ],
)
def test_plain_colours_agree_with_49_cfr_571_108(x: float, y: float, expected: set[str]) -> None:
    """S14.4.1.4.2: points whose relations are checked by hand, among them CIE source A, which is the law's white."""
    assert inside(x, y) == expected


@pytest.mark.parametrize(
    ("colour", "corners"),
    [
        ("red", [(0.645, 0.335), (0.665, 0.335), (0.735, 0.265), (0.721, 0.259)]),
        ("amber", [(0.560, 0.440), (0.545, 0.425), (0.597, 0.390), (0.609, 0.390)]),
    ],
)
def test_corners_of_sae_j578_2020_lie_on_their_boundaries(colour: str, corners: list[Point]) -> None:
    """Corner points as a public summary of J578-2020 lists them: on the edge, to the last printed digit."""
    middle = np.mean(corners, axis=0)
    for corner in corners:
        near, far = middle + 0.95 * (corner - middle), middle + 1.10 * (corner - middle)
        assert colour in inside(*near, standard="sae-j578-2020")
        assert colour not in inside(*far, standard="sae-j578-2020")


AMBER = [
    ("amber", "red boundary", (0.600, 0.390), (0, 1)),
    ("amber", "white boundary", (0.570, 0.4081), (0, 1)),
    ("amber", "green boundary", (0.555, 0.435), (0, -1)),
]
ON_BOUNDARIES = {
    # colour, boundary, a point on it worked by hand from the printed relation, direction to the inside
    "us-108": [
        ("red", "yellow boundary", (0.660, 0.330), (0, -1)),
        ("red", "purple boundary", (0.690, 0.290), (0, 1)),
        *AMBER,
        ("white", "blue boundary", (0.310, 0.320), (1, 0)),
        ("white", "yellow boundary", (0.500, 0.410), (-1, 0)),
        ("white", "upper green boundary", (0.480, 0.440), (0, -1)),
        ("white", "green boundary", (0.400, 0.406), (0, -1)),
        ("white", "purple and red boundary", (0.400, 0.350), (0, 1)),
        ("white", "purple and red boundary", (0.470, 0.380), (0, 1)),
        ("green", "yellow boundary", (0.150, 0.6205), (0, -1)),
        ("green", "white boundary", (0.275, 0.500), (-1, 0)),
        ("green", "blue boundary", (0.150, 0.425), (0, 1)),
        ("restricted-blue", "green boundary", (0.150, 0.1915), (0, -1)),
        ("restricted-blue", "white boundary", (0.210, 0.190), (-1, 0)),
        ("restricted-blue", "violet boundary", (0.190, 0.100), (-1, 0)),
        ("signal-blue", "green boundary", (0.140, 0.320), (0, -1)),
        ("signal-blue", "white boundary", (0.160, 0.280), (-1, 0)),
        ("signal-blue", "white boundary", (0.200, 0.200), (-1, 0)),
        ("signal-blue", "violet boundary", (0.190, 0.100), (-1, 0)),
    ],
    "sae-j578-2020": [
        ("red", "yellow boundary", (0.655, 0.335), (0, -1)),
        ("red", "purple boundary", (0.690, 0.290), (0, 1)),
        *AMBER,
    ],
    "kkk-a-1822": [
        ("red", "yellow boundary", (0.650, 0.340), (0, -1)),
        ("red", "yellow or left boundary", (0.620, 0.338), (1, 0)),
        ("red", "purple or lower boundary", (0.640, 0.320), (0, 1)),
        ("red", "purple or lower boundary", (0.690, 0.290), (0, 1)),
        ("red", "purple or left boundary", (0.620, 0.330), (1, 0)),
    ],
    "un-65": [
        *AMBER,
        ("blue", "green boundary", (0.120, 0.1616), (0, -1)),
        ("blue", "white boundary", (0.190, 0.210), (0, -1)),
        ("blue", "purple boundary", (0.193, 0.100), (-1, 0)),
    ],
}


@pytest.mark.parametrize("standard", ON_BOUNDARIES)
def test_every_boundary_runs_where_its_standard_prints_it(standard: str) -> None:
    """49 CFR 571.108 S14.4.1.4.2.1-6; SAE J578-2020 (public summary); UN R65 annex 3 (from memory); KKK-A-1822 E.

    The last is J578 and a strip beside it (3.8.2.2). Half a thousandth to the inside is the colour, half a thousandth
    beyond fails this boundary first.
    """
    tried = set()
    for colour, boundary, (x, y), (toward_x, toward_y) in ON_BOUNDARIES[standard]:
        (beyond,) = (
            answer
            for answer in judge(x - 5e-4 * toward_x, y - 5e-4 * toward_y)
            if (answer.field.standard, answer.field.colour) == (standard, colour)
        )
        assert colour in inside(x + 5e-4 * toward_x, y + 5e-4 * toward_y, standard=standard), (colour, boundary)
        assert beyond.failed is not None
        assert beyond.failed.name == boundary
        tried.add((colour, boundary))

    fields = [field for field in colour_fields() if field.standard == standard]
    assert tried == {(field.colour, side.name) for field in fields for side in field.boundaries}


def test_the_two_printings_of_red_differ_as_printed() -> None:
    """Yellow limit 0.33 in 49 CFR 571.108, 0.335 in J578-2020: y = 0.333 is red by one and not by the other."""
    assert "red" not in inside(0.660, 0.333)
    assert "red" in inside(0.660, 0.333, standard="sae-j578-2020")


def test_first_boundary_failed_is_named_in_the_order_of_the_law() -> None:
    """A pale red fails the purple boundary (S14.4.1.4.2.1); a yellowish pale one fails the yellow one first."""
    failed = {
        point: next(a.failed.name for a in judge(*point) if a.field.colour == "red" and a.failed)
        for point in ((0.60, 0.32), (0.55, 0.40))
    }

    assert failed == {(0.60, 0.32): "purple boundary", (0.55, 0.40): "yellow boundary"}


def test_locus_agrees_with_colour_science() -> None:
    """CIE 1931 2 degree observer, every 5 nm, four digits."""
    ours = np.array(spectral_locus().points)

    assert np.abs(ours - oracle_locus()[::5]).max() < 6e-5


def random_lights(count: int) -> np.ndarray:
    """Chromaticities of invented lights: narrow and wide bumps on the spectrum, one to three of them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    values = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    wavelengths = np.arange(380, 701)
    observer = np.array([values[wavelength] for wavelength in wavelengths])
    draw = np.random.default_rng(108)
    lights = np.zeros((count, wavelengths.size))
    for row in range(count):
        for _ in range(draw.integers(1, 4)):
            width_nm, middle_nm = draw.uniform(3, 120) if row % 2 else draw.uniform(3, 15), draw.uniform(390, 690)
            lights[row] += draw.uniform(0.05, 1.0) * np.exp(-(((wavelengths - middle_nm) / width_nm) ** 2))
    xyz = lights @ observer
    return xyz[:, :2] / xyz.sum(axis=1, keepdims=True)


def distance_to_line(point: Point, one: Point, other: Point) -> float:
    """From a point to the straight line through two others."""
    along = np.array(other) - one
    beside = np.array(point) - one
    return float(abs(along[0] * beside[1] - along[1] * beside[0]) / np.linalg.norm(along))


def test_random_lights_are_where_an_independent_polygon_says() -> None:
    """Law: 4,000 lights made with colour-science are red, amber, white where polygons of hand-solved corners say so.

    Left out are only points closer than 0.001 to a drawn edge, as the corners carry three digits. Points are looked at
    a hair toward white, so that the chords of the oracle's locus don't matter.
    """
    polygons = oracle_polygons()
    judged = {colour: {True: 0, False: 0} for colour in polygons}
    for x, y in random_lights(4000):
        found = inside(x, y)
        hair = (x + 1e-4 * (1 / 3 - x), y + 1e-4 * (1 / 3 - y))
        for colour, polygon in polygons.items():
            drawn = len(polygon) if colour == "white" else len(CORNERS[colour]) + 1
            edges = [(polygon[at - 1], polygon[at]) for at in range(drawn)]
            if min(distance_to_line((x, y), *edge) for edge in edges) > 1e-3:
                within = in_polygon(hair, polygon)
                judged[colour][within] += 1
                assert (colour in found) == within, (colour, x, y)

    assert all(count[True] >= 100 and count[False] >= 1000 for count in judged.values()), judged


def test_no_real_light_lies_outside_the_locus() -> None:
    """Law: colours of invented spectra lie inside it, to the chords between its points."""
    furthest = max(outside_locus(x, y) for x, y in random_lights(500))

    assert furthest < spectral_locus().allowance


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_light_is_inside_or_a_boundary_is_named(x: float, y: float) -> None:
    """Law: one of the two, for every field; and points far off the locus are nothing."""
    for answer in judge(x, y):
        assert answer.inside == (answer.failed is None)
        if outside_locus(x, y) > spectral_locus().allowance:
            assert not answer.inside


@given(st.floats(0.0, 0.9), st.floats(0.0, 0.9))
def test_no_light_is_red_and_amber_and_white_at_once(x: float, y: float) -> None:
    """Law: a standard's fields of different colours don't overlap (blue has two names by design)."""
    found = inside(x, y) - {"restricted-blue"}

    assert len(found) <= 1


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_restricted_blue_is_a_part_of_signal_blue_up_to_rounding(x: float, y: float) -> None:
    """Law: restricted only takes away; the two printed sets share the white and violet boundaries."""
    if "restricted-blue" in inside(x, y):
        assert "signal-blue" in inside(x, y)


def test_every_field_names_its_source_and_status() -> None:
    """Law: a figure whose source is unnamed proves nothing; those from memory stay draft."""
    status = {field.standard: field.cite.status for field in colour_fields()}

    assert status == {"us-108": "read", "sae-j578-2020": "draft", "kkk-a-1822": "draft", "un-65": "draft"}


@pytest.mark.parametrize("text", ["y < 0.3", "z <= 0.3", "y <= 0.1 + 0.2 y", "y <= 1.0.0", "", "y <= 0.1 + x"])
def test_boundaries_that_cant_be_read_are_refused(text: str) -> None:
    """Law: data that says nothing plain is refused with what to write."""
    with pytest.raises(DataWrong, match="Write it like"):
        half_plane(text, "somewhere")


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_boundary_means_what_it_says(x: float, y: float) -> None:
    """Law: the four ways to write one, against the arithmetic itself."""
    said = {
        "y >= 0.98 - 1.00 x": 0.98 - x - y,
        "x <= 0.63 + 0.5 y": x - 0.63 - 0.5 * y,
        "x >= 0.31": 0.31 - x,
        "y <= -0.12 + 1.00 x": y + 0.12 - x,
    }
    for text, beyond in said.items():
        if math.fabs(beyond) > 1e-6:
            assert half_plane(text, "test").holds(x, y) == (beyond < 0)
