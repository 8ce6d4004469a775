"""Photometric angles of types A, B and C, and the solid angles they cut out."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.geom import Pose, Vector, direction
from coachwright.kit.goniometer import (
    off_axis,
    solid_angle_a,
    solid_angle_b,
    solid_angle_c,
    type_a_of,
    type_a_of_many,
    type_a_to_b,
    type_a_to_c,
    type_b_to_a,
    type_b_to_c,
    type_c_to_a,
    type_c_to_b,
)

DEG = math.pi / 180
ALL_ROUND = st.tuples(st.floats(-3.1, 3.1), st.floats(-1.5, 1.5))


def toward(h: float, v: float) -> Vector:
    """Unit vector of a type A direction, right-handed: ahead, right, up."""
    return (math.cos(v) * math.cos(h), math.cos(v) * math.sin(h), math.sin(v))


def test_one_direction_in_three_systems() -> None:
    """A(20, 10 deg): cos polar = cos 20 cos 10; B lateral = asin(cos 10 sin 20); B vertical = atan(tan 10 / cos 20)."""
    h, v = 20 * DEG, 10 * DEG

    assert off_axis(h, v) / DEG == pytest.approx(22.2687, abs=5e-5)
    assert [angle / DEG for angle in type_a_to_b(h, v)] == pytest.approx([19.6835, 10.6276], abs=5e-5)
    assert type_a_to_c(h, v)[1] / DEG == pytest.approx(22.2687, abs=5e-5)


def test_the_same_rectangle_covers_different_solid_angles() -> None:
    """|H| <= 20, |V| <= 10 deg: A 2(20 deg)(2 sin 10) = 0.242459 sr, B 2(10 deg)(2 sin 20) = 0.238775 sr."""
    corners = {"left": -20 * DEG, "right": 20 * DEG, "low": -10 * DEG, "high": 10 * DEG}

    assert solid_angle_a(**corners) == pytest.approx(0.242459, abs=5e-7)
    assert solid_angle_b(**corners) == pytest.approx(0.238775, abs=5e-7)


def test_all_three_systems_cover_the_whole_sphere() -> None:
    """A sphere has 4 pi steradian (definition of the steradian, BIPM SI brochure)."""
    assert solid_angle_a(left=-math.pi, right=math.pi, low=-math.pi / 2, high=math.pi / 2) == pytest.approx(4 * math.pi)
    assert solid_angle_b(left=-math.pi / 2, right=math.pi / 2, low=-math.pi, high=math.pi) == pytest.approx(4 * math.pi)
    assert solid_angle_c(first=0, last=math.tau, inner=0, outer=math.pi) == pytest.approx(4 * math.pi)


@pytest.mark.parametrize(
    ("h_deg", "v_deg", "c_deg", "gamma_deg"), [(0, 30, 0, 30), (-30, 0, 90, 30), (0, -30, 180, 30), (30, 0, 270, 30)]
)
def test_type_c_runs_counterclockwise_seen_from_behind(
    h_deg: float, v_deg: float, c_deg: float, gamma_deg: float
) -> None:
    """ANSI/IESNA LM-63-02, 3.0: horizontal angles counterclockwise for type C; by our choice from the top."""
    plane, gamma = type_a_to_c(h_deg * DEG, v_deg * DEG)

    assert plane / DEG == pytest.approx(c_deg, abs=1e-9)
    assert gamma / DEG == pytest.approx(gamma_deg)


@pytest.mark.parametrize(
    ("facing_deg", "seen_from_deg", "h_deg"), [(0, 20, 20), (0, 340, -20), (180, 200, 20), (90, 100, 10), (350, 10, 20)]
)
def test_right_is_positive_seen_from_behind(facing_deg: float, seen_from_deg: float, h_deg: float) -> None:
    """ANSI/IESNA LM-63-02, 3.0: clockwise seen from above, like bearings; so H is the bearing less where it faces."""
    pose = Pose.facing((0.0, 0.0, 1.0), bearing_rad=facing_deg * DEG)
    found = type_a_of(direction(bearing_rad=seen_from_deg * DEG), pose)

    assert [angle / DEG for angle in found] == pytest.approx([h_deg, 0.0], abs=1e-9)


@given(ALL_ROUND)
def test_each_system_leads_to_the_others_and_back(angles: tuple[float, float]) -> None:
    """Law: every way round ends at the same direction."""
    h, v = angles
    start = toward(h, v)

    for again in (
        type_b_to_a(*type_a_to_b(h, v)),
        type_c_to_a(*type_a_to_c(h, v)),
        type_c_to_a(*type_b_to_c(*type_a_to_b(h, v))),
        type_b_to_a(*type_c_to_b(*type_a_to_c(h, v))),
    ):
        assert toward(*again) == pytest.approx(start, abs=1e-12)
    assert 0 <= type_a_to_c(h, v)[0] < math.tau
    assert off_axis(h, v) == pytest.approx(type_a_to_c(h, v)[1], abs=1e-12)


@given(st.floats(-1.5, 1.5))
def test_on_the_main_planes_a_and_b_agree(angle: float) -> None:
    """Law: in the horizontal plane and in the vertical plane through the axis the two differ by nothing."""
    assert type_a_to_b(angle, 0.0) == pytest.approx((angle, 0.0), abs=1e-15)
    assert type_a_to_b(0.0, angle) == pytest.approx((0.0, angle), abs=1e-15)


@given(ALL_ROUND, st.floats(0, 6.2), st.floats(-1.5, 1.5), st.floats(-3, 3))
def test_many_are_as_one(angles: tuple[float, float], bearing: float, elevation: float, roll: float) -> None:
    """Law: arrays give what single angles give; type A of a direction built in a pose is that direction."""
    pose = Pose.facing((1.0, 2.0, 3.0), bearing_rad=bearing, elevation_rad=elevation, roll_rad=roll)
    ahead, right, up = toward(*angles)
    vector = pose.to_world((ahead, -right, up))
    h, v = type_a_of(vector, pose)
    many = type_a_of_many(np.array([[vector, vector]]), pose)

    assert (h, v) == pytest.approx(angles, abs=1e-9)
    assert many[0].shape == (1, 2)
    np.testing.assert_allclose(np.array(many)[:, 0, 1], (h, v), atol=1e-12)
    for turn in (type_a_to_b, type_a_to_c, type_b_to_a, type_c_to_a, type_b_to_c, type_c_to_b):
        one = turn(h, v)
        both = turn(np.array([h, h]), np.array([v, v]))
        assert type(one[0]) is float
        np.testing.assert_allclose(np.array(both)[:, 1], one, atol=1e-12)


@given(st.floats(-1.4, 1.4), st.floats(0.01, 0.1), st.floats(-1.2, 1.2), st.floats(0.01, 0.1))
def test_small_rectangles_cover_what_their_corners_span(left: float, width: float, low: float, height: float) -> None:
    """Law: the area of a fine mesh of flat facets on the unit sphere nears the solid angle, in types A and B."""
    h, v = np.meshgrid(np.linspace(left, left + width, 9), np.linspace(low, low + height, 9))
    edges = {"left": left, "right": left + width, "low": low, "high": low + height}
    for area, (a, b) in ((solid_angle_a(**edges), (h, v)), (solid_angle_b(**edges), type_b_to_a(h, v))):
        points = np.stack([np.cos(b) * np.cos(a), np.cos(b) * np.sin(a), np.sin(b)], axis=-1)
        across, along = points[1:, 1:] - points[:-1, :-1], points[1:, :-1] - points[:-1, 1:]
        facets = np.linalg.norm(np.cross(across, along), axis=-1).sum() / 2

        assert facets == pytest.approx(area, rel=1e-3)
