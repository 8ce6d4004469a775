"""The light of a photometric file as a type A table: how true, and which way round."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.kit.goniometer import type_a_to_b, type_a_to_c, type_b_to_a, type_c_to_a
from coachwright.parts.candela import CandelaTable, bilinear, lumens
from coachwright.parts.photometric_grid import MOST_CELLS, Stand, type_a_table
from coachwright.parts.photometric_table import PhotometricTable, flux_lm
from tests.parts.photometric import Beam, angles, cosine, csv_text, ies_text, lamp, read

DEG = math.radians(1)
BEAMS = [("lambert", cosine(1)), ("cos2", cosine(2)), ("cos40", cosine(40))]
FACE_DOWN, UPRIGHT = Stand(), Stand(upright=True)


def toward(table: CandelaTable, h_deg: float, v_deg: float) -> float:
    """Candela at a type A angle."""
    return float(bilinear(table, h_deg * DEG, v_deg * DEG))


@pytest.mark.parametrize("kind", ["A", "B", "C"])
@pytest.mark.parametrize("step", [1, 2.5, 5, 10])
@pytest.mark.parametrize(("name", "beam"), BEAMS, ids=[name for name, _ in BEAMS])
def test_lumens_of_smooth_light_agree_within_two_in_a_thousand(kind: str, step: float, name: str, beam: Beam) -> None:
    """Law: another system of angles holds the same light (the accuracy the file's head states)."""
    file = lamp(kind, step, beam)

    assert lumens(type_a_table(file.table)) == pytest.approx(flux_lm(file.table), rel=2e-3), name


@pytest.mark.parametrize("kind", ["A", "B", "C"])
@pytest.mark.parametrize("step", [1, 2.5, 5])
def test_candela_at_the_file_s_directions_agree_within_a_hundredth_of_the_peak(kind: str, step: float) -> None:
    """Law: where the file was measured, type A says what it says."""
    file = lamp(kind, step, cosine(20))
    h, v = np.meshgrid(file.table.horizontal_rad, file.table.vertical_rad)
    inner = np.abs(v) < 80 * DEG
    seen = (h, v) if kind == "A" else type_b_to_a(h, v) if kind == "B" else type_c_to_a(h, v)
    found = bilinear(type_a_table(file.table), *seen)

    assert np.abs(found - file.table.candela_cd)[inner].max() <= 0.01 * file.table.peak_cd


@pytest.mark.parametrize("kind", ["B", "C"])
def test_light_with_a_sharp_edge_agrees_within_a_hundredth(kind: str) -> None:
    """Law: a window of type B (20 x 10 deg) and a cone (30 deg) end at once; so much the finer is the grid."""
    if kind == "B":
        v, h = angles(-10, 10, 5), angles(-20, 20, 5)
        file = read(ies_text("B", v, h, np.full((len(v), len(h)), 1000.0)))
    else:
        file = read(ies_text("C", angles(0, 30, 5), [0], np.full((7, 1), 1000.0)))
    table = type_a_table(file.table)

    assert lumens(table) == pytest.approx(flux_lm(file.table), rel=0.01)
    assert table.candela_cd.size <= MOST_CELLS * 1.05


def test_type_a_keeps_every_number() -> None:
    """Law: nothing is looked up anew where nothing has to be."""
    file = lamp("A", 5, cosine(3))
    table = type_a_table(file.table)

    np.testing.assert_array_equal(table.candela_cd, file.table.candela_cd)
    np.testing.assert_array_equal(table.horizontal_rad, file.table.horizontal_rad)


@pytest.mark.parametrize(
    ("top_deg", "h_deg", "v_deg"), [(0, 0, 30), (90, 30, 0), (180, 0, -30), (270, -30, 0), (45, 22.208, 20.705)]
)
def test_face_down_the_top_plane_is_up(top_deg: float, h_deg: float, v_deg: float) -> None:
    """Print: C runs counterclockwise seen from above, that is from behind (ANSI/IESNA LM-63-02, 3.0). A lamp bright in
    plane C 0 at gamma 30: with its top in plane 0 it shines up; with its top in plane 90 plane 0 is on its right."""
    planes = angles(0, 360, 15)
    bright = np.where(np.minimum(planes, 360 - planes) < 20, 1.0, 0.05)
    values = np.outer([0.05, 0.05, 1.0, 0.05, 0.0], bright) * 1000
    table = type_a_table(read(ies_text("C", [0, 15, 30, 45, 90], planes, values)).table, Stand(plane_rad=top_deg * DEG))

    assert toward(table, h_deg, v_deg) == pytest.approx(1000, rel=0.02)
    assert toward(table, -h_deg, -v_deg) < 100


@pytest.mark.parametrize(("front_deg", "h_deg"), [(0, 0), (90, 90), (270, -90), (30, 30), (180, 180), (180, -180)])
def test_upright_the_front_plane_is_ahead(front_deg: float, h_deg: float) -> None:
    """Print: C runs counterclockwise, H clockwise, both seen from above (ANSI/IESNA LM-63-02, 3.0): with plane 90 ahead
    plane 0 is on the right. Gamma 90 is level."""
    planes = angles(0, 360, 15)
    bright = np.where(np.minimum(planes, 360 - planes) < 20, 1.0, 0.05)
    values = np.outer([0.0, 0.05, 1.0, 0.05, 0.0], bright) * 1000
    stand = Stand(upright=True, plane_rad=front_deg * DEG)
    table = type_a_table(read(ies_text("C", [0, 75, 90, 105, 180], planes, values)).table, stand)

    assert toward(table, h_deg, 0) == pytest.approx(1000, rel=0.02)
    assert toward(table, h_deg, 15) == pytest.approx(50, rel=0.02)
    assert toward(table, h_deg - math.copysign(150, h_deg), 0) < 100


def test_a_beacon_shines_all_round() -> None:
    """Case: rotational, upright, brightest level: the same to every bearing, and lumens to the last digit."""
    gamma = angles(0, 180, 5)
    file = read(ies_text("C", gamma, [0], 500 * np.exp(-(((gamma - 90) / 8) ** 2))[:, None]))
    table = type_a_table(file.table, UPRIGHT)

    assert {round(toward(table, h, 0), 6) for h in range(-180, 181, 30)} == {500.0}
    assert lumens(table) == pytest.approx(flux_lm(file.table), rel=1e-12)


@settings(max_examples=20)
@given(st.integers(0, 2**32 - 1))
def test_type_c_to_a_and_back_returns(seed: int) -> None:
    """Law: smooth light of type C, taken to type A and read back at the file's directions, is what it was."""
    random = np.random.default_rng(seed)
    a, b, turn = random.uniform(0, 0.3, 3)
    gamma, plane = angles(0, 90, 2.5), angles(0, 360, 5)
    c, g = np.meshgrid(np.radians(plane), np.radians(gamma))
    shape = np.cos(g) ** 4 * (1 + a * np.sin(g) * np.cos(c - turn) + b * np.sin(g) ** 2 * np.cos(2 * c))
    table = read(ies_text("C", gamma, plane, 1000 * shape)).table
    once = type_a_table(table)
    inner = g < 75 * DEG
    again = bilinear(once, *type_c_to_a(c, g))

    assert np.abs(again - table.candela_cd)[inner].max() <= 2e-3 * table.peak_cd


@pytest.mark.parametrize("kind", ["B", "C"])
def test_one_lamp_measured_two_ways_is_one_lamp(kind: str) -> None:
    """Law: lopsided light written as type A and as type B or C says the same toward any direction."""

    def light(h: np.ndarray, v: np.ndarray) -> np.ndarray:
        return 1000 * np.exp(-(((h - 0.1) / 0.4) ** 2) - ((v + 0.05) / 0.2) ** 2)

    v, h = angles(-90, 90, 2), angles(-90, 90, 2)
    one = read(csv_text("A", v, h, light(*np.meshgrid(np.radians(h), np.radians(v)))), "csv").table
    if kind == "B":
        mesh = type_b_to_a(*np.meshgrid(np.radians(h), np.radians(v)))
        other = read(csv_text("B", v, h, light(*mesh)), "csv").table
    else:
        gamma, plane = angles(0, 90, 2), angles(0, 360, 2)
        mesh = type_c_to_a(*np.meshgrid(np.radians(plane), np.radians(gamma)))
        other = read(csv_text("C", gamma, plane, light(*mesh)), "csv").table
    first, second = type_a_table(one), type_a_table(other)
    points = np.meshgrid(np.radians(angles(-70, 70, 7)), np.radians(angles(-40, 40, 7)))

    assert np.abs(bilinear(first, *points) - bilinear(second, *points)).max() <= 0.01 * first.peak_cd
    assert lumens(second) == pytest.approx(lumens(first), rel=5e-3)


def test_the_corner_of_a_type_b_window_lies_where_the_formulas_put_it() -> None:
    """Print: type A (20, 10) deg is B lateral 19.6835, B vertical 10.6276, polar 22.2687 deg (trigonometry)."""
    v, h = angles(-20, 20, 1), angles(-40, 40, 1)
    h_grid, v_grid = np.meshgrid(h, v)
    spot = 1000 * np.exp(-(((h_grid - 19.6835) / 3) ** 2) - ((v_grid - 10.6276) / 3) ** 2)
    table = type_a_table(read(ies_text("B", v, h, spot)).table)
    row, column = np.unravel_index(int(table.candela_cd.argmax()), table.candela_cd.shape)

    assert math.degrees(table.horizontal_rad[column]) == pytest.approx(20, abs=0.5)
    assert math.degrees(table.vertical_rad[row]) == pytest.approx(10, abs=0.5)
    assert type_a_to_b(20 * DEG, 10 * DEG)[0] / DEG == pytest.approx(19.6835, abs=5e-5)
    assert type_a_to_c(20 * DEG, 10 * DEG)[1] / DEG == pytest.approx(22.2687, abs=5e-5)


def test_light_behind_is_kept() -> None:
    """Case: type C face down beyond gamma 90, and type B beyond V 90, reach behind the lamp."""
    back = read(ies_text("C", [0, 90, 180], [0], np.array([[0.0], [0.0], [100.0]]))).table
    over = PhotometricTable("B", np.array([-math.pi, 0, math.pi]), np.array([-1.5, 1.5]), np.full((3, 2), 100.0))

    assert toward(type_a_table(back), 180, 0) == pytest.approx(100)
    assert toward(type_a_table(back), 0, 0) == 0.0
    assert toward(type_a_table(over), 180, 0) == pytest.approx(100)
    assert lumens(type_a_table(over)) == pytest.approx(flux_lm(over), rel=0.01)
