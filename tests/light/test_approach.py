"""Two vehicles near a crossing: hand-worked moments from print, then laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.approach import STEP_S, Approach, margin_s, track, unhidden
from coachwright.light.crossing import meeting, stopping

KM_H = 1 / 3.6
SPEEDS = st.floats(2.0, 40.0)
AWAY = st.floats(3.0, 120.0)


def test_last_moment_agrees_with_the_road_design_formula() -> None:
    """60 km/h against 50 km/h (AASHTO inputs): 83.0 m to stop; when he stands as we pass, 102.8 m and 38.9 deg off."""
    stop = stopping(60 * KM_H)
    approach = Approach(50 * KM_H, 60 * KM_H, late_s=stop.time_s - stop.distance_m / (60 * KM_H))

    way = track(approach, nose_m=0.0, eye_m=1.08)

    assert way.cross_m[way.last] == pytest.approx(83.0, abs=0.05)
    assert way.own_m[way.last] == pytest.approx(102.8, abs=0.05)
    x_m, y_m, z_m = way.eyes_m[:, way.last]
    assert math.degrees(math.atan2(y_m, x_m)) == pytest.approx(38.9, abs=0.05)
    assert z_m == 1.08
    assert way.last * STEP_S == pytest.approx(8.0)


def test_on_a_collision_course_the_bearing_stays() -> None:
    """By hand: equal speeds that meet are always seen at 45 deg, and the last moment is 83.0 m / 16.67 m/s = 4.98 s."""
    way = track(Approach(60 * KM_H, 60 * KM_H, side=-1), nose_m=0.9, eye_m=1.08)

    assert np.degrees(np.arctan2(-way.eyes_m[1], way.eyes_m[0] - 0.9)) == pytest.approx(45.0)
    assert len(way.own_m) - 1 - way.last == int(4.98 / STEP_S)


@given(SPEEDS, SPEEDS, AWAY, AWAY, st.sampled_from([1, -1]))
def test_nose_is_hidden_exactly_when_the_printed_line_says(
    own_m_s: float, cross_m_s: float, from_cross_m: float, from_own_m: float, side: int
) -> None:
    """Law: p / own + q / cross >= 1 for the nose on its path, as light.crossing.meeting has it."""
    approach = Approach(own_m_s, cross_m_s, side, 0.0, from_cross_m, from_own_m)
    way = track(approach, nose_m=0.9, eye_m=1.08)
    (free,) = unhidden(approach, way, ((0.9, 0.0, 1.0),), nose_m=0.9)
    line = from_cross_m / np.maximum(way.own_m, 1e-9) + from_own_m / np.maximum(way.cross_m, 1e-9)

    clear = np.abs(line - 1.0) > 1e-6
    assert (free == (line >= 1.0))[clear].all()
    assert not (free[:-1] & ~free[1:]).any()  # what is in sight stays in sight


@given(SPEEDS, SPEEDS, st.floats(8.0, 60.0), st.floats(8.0, 60.0))
def test_lamps_farther_back_come_into_sight_later(
    own_m_s: float, cross_m_s: float, from_cross_m: float, from_own_m: float
) -> None:
    """Law: nose before tail; of two lamps abreast the one away from the corner before the one on its side."""
    approach = Approach(own_m_s, cross_m_s, 1, 0.0, from_cross_m, from_own_m)
    way = track(approach, nose_m=0.9, eye_m=1.08)
    nose, tail, near, far = unhidden(
        approach, way, ((0.9, 0.0, 1.0), (-4.5, 0.0, 1.0), (0.9, 0.9, 1.0), (0.9, -0.9, 1.0)), nose_m=0.9
    )

    assert not (tail & ~nose).any()
    assert not (near & ~far).any()


def test_corner_at_the_moment_of_decision_agrees_with_hand_calculation() -> None:
    """By hand: d = (102.8 m, 83.0 m), corner at (20, 15): 20/102.8 + 15/83.0 = 0.375 < 1, hidden; at (60, 50) free."""
    late_s = stopping(60 * KM_H).time_s - stopping(60 * KM_H).distance_m / (60 * KM_H)
    for corner, free in (((20.0, 15.0), False), ((60.0, 50.0), True)):
        approach = Approach(50 * KM_H, 60 * KM_H, 1, late_s, *corner)
        way = track(approach, nose_m=0.0, eye_m=1.08)
        met = meeting(
            own_m_s=50 * KM_H, cross_m_s=60 * KM_H, corner_from_cross_m=corner[0], corner_from_own_m=corner[1]
        )
        (seen,) = unhidden(approach, way, ((0.0, 0.0, 1.0),), nose_m=0.0)
        assert bool(seen[way.last]) is free is met.in_sight


def flags(text: str) -> np.ndarray:
    return np.array([letter == "#" for letter in text])


@pytest.mark.parametrize(
    ("noticed", "last", "steps"),
    [
        ("..########", 5, 3),  # from the third moment on
        ("##########", 5, 5),  # all along
        ("##..######", 5, 1),  # a break counts
        ("......####", 5, -1),  # a moment too late
        ("..........", 5, -5),  # never, which is at the crossing
        ("####......", 5, -5),
    ],
)
def test_margin_is_counted_in_steps(noticed: str, last: int, steps: int) -> None:
    """By hand: steps from the beginning of the unbroken stretch to the last moment."""
    assert margin_s(flags(noticed), last) == pytest.approx(steps * STEP_S)


@given(st.lists(st.tuples(st.booleans(), st.booleans()), min_size=2, max_size=40), st.data())
def test_more_light_is_never_later(moments: list[tuple[bool, bool]], data: st.DataObject) -> None:
    """Law: moments added never make the margin smaller."""
    last = data.draw(st.integers(0, len(moments) - 1))
    less = np.array([one for one, _ in moments])
    more = np.array([one or other for one, other in moments])

    assert margin_s(more, last) >= margin_s(less, last)
