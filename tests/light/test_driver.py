"""The driver's eyes and his door mirrors: by hand, then what holds for any mirror."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.driver import Mirror, door_mirrors, driver_eyes, seen_in
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import load_catalogue

PICKUP = load_catalogue().get("crew-cab-pickup-with-cap")
assert isinstance(PICKUP, BodyPart)
ROOT = math.sqrt(0.5)
AT_45 = Mirror((0.0, 0.0, 0.0), (-ROOT, ROOT, 0.0), (-ROOT, -ROOT, 0.0), (0.0, 0.0, 1.0), 0.2, 0.2)
"""In the middle of everything; turned half to the left and half to the rear."""


def test_a_mirror_at_45_deg_turns_a_ray_by_90_deg() -> None:
    """By hand (angle in equals angle out): from 3 m to the rear, over the middle, to eyes 1 m to the left."""
    seen = seen_in(AT_45, (0.0, 1.0, 0.0), (-3.0, 0.0, 0.0))

    assert seen is not None
    spot_m, way_m = seen
    assert spot_m == pytest.approx((0.0, 0.0, 0.0), abs=1e-12)
    assert way_m == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("place_m", "is_seen"),
    [
        ((-3.0, 0.0, 0.35), True),  # up: spot 0.25 of the way, 0.0875 m up of 0.1
        ((-3.0, 0.0, 0.45), False),  # 0.1125 m up
        ((-3.0, 3.2, 0.0), False),  # beside the field
        ((3.0, -1.0, 0.0), False),  # behind the glass
    ],
)
def test_the_edge_of_a_mirror_ends_what_is_seen(place_m: tuple[float, float, float], is_seen: bool) -> None:
    """By hand: eyes 1 m before it and lamp 3 m, so the spot lies a quarter of the way from the eyes' image."""
    assert (seen_in(AT_45, (0.0, 1.0, 0.0), place_m) is not None) is is_seen


def test_door_mirrors_show_what_is_straight_behind() -> None:
    """Law: in the middle of each mirror the driver sees a line straight back; both stand where the body says."""
    eyes_m = driver_eyes(PICKUP)
    assert eyes_m == pytest.approx((-1.56, 0.39, 1.585))
    mirrors = door_mirrors(PICKUP, eyes_m, width_m=0.18, height_m=0.2)

    assert mirrors["left"].middle_m == pytest.approx((-0.665, 1.14, 1.4))
    assert mirrors["right"].middle_m == pytest.approx((-0.665, -1.14, 1.4))
    for mirror in mirrors.values():
        x, y, z = mirror.middle_m
        seen = seen_in(mirror, eyes_m, (x - 50.0, y, z))
        assert seen is not None
        assert seen[0] == pytest.approx(mirror.middle_m, abs=1e-9)
        assert seen_in(mirror, eyes_m, (x + 5.0, y, z)) is None


POINTS = st.tuples(*[st.floats(-5.0, 5.0)] * 3)


@given(POINTS, POINTS)
def test_light_goes_the_shortest_way_over_the_glass(eyes_m: tuple[float, ...], place_m: tuple[float, ...]) -> None:
    """Law: the way is that over the spot, and equal angles; the same the other way round (Fermat)."""
    large = Mirror(AT_45.middle_m, AT_45.normal, AT_45.across, AT_45.up, 100.0, 100.0)
    eyes, place = (eyes_m[0], eyes_m[1], eyes_m[2]), (place_m[0], place_m[1], place_m[2])
    seen, back = seen_in(large, eyes, place), seen_in(large, place, eyes)

    assert (seen is None) == (back is None)
    if seen is None or back is None:
        return
    spot_m, way_m = seen
    assert spot_m == pytest.approx(back[0], abs=1e-6)
    assert way_m == pytest.approx(math.dist(eyes, spot_m) + math.dist(spot_m, place), rel=1e-9, abs=1e-9)
    nudged = np.array(spot_m) + 0.01 * np.array(large.across)
    assert math.dist(eyes, nudged) + math.dist(nudged, place) >= way_m - 1e-9
