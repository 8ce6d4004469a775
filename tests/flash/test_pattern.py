"""flash.pattern: when a head is lit within one cycle."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import PatternSpec
from coachwright.build.pattern_text import read_pattern
from coachwright.flash.pattern import Row, cycle_ms, followed_wave, lit_spans, pattern_defaults, pattern_wave
from coachwright.kit.wave import Wave, overlap_share, total

COUNT_WORDS = ("single", "double", "triple", "quad")
RUNS = ("run-left", "run-right", "run-split", "four-corner")


def spec(text: str) -> PatternSpec:
    """A pattern by its text."""
    read = read_pattern(text)
    assert isinstance(read, PatternSpec), read
    return read


def row_waves(word: str, count: int) -> list[Wave]:
    """Waves of a row of heads, leftmost first."""
    return [pattern_wave(spec(word), row=Row(index, count)) for index in range(count)]


# ---- print
@pytest.mark.parametrize(("word", "pulses"), [("single", 1), ("double", 2), ("triple", 3), ("quad", 4)])
def test_a_train_of_pulses_is_one_flash_as_sae_j595_2021_has_it(word: str, pulses: int) -> None:
    """One pulse or a train of pulses counts as one flash (SAE J595-2021, read second hand): 120 a minute is 500 ms."""
    wave = pattern_wave(spec(f"{word} 120 per min"))

    assert wave.period_ms == 500
    assert wave.flashes_n() == pulses


def test_the_followed_wire_keeps_the_band_of_571_108_figure_2() -> None:
    """60 to 120 flashes a minute for variable-load flashers (NHTSA letter GF006498 on 49 CFR 571.108, figure 2)."""
    per_minute = followed_wave().flash_rate_hz() * 60

    assert 60 <= per_minute <= 120


def test_the_followed_wire_is_on_within_571_108_figure_2() -> None:
    """Current on for 30 to 75 % of a cycle (49 CFR 571.108, figure 2; from memory)."""
    assert 0.30 <= followed_wave().on_share() <= 0.75


def test_a_count_word_is_lit_no_longer_than_two_fifths_of_its_cycle() -> None:
    """UN R65 annex 5 lets a lamp be on for 0.4 of a cycle at most (from memory)."""
    assert all(pattern_wave(spec(word)).on_share() <= 0.4 for word in COUNT_WORDS)


# ---- law
@given(st.sampled_from(COUNT_WORDS), st.integers(40, 300))
def test_both_sides_of_a_pattern_never_burn_at_once(word: str, per_minute: int) -> None:
    """Law: the halves of a cycle don't touch."""
    pattern = spec(f"{word} {per_minute} per min")

    assert overlap_share(pattern_wave(pattern, half="first"), pattern_wave(pattern, half="second")) == 0.0


@given(st.sampled_from(COUNT_WORDS), st.integers(40, 300))
def test_both_sides_give_the_same_light(word: str, per_minute: int) -> None:
    """Law: left and right are one pattern, shifted."""
    pattern = spec(f"{word} {per_minute} per min")
    first, second = pattern_wave(pattern, half="first"), pattern_wave(pattern, half="second")

    assert first.mean() == pytest.approx(second.mean(), rel=1e-12)
    assert first.shift(cycle_ms(pattern) // 2) == second


@given(st.integers(4, 16))
def test_a_run_to_the_left_is_the_mirror_image_of_a_run_to_the_right(count: int) -> None:
    """Law: mirror the vehicle and left and right swap."""
    assert row_waves("run-left", count) == row_waves("run-right", count)[::-1]


@given(st.sampled_from(("run-split", "four-corner")), st.integers(4, 16))
def test_a_split_run_is_its_own_mirror_image(word: str, count: int) -> None:
    """Law: both halves of the row do the same."""
    waves = row_waves(word, count)

    assert waves == waves[::-1]


@given(st.sampled_from(("run-left", "run-right", "run-split")), st.integers(4, 16))
def test_a_run_has_a_moment_with_the_whole_row_and_one_with_none(word: str, count: int) -> None:
    """Law: an arrow builds up, stands whole, and goes dark."""
    row = total(row_waves(word, count))

    assert row.peak() == count
    assert row.trough() == 0


@given(st.lists(st.tuples(st.integers(1, 300), st.integers(1, 300)), min_size=1, max_size=6), st.integers(1, 4))
def test_a_text_pattern_is_lit_as_long_as_it_says(steps: list[tuple[int, int]], times: int) -> None:
    """Law: what is written is lit, no more and no less."""
    lit_ms = times * sum(lit for lit, _ in steps)
    whole_ms = times * sum(lit + dark for lit, dark in steps)
    wave = pattern_wave(PatternSpec("", None, tuple(steps), times, 0, ""))

    assert wave.on_share() == pytest.approx(lit_ms / whole_ms, rel=1e-12)


# ---- case
def test_the_text_of_the_design_reads_as_it_sounds() -> None:
    """Two flashes of 60 ms, 40 ms apart, then dark to the half second."""
    wave = pattern_wave(spec("lit 60 ms, dark 40 ms, times 2, every 500 ms"))

    assert wave == Wave.of([(60, 1.0), (40, 0.0), (60, 1.0), (340, 0.0)])


def test_a_run_to_the_left_begins_on_the_right() -> None:
    """The light moves the way the traffic should."""
    waves = row_waves("run-left", 6)
    begins = [wave.lit_spans()[0][0] for wave in waves]

    assert begins == sorted(begins, reverse=True)


def test_the_caution_picture_leaves_the_middle_dark() -> None:
    """four-corner burns two heads at each end."""
    lit = [wave.peak() > 0 for wave in row_waves("four-corner", 8)]

    assert lit == [True, True, False, False, False, False, True, True]


def test_a_run_without_its_row_is_refused() -> None:
    """A head alone has no place in a row."""
    with pytest.raises(ValueError, match="row of heads"):
        pattern_wave(spec("run-left"))


def test_spans_past_the_end_of_a_cycle_come_round() -> None:
    """A flash that begins late goes on at the beginning."""
    assert lit_spans(100, ((80, 120),)) == Wave(100, (0, 20, 80), (1.0, 0.0, 1.0))


def test_every_word_of_the_language_is_timed() -> None:
    """Count words and runs of the file door are those of patterns.yaml."""
    defaults = pattern_defaults()

    assert tuple(word for word, _ in defaults.pulses) == COUNT_WORDS
    assert defaults.runs == RUNS
