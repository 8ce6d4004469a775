"""Frames, directions, poses and areas."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coachwright.kit.geom import (
    Pose,
    Vector,
    angle_between,
    bearing_and_elevation,
    bearings_and_elevations,
    cross,
    direction,
    directions,
    dot,
    mirrored,
    polygon_area,
    swung,
    turned,
    unit,
)

AHEAD: Vector = (1.0, 0.0, 0.0)
LEFT: Vector = (0.0, 1.0, 0.0)
UP: Vector = (0.0, 0.0, 1.0)

coordinates = st.floats(-50, 50)
vectors = st.tuples(coordinates, coordinates, coordinates)
axes = vectors.filter(lambda vector: math.hypot(*vector) > 1e-3)
bearings = st.floats(0, math.tau, exclude_max=True)
elevations = st.floats(-1.5, 1.5)
poses = st.builds(
    lambda place, bearing, elevation, roll: Pose.facing(
        place, bearing_rad=bearing, elevation_rad=elevation, roll_rad=roll
    ),
    vectors,
    bearings,
    elevations,
    st.floats(-4, 4),
)


@pytest.mark.parametrize(
    ("bearing_deg", "elevation_deg", "expected"),
    [
        (0, 0, (1, 0, 0)),
        (90, 0, (0, -1, 0)),
        (180, 0, (-1, 0, 0)),
        (270, 0, (0, 1, 0)),
        (0, 90, (0, 0, 1)),
        (45, 0, (math.sqrt(0.5), -math.sqrt(0.5), 0)),
        (0, -30, (math.sqrt(0.75), 0, -0.5)),
    ],
)
def test_bearings_run_clockwise_from_the_nose(bearing_deg: float, elevation_deg: float, expected: Vector) -> None:
    """Case: by the definition of the frame, the right side is at 90 deg and has negative y."""
    found = direction(bearing_rad=math.radians(bearing_deg), elevation_rad=math.radians(elevation_deg))

    assert found == pytest.approx(expected, abs=1e-15)


@pytest.mark.parametrize(("about", "start", "end"), [(UP, AHEAD, LEFT), (AHEAD, LEFT, UP), (LEFT, UP, AHEAD)])
def test_a_quarter_turn_follows_the_right_hand(about: Vector, start: Vector, end: Vector) -> None:
    """Right-hand rule: about z, x goes to y; about x, y to z; about y, z to x (Rodrigues' formula, memory)."""
    assert turned(start, about=about, angle_rad=math.pi / 2) == pytest.approx(end, abs=1e-15)


@pytest.mark.parametrize(
    ("corners", "area"),
    [
        ([(0, 0), (3, 0), (0, 4)], 6.0),
        ([(0, 0), (0, 4), (3, 0)], 6.0),
        ([(1, 1), (3, 1), (3, 2), (1, 2)], 2.0),
        ([(0, 0), (4, 0), (4, 4), (2, 1), (0, 4)], 10.0),
        ([(5, 0, 0), (5, 2, 0), (5, 2, 3), (5, 0, 3)], 6.0),
        ([(0, 0, 0), (1, 0, 0), (1, 1, 1), (0, 1, 1)], math.sqrt(2)),
    ],
)
def test_areas_of_the_schoolbook(corners: list[tuple[float, ...]], area: float) -> None:
    """Triangle b h / 2, rectangle b h, a square less a triangle (16 - 6), one on edge, a unit square raked 45 deg."""
    assert polygon_area(corners) == pytest.approx(area, rel=1e-15)


def test_a_regular_polygon_nears_the_circle() -> None:
    """n sin(2 pi / n) / 2 for n corners on the unit circle (schoolbook)."""
    corners = [(math.cos(k * math.tau / 96), math.sin(k * math.tau / 96)) for k in range(96)]

    assert polygon_area(corners) == pytest.approx(96 * math.sin(math.tau / 96) / 2, rel=1e-14)
    with pytest.raises(ValueError, match="three corners"):
        polygon_area(corners[:2])


def test_a_lifted_gate_carries_what_is_on_it() -> None:
    """Case: a lamp low on a rear gate hinged at its top; opened 90 deg it lies level behind the hinge and looks up."""
    closed = Pose.facing((-5.0, 0.3, 1.0), bearing_rad=math.pi)
    opened = closed.swung(hinge_m=(-5.0, 0.0, 2.0), about=LEFT, angle_rad=math.pi / 2)

    assert closed.forward == pytest.approx((-1.0, 0.0, 0.0))
    assert opened.position_m == pytest.approx((-6.0, 0.3, 2.0))
    assert opened.forward == pytest.approx(UP)
    assert opened.up == pytest.approx(AHEAD)


@pytest.mark.parametrize(("forward", "top"), [(UP, (-1, 0, 0)), ((0, 0, -1), (1, 0, 0)), ((0, 0, 7), (-1, 0, 0))])
def test_what_looks_straight_up_still_has_a_top(forward: Vector, top: Vector) -> None:
    """Case: tilted up from forward, the top points back; tilted down, it points ahead."""
    assert Pose.of((0.0, 0.0, 1.0), forward=forward).up == pytest.approx(top)


def test_a_pose_along_its_own_up_finds_another() -> None:
    """Case: forward and up given the same, along the vehicle's length."""
    assert Pose.of((0.0, 0.0, 0.0), forward=AHEAD, up=AHEAD).up == UP


@pytest.mark.parametrize(
    ("place", "forward", "up", "said"),
    [
        ((0, 0, 0), (1, 0, 1), UP, "square to each other"),
        ((0, 0, 0), AHEAD, AHEAD, "square to each other"),
        ((0, 0, 0), (2, 0, 0), UP, "square to each other"),
        ((0, 0, math.nan), AHEAD, UP, "no place"),
    ],
)
def test_a_crooked_pose_is_refused(place: Vector, forward: Vector, up: Vector, said: str) -> None:
    """Case: a frame that would stretch what is put into it."""
    with pytest.raises(ValueError, match=said):
        Pose(place, forward, up)


@pytest.mark.parametrize("vector", [(0.0, 0.0, 0.0), (math.nan, 0.0, 0.0), (math.inf, 0.0, 0.0)])
def test_no_direction_is_refused(vector: Vector) -> None:
    """Case: two places that fell together, a number that isn't one."""
    with pytest.raises(ValueError, match="points nowhere"):
        unit(vector)


@given(bearings, elevations)
def test_bearings_come_back(bearing_rad: float, elevation_rad: float) -> None:
    """Law: there and back is the same direction, one by one and many at once."""
    there = direction(bearing_rad=bearing_rad, elevation_rad=elevation_rad)
    bearing, elevation = bearing_and_elevation(there)
    again = direction(bearing_rad=bearing, elevation_rad=elevation)
    many = directions(np.array([bearing_rad]), np.array([elevation_rad]))

    assert angle_between(there, again) < 1e-12
    assert 0 <= bearing < math.tau
    assert math.hypot(*there) == pytest.approx(1.0)
    np.testing.assert_allclose(many[0], there, atol=1e-15)
    np.testing.assert_allclose(np.array(bearings_and_elevations(many))[:, 0], (bearing, elevation), atol=1e-15)


def test_straight_up_is_at_bearing_nought() -> None:
    """Case: where every bearing would do, one is chosen, whatever the sign of nought."""
    for x in (0.0, -0.0):
        assert bearing_and_elevation((x, -0.0, 1.0)) == (0.0, math.pi / 2)
        assert [float(angle) for angle in bearings_and_elevations(np.array([x, -0.0, 1.0]))] == [0.0, math.pi / 2]


@given(vectors, axes, st.floats(-10, 10), st.floats(-10, 10))
def test_turning_is_rigid_and_adds(vector: Vector, axis: Vector, angle_rad: float, more_rad: float) -> None:
    """Law: length and the part along the axis stay; turns about one axis add; turning back undoes it."""
    once = turned(vector, about=axis, angle_rad=angle_rad)

    assert math.hypot(*once) == pytest.approx(math.hypot(*vector), abs=1e-9)
    assert dot(once, unit(axis)) == pytest.approx(dot(vector, unit(axis)), abs=1e-9)
    assert turned(once, about=axis, angle_rad=more_rad) == pytest.approx(
        turned(vector, about=axis, angle_rad=angle_rad + more_rad), abs=1e-9
    )
    assert turned(once, about=axis, angle_rad=-angle_rad) == pytest.approx(vector, abs=1e-9)


@given(vectors, vectors, axes, st.floats(-7, 7), st.floats(-30, 30))
def test_a_hinge_line_stays_where_it_is(
    point: Vector, hinge: Vector, axis: Vector, angle_rad: float, along: float
) -> None:
    """Law: points of the hinge line don't move, and no point comes nearer to the line's points."""
    x, y, z = (hinge[i] + along * unit(axis)[i] for i in range(3))
    moved = swung(point, hinge_m=hinge, about=axis, angle_rad=angle_rad)

    assert swung((x, y, z), hinge_m=hinge, about=axis, angle_rad=angle_rad) == pytest.approx((x, y, z), abs=1e-9)
    assert math.dist(moved, (x, y, z)) == pytest.approx(math.dist(point, (x, y, z)), abs=1e-9)


@given(poses, vectors)
def test_frames_lead_there_and_back(pose: Pose, vector: Vector) -> None:
    """Law: to local and to world undo each other, keep lengths, and agree with the matrix of axes."""
    local = pose.to_local(vector)

    assert pose.to_world(local) == pytest.approx(vector, abs=1e-9)
    assert pose.point_to_world(pose.point_to_local(vector)) == pytest.approx(vector, abs=1e-9)
    assert math.hypot(*local) == pytest.approx(math.hypot(*vector), abs=1e-9)
    np.testing.assert_allclose(np.array(vector) @ pose.axes().T, local, atol=1e-12)
    np.testing.assert_allclose(np.array(local) @ pose.axes(), vector, atol=1e-9)
    assert cross(pose.forward, pose.left) == pytest.approx(pose.up, abs=1e-12)
    assert pose.point_to_local(pose.position_m) == (0.0, 0.0, 0.0)


@given(poses)
def test_mirroring_twice_is_nothing(pose: Pose) -> None:
    """Law: mirrored bearings are the same to the other side; elevations stay; what is mirrored keeps its own left."""
    other = pose.mirrored()
    bearing, elevation = bearing_and_elevation(pose.forward)
    other_bearing, other_elevation = bearing_and_elevation(other.forward)

    assert other.mirrored() == pose
    assert other_elevation == pytest.approx(elevation)
    assert math.cos(other_bearing + bearing) == pytest.approx(1.0)
    assert other.left == pytest.approx(tuple(-part for part in mirrored(pose.left)), abs=1e-12)


@given(axes, axes)
def test_a_pose_is_made_from_any_two_directions(forward: Vector, up: Vector) -> None:
    """Law: it looks along what was asked, and its top leans toward the up that was asked."""
    pose = Pose.of((0.0, 0.0, 0.0), forward=forward, up=up)

    assert angle_between(pose.forward, forward) < 1e-9
    assert dot(pose.up, up) >= -1e-6


@given(st.floats(-3, 3), poses)
def test_rolling_turns_the_top_to_the_right(roll_rad: float, pose: Pose) -> None:
    """Law: rolled clockwise seen from behind by a quarter, the top is where the right side was."""
    bearing, elevation = bearing_and_elevation(pose.forward)
    level = Pose.facing(pose.position_m, bearing_rad=bearing, elevation_rad=elevation)
    quarter = Pose.facing(pose.position_m, bearing_rad=bearing, elevation_rad=elevation, roll_rad=math.pi / 2)

    assert quarter.up == pytest.approx(tuple(-part for part in level.left), abs=1e-9)
    rolled = Pose.facing(pose.position_m, bearing_rad=bearing, elevation_rad=elevation, roll_rad=roll_rad)
    assert angle_between(rolled.up, level.up) == pytest.approx(abs(roll_rad), abs=1e-9)


@given(axes, axes)
def test_angles_between_are_symmetric(one: Vector, other: Vector) -> None:
    """Law: the law of cosines, the same both ways, and exact for a direction and itself."""
    angle = angle_between(one, other)
    assume(math.hypot(*one) < 1e3)

    assert angle == angle_between(other, one)
    assert math.cos(angle) == pytest.approx(dot(unit(one), unit(other)), abs=1e-9)
    assert angle_between(one, one) == 0.0
    assert 0 <= angle <= math.pi
