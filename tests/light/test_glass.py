"""Glass at an angle: Fresnel's table, then laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.light.glass import (
    clear_transmittance,
    face_reflectance,
    pane_reflectance,
    tinted_transmittance,
    tinted_transmittances,
)

TABLE = [
    # deg, one face, slab, tint 70 %, 20 %, 5 %
    (0, 0.04258, 0.91832, (0.700, 0.200, 0.0500)),
    (30, 0.04414, 0.91596, (0.687, 0.1823, 0.0420)),
    (45, 0.05305, 0.90253, (0.6634, 0.1610, 0.0336)),
    (60, 0.09248, 0.84347, (0.6027, 0.1305, 0.02415)),
    (70, 0.17471, 0.72471, (0.5040, 0.1008, 0.01727)),
    (75, 0.25672, 0.61481, (0.4178, 0.0802, 0.0133)),
]
SHARES = st.floats(0.001, 1.0)
ANGLES = st.floats(0.0, math.pi / 2)
INDICES = st.floats(1.01, 3.0)


def most(index: float) -> float:
    """Straight through the two faces alone, by the textbook: 2 n / (n^2 + 1)."""
    return 2 * index / (index**2 + 1)


@pytest.mark.parametrize(("angle_deg", "face", "slab", "tinted"), TABLE)
def test_pane_agrees_with_fresnel(angle_deg: float, face: float, slab: float, tinted: tuple[float, ...]) -> None:
    """Fresnel's equations at n = 1.52, both polarisations, all bounces, worked by hand."""
    angle = math.radians(angle_deg)

    assert face_reflectance(angle).mean == pytest.approx(face, abs=6e-6)
    assert clear_transmittance(angle) == pytest.approx(slab, abs=6e-6)
    for at_normal, expected in zip((0.7, 0.2, 0.05), tinted, strict=True):
        assert tinted_transmittance(angle, at_normal=at_normal) == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("index", [1.33, 1.5, 1.52, 2.4])
def test_straight_on_agrees_with_the_textbook(index: float) -> None:
    """R = ((n - 1)/(n + 1))^2 and, both faces and all bounces, T = 2 n/(n^2 + 1) (Fresnel at normal incidence)."""
    assert face_reflectance(0.0, index=index).mean == pytest.approx(((index - 1) / (index + 1)) ** 2)
    assert clear_transmittance(0.0, index=index) == pytest.approx(most(index))


@pytest.mark.parametrize("index", [1.33, 1.5, 1.52, 2.4])
def test_at_brewsters_angle_one_polarisation_is_not_thrown_back(index: float) -> None:
    """tan i = n (Brewster 1815): no reflection within the plane, and (n^2-1)^2/(n^2+1)^2 across it (textbook)."""
    face = face_reflectance(math.atan(index), index=index)

    assert face.within == pytest.approx(0.0, abs=1e-15)
    assert face.across == pytest.approx(((index**2 - 1) / (index**2 + 1)) ** 2)


def test_brewsters_angle_of_glass_agrees_with_the_table() -> None:
    """n = 1.52: 56.66 deg, one face 0.07835, slab 0.86453 (worked by hand)."""
    angle = math.radians(56.66)

    assert math.degrees(math.atan(1.52)) == pytest.approx(56.66, abs=5e-3)
    assert face_reflectance(angle).mean == pytest.approx(0.07835, abs=6e-6)
    assert clear_transmittance(angle) == pytest.approx(0.86453, abs=6e-6)


@given(ANGLES, INDICES, st.floats(0.001, 1.0))
def test_light_is_neither_made_nor_lost_at_clear_glass(angle: float, index: float, share: float) -> None:
    """Law: shares lie between 0 and 1, and tint never lets more through than clear glass."""
    face = face_reflectance(angle, index=index)
    clear = clear_transmittance(angle, index=index)
    tinted = tinted_transmittance(angle, at_normal=share * most(index), index=index)

    assert 0.0 <= face.within <= face.across + 1e-12 <= 1.0 + 2e-12
    assert 0.0 <= clear <= 1.0
    assert 0.0 <= tinted <= clear + 1e-12


@given(ANGLES, ANGLES, st.floats(1.3, 1.7), st.floats(0.001, 1.0))
def test_tinted_glass_lets_less_through_the_more_aslant(one: float, other: float, index: float, share: float) -> None:
    """Law: at the indices of windows both the faces and the longer way take more at a larger angle."""
    steep, flat = sorted((one, other))
    at_normal = share * most(index)

    near = tinted_transmittance(steep, at_normal=at_normal, index=index)
    assert tinted_transmittance(flat, at_normal=at_normal, index=index) <= near + 1e-9


@given(st.floats(math.atan(1.52), math.pi / 2), st.floats(math.atan(1.52), math.pi / 2))
def test_clear_glass_lets_less_through_beyond_brewsters_angle(one: float, other: float) -> None:
    """Law: beyond it both polarisations are thrown back more and more."""
    steep, flat = sorted((one, other))

    assert clear_transmittance(flat) <= clear_transmittance(steep) + 1e-12


@given(INDICES, st.floats(0.001, 1.0))
def test_straight_on_it_is_what_is_marked_on_it(index: float, share: float) -> None:
    """Law: at no angle the pane lets through what it was said to."""
    at_normal = share * most(index)

    assert tinted_transmittance(0.0, at_normal=at_normal, index=index) == pytest.approx(at_normal)


@given(ANGLES, INDICES)
def test_all_that_clear_glass_can_is_clear_glass(angle: float, index: float) -> None:
    """Law: tint of none is clear."""
    tinted = tinted_transmittance(angle, at_normal=clear_transmittance(0.0, index=index), index=index)

    assert tinted == pytest.approx(clear_transmittance(angle, index=index), abs=1e-6)


def test_bounces_summed_one_by_one_come_to_the_same() -> None:
    """Law: the closed form is the sum over bounces inside the pane."""
    angle = math.radians(60)
    face = face_reflectance(angle)
    summed = sum(
        (1 - share) ** 2 * share ** (2 * bounce) for share in (face.across, face.within) for bounce in range(200)
    )

    assert clear_transmittance(angle) == pytest.approx(summed / 2, rel=1e-12)


@pytest.mark.parametrize("angle", [-0.1, 1.6, math.nan])
def test_angles_that_meet_no_pane_are_refused(angle: float) -> None:
    """Law: from straight on to grazing."""
    with pytest.raises(ValueError, match="0 to 90 degrees"):
        face_reflectance(angle)


@pytest.mark.parametrize("index", [1.0, 0.5, math.nan, math.inf])
def test_a_pane_of_nothing_is_refused(index: float) -> None:
    """Law: glass is denser than air."""
    with pytest.raises(ValueError, match="more than 1"):
        face_reflectance(0.1, index=index)


@pytest.mark.parametrize("at_normal", [0.0, -0.1, 0.92, 1.0, math.nan])
def test_tint_that_clear_glass_cant_pass_is_refused(at_normal: float) -> None:
    """Law: two faces of n = 1.52 let no more than 91.8 % through."""
    with pytest.raises(ValueError, match=r"91\.8 %"):
        tinted_transmittance(0.0, at_normal=at_normal)


@given(st.lists(st.floats(0.0, math.pi / 2 - 1e-6), min_size=1, max_size=20), st.floats(0.01, 0.9))
def test_many_directions_agree_with_each_by_itself(angles_rad: list[float], at_normal: float) -> None:
    """Law: the same glass, asked for many directions at once."""
    found = tinted_transmittances(np.cos(angles_rad), at_normal=at_normal)

    assert found == pytest.approx([tinted_transmittance(angle, at_normal=at_normal) for angle in angles_rad], abs=1e-12)


# ---- film on glass


@pytest.mark.parametrize(("film", "glass", "together"), [(0.05, 0.70, 0.035), (0.35, 0.70, 0.245)])
def test_film_and_glass_multiply(film: float, glass: float, together: float) -> None:
    """5 % film on 70 % glass is 3.5 %, 35 % is 24.5 %: how the trade and tint meters reckon (common practice)."""
    assert tinted_transmittance(0.0, at_normal=glass, film_share=film) == pytest.approx(together)


@pytest.mark.parametrize(("angle_deg", "face", "slab", "tinted"), TABLE)
def test_a_film_leaves_the_column_of_its_glass(
    angle_deg: float, face: float, slab: float, tinted: tuple[float, ...]
) -> None:
    """The table of Fresnel's equations above: film share x glass column at every angle of a raked pane."""
    for at_normal, expected in zip((0.7, 0.2, 0.05), tinted, strict=True):
        angle = math.radians(angle_deg)
        found = tinted_transmittance(angle, at_normal=at_normal, film_share=0.35)
        many = tinted_transmittances(np.cos([angle]), at_normal=at_normal, film_share=0.35)

        assert found == pytest.approx(0.35 * expected, rel=2e-3)
        assert many == pytest.approx([found], rel=1e-12)


@given(ANGLES, SHARES, SHARES, st.floats(0.001, 0.9))
def test_a_darker_film_never_lets_more_through(angle: float, one: float, other: float, at_normal: float) -> None:
    """Law: at no angle, and it never makes a pane a better mirror."""
    dark, light = sorted((one, other))
    glass = {"at_normal": at_normal}

    assert tinted_transmittance(angle, film_share=dark, **glass) <= tinted_transmittance(
        angle, film_share=light, **glass
    )
    assert pane_reflectance(angle, film_share=dark, **glass) <= pane_reflectance(angle, film_share=light, **glass)


@given(ANGLES, SHARES, st.floats(0.001, 0.9), INDICES)
def test_light_is_not_made_at_a_pane_with_a_film(angle: float, film: float, share: float, index: float) -> None:
    """Law: what gets through and what is thrown back are no more than what came."""
    at_normal = share * most(index)
    through = tinted_transmittance(angle, at_normal=at_normal, film_share=film, index=index)
    back = pane_reflectance(angle, at_normal=at_normal, film_share=film, index=index)

    assert through >= 0.0
    assert back >= face_reflectance(angle, index=index).mean - 1e-12
    assert through + back <= 1.0 + 1e-9


@given(ANGLES, INDICES)
def test_a_clear_pane_throws_back_all_that_does_not_get_through(angle: float, index: float) -> None:
    """Law: nothing stays in clear glass."""
    back = pane_reflectance(angle, at_normal=clear_transmittance(0.0, index=index), index=index)

    assert back + clear_transmittance(angle, index=index) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize(("angle_deg", "face", "slab", "tinted"), TABLE)
def test_mirror_agrees_with_fresnel(angle_deg: float, face: float, slab: float, tinted: tuple[float, ...]) -> None:
    """The table of Fresnel's equations above: clear glass throws back 1 - slab; the darkest no more than one face does,
    to within what twice through 5 % leaves of the far face."""
    angle = math.radians(angle_deg)

    assert pane_reflectance(angle, at_normal=clear_transmittance(0.0)) == pytest.approx(1.0 - slab, abs=6e-6)
    dark = pane_reflectance(angle, at_normal=0.05)
    assert face - 6e-6 <= dark <= face * (1.0 + 0.06**2)


@given(st.floats(0.0, math.pi / 2 - 1e-6), st.floats(0.01, 0.9), SHARES)
def test_with_a_film_many_directions_agree_with_each_by_itself(angle: float, at_normal: float, film: float) -> None:
    """Law: the same glass and film, asked both ways."""
    many = tinted_transmittances(np.cos([angle]), at_normal=at_normal, film_share=film)

    assert many == pytest.approx([tinted_transmittance(angle, at_normal=at_normal, film_share=film)], abs=1e-12)


@pytest.mark.parametrize("film", [0.0, -0.1, 1.1, math.nan])
def test_a_film_that_can_not_be_is_refused(film: float) -> None:
    """Law: more than nothing, at most all."""
    with pytest.raises(ValueError, match="a film lets through"):
        tinted_transmittance(0.0, at_normal=0.7, film_share=film)
