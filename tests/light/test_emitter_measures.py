"""The emitter's reach, field and time: by hand from its sheet and the glass before it."""

import math

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.light.emitter_measures import emitter_field, emitter_reach, emitter_time
from coachwright.parts.store import load_catalogue

CATALOGUE = load_catalogue()
BUILD = """
coachwright: 1
job: {{name: Emitter, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
feeds: {{box: {{from: main-battery, on-while: hot}}}}
equipment:
  emitter: {{part: {part}, at: {at}, feed: box}}
"""


def built(part: str = "emitter-opt", at: str = "windshield-top", glass: str = "") -> Model:
    loaded = read_build(BUILD.format(part=part, at=at) + glass, file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def test_glass_takes_the_root_of_its_share() -> None:
    """By hand: 2,500 ft behind a windshield of 74 % raked 53 deg (Fresnel, n 1.52): some 68 %, 0.825 of the reach."""
    (found,) = emitter_reach(built())

    assert isinstance(found.value, float)
    # slab of n = 1.52 at 53 deg: R 0.067 a face; clear 0.877 against 0.918 straight on; inside 0.8046^(1/cos 31.7 deg)
    assert found.value / (2500 * 0.3048) == pytest.approx(math.sqrt(0.68), abs=0.01)
    assert found.where == "68% of its light through windshield"
    assert found.about == "equipment.emitter"


def test_seconds_are_reach_over_speed() -> None:
    """By hand: 1,800 ft at 60 mph (88 ft/s) without glass would be 20.5 s; the glass leaves 0.825 of it."""
    (time,) = emitter_time(built("emitter-wide"), speed=60 * 0.44704)

    assert time.value == pytest.approx(1800.0 / 88.0 * math.sqrt(0.68), abs=0.3)
    (reach,) = emitter_reach(built("emitter-wide"))
    (slower,) = emitter_time(built("emitter-wide"), speed=30 * 0.44704)
    assert isinstance(time.value, float)
    assert slower.value == pytest.approx(2.0 * time.value)
    assert isinstance(reach.value, float)


def test_field_is_its_own_or_what_the_body_leaves() -> None:
    """By hand: 12 and 22 deg of their sheets, where the body leaves 60 deg; a place that looks back asks nobody."""
    for part, half_deg in (("emitter-opt", 12.0), ("emitter-wide", 22.0)):
        (found,) = emitter_field(built(part))
        assert found.value == pytest.approx(math.radians(half_deg))
        assert found.where.startswith("as wide as its own field")
    behind = built(at="cap-hatch-glass")
    assert [m.value for window in (emitter_reach, emitter_field) for m in window(behind)] == [0.0, 0.0]


def test_no_emitter_no_answer() -> None:
    """Case: a build without one."""
    text = BUILD.format(part="fan-40cfm", at="under-hood")
    model = read_build(text, file="build.yaml", catalogue=CATALOGUE).model
    assert model is not None
    assert emitter_reach(model) == emitter_field(model) == emitter_time(model, speed=20.0) == ()


def test_a_film_takes_its_share_on_top() -> None:
    """By hand: a film of 35 % leaves the root of 0.35 of the reach that the bare glass leaves."""
    (bare,) = emitter_reach(built())
    (filmed,) = emitter_reach(built(glass="glass: {windshield: {film: glass-film-35}}\n"))

    assert isinstance(bare.value, float)
    assert filmed.value == pytest.approx(bare.value * math.sqrt(0.35), rel=0.02)


def test_one_of_a_pair_looks_as_the_other_does() -> None:
    """Law: at windshield-foot.left and .right alike."""
    left, right = (built(at=f"windshield-foot.{side}") for side in ("left", "right"))

    for window in (emitter_reach, emitter_field):
        assert [m.value for m in window(left)] == pytest.approx([m.value for m in window(right)])
        assert len(window(left)) == 1
