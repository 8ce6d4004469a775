"""Retroreflective film: printed figures, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.retro import NoFigure, film_figures, find_film, luminous_intensity_coefficient_cd_lx


@pytest.mark.parametrize(
    ("film", "colour", "observation", "entrance", "least"),
    [
        ("dot-c2", "white", 0.2, -4, 250),
        ("dot-c2", "red", 0.2, 30, 60),
        ("dot-c2", "white", 0.5, 45, 15),
        ("dot-c3", "white", 0.2, -4, 165),
        ("dot-c4", "red", 0.2, -4, 30),
    ],
)
def test_tape_agrees_with_49_cfr_571_108_table_xvi_c(
    film: str, colour: str, observation: float, entrance: float, least: float
) -> None:
    """Least R_A of conspicuity sheeting by grade, colour and geometry (49 CFR 571.108 Table XVI-c)."""
    figure = find_film(film, colour=colour, observation_deg=observation, entrance_deg=entrance)

    assert figure.coefficient_cd_lx_m2 == least
    assert figure.cite.status == "read"


@pytest.mark.parametrize(
    ("colour", "observation", "entrance", "least"),
    [("yellow", 0.2, -4, 400), ("white", 0.5, -4, 160), ("yellow", 0.5, 30, 45), ("white", 0.2, 30, 350)],
)
def test_rail_sheeting_agrees_with_49_cfr_224_103(
    colour: str, observation: float, entrance: float, least: float
) -> None:
    """Table 1 to subpart B of part 224."""
    figure = find_film("rail", colour=colour, observation_deg=observation, entrance_deg=entrance)

    assert figure.coefficient_cd_lx_m2 == least


def test_sheeting_agrees_with_astm_d4956_2001_as_quoted() -> None:
    """Type III white at 0.2/-4 deg is 250, type I 70 (D4956-2001 as a public page quotes it): not read, so draft."""
    figures = {
        film: find_film(film, colour="white", observation_deg=0.2, entrance_deg=-4) for film in ("type-i", "type-iii")
    }

    assert [figures[film].coefficient_cd_lx_m2 for film in figures] == [70, 250]
    assert {figure.cite.status for figure in figures.values()} == {"draft"}


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
