"""Effective intensity: printed cases, then laws."""

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.wave import Wave
from coachwright.light.effective import (
    LAWS,
    blondel_rey,
    blondel_rey_repeating,
    effective_level,
    form_factor,
    modified_allard,
)
from coachwright.light.pulse import Flash, Stretch, mean_cd, peak_cd, samples, steps

DURATIONS = st.floats(1e-3, 0.6)
INTENSITIES = st.one_of(st.just(0.0), st.floats(1.0, 1e5))
PULSES = st.lists(st.tuples(DURATIONS, INTENSITIES), min_size=1, max_size=9)
SLOPES = st.lists(st.tuples(DURATIONS, INTENSITIES, INTENSITIES), min_size=1, max_size=6)
FLASHES = st.one_of(PULSES.map(steps), SLOPES.map(lambda rows: tuple(Stretch(*row) for row in rows)))
TWO_PULSES = [(0.05, 1000.0), (0.05, 0.0), (0.05, 1000.0)]


def triangle() -> Flash:
    """Peak 1000 cd in the middle of 0.2 s."""
    return samples([0.0, 1000.0, 0.0], step_s=0.1)


def half_sine() -> Flash:
    """Peak 1000 cd in the middle of 0.1 s."""
    return samples([1000.0 * math.sin(math.pi * step / 2000) for step in range(2001)], step_s=0.1 / 2000)


def best_of_all_windows(pulses: Sequence[tuple[float, float]], visual_time_s: float = 0.2) -> float:
    """The definition itself, every pair of edges tried: the plain way to find it."""
    best = 0.0
    for first in range(len(pulses)):
        for last in range(first, len(pulses)):
            window = pulses[first : last + 1]
            energy = sum(duration * intensity for duration, intensity in window)
            best = max(best, energy / (visual_time_s + sum(duration for duration, _ in window)))
    return best


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(
    ("on_s", "peak", "expected_cd"),
    [(0.05, 1000, 200.0), (0.1, 1000, 1000 / 3), (0.2, 1000, 500.0), (0.8, 1000, 800.0), (0.05, 2000, 400.0)],
)
def test_square_flash_agrees_with_ies_11_1_10_1(on_s: float, peak: float, expected_cd: float) -> None:
    """I_e = I t / (t + 0.2) (IES definition 11.1.10.1)."""
    assert blondel_rey(steps([(on_s, peak)])).intensity_cd == pytest.approx(expected_cd, rel=1e-12)


def test_xenon_flash_agrees_with_ies_11_1_10_1() -> None:
    """10,000 cd for 0.1 ms: 1 cd s / 0.2001 s = 4.998 cd (IES definition 11.1.10.1)."""
    assert blondel_rey(steps([(1e-4, 10_000.0)])).intensity_cd == pytest.approx(4.998, abs=5e-4)


def test_two_pulses_are_bracketed_together_as_ies_11_1_10_1_asks_for_the_largest() -> None:
    """Two of 50 ms with 50 ms between: 100 cd s / 0.35 s = 285.71 cd, more than the 200 cd of one alone."""
    bracket = blondel_rey(steps(TWO_PULSES))

    assert bracket.intensity_cd == pytest.approx(100 / 0.35, rel=1e-12)
    assert (bracket.start_s, bracket.end_s) == pytest.approx((0.0, 0.15))


def test_three_pulses_are_bracketed_together() -> None:
    """Three of 5000 cd, 50 ms, 50 ms apart: 750 cd s / 0.45 s = 1666.67 cd (IES definition 11.1.10.1)."""
    flash = steps([(0.05, 5000.0), (0.05, 0.0)] * 3)

    assert blondel_rey(flash).intensity_cd == pytest.approx(750 / 0.45, rel=1e-12)


def test_two_pulses_far_apart_are_bracketed_each_alone() -> None:
    """With 0.3 s between, 100 cd s / 0.6 s is less than the 200 cd of one: the largest is taken (IES 11.1.10.1)."""
    bracket = blondel_rey(steps([(0.05, 1000.0), (0.3, 0.0), (0.05, 1000.0)]))

    assert bracket.intensity_cd == pytest.approx(200.0, rel=1e-12)
    assert bracket.end_s - bracket.start_s == pytest.approx(0.05)


def test_triangle_agrees_with_the_condition_of_ies_11_1_10_1() -> None:
    """Intensity at both ends is the answer: x = 1000 (1 - x/1000)(1 + x/1000) 0.1 / (0.2 + 0.2 (1 - x/1000)).

    Its root is 1000 (2 - sqrt 3) = 267.95 cd, from 26.8 ms to 173.2 ms (worked by hand).
    """
    bracket = blondel_rey(triangle())

    assert bracket.intensity_cd == pytest.approx(1000 * (2 - math.sqrt(3)), rel=1e-9)
    assert (bracket.start_s, bracket.end_s) == pytest.approx((0.0268, 0.1732), abs=5e-5)


def test_half_sine_agrees_with_the_condition_of_ies_11_1_10_1() -> None:
    """Window of half-width w round the peak with 1000 cos(pi w / 0.1) = 1000 (0.2/pi) sin(pi w / 0.1) / (0.2 + 2 w)."""
    low, high = 0.0, 0.05
    for _ in range(100):
        middle = (low + high) / 2
        turn = math.pi * middle / 0.1
        level, value = math.cos(turn), 0.2 / math.pi * math.sin(turn) / (0.2 + 2 * middle)
        low, high = (middle, high) if level > value else (low, middle)

    expected_cd = 1000 * math.cos(math.pi * low / 0.1)

    assert expected_cd == pytest.approx(217.23, abs=5e-3)
    assert blondel_rey(half_sine()).intensity_cd == pytest.approx(expected_cd, rel=1e-6)


@pytest.mark.parametrize("flash", [triangle(), half_sine()])
def test_instantaneous_equals_effective_at_both_ends_as_14_cfr_25_1401_e_says(flash: Flash) -> None:
    """The maximum is found where effective intensity equals the instantaneous one at t2 and t1 (14 CFR 25.1401(e))."""
    bracket = blondel_rey(flash)

    def intensity_at(at_s: float) -> float:
        for stretch in flash:
            if at_s <= stretch.duration_s:
                return stretch.start_cd + (stretch.end_cd - stretch.start_cd) * at_s / stretch.duration_s
            at_s -= stretch.duration_s
        return 0.0

    assert intensity_at(bracket.start_s) == pytest.approx(bracket.intensity_cd, rel=1e-6)
    assert intensity_at(bracket.end_s) == pytest.approx(bracket.intensity_cd, rel=1e-6)


@pytest.mark.parametrize(("constant_s", "expected_cd"), [(0.1, 500.0), (0.2, 1000 / 3), (0.3, 250.0)])
def test_other_constants_agree_with_the_iala_dictionary(constant_s: float, expected_cd: float) -> None:
    """The constant has been taken from 0.1 to 0.3 s (IALA dictionary, Blondel-Rey law); 1000 cd for 0.1 s."""
    flash = steps([(0.1, 1000.0)])

    assert blondel_rey(flash, visual_time_s=constant_s).intensity_cd == pytest.approx(expected_cd, rel=1e-12)


@pytest.mark.parametrize(
    ("flash", "expected_cd"),
    [
        (steps([(0.1, 1000.0)]), 1000 / 3),
        (steps([(0.2, 1000.0)]), 500.0),
        (steps([(0.05, 2000.0)]), 400.0),
        (triangle(), 1000 / (1 + 0.2 / (0.5 * 0.2))),
        (half_sine(), 1000 / (1 + 0.2 / (2 / math.pi * 0.1))),
    ],
)
def test_form_factor_agrees_with_schmidt_clausen(flash: Flash, expected_cd: float) -> None:
    """I_max / (1 + C / (F T)), C = 0.2 s (UN R65 annex 5, from memory); F: square 1, triangle 1/2, half sine 2/pi."""
    assert form_factor(flash).intensity_cd == pytest.approx(expected_cd, rel=1e-6)


def test_modified_allard_agrees_with_its_closed_form_for_two_pulses() -> None:
    """At the end of the second: 1000 (1/5 + 2/3 - 4/7) = 295.24 cd, by hand; q(t) = a/(a+t)^2 (IALA, from memory)."""
    bracket = modified_allard(steps(TWO_PULSES))

    assert bracket.intensity_cd == pytest.approx(1000 * (1 / 5 + 2 / 3 - 4 / 7), rel=1e-9)
    assert bracket.end_s == pytest.approx(0.15)


def test_modified_allard_of_a_triangle_lies_between_the_other_laws_as_nist_found() -> None:
    """For triangles it gives values in between form factor and Blondel-Rey (Y. Ohno, NIST flash calculator, 2002)."""
    assert blondel_rey(triangle()).intensity_cd < modified_allard(triangle()).intensity_cd
    assert modified_allard(triangle()).intensity_cd < form_factor(triangle()).intensity_cd


def test_gap_of_a_repeating_square_flash_decides_what_counts() -> None:
    """Gaps longer than 0.2 s: each flash alone (IES 11.1.10.1). Shorter: the mean, limit of the same formula."""
    slow = blondel_rey_repeating(steps([(0.1, 1000.0), (0.4, 0.0)]))
    fast = blondel_rey_repeating(steps([(0.05, 1000.0), (0.05, 0.0)]))

    assert slow.intensity_cd == pytest.approx(1000 / 3, rel=1e-12)
    assert fast.intensity_cd == pytest.approx(500.0, rel=1e-12)
    assert math.isinf(fast.end_s)


# --------------------------------------------------------------------------------------------------------------- law
@given(PULSES)
def test_it_is_the_largest_over_all_windows(pulses: list[tuple[float, float]]) -> None:
    """Law: the definition, tried the long way over every pair of edges, gives the same."""
    assert blondel_rey(steps(pulses)).intensity_cd == pytest.approx(best_of_all_windows(pulses), rel=1e-9)


@given(FLASHES)
def test_its_window_holds_what_it_says(flash: Flash) -> None:
    """Law: light in the named window over (a + its length) is the answer."""
    bracket = blondel_rey(flash)
    energy, now_s = 0.0, 0.0
    for stretch in flash:
        first = max(bracket.start_s, now_s) - now_s
        last = min(bracket.end_s, now_s + stretch.duration_s) - now_s
        if last > first:
            slope = (stretch.end_cd - stretch.start_cd) / stretch.duration_s
            energy += (stretch.start_cd + slope * (first + last) / 2) * (last - first)
        now_s += stretch.duration_s

    assert energy / (0.2 + bracket.end_s - bracket.start_s) == pytest.approx(bracket.intensity_cd, rel=1e-6, abs=1e-9)


@given(FLASHES, st.sampled_from(sorted(LAWS)))
def test_never_brighter_than_the_peak(flash: Flash, law: str) -> None:
    """Law: an eye that averages can't see more than was sent."""
    assert LAWS[law](flash).intensity_cd <= peak_cd(flash)


@given(FLASHES, st.sampled_from(sorted(LAWS)), st.floats(0.1, 20.0))
def test_twice_the_light_is_twice_as_strong(flash: Flash, law: str, factor: float) -> None:
    """Law: every one of them scales with the light, so one factor per flash serves all directions."""
    scaled = tuple(Stretch(each.duration_s, each.start_cd * factor, each.end_cd * factor) for each in flash)

    assert LAWS[law](scaled).intensity_cd == pytest.approx(factor * LAWS[law](flash).intensity_cd, rel=1e-6, abs=1e-9)


@given(PULSES, st.integers(0, 8), st.floats(0.0, 1e4), st.sampled_from(["blondel-rey", "allard"]))
def test_more_light_is_never_less(pulses: list[tuple[float, float]], which: int, more: float, law: str) -> None:
    """Law: brightening one stretch dims nothing. (Not so for the form factor, which divides by the peak.)"""
    which %= len(pulses)
    brighter = [(t, i + more if at == which else i) for at, (t, i) in enumerate(pulses)]

    assert LAWS[law](steps(brighter)).intensity_cd >= LAWS[law](steps(pulses)).intensity_cd * (1 - 1e-9)


@given(st.floats(1e-3, 2.0), st.floats(0.0, 2.0), st.sampled_from(sorted(LAWS)))
def test_longer_pulse_is_never_less(on_s: float, more_s: float, law: str) -> None:
    """Law: a square flash that lasts longer is seen at least as far."""
    shorter, longer = steps([(on_s, 800.0)]), steps([(on_s + more_s, 800.0)])

    assert LAWS[law](longer).intensity_cd >= LAWS[law](shorter).intensity_cd * (1 - 1e-9)


@given(st.floats(1e-3, 2.0), INTENSITIES, st.floats(0.05, 0.5))
def test_all_laws_agree_on_a_square_flash(on_s: float, peak: float, constant_s: float) -> None:
    """Law: they differ only for other shapes."""
    values = [law(steps([(on_s, peak)]), visual_time_s=constant_s).intensity_cd for law in LAWS.values()]

    assert values == pytest.approx([peak * on_s / (on_s + constant_s)] * 3, rel=1e-6)


@given(FLASHES, st.floats(1e-3, 1.0), st.floats(1e-3, 1.0))
def test_dark_before_and_after_changes_nothing(flash: Flash, before_s: float, after_s: float) -> None:
    """Law: darkness round a flash is no part of it."""
    framed = (Stretch(before_s, 0.0, 0.0), *flash, Stretch(after_s, 0.0, 0.0))

    for law in LAWS.values():
        assert law(framed).intensity_cd == pytest.approx(law(flash).intensity_cd, rel=1e-6, abs=1e-9)


@given(SLOPES)
def test_slopes_are_the_limit_of_fine_stairs(rows: list[tuple[float, float, float]]) -> None:
    """Law: a slope cut into 50 level stretches gives nearly the same."""
    flash = tuple(Stretch(*row) for row in rows)
    stairs = steps(
        [
            (each.duration_s / 50, each.start_cd + (each.end_cd - each.start_cd) * (step + 0.5) / 50)
            for each in flash
            for step in range(50)
        ]
    )

    assert blondel_rey(stairs).intensity_cd == pytest.approx(blondel_rey(flash).intensity_cd, rel=1e-3, abs=1e-9)
    assert form_factor(stairs).intensity_cd == pytest.approx(form_factor(flash).intensity_cd, rel=1e-2, abs=1e-9)


def test_fading_response_of_a_slope_is_the_limit_of_fine_stairs() -> None:
    """Law: the closed form for a slope against 400 level stretches."""
    stairs = steps([(0.2 / 400, 1000 * (1 - abs(step + 0.5 - 200) / 200)) for step in range(400)])

    assert modified_allard(stairs).intensity_cd == pytest.approx(modified_allard(triangle()).intensity_cd, rel=1e-4)


@given(FLASHES, st.integers(0, 8))
def test_a_repeating_light_has_no_first_moment(cycle: Flash, turn: int) -> None:
    """Law: begun elsewhere in its cycle, or its cycle written twice, it is as strong."""
    turn %= len(cycle)
    value = blondel_rey_repeating(cycle).intensity_cd

    assert blondel_rey_repeating(cycle[turn:] + cycle[:turn]).intensity_cd == pytest.approx(value, rel=1e-9)
    assert blondel_rey_repeating(cycle + cycle).intensity_cd == pytest.approx(value, rel=1e-9)


@given(FLASHES)
def test_a_repeating_light_beats_its_mean_and_one_flash(cycle: Flash) -> None:
    """Law: it is at least its mean and at least one of its flashes, and never above the peak."""
    value = blondel_rey_repeating(cycle).intensity_cd

    assert value >= mean_cd(cycle) * (1 - 1e-12)
    assert value >= blondel_rey(cycle).intensity_cd * (1 - 1e-12)
    assert value <= peak_cd(cycle) * (1 + 1e-12)


@given(st.lists(st.tuples(DURATIONS, INTENSITIES), min_size=1, max_size=4))
def test_no_window_over_many_cycles_is_stronger(pulses: list[tuple[float, float]]) -> None:
    """Law: windows of up to nine cycles, tried the long way, never pass the answer for the endless light."""
    assert best_of_all_windows(pulses * 9) <= blondel_rey_repeating(steps(pulses)).intensity_cd * (1 + 1e-9)


@given(st.floats(1e-3, 2.0), st.floats(0.1, 1e4))
def test_a_steady_light_is_worth_what_it_is(period_s: float, intensity_cd: float) -> None:
    """Law: however its cycle is called, a steady light is its own effective intensity."""
    assert blondel_rey_repeating(steps([(period_s, intensity_cd)])).intensity_cd == pytest.approx(intensity_cd)


@given(
    st.lists(st.tuples(st.integers(1, 400), st.sampled_from([0.0, 0.15, 0.5, 1.0])), min_size=1, max_size=8),
    st.integers(-500, 500),
    st.floats(0.0, 1e4),
)
def test_one_factor_serves_every_direction_and_phase(
    rows: list[tuple[int, float]], delay_ms: int, full_cd: float
) -> None:
    """Law: the level of a wave of shares, times full light, is the effective intensity; a delay changes nothing."""
    wave = Wave.of(rows)
    factor = effective_level(wave)
    light = steps([(ms / 1000, share * full_cd) for ms, share in rows])

    assert blondel_rey_repeating(light).intensity_cd == pytest.approx(factor * full_cd, rel=1e-9, abs=1e-9)
    assert effective_level(wave.shift(delay_ms)) == pytest.approx(factor, rel=1e-9)


def test_a_double_flash_of_shares_agrees_with_ies_11_1_10_1() -> None:
    """60 ms, 40 ms dark, 60 ms: 0.12 / (0.2 + 0.16) = a third of full light; steady 40 % is 40 %."""
    assert effective_level(Wave.of([(60, 1.0), (40, 0.0), (60, 1.0), (340, 0.0)])) == pytest.approx(1 / 3)
    assert effective_level(Wave.constant(0.4)) == 0.4


@pytest.mark.parametrize("law", sorted(LAWS))
def test_a_dark_flash_is_seen_nowhere(law: str) -> None:
    """Law: no light, no range; nor is an empty flash an accident."""
    assert LAWS[law](steps([(0.1, 0.0)])).intensity_cd == 0.0
    assert LAWS[law](()).intensity_cd == 0.0


@pytest.mark.parametrize("constant_s", [0.0, -0.1, math.nan, math.inf])
def test_an_eye_without_time_is_refused(constant_s: float) -> None:
    """Law: the constant is a time longer than 0."""
    for law in LAWS.values():
        with pytest.raises(ValueError, match="time constant"):
            law(steps([(0.1, 5.0)]), visual_time_s=constant_s)
