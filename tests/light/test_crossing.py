"""Stopping, gaps and crossings: printed tables, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.crossing import FOOT_M, MILE_PER_HOUR_M_S, System, gap_m, meeting, stopping

SPEEDS = st.floats(0.1, 60.0)
KM_H = 1 / 3.6
UNITS: dict[System, tuple[float, float]] = {"metric": (KM_H, 1.0), "us": (MILE_PER_HOUR_M_S, FOOT_M)}


@pytest.mark.parametrize(
    ("mph", "calculated_ft", "design_ft"),
    [
        (15, 76.7, 80),
        (20, 111.9, 115),
        (25, 151.9, 155),
        (30, 196.6, 200),
        (35, 246.2, 250),
        (40, 300.6, 305),
        (45, 359.7, 360),
        (50, 423.7, 425),
        (55, 492.5, 495),
        (60, 566.0, 570),
        (65, 644.4, 645),
        (70, 727.6, 730),
        (75, 815.5, 820),
        (80, 908.3, 910),
    ],
)
def test_stopping_in_feet_agrees_with_the_road_design_formula(mph: float, calculated_ft: float, design_ft: int) -> None:
    """1.47 V t + 1.075 V^2/a, 2.5 s, 11.2 ft/s2 (Texas DOT manual 4.11.1); design values: AASHTO 3-1, from memory."""
    stop = stopping(mph * MILE_PER_HOUR_M_S, system="us")

    assert stop.distance_m / FOOT_M == pytest.approx(calculated_ft, abs=0.06)
    assert stop.design_m / FOOT_M == pytest.approx(design_ft, abs=1e-6)


@pytest.mark.parametrize(
    ("km_h", "calculated_m", "design_m"),
    [
        (20, 18.5, 20),
        (30, 31.2, 35),
        (40, 46.2, 50),
        (50, 63.4, 65),
        (60, 83.0, 85),
        (70, 104.9, 105),
        (80, 129.0, 130),
        (90, 155.5, 160),
        (100, 184.2, 185),
        (110, 215.2, 220),
        (120, 248.6, 250),
        (130, 284.2, 285),
    ],
)
def test_stopping_in_metres_agrees_with_the_road_design_formula(
    km_h: float, calculated_m: float, design_m: int
) -> None:
    """0.278 V t + 0.039 V^2/a with 2.5 s and 3.4 m/s2; design values of AASHTO table 3-1 (both from memory)."""
    stop = stopping(km_h * KM_H)

    assert stop.distance_m == pytest.approx(calculated_m, abs=0.06)
    assert stop.design_m == pytest.approx(design_m, abs=1e-9)


@pytest.mark.parametrize(
    ("speed", "grade", "system", "expected"),
    [(80, -0.06, "metric", 143.5), (80, 0.06, "metric", 117.6), (60, -0.06, "us", 637.4)],
)
def test_stopping_on_a_grade_agrees_with_the_printed_form(
    speed: float, grade: float, system: System, expected: float
) -> None:
    """V^2/(254 (a/9.81 + G)) and V^2/(30 (a/32.2 + G)) (AASHTO, grades; from memory), worked by hand."""
    speed_unit, unit_m = UNITS[system]

    stop = stopping(speed * speed_unit, grade_share=grade, system=system)

    assert stop.distance_m / unit_m == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(
    ("gap_s", "table_ft"),
    [
        (7.5, {15: 170, 25: 280, 35: 390, 40: 445, 45: 500, 55: 610, 65: 720}),
        (6.5, {15: 145, 25: 240, 35: 335, 40: 385, 45: 430, 55: 530, 65: 625}),
    ],
)
def test_gaps_agree_with_the_intersection_table(gap_s: float, table_ft: dict[int, int]) -> None:
    """Highway Engineering Handbook, table 2.3A: 1.47 V t_g rounded up to the next 5 ft (Texas DOT manual 13.5.2)."""
    found = {mph: gap_m(mph * MILE_PER_HOUR_M_S, gap_s=gap_s, system="us")[1] / FOOT_M for mph in table_ft}

    assert found == pytest.approx(table_ft, abs=1e-6)


def test_meeting_at_a_crossing_agrees_with_hand_calculation() -> None:
    """60 km/h crosses 50 km/h: 83.0 m and 7.40 s, so 102.8 m, 132 m apart, 38.9 deg off the nose (AASHTO inputs)."""
    met = meeting(own_m_s=50 * KM_H, cross_m_s=60 * KM_H, corner_from_cross_m=20.0, corner_from_own_m=15.0)

    assert met.cross_m == pytest.approx(83.0, abs=0.05)
    assert met.own_m == pytest.approx(102.8, abs=0.05)
    assert met.range_m == pytest.approx(132, abs=0.5)
    assert math.degrees(met.bearing_rad) == pytest.approx(38.9, abs=0.05)
    assert met.in_sight is False  # 20/102.8 + 15/83.0 = 0.375 < 1


def test_slower_warning_vehicle_is_met_further_aside() -> None:
    """At 20 km/h it is 41.1 m off and the other 63.6 deg off its nose (by hand, AASHTO inputs)."""
    met = meeting(own_m_s=20 * KM_H, cross_m_s=60 * KM_H)

    assert met.own_m == pytest.approx(41.1, abs=0.05)
    assert math.degrees(met.bearing_rad) == pytest.approx(63.6, abs=0.05)
    assert met.in_sight is None


@given(SPEEDS, st.floats(0.0, 20.0), st.sampled_from(["metric", "us"]))
def test_faster_never_stops_shorter(speed_m_s: float, more_m_s: float, system: System) -> None:
    """Law: distance and time grow with speed; design rounds up by less than 5."""
    slow, fast = stopping(speed_m_s, system=system), stopping(speed_m_s + more_m_s, system=system)

    assert slow.distance_m <= fast.distance_m
    assert slow.time_s <= fast.time_s
    assert -1e-6 <= slow.design_m - slow.distance_m < 5 * UNITS[system][1]


@given(SPEEDS, st.floats(-0.3, 0.3), st.floats(-0.3, 0.3), st.sampled_from(["metric", "us"]))
def test_downhill_never_stops_shorter(speed_m_s: float, one: float, other: float, system: System) -> None:
    """Law: the steeper down, the longer, also against the level road."""
    down, up = sorted((one, other))

    longer = stopping(speed_m_s, grade_share=down, system=system).distance_m
    assert longer >= stopping(speed_m_s, grade_share=up, system=system).distance_m - 1e-9


@given(SPEEDS)
def test_both_systems_agree_within_their_rounding(speed_m_s: float) -> None:
    """Law: feet and metres are two roundings of one formula, a percent apart at most."""
    metric, us = stopping(speed_m_s), stopping(speed_m_s, system="us")

    assert us.distance_m == pytest.approx(metric.distance_m, rel=0.015)
    assert us.time_s == pytest.approx(metric.time_s, rel=0.01)


@given(SPEEDS, SPEEDS, st.floats(0.1, 200.0), st.floats(0.1, 200.0))
def test_corner_hides_exactly_what_the_straight_line_says(
    own_m_s: float, cross_m_s: float, from_cross_m: float, from_own_m: float
) -> None:
    """Law: the vehicles see each other if the corner doesn't lie on the crossing's side of the line between them."""
    met = meeting(own_m_s=own_m_s, cross_m_s=cross_m_s, corner_from_cross_m=from_cross_m, corner_from_own_m=from_own_m)
    # Own vehicle at (own, 0), the other at (0, cross), the building beyond its corner away from the crossing.
    line_at_corner_m = met.cross_m * (1 - from_cross_m / met.own_m)

    if abs(line_at_corner_m - from_own_m) > 1e-6:
        assert met.in_sight == (line_at_corner_m <= from_own_m)
    assert met.range_m == pytest.approx(math.hypot(met.own_m, met.cross_m))
    assert math.tan(met.bearing_rad) == pytest.approx(met.cross_m / met.own_m)


def test_a_grade_that_outdoes_the_brakes_is_refused() -> None:
    """Law: 3.4 m/s2 is 34.7 % of g; steeper than that nothing stops."""
    with pytest.raises(ValueError, match="never stops"):
        stopping(10.0, grade_share=-0.35)
    assert stopping(0.0).distance_m == 0.0
