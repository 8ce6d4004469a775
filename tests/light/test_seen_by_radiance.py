"""Candela past what stands in the way, as Radiance has them on the same small scene."""

import math
from pathlib import Path

import numpy as np
import pytest

from benchmarks.yard import Yard
from benchmarks.yard_by_radiance import Sensors, behind_a_ball, candela_of, read_by_radiance, write_scene
from coachwright.kit.geom import Pose, Vector
from coachwright.kit.once import frozen
from coachwright.light.far_field import Emitter
from coachwright.light.seen import Points, Source, seen_at
from coachwright.light.shadow import View
from coachwright.parts.photometry import beam_table
from coachwright.parts.schema import Beam, ColourOutput
from tests.light.scenes import off_m, strewn

DEG = math.radians(1.0)
SAME_SHARE = 1e-3
BALL_M = 1e-3
"""Radiance's lights are balls of this width: a ray that passes an edge so near may go either way."""

BEAMS = (
    Beam(shape="bell", half_width=30 * DEG, half_height=12 * DEG),
    Beam(shape="cosine", power=2.0),
    Beam(shape="flat", half_width=40 * DEG, half_height=30 * DEG, shoulder=20 * DEG),
)


@pytest.mark.parametrize("compiled", [False, True])
def test_candela_agree_with_radiance(tmp_path: Path, compiled: bool) -> None:
    """Rcontrib has the same candela within 0.1 % of the peak where both see a head; the rest passes an edge."""
    rng = np.random.default_rng(11)
    scene = strewn(rng, 14, room_m=2.0)
    sources = tuple(
        _source(rng, View(spot, (1.0, 0.0, 0.0), math.pi, scene), beam)
        for spot, beam in zip(_spots(), BEAMS, strict=True)
    )
    counts = np.cumsum([0, *(len(each.vertices_m) for each in scene.obstacles)])
    made = Yard(
        sources,
        np.ones((1, len(sources))),
        np.concatenate([each.vertices_m for each in scene.obstacles]),
        np.concatenate([each.triangles + first for each, first in zip(scene.obstacles, counts, strict=False)]),
    )
    toward = rng.normal(size=(3, 3000))
    toward /= np.linalg.norm(toward, axis=0)
    sensors = Sensors(toward * rng.uniform(6.0, 40.0, 3000), -toward)
    write_scene(tmp_path, made, sensors)
    theirs = candela_of(read_by_radiance(tmp_path, made), made, sensors)
    ours = seen_at(sources, Points(frozen(sensors.places_m)), compiled=compiled)

    hidden_n = 0
    for number, source in enumerate(sources):
        peak_cd = beam_table(source.emitter.output).peak_cd
        both = (ours[number] > 0.0) & (theirs[number] > 0.0)
        assert abs(ours[number] - theirs[number])[both].max() <= SAME_SHARE * peak_cd
        apart = ((ours[number] > SAME_SHARE * peak_cd) != (theirs[number] > SAME_SHARE * peak_cd)) & ~both
        apart &= ~behind_a_ball(made, number, sensors)
        ways_m = sensors.places_m - np.array(source.view.position_m)[:, None]
        grazing = {
            int(ray): off_m(source.view.position_m, ways_m[:, ray], scene.obstacles) for ray in np.flatnonzero(apart)
        }
        assert max(grazing.values(), default=0.0) < BALL_M, grazing
        hidden_n += int((~both).sum())
    assert hidden_n > 100


def _spots() -> tuple[Vector, ...]:
    return ((-3.1, 0.2, 0.4), (0.1, 3.0, -0.3), (0.4, -0.2, 3.2))


def _source(rng: np.random.Generator, view: View, beam: Beam) -> Source:
    x, y, z = (-np.array(view.position_m) + rng.normal(size=3) * 0.3).tolist()
    pose = Pose.of(view.position_m, forward=(x, y, z))
    output = ColourOutput(flux=300.0, current=1.0, beam=beam)
    return Source(Emitter(pose.forward, pose.up, output, pose.forward), view)
