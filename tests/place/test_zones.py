"""To which quarter round the vehicle does a bearing belong, and how high does a head stand?"""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Head, Model
from coachwright.place.zones import ZONES, optical_height_m, zones_at, zones_of


def test_nineteen_points_a_zone_with_shared_corners_as_in_j2498() -> None:
    """SAE J2498: 19 points from -45 to +45 deg, both ends included: 72 bearings, 76 point-uses, four of them twice."""
    found = {bearing: zones_at(math.radians(bearing)) for bearing in range(0, 360, 5)}

    assert sum(len(zones) for zones in found.values()) == 76
    assert {bearing for bearing, zones in found.items() if len(zones) == 2} == {45, 135, 225, 315}
    assert all(sum(zone in zones for zones in found.values()) == 19 for zone in ZONES)


@pytest.mark.parametrize(
    ("bearing_deg", "zone"), [(0, "A"), (90, "B"), (180, "C"), (270, "D"), (-90, "D"), (350, "A"), (720, "A")]
)
def test_zones_run_clockwise_from_the_front(bearing_deg: int, zone: str) -> None:
    """A front, B right, C rear, D left, seen from above (SAE J2498; clockwise from memory)."""
    assert zones_at(math.radians(bearing_deg)) == (zone,)


@given(st.floats(-20, 20))
def test_no_bearing_is_without_a_zone(bearing_rad: float) -> None:
    """Law: four quarters leave no gap, and the opposite bearing has the opposite zone."""
    zones = zones_at(bearing_rad)
    opposite = {ZONES[(ZONES.index(zone) + 2) % 4] for zone in zones}

    assert 1 <= len(zones) <= 2
    assert set(zones_at(bearing_rad + math.pi)) & opposite


def test_a_head_belongs_to_the_zone_it_looks_into(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """By its bearing: the hatch bar to the rear, the right rocker to the right, what looks up to none."""
    bar = head_at("cap-hatch-glass", part="bar-6-red-amber-white", head_index=2)
    side = head_at("rocker-fore", side="right")
    up = head_at("roof-fore")
    model = model_of(bar, side, up)

    assert zones_of(bar, model) == ("C",)
    assert zones_of(side, model) == ("B",)
    assert zones_of(up, model) == ()


def test_height_is_of_the_optical_centre(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """From the ground; the hatch lifts its bar by what its hinge leaves."""
    grille, bar = head_at("grille", side="left"), head_at("cap-hatch-glass", part="bar-6-red-amber-white")
    model = model_of(grille, bar)
    shut, up = optical_height_m(bar, model), optical_height_m(bar, model, frozenset({"hatch"}))

    assert optical_height_m(grille, model) == pytest.approx(0.96)
    assert shut == pytest.approx(1.79)
    assert up > shut
