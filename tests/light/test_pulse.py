"""Flashes as stretches of light: energy, mean, optical power."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.pulse import (
    Stretch,
    duration_s,
    energy_cd_s,
    lit_span_s,
    mean_cd,
    optical_power_cd_s_per_min,
    peak_cd,
    samples,
    steps,
)

PULSES = st.lists(
    st.tuples(st.floats(1e-4, 1.0), st.one_of(st.just(0.0), st.floats(1e-3, 1e5))), min_size=1, max_size=8
)


def test_optical_power_is_light_per_flash_times_flashes_a_minute_as_sae_j2498_has_it() -> None:
    """Integral of intensity over 60 s (SAE J2498, public summary): 75 flashes of 1000 cd, 0.1 s: 7500 cd s/min."""
    assert optical_power_cd_s_per_min(steps([(0.1, 1000.0)]), flashes_per_minute=75) == pytest.approx(7500.0)


def test_a_million_cd_s_per_min_on_19_points_is_a_mean_of_877_cd() -> None:
    """1,000,000 / 19 points / 60 s = 877 cd, by hand: optical power is 60 times the mean intensity."""
    every_s = 0.5
    flash = steps([(every_s, 1_000_000 / 19 / 60)])

    power = optical_power_cd_s_per_min(flash, flashes_per_minute=60 / every_s)

    assert power == pytest.approx(52_632, abs=1)
    assert power / 60 == pytest.approx(877, abs=0.5)


def test_a_sine_half_wave_holds_two_over_pi_of_its_box() -> None:
    """Integral of a half sine is 2/pi of peak times length (calculus)."""
    wave = samples([1000.0 * math.sin(math.pi * step / 2000) for step in range(2001)], step_s=0.1 / 2000)

    assert energy_cd_s(wave) == pytest.approx(1000.0 * 0.1 * 2 / math.pi, rel=1e-6)
    assert duration_s(wave) == pytest.approx(0.1)


@given(PULSES)
def test_the_mean_lies_between_nothing_and_the_peak(pulses: list[tuple[float, float]]) -> None:
    """Law: a mean is within what it is the mean of."""
    flash = steps(pulses)

    assert 0.0 <= mean_cd(flash) <= peak_cd(flash) * (1 + 1e-12)
    assert energy_cd_s(flash) == pytest.approx(mean_cd(flash) * duration_s(flash))


@given(PULSES)
def test_all_light_is_given_within_the_lit_span(pulses: list[tuple[float, float]]) -> None:
    """Law: outside the lit span nothing is lit, and the span lies within the flash."""
    flash = steps(pulses)
    first_s, last_s = lit_span_s(flash)

    assert 0.0 <= first_s <= last_s <= duration_s(flash) * (1 + 1e-12)
    assert (last_s > first_s) == (peak_cd(flash) > 0.0)


def test_overlapping_flashes_are_refused() -> None:
    """Law: a minute holds no more than 60 s of light."""
    with pytest.raises(ValueError, match="longer than a minute"):
        optical_power_cd_s_per_min(steps([(0.5, 100.0)]), flashes_per_minute=121)


@pytest.mark.parametrize("stretch", [(0.0, 1.0, 1.0), (-1.0, 1.0, 1.0), (math.nan, 1.0, 1.0), (1.0, -1.0, 0.0)])
def test_light_that_cant_be_is_refused(stretch: tuple[float, float, float]) -> None:
    """Law: no time, no light less than none."""
    with pytest.raises(ValueError, match=r"0 s|0 cd"):
        Stretch(*stretch)


def test_one_reading_is_no_flash() -> None:
    """Law: between one reading and nothing there is no line to draw."""
    with pytest.raises(ValueError, match="two readings"):
        samples([1.0], step_s=0.1)
