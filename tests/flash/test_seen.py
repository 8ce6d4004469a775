"""Rates somebody sees: printed rules, then laws."""

import math
from bisect import bisect_left

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.flash.seen import (
    FLASHES_IN_A_SECOND,
    flash_onsets_s,
    most_in_a_second,
    pattern_rate,
    seen_rate,
)

STEPS_S = st.lists(st.integers(1, 900).map(lambda ms: ms / 1000), min_size=2, max_size=12)
EVEN_STEPS_S = STEPS_S.filter(lambda steps: len(steps) % 2 == 0)
RATES = st.sampled_from([0.5, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0])


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(("steps_ms", "per_minute"), [((500, 500), 60), ((300, 500), 75), ((240, 240), 125)])
def test_single_flashes_agree_with_the_arithmetic_of_a_minute(steps_ms: tuple[int, ...], per_minute: float) -> None:
    """60 s over the cycle; 75 and 125 a minute are the ends of KKK-A-1822E 3.8.2 for ambulance lights."""
    seen = pattern_rate([step / 1000 for step in steps_ms])

    assert seen.rate_hz * 60 == pytest.approx(per_minute)
    assert seen.on_share == pytest.approx(steps_ms[0] / sum(steps_ms))
    assert seen.regular


def test_train_of_pulses_is_one_flash_as_sae_j595_has_it() -> None:
    """One pulse or a train of pulses is one flash, on-time is the sum of the pulses (SAE J595-2021, public summary)."""
    seen = pattern_rate([0.06, 0.04, 0.06, 0.34])

    assert (seen.flashes_n, seen.pulses_n) == (1, 2)
    assert seen.rate_hz * 60 == pytest.approx(120)
    assert seen.on_share == pytest.approx(0.12 / 0.5)


def test_mixed_rates_are_not_regular_as_fhwa_4_09_64_reads_the_rule() -> None:
    """A beacon flashes at one constant rate; mixed ones fail (FHWA interpretation 4(09)-64)."""
    assert pattern_rate([0.2, 0.3, 0.2, 0.3]).regular
    assert not pattern_rate([0.2, 0.3, 0.2, 0.5]).regular


def test_two_beacons_at_90_overlap_at_180_as_14_cfr_25_1401_c_allows() -> None:
    """Overlaps of several lights may exceed 100 but not 180 cycles a minute (14 CFR 25.1401(c)): two at 90, apart."""
    seen = seen_rate([1.5, 1.5], [0.0, 0.5])

    assert seen.mean_hz * 60 == pytest.approx(180)
    assert seen_rate([1.5, 1.5], [0.25, 0.25]).mean_hz * 60 == pytest.approx(90)


@pytest.mark.parametrize(("rate_hz", "most"), [(1.0, 1), (2.0, 2), (3.0, 3), (3.1, 4), (4.0, 4)])
def test_three_in_any_second_agrees_with_wcag_2_3_1(rate_hz: float, most: int) -> None:
    """No more than three flashes in any one second (W3C success criterion 2.3.1): 3 Hz is within it, 4 Hz not."""
    seen = seen_rate([rate_hz], [0.3])

    assert seen.most_n == most
    assert (seen.most_n <= FLASHES_IN_A_SECOND) == (rate_hz <= 3)


def test_sides_at_two_a_second_are_four_to_the_eye() -> None:
    """Two lamps at 2 Hz half a cycle apart break the three of W3C 2.3.1, together they keep it (by hand)."""
    assert seen_rate([2.0, 2.0], [0.0, 0.5]).most_n == 4
    assert seen_rate([2.0, 2.0], [0.2, 0.2]).most_n == 2


@pytest.mark.parametrize(
    ("light", "flashes"), [([1.0, 0.0], 1), ([1.0, 0.91], 0), ([1.0, 0.89], 1), ([1.0, 0.0] * 2, 2), ([5.0, 5.0], 0)]
)  # fmt: skip
def test_a_change_of_a_tenth_is_a_flash_as_wcag_2_1_defines_it(light: list[float], flashes: int) -> None:
    """A pair of opposing changes of 10 % or more of the brightest (W3C, general flash threshold)."""
    assert len(flash_onsets_s([0.1] * len(light), light)) == flashes


# --------------------------------------------------------------------------------------------------------------- law
@given(EVEN_STEPS_S)
def test_rate_share_and_counts_fit_together(steps_s: list[float]) -> None:
    """Law: flashes a cycle over its length is the rate; each flash has a pulse; lit time is counted whole."""
    seen = pattern_rate(steps_s)

    assert seen.rate_hz * seen.cycle_s == pytest.approx(seen.flashes_n)
    assert 1 <= seen.flashes_n <= seen.pulses_n == len(steps_s) // 2
    assert seen.on_share * seen.cycle_s == pytest.approx(math.fsum(steps_s[::2]))


@given(EVEN_STEPS_S, st.integers(1, 3))
def test_writing_the_cycle_again_changes_no_rate(steps_s: list[float], times: int) -> None:
    """Law: a pattern said twice is the same pattern."""
    once, again = pattern_rate(steps_s), pattern_rate(steps_s * (times + 1))

    assert again.rate_hz == pytest.approx(once.rate_hz)
    assert again.on_share == pytest.approx(once.on_share)
    assert again.regular == once.regular


@given(EVEN_STEPS_S)
def test_cutting_the_cycle_inside_a_pulse_changes_nothing(steps_s: list[float]) -> None:
    """Law: a last lit step runs into the first one."""
    cut = [steps_s[0] / 2, *steps_s[1:], steps_s[0] / 2]
    whole, halves = pattern_rate(steps_s), pattern_rate(cut)

    assert halves.rate_hz == pytest.approx(whole.rate_hz)
    assert halves.on_share == pytest.approx(whole.on_share)
    assert (halves.pulses_n, halves.flashes_n) == (whole.pulses_n, whole.flashes_n)


@given(EVEN_STEPS_S, st.floats(0.001, 1.0), st.floats(0.001, 1.0))
def test_joining_more_never_makes_more_flashes(steps_s: list[float], one_s: float, other_s: float) -> None:
    """Law: the longer a dark may be inside a flash, the fewer flashes there are."""
    fine, coarse = sorted((one_s, other_s))

    assert pattern_rate(steps_s, join_s=coarse).flashes_n <= pattern_rate(steps_s, join_s=fine).flashes_n


@given(st.lists(st.tuples(RATES, st.integers(0, 19).map(lambda part: part / 20)), min_size=1, max_size=5))
def test_flashes_counted_the_long_way_come_to_the_same(lamps: list[tuple[float, float]]) -> None:
    """Law: every onset of 40 s in whole 1/1200 s, a second laid at each of them, gives the busiest second."""
    second = 1200
    onsets = sorted(
        {
            (20 * turn + round(20 * phase)) * 240 // round(4 * rate)
            for rate, phase in lamps
            for turn in range(int(40 * rate))
        }
    )
    busiest = max(bisect_left(onsets, first + second) - at for at, first in enumerate(onsets) if first < 30 * second)
    seen = seen_rate([rate for rate, _ in lamps], [phase for _, phase in lamps], together_s=1e-6)

    assert seen.exact
    assert seen.most_n == busiest
    assert seen.mean_hz == pytest.approx(sum(8 * second <= onset < 28 * second for onset in onsets) / 20)


@given(st.lists(st.tuples(st.floats(0.2, 8.0), st.floats(0.0, 1.0)), min_size=1, max_size=6))
def test_no_lamp_is_lost_and_none_counted_twice(lamps: list[tuple[float, float]]) -> None:
    """Law: the lamps together flash at least as often as any of them, and at most as all one by one."""
    rates, phases = [rate for rate, _ in lamps], [phase for _, phase in lamps]
    seen = seen_rate(rates, phases)

    assert seen.mean_hz <= sum(rates) * (1 + 1e-9)
    assert seen.most_n <= sum(math.ceil(rate - 1e-9) for rate in rates)
    assert seen.most_n >= max(math.ceil(rate - 1e-6) for rate in rates)


@given(
    st.lists(st.tuples(st.integers(1, 300), st.sampled_from([0.0, 0.05, 0.5, 1.0])), min_size=1, max_size=10),
    st.integers(0, 9),
)
def test_flashes_of_a_cycle_dont_depend_on_where_it_is_cut(steps: list[tuple[int, float]], turn: int) -> None:
    """Law: as many flashes, at the same instants, whichever step comes first."""
    turn %= len(steps)
    turned = steps[turn:] + steps[:turn]
    offset_ms, cycle_ms = sum(ms for ms, _ in steps[:turn]), sum(ms for ms, _ in steps)

    def onsets_ms(row: list[tuple[int, float]], shift_ms: int) -> set[int]:
        onsets = flash_onsets_s([ms / 1000 for ms, _ in row], [light for _, light in row])
        return {(round(onset * 1000) + shift_ms) % cycle_ms for onset in onsets}

    assert onsets_ms(turned, offset_ms) == onsets_ms(steps, 0)


@given(st.lists(st.integers(0, 999).map(lambda ms: ms / 1000), max_size=8), st.integers(1, 5))
def test_the_busiest_second_holds_whole_cycles(onsets_s: list[float], cycles_n: int) -> None:
    """Law: in a cycle of a second every flash is in every second; with n cycles to it, n times as many."""
    cycle_s = 1 / cycles_n

    assert most_in_a_second(onsets_s, cycle_s=1.0) == len(onsets_s)
    assert most_in_a_second([onset / cycles_n for onset in onsets_s], cycle_s=cycle_s) == cycles_n * len(onsets_s)


def test_steady_light_has_no_flashes() -> None:
    """Law: one step is a steady lamp; one that is never dark long enough flashes at no rate."""
    steady = pattern_rate([0.4])

    assert (steady.rate_hz, steady.on_share, steady.flashes_n) == (0.0, 1.0, 0)
    assert pattern_rate([0.05, 0.05], join_s=0.1).rate_hz == 0.0
    assert most_in_a_second([], cycle_s=0.5) == 0
    assert flash_onsets_s([], []) == []


def test_lamps_that_drift_are_counted_at_their_worst() -> None:
    """Law: rates without a common cycle meet in every position in time."""
    seen = seen_rate([1.0, math.sqrt(2)], [0.0, 0.0])

    assert not seen.exact
    assert seen.most_n == 1 + 2
    assert seen.mean_hz == pytest.approx(1 + math.sqrt(2))


def test_what_cant_flash_is_refused() -> None:
    """Law: steps last, rates are more than 0, and each lamp has its phase."""
    for steps_s in ([], [0.1, 0.0], [0.1, -0.1], [0.1, math.nan]):
        with pytest.raises(ValueError, match="longer than 0"):
            pattern_rate(steps_s)
    with pytest.raises(ValueError, match="each lamp has one of both"):
        seen_rate([1.0], [])
    with pytest.raises(ValueError, match="more than 0 Hz"):
        seen_rate([0.0], [0.0])
