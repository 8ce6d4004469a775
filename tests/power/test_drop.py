"""Voltage drop: published worked examples, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.drop import circular_mils_for, smallest, voltage_drop_v
from coachwright.power.wire import awg_sizes, conductor, sae_sizes

FT = 0.3048


def test_area_agrees_with_the_abyc_example() -> None:
    """10 A, 11 ft out and 10 ft back, 3 % of 12 V: 6271 circular mils; 12 AWG passes, SAE takes 10 (wire guide)."""
    wanted = circular_mils_for(current_a=10.0, length_m=21.0 * FT, drop_v=0.36)

    assert wanted == pytest.approx(6271.0, abs=0.5)
    assert [size.gauge for size in (smallest(awg_sizes(), circular_mils=wanted),) if size] == ["12"]
    assert [size.gauge for size in (smallest(sae_sizes(), circular_mils=wanted),) if size] == ["10"]


@pytest.mark.parametrize(
    ("gauge", "feet", "amperes", "volts"),
    [("6", 1000.0, 10.0, 9.8), ("8", 1000.0, 10.0, 15.6), ("12", 100.0, 8.0, 3.16), ("14", 100.0, 8.0, 5.0)],
)
def test_drop_agrees_with_north_dakota_241_06_50(gauge: str, feet: float, amperes: float, volts: float) -> None:
    """25.8 L I / CM, one way at 75 degC (N.D. Admin. Code 241-06-50, appendix A): stranded copper within 1 %."""
    found = voltage_drop_v(conductor(gauge), length_m=feet * FT, current_a=amperes, temperature_degc=75.0)

    assert found == pytest.approx(volts, rel=0.01)


def test_area_agrees_with_north_dakota_241_06_50() -> None:
    """8 A, 100 ft, 3.6 V: 5733 circular mils (same appendix; its 25.8 one way is 12.9 there and back)."""
    assert circular_mils_for(current_a=8.0, length_m=200.0 * FT, drop_v=3.6, k=12.9) == pytest.approx(5733.0, abs=0.5)


@given(st.floats(0.1, 100.0), st.floats(0.1, 100.0), st.floats(0.05, 5.0))
def test_the_area_asked_for_loses_what_was_allowed(current: float, length_m: float, drop_v: float) -> None:
    """Law: half the drop is twice the copper; the size picked is the thinnest that has it."""
    wanted = circular_mils_for(current_a=current, length_m=length_m, drop_v=drop_v)
    picked = smallest(awg_sizes(), circular_mils=wanted)

    assert circular_mils_for(current_a=current, length_m=length_m, drop_v=drop_v / 2.0) == pytest.approx(2.0 * wanted)
    if picked is None:
        assert wanted > awg_sizes()[-1].circular_mils
    else:
        assert picked.circular_mils >= wanted * (1.0 - 1e-9)
        assert all(size.circular_mils < wanted for size in awg_sizes() if size.area_m2 < picked.area_m2)


@given(st.floats(0.0, 50.0), st.floats(0.0, 50.0))
def test_drop_adds_up_along_the_run(first_m: float, second_m: float) -> None:
    """Law: two runs end to end take what one of both lengths takes."""
    parts = [
        voltage_drop_v(conductor("14"), length_m=length_m, current_a=7.0, temperature_degc=40.0)
        for length_m in (first_m, second_m, first_m + second_m)
    ]

    assert parts[0] + parts[1] == pytest.approx(parts[2])
