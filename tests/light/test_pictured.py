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
from coachwright.light.ground import UP
from coachwright.light.ground_measures import ground_light, working
from coachwright.light.lit import LEVEL, ROUND, flashing
from coachwright.light.near_field import on_plane
from coachwright.light.pictured import BEYOND_M, GRID_M, ground_map, level_hidden

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
    from coachwright.light.far_field import far_field

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
