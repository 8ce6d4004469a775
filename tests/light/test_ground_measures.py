"""Light on the ground where people work: by hand under one lamp, the flux of its sheet, then laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.light.far_field import candela_toward
from coachwright.light.ground import UP, patch
from coachwright.light.ground_measures import ground_evenness, ground_light
from coachwright.light.lit import glows
from coachwright.light.near_field import on_plane
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import load_catalogue

CATALOGUE = load_catalogue()
VAN = CATALOGUE.get("high-roof-van")
assert isinstance(VAN, BodyPart)
BUILD = """
coachwright: 1
job: {{name: Ground, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: high-roof-van}}
lamps:
  scene: {{part: scene-white, at: side-scene.left, elevation: {elevation} deg}}
ranks: [road, task, warn]
functions:
  working: {{rank: {rank}, when: park-brake, show: [{{on: scene, white: {white}}}]}}
situations:
  work: {{gear: P, park-brake: "on"}}
"""


def built(elevation: int = -20, *, rank: str = "task", white: str = "steady 100 %") -> Model:
    text = BUILD.format(elevation=elevation, rank=rank, white=white)
    loaded = read_build(text, file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def value(found: tuple[object, ...]) -> float:
    (only,) = found
    assert isinstance(only.value, float)  # type: ignore[attr-defined]
    return only.value  # type: ignore[attr-defined]


# ------------------------------------------------------------------------------------------------------------- print
def test_light_on_the_ground_agrees_with_the_cosine_law() -> None:
    """E = I h / d^3 (inverse square and cosine law, IES handbook; from memory), spot by spot."""
    model = built()
    (glow,) = glows(model, "work")
    spots_m = np.array([[-3.3, 4.0, 0.0], [-2.0, 2.5, 0.0], [-5.0, 6.0, 0.0]]).T
    (lit_lx,) = on_plane([glow], spots_m, UP)

    for spot, found in zip(spots_m.T, lit_lx, strict=True):
        off = spot - np.array(glow.position_m)
        away_m = float(np.linalg.norm(off))
        toward = tuple(float(each) for each in off / away_m)
        candela = candela_toward(glow.emitter, (toward[0], toward[1], toward[2]))
        assert candela > 0.0
        assert found == pytest.approx(candela * glow.height_m / away_m**3, rel=1e-6)


def test_ground_takes_up_the_flux_of_the_sheet() -> None:
    """The part's sheet says 3800 lm; a lamp that looks steeply down sends nearly all of it to a ground large enough."""
    model = built(-78)
    (glow,) = glows(model, "work")
    step_m = 0.1
    line_m = np.arange(-60.0, 60.0, step_m) + step_m / 2.0
    x_m, y_m = np.meshgrid(line_m + glow.position_m[0], line_m + glow.position_m[1])
    spots_m = np.stack([x_m.ravel(), y_m.ravel(), np.zeros(x_m.size)])
    free = glow.emitter.clear_rad
    (lit_lx,) = on_plane([glow], spots_m, UP)

    taken_lm = float(lit_lx.sum()) * step_m**2
    assert free > math.radians(80.0)  # of 85 deg: the body's own side cuts a little of the beam off
    assert 0.55 * 3800.0 < taken_lm <= 3800.0 * 1.001


# -------------------------------------------------------------------------------------------------------------- laws
@given(
    st.floats(0.0, 2.0), st.floats(0.1, 5.0), st.floats(0.1, 1.0), st.sampled_from(["front", "right", "rear", "left"])
)
def test_spots_lie_in_their_patch(from_m: float, deep_m: float, step_m: float, quarter: str) -> None:
    """Law: outside of the body by what was asked, on the ground, no two farther apart than a step."""
    found = patch(VAN, quarter, from_m=from_m, to_m=from_m + deep_m, step_m=step_m)  # type: ignore[arg-type]
    x_m, y_m, z_m = found.spots_m
    nose_m, half_m = VAN.front_overhang, VAN.width / 2.0
    out_m = {
        "front": x_m - nose_m,
        "rear": nose_m - VAN.length - x_m,
        "left": y_m - half_m,
        "right": -half_m - y_m,
    }[quarter]

    assert (out_m > from_m - 1e-9).all()
    assert (out_m < from_m + deep_m + 1e-9).all()
    assert not z_m.any()
    for line in (np.unique(x_m.round(9)), np.unique(y_m.round(9))):
        assert len(line) == 1 or np.diff(line).max() <= step_m + 1e-6


def test_least_is_no_more_than_mean_and_evenness_is_their_share() -> None:
    """Law: and half the light gives half of both and the same evenness."""
    full, half = built(-40), built(-40, white="steady 50 %")
    for model, share in ((full, 1.0), (half, 0.5)):
        mean, least = (value(ground_light(model, situation="work", of=of)) for of in ("mean", "least"))
        assert 0.0 <= least <= mean
        assert value(ground_evenness(model, situation="work")) == pytest.approx(least / mean)
        assert mean == pytest.approx(share * value(ground_light(full, situation="work")), rel=1e-6)


def test_the_mirror_image_lights_the_other_side() -> None:
    """Law: same figures on the right."""
    text = BUILD.format(elevation=-30, rank="task", white="steady 100 %").replace("side-scene.left", "side-scene.right")
    right = read_build(text, file="build.yaml", catalogue=CATALOGUE).model
    assert right is not None
    (here,), (there,) = ground_light(built(-30), situation="work"), ground_light(right, situation="work")

    assert (here.facts["toward"], there.facts["toward"]) == ("left", "right")
    assert here.value == pytest.approx(there.value, rel=1e-6)


# ------------------------------------------------------------------------------------------------------------- cases
@pytest.mark.parametrize(("rank", "white"), [("warn", "steady 100 %"), ("task", "single")])
def test_only_steady_light_to_work_by_counts(rank: str, white: str) -> None:
    """Case: warning that burns steady, work light that flashes: nothing to work by."""
    assert ground_light(built(rank=rank, white=white), situation="work") == ()


def test_a_patch_without_extent_is_refused() -> None:
    """Case: the rule asks for nothing."""
    with pytest.raises(ValueError, match="reaches from 2 m"):
        patch(VAN, "rear", from_m=2.0, to_m=1.0, step_m=0.5)
