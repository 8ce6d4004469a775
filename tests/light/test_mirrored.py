"""A lamp mirrored in its own pane: by hand, by Radiance, then laws."""

import math
import os
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyradiance.anci import BINPATH

from coachwright.kit.geom import Pose, Vector, direction, mirrored
from coachwright.light.driver import driver_eyes
from coachwright.light.far_field import Emitter, Pane
from coachwright.light.glass import clear_transmittance, pane_reflectance, tinted_transmittance
from coachwright.light.mirrored import reflection_at, veil_of
from coachwright.parts.photometry import beam_table
from coachwright.parts.schema import Beam, BodyPart, ColourOutput
from coachwright.parts.store import load_catalogue

DEG = math.radians(1.0)
BELL = ColourOutput(flux=200.0, current=1.0, beam=Beam(shape="bell", half_width=28 * DEG, half_height=8 * DEG))
ROUND = ColourOutput(flux=200.0, current=1.0, beam=Beam(shape="cosine", power=1.0))
WAYS = {"gap_m": 0.05, "mirror_share": 0.8}


def head(output: ColourOutput = BELL, *, bearing: float = math.pi, rise: float = 0.0, **pane: float) -> Emitter:
    """A head that looks level along a bearing, through a pane that faces it and leans back."""
    pose = Pose.facing((0.0, 0.0, 0.0), bearing_rad=bearing)
    glass = Pane(
        direction(bearing_rad=bearing, elevation_rad=rise), pane.get("share", 0.3), 1.52, pane.get("film", 1.0)
    )
    return Emitter(pose.forward, pose.up, output, pose.forward, pane=glass)


# ------------------------------------------------------------------------------------------------------------- print
def test_straight_back_by_hand() -> None:
    """Clear upright glass throws back 1 - 2 n/(n^2 + 1) = 0.08168 (Fresnel) of the axial light, from 3.05 m away."""
    clear = head(share=clear_transmittance(0.0))
    found = reflection_at(clear, (-3.95, 0.0, 1.6), (-1.0, 0.0, 1.6), **WAYS)

    assert found is not None
    assert found.share == pytest.approx(0.08168, abs=6e-6)
    assert found.intensity_cd == pytest.approx(0.8 * 0.08168 * beam_table(BELL).peak_cd, rel=1e-4)
    assert found.distance_m == pytest.approx(3.05)
    assert (found.in_mirror, found.off_sight_rad) == (True, pytest.approx(0.0, abs=1e-9))


def test_raked_glass_throws_level_light_down_by_twice_its_rake() -> None:
    """Law of reflection by hand: by a pane that leans back 20 deg level light goes down 40 deg, and at no level eye."""
    level, below = (1.0, 0.0, 1.6), (math.cos(40 * DEG), 0.0, 1.6 - math.sin(40 * DEG))
    ways = {"gap_m": 0.0, "mirror_share": 1.0}
    steep = head(rise=20 * DEG)
    misses = reflection_at(steep, (0.0, 0.0, 1.6), level, **ways)
    meets = reflection_at(steep, (0.0, 0.0, 1.6), below, **ways)

    assert misses is not None
    assert meets is not None
    assert misses.intensity_cd == pytest.approx(0.0, abs=1e-3 * beam_table(BELL).peak_cd)
    assert meets.intensity_cd == pytest.approx(
        beam_table(BELL).peak_cd * pane_reflectance(20 * DEG, at_normal=0.3), rel=1e-6
    )


def test_veil_by_hand() -> None:
    """10 cd, 2 m, 10 deg: E = 2.462 lx, at 65 L = E (0.01 + 0.055 x 2.1699 + 0.00125) = 0.3215 (CIE 146, by hand)."""
    found = reflection_at(head(ROUND), (-3.0, 0.0, 1.6), (0.0, 0.0, 1.6), **WAYS)
    assert found is not None
    here = replace(found, intensity_cd=10.0, distance_m=2.0, off_sight_rad=10 * DEG)
    assert veil_of(here, age_years=65.0) == pytest.approx(2.4620 * (0.01 + 0.055 * 2.16986 + 0.00125), rel=1e-4)


# ------------------------------------------------------------------------------------------------------------ oracle
def radiance(folder: Path, scene: str, rays: list[tuple[Vector, Vector]]) -> list[float]:
    """What Radiance sees along rays (from, toward)."""
    (folder / "scene.rad").write_text(scene)
    with (folder / "scene.oct").open("wb") as octree:
        subprocess.run([str(BINPATH / "oconv"), "scene.rad"], cwd=folder, stdout=octree, check=True)
    text = "".join(" ".join(f"{x:.12g}" for x in (*start, *way)) + "\n" for start, way in rays)
    words = "rtrace -h -ov -ab 0 -lr 12 -lw 1e-9 -st 0 scene.oct".split()
    done = subprocess.run(
        [str(BINPATH / words[0]), *words[1:]],
        input=text,
        text=True,
        cwd=folder,
        capture_output=True,
        check=True,
        env=os.environ | {"RAYPATH": str(BINPATH.parent / "lib")},
    )
    return [float(line.split()[0]) for line in done.stdout.strip().splitlines()]


@pytest.mark.parametrize("inner", [1.0, 0.76, 0.3])
def test_radiance_sees_as_much_through_and_in_a_pane(tmp_path: Path, inner: float) -> None:
    """Its material glass (index 1.52, share within the glass given) at seven angles: transmittance and reflectance."""
    scene = f"void glass pane\n0\n0\n3 {inner} {inner} {inner}\nvoid glow bright\n0\n0\n4 1 1 1 0\n"
    scene += (
        "pane polygon p\n0\n0\n12 -100 -100 0 100 -100 0 100 100 0 -100 100 0\nbright source up\n0\n0\n4 0 0 1 180\n"
    )
    angles = [angle * DEG for angle in (0, 20, 40, 56.66, 65, 75, 85)]
    ways = [(math.sin(angle), math.cos(angle)) for angle in angles]
    through = radiance(tmp_path, scene, [((-x, 0.0, -z), (x, 0.0, z)) for x, z in ways])
    back = radiance(tmp_path, scene, [((-x, 0.0, z), (x, 0.0, -z)) for x, z in ways])

    face = ((1.52 - 1) / (1.52 + 1)) ** 2
    at_normal = (1 - face) ** 2 * inner / (1 - (face * inner) ** 2)
    assert through == pytest.approx([tinted_transmittance(angle, at_normal=at_normal) for angle in angles], rel=2e-6)
    assert back == pytest.approx([pane_reflectance(angle, at_normal=at_normal) for angle in angles], rel=2e-6)


@pytest.mark.parametrize(
    ("rise_deg", "eye_m"), [(1, (3.9, 0.1, -0.3)), (8, (2.7, 0.42, -0.14)), (30, (1.5, -0.6, -1.1))]
)
def test_radiance_sees_the_lamp_where_we_put_its_image(tmp_path: Path, rise_deg: float, eye_m: Vector) -> None:
    """A glowing ball of 4 mm behind a raked pane: sought from the eye at our image, it has the light of our share."""
    gap_m, at_normal = 0.05, 0.3
    lamp = head(ROUND, rise=rise_deg * DEG, share=at_normal)
    found = reflection_at(lamp, (0.0, 0.0, 0.0), eye_m, gap_m=gap_m, mirror_share=1.0)
    assert found is not None
    assert lamp.pane is not None
    normal = lamp.pane.normal
    face = ((1.52 - 1) / (1.52 + 1)) ** 2
    inner = _inner(at_normal, face)
    middle = tuple(gap_m * each for each in normal)
    up = (-normal[2], 0.0, normal[0])
    corners = [
        tuple(middle[axis] + 50 * (one * up[axis] + other * (0.0, 1.0, 0.0)[axis]) for axis in range(3))
        for one, other in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    scene = f"void glass pane\n0\n0\n3 {inner} {inner} {inner}\nvoid glow lamp\n0\n0\n4 1 1 1 0\n"
    scene += "lamp sphere ball\n0\n0\n4 0 0 0 0.004\npane polygon p\n0\n0\n12 "
    scene += " ".join(f"{x:.12g}" for corner in corners for x in corner) + "\n"
    image = tuple(2 * gap_m * each for each in normal)
    toward = (image[0] - eye_m[0], image[1] - eye_m[1], image[2] - eye_m[2])
    past = (toward[0], toward[1] + 0.02, toward[2])

    at_image, beside = radiance(tmp_path, scene, [(eye_m, toward), (eye_m, past)])
    assert at_image == pytest.approx(found.share, rel=2e-6)
    assert beside == 0.0
    assert found.distance_m == pytest.approx(math.hypot(*toward))


def _inner(at_normal: float, face: float) -> float:
    """Share within the glass that gives `at_normal`, by halving."""
    low, high = 0.0, 1.0
    for _ in range(200):
        middle = (low + high) / 2
        if (1 - face) ** 2 * middle / (1 - (face * middle) ** 2) < at_normal:
            low = middle
        else:
            high = middle
    return low


# --------------------------------------------------------------------------------------------------------------- law
EYES = st.tuples(st.floats(0.3, 5.0), st.floats(-1.5, 1.5), st.floats(-1.5, 1.5))


@given(EYES, st.floats(0.0, 0.5), st.floats(0.02, 0.9), st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_a_darker_film_never_mirrors_more_at_the_driver(
    eye_m: Vector, rise: float, share: float, one: float, other: float
) -> None:
    """Law: more film, never more light."""
    dark, light = sorted((one, other))
    darker, lighter = (
        reflection_at(head(rise=rise, share=share, film=film), (0.0, 0.0, 0.0), eye_m, **WAYS) for film in (dark, light)
    )

    assert (darker is None) == (lighter is None)
    if darker is not None and lighter is not None:
        assert darker.intensity_cd <= lighter.intensity_cd + 1e-9


@given(EYES, st.floats(0.0, 0.5), st.floats(0.02, 0.9), st.floats(-0.6, 0.6))
def test_left_and_right_are_alike(eye_m: Vector, rise: float, share: float, turn: float) -> None:
    """Law: a mirrored head behind a mirrored pane, seen by a mirrored eye."""
    left = reflection_at(head(bearing=math.pi + turn, rise=rise, share=share), (0.0, 0.3, 0.0), eye_m, **WAYS)
    right = reflection_at(
        head(bearing=math.pi - turn, rise=rise, share=share), (0.0, -0.3, 0.0), mirrored(eye_m), **WAYS
    )

    assert (left is None) == (right is None)
    if left is not None and right is not None:
        assert left.intensity_cd == pytest.approx(right.intensity_cd, rel=1e-6, abs=1e-9)
        assert veil_of(left, age_years=65.0) == pytest.approx(veil_of(right, age_years=65.0), rel=1e-5, abs=1e-12)


@given(EYES, st.floats(0.0, 0.5), st.floats(0.02, 0.9))
def test_no_more_comes_back_than_was_sent(eye_m: Vector, rise: float, share: float) -> None:
    """Law: and never more than the head's peak."""
    found = reflection_at(head(rise=rise, share=share), (0.0, 0.0, 0.0), eye_m, **WAYS)

    if found is not None:
        assert 0.0 < found.share <= 1.0
        assert found.intensity_cd <= found.share * beam_table(BELL).peak_cd * (1 + 1e-9)


# -------------------------------------------------------------------------------------------------------------- case
def test_no_pane_and_an_eye_outside_have_no_reflection() -> None:
    """Case: a lamp outside mirrors in nothing; who stands before the pane sees the lamp itself."""
    outside = Emitter((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), BELL, (-1.0, 0.0, 0.0))

    assert reflection_at(outside, (0.0, 0.0, 0.0), (2.0, 0.0, 0.0), **WAYS) is None
    assert reflection_at(head(), (0.0, 0.0, 0.0), (-2.0, 0.0, 0.0), **WAYS) is None


def test_the_eye_is_over_the_drivers_seat() -> None:
    """Case: of every body that has one."""
    bodies = [part for part in load_catalogue().of_kind("body") if isinstance(part, BodyPart)]

    assert len(bodies) == 5
    for body in bodies:
        seat = body.seats["driver"]
        assert driver_eyes(body) == (seat.x, seat.y, seat.eye_z)
