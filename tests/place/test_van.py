"""Do the doors of the van open the way doors do, one side the mirror image of the other?"""

import math

import pytest

from coachwright.kit.geom import bearing_and_elevation
from coachwright.parts.schema import BodyPart
from coachwright.parts.standing import Side, place_pose
from coachwright.parts.store import load_catalogue
from coachwright.place.panels import carried, open_panels

FOUND = load_catalogue().get("high-roof-van")
assert isinstance(FOUND, BodyPart)
VAN: BodyPart = FOUND
SIDES: tuple[Side, Side] = ("left", "right")


def opened(place: str, side: Side, share: float = 1.0) -> tuple[tuple[float, float, float], float]:
    """Where a place comes to with its panel open so far, and the bearing it looks to there. [m, deg]"""
    spot = VAN.places[place]
    pose = carried(place_pose(spot, side), VAN, spot.panel, side, share=share)
    return pose.position_m, math.degrees(bearing_and_elevation(pose.forward)[0]) % 360


@pytest.mark.parametrize("side", SIDES)
def test_the_inside_of_a_rear_door_looks_to_the_rear_when_it_stands_open(side: Side) -> None:
    """By hand: swung by half a turn about its hinges, the inner face stands beside the van, to the rear."""
    (x, y, z), bearing_deg = opened("rear-door-inner", side)

    assert bearing_deg == pytest.approx(180.0)
    assert abs(y) > VAN.width / 2 + 0.2
    assert math.copysign(1, y) == (1 if side == "left" else -1)
    assert x < VAN.front_overhang - VAN.length + 0.02
    assert z == pytest.approx(VAN.places["rear-door-inner"].z)


@pytest.mark.parametrize("side", SIDES)
def test_half_way_a_rear_door_stands_out_behind(side: Side) -> None:
    """By hand: at 90 deg the free edge is a door's width behind the bumper, not inside the load space."""
    (x, _, _), _ = opened("rear-door-face", side, share=0.5)

    assert x < VAN.front_overhang - VAN.length - 0.3


@pytest.mark.parametrize("side", SIDES)
def test_what_is_on_the_outside_of_an_open_rear_door_looks_to_the_front(side: Side) -> None:
    """Trade: a lamp on the face of a rear door is gone from the rear when the crew opens it."""
    assert opened("rear-door-face", side)[1] % 360 == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("side", SIDES)
def test_the_inside_of_an_open_front_door_looks_to_the_rear(side: Side) -> None:
    """By hand: 70 deg open, the inner face looks rather to the rear than inward; the mirror stays outside."""
    _, bearing_deg = opened("door-inner", side)
    (_, y, _), _ = opened("mirror-under", side)

    assert bearing_deg == pytest.approx(160.0 if side == "left" else 200.0)
    assert abs(y) > VAN.places["mirror-under"].y - 0.1


def test_one_signal_opens_both_rear_doors() -> None:
    """Case: rear-doors reads open as soon as one is; both are taken to be, so no lamp on either is counted on."""
    assert open_panels(VAN, {"rear-doors": "open"}) == {"rear-door.left", "rear-door.right"}
    assert open_panels(VAN, {"sliding-door": "open"}) == {"sliding-door"}
    assert open_panels(VAN, {}) == frozenset()
