"""Retroreflective film: printed figures, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.retro import NoFigure, film_figures, find_film, luminous_intensity_coefficient_cd_lx


def least(film: str, colour: str) -> dict[tuple[float, float], float]:
    """Figures of one film and colour by (observation, entrance) in degrees."""
    return {
        (figure.observation_deg, figure.entrance_deg): figure.coefficient_cd_lx_m2
        for figure in film_figures()
        if (figure.film, figure.colour) == (film, colour)
    }


@pytest.mark.parametrize(
    ("film", "white", "red"),
    [
        ("dot-c2", (250, 250, 60, 65, 65, 15), (60, 60, 15, 15, 15, 4)),
        ("dot-c3", (165, 165, 40, 43, 43, 10), (40, 40, 10, 10, 10, 3)),
        ("dot-c4", (125, 125, 30, 33, 33, 8), (30, 30, 8, 8, 8, 2)),
    ],
)
def test_tape_agrees_with_49_cfr_571_108_table_xvi_c(film: str, white: tuple[int], red: tuple[int]) -> None:
    """Least R_A of conspicuity sheeting at 0.2 and 0.5 deg, entrance -4, 30 and 45 deg (49 CFR 571.108 Table XVI-c)."""
    geometries = [(observation, entrance) for observation in (0.2, 0.5) for entrance in (-4, 30, 45)]

    assert least(film, "white") == dict(zip(geometries, white, strict=True))
    assert least(film, "red") == dict(zip(geometries, red, strict=True))
    assert {figure.cite.status for figure in film_figures() if figure.film == film} == {"read"}


def test_rail_sheeting_agrees_with_49_cfr_224_103() -> None:
    """Table 1 to subpart B of part 224."""
    assert least("rail", "white") == {(0.2, -4): 600, (0.2, 30): 350, (0.5, -4): 160, (0.5, 30): 75}
    assert least("rail", "yellow") == {(0.2, -4): 400, (0.2, 30): 220, (0.5, -4): 100, (0.5, 30): 45}


@pytest.mark.parametrize(
    ("film", "geometry", "figures"),
    [
        ("type-i", (0.2, -4), (70, 50, 14, 4, 9, 25)),
        ("type-i", (0.5, -4), (30, 25, 7.5, 2, 4.5, 13)),
        ("type-ii", (0.2, -4), (140, 100, 30, 10, 30, 60)),
        ("type-iii", (0.2, -4), (250, 170, 45, 20, 45, 100)),
        ("type-iii", (0.2, 30), (150, 100, 25, 11, 25, 60)),
        ("type-iii", (0.1, -4), (300, 200, 54, 24, 54, 120)),
    ],
)
def test_sheeting_agrees_with_astm_d4956_2001_as_quoted(
    film: str, geometry: tuple[float, float], figures: tuple[float, ...]
) -> None:
    """White, yellow, red, blue, green, orange of D4956-2001 as a public page quotes it: not read, so draft."""
    colours = ("white", "yellow", "red", "blue", "green", "orange")

    assert tuple(least(film, colour)[geometry] for colour in colours) == figures
    assert {figure.cite.status for figure in film_figures() if figure.film == film} == {"draft"}


def test_a_patch_sends_back_coefficient_times_area() -> None:
    """R = R_A A (ASTM E808, from memory): 50 mm by 300 mm of DOT-C2 white, 250 x 0.015 = 3.75 cd/lx, by hand."""
    assert luminous_intensity_coefficient_cd_lx(250.0, width_m=0.05, height_m=0.3) == pytest.approx(3.75)


def test_wider_angles_never_send_back_more() -> None:
    """Law: within a film and colour the tables fall with observation and with entrance angle."""
    figures = film_figures()
    for one in figures:
        for other in figures:
            same = (one.film, one.colour) == (other.film, other.colour)
            wider = one.observation_deg <= other.observation_deg and abs(one.entrance_deg) <= abs(other.entrance_deg)
            if same and wider:
                assert other.coefficient_cd_lx_m2 <= one.coefficient_cd_lx_m2


@given(st.floats(1.0, 1000.0), st.floats(0.001, 5.0), st.floats(0.001, 5.0))
def test_two_patches_are_their_sum(coefficient: float, width_m: float, height_m: float) -> None:
    """Law: cutting a patch in two changes nothing."""
    whole = luminous_intensity_coefficient_cd_lx(coefficient, width_m=width_m, height_m=height_m)
    half = luminous_intensity_coefficient_cd_lx(coefficient, width_m=width_m / 2, height_m=height_m)

    assert 2 * half == pytest.approx(whole)


@pytest.mark.parametrize(
    ("film", "colour", "observation", "says"),
    [
        ("dot-c9", "white", 0.2, "Did you mean"),
        ("dot-c2", "purple", 0.2, "white, red"),
        ("dot-c2", "white", 0.3, "0.2 deg and -4 deg"),
    ],
)
def test_what_isnt_tabulated_isnt_guessed(film: str, colour: str, observation: float, says: str) -> None:
    """Law: no figure between the printed ones; the refusal says what there is."""
    with pytest.raises(NoFigure, match=says):
        find_film(film, colour=colour, observation_deg=observation, entrance_deg=-4)
