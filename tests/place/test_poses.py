"""Where does each head stand, and which way does it look?"""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Head, Model
from coachwright.kit.geom import Pose, bearing_and_elevation, mirrored
from coachwright.parts.schema import BodyPart, HeadSpec, LampPart, Place
from coachwright.parts.standing import head_in_lamp, heads_in_order, lamp_pose, place_pose
from coachwright.parts.store import load_catalogue
from coachwright.place.panels import all_panels
from coachwright.place.poses import head_pose, moved_pose

ANGLES = st.floats(-math.pi, math.pi)
AIMS = st.floats(-1.5, 1.5)
BODY = load_catalogue().get("crew-cab-pickup-with-cap")
assert isinstance(BODY, BodyPart)


def bearing_deg(pose: Pose) -> float:
    """Where it looks, clockwise from the nose, to a thousandth."""
    return round(math.degrees(bearing_and_elevation(pose.forward)[0]), 3) % 360


@pytest.mark.parametrize(
    ("facing_deg", "y", "aim_deg", "left_deg", "right_deg"),
    [
        (0, 0.9, 45, 315, 45),  # forward: toward its own side
        (0, 1.1, 90, 270, 90),
        (180, 0.8, 30, 210, 150),  # to the rear: toward its own side
        (270, 1.0, 20, 250, 110),  # to the side: toward the rear
        (315, 0.9, 30, 285, 75),
        (225, 0.9, 30, 255, 105),
        (0, 0.9, -20, 20, 340),  # inward
    ],
)
def test_aim_turns_away_from_the_centre_line(
    facing_deg: int, y: float, aim_deg: int, left_deg: int, right_deg: int
) -> None:
    """Build language: aim is measured from the place's own outward direction, turned away from the centre line."""
    place = Place(x=0.0, y=y, z=1.0, facing=math.radians(facing_deg), mirrored=True)

    assert bearing_deg(lamp_pose(place, "left", aim_rad=math.radians(aim_deg))) == left_deg
    assert bearing_deg(lamp_pose(place, "right", aim_rad=math.radians(aim_deg))) == right_deg


def test_a_place_on_the_right_turns_to_the_right() -> None:
    """A single place right of the centre line has its own away."""
    place = Place(x=-4.7, y=-0.4, z=0.6, facing=math.pi)

    assert bearing_deg(lamp_pose(place, aim_rad=math.radians(30))) == 150


def test_elevation_is_up() -> None:
    """Build language: elevation is positive up, also for a lamp that is turned."""
    place = Place(x=0.0, y=0.9, z=1.0, facing=0.0, mirrored=True)
    bearing, elevation = bearing_and_elevation(lamp_pose(place, "right", aim_rad=0.7, elevation_rad=0.2).forward)

    assert bearing == pytest.approx(0.7)
    assert elevation == pytest.approx(0.2)


@given(x=st.floats(-5, 1), y=st.floats(0.01, 1.2), facing=ANGLES, aim=AIMS, elevation=AIMS, rise=st.floats(-1.5, 1.5))
def test_left_and_right_are_mirror_images(
    *, x: float, y: float, facing: float, aim: float, elevation: float, rise: float
) -> None:
    """Law: a mirror swaps left and right and changes nothing else."""
    place = Place(x=x, y=y, z=1.0, facing=facing, rise=rise, mirrored=True)
    left = lamp_pose(place, "left", aim_rad=aim, elevation_rad=elevation)
    right = lamp_pose(place, "right", aim_rad=aim, elevation_rad=elevation)

    assert mirrored(left.position_m) == pytest.approx(right.position_m)
    assert mirrored(left.forward) == pytest.approx(right.forward, abs=1e-12)
    assert mirrored(left.up) == pytest.approx(right.up, abs=1e-12)


@pytest.mark.parametrize("place", sorted(name for name, each in BODY.places.items() if each.mirrored))
@pytest.mark.parametrize("part", ["short-red-white", "long-red-white"])
def test_a_mirrored_pair_of_an_even_lamp_is_a_mirror_image(
    place: str, part: str, body: BodyPart, lamp: Callable[[str], LampPart], head_at: Callable[..., Head]
) -> None:
    """Law: numbers count front to rear on both sides, so head n left and head n right are each other's image."""
    spec = lamp(part)
    where = body.places[place]
    poses = {}
    for side in ("left", "right"):
        order = heads_in_order(spec, where, side)
        heads = [head_at(place, side=side, part=part, head_index=index) for index in order]
        poses[side] = [head_pose(head, body, spec) for head in heads]
    if abs(lamp_pose(where, "left").left[1]) > 1e-6:
        poses["right"].reverse()  # across the vehicle: left to right on both sides

    for left, right in zip(poses["left"], poses["right"], strict=True):
        assert mirrored(left.position_m) == pytest.approx(right.position_m)
        assert mirrored(left.forward) == pytest.approx(right.forward, abs=1e-12)


@pytest.mark.parametrize(
    ("place", "side", "expected"),
    [
        ("windshield-top", "", (0, 1, 2, 3, 4, 5, 6, 7)),
        ("cap-hatch-glass", "", (7, 6, 5, 4, 3, 2, 1, 0)),
        ("cap-side-high", "left", (7, 6, 5, 4, 3, 2, 1, 0)),
        ("cap-side-high", "right", (0, 1, 2, 3, 4, 5, 6, 7)),
    ],
)
def test_heads_are_counted_across_the_vehicle_then_along_it(
    place: str, side: str, expected: tuple[int, ...], body: BodyPart, lamp: Callable[[str], LampPart]
) -> None:
    """Build language: left to right, front to rear, low to high; a part lists its heads as seen from behind it."""
    assert heads_in_order(lamp("bar-8-red-white"), body.places[place], side) == expected  # type: ignore[arg-type]


def test_first_head_of_a_bar_is_the_left_one(
    body: BodyPart, lamp: Callable[[str], LampPart], head_at: Callable[..., Head]
) -> None:
    """Counted from the vehicle's left, in front and behind; its end heads look outward."""
    for place in ("windshield-top", "cap-hatch-glass"):
        part = lamp("bar-8-red-white")
        order = heads_in_order(part, body.places[place])
        poses = [head_pose(head_at(place, part=part.name, head_index=index), body, part) for index in order]

        assert [pose.position_m[1] for pose in poses] == sorted((pose.position_m[1] for pose in poses), reverse=True)
        assert poses[0].forward[1] > 0.3
        assert poses[-1].forward[1] < -0.3


def test_low_comes_before_high() -> None:
    """Heads above each other are counted from below."""
    colours = load_catalogue().of_kind("lamp")[0].heads[0].colours  # type: ignore[union-attr]
    spec = {"colours": colours}
    part = LampPart.model_construct(heads=(HeadSpec(up=0.05, **spec), HeadSpec(up=-0.05, **spec)))

    assert heads_in_order(part, Place(x=0.9, y=0.3, z=1.0, facing=0.0)) == (1, 0)


def test_turn_is_to_the_lamp_s_own_right_and_tilt_is_up() -> None:
    """Part language: turn is positive to the lamp's right, tilt positive up; offset is left, seen from behind."""
    lamp = Pose.facing((0.0, 0.0, 1.0), bearing_rad=math.pi)
    head = head_in_lamp(lamp, HeadSpec(offset=0.2, up=0.1, turn=0.3, tilt=0.1, colours={}))
    bearing, elevation = bearing_and_elevation(head.forward)

    assert head.position_m == pytest.approx((0.0, -0.2, 1.1))
    assert bearing == pytest.approx(math.pi + 0.3)
    assert elevation == pytest.approx(0.1)


def test_a_lamp_of_the_vehicle_stands_where_the_body_says(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """High beams look forward from both headlamps, 0.78 m from the centre line."""
    right = head_at("headlamp", lamp="high-beam", side="right", part="", head_index=1, reach="parallel")
    pose = head_pose(right, body, body)

    assert pose.position_m == pytest.approx((0.87, -0.78, 1.015))
    assert pose.forward == pytest.approx((1.0, 0.0, 0.0))


def test_a_part_that_is_no_lamp_has_no_head(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """A mistake of ours is told at once."""
    with pytest.raises(TypeError, match="not a lamp"):
        head_pose(head_at("grille"), body, body)


@pytest.mark.parametrize("panels", [frozenset(), frozenset(all_panels(BODY))])
def test_what_is_bolted_to_the_body_stays(
    panels: frozenset[str], model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Law: opening everything moves nothing that doesn't ride on a panel."""
    for name, place in BODY.places.items():
        head = head_at(name, side="left" if place.mirrored else "")
        model = model_of(head)
        shut = head_pose(head, model.body, model.part("short-red-white"))
        if place.panel == "body" or not panels:
            assert moved_pose(head, model, panels) == shut
        else:
            assert moved_pose(head, model, panels) != shut


def test_place_pose_is_a_lamp_that_is_not_turned() -> None:
    """Law: aim 0 and elevation 0 look the way the place does."""
    for place in BODY.places.values():
        plain, unturned = place_pose(place, "right"), lamp_pose(place, "right")
        assert plain.position_m == unturned.position_m
        assert plain.forward == pytest.approx(unturned.forward, abs=1e-12)
        assert plain.up == pytest.approx(unturned.up, abs=1e-12)
