"""What pictures of light show: who hides it by bearing, in cones, lux on the ground; as the measures have it."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.light.cones import RAYS_N, cones
from coachwright.light.far_field import Grid, far_field
from coachwright.light.ground import UP
from coachwright.light.ground_measures import ground_light, working
from coachwright.light.lit import LEVEL, ROUND, flashing
from coachwright.light.near_field import on_plane
from coachwright.light.pictured import BEYOND_M, GRID_M, ground_map, level_hidden, table_maps

EXAMPLES = {path.parent.name: path for path in (Path(__file__).parents[2] / "examples").glob("*/build.yaml")}


@cache
def example(name: str) -> Model:
    model = load_build(EXAMPLES[name]).model
    assert model is not None
    return model


def test_open_rear_doors_hide_toward_the_rear_corners() -> None:
    """Case: at 180 deg each door hides its side's quarter lamp; the front loses nothing."""
    found = level_hidden(example("service-patrol"), "blocking-doors")
    shares = np.array(found.shares)
    degrees = np.degrees(np.array(found.bearings_rad))

    assert {name for name, _ in found.by[:2]} == {"rear door left", "rear door right"}
    assert sum(share for _, share in found.by) == pytest.approx(1.0)
    assert shares[(degrees < 45) | (degrees > 315)].max() == 0.0
    assert 100 < degrees[shares[:72].argmax()] < 170
    assert ((shares > 0.0) == np.concatenate([shares[:1] > 0.0, shares[:0:-1] > 0.0])).all()  # left as right
    assert max(level_hidden(example("service-patrol"), "blocking").shares) < 0.1


def test_shares_are_what_the_candela_say() -> None:
    """Law: of the mean light with nothing in the way the share that is left is what really goes there."""
    model = example("service-patrol")
    light = flashing(model, "blocking-doors")
    means = np.array([glow.part.wave.mean() for glow in light.glows])
    bare = means @ far_field([glow.emitter for glow in light.glows], ROUND)[:, LEVEL]
    seen = means @ light.candela_cd[:, LEVEL]

    assert 1.0 - seen / bare == pytest.approx(np.array(level_hidden(model, "blocking-doors").shares), abs=1e-9)


def test_the_ground_map_is_the_ground_of_the_measures() -> None:
    """Law: the same light at the same spot; a map reaches past the body on all sides, evenly to left and right."""
    model = example("service-patrol")
    found = ground_map(model, "working")
    assert found is not None
    lamps = working(model, "working")
    spot = (found.x_m[20], found.y_m[3])
    there = on_plane(lamps, np.array([[spot[0]], [spot[1]], [0.0]]), UP)[:, 0]

    assert found.lux[3, 20] == pytest.approx(sum(glow.part.wave.mean() for glow in lamps) / len(lamps) * there.sum())
    assert found.y_m == pytest.approx([-each for each in reversed(found.y_m)])
    assert found.y_m[-1] >= model.body.width / 2 + BEYOND_M
    assert found.x_m[1] - found.x_m[0] == pytest.approx(GRID_M)
    (left, right) = sorted(ground_light(model, situation="working"), key=lambda each: each.facts["toward"])
    assert left.value == pytest.approx(right.value)
    assert found.lux == pytest.approx(found.lux[::-1], abs=1e-3)  # lamps on both sides: a map mirrored in itself


def test_no_work_light_no_map() -> None:
    """Case."""
    assert ground_map(example("service-patrol"), "blocking") is None


def test_a_table_has_the_light_of_the_lamps_over_it() -> None:
    """By hand: both lamps of the tray stand 0.37 m over its top and look 30 deg down; where an axis meets the top,
    0.64 m aft, 0.74 m off, the lamp over it gives I sin 30 deg / 0.74^2 at its share; no ground is lit."""
    model = example("quillback")
    (found,) = table_maps(model, "on-scene")
    lamps = working(model, "on-scene")
    place = model.body.places["command-tray"]
    drop_m = place.z - 0.99
    far_m = drop_m / math.sin(math.radians(30.0))
    spot = np.array([place.x - far_m * math.cos(math.radians(30.0)), place.y])
    row, column = (
        int(np.abs(np.array(axis) - at).argmin()) for axis, at in ((found.y_m, spot[1]), (found.x_m, spot[0]))
    )
    (left,) = [glow for glow in lamps if glow.lamp == "tray.left"]
    peak_cd = float(far_field([left.emitter], SLOPING).max()) * left.part.wave.mean()

    assert found.name == "tray"
    assert found.height_m == pytest.approx(0.99)
    assert {name for name, _, _ in found.lamps} == {"tray.left", "tray.right"}
    # a spot of the map is up to 3 cm from the axis, and the other lamp adds a little
    assert found.lux[row, column] == pytest.approx(peak_cd * 0.5 / far_m**2, rel=0.15)
    assert found.lux == pytest.approx(found.lux[::-1], abs=1e-3)
    assert not ground_light(model, situation="on-scene")
    assert table_maps(model, "patrolling") == ()
    assert table_maps(example("service-patrol"), "working") == ()


SLOPING = Grid((math.pi,), (math.radians(-30.0),))
"""To the rear, 30 deg down."""


def test_a_lamp_for_a_table_lands_on_it_and_not_on_its_mount() -> None:
    """Case: every upright ray of the tray lamps ends on the table, none on the frame they are bolted to, and as far off
    as the table's height says."""
    panels = frozenset({"hatch", "tailgate"})
    fans = [cone for cone in cones(example("quillback"), panels, "upright") if cone.lamp.startswith("tray.")]

    assert {cone.lamp for cone in fans} == {"tray.left", "tray.right"}
    for cone in fans:
        assert set(cone.hidden_by) == {"tray"}
        for ray, far_m in zip(cone.rays, cone.met_m, strict=True):
            assert cone.position_m[2] + far_m * ray[2] == pytest.approx(0.99, abs=1e-6)


@pytest.mark.parametrize("fan", ["level", "upright"])
def test_a_cone_is_as_wide_as_half_of_its_peak(fan: str) -> None:
    """Law: its outermost rays carry half of what its axis does, for lamps with a beam of their own shape."""
    model = example("service-patrol")
    for cone in cones(model, frozenset(), fan):  # type: ignore[arg-type]
        assert len(cone.rays) == len(cone.hidden_by) <= RAYS_N
        assert all(math.hypot(*ray) == pytest.approx(1.0) for ray in cone.rays)
    assert {cone.head for cone in cones(model, frozenset(), "level")} <= {head.id for head in model.heads}


def test_a_model_that_says_nothing_has_nothing_hidden() -> None:
    """Case: no head, no light, nothing to hide."""
    model = replace(example("service-patrol"), heads=(), digest="bare")

    assert cones(model, frozenset(), "level") == ()
