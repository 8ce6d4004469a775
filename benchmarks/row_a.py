"""Coverage, the far field: candela of sixty heads round the vehicle, and six situations as weights over them.

Three comparisons: plain vectorised numpy, Radiance's rcontrib on a scene of small spheres, and what is left to do after
one head was turned or the situation changed. Ground points and shadows of the body's mesh belong to this row as well
and come with the mesh.
"""

import math
import os
import statistics
import subprocess
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from benchmarks.rows import Agreement, Bench, Job, Outcome, Row, Trial
from coachwright.kit.geom import Pose
from coachwright.kit.wave import Wave
from coachwright.light.coverage import effective_cd, gathered, merged, optical_power
from coachwright.light.far_field import Emitter, Grid, far_field, grid_vectors, head_far_field
from coachwright.parts.photometry import beam_table
from coachwright.parts.schema import Beam, ColourOutput

Floats: TypeAlias = NDArray[np.float64]

HEADS_N = 60
SITUATIONS_N = 6
FAR_M = 3_000.0
SPHERE_M = 0.000_5
ROOM_M = 0.2
"""Distance of Radiance's sensors, radius of its lights, and the edge of the cube in which they are strewn. So far away
parallax is below 5e-5 of a radian, and so small a light hardly ever stands in the way of another. [m]"""

SAME_CD = 0.1
SAME_SHARE = 1e-3
"""Agreement asked of numpy [cd] and of Radiance (share of the head's peak)."""

DEG = math.radians(1.0)
FAR = Grid(tuple(5 * DEG * number for number in range(72)), tuple(5 * DEG * number for number in range(-2, 11)))
"""936 directions: 72 bearings from 10 deg down to 50 deg up."""


@dataclass(frozen=True, slots=True)
class Scene:
    """Heads of a made-up vehicle and the share of full light of each of them in each situation."""

    emitters: tuple[Emitter, ...]
    weights: Floats


@cache
def scene(scale: int) -> Scene:
    """Sixty heads times `scale`, no two alike; seeded, so the same every time."""
    rng = np.random.default_rng(17)
    emitters = []
    for number in range(HEADS_N * scale):
        pose = Pose.facing((0.0, 0.0, 0.0), bearing_rad=rng.uniform(0, math.tau), elevation_rad=rng.uniform(-0.1, 0.1))
        shape = (
            Beam(shape="bell", half_width=rng.uniform(15, 35) * DEG, half_height=rng.uniform(5, 12) * DEG)
            if number % 3
            else Beam(shape="cosine", power=rng.uniform(1, 8))
        )
        output = ColourOutput(flux=rng.uniform(80, 500), current=1.0, beam=shape)
        emitters.append(Emitter(pose.forward, pose.up, output, pose.forward))
        beam_table(output)
    return Scene(tuple(emitters), rng.uniform(0, 1, (SITUATIONS_N, len(emitters))))


def in_situations(matrix: Floats, weights: Floats) -> Floats:
    """Light of each situation toward each direction, (situations, directions). [cd]"""
    return np.asarray(weights @ matrix.reshape(len(matrix), -1), dtype=np.float64)


def matrix_of(answer: object) -> Floats:
    """Candela of each head toward each direction, the first half of an answer, (heads, directions). [cd]"""
    assert isinstance(answer, tuple)
    matrix: Floats = answer[0]
    return matrix.reshape(len(matrix), -1)


# ---- ours, and numpy


def ours(made: Scene) -> tuple[Floats, Floats]:
    """Everything anew: no answer of an earlier round is remembered."""
    head_far_field.clear()
    matrix = far_field(made.emitters, FAR, compiled=True)
    return matrix, in_situations(matrix, made.weights)


def stacked_tables(made: Scene) -> tuple[Floats, Floats, Floats, Floats]:
    """Every table one behind the other, its ends, and the heads' axes: ready for numpy to look up all at once."""
    tables = [beam_table(emitter.output) for emitter in made.emitters]
    ends = np.array(
        [(t.vertical_rad[0], t.vertical_rad[-1], t.horizontal_rad[0], t.horizontal_rad[-1]) for t in tables]
    )
    axes = np.array([Pose((0.0, 0.0, 0.0), each.forward, each.up).axes() for each in made.emitters])
    return np.array([table.candela_cd for table in tables]), ends, axes, grid_vectors(FAR)


def by_numpy(made: Scene, tables: Floats, ends: Floats, axes: Floats, vectors: Floats) -> tuple[Floats, Floats]:
    """All heads and directions in one go of whole-array operations, bilinear on equal steps."""
    ahead, left, up = np.moveaxis(np.einsum("hij,jd->hid", axes, vectors, optimize=True), 1, 0)
    h, v = np.arctan2(-left, ahead), np.arctan2(up, np.hypot(ahead, left))
    v_low, v_high, h_low, h_high = (ends[:, place, None] for place in range(4))
    rows_n, columns_n = tables.shape[1:]
    row_at = (v - v_low) * (rows_n - 1) / (v_high - v_low)
    column_at = (h - h_low) * (columns_n - 1) / (h_high - h_low)
    row = np.clip(row_at.astype(np.intp), 0, rows_n - 2)
    column = np.clip(column_at.astype(np.intp), 0, columns_n - 2)
    over, right = row_at - row, column_at - column
    head = np.arange(len(tables))[:, None]
    below = tables[head, row, column] * (1 - right) + tables[head, row, column + 1] * right
    above = tables[head, row + 1, column] * (1 - right) + tables[head, row + 1, column + 1] * right
    inside = (v >= v_low) & (v <= v_high) & (h >= h_low) & (h <= h_high)
    matrix = np.where(inside, below * (1 - over) + above * over, 0.0)
    return matrix, in_situations(matrix, made.weights)


def against_numpy(scale: int) -> Job:
    """The same heads, tables and directions for both."""
    made = scene(scale)
    prepared = stacked_tables(made)
    return Job(lambda: ours(made), lambda: by_numpy(made, *prepared), within_candela, _size(made))


def within_candela(our: object, peer: object) -> Agreement:
    """Largest difference of any head toward any direction."""
    ours_cd, peers_cd = matrix_of(our), matrix_of(peer)
    worst_cd = float(abs(ours_cd - peers_cd).max())
    return Agreement(worst_cd <= SAME_CD, f"at most {worst_cd:.2g} cd apart, {SAME_CD} cd allowed")


# ---- Radiance

_ANGLES = """\
{ Type A angles of a head (forward, left, up: A1..A9); D: from sensor to head; ends of its table: arguments 10 to 13. }
ahead = -(Dx*A1 + Dy*A2 + Dz*A3);
left = -(Dx*A4 + Dy*A5 + Dz*A6);
up = -(Dx*A7 + Dy*A8 + Dz*A9);
h_angle = atan2(-left, ahead);
v_angle = atan2(up, sqrt(ahead*ahead + left*left));
within(v) = if(v_angle - arg(10), if(arg(11) - v_angle, if(h_angle - arg(12), if(arg(13) - h_angle, v, 0), 0), 0), 0);
"""


def by_radiance(folder: Path, made: Scene) -> tuple[Floats, Floats]:
    """Contribution of every head to a sensor far out in every direction. [cd]"""
    from pyradiance.anci import BINPATH

    rays = (folder / "rays").read_bytes()
    command = [
        str(BINPATH / "rcontrib"),
        *"-n 2 -h- -fdd -I+ -V+ -lw 0 -lr 0 -ab 0 -dt 0 -dj 0 -ds 0 -dc 1 -M mods scene.oct".split(),
    ]
    libraries = {**os.environ, "RAYPATH": f"{BINPATH.parent / 'lib'}{os.pathsep}."}
    done = subprocess.run(command, input=rays, capture_output=True, cwd=folder, check=True, env=libraries)
    found = np.frombuffer(done.stdout, dtype="<f8").reshape(-1, len(made.emitters), 3)[:, :, 0]
    matrix = np.ascontiguousarray(found.T)
    return matrix, in_situations(matrix, made.weights)


def radiance_scene(folder: Path, made: Scene) -> None:
    """One small sphere for each head, its table as data, a sensor far out in each direction that faces the vehicle."""
    from pyradiance.anci import BINPATH

    lines, names = [], []
    places_m = strewn_m(len(made.emitters))
    for number, emitter in enumerate(made.emitters):
        table, name = beam_table(emitter.output), f"head{number}"
        v, h = table.vertical_rad, table.horizontal_rad
        heading = f"2\n{v[0]:.15g} {v[-1]:.15g} {len(v)}\n{h[0]:.15g} {h[-1]:.15g} {len(h)}\n"
        (folder / f"{name}.dat").write_text(heading + " ".join(f"{cd:.9g}" for cd in table.candela_cd.ravel()) + "\n")
        axes = Pose((0.0, 0.0, 0.0), emitter.forward, emitter.up).axes().ravel()
        numbers = " ".join(f"{float(value):.12g}" for value in (*axes, v[0], v[-1], h[0], h[-1]))
        bright = FAR_M**2 / (math.pi * SPHERE_M**2)  # so that a sensor reads candela: small figures would be dropped
        place = " ".join(f"{value:.6f}" for value in places_m[number])
        lines += [
            f"void brightdata {name}_beam\n5 within {name}.dat angles.cal v_angle h_angle\n0\n13 {numbers}",
            f"{name}_beam light {name}\n0\n0\n3 {bright:.9g} {bright:.9g} {bright:.9g}",
            f"{name} sphere {name}_ball\n0\n0\n4 {place} {SPHERE_M}",
        ]
        names.append(name)
    (folder / "angles.cal").write_text(_ANGLES)
    (folder / "scene.rad").write_text("\n\n".join(lines) + "\n")
    (folder / "mods").write_text("\n".join(names) + "\n")
    vectors = grid_vectors(FAR).T
    (folder / "rays").write_bytes(np.hstack([vectors * FAR_M, -vectors]).astype("<f8").tobytes())
    built = subprocess.run([str(BINPATH / "oconv"), "scene.rad"], capture_output=True, cwd=folder, check=True)
    (folder / "scene.oct").write_bytes(built.stdout)


_FOLDERS: list[tempfile.TemporaryDirectory[str]] = []
"""Scenes live as long as the run."""


def against_radiance(scale: int) -> Job:
    """The scene and its octree are made before the clock runs."""
    made = scene(scale)
    _FOLDERS.append(tempfile.TemporaryDirectory(prefix="row-a-"))
    folder = Path(_FOLDERS[-1].name)
    radiance_scene(folder, made)
    return Job(lambda: ours(made), lambda: by_radiance(folder, made), within_share_of_peak(made), _size(made))


def strewn_m(heads_n: int) -> Floats:
    """Where the heads of Radiance's scene are, (heads, 3); seeded. [m]"""
    return np.random.default_rng(23).uniform(-ROOM_M / 2, ROOM_M / 2, (heads_n, 3))


def shadowed(heads_n: int) -> NDArray[np.bool_]:
    """Pairs of head and direction in which another head's sphere stands in the way, (heads, directions)."""
    places_m, vectors = strewn_m(heads_n), grid_vectors(FAR)
    found = np.zeros((heads_n, vectors.shape[1]), dtype=np.bool_)
    for number, place_m in enumerate(places_m):
        others_m = np.delete(places_m, number, axis=0) - place_m
        along_m = others_m @ vectors
        aside_m = np.sqrt(np.maximum((others_m**2).sum(axis=1)[:, None] - along_m**2, 0.0))
        found[number] = ((along_m > 0.0) & (aside_m < 2 * SPHERE_M)).any(axis=0)
    return found


def within_share_of_peak(made: Scene) -> Callable[[object, object], Agreement]:
    """Difference of any head toward any direction as a share of that head's peak, where no other head is in the way."""
    peaks_cd = np.array([beam_table(emitter.output).peak_cd for emitter in made.emitters])[:, None]
    hidden = shadowed(len(made.emitters))

    def agree(our: object, peer: object) -> Agreement:
        apart = abs(matrix_of(our) - matrix_of(peer)) / peaks_cd
        worst = float(apart[~hidden].max())
        return Agreement(
            worst <= SAME_SHARE,
            f"at most {worst:.3%} of a head's peak apart, {SAME_SHARE:.1%} allowed; left out: {int(hidden.sum())} of "
            f"{apart.size} pairs in which Radiance's spheres stand before each other",
        )

    return agree


# ---- what is left to do


def edits() -> Outcome:
    """One head turned, and a situation changed, against a full run; the answers are those of a full run."""
    made = scene(1)
    full_s, edit_s, situation_s, calls = [], [], [], set()
    waves = tuple(
        Wave.of([(60 + 10 * (number % 4), 1.0), (40, 0.0), (60, 1.0), (340 - 10 * (number % 4), 0.0)]).shift(
            250 * (number % 2)
        )
        for number in range(HEADS_N)
    )
    together = merged(waves, ["controller"] * HEADS_N)
    same = True
    for number in range(9):
        turned = Pose.facing((0.0, 0.0, 0.0), bearing_rad=0.1 + 0.3 * number)
        emitters = list(made.emitters)
        emitters[number] = replace(emitters[number], forward=turned.forward, up=turned.up, outward=turned.forward)
        full_s.append(_seconds(lambda: ours(made)))
        before = head_far_field.calls
        edit_s.append(_seconds(lambda emitters=emitters: far_field(emitters, FAR, compiled=True)))  # type: ignore[misc]
        calls.add(head_far_field.calls - before)
        edited = far_field(emitters, FAR, compiled=True)
        head_far_field.clear()
        same = same and bool((edited == far_field(emitters, FAR, compiled=True)).all())
        light = edited.reshape(HEADS_N, -1)
        dimmed = np.full(HEADS_N, 0.4 + 0.05 * number)
        situation_s.append(
            _seconds(
                lambda light=light, dimmed=dimmed: (  # type: ignore[misc]
                    optical_power(together, gathered(together, light, dimmed)),
                    effective_cd(together, gathered(together, light, dimmed)),
                )
            )
        )
    full, edit, change = (statistics.median(times[1:]) for times in (full_s, edit_s, situation_s))
    return Outcome(
        same and calls == {1} and change <= 0.010,
        (
            f"one head turned: {max(calls)} worked out anew of {HEADS_N}, its candela those of a full run: {same}",
            f"one head turned takes {edit / full:.2f} of a full run (1/10 is aimed at)",
            f"situation changed: power and effective intensity toward all in {change * 1000:.2g} ms (10 ms allowed)",
        ),
    )


def _seconds(call: Callable[[], object]) -> float:
    start_s = time.perf_counter()
    call()
    return time.perf_counter() - start_s


def _size(made: Scene) -> str:
    return f"{len(made.emitters)} heads of 37x73, {math.prod(FAR.shape)} directions, {SITUATIONS_N} situations"


ROWS: list[Row] = [
    Bench(
        "A-far-numpy",
        "candela of each head toward each far direction, and six situations as weights over them",
        "plain numpy, all heads and directions at once on stacked tables",
        goal_times=2.0,  # five times is asked of the whole row, where numpy needs a second library for shadows
        job=against_numpy,
        packages=("numpy", "numba"),
        peer_at=(1, 4),
    ),
    Bench(
        "A-far-radiance",
        "candela of each head toward each far direction, and six situations as weights over them",
        "Radiance rcontrib -n 2 on small spheres with the same tables, octree made before",
        goal_times=30.0,
        job=against_radiance,
        packages=("numpy", "numba", "pyradiance"),
        threads=lambda: "1 and 2",
    ),
    Trial(
        "A-far-edit",
        "one head turned, one situation changed",
        "a full run of the same",
        "one head is worked out anew, and a situation changes in 10 ms",
        edits,
        packages=("numpy", "numba"),
    ),
]
