"""Disability glare: the equations' values, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.glare import (
    age_adjusted_veil_cd_m2,
    general_veil_cd_m2,
    glare_beside,
    small_angle_veil_cd_m2,
)

ANGLES = st.floats(math.radians(0.1), math.radians(30.0))
AGES = st.floats(15.0, 90.0)
LIGHTS = st.floats(1e-4, 1e4)
EQUATIONS = [age_adjusted_veil_cd_m2, small_angle_veil_cd_m2, general_veil_cd_m2]


@pytest.mark.parametrize(
    ("lx", "angle_deg", "age", "expected"),
    [(1, 2, 25, 2.541), (1, 2, 65, 4.359), (1, 10, 70, 0.2), (4, 3, 35, 4.722), (0.1, 1, 20, 1.007)],
)
def test_age_adjusted_veil_agrees_with_vos_2003(lx: float, angle_deg: float, age: float, expected: float) -> None:
    """10 (1 + (A/70)^4) / angle^2 (J. J. Vos, Clin. Exp. Optom. 86, 363), worked by hand; at 70 it doubles."""
    veil = age_adjusted_veil_cd_m2(lx, angle_rad=math.radians(angle_deg), age_years=age)

    assert veil == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize(
    ("lx", "angle_deg", "age", "expected"),
    [(1, 2, 25, 2.532), (1, 2, 65, 3.962), (1, 10, 70, 0.1387), (4, 3, 35, 3.922), (0.1, 1, 20, 1.505)],
)
def test_small_angle_veil_agrees_with_cie_146(lx: float, angle_deg: float, age: float, expected: float) -> None:
    """10/angle^3 + 5 (1 + (A/62.5)^4)/angle^2 (CIE 146:2002, from memory), worked by hand."""
    veil = small_angle_veil_cd_m2(lx, angle_rad=math.radians(angle_deg), age_years=age)

    assert veil == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize(("age", "expected"), [(65, 2.04), (20, 1.18)])
def test_lamp_beside_the_road_agrees_with_hand_calculation(age: float, expected: float) -> None:
    """5,000 cd, 50 m ahead, 3.6 m aside: 4.118 deg, 1.985 lx, then Vos 2003."""
    light = glare_beside(5000.0, ahead_m=50.0, aside_m=3.6)

    assert math.degrees(light.angle_rad) == pytest.approx(4.118, abs=5e-4)
    assert light.illuminance_lx == pytest.approx(1.985, abs=1e-3)
    veil = age_adjusted_veil_cd_m2(light.illuminance_lx, angle_rad=light.angle_rad, age_years=age)
    assert veil == pytest.approx(expected, abs=5e-3)


@pytest.mark.parametrize("equation", EQUATIONS)
@given(lx=LIGHTS, angle=ANGLES, age=AGES, more=st.floats(1.0, 2.0))
def test_more_light_less_angle_more_years_never_veil_less(equation, lx, angle, age, more) -> None:
    """Law: the veil grows with light and age and shrinks with the angle."""
    veil = equation(lx, angle_rad=angle, age_years=age)

    assert veil > 0.0
    assert equation(lx * more, angle_rad=angle, age_years=age) == pytest.approx(veil * more)
    assert equation(lx, angle_rad=angle, age_years=age * more) >= veil
    assert equation(lx, angle_rad=angle * more, age_years=age) <= veil


@given(st.floats(1.0, 1e5), st.floats(1.0, 500.0), st.floats(0.1, 50.0))
def test_illuminance_across_the_line_of_sight_never_passes_the_inverse_square(
    intensity_cd: float, ahead_m: float, aside_m: float
) -> None:
    """Law: E d^2 / I is the cosine of the angle."""
    light = glare_beside(intensity_cd, ahead_m=ahead_m, aside_m=aside_m)
    share = light.illuminance_lx * (ahead_m**2 + aside_m**2) / intensity_cd

    assert share == pytest.approx(ahead_m / math.hypot(ahead_m, aside_m))
    assert glare_beside(intensity_cd, ahead_m=ahead_m, aside_m=-aside_m) == light


def test_on_the_line_of_sight_there_is_no_answer() -> None:
    """Law: the equations have no value at 0 degrees, and nothing glares from behind."""
    with pytest.raises(ValueError, match="line of sight"):
        age_adjusted_veil_cd_m2(1.0, angle_rad=0.0, age_years=30.0)
    with pytest.raises(ValueError, match="ahead"):
        glare_beside(1.0, ahead_m=0.0, aside_m=1.0)


@pytest.mark.parametrize(("angle_deg", "expected"), [(10, 0.1306), (50, 0.00785)])
def test_general_veil_agrees_with_cie_146(angle_deg: float, expected: float) -> None:
    """10/a^3 + (5/a^2 + 0.1 p/a)(1 + (A/62.5)^4) + 0.0025 p at 65 years, p = 0.5 (CIE 146, from memory), by hand."""
    assert general_veil_cd_m2(1.0, angle_rad=math.radians(angle_deg), age_years=65.0) == pytest.approx(
        expected, abs=6e-5
    )


@given(ANGLES, AGES, LIGHTS)
def test_without_pigment_the_general_equation_is_that_of_small_angles(angle: float, age: float, lx: float) -> None:
    """Law: the pigmentation's two terms are all it adds."""
    plain = general_veil_cd_m2(lx, angle_rad=angle, age_years=age, pigmentation=0.0)

    assert plain == pytest.approx(small_angle_veil_cd_m2(lx, angle_rad=angle, age_years=age), rel=1e-12)
