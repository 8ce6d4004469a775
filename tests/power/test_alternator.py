"""What an alternator brings: its own sheet, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.alternator import Alternator, beyond_curve, most_a

RPM = math.tau / 60.0
SMALL = Alternator(
    13.5,
    -0.01,
    ((25.0, (1300.0 * RPM, 2500.0 * RPM), (24.0, 50.0)), (90.0, (1300.0 * RPM, 2500.0 * RPM), (16.0, 41.0))),
    800.0 * RPM,
)
"""A small alternator by its printed points (an engine maker's manual), cold and hot; that hot is 90 degC is a guess."""


@pytest.mark.parametrize(
    ("rpm", "degc", "amperes"), [(1300.0, 25.0, 24.0), (1300.0, 90.0, 16.0), (2500.0, 25.0, 50.0), (2500.0, 90.0, 41.0)]
)
def test_at_its_printed_points_it_gives_what_is_printed(rpm: float, degc: float, amperes: float) -> None:
    """24 cold and 16 hot at 1300, 50 and 41 A at 2500 rpm (an engine maker's manual, p. 83)."""
    assert most_a(SMALL, engine_rad_s=rpm * RPM, temperature_degc=degc) == pytest.approx(amperes)


def test_the_regulator_gives_a_tenth_of_a_volt_less_for_ten_kelvin() -> None:
    """-0.1 V per 10 degC (the same manual): 13.5 V at 25 degC are 13.0 V at 75 degC."""
    assert SMALL.voltage_v(75.0) == pytest.approx(13.0)


def test_between_points_it_is_straight_and_beyond_it_is_careful() -> None:
    """By hand: midway in speed and heat; nothing below the curve, no more above it, falling on past its heat."""
    assert most_a(SMALL, engine_rad_s=1900.0 * RPM, temperature_degc=57.5) == pytest.approx((37.0 + 28.5) / 2.0)
    assert most_a(SMALL, engine_rad_s=1200.0 * RPM, temperature_degc=25.0) == 0.0
    assert most_a(SMALL, engine_rad_s=6000.0 * RPM, temperature_degc=25.0) == pytest.approx(50.0)
    assert most_a(SMALL, engine_rad_s=2500.0 * RPM, temperature_degc=-20.0) == pytest.approx(50.0)
    assert most_a(SMALL, engine_rad_s=1300.0 * RPM, temperature_degc=122.5) == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("rpm", "degc", "says"),
    [
        (1200.0, 25.0, "slower"),
        (6000.0, 25.0, "faster"),
        (1300.0, 100.0, "hotter"),
        (1300.0, 90.0, ""),
        (2500.0, 0.0, ""),
    ],
)
def test_it_says_when_the_sheet_does_not_go_so_far(rpm: float, degc: float, says: str) -> None:
    """Case: outside of the printed points in speed or in heat."""
    told = beyond_curve(SMALL, engine_rad_s=rpm * RPM, temperature_degc=degc)

    assert told.startswith(says)
    assert bool(told) is bool(says)


def test_a_body_of_the_catalogue_is_read(pickup_alternator: Alternator) -> None:
    """Its file: 55 A at 650 rpm and 93 degC, 78 A at 25 degC, 14.2 V less 10 mV/K."""
    idle = pickup_alternator.idle_rad_s

    assert most_a(pickup_alternator, engine_rad_s=idle, temperature_degc=93.0) == pytest.approx(55.0)
    assert most_a(pickup_alternator, engine_rad_s=idle, temperature_degc=25.0) == pytest.approx(78.0)
    assert pickup_alternator.voltage_v(93.0) == pytest.approx(13.52)


@given(st.floats(1300.0, 6000.0), st.floats(1300.0, 6000.0), st.floats(-20.0, 130.0), st.floats(-20.0, 130.0))
def test_faster_is_never_less_and_hotter_never_more(one: float, other: float, warm: float, cool: float) -> None:
    """Law: of every alternator whose sheet says so."""
    slow, fast = sorted((one, other))
    cold, hot = sorted((warm, cool))

    assert most_a(SMALL, engine_rad_s=fast * RPM, temperature_degc=hot) >= most_a(
        SMALL, engine_rad_s=slow * RPM, temperature_degc=hot
    )
    assert most_a(SMALL, engine_rad_s=slow * RPM, temperature_degc=hot) <= most_a(
        SMALL, engine_rad_s=slow * RPM, temperature_degc=cold
    )
