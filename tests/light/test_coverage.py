"""Light of many heads over time: printed flashes, then laws against waves added one by one."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coachwright.kit.wave import Wave, total
from coachwright.light.coverage import (
    MOST_TOGETHER_N,
    Gap,
    brightest_cd,
    effective_cd,
    gathered,
    mean_cd,
    merged,
    optical_power,
    widest_gap,
)
from coachwright.light.effective import effective_level

SHARES = st.sampled_from([0.0, 0.3, 0.4, 1.0])
WAVES = st.one_of(
    st.builds(Wave.constant, SHARES),
    st.lists(st.tuples(st.sampled_from([20, 50, 60, 130, 200]), SHARES), min_size=2, max_size=6).map(Wave.of),
)
CANDELA = st.sampled_from([0.0, 1.0, 80.0, 400.0, 2500.0])
HEADS = st.lists(st.tuples(WAVES, CANDELA), min_size=1, max_size=6)


def summed(heads: list[tuple[Wave, float]]) -> Wave:
    """The light of heads on one clock toward one direction, by the kit's own waves."""
    return total(wave.scale(candela) for wave, candela in heads)


def fits(heads: list[tuple[Wave, float]]) -> bool:
    """Whether their common period is one that is taken together."""
    moving = [wave for wave, _ in heads if wave.period_ms]
    period = math.lcm(*(wave.period_ms for wave in moving)) if moving else 0
    return sum(len(wave.edges) * (period // wave.period_ms) for wave in moving) <= MOST_TOGETHER_N


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(("on_ms", "expected_cd"), [(50, 200.0), (200, 500.0), (800, 800.0)])
def test_two_heads_with_square_flashes_agree_with_ies_11_1_10_1(on_ms: int, expected_cd: float) -> None:
    """I_e = I t / (0.2 s + t) for 1000 cd together (IES definition 11.1.10.1), apart long enough to be two flashes."""
    wave = Wave.of([(on_ms, 1.0), (4000, 0.0)])
    together = merged([wave, wave], ["controller", "controller"])

    assert effective_cd(together, gathered(together, np.array([[600.0], [400.0]]))) == pytest.approx([expected_cd])


def test_optical_power_agrees_with_j2498() -> None:
    """50 cd s a flash, 120 flashes a minute: 6000 cd s/min (SAE J2498, integral over 60 s, as tnlab.org tells it)."""
    wave = Wave.of([(50, 1.0), (450, 0.0)])
    together = merged([wave], ["controller"])

    assert optical_power(together, gathered(together, np.array([[1000.0]]))) == pytest.approx([6000.0])


def test_steady_light_counts_nothing_as_j2498_has_it() -> None:
    """Steady burning is allowed and adds nothing to the zone (SAE J2498, public abstract)."""
    together = merged([Wave.constant(1.0), Wave.of([(50, 1.0), (450, 0.0)])], ["controller", "controller"])
    candela = np.array([[5000.0], [1000.0]])

    assert optical_power(together, gathered(together, candela)) == pytest.approx([6000.0])
    assert mean_cd(together, gathered(together, candela)) == pytest.approx([5100.0])


def test_heads_of_one_wave_are_one_number() -> None:
    """By hand: eight heads in two halves of a cycle leave two waves to reckon with."""
    first = Wave.of([(100, 1.0), (400, 0.0)])
    together = merged([first, first.shift(250)] * 4, ["controller"] * 8)

    assert len(together.waves) == 2
    assert gathered(together, np.arange(8.0)[:, None]).ravel().tolist() == [12.0, 16.0]


# --------------------------------------------------------------------------------------------------------------- law
@given(HEADS)
def test_one_clock_is_the_sum_of_its_waves(heads: list[tuple[Wave, float]]) -> None:
    """Law: weights over merged waves say what the summed wave says: mean, brightest instant, effective intensity."""
    assume(fits(heads))
    together = merged([wave for wave, _ in heads], ["controller"] * len(heads))
    given_cd = gathered(together, np.array([[candela] for _, candela in heads]))
    wave = summed(heads)

    assert mean_cd(together, given_cd)[0] == pytest.approx(wave.mean(), abs=1e-9)
    assert brightest_cd(together, given_cd)[0] == pytest.approx(wave.peak(), abs=1e-9)
    assert effective_cd(together, given_cd)[0] == pytest.approx(effective_level(wave), rel=1e-9, abs=1e-9)


@given(HEADS, st.lists(st.integers(0, 400), min_size=6, max_size=6))
def test_own_clocks_never_promise_more_than_any_phase_gives(
    heads: list[tuple[Wave, float]], delays_ms: list[int]
) -> None:
    """Law: however free clocks happen to stand, the light is at least what is counted on."""
    assume(fits(heads))
    together = merged([wave for wave, _ in heads], [f"own:{place}" for place in range(len(heads))])
    given_cd = gathered(together, np.array([[candela] for _, candela in heads]))
    some_phase = summed([(wave.shift(delay), cd) for (wave, cd), delay in zip(heads, delays_ms, strict=False)])

    assert effective_cd(together, given_cd)[0] <= effective_level(some_phase) * (1 + 1e-9) + 1e-9
    assert brightest_cd(together, given_cd)[0] <= some_phase.peak() * (1 + 1e-9) + 1e-9
    assert mean_cd(together, given_cd)[0] == pytest.approx(some_phase.mean(), abs=1e-9)


def test_what_never_goes_out_on_another_clock_is_not_added_to_a_flash() -> None:
    """By hand: 100 cd for 0.1 s is 33.3 cd; with 40 cd that never go out beside it no phase gives 73.3 cd."""
    flash, glow = Wave.of([(100, 1.0), (400, 0.0)]), Wave.of([(100, 1.0), (400, 0.4)])
    together = merged([flash, glow], ["own:one", "own:other"])
    promised = effective_cd(together, gathered(together, np.array([[100.0], [100.0]])))[0]
    least = min(
        effective_level(summed([(flash, 100.0), (glow.shift(delay_ms), 100.0)])) for delay_ms in range(0, 500, 10)
    )

    assert max(effective_level(flash), effective_level(glow)) * 100.0 == pytest.approx(promised)
    assert promised <= least < 100.0 * effective_level(flash) + 40.0


@given(HEADS, WAVES, CANDELA, st.sampled_from(["controller", "own:new"]))
def test_one_lamp_more_dims_nothing(heads: list[tuple[Wave, float]], wave: Wave, candela: float, clock: str) -> None:
    """Law: what is added on the same clock or another never takes light away, so a dead lamp never adds any."""
    assume(fits([*heads, (wave, candela)]))
    waves = [*(each for each, _ in heads), wave]
    light = np.array([*([cd] for _, cd in heads), [candela]])
    together = merged(waves, [*(["controller"] * len(heads)), clock])
    alive = gathered(together, light)
    dead = gathered(together, light, np.array([1.0] * len(heads) + [0.0]))

    for of in (effective_cd, brightest_cd, mean_cd, optical_power):
        assert of(together, alive)[0] >= of(together, dead)[0] - 1e-9


@given(HEADS, st.floats(1.0, 50.0))
def test_everything_scales_with_the_light(heads: list[tuple[Wave, float]], times: float) -> None:
    """Law: more flux is never less."""
    together = merged([wave for wave, _ in heads], ["controller"] * len(heads))
    one = gathered(together, np.array([[candela] for _, candela in heads]))

    for of in (effective_cd, brightest_cd, mean_cd, optical_power):
        assert of(together, one * times)[0] == pytest.approx(of(together, one)[0] * times, rel=1e-9)


def test_variants_are_answered_at_once() -> None:
    """Law: weights with a first axis of variants give what each of them gives alone."""
    rng = np.random.default_rng(3)
    wave = Wave.of([(60, 1.0), (40, 0.0), (60, 1.0), (340, 0.0)])
    together = merged([wave, wave.shift(250), Wave.constant(0.2)], ["a", "a", "b"])
    candela, alive = rng.uniform(0, 900, (3, 7)), 1.0 - np.eye(3)
    at_once = effective_cd(together, gathered(together, candela, alive))

    for place in range(3):
        alone = effective_cd(together, gathered(together, candela, alive[place]))
        assert at_once[place] == pytest.approx(alone)


def test_waves_that_never_meet_again_are_clocks_of_their_own() -> None:
    """Case: periods of 599 and 997 ms repeat together after ten minutes; nobody is refused, less is counted on."""
    heads = [(Wave.of([(100, 1.0), (499, 0.0)]), 100.0), (Wave.of([(100, 1.0), (897, 0.0)]), 80.0)]
    together = merged([wave for wave, _ in heads], ["controller"] * 2)

    assert len(together.clocks) == 2
    assert effective_cd(together, gathered(together, np.array([[100.0], [80.0]])))[0] == pytest.approx(
        100.0 * effective_level(heads[0][0])
    )


def test_a_wave_of_many_steps_beside_steady_light_is_still_answered() -> None:
    """Case: 300 flickers in one cycle with a steady head beside them: at least each by itself."""
    busy = Wave.of([step for number in range(300) for step in ((5 + number % 7, 1.0), (5, 0.0))])
    together = merged([busy, Wave.constant(0.5)], ["controller"] * 2)
    found = effective_cd(together, gathered(together, np.array([[100.0], [100.0]])))[0]

    assert 100 * max(effective_level(busy), 0.5) <= found <= 100 * effective_level(busy.add(Wave.constant(0.5))) + 1e-9


def test_no_head_is_no_light() -> None:
    """Case: nothing burns."""
    nothing = merged([], [])

    assert effective_cd(nothing, gathered(nothing, np.zeros((0, 5)))).tolist() == [0.0] * 5
    assert optical_power(nothing, gathered(nothing, np.zeros((0, 5)))).tolist() == [0.0] * 5


# -------------------------------------------------------------------------------------------------------------- gaps
def test_gap_ends_where_the_line_crosses() -> None:
    """By hand: 200 cd at all but three of 72 bearings, which have none; 100 cd is reached half a step outside."""
    level = np.full(72, 200.0)
    level[[71, 0, 1]] = 0.0

    assert widest_gap(level, least_cd=100.0) == Gap(pytest.approx(math.radians(15.0)), pytest.approx(0.0, abs=1e-12))


@pytest.mark.parametrize(("level_cd", "width_deg"), [(99.0, 360.0), (100.0, 0.0), (101.0, 0.0)])
def test_an_even_ring_is_all_gap_or_none(level_cd: float, width_deg: float) -> None:
    """By hand: what just reaches the level is no gap."""
    assert math.degrees(widest_gap(np.full(72, level_cd), least_cd=100.0).width_rad) == pytest.approx(width_deg)


@given(st.lists(st.floats(0.0, 500.0), min_size=8, max_size=24), st.integers(0, 23), st.floats(0.0, 300.0))
def test_gaps_turn_with_the_ring_and_grow_with_the_level(level_cd: list[float], turn: int, least_cd: float) -> None:
    """Law: where the nose points does not matter, and who asks for more finds wider gaps."""
    ring = np.array(level_cd)
    width = widest_gap(ring, least_cd=least_cd).width_rad

    assert widest_gap(np.roll(ring, turn), least_cd=least_cd).width_rad == pytest.approx(width)
    assert widest_gap(ring, least_cd=least_cd + 50.0).width_rad >= width - 1e-9
    assert 0.0 <= width <= math.tau
