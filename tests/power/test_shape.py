"""Flashing and regulated loads: textbook values, then laws."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.shape import constant_power, load_shape


def test_effective_value_agrees_with_the_textbook() -> None:
    """A current of 0 and 2 A, half the time each, has 1.414 A effective (circuit textbook, example 2.13)."""
    assert load_shape(count_n=1, current_a=2.0, duty_share=0.5).rms_together_a == pytest.approx(1.414, abs=5e-4)


@given(st.integers(1, 60), st.floats(0.1, 20.0), st.floats(0.01, 1.0))
def test_together_is_the_worst_and_the_mean_the_best(count: int, current: float, duty: float) -> None:
    """Law: mean <= independent <= together <= peak; one load alone is independent of itself."""
    shape = load_shape(count_n=count, current_a=current, duty_share=duty)
    rising = [shape.mean_a, shape.rms_independent_a, shape.rms_together_a, shape.peak_a]

    assert all(low <= high * (1 + 1e-12) for low, high in pairwise(rising))
    alone = load_shape(count_n=1, current_a=current, duty_share=duty)
    assert alone.rms_independent_a == pytest.approx(alone.rms_together_a)


@pytest.mark.parametrize(("volts", "amperes"), [(16.0, 3.75), (14.2, 4.23), (12.8, 4.69), (11.7, 5.13), (9.0, 6.67)])
def test_without_wire_the_current_is_power_over_voltage(volts: float, amperes: float) -> None:
    """60 W at 16 to 9 V, by hand (Joule's law)."""
    fed = constant_power(power_w=60.0, supply_v=volts, loop_ohm=0.0)

    assert fed is not None
    assert fed.current_a == pytest.approx(amperes, abs=5e-3)


@given(st.floats(1.0, 2000.0), st.floats(6.0, 32.0), st.floats(1e-4, 2.0))
def test_what_leaves_the_source_arrives_or_heats_the_wire(power: float, supply: float, loop: float) -> None:
    """Law: Kirchhoff holds, and a brown-out is exactly where no current could bring the power through."""
    fed = constant_power(power_w=power, supply_v=supply, loop_ohm=loop)

    if fed is None:
        assert supply**2 / (4.0 * loop) < power
    else:
        assert fed.voltage_v + loop * fed.current_a == pytest.approx(supply)
        assert fed.voltage_v * fed.current_a == pytest.approx(power)
        assert fed.voltage_v >= supply / 2.0 * (1.0 - 1e-9)
