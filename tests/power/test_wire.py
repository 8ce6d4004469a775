"""Conductors: printed diameters and resistances, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.wire import (
    NoSize,
    awg_diameter_m,
    awg_name,
    awg_number,
    awg_sizes,
    conductor,
    resistance_ohm_m,
    sae_cite,
    sae_sizes,
)

OHM_PER_KFT = 1.0 / 304.8


@pytest.mark.parametrize(
    ("gauge", "mils"), [("36", 5.0), ("18", 40.30), ("12", 80.81), ("10", 101.9), ("1/0", 324.9), ("4/0", 460.0)]
)
def test_diameter_agrees_with_astm_b258(gauge: str, mils: float) -> None:
    """No. 36 is 5 mils and 4/0 is 460 mils by definition; the rest of the table to four figures (ASTM B258)."""
    assert awg_diameter_m(awg_number(gauge)) / 25.4e-6 == pytest.approx(mils, rel=6e-4)
    assert conductor(gauge).diameter_m / 25.4e-6 == pytest.approx(mils, rel=6e-4)


@pytest.mark.parametrize(("gauge", "ohm_per_kft"), [("18", 6.39), ("12", 1.59), ("10", 1.00)])
def test_solid_wire_agrees_with_the_copper_table(gauge: str, ohm_per_kft: float) -> None:
    """Solid annealed copper at 20 degC by the public table of IACS wire: 6.39, 1.59, 1.00 ohm a thousand feet."""
    found = resistance_ohm_m(conductor(gauge).area_m2, temperature_degc=20.0, stranded=False)

    assert found == pytest.approx(ohm_per_kft * OHM_PER_KFT, abs=0.0055 * OHM_PER_KFT)


@pytest.mark.parametrize(
    ("gauge", "ohm_per_kft"),
    [("18", 7.95), ("16", 4.99), ("14", 3.14), ("12", 1.98), ("10", 1.24), ("8", 0.778), ("2", 0.194), ("4/0", 0.0608)],
)
def test_stranded_wire_agrees_with_nec_table_8(gauge: str, ohm_per_kft: float) -> None:
    """NEC chapter 9 table 8, stranded, uncoated, 75 degC, as a public page quotes it: within 1 %."""
    found = resistance_ohm_m(conductor(gauge).area_m2, temperature_degc=75.0)

    assert found == pytest.approx(ohm_per_kft * OHM_PER_KFT, rel=0.01)


def test_sae_twelve_is_5833_circular_mils() -> None:
    """A boat supplier's wire guide: 12 AWG has 6530 circular mils, 12 SAE only 5833. The list as a whole is draft."""
    assert conductor("12", family="sae").circular_mils == pytest.approx(5833.0)
    assert conductor("12").circular_mils == pytest.approx(6530.0, rel=1e-4)
    assert sae_cite().status == "draft"


def test_sae_wire_is_the_thinner() -> None:
    """Law: at every number SAE wire has less copper than AWG wire, never by more than 13 %."""
    for size in sae_sizes():
        assert 0.87 < size.area_m2 / conductor(size.gauge).area_m2 < 1.0


def test_lists_run_from_thin_to_thick() -> None:
    """Law: the first size that is thick enough is the thinnest."""
    for sizes in (awg_sizes(), sae_sizes()):
        areas = [size.area_m2 for size in sizes]
        assert areas == sorted(areas)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("12", "12"),
        ("0", "1/0"),
        ("00", "2/0"),
        ("0000", "4/0"),
        ("3/0", "3/0"),
        ("5/0", None),
        ("41", None),
        ("", None),
    ],
)
def test_a_gauge_has_one_name(text: str, name: str | None) -> None:
    """Common practice: 0 is 1/0, 00 is 2/0, and there is nothing above 4/0."""
    assert awg_name(text) == name


@given(st.integers(-3, 39))
def test_six_numbers_double_the_diameter(number: int) -> None:
    """Law: 92^(6/39) = 2.005, which is why three numbers double the area (ASTM B258)."""
    ratio = awg_diameter_m(number) / awg_diameter_m(number + 1)

    assert ratio == pytest.approx(1.1229322, rel=1e-7)


@given(st.floats(1e-8, 1e-3), st.floats(-55.0, 150.0), st.floats(0.1, 100.0))
def test_a_hotter_or_thinner_wire_resists_more(area_m2: float, temperature: float, warmer: float) -> None:
    """Law: and twice the copper is half the resistance."""
    found = resistance_ohm_m(area_m2, temperature_degc=temperature)

    assert resistance_ohm_m(area_m2, temperature_degc=temperature + warmer) > found
    assert resistance_ohm_m(2.0 * area_m2, temperature_degc=temperature) == pytest.approx(found / 2.0)


@pytest.mark.parametrize(
    ("gauge", "family", "says"),
    [
        ("twelve", "awg", "Write 12"),
        ("11", "sae", "18, 16, 14"),
        ("0", "metric", "Write 2.5"),
        ("-1", "metric", "Write 2.5"),
    ],
)
def test_no_size_is_guessed(gauge: str, family: str, says: str) -> None:
    """Law: the refusal says what to write."""
    with pytest.raises(NoSize, match=says):
        conductor(gauge, family=family)  # type: ignore[arg-type]


def test_a_metric_size_is_its_area() -> None:
    """Case: with or without the unit."""
    assert conductor("2.5 mm2", family="metric").area_m2 == pytest.approx(2.5e-6)
