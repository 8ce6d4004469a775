"""Levels: published weightings and measurements, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.sound.level import (
    OCTAVE_BANDS_HZ,
    a_weight_db,
    a_weighted_db,
    exact_band_hz,
    level_at_db,
    sum_db,
)


@pytest.mark.parametrize(
    ("nominal_hz", "weight_db"),
    [(16.0, -56.7), (31.5, -39.4), (63.0, -26.2), (125.0, -16.1), (250.0, -8.6), (500.0, -3.2), (1000.0, 0.0),
     (2000.0, 1.2), (4000.0, 1.0), (8000.0, -1.1), (16000.0, -6.6)],
)  # fmt: skip
def test_weight_agrees_with_iec_61672(nominal_hz: float, weight_db: float) -> None:
    """A-weighting of the octave bands as the standard tabulates it, rounded to a tenth."""
    assert a_weight_db(exact_band_hz(nominal_hz)) == pytest.approx(weight_db, abs=0.051)


def test_two_rules_for_sirens_agree() -> None:
    """98 dB at 100 ft (MIL-T-14382W 3.5.9) is 118.1 dB at 3 m, by hand: the two customs differ by 0.2 dB."""
    assert level_at_db(98.0, at_m=30.48, to_m=3.0) == pytest.approx(118.14, abs=0.005)


@pytest.mark.parametrize(
    ("to_m", "level_db"), [(6.0, 111.98), (10.0, 107.54), (15.0, 104.02), (30.0, 98.0), (100.0, 87.54)]
)
def test_spreading_is_twenty_log_of_the_distance(to_m: float, level_db: float) -> None:
    """118 dB at 3 m, by hand from the inverse square law."""
    assert level_at_db(118.0, at_m=3.0, to_m=to_m) == pytest.approx(level_db, abs=0.006)


def test_octave_bands_by_hand() -> None:
    """78, 82, 85, 88, 84, 80, 75, 70 dB: 91.94 dB, and 88.92 dBA with the tabulated weights of IEC 61672."""
    bands = (78.0, 82.0, 85.0, 88.0, 84.0, 80.0, 75.0, 70.0)

    assert sum_db(bands) == pytest.approx(91.94, abs=0.005)
    assert a_weighted_db(bands) == pytest.approx(88.92, abs=0.05)


def test_exact_bands_are_those_of_iec_61260() -> None:
    """63 Hz is 63.10 Hz and 8 kHz is 7943 Hz (base-ten bands)."""
    exact = [exact_band_hz(nominal) for nominal in OCTAVE_BANDS_HZ]

    assert exact[0] == pytest.approx(63.096, abs=1e-3)
    assert exact[-1] == pytest.approx(7943.3, abs=0.1)


@given(st.floats(0.0, 200.0), st.integers(1, 50))
def test_equal_sounds_add_ten_log_of_their_number(level_db: float, count: int) -> None:
    """Law: two alike are 3 dB more than one."""
    assert sum_db([level_db] * count) == pytest.approx(level_db + 10.0 * math.log10(count))


@given(st.lists(st.floats(-50.0, 250.0), min_size=1, max_size=8))
def test_a_sum_is_at_least_the_loudest(levels: list[float]) -> None:
    """Law: and less than all of them at that level."""
    assert max(levels) <= sum_db(levels) <= max(levels) + 10.0 * math.log10(len(levels)) + 1e-9


@given(st.floats(0.0, 150.0), st.floats(0.1, 1e3), st.floats(0.1, 1e3), st.floats(0.1, 1e3))
def test_going_in_two_steps_is_going_at_once(level_db: float, near_m: float, mid_m: float, far_m: float) -> None:
    """Law: spreading depends on the ratio of distances alone."""
    middle = level_at_db(level_db, at_m=near_m, to_m=mid_m)

    assert level_at_db(middle, at_m=mid_m, to_m=far_m) == pytest.approx(
        level_at_db(level_db, at_m=near_m, to_m=far_m), abs=1e-9
    )
