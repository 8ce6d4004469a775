"""Candela at the angles of a goniometer: sums of light that is known exactly, and laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.photometric_table import Goniometer, PhotometricTable, flux_lm, unfolded
from tests.parts.photometric import QUARTER, Beam, angles, cosine, grid_of, ies_text, lamp, polar, read

BEAMS: list[tuple[str, Beam, float]] = [
    ("lambert", cosine(1), 1000 * math.pi),
    ("cos2", cosine(2), 2000 * math.pi / 3),
    ("cos10", cosine(10), 2000 * math.pi / 11),
]
STATED = {"C": {1: 3e-4, 2.5: 2e-3, 5: 7e-3, 10: 2.6e-2}, "A": {1: 6e-5, 2.5: 4e-4, 5: 1.3e-3, 10: 5.1e-3}}
STATED["B"] = STATED["A"]
"""How far the sum of candela read every so many degrees may lie from the truth, which is curved between them."""


@pytest.mark.parametrize("kind", ["A", "B", "C"])
@pytest.mark.parametrize("step", [1, 2.5, 5, 10])
@pytest.mark.parametrize(("name", "beam", "expected_lm"), BEAMS, ids=[name for name, _, _ in BEAMS])
def test_a_power_of_the_cosine_gives_two_pi_over_power_plus_one(
    kind: str, step: float, name: str, beam: Beam, expected_lm: float
) -> None:
    """I0 cos^m holds 2 pi I0 / (m + 1) lumens (integral over the half space), by every type."""
    assert flux_lm(lamp(kind, step, beam).table) == pytest.approx(expected_lm, rel=STATED[kind][step]), name


@pytest.mark.parametrize("step", [5, 30, 90])
def test_the_same_to_all_sides_gives_four_pi(step: float) -> None:
    """100 cd to all sides are 4 pi 100 = 1256.637 lm, by every type, on any grid."""
    v, h = angles(-90, 90, step), angles(-180, 180, step)
    tables = [
        read(ies_text("A", v, h, np.full((len(v), len(h)), 100.0))).table,
        read(ies_text("B", h, v, np.full((len(h), len(v)), 100.0))).table,
        read(ies_text("C", v + 90, [0], np.full((len(v), 1), 100.0))).table,
    ]

    assert [flux_lm(table) for table in tables] == pytest.approx([1256.637] * 3, abs=5e-4)


@pytest.mark.parametrize("step", [1, 5, 15])
def test_a_cone_of_even_light_has_its_solid_angle(step: float) -> None:
    """1000 cd within 30 deg hold 2 pi 1000 (1 - cos 30) = 841.787 lm, when the file ends at the edge."""
    v = angles(0, 30, step)
    table = read(ies_text("C", v, [0], np.full((len(v), 1), 1000.0))).table

    assert flux_lm(table) == pytest.approx(841.787, abs=1e-3)


def test_lumens_of_a_profile_printed_elsewhere() -> None:
    """Print: five angles of TILT_TEST_SYNTHETIC.ies (github.com/holg/eulumdat-rs; declared: 1000 lm) are
    3226.85 lm by a fine sum of linear candela, 3266.23 lm by zones; the declaration is wrong either way."""
    table = read(ies_text("C", [0, 22.5, 45, 67.5, 90], [0], np.array([[1000.0], [900], [700], [400], [100]]))).table

    assert flux_lm(table) == pytest.approx(3226.85, abs=0.01)


@given(st.sampled_from("ABC"), st.integers(0, 2**32 - 1), st.floats(0.01, 100))
def test_lumens_scale_with_candela(kind: Goniometer, seed: int, factor: float) -> None:
    """Law: twice the candela, twice the lumens."""
    table = random_table(kind, seed)
    scaled = PhotometricTable(kind, table.vertical_rad, table.horizontal_rad, factor * table.candela_cd)

    assert flux_lm(scaled) == pytest.approx(factor * flux_lm(table))


@given(st.integers(0, 2**32 - 1), st.floats(0, 6))
def test_turning_planes_keeps_lumens(seed: int, turn: float) -> None:
    """Law: a lamp turned about its axis gives as much light as before."""
    table = random_table("C", seed)
    turned = PhotometricTable("C", table.vertical_rad, table.horizontal_rad + turn, table.candela_cd)

    assert flux_lm(turned) == pytest.approx(flux_lm(table))
    assert turned.toward(1.0 + turn, 0.4) == pytest.approx(float(table.toward(1.0, 0.4)))


@given(st.sampled_from("ABC"), st.integers(0, 2**32 - 1))
def test_a_mirror_image_keeps_lumens(kind: Goniometer, seed: int) -> None:
    """Law: left and right exchanged, or up and down, the light stays as much."""
    table = random_table(kind, seed)
    mirrored = PhotometricTable(kind, table.vertical_rad, -table.horizontal_rad[::-1], table.candela_cd[:, ::-1])

    assert flux_lm(mirrored) == pytest.approx(flux_lm(table))
    if kind != "C":
        below = PhotometricTable(kind, -table.vertical_rad[::-1], table.horizontal_rad, table.candela_cd[::-1])
        assert flux_lm(below) == pytest.approx(flux_lm(table))


@pytest.mark.parametrize("kind", ["A", "B", "C"])
def test_a_look_up_finds_what_is_written(kind: Goniometer) -> None:
    """Law: at the angles of the file stands the file's own value; outside it is dark."""
    table = random_table(kind, 3)
    h, v = np.meshgrid(table.horizontal_rad, table.vertical_rad)

    np.testing.assert_allclose(table.toward(h, v)[:, :-1], table.candela_cd[:, :-1], rtol=1e-9)
    assert float(table.toward(0.0, table.vertical_rad[-1] + 0.01)) == 0.0


def test_the_axis_is_gamma_nought_or_where_both_angles_are_nought() -> None:
    """Case: of planes that differ at gamma 0 the mean counts, each by the angle it stands for."""
    planes = read(ies_text("C", [0, 90], [0, 90, 180], np.array([[10.0, 20, 30], [0, 0, 0]]))).table

    assert planes.axis_cd == pytest.approx(20.0)
    assert lamp("A", 10, cosine(3, 700)).table.axis_cd == pytest.approx(700.0)
    assert lamp("B", 10, cosine(3, 700)).table.axis_cd == pytest.approx(700.0)
    assert lamp("C", 10, cosine(3, 700)).table.axis_cd == pytest.approx(700.0)


def test_a_table_can_not_be_changed() -> None:
    """Law: what goes into a digest must stay as it is."""
    table = lamp("C", 10, cosine(1)).table

    with pytest.raises(ValueError, match="read-only"):
        table.candela_cd[0, 0] = 5.0


def test_unfolding_says_what_was_taken_for_granted() -> None:
    """Case: one plane that isn't the first stands for all, and that is said."""
    _, said = unfolded(
        "C", vertical_deg=np.array([0.0, 90]), horizontal_deg=np.array([45.0]), candela_cd=np.ones((2, 1))
    )

    assert len(said) == 1
    assert "45" in said[0]


def random_table(kind: Goniometer, seed: int) -> PhotometricTable:
    """Random candela at random angles; the first plane is the last."""
    random = np.random.default_rng(seed)
    low, high = (0.0, 2 * QUARTER) if kind == "C" else (-QUARTER, QUARTER)
    v = np.sort(random.uniform(low, high - 1e-4, 5)) + np.arange(5) * 1e-6
    if kind == "C":
        h = np.concatenate([[0.0], np.sort(random.uniform(0.1, 6.1, 4)) + np.arange(4) * 1e-6, [math.tau]])
    else:
        h = np.sort(random.uniform(-1.5, 1.5, 6)) + np.arange(6) * 1e-6
    candela = random.uniform(0, 1000, (len(v), len(h)))
    if kind == "C":
        candela[:, -1] = candela[:, 0]
    return PhotometricTable(kind, v, h, candela)


def test_grids_of_these_tests_hold_the_half_space() -> None:
    """Law: what the sums above are taken over."""
    for kind in "ABC":
        v, h = grid_of(kind, 10)
        assert polar(kind, v, h).max() >= QUARTER - 1e-9
