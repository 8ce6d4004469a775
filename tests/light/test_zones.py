"""The zone method: printed geometry, then laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.zones import (
    BEARINGS_N,
    POINTS_N,
    ZONE_GRID,
    heights,
    in_level,
    one_dead,
    zone_places,
    zone_powers,
    zone_totals,
)
from coachwright.place.zones import ZONE_MIDDLES_RAD, ZONES, Zone, zones_at

POWERS = st.integers(0, 2**32 - 1).map(lambda seed: np.random.default_rng(seed).uniform(0, 1e5, (3, BEARINGS_N)))


# ------------------------------------------------------------------------------------------------------------- print
def test_points_agree_with_j2498() -> None:
    """19 points a zone every 5 deg with both ends (SAE J2498-2016, tnlab.org): 72 bearings, 76 uses."""
    uses = [int(place) for zone in ZONES for place in zone_places(zone)]

    assert [len(zone_places(zone)) for zone in ZONES] == [19] * 4
    assert (len(uses), len(set(uses))) == (76, 72)
    assert ZONE_GRID.shape == (3, 72)
    assert [round(math.degrees(angle)) for angle in ZONE_GRID.elevations_rad] == [-5, 0, 5]


@pytest.mark.parametrize(
    ("zone", "first_deg", "last_deg"), [("A", 315, 45), ("B", 45, 135), ("C", 135, 225), ("D", 225, 315)]
)
def test_zones_are_cut_at_45_deg_as_j2498_has_it(zone: Zone, first_deg: int, last_deg: int) -> None:
    """A front, then clockwise seen from above, cut by lines at 45 deg through the middle (SAE J2498, tnlab.org)."""
    bearings = [round(math.degrees(ZONE_GRID.bearings_rad[place])) for place in zone_places(zone)]

    assert (bearings[0], bearings[-1]) == (first_deg, last_deg)
    assert all(zone in zones_at(math.radians(bearing)) for bearing in bearings)


def test_heights_agree_with_j2498() -> None:
    """Upper above 62 in, lower 18 to 62 in (SAE J2498-2016, tnlab.org); nobody has read the page itself."""
    usual = heights()

    assert usual.lower_from_m == pytest.approx(18 * 0.0254)
    assert usual.upper_above_m == pytest.approx(62 * 0.0254)
    assert usual.cite.is_draft


@pytest.mark.parametrize(("height_in", "upper", "lower"), [(17.9, 0, 0), (18, 0, 1), (62, 0, 1), (62.1, 1, 0)])
def test_levels_by_hand(height_in: float, upper: int, lower: int) -> None:
    """Both ends of the lower level belong to it; what sits lower than 18 in counts only where all do."""
    usual = heights()
    found = [
        in_level(height_in * 0.0254, level, lower_from_m=usual.lower_from_m, upper_above_m=usual.upper_above_m)
        for level in ("upper", "lower", "both")
    ]

    assert found == [bool(upper), bool(lower), True]


def test_even_light_by_hand() -> None:
    """10,000 cd s/min at every point is 190,000 in total: 19 points."""
    for zone in zone_powers(np.full((3, 72), 10_000.0)):
        assert (zone.total, zone.point, zone.up_down) == (190_000.0, 10_000.0, 10_000.0)


# --------------------------------------------------------------------------------------------------------------- law
@given(POWERS)
def test_weakest_points_bound_the_total(power: np.ndarray) -> None:
    """Law: 19 times the weakest is no more than the sum, and the weakest stands where it is said to stand."""
    totals = zone_totals(power)
    for zone in zone_powers(power):
        assert POINTS_N * zone.point <= zone.total * (1 + 1e-12)
        assert zone.total == pytest.approx(totals[zone.zone])
        assert zone.point == power[1, ZONE_GRID.bearings_rad.index(zone.point_bearing_rad)]
        row = ZONE_GRID.elevations_rad.index(zone.up_down_elevation_rad)
        assert zone.up_down == power[row, ZONE_GRID.bearings_rad.index(zone.up_down_bearing_rad)]
        assert row != 1


@given(POWERS)
def test_mirrored_vehicle_swaps_b_and_d(power: np.ndarray) -> None:
    """Law: right and left change places, front and rear stay."""
    here = {zone.zone: zone for zone in zone_powers(power)}
    there = {zone.zone: zone for zone in zone_powers(np.roll(power[:, ::-1], 1, axis=1))}

    for zone, other in (("A", "A"), ("B", "D"), ("C", "C"), ("D", "B")):
        assert here[zone].total == pytest.approx(there[other].total)
        assert (here[zone].point, here[zone].up_down) == (there[other].point, there[other].up_down)


@given(POWERS, POWERS)
def test_a_dead_lamp_never_adds(one: np.ndarray, other: np.ndarray) -> None:
    """Law: with one of two lamps dead the other is what is left, and no zone gets more."""
    alive = {zone.zone: zone for zone in zone_powers(one + other)}
    left = one_dead(np.array([one, other]), ["a", "b"])

    assert {zone.zone: zone.total for zone in left["b"]} == pytest.approx(
        {zone: float(value) for zone, value in zone_totals(one).items()}
    )
    for zone in (*left["a"], *left["b"]):
        assert zone.total <= alive[zone.zone].total
        assert zone.point <= alive[zone.zone].point


def test_corner_belongs_to_two_zones() -> None:
    """Law: light at 45 deg alone counts in front and on the right."""
    power = np.zeros((3, 72))
    power[1, 9] = 100.0

    assert zone_totals(power) == {"A": 100.0, "B": 100.0, "C": 0.0, "D": 0.0}
    assert [round(math.degrees(ZONE_MIDDLES_RAD[zone])) for zone in ZONES] == [0, 90, 180, 270]
