"""Lamps of ours before and beside required ones: by hand on a body whose places are known."""

import math

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.light.covered_measures import required_covered, white_beside_turn
from coachwright.parts.store import load_catalogue

CATALOGUE = load_catalogue()
BUILD = """
coachwright: 1
job: {{name: Covered, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
  one: {{part: {part}, at: {at}}}
controls:
  scene: {{kind: toggle, at: console.panel}}
functions:
  work: {{rank: task, when: scene, show: [{{on: one, {show}}}]}}
"""


def built(at: str, part: str = "short-red-white", show: str = "white: steady 100 %") -> Model:
    loaded = read_build(BUILD.format(part=part, at=at, show=show), file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def worst(model: Model, **said: float) -> dict[str, float]:
    return {m.facts["other"]: float(m.value or 0.0) for m in required_covered(model, **said)}


def test_a_lamp_on_a_lamp_covers_what_its_box_covers() -> None:
    """By hand: 132 by 38 mm (its sheet) before a field of 80 by 80 mm covers 38/80; of 200 mm 132/200 x 38/200."""
    model = built("tail-upper.left")

    assert worst(model)["brake-lamps"] == pytest.approx(38.0 / 80.0)
    assert worst(model, field=0.2)["brake-lamps"] == pytest.approx(132.0 / 200.0 * 38.0 / 200.0)
    assert worst(model, field=0.03)["brake-lamps"] == pytest.approx(1.0)


def test_a_lamp_beside_covers_a_part() -> None:
    """By hand: tail-inner is 55 mm inward of the stop lamp and 60 mm above it: 66 - 15 mm across, none up."""
    found = worst(built("tail-inner.left"))

    assert found["brake-lamps"] == 0.0  # 60 - 19 mm above is past 40 mm
    assert worst(built("tail-inner.left"), field=0.1)["brake-lamps"] == pytest.approx(
        (66.0 - 5.0) / 100.0 * (50.0 - 41.0) / 100.0
    )


def test_a_lamp_behind_or_elsewhere_covers_nothing() -> None:
    """Law: at the front it is behind every lamp that looks to the rear; every required lamp is answered for."""
    found = worst(built("grille.left"))

    assert set(found.values()) == {0.0}
    assert {"low-beam", "brake-lamps", "turn-lamps", "tail-lamps", "reverse-lamps"} <= set(found)


def test_distance_to_the_turn_lamp_agrees_with_the_places() -> None:
    """By hand: headlamp (870, 780, 1015) and turn lamp (800, 890, 1040) mm: 132.8 mm; none for red, or to the rear."""
    (found,) = white_beside_turn(built("headlamp.left"))

    assert found.value == pytest.approx(math.dist((0.870, 0.780, 1.015), (0.800, 0.890, 1.040)))
    assert (found.about, found.where) == ("lamps.one", "one beside turn-lamps.left.1")
    assert white_beside_turn(built("headlamp.left", show="red: steady 100 %")) == ()
    assert white_beside_turn(built("headlamp.left", show="white: single")) == ()
    assert white_beside_turn(built("bumper-rear.left", part="short-red-amber-white")) == ()
