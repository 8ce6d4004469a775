"""What one head sends round the vehicle: printed angles and fluxes, then laws, then the compiled loop against numpy."""

import math
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.geom import Pose, direction
from coachwright.kit.goniometer import type_a_of
from coachwright.light import kernel
from coachwright.light.far_field import (
    COMPILED_FROM_PAIRS,
    Emitter,
    Grid,
    Pane,
    candela_toward,
    far_field,
    grid_vectors,
    head_far_field,
    pane_transmittance,
)
from coachwright.light.glass import clear_transmittance, tinted_transmittance
from coachwright.parts.photometry import beam_table, bilinear
from coachwright.parts.schema import Beam, ColourOutput

DEG = math.radians(1.0)
ROUND_72 = Grid(tuple(5 * DEG * number for number in range(72)), (-5 * DEG, 0.0, 5 * DEG))
BELL = Beam(shape="bell", half_width=28 * DEG, half_height=8 * DEG)
BEAMS = st.sampled_from(
    [
        BELL,
        Beam(shape="bell", half_width=9 * DEG, half_height=3.6 * DEG),
        Beam(shape="bell", half_width=70 * DEG, half_height=40 * DEG),
        Beam(shape="cosine", power=1.0),
        Beam(shape="cosine", power=8.0),
        Beam(shape="flat", half_width=30 * DEG, half_height=12 * DEG, shoulder=10 * DEG),
    ]
)
BEARINGS = st.floats(0.0, math.tau)
ELEVATIONS = st.floats(-1.4, 1.4)
POSES = st.builds(
    lambda bearing, elevation, roll: Pose.facing(
        (0.0, 0.0, 1.0), bearing_rad=bearing, elevation_rad=elevation, roll_rad=roll
    ),
    BEARINGS,
    ELEVATIONS,
    st.floats(-math.pi, math.pi),
)


def emitter(beam: Beam = BELL, *, flux_lm: float = 200.0, pose: Pose | None = None, **rest: object) -> Emitter:
    """One colour of a head that looks forward, with nothing in its way."""
    stands = pose or Pose.facing((0.0, 0.0, 1.0), bearing_rad=0.0)
    out = rest.pop("outward", stands.forward)
    return Emitter(stands.forward, stands.up, ColourOutput(flux=flux_lm, current=1.0, beam=beam), out, **rest)  # type: ignore[arg-type]


def plain_reference(source: Emitter, grid: Grid) -> np.ndarray:
    """Every direction by itself: angles of the goniometer, the table, the pane, the body."""
    table = beam_table(source.output)
    pose = Pose((0.0, 0.0, 0.0), source.forward, source.up)
    found = []
    for vector in map(tuple, grid_vectors(grid).T.tolist()):
        h, v = type_a_of(vector, pose)
        cd = float(bilinear(table, h, v))
        if source.pane is not None:
            cd *= pane_transmittance(source.pane, vector)
        cosine = sum(one * other for one, other in zip(vector, source.outward, strict=True))
        found.append(cd if cosine >= math.cos(source.clear_rad) - 1e-12 else 0.0)
    return np.array(found).reshape(grid.shape)


# ------------------------------------------------------------------------------------------------------------- print
def test_even_hemisphere_agrees_with_its_solid_angle() -> None:
    """1000 lm spread evenly over half of all directions, 2 pi sr, is 159.155 cd everywhere in front, none behind."""
    even = emitter(Beam(shape="cosine", power=0.0), flux_lm=1000.0)
    found = head_far_field(even, Grid(tuple(10 * DEG * step for step in (0, 4, 8, 28, 32, 12, 18, 24)), (0.0, 0.5)))

    assert found[:, :5] == pytest.approx(np.full((2, 5), 159.155), rel=1e-5)
    assert not found[:, 5:].any()


def test_cosine_head_agrees_with_lambert() -> None:
    """A flat matt source of pi lm has 1 cd on its axis and cos 60 deg = 0.5 cd at 60 deg (Lambert's cosine law)."""
    matt = emitter(Beam(shape="cosine", power=1.0), flux_lm=math.pi)
    found = head_far_field(matt, Grid((0.0, 60 * DEG, 300 * DEG), (0.0,)))[0]

    assert found == pytest.approx([1.0, 0.5, 0.5], rel=2e-3)


@pytest.mark.parametrize(("bearing_deg", "elevation_deg"), [(0, 8), (28, 0), (332, 0), (0, -8)])
def test_bell_halves_at_its_half_angles_as_its_name_says(bearing_deg: float, elevation_deg: float) -> None:
    """Half-width and half-height are where half of the axial intensity is left (definition of the beam)."""
    axis, aside = (
        candela_toward(emitter(), direction(bearing_rad=b * DEG, elevation_rad=e * DEG))
        for b, e in ((0, 0), (bearing_deg, elevation_deg))
    )

    assert aside == pytest.approx(axis / 2, rel=0.01)


def test_angles_are_taken_in_plan_as_49_cfr_571_108_s14_2_5_8_1_3_has_it() -> None:
    """Horizontal angles in plan, vertical angle true elevation: a tilted head keeps its bell about its own axes."""
    up = emitter(pose=Pose.facing((0.0, 0.0, 1.0), bearing_rad=0.7, elevation_rad=20 * DEG))
    axis = candela_toward(up, direction(bearing_rad=0.7, elevation_rad=20 * DEG))

    assert axis == pytest.approx(beam_table(up.output).peak_cd)
    assert candela_toward(up, direction(bearing_rad=0.7, elevation_rad=28 * DEG)) == pytest.approx(axis / 2, rel=0.01)


@pytest.mark.parametrize("tilt_deg", [0.0, 22.6, 53.0, 60.0])
def test_pane_takes_what_fresnel_takes_at_the_true_angle(tilt_deg: float) -> None:
    """Light that meets a pane marked 42 % at an angle gets through as Fresnel's equations with its tint have it."""
    pane = Pane(direction(bearing_rad=0.0, elevation_rad=tilt_deg * DEG), 0.42, 1.52)
    bare, behind = candela_toward(emitter(), (1.0, 0.0, 0.0)), candela_toward(emitter(pane=pane), (1.0, 0.0, 0.0))

    assert behind / bare == pytest.approx(tinted_transmittance(tilt_deg * DEG, at_normal=0.42))
    if tilt_deg == 0.0:
        assert behind / bare == pytest.approx(0.42)


def test_pane_marked_clearer_than_glass_is_clear_glass() -> None:
    """Two faces of index 1.52 leave 91.8 % straight on (Fresnel): a pane marked 100 % can't let more through."""
    assert pane_transmittance(Pane((1.0, 0.0, 0.0), 1.0, 1.52), (1.0, 0.0, 0.0)) == pytest.approx(
        clear_transmittance(0.0)
    )
    assert clear_transmittance(0.0) == pytest.approx(0.918, abs=1e-3)


# --------------------------------------------------------------------------------------------------------------- law
@given(BEAMS, POSES)
def test_the_sphere_carries_the_flux(beam: Beam, pose: Pose) -> None:
    """Law: however a head is turned, intensity summed over solid angle is its flux."""
    elevations = tuple((number + 0.5) * 3 * DEG for number in range(-30, 30))
    grid = Grid(tuple((number + 0.5) * 3 * DEG for number in range(120)), elevations)
    found = head_far_field(emitter(beam, pose=pose), grid)
    flux_lm = float((found * np.cos(np.array(elevations))[:, None]).sum() * (3 * DEG) ** 2)

    assert flux_lm == pytest.approx(200.0, rel=0.02)


@given(BEAMS, st.integers(0, 71))
def test_turning_a_head_shifts_its_curve(beam: Beam, steps: int) -> None:
    """Law: aim turned by d moves the curve over bearings by d."""
    turned = emitter(beam, pose=Pose.facing((0.0, 0.0, 1.0), bearing_rad=5 * DEG * steps))

    assert head_far_field(turned, ROUND_72) == pytest.approx(
        np.roll(head_far_field(emitter(beam), ROUND_72), steps, axis=1), abs=1e-6
    )


@given(BEAMS, POSES, st.floats(0.2, 3.0))
def test_mirrored_vehicle_swaps_left_and_right(beam: Beam, pose: Pose, clear_rad: float) -> None:
    """Law: beams are even, so a head on the other side shines there as this one does here."""
    pane = Pane(pose.forward, 0.42, 1.52)
    here = emitter(beam, pose=pose, clear_rad=clear_rad, pane=pane)
    over_there = pose.mirrored()
    there = emitter(beam, pose=over_there, clear_rad=clear_rad, pane=Pane(over_there.forward, 0.42, 1.52))
    swapped = np.roll(head_far_field(here, ROUND_72)[:, ::-1], 1, axis=1)

    assert head_far_field(there, ROUND_72) == pytest.approx(swapped, abs=1e-6)


@given(BEAMS, POSES, st.floats(1.0, 500.0), st.floats(1.0, 20.0))
def test_light_grows_with_flux(beam: Beam, pose: Pose, flux_lm: float, times: float) -> None:
    """Law: twice the flux is twice the light everywhere, so more is never less."""
    one = head_far_field(emitter(beam, flux_lm=flux_lm, pose=pose), ROUND_72)
    more = head_far_field(emitter(beam, flux_lm=flux_lm * times, pose=pose), ROUND_72)

    assert more == pytest.approx(one * times, rel=1e-9, abs=1e-9)


@given(BEAMS, POSES, BEARINGS, st.floats(0.1, 0.9), st.floats(0.3, 3.1))
def test_what_is_in_the_way_only_takes(
    beam: Beam, pose: Pose, bearing_rad: float, share: float, clear_rad: float
) -> None:
    """Law: behind a pane or beside the body no direction gets more, and none gets more than the pane lets through."""
    pane = Pane(direction(bearing_rad=bearing_rad, elevation_rad=0.2), 0.9, 1.52, film_share=share)
    bare = head_far_field(emitter(beam, pose=pose), ROUND_72)
    behind = head_far_field(emitter(beam, pose=pose, pane=pane, clear_rad=clear_rad), ROUND_72)

    assert (behind <= bare * (0.9 * share + 1e-9)).all()
    toward = np.array(pose.forward) @ grid_vectors(ROUND_72)
    assert not behind.ravel()[toward < math.cos(clear_rad) - 1e-9].any()
    assert not behind.ravel()[np.array(pane.normal) @ grid_vectors(ROUND_72) < 0.0].any()


# -------------------------------------------------------------------------------------------- compiled and plain agree
@given(BEAMS, POSES, st.floats(0.3, math.pi), st.booleans(), BEARINGS)
def test_both_ways_agree_with_every_direction_by_itself(
    beam: Beam, pose: Pose, clear_rad: float, behind: bool, bearing_rad: float
) -> None:
    """Law: what is skipped is dark, and compiled or not the candela are those of the table (promise: 0.1 cd)."""
    pane = Pane(direction(bearing_rad=bearing_rad), 0.42, 1.52, film_share=0.35) if behind else None
    source = emitter(beam, flux_lm=500.0, pose=pose, clear_rad=clear_rad, pane=pane)
    grid = Grid(tuple(13 * DEG * number for number in range(28)), tuple(15 * DEG * number for number in range(-6, 7)))
    expected = plain_reference(source, grid)

    assert head_far_field(source, grid) == pytest.approx(expected, abs=1e-6)
    assert head_far_field(source, grid, compiled=True) == pytest.approx(expected, abs=1e-6)


def test_uneven_tables_are_looked_up_alike() -> None:
    """Law: the compiled loop guesses a cell and then goes to the right one, also where steps differ."""
    rng = np.random.default_rng(5)
    v, h = np.array([-1.2, -0.3, -0.29, 0.0, 0.8, 1.5]), np.array([-3.0, -2.9, -0.2, 0.0, 0.1, 2.0, 3.1])
    cd = rng.uniform(0, 1000, (len(v), len(h)))
    vectors = rng.normal(size=(2000, 3))
    vectors /= np.linalg.norm(vectors, axis=1)[:, None]
    found = np.empty(2000)
    kernel.look_up(
        np.ascontiguousarray(vectors.T), np.eye(3), v, h, cd, np.array([1.0, 0.0, 0.0]), -2.0, np.ones(2000), found
    )

    angles_h, angles_v = np.arctan2(-vectors[:, 1], vectors[:, 0]), np.arcsin(vectors[:, 2])
    from coachwright.parts.photometry import CandelaTable

    assert found == pytest.approx(bilinear(CandelaTable(v, h, cd), angles_h, angles_v), abs=1e-6)


@given(st.floats(-math.pi, math.pi), st.floats(1e-9, 1.0))
def test_angles_of_the_compiled_loop_agree_with_the_library(angle_rad: float, length: float) -> None:
    """Law: its arctangent is that of the C library to 1e-12 of a radian, in all four quarters."""
    aside, ahead = length * math.sin(angle_rad), length * math.cos(angle_rad)

    assert kernel._angle(aside, ahead) == pytest.approx(math.atan2(aside, ahead), abs=1e-12)


def test_compiled_without_a_folder_to_keep_it_in(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: nothing can be written; the loop is compiled for this process alone."""
    asked: list[dict[str, object]] = []

    def njit(**options: object) -> Callable[[object], object]:
        asked.append(options)
        if options.get("cache"):
            raise RuntimeError("cannot cache function: no locator available")
        return lambda function: function

    monkeypatch.setattr(kernel.numba, "njit", njit)

    assert kernel._compiled(kernel._look_up) is kernel._look_up
    assert [options.get("cache") for options in asked] == [True, None]


# -------------------------------------------------------------------------------------------------------------- case
def test_one_changed_aim_works_out_one_head() -> None:
    """Case: of twelve heads one is turned; one is worked out anew."""
    heads = [emitter(pose=Pose.facing((0.0, 0.0, 1.0), bearing_rad=0.51 * number + 0.013)) for number in range(12)]
    far_field(heads, ROUND_72)
    before = head_far_field.calls
    turned = Pose.facing((0.0, 0.0, 1.0), bearing_rad=3.3)
    changed = far_field([*heads[:5], replace(heads[5], forward=turned.forward, up=turned.up), *heads[6:]], ROUND_72)

    assert head_far_field.calls == before + 1
    assert changed[4] == pytest.approx(head_far_field(heads[4], ROUND_72))


def test_heads_in_one_direction_are_one_answer() -> None:
    """Case: far away the place of a head plays no part, so moving it along works out nothing."""
    here, there = (
        emitter(pose=Pose.facing((x, 0.4, 1.0), bearing_rad=1.234567)) for x in (0.0, -2.0)
    )  # fmt: skip
    head_far_field(here, ROUND_72)
    before = head_far_field.calls
    head_far_field(there, ROUND_72)

    assert head_far_field.calls == before


def test_little_work_needs_no_compiler() -> None:
    """Case: a vehicle of 60 heads and colours round 144 bearings is far below the work at which numba is imported."""
    assert COMPILED_FROM_PAIRS > 10 * 60 * 144 * 9
    code = (
        "import sys; from coachwright.light import measures; "
        "sys.exit('numba' in sys.modules or 'coachwright.light.kernel' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0
