"""Periodic step signals, against the same signal sampled millisecond by millisecond."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from coachwright.kit.wave import (
    MOST_PERIOD_MS,
    Wave,
    WaveTooLong,
    common_period_ms,
    overlap_ms,
    overlap_share,
    total,
)

LEVELS = st.sampled_from([0.0, 0.0, 0.25, 1.0, 2.0, -1.0])
DOUBLE = Wave.of([(60, 1.0), (40, 0.0), (60, 1.0), (340, 0.0)])


@st.composite
def waves(draw: st.DrawFn, levels: st.SearchStrategy[float] = LEVELS) -> Wave:
    """Signals of up to eight steps, in periods that share factors and in some that don't."""
    period_ms = draw(st.sampled_from([0, 1, 2, 6, 10, 12, 20, 35, 60]))
    edges = sorted(draw(st.sets(st.integers(0, max(period_ms - 1, 0)), min_size=1, max_size=8))) if period_ms else [0]
    values = draw(st.lists(levels, min_size=len(edges), max_size=len(edges)))
    return Wave(period_ms, tuple(edges), tuple(values))


def sampled(wave: Wave, length_ms: int, start_ms: int = 0) -> NDArray[np.float64]:
    """One value for every millisecond: the slow way that can't go wrong."""
    return np.array([wave.value_at(time_ms) for time_ms in range(start_ms, start_ms + length_ms)])


def test_a_double_flash_adds_up() -> None:
    """Case: two pulses of 60 ms in 500 ms: lit 24 % of the time, 240 flashes a minute, dark for 340 ms at most."""
    assert DOUBLE.period_ms == 500
    assert DOUBLE.mean() == pytest.approx(0.24, rel=1e-15)
    assert DOUBLE.on_share() == pytest.approx(0.24, rel=1e-15)
    assert DOUBLE.rms() == pytest.approx(math.sqrt(0.24), rel=1e-15)
    assert DOUBLE.flash_rate_hz() == 4.0
    assert DOUBLE.longest_dark_ms() == 340.0
    assert DOUBLE.lit_spans() == ((0, 60), (100, 160))


@pytest.mark.parametrize("duty", [0.25, 0.5, 0.75])
def test_a_square_wave_has_its_textbook_rms(duty: float) -> None:
    """Pulse train of peak A and duty D: mean A D, rms A sqrt(D) (memory: any text on power electronics)."""
    wave = Wave(100, (0, round(100 * duty)), (6.0, 0.0))

    assert wave.mean() == pytest.approx(6.0 * duty)
    assert wave.rms() == pytest.approx(6.0 * math.sqrt(duty))


def test_two_rates_beat_together_after_their_least_common_multiple() -> None:
    """Case: 400 ms and 500 ms meet again every 2000 ms (lcm); half of each lit, a quarter of the time both are."""
    fast, slow = Wave(400, (0, 200), (1.0, 0.0)), Wave(500, (0, 250), (1.0, 0.0))

    assert common_period_ms(fast, slow) == 2000
    assert fast.add(slow).period_ms == 2000
    assert overlap_ms(fast, slow) == pytest.approx(np.sum((sampled(fast, 2000) > 0) & (sampled(slow, 2000) > 0)))


def test_alternating_halves_never_overlap_and_leave_no_dark() -> None:
    """Case: left in the first half of the cycle, right in the second."""
    left = Wave(500, (0, 250), (1.0, 0.0))
    right = left.shift(250)

    assert overlap_ms(left, right) == 0.0
    assert left.add(right) == Wave.constant(1.0)
    assert left.maximum(right).longest_dark_ms() == 0.0


def test_flashes_are_counted_in_the_worst_second() -> None:
    """Case: WCAG 2.3.1 counts flashes in any one second; three quick ones then a pause are 3, not the mean of 1.5."""
    burst = Wave.of([(50, 1.0), (50, 0.0), (50, 1.0), (50, 0.0), (50, 1.0), (1750, 0.0)])

    assert burst.flash_rate_hz() == 1.5
    assert burst.most_flashes_n(1000) == 3
    assert burst.most_flashes_n(200) == 2
    assert burst.most_flashes_n(201) == 3
    assert burst.most_flashes_n(4000) == 6
    assert Wave.constant(1.0).most_flashes_n(1000) == 0


def test_never_lit_and_always_lit_have_no_flash() -> None:
    """Case: the ends of the scale."""
    assert Wave.constant(0.0).longest_dark_ms() == math.inf
    assert Wave.constant(1.0).longest_dark_ms() == 0.0
    assert Wave.constant(1.0).lit_spans() == ()
    assert DOUBLE.longest_dark_ms(above=1.0) == math.inf
    assert overlap_ms(Wave.constant(1.0), Wave.constant(2.0)) == math.inf
    assert overlap_ms(Wave.constant(1.0), Wave.constant(0.0)) == 0.0


def test_a_level_counts_as_lit_above_the_threshold_only() -> None:
    """Case: a lamp that never quite goes out."""
    glowing = Wave(100, (0, 30), (1.0, 0.1))

    assert glowing.flashes_n() == 0
    assert glowing.flashes_n(above=0.1) == 1
    assert glowing.lit_spans(above=0.1) == ((0, 30),)
    assert (glowing.peak(), glowing.trough()) == (1.0, 0.1)


def test_steps_of_a_window_begin_and_end_with_it() -> None:
    """Case: from the middle of a pulse to the middle of a dark stretch two periods on."""
    edges, values = DOUBLE.steps(-10, 130)

    assert edges.tolist() == [-10, 0, 60, 100, 130]
    assert values.tolist() == [0.0, 1.0, 0.0, 1.0]
    with pytest.raises(ValueError, match="no time passes"):
        DOUBLE.steps(5, 5)
    with pytest.raises(WaveTooLong, match="holds more than"):
        DOUBLE.steps(0, 10**12)


@pytest.mark.parametrize(
    ("period_ms", "edges", "values", "said"),
    [
        (10, (0, 3), (1.0,), "one value for each edge"),
        (10, (), (), "one value for each edge"),
        (10, (3, 3), (1.0, 0.0), "ascend"),
        (10, (5, 3), (1.0, 0.0), "ascend"),
        (10, (0, 10), (1.0, 0.0), "within its period"),
        (10, (-1, 3), (1.0, 0.0), "within its period"),
        (0, (0, 1), (1.0, 0.0), "within its period"),
        (-5, (0,), (1.0,), "within its period"),
        (10, (0, 3), (math.nan, 0.0), "finite"),
    ],
)
def test_what_is_no_wave_is_refused(
    period_ms: int, edges: tuple[int, ...], values: tuple[float, ...], said: str
) -> None:
    """Case: each way in which a signal can be said wrong."""
    with pytest.raises(ValueError, match=said):
        Wave(period_ms, edges, values)


def test_signals_that_meet_too_late_are_refused() -> None:
    """Case: 997 ms and 1009 ms (both prime) meet after 1006 s; a single period may not be that long either."""
    with pytest.raises(WaveTooLong, match=r"1,006\.0 s"):
        Wave(997, (0, 5), (1.0, 0.0)).add(Wave(1009, (0, 5), (1.0, 0.0)))
    with pytest.raises(WaveTooLong, match=r"longest worked out"):
        Wave(MOST_PERIOD_MS + 1, (0, 5), (1.0, 0.0))
    with pytest.raises(WaveTooLong, match=r"takes 300,002 steps"):
        Wave(2, (0, 1), (1.0, 0.0)).add(Wave(300_000, (0, 1), (1.0, 0.0)))


@given(waves())
def test_the_shortest_form_says_the_same(wave: Wave) -> None:
    """Law: repeated twice and cut up needlessly, a signal is the same object again; no neighbours are equal."""
    period_ms = wave.period_ms or 4
    edges = sorted({*wave.edges, period_ms // 2, *(edge + period_ms for edge in wave.edges)})
    long = Wave(2 * period_ms, tuple(edges), tuple(wave.value_at(edge) for edge in edges))

    assert long == wave
    assert hash(long) == hash(wave)
    assert all(value != wave.values[place - 1] for place, value in enumerate(wave.values)) or wave.is_constant


@given(waves(), waves())
def test_equal_means_equal_at_every_millisecond(one: Wave, other: Wave) -> None:
    """Law: two waves are equal exactly when their samples are."""
    length_ms = common_period_ms(one, other) or 1

    assert (one == other) == bool(np.array_equal(sampled(one, length_ms), sampled(other, length_ms)))


@given(waves(), st.integers(-1000, 1000), st.integers(-1000, 1000))
def test_shifting_moves_and_keeps_everything(wave: Wave, delay_ms: int, more_ms: int) -> None:
    """Law: a later signal has the same mean, rms and dark time; shifts add; a whole period is no shift."""
    later = wave.shift(delay_ms)

    assert later.mean() == wave.mean()
    assert later.rms() == wave.rms()
    assert later.longest_dark_ms() == wave.longest_dark_ms()
    assert later.value_at(17 + delay_ms) == wave.value_at(17)
    assert later.shift(more_ms) == wave.shift(delay_ms + more_ms)
    assert wave.shift(wave.period_ms) == wave


@given(waves(), waves(), waves())
def test_sums_are_sums_at_every_millisecond(one: Wave, other: Wave, third: Wave) -> None:
    """Law: adding waves adds samples and means; the highest is the highest."""
    length_ms = common_period_ms(one, other, third) or 1
    samples = [sampled(wave, length_ms) for wave in (one, other, third)]
    added = one.add(other, third)

    np.testing.assert_array_equal(sampled(added, length_ms), sum(samples))
    np.testing.assert_array_equal(sampled(one.maximum(other, third), length_ms), np.max(samples, axis=0))
    assert added.mean() == pytest.approx(one.mean() + other.mean() + third.mean(), abs=1e-12)
    assert total([one, other, third]) == added
    assert added.peak() <= one.peak() + other.peak() + third.peak()


@given(waves(), st.sampled_from([0.0, 0.5, 2.0, -1.0]))
def test_scaling_scales(wave: Wave, factor: float) -> None:
    """Law: levels, mean and (with the sign lost) rms follow the factor."""
    scaled = wave.scale(factor)

    assert scaled.mean() == pytest.approx(factor * wave.mean(), abs=1e-15)
    assert scaled.rms() == pytest.approx(abs(factor) * wave.rms(), abs=1e-15)
    assert scaled.value_at(13) == factor * wave.value_at(13)


@given(waves(), st.sampled_from([0.0, 0.25, 1.0]))
def test_numbers_agree_with_samples(wave: Wave, above: float) -> None:
    """Law: every number is what counting milliseconds gives, over two periods so that nothing hides at the join."""
    length_ms = 2 * (wave.period_ms or 1)
    samples = sampled(wave, length_ms)
    lit = samples > above

    assert wave.mean() == pytest.approx(samples.mean(), abs=1e-12)
    assert wave.rms() == pytest.approx(math.sqrt((samples**2).mean()), abs=1e-12)
    assert wave.rms() >= abs(wave.mean()) - 1e-12
    assert wave.on_share(above=above) == pytest.approx(lit.mean(), abs=1e-12)
    assert (wave.peak(), wave.trough()) == (samples.max(), samples.min())
    begins = lit & ~np.roll(lit, 1)
    assert 2 * wave.flashes_n(above=above) == begins.sum()
    if not lit.all() and lit.any():
        runs = "".join("x" if on else "." for on in [*lit, *lit]).split("x")
        assert wave.longest_dark_ms(above=above) == max(map(len, runs))


@given(waves(), st.sampled_from([0.0, 1.0]), st.integers(1, 200))
def test_the_worst_window_is_found(wave: Wave, above: float, window_ms: int) -> None:
    """Law: laid at every millisecond of a period, the fullest window holds as many beginnings as were said."""
    period_ms = wave.period_ms or 1
    lit = sampled(wave, 4 * period_ms + window_ms, -1) > above
    begins = lit[1:] & ~lit[:-1]
    counted = [int(begins[start : start + window_ms].sum()) for start in range(period_ms)]

    assert wave.most_flashes_n(window_ms, above=above) == max(counted)


@given(waves(), st.sampled_from([0.0, 1.0]))
def test_lit_spans_are_where_it_is_lit(wave: Wave, above: float) -> None:
    """Law: inside a span it is lit, just before and at its end it is dark; together they are the lit share."""
    spans = wave.lit_spans(above=above)

    for start, end in spans:
        assert all(wave.value_at(time_ms) > above for time_ms in range(start, end))
        assert wave.value_at(start - 1) <= above
        assert wave.value_at(end) <= above
    if spans:
        assert sum(end - start for start, end in spans) == pytest.approx(wave.on_share(above=above) * wave.period_ms)


@given(waves(), st.integers(-300, 300), st.integers(1, 300))
def test_steps_are_the_signal(wave: Wave, start_ms: int, length_ms: int) -> None:
    """Law: laid out again, the steps of any window are its samples; no two neighbours are equal."""
    edges, values = wave.steps(start_ms, start_ms + length_ms)

    np.testing.assert_array_equal(np.repeat(values, np.diff(edges)), sampled(wave, length_ms, start_ms))
    assert (np.diff(values) != 0).all()
    assert (edges[0], edges[-1]) == (start_ms, start_ms + length_ms)


@given(waves(), waves(), st.sampled_from([0.0, 1.0]))
def test_overlap_is_symmetric_and_bounded(one: Wave, other: Wave, above: float) -> None:
    """Law: both are lit no longer than either, at least as long as they must be, whoever is asked first."""
    share = overlap_share(one, other, above=above)
    lit = one.on_share(above=above), other.on_share(above=above)

    assert share == overlap_share(other, one, above=above)
    assert max(0.0, sum(lit) - 1) - 1e-12 <= share <= min(lit) + 1e-12
    assert overlap_share(one, one, above=above) == pytest.approx(lit[0])
