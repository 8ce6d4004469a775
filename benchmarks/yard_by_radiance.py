"""Row A's scene for Radiance: a small sphere for each lamp, its table as data, the vehicle's triangles, and sensors."""

import math
import os
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from benchmarks.yard import Yard, far_vectors, ground
from coachwright.kit.geom import Pose
from coachwright.parts.photometry import beam_table

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]

FAR_M = 3_000.0
SPHERE_M = 0.000_5
"""Distance of the far sensors and radius of the lights. [m]"""

_ANGLES = """\
{ Type A angles of a head (forward, left, up: A1..A9); D: from sensor to head; ends of its table: arguments 10 to 13. }
ahead = -(Dx*A1 + Dy*A2 + Dz*A3);
left = -(Dx*A4 + Dy*A5 + Dz*A6);
up = -(Dx*A7 + Dy*A8 + Dz*A9);
h_angle = atan2(-left, ahead);
v_angle = atan2(up, sqrt(ahead*ahead + left*left));
within(v) = if(v_angle - arg(10), if(arg(11) - v_angle, if(h_angle - arg(12), if(arg(13) - h_angle, v, 0), 0), 0), 0);
"""


@dataclass(frozen=True, slots=True)
class Sensors:
    """places_m : where they are, (3, sensors). facing : unit vectors along which they look, (3, sensors)."""

    places_m: Floats
    facing: Floats


def round_the_yard() -> Sensors:
    """Far out in each direction, looking back at the vehicle, then on the ground, looking straight up."""
    up = np.zeros_like(ground().places_m)
    up[2] = 1.0
    return Sensors(np.hstack([far_vectors() * FAR_M, ground().places_m]), np.hstack([-far_vectors(), up]))


def write_scene(folder: Path, made: Yard, sensors: Sensors) -> None:
    """Files of the scene, its octree and the sensors."""
    from pyradiance.anci import BINPATH

    lines, names = ["void plastic sheet\n0\n0\n5 0 0 0 0 0"], []
    for number, source in enumerate(made.sources):
        emitter, name = source.emitter, f"head{number}"
        table = beam_table(emitter.output)
        v, h = table.vertical_rad, table.horizontal_rad
        heading = f"2\n{v[0]:.15g} {v[-1]:.15g} {len(v)}\n{h[0]:.15g} {h[-1]:.15g} {len(h)}\n"
        (folder / f"{name}.dat").write_text(heading + " ".join(f"{cd:.9g}" for cd in table.candela_cd.ravel()) + "\n")
        axes = Pose((0.0, 0.0, 0.0), emitter.forward, emitter.up).axes().ravel()
        numbers = " ".join(f"{float(value):.12g}" for value in (*axes, v[0], v[-1], h[0], h[-1]))
        bright = FAR_M**2 / (
            math.pi * SPHERE_M**2
        )  # so that a far sensor reads candela: small figures would be dropped
        place = " ".join(f"{value:.9f}" for value in source.view.position_m)
        lines += [
            f"void brightdata {name}_beam\n5 within {name}.dat angles.cal v_angle h_angle\n0\n13 {numbers}",
            f"{name}_beam light {name}\n0\n0\n3 {bright:.9g} {bright:.9g} {bright:.9g}",
            f"{name} sphere {name}_ball\n0\n0\n4 {place} {SPHERE_M}",
        ]
        names.append(name)
    for number, corners_m in enumerate(made.vertices_m[made.triangles]):
        lines.append(f"sheet polygon face{number}\n0\n0\n9 " + " ".join(f"{value:.12g}" for value in corners_m.ravel()))
    (folder / "angles.cal").write_text(_ANGLES)
    (folder / "scene.rad").write_text("\n\n".join(lines) + "\n")
    (folder / "mods").write_text("\n".join(names) + "\n")
    (folder / "rays").write_bytes(np.vstack([sensors.places_m, sensors.facing]).T.astype("<f8").tobytes())
    built = subprocess.run([str(BINPATH / "oconv"), "scene.rad"], capture_output=True, cwd=folder, check=True)
    (folder / "scene.oct").write_bytes(built.stdout)


def read_by_radiance(folder: Path, made: Yard) -> Floats:
    """What every sensor gets of every head, shape (heads, sensors); candela come with `candela_of`."""
    from pyradiance.anci import BINPATH

    rays = (folder / "rays").read_bytes()
    command = [
        str(BINPATH / "rcontrib"),
        *"-n 2 -h- -fdd -I+ -V+ -lw 0 -lr 0 -ab 0 -dt 0 -dj 0 -ds 0 -dc 1 -M mods scene.oct".split(),
    ]
    libraries = {**os.environ, "RAYPATH": f"{BINPATH.parent / 'lib'}{os.pathsep}."}
    done = subprocess.run(command, input=rays, capture_output=True, cwd=folder, check=True, env=libraries)
    return np.frombuffer(done.stdout, dtype="<f8").reshape(-1, len(made.sources), 3)[:, :, 0].T


def candela_of(read: Floats, made: Yard, sensors: Sensors) -> Floats:
    """Candela of each head toward each sensor, by the distance and the slant of the light. [cd]"""
    found = np.empty_like(read)
    for number, source in enumerate(made.sources):
        ways_m = sensors.places_m - np.array(source.view.position_m)[:, None]
        square_m2 = (ways_m**2).sum(axis=0)
        cosines = -(ways_m * sensors.facing).sum(axis=0) / np.sqrt(square_m2)
        found[number] = read[number] * square_m2 / (cosines * FAR_M**2)
    return found


def behind_a_ball(made: Yard, number: int, sensors: Sensors) -> Flags:
    """Sensors from which another head's sphere stands before this one, shape (sensors,)."""
    place_m = np.array(made.sources[number].view.position_m)
    ways_m = sensors.places_m - place_m[:, None]
    lengths_m = np.sqrt((ways_m**2).sum(axis=0))
    found = np.zeros(len(lengths_m), dtype=np.bool_)
    for other, source in enumerate(made.sources):
        if other != number:
            to_m = np.array(source.view.position_m) - place_m
            along_m = (to_m @ ways_m) / lengths_m
            aside_m2 = to_m @ to_m - along_m**2
            found |= (along_m > 0.0) & (along_m < lengths_m) & (aside_m2 < (2 * SPHERE_M) ** 2)
    return found
