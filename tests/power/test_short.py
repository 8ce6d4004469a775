"""Shorts: printed constants and the right reading of a much-copied formula, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.short import (
    adiabatic_factor_a_sqrt_s_mm2,
    melting_current_a,
    melting_time_s,
    withstand_i2t_a2_s,
)


@pytest.mark.parametrize(("from_degc", "to_degc", "factor"), [(70.0, 160.0, 115.0), (90.0, 250.0, 143.0)])
def test_factor_agrees_with_the_common_k_of_iec_60949(from_degc: float, to_degc: float, factor: float) -> None:
    """Installation tables print k = 115 for PVC and 143 for cross-linked insulation (K = 226 of IEC 60949)."""
    assert adiabatic_factor_a_sqrt_s_mm2(from_degc=from_degc, to_degc=to_degc) == pytest.approx(factor, abs=0.5)


@pytest.mark.parametrize(("circular_mils", "i2t"), [(1624, 7.36e3), (2583, 1.87e4), (4107, 4.73e4), (6530, 1.195e5)])
def test_withstand_is_the_icea_formula(circular_mils: float, i2t: float) -> None:
    """18 to 12 AWG from 75 to 150 degC, by hand from 0.0297 log10(384 / 309) (ICEA P-32-382)."""
    assert withstand_i2t_a2_s(circular_mils, from_degc=75.0, to_degc=150.0) == pytest.approx(i2t, rel=5e-3)


def test_both_formulas_tell_the_same_wire() -> None:
    """Law: ICEA and IEC 60949 differ by their rounding, 2 % at most."""
    icea = withstand_i2t_a2_s(6530.0, from_degc=75.0, to_degc=150.0)
    iec = (adiabatic_factor_a_sqrt_s_mm2(from_degc=75.0, to_degc=150.0) * 3.3088) ** 2

    assert icea == pytest.approx(iec, rel=0.02)


def test_onderdonk_keeps_the_plus_sign() -> None:
    """16 AWG, 25 degC, 5 s: 168.9 A by hand with 234 + Ta; the copied example with 234 - Ta has 178 A."""
    assert melting_current_a(2581.0, ambient_degc=25.0, time_s=5.0) == pytest.approx(168.9, abs=0.05)


def test_400_a_melt_14_awg_in_226_hundredths() -> None:
    """14 AWG, 400 A, 25 degC: 2.26 s by hand (Onderdonk)."""
    assert melting_time_s(4107.0, ambient_degc=25.0, current_a=400.0) == pytest.approx(2.26, abs=5e-3)


@given(st.floats(100.0, 3e5), st.floats(-40.0, 125.0), st.floats(0.01, 10.0))
def test_current_and_time_are_one_formula(circular_mils: float, ambient: float, time_s: float) -> None:
    """Law: the time at the melting current is the time asked for, and four times the time is half the current."""
    current = melting_current_a(circular_mils, ambient_degc=ambient, time_s=time_s)

    assert melting_time_s(circular_mils, ambient_degc=ambient, current_a=current) == pytest.approx(time_s)
    assert melting_current_a(circular_mils, ambient_degc=ambient, time_s=4.0 * time_s) == pytest.approx(current / 2.0)


@given(st.floats(100.0, 3e5), st.floats(-40.0, 150.0), st.floats(1.0, 100.0), st.floats(1.0, 100.0))
def test_heat_is_borne_step_by_step(circular_mils: float, start: float, first: float, second: float) -> None:
    """Law: heating to the middle and on from there is heating all the way."""
    whole = withstand_i2t_a2_s(circular_mils, from_degc=start, to_degc=start + first + second)
    parts = withstand_i2t_a2_s(circular_mils, from_degc=start, to_degc=start + first)
    parts += withstand_i2t_a2_s(circular_mils, from_degc=start + first, to_degc=start + first + second)

    assert parts == pytest.approx(whole)
