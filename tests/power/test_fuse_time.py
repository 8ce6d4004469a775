"""When a fuse opens, what it lets through, and what it bears: its sheet, then laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.wave import Wave
from coachwright.parts.store import load_catalogue
from coachwright.parts.wiring import FusePart
from coachwright.power.fuse_time import (
    ADIABATIC_S,
    holds_s,
    most_let_through_a2_s,
    opens_s,
    share_at,
    stands,
    stands_pulse,
)


def fuse(name: str = "fuse-blade") -> FusePart:
    """A fuse of the catalogue."""
    found = load_catalogue().get(name)
    assert isinstance(found, FusePart)
    return found


BLADE = fuse()
SHARES = st.floats(1.001, 60.0)


@pytest.mark.parametrize(
    ("share", "least_s", "most_s"),
    [(1.1, 360_000.0, math.inf), (1.35, 0.75, 600.0), (1.6, 0.25, 50.0), (2.0, 0.15, 5.0), (3.5, 0.04, 0.5)],
)
def test_points_of_the_sheet_come_back(share: float, least_s: float, most_s: float) -> None:
    """Print, from memory: type C of ISO 8820-3 as the part's sheet has it (110 % 100 h ... 350 % 0.04 to 0.5 s)."""
    assert holds_s(BLADE.curve, share) == pytest.approx(least_s)
    assert opens_s(BLADE.curve, share) == pytest.approx(most_s)


def test_up_to_its_rating_it_holds_and_nobody_promises_it_opens() -> None:
    """Case: 100 % for ever; between 100 and 135 % the sheet promises no opening."""
    assert holds_s(BLADE.curve, 1.0) == math.inf
    assert opens_s(BLADE.curve, 1.2) == math.inf


@given(SHARES, SHARES)
def test_more_current_never_takes_longer(one: float, other: float) -> None:
    """Law: both times fall as the current rises, and it never opens for sure before it may."""
    low, high = sorted((one, other))

    assert holds_s(BLADE.curve, high) <= holds_s(BLADE.curve, low) * (1 + 1e-12)
    assert opens_s(BLADE.curve, high) <= opens_s(BLADE.curve, low) * (1 + 1e-12)
    assert holds_s(BLADE.curve, low) <= opens_s(BLADE.curve, low) * (1 + 1e-12)


@given(st.sampled_from(BLADE.ratings), st.floats(1.0, 2000.0), st.lists(st.floats(0.0, 1.0), max_size=30))
def test_nothing_quick_gets_through_beyond_the_most(rating_a: float, short_a: float, shares: list[float]) -> None:
    """Law: at no current up to the short is I^2 t above what is told, as far as it opens within the time of a short."""
    told = most_let_through_a2_s(BLADE.curve, rating_a=rating_a, short_a=short_a)

    for part in shares:
        current_a = part * short_a
        time_s = opens_s(BLADE.curve, current_a / rating_a) if current_a > rating_a else math.inf
        if time_s <= ADIABATIC_S:
            assert current_a**2 * time_s <= told * (1 + 1e-9)


def test_let_through_by_hand() -> None:
    """By hand, 10 A: at 200 % within 5 s, 20^2 x 5 = 2,000; at 350 % 35^2 x 0.5 = 612; at 600 % 60^2 x 0.1 = 360."""
    assert most_let_through_a2_s(BLADE.curve, rating_a=10.0, short_a=1000.0) == pytest.approx(2000.0)
    assert most_let_through_a2_s(BLADE.curve, rating_a=10.0, short_a=15.0) == 0.0


@given(st.floats(-60.0, 130.0), st.floats(-60.0, 130.0))
def test_hotter_air_never_lets_it_carry_more(one: float, other: float) -> None:
    """Law: re-rating falls with the air, passes through the sheet's points and never below 0."""
    cool, hot = sorted((one, other))

    assert 0 <= share_at(BLADE.rerating, hot) <= share_at(BLADE.rerating, cool)
    assert all(share_at(BLADE.rerating, each.temperature) == pytest.approx(each.share) for each in BLADE.rerating)


@pytest.mark.parametrize(
    ("wave", "holds"),
    [
        (Wave.constant(10.0), True),
        (Wave.constant(10.5), False),
        (Wave.of([(100, 18.0), (400, 0.0)]), True),  # rms 8.05 A; 180 % holds 0.19 s at least
        (Wave.of([(300, 18.0), (1200, 0.0)]), False),  # the same heat, but 0.3 s in one go
        (Wave.of([(500, 13.0), (500, 0.0)]), True),  # 130 % holds far longer than half a second
        (Wave.of([(500, 15.0), (500, 0.0)]), False),  # rms 10.6 A
    ],
)
def test_bursts_are_borne_as_worked_by_hand(wave: Wave, holds: bool) -> None:
    """By hand from the sheet: 10 A fuse; between 160 % (0.25 s) and 200 % (0.15 s) on logarithmic paper."""
    assert stands(BLADE.curve, carries_a=10.0, wave=wave) is holds


@given(
    st.floats(0.1, 40.0), st.floats(0.1, 40.0), st.lists(st.tuples(st.integers(1, 900), st.floats(0, 60)), min_size=1)
)
def test_a_larger_fuse_bears_what_a_smaller_one_does(one: float, other: float, steps: list[tuple[int, float]]) -> None:
    """Law: what a fuse bears, a larger one bears too."""
    small, large = sorted((one, other))
    wave = Wave.of(steps)

    if stands(BLADE.curve, carries_a=small, wave=wave):
        assert stands(BLADE.curve, carries_a=large, wave=wave)


@given(st.floats(1.0, 500.0), st.floats(1e-4, 1.0), st.floats(1e-4, 1.0))
def test_a_shorter_surge_is_never_worse(pulse_a: float, one: float, other: float) -> None:
    """Law: of two surges of one height the shorter is borne if the longer is."""
    short_s, long_s = sorted((one, other))

    if stands_pulse(BLADE.curve, rating_a=10.0, pulse_a=pulse_a, time_s=long_s):
        assert stands_pulse(BLADE.curve, rating_a=10.0, pulse_a=pulse_a, time_s=short_s)


def test_a_surge_by_hand() -> None:
    """By hand: at 350 % the 10 A fuse holds 0.04 s, so 49 A^2 s melt it; 22 % of that are 10.8: 35 A for 8.8 ms."""
    assert stands_pulse(BLADE.curve, rating_a=10.0, pulse_a=35.0, time_s=0.0087)
    assert not stands_pulse(BLADE.curve, rating_a=10.0, pulse_a=35.0, time_s=0.0089)
