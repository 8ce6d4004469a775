"""What a pane mirrors over the lamp behind it, and how far the lamp is then noticed: by hand, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.geom import angle_between, direction, mirrored
from coachwright.light.far_field import Pane
from coachwright.light.glass import face_reflectance
from coachwright.light.notice import sight_range_m
from coachwright.light.veil import Daylight, mirrored_from, noticed_m, threshold_lx, veil_cd_m2

DEG = math.radians(1.0)
DAY = Daylight(10_000.0, 30_000.0, 6_000.0, 10_000.0)
RISES = st.floats(-40 * DEG, 80 * DEG)
BEARINGS = st.floats(0.0, math.tau)
SHARES = st.floats(0.01, 0.9)


def pane(*, rise_deg: float = 0.0, share: float = 0.42, film: float = 1.0, bearing: float = 0.0) -> Pane:
    """A pane that faces a bearing and leans back."""
    return Pane(direction(bearing_rad=bearing, elevation_rad=rise_deg * DEG), share, 1.52, film)


# ------------------------------------------------------------------------------------------------------------- print
def test_threshold_of_a_bright_day_is_as_remembered() -> None:
    """log10 E = -5.7 + 0.64 log10 B (ICAO Doc 9328, from memory): B = 10,000 cd/m2 gives 10^-3.14 = 7.2e-4 lx."""
    assert threshold_lx(10_000.0) == pytest.approx(7.244e-4, rel=1e-3)


def test_two_hundred_candela_at_a_hundred_metres_are_twenty_eight_thresholds() -> None:
    """Cole and Brown's red signal, 200 cd at 100 m, is 0.02 lx (from memory), in clear air before 10,000 cd/m2."""
    day = Daylight(10_000.0, 0.0, 0.0, math.inf, times=0.02 / threshold_lx(10_000.0))

    assert noticed_m(200.0, 0.0, day) == pytest.approx(100.0)
    assert day.times == pytest.approx(27.6, rel=2e-3)


@pytest.mark.parametrize(("rise_deg", "sees_sky"), [(22.6, True), (1.0, True), (-5.0, False)])
def test_a_raked_pane_mirrors_the_sky_and_one_that_hangs_over_the_ground(rise_deg: float, sees_sky: bool) -> None:
    """Law of reflection by hand: seen level, a pane that leans back by r shows what lies 2 r above the horizon."""
    glass = pane(rise_deg=rise_deg)
    level = (1.0, 0.0, 0.0)

    assert math.asin(mirrored_from(level, glass.normal)[2]) == pytest.approx(2 * rise_deg * DEG)
    back = veil_cd_m2(glass, level, DAY) / (DAY.sky_cd_m2 if sees_sky else DAY.ground_cd_m2)
    face = face_reflectance(abs(rise_deg) * DEG).mean
    assert face <= back <= 2 * face


# --------------------------------------------------------------------------------------------------------------- law
@given(BEARINGS, RISES, BEARINGS, st.floats(-1.2, 1.2))
def test_mirroring_twice_comes_back(bearing: float, rise: float, other: float, up: float) -> None:
    """Law: the mirror's mirror is the thing, and both make one angle with the upright."""
    normal = direction(bearing_rad=bearing, elevation_rad=rise)
    toward = direction(bearing_rad=other, elevation_rad=up)
    there = mirrored_from(toward, normal)

    assert mirrored_from(there, normal) == pytest.approx(toward, abs=1e-12)
    assert angle_between(there, normal) == pytest.approx(angle_between(toward, normal), abs=1e-7)


@given(BEARINGS, RISES, BEARINGS, st.floats(-1.2, 1.2), SHARES)
def test_a_mirrored_pane_has_a_mirrored_veil(
    bearing: float, rise: float, other: float, up: float, share: float
) -> None:
    """Law: left and right of the vehicle are alike."""
    left = Pane(direction(bearing_rad=bearing, elevation_rad=rise), share, 1.52)
    right = Pane(mirrored(left.normal), share, 1.52)
    toward = direction(bearing_rad=other, elevation_rad=up)

    assert veil_cd_m2(left, toward, DAY) == pytest.approx(veil_cd_m2(right, mirrored(toward), DAY), rel=1e-9)


@given(SHARES, st.floats(0.01, 1.0), st.floats(0.01, 1.0), st.floats(0.0, 70.0))
def test_a_darker_film_never_mirrors_more(share: float, one: float, other: float, rise_deg: float) -> None:
    """Law: what comes back from the inner face has gone through it twice."""
    dark, light = sorted((one, other))
    level = (1.0, 0.0, 0.0)

    through_dark = veil_cd_m2(pane(rise_deg=rise_deg, share=share, film=dark), level, DAY)
    assert through_dark <= veil_cd_m2(pane(rise_deg=rise_deg, share=share, film=light), level, DAY) + 1e-9


@given(st.floats(1.0, 20_000.0), st.floats(0.0, 50_000.0), st.floats(0.0, 50_000.0))
def test_more_veil_never_lets_a_lamp_be_noticed_further(cd: float, one: float, other: float) -> None:
    """Law: nor does a pane ever help."""
    thin, thick = sorted((one, other))

    assert noticed_m(cd, thick, DAY) <= noticed_m(cd, thin, DAY) + 1e-9
    assert noticed_m(cd, thin, DAY) <= sight_range_m(cd, threshold_lx=threshold_lx(10_000.0), visibility_m=10_000.0)


def test_who_stands_behind_the_pane_has_no_veil() -> None:
    """Case: the pane's inside mirrors the cabin, which is another sum."""
    assert veil_cd_m2(pane(), (-1.0, 0.0, 0.0), DAY) == 0.0


@pytest.mark.parametrize("background", [0.0, -1.0, math.nan])
def test_a_background_of_nothing_is_refused(background: float) -> None:
    """Law: the relation is of day and twilight; it has no darkness."""
    with pytest.raises(ValueError, match="brighter than nothing"):
        threshold_lx(background)
