"""How much light does one colour of a head send in each direction?"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.errors import DataWrong
from coachwright.parts.photometry import (
    CandelaTable,
    beam_table,
    bilinear,
    half_width_rad,
    height_at,
    lumens,
    relative_intensity,
    width_at,
)
from coachwright.parts.schema import Beam, ColourOutput, LampPart
from coachwright.parts.store import load_catalogue

LAMPS = [part for part in load_catalogue().of_kind("lamp") if isinstance(part, LampPart)]
OUTPUTS = [
    pytest.param(output, lamp.test_voltage, id=f"{lamp.name}-{colour}-{number}")
    for lamp in LAMPS
    for number, (colour, output) in enumerate(
        dict.fromkeys((colour, output) for head in lamp.heads for colour, output in head.colours.items()), start=1
    )
]
BELLS = [each for each in OUTPUTS if each.values[0].beam is not None and each.values[0].beam.shape == "bell"]


def degrees(first: float, last: float, step: float) -> np.ndarray:
    """Angles in radian, both ends included."""
    return np.radians(np.linspace(first, last, round((last - first) / step) + 1))


def cosine_table(power: float, step_deg: float) -> CandelaTable:
    """1000 cd on the axis, falling with a power of the polar angle's cosine."""
    v, h = degrees(-90, 90, step_deg), degrees(-90, 90, step_deg)
    beam = Beam(shape="cosine", power=power)
    return CandelaTable(v, h, 1000.0 * relative_intensity(beam, h[None, :], v[:, None]))


@pytest.mark.parametrize("step_deg", [5.0, 30.0, 90.0])
def test_uniform_sphere_gives_four_pi(step_deg: float) -> None:
    """100 cd to all sides is 4 pi 100 = 1256.637 lm, on any grid (integral of a constant over the sphere)."""
    v, h = degrees(-90, 90, step_deg), degrees(-180, 180, step_deg)

    assert lumens(CandelaTable(v, h, np.full((len(v), len(h)), 100.0))) == pytest.approx(1256.637, abs=5e-4)


@pytest.mark.parametrize(("power", "expected_lm"), [(1, 3141.59), (2, 2094.40), (10, 571.20)])
def test_cosine_power_gives_two_pi_over_power_plus_one(power: float, expected_lm: float) -> None:
    """I0 cos^m holds 2 pi I0 / (m + 1) lumens in its half space (integral of cos^m sin over the polar angle)."""
    fine = lumens(cosine_table(power, 0.5))
    coarse = lumens(cosine_table(power, 2.5))

    assert fine == pytest.approx(expected_lm, rel=1e-4)
    assert coarse == pytest.approx(expected_lm, rel=2e-3)


def test_window_of_type_a_angles_has_its_solid_angle() -> None:
    """|H| <= 20 deg, |V| <= 10 deg: 2 * 20 deg * 2 sin 10 deg = 0.242459 sr (type B would be 0.238775)."""
    one = CandelaTable(degrees(-10, 10, 5), degrees(-20, 20, 10), np.ones((5, 5)))

    assert lumens(one) == pytest.approx(0.242459, abs=5e-7)


@pytest.mark.parametrize(("shape", "at_half"), [("bell", 0.5), ("flat", 0.5)])
def test_half_of_the_peak_at_half_width_and_half_height(shape: str, at_half: float) -> None:
    """Definition of a beam's half-width, and of its half-height."""
    beam = Beam(shape=shape, half_width=0.5, half_height=0.2, shoulder=0.1)  # type: ignore[arg-type]

    assert relative_intensity(beam, 0.5, 0.0) == pytest.approx(at_half)
    assert relative_intensity(beam, 0.0, -0.2) == pytest.approx(at_half)
    assert relative_intensity(beam, 0.0, 0.0) == pytest.approx(1.0)


def test_nothing_shines_backward_from_a_cosine() -> None:
    """A diffuse face lights its own half space only."""
    assert relative_intensity(Beam(shape="cosine"), math.radians(100), 0.0) == 0.0


@pytest.mark.parametrize(("output", "test_voltage"), OUTPUTS)
def test_every_beam_of_the_catalogue_carries_its_flux(output: ColourOutput, test_voltage: float) -> None:
    """Law: what a part states is what its table sends. Checked by a second sum on a grid ten times finer."""
    table = beam_table(output)
    v = np.linspace(table.vertical_rad[0], table.vertical_rad[-1], 721)
    h = np.linspace(table.horizontal_rad[0], table.horizontal_rad[-1], 1441)
    candela = bilinear(table, h[None, :], v[:, None])
    second = np.trapezoid(np.trapezoid(candela * np.cos(v)[:, None], h, axis=1), v)

    assert output.measured is table or table.candela_cd.shape == (37, 73)
    assert lumens(table) == pytest.approx(output.flux, rel=1e-9)
    assert second == pytest.approx(output.flux, rel=0.02)


@pytest.mark.parametrize(("output", "test_voltage"), BELLS)
def test_every_bell_has_the_peak_its_shape_asks_for(output: ColourOutput, test_voltage: float) -> None:
    """A narrow bell of half-widths a and b (radian) has its peak at flux / (a b pi / ln 2) (Gauss integral)."""
    beam = output.beam
    narrow = output.flux / (beam.half_width * beam.half_height * math.pi / math.log(2))

    assert beam_table(output).peak_cd == pytest.approx(narrow, rel=0.03)


@pytest.mark.parametrize(("output", "test_voltage"), OUTPUTS)
def test_lumens_per_watt_are_those_of_lamps_one_can_buy(output: ColourOutput, test_voltage: float) -> None:
    """20 to 160 lm for each watt taken from the wire: what lamps with light-emitting diodes give (common practice)."""
    assert 20 <= output.flux / (output.current * test_voltage) <= 160


def test_lamps_of_the_vehicle_give_what_lamps_can_give() -> None:
    """The same range for the lamps a body came with (common practice)."""
    body = load_catalogue().get("crew-cab-pickup-with-cap")
    assert body is not None
    assert body.kind == "body"
    efficacy = {
        (name, number, colour): output.flux / (output.current * lamp.test_voltage)
        for name, lamp in body.lamps.items()
        for number, head in enumerate(lamp.heads)
        for colour, output in head.colours.items()
    }

    assert len(efficacy) == 24
    assert all(20 <= value <= 160 for value in efficacy.values()), efficacy


@given(
    st.floats(-0.6, 0.6),
    st.floats(-0.3, 0.3),
    st.sampled_from(["bell", "flat", "cosine"]),
)
def test_bilinear_agrees_with_the_shape_it_was_made_from(h: float, v: float, shape: str) -> None:
    """Law: between two angles of a fine grid the table is within its rounding of the shape."""
    beam = Beam(shape=shape, half_width=0.35, half_height=0.2, power=3.0, shoulder=0.3)  # type: ignore[arg-type]
    table = beam_table(ColourOutput(flux=100.0, current=1.0, beam=beam))
    expected = float(relative_intensity(beam, h, v)) * table.peak_cd

    assert float(bilinear(table, h, v)) == pytest.approx(expected, abs=0.02 * table.peak_cd)


def test_bilinear_is_exact_at_the_grid_and_dark_outside() -> None:
    """Law: at a measured angle the answer is the measured value; beyond the last angle there is none."""
    table = CandelaTable(
        np.array([-0.1, 0.0, 0.3]), np.array([-0.2, 0.1]), np.array([[1.0, 2.0], [3.0, 4.0], [5.0, 6.0]])
    )

    assert bilinear(table, table.horizontal_rad[None, :], table.vertical_rad[:, None]) == pytest.approx(
        table.candela_cd
    )
    assert float(bilinear(table, -0.05, 0.15)) == pytest.approx(4.5)
    assert float(bilinear(table, 0.11, 0.0)) == 0.0
    assert float(bilinear(table, 0.0, 0.31)) == 0.0


@given(st.integers(2, 8), st.integers(2, 8), st.integers(0, 2**32 - 1), st.floats(0.1, 5))
def test_lumens_scale_with_candela(vertical_n: int, horizontal_n: int, seed: int, factor: float) -> None:
    """Law: twice the candela, twice the lumens; and no table with light in it has none."""
    random = np.random.default_rng(seed)
    v = np.sort(random.uniform(-1.5, 1.5, vertical_n) + np.arange(vertical_n) * 1e-3)
    h = np.sort(random.uniform(-3, 3, horizontal_n) + np.arange(horizontal_n) * 1e-3)
    candela = random.uniform(0, 1000, (vertical_n, horizontal_n))
    one = lumens(CandelaTable(v, h, candela))

    assert one > 0
    assert lumens(CandelaTable(v, h, factor * candela)) == pytest.approx(factor * one)


def test_a_table_can_not_be_changed() -> None:
    """Law: what is remembered by its content must keep it."""
    table = cosine_table(1.0, 30.0)

    with pytest.raises(ValueError, match="read-only"):
        table.candela_cd[0, 0] = 5.0


@pytest.mark.parametrize(
    ("vertical", "horizontal", "candela", "why"),
    [
        ([0.0, 0.1], [0.0, 0.1], [[1.0, 1.0]], "one candela value for each pair"),
        ([0.1, 0.0], [0.0, 0.1], [[1.0, 1.0], [1.0, 1.0]], "ascend"),
        ([0.0, 2.0], [0.0, 0.1], [[1.0, 1.0], [1.0, 1.0]], "within 90 deg"),
        ([0.0, 0.1], [0.0, 0.1], [[1.0, -1.0], [1.0, 1.0]], "below nothing"),
        ([0.0, 0.1], [0.0, 0.1], [[1.0, math.nan], [1.0, 1.0]], "no number"),
    ],
)
def test_a_table_that_makes_no_sense_is_refused(
    vertical: list[float], horizontal: list[float], candela: list[list[float]], why: str
) -> None:
    """Each reason is said."""
    with pytest.raises(ValueError, match=why):
        CandelaTable(np.array(vertical), np.array(horizontal), np.array(candela))


def measured_output(horizontal: np.ndarray, vertical: np.ndarray, candela: np.ndarray) -> ColourOutput:
    """A colour whose light came from a file."""
    table = CandelaTable(np.radians(vertical), np.radians(horizontal), candela)
    return ColourOutput(flux=lumens(table), current=1.0, measured=table)


def test_a_measured_table_is_taken_as_it_is() -> None:
    """Law: where a file says the light there is nothing to shape and nothing to scale."""
    output = measured_output(np.array([-10.0, 0, 10]), np.array([-5.0, 5]), np.array([[1.0, 2, 1], [1, 4, 1]]))

    assert beam_table(output).candela_cd.tolist() == [[1, 2, 1], [1, 4, 1]]


def test_a_colour_without_its_file_is_no_light() -> None:
    """Law: a part read past the catalogue has no table yet, and says so instead of shining some other way."""
    with pytest.raises(DataWrong, match="photometric file"):
        beam_table(ColourOutput(current=1.0, photometry={"file": "a.ies"}))  # type: ignore[arg-type]


def test_widths_go_through_the_peak_and_between_the_angles() -> None:
    """Case: 100 cd fall to 0 within 20 deg to the left and 40 to the right: half at 10 and 20, a tenth at 18 and 36."""
    row = np.interp(np.arange(-40.0, 61, 10), [-20, 0, 40], [0, 100, 0])
    output = measured_output(np.arange(-40.0, 61, 10), np.array([-10.0, 0, 10]), np.outer([0, 1, 0.5], row))
    table = beam_table(output)

    assert math.degrees(width_at(table, 0.5)) == pytest.approx(30)
    assert math.degrees(width_at(table, 0.1)) == pytest.approx(54)
    assert math.degrees(height_at(table, 0.5)) == pytest.approx(15)
    assert math.degrees(half_width_rad(output)) == pytest.approx(15)


@pytest.mark.parametrize(
    ("beam", "expected_deg"),
    [
        (Beam(shape="bell", half_width=math.radians(25), half_height=0.1), 25),
        (Beam(shape="flat", half_width=math.radians(40), half_height=0.3, shoulder=0.1), 40),
        (Beam(shape="cosine", power=1.0), 60),
    ],
)
def test_half_widths_of_shapes_are_those_they_are_written_with(beam: Beam, expected_deg: float) -> None:
    """Print: cos 60 deg = 1/2; the others by their definition. Their tables agree within half a degree."""
    output = ColourOutput(flux=100.0, current=1.0, beam=beam)

    assert math.degrees(half_width_rad(output)) == pytest.approx(expected_deg)
    assert math.degrees(width_at(beam_table(output), 0.5)) / 2 == pytest.approx(expected_deg, abs=0.5)
