"""What can be asked about how lamps stand, on builds small enough to work out with a pencil."""

import math
from collections.abc import Iterable

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.light import standing_measures as standing
from coachwright.parts.store import load_catalogue

DEG = math.radians(1.0)

BUILD = """
coachwright: 1
job: {{name: Standing}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
  one: {{part: {part}, at: {at}{more}}}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
signals: {{brake: {{lost: "on"}}}}
ranks: [road, task, warn]
functions:
  acts: {{rank: {rank}, when: {when}, show: [{{on: one, red: "{red}"}}]}}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
"""


def built(
    *,
    part: str = "short-red-white",
    at: str = "grille.left",
    more: str = "",
    rank: str = "warn",
    when: str = "slide == full",
    red: str = "single",
) -> Model:
    """A pickup with one lamp of ours."""
    text = BUILD.format(part=part, at=at, more=more, rank=rank, when=when, red=red)
    loaded = read_build(text, file="build.yaml", catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return loaded.model


def only(found: Iterable[Measure], **wanted: str) -> Measure:
    """The one measure with these facts."""
    (one,) = [each for each in found if all(each.facts[name] == value for name, value in wanted.items())]
    return one


# ------------------------------------------------------------------------------------------------------------- print
def test_height_is_that_of_the_place_as_the_body_prints_it() -> None:
    """The grille's place is 960 mm above the ground; a lamp's one head sits in its middle (body file)."""
    model = built()
    place = model.body.places["grille"]

    assert only(standing.height(model), lamp="one").value == pytest.approx(place.z)


@pytest.mark.parametrize(("elevation", "expected_deg"), [("-15 deg", -15.0), ("5 deg", 5.0)])
def test_axis_is_tilted_as_the_build_says(elevation: str, expected_deg: float) -> None:
    """A level place, the lamp tilted by so much (pencil)."""
    model = built(more=f", elevation: {elevation}")

    assert only(standing.axis_elevation(model), lamp="one").value == pytest.approx(expected_deg * DEG, abs=1e-9)


@pytest.mark.parametrize(("aim", "expected_deg"), [("0 deg", 90.0), ("60 deg", 30.0), ("90 deg", 0.0)])
def test_a_lamp_that_looks_forward_is_a_right_angle_off_the_side(aim: str, expected_deg: float) -> None:
    """KKK-A-1822 E counts from straight sideways: forward is 90 deg off, turned outward by 60 it is 30 off (pencil)."""
    model = built(at="fender-corner.left", more=f", aim: {aim}")

    assert only(standing.axis_off_side(model), lamp="one").value == pytest.approx(expected_deg * DEG, abs=1e-9)


def test_distance_is_the_straight_line_between_two_places() -> None:
    """From the left tail's inner field to its middle one, where the turn lamp is (three coordinates, Pythagoras)."""
    model = built(at="tail-inner.left")
    here, there = model.body.places["tail-inner"], model.body.places["tail-middle"]
    by_hand = math.sqrt((here.x - there.x) ** 2 + (here.y - there.y) ** 2 + (here.z - there.z) ** 2)

    assert only(standing.required_distance(model), use="turn").value == pytest.approx(by_hand, rel=1e-12)
    assert only(standing.required_distance(model), use="turn").facts["flashes"] == "yes"


# --------------------------------------------------------------------------------------------------------------- law
def test_only_required_lamps_that_look_the_same_way_count() -> None:
    """Law: a lamp at the grille has no stop lamp beside it, one at the tail no headlamp."""
    front = {each.facts["use"] for each in standing.required_distance(built())}
    rear = {each.facts["use"] for each in standing.required_distance(built(at="tail-inner.left"))}

    assert "headlamp" in front
    assert "stop" not in front
    assert "headlamp" not in rear
    assert {"stop", "turn"} <= rear


def test_a_steady_lamp_does_not_flash() -> None:
    """Law: the fact is that of the shows."""
    model = built(red="steady 50 %")

    assert {each.facts["flashes"] for each in standing.required_distance(model)} == {"no"}


@pytest.mark.parametrize(("at", "panel", "glass"), [
    ("tail-inner.left", False, False),
    ("bumper-rear.left", False, False),
    ("tailgate-top-edge.left", True, False),
    ("quarter-glass.left", False, True),
])  # fmt: skip
def test_what_stands_in_for_a_stop_lamp_is_asked_where_it_is_fixed(at: str, panel: bool, glass: bool) -> None:
    """49 CFR 571.108 S6.1.3.1 and .2: a rigid part, not one that moves, not glazing; by the body's own places."""
    model = built(at=at, rank="road", when="brake", red="steady 100 %")

    assert only(standing.road_light_on_panel(model), lamp="one").value is panel
    assert only(standing.road_light_on_glass(model), lamp="one").value is glass
    assert only(standing.road_light_on_panel(model), lamp="one").facts["use"] == "stop"


def test_a_warning_lamp_does_no_road_work() -> None:
    """Law: neither window asks about lamps that only warn."""
    assert not [
        each for each in standing.road_light_on_panel(built(at="tailgate-top-edge.left")) if each.facts["lamp"] == "one"
    ]
    assert {each.facts["work"] for each in standing.colour_within(built(), standard="us-108")} == {"other"}


def test_no_identification_lamps_no_answer() -> None:
    """Law: a body without them is asked nothing (49 CFR 571.108 S6.1.3.6 speaks of required ones)."""
    assert standing.identification_spacing(built()) == ()


# -------------------------------------------------------------------------------------------------------------- case
def test_colour_inside_and_a_standard_nobody_has() -> None:
    """Case: the catalogue's red is red by 571.108; an unknown standard draws nothing, so nothing is said of it."""
    assert only(standing.colour_within(built(), standard="us-108"), colour="red").value is True
    assert standing.colour_within(built(), standard="no-such") == ()


def test_voltage_is_that_of_the_sheet() -> None:
    """Case: one row per lamp, the test voltage of its part."""
    model = built()
    (found,) = standing.figures_voltage(model)

    assert found.value == model.part("short-red-white").test_voltage  # type: ignore[union-attr]
