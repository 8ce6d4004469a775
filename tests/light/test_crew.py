"""Eyes at an opened panel: geometry by hand, then laws."""

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.light.crew import candela_at_eye, eyes
from coachwright.light.lit import glows
from coachwright.light.measures import toward_crew
from coachwright.light.words import bearings, off_axis, toward
from coachwright.parts.photometry import beam_table
from coachwright.place.panels import all_panels

DEG = math.radians(1.0)


@pytest.fixture(scope="module")
def pickup() -> Model:
    """The duty pickup of the examples."""
    model = load_build(Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").model
    assert model is not None
    return model


# ------------------------------------------------------------------------------------------------------------- print
def test_eye_at_the_tailgate_by_hand(pickup: Model) -> None:
    """The tailgate hangs 500 mm below its top edge; laid flat it reaches 500 mm behind its hinge, the eye 1 m more."""
    hinge_m = pickup.body.panels["tailgate"].hinge_x
    edge = pickup.body.places["tailgate-top-edge"]
    drop_m = edge.z - pickup.body.panels["tailgate"].hinge_z
    x, y, z = eyes(pickup, frozenset({"tailgate"}), height_m=1.6, away_m=1.0)["tailgate"]

    assert drop_m == pytest.approx(0.5)
    assert (x, y, z) == pytest.approx((hinge_m - drop_m - 1.0, 0.0, 1.6))


def test_candela_on_the_axis_by_hand(pickup: Model) -> None:
    """An eye three metres out on a head's axis gets its axial intensity: candela do not fade with distance."""
    glow = next(each for each in glows(pickup, "on-scene") if each.head.id == "tail.left")
    eye_m = tuple(glow.position_m[axis] + 3.0 * glow.emitter.forward[axis] for axis in range(3))

    assert candela_at_eye(glow, eye_m) == pytest.approx(  # type: ignore[arg-type]
        glow.part.wave.peak() * beam_table(glow.emitter.output).peak_cd
    )


# --------------------------------------------------------------------------------------------------------------- law
@given(st.floats(1.0, 2.0), st.floats(0.2, 3.0))
def test_pairs_of_doors_have_mirrored_eyes(height_m: float, away_m: float) -> None:
    """Law: what stands on the left stands as far out on the right, and eyes are as high as asked."""
    model = load_build(Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").model
    assert model is not None
    found = eyes(model, frozenset(all_panels(model.body)), height_m=height_m, away_m=away_m)
    left, right = found["front-door.left"], found["front-door.right"]

    assert (left[0], -left[1], left[2]) == pytest.approx(right)
    assert left[1] > model.body.width / 2 + away_m / 2
    assert {eye[2] for eye in found.values()} == {height_m}
    assert found["hatch"][1] == found["hood"][1] == 0.0


# -------------------------------------------------------------------------------------------------------------- case
def test_only_open_panels_have_somebody_behind_them(pickup: Model) -> None:
    """Case: with everything shut nobody stands there; with hatch and gate open lamps that reach an eye tell."""
    assert toward_crew(pickup, situation="answering") == ()
    found = toward_crew(pickup, situation="on-scene")

    assert {measure.facts["panel"] for measure in found} == {"hatch", "tailgate"}
    assert all(measure.value > 0 for measure in found)
    assert len({(measure.about, measure.facts["panel"]) for measure in found}) == len(found)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (toward(132.5 * DEG, 5 * DEG), "bearing 132.5 deg, 5 deg up"),
        (toward(0.0, -5 * DEG), "bearing 0 deg, 5 deg down"),
        (toward(90 * DEG, 0.0), "bearing 90 deg"),
        (off_axis(0.0, 0.0), "straight ahead"),
        (off_axis(-5 * DEG, 45 * DEG), "45 deg left or right, 5 deg down"),
        (bearings(math.tau, 0.0), "all round"),
        (bearings(0.0, 90 * DEG), "weakest at bearing 90 deg"),
        (bearings(20 * DEG, 0.0), "bearings 350 deg to 10 deg"),
    ],
)
def test_directions_in_words(said: str, expected: str) -> None:
    """Case: as a lead would point."""
    assert said == expected
