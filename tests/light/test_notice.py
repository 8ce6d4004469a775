"""Allard's law: printed tables, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.notice import (
    NAUTICAL_MILE_M,
    illuminance_lx,
    intensity_for_range_cd,
    sight_range_m,
    visibility_from_transmissivity_m,
)

NIGHT_LX = 2e-7


@pytest.mark.parametrize(
    ("miles", "table_cd", "decimals"), [(1, 0.9, 1), (2, 4.3, 1), (3, 12, 0), (4, 27, 0), (5, 52, 0), (6, 94, 0)]
)
def test_navigation_lights_agree_with_33_cfr_84_14(miles: float, table_cd: float, decimals: int) -> None:
    """Table 84.14(b), the same as COLREGS Annex I section 8: K = 0.8, T = 2e-7 lx."""
    visibility_m = visibility_from_transmissivity_m(0.8)

    wanted_cd = intensity_for_range_cd(miles * NAUTICAL_MILE_M, threshold_lx=NIGHT_LX, visibility_m=visibility_m)

    assert round(wanted_cd, decimals) == table_cd
    assert wanted_cd == pytest.approx(3.43e6 * NIGHT_LX * miles**2 * 0.8**-miles, rel=5e-5)  # 84.14(a)


def test_air_of_0_8_is_about_13_miles_as_33_cfr_84_14_says() -> None:
    """K = 0.8 corresponds to a meteorological visibility of approximately 13 nautical miles (33 CFR 84.14(a))."""
    assert visibility_from_transmissivity_m(0.8) / NAUTICAL_MILE_M == pytest.approx(13, abs=0.5)


def test_air_of_nominal_range_agrees_with_ies() -> None:
    """Ten miles of visibility: 0.74 per nautical mile, 0.85 per km (IES, nominal range of a light signal)."""
    visibility_m = 10 * NAUTICAL_MILE_M
    through = [
        illuminance_lx(1.0, range_m=far, visibility_m=visibility_m) * far**2 for far in (NAUTICAL_MILE_M, 1000.0)
    ]

    assert [round(share, 2) for share in through] == [0.74, 0.85]
    assert visibility_from_transmissivity_m(0.7411) == pytest.approx(visibility_m, rel=1e-3)


def test_threshold_in_mile_candelas_agrees_with_ies() -> None:
    """0.2 microlux is 0.686 nautical mile-candela: what 0.686 cd gives a mile off in clear air (IES, nominal range)."""
    assert illuminance_lx(0.686, range_m=NAUTICAL_MILE_M, visibility_m=math.inf) == pytest.approx(2e-7, rel=1e-3)


@pytest.mark.parametrize(
    ("miles", "night_cd"),
    [(0.5, 0.199), (1, 0.926), (2, 4.99), (3, 15.2), (5, 76.7), (8, 482), (10, 1372), (15, 13_810), (20, 109_800)],
)
def test_nominal_ranges_agree_with_iala_air_and_threshold(miles: float, night_cd: float) -> None:
    """Worked by hand from E (1852 d)^2 0.05^(-d/10) with 2e-7 lx and 10 nautical miles (IES, nominal range)."""
    visibility_m = 10 * NAUTICAL_MILE_M
    range_m = miles * NAUTICAL_MILE_M

    assert intensity_for_range_cd(range_m, threshold_lx=NIGHT_LX, visibility_m=visibility_m) == pytest.approx(
        night_cd, rel=4e-3
    )
    assert sight_range_m(night_cd, threshold_lx=NIGHT_LX, visibility_m=visibility_m) == pytest.approx(range_m, rel=1e-2)


def test_daylight_signal_lamp_agrees_with_its_rule() -> None:
    """60,000 cd are seen 2 miles off by day in air of 0.8 (IMO daylight signalling lamp): 60000 0.8^2 / 3704^2 lx."""
    light_lx = illuminance_lx(60_000, range_m=3704, visibility_m=visibility_from_transmissivity_m(0.8))

    assert light_lx == pytest.approx(60_000 * 0.64 / 3704**2, rel=1e-9)
    assert light_lx == pytest.approx(2.8e-3, rel=0.01)


@pytest.mark.parametrize(
    ("intensity_cd", "visibility_m", "day_m", "night_m"),
    [
        (100, 200, 124.5, 505.9),
        (500, 1000, 392.7, 2112),
        (1000, 10_000, 876.9, 11_898),
        (5000, 1000, 739.1, 2714),
        (10_000, 10_000, 2255.6, 17_145),
    ],
)
def test_road_ranges_satisfy_allards_law(
    intensity_cd: float, visibility_m: float, day_m: float, night_m: float
) -> None:
    """E = I 0.05^(d/V) / d^2 (CIE vocabulary, Allard's law) at 1e-3 lx by day (from memory) and 2e-7 lx by night."""
    for threshold_lx, range_m in ((1e-3, day_m), (NIGHT_LX, night_m)):
        found_m = sight_range_m(intensity_cd, threshold_lx=threshold_lx, visibility_m=visibility_m)
        assert found_m == pytest.approx(range_m, rel=5e-4)
        assert intensity_cd * 0.05 ** (found_m / visibility_m) / found_m**2 == pytest.approx(threshold_lx, rel=1e-9)


INTENSITY = st.floats(1e-3, 1e6)
THRESHOLD = st.floats(1e-8, 1e-1)
VISIBILITY = st.floats(10.0, 1e5)


@given(INTENSITY, THRESHOLD, VISIBILITY)
def test_range_and_intensity_are_each_others_inverse(
    intensity_cd: float, threshold_lx: float, visibility_m: float
) -> None:
    """Law: the light that is just noticed at the range a light is just noticed is that light."""
    range_m = sight_range_m(intensity_cd, threshold_lx=threshold_lx, visibility_m=visibility_m)

    back_cd = intensity_for_range_cd(range_m, threshold_lx=threshold_lx, visibility_m=visibility_m)

    assert back_cd == pytest.approx(intensity_cd, rel=1e-9)
    assert illuminance_lx(intensity_cd, range_m=range_m, visibility_m=visibility_m) == pytest.approx(threshold_lx)


@given(INTENSITY, THRESHOLD, VISIBILITY, st.floats(1.0, 10.0))
def test_stronger_light_and_clearer_air_reach_no_less(
    intensity_cd: float, threshold_lx: float, visibility_m: float, more: float
) -> None:
    """Law: range grows with light and with visibility, and clear air bounds it at sqrt(I / E)."""
    range_m = sight_range_m(intensity_cd, threshold_lx=threshold_lx, visibility_m=visibility_m)
    slack = range_m * (1 - 1e-12)

    assert sight_range_m(intensity_cd * more, threshold_lx=threshold_lx, visibility_m=visibility_m) >= slack
    assert sight_range_m(intensity_cd, threshold_lx=threshold_lx, visibility_m=visibility_m * more) >= slack
    assert range_m <= math.sqrt(intensity_cd / threshold_lx) * (1 + 1e-12)


@given(st.floats(1e-300, 1e300), st.floats(1e-18, 1e18), st.floats(1e-6, 1e18))
def test_no_light_or_air_is_too_odd_to_answer(intensity_cd: float, threshold_lx: float, visibility_m: float) -> None:
    """Law: any numbers at all give a finite range that satisfies the law in logarithms."""
    range_m = sight_range_m(intensity_cd, threshold_lx=threshold_lx, visibility_m=visibility_m)

    left = math.log(intensity_cd) - math.log(threshold_lx)
    right = 2 * math.log(range_m) + math.log(20) * range_m / visibility_m
    assert right == pytest.approx(left, rel=1e-9, abs=1e-9)


@given(st.floats(0.01, 0.99))
def test_air_let_through_a_mile_is_what_was_said(transmissivity: float) -> None:
    """Law: 0.05^(mile / V) is the transmissivity again."""
    visibility_m = visibility_from_transmissivity_m(transmissivity)

    assert 0.05 ** (NAUTICAL_MILE_M / visibility_m) == pytest.approx(transmissivity, rel=1e-12)


def test_edges() -> None:
    """Law: no light reaches nowhere, clear air is endless, and beyond all numbers is infinite."""
    assert sight_range_m(0.0, threshold_lx=1e-3, visibility_m=1e3) == 0.0
    assert sight_range_m(100.0, threshold_lx=1e-2, visibility_m=math.inf) == pytest.approx(100.0)
    assert visibility_from_transmissivity_m(1.0) == math.inf
    assert intensity_for_range_cd(1e6, threshold_lx=1e-3, visibility_m=1.0) == math.inf


@pytest.mark.parametrize("transmissivity", [0.0, -0.1, 1.1, math.nan])
def test_air_that_cant_be_is_refused(transmissivity: float) -> None:
    """Law: air lets through more than nothing and at most all."""
    with pytest.raises(ValueError, match="air lets through"):
        visibility_from_transmissivity_m(transmissivity)


def test_no_threshold_and_no_visibility_are_refused() -> None:
    """Law: both are more than 0."""
    with pytest.raises(ValueError, match="threshold is more than 0"):
        sight_range_m(1.0, threshold_lx=0.0, visibility_m=1.0)
    with pytest.raises(ValueError, match="visibility is more than 0"):
        illuminance_lx(1.0, range_m=1.0, visibility_m=-1.0)
