"""Which panels stand open, and where does that carry what rides on them?"""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Head, Model
from coachwright.kit.geom import Pose, Vector, bearing_and_elevation, mirrored
from coachwright.parts.schema import BodyPart
from coachwright.parts.standing import place_pose
from coachwright.parts.store import load_catalogue
from coachwright.place.panels import all_panels, carried, is_open, open_panels
from coachwright.place.poses import moved_pose

BODY = load_catalogue().get("crew-cab-pickup-with-cap")
assert isinstance(BODY, BodyPart)
PANELS = sorted(BODY.panels)
POINTS = st.tuples(st.floats(-5, 1), st.floats(-1.2, 1.2), st.floats(0, 2))


def pose_at(point: Vector) -> Pose:
    """Something at a point that looks forward."""
    return Pose(point, (1.0, 0.0, 0.0))


def test_at_rest_everything_is_shut(body: BodyPart) -> None:
    """The body's rest: doors, hatch and tailgate closed, tray in."""
    assert open_panels(body, {}) == frozenset()


@pytest.mark.parametrize(
    ("settings", "opened"),
    [
        ({"hatch": "open"}, {"hatch"}),
        ({"hatch": "open", "tailgate": "open", "speed": 0.0}, {"hatch", "tailgate"}),
        ({"door-driver": "open"}, {"front-door.left"}),
        ({"door-passenger": "open", "door-rear-left": "open"}, {"front-door.right", "rear-door.left"}),
        ({"tray-out": "on"}, {"command-tray"}),
        ({"tray-out": "off", "hatch": "closed"}, set()),
    ],
)
def test_signals_say_what_is_open(settings: dict[str, str | float], opened: set[str], body: BodyPart) -> None:
    """Each panel has its signal and the value that means open; each door of a pair has its own."""
    assert open_panels(body, settings) == opened
    assert open_panels(body, settings.items()) == opened


def test_every_panel_can_open(body: BodyPart) -> None:
    """Law: with every signal of a panel at its open value, all of them are open."""
    settings = {
        signal: panel.open_value
        for panel in body.panels.values()
        for signal in (panel.signal, panel.signal_right)
        if signal
    }

    assert open_panels(body, settings) == frozenset(all_panels(body))
    assert is_open(body, "front-door", "right", frozenset(all_panels(body)))
    assert not is_open(body, "body", "", frozenset(all_panels(body)))


@given(st.sampled_from(PANELS), st.sampled_from(["left", "right"]), POINTS, POINTS, st.floats(0, 1))
def test_panels_are_rigid(name: str, side: str, one: Vector, other: Vector, share: float) -> None:
    """Law: what rides on one panel keeps its distances, however far the panel is open."""
    first = carried(pose_at(one), BODY, name, side, share=share)  # type: ignore[arg-type]
    second = carried(pose_at(other), BODY, name, side, share=share)  # type: ignore[arg-type]

    assert math.dist(first.position_m, second.position_m) == pytest.approx(math.dist(one, other), abs=1e-9)


@given(st.sampled_from(PANELS), POINTS, st.floats(0, 1))
def test_a_hinge_keeps_its_distance(name: str, point: Vector, share: float) -> None:
    """Law: nothing comes nearer to its hinge line or goes away from it; a slide moves everything alike."""
    panel = BODY.panels[name]
    moved = carried(pose_at(point), BODY, name, "left", share=share).position_m
    if panel.axis == "none":
        way = tuple(there - here for there, here in zip(moved, point, strict=True))
        assert way == pytest.approx((share * panel.slide_x, 0.0, share * panel.slide_z), abs=1e-9)
        return
    flat = {"x": (1, 2), "y": (0, 2), "z": (0, 1)}[panel.axis]
    hinge = (panel.hinge_x, panel.hinge_y, panel.hinge_z)

    def from_hinge(where: Vector) -> float:
        return math.dist([where[i] for i in flat], [hinge[i] for i in flat])

    assert from_hinge(moved) == pytest.approx(from_hinge(point), abs=1e-9)


@given(st.sampled_from(PANELS), st.sampled_from(["left", "right"]), POINTS)
def test_shutting_restores(name: str, side: str, point: Vector) -> None:
    """Law: open and shut again is where it was."""
    there = carried(pose_at(point), BODY, name, side)  # type: ignore[arg-type]
    back = carried(there, BODY, name, side, share=-1.0)  # type: ignore[arg-type]

    assert back.position_m == pytest.approx(point, abs=1e-9)
    assert back.forward == pytest.approx((1.0, 0.0, 0.0), abs=1e-9)
    assert carried(there, BODY, name, side, share=0.0).position_m == pytest.approx(there.position_m)  # type: ignore[arg-type]


@given(st.sampled_from(["front-door", "rear-door"]), POINTS, st.floats(0, 1))
def test_right_doors_open_in_mirror_image(name: str, point: Vector, share: float) -> None:
    """Law: a mirror swaps the doors of a pair."""
    left = carried(pose_at(point), BODY, name, "left", share=share)
    right = carried(pose_at(mirrored(point)), BODY, name, "right", share=share)

    assert mirrored(left.position_m) == pytest.approx(right.position_m, abs=1e-9)
    assert mirrored(left.forward) == pytest.approx(right.forward, abs=1e-9)


@pytest.mark.parametrize(
    ("panel", "side", "spot", "looks"),
    [
        ("hatch", "", (-4.82, 0.0, 1.42), "up and back"),
        ("tailgate", "", (-4.85, 0.0, 1.40), "down and back"),
        ("front-door", "left", (-1.6, 0.98, 1.0), "out to the left"),
        ("front-door", "right", (-1.6, -0.98, 1.0), "out to the right"),
        ("hood", "", (0.8, 0.0, 1.18), "up"),
        ("command-tray", "", (-4.0, 0.0, 1.0), "back"),
    ],
)
def test_panels_open_the_way_people_know(panel: str, side: str, spot: Vector, looks: str, body: BodyPart) -> None:
    """The hatch is hinged at its top, the tailgate at its bottom, doors at their front edge (common practice)."""
    x, y, z = carried(pose_at(spot), body, panel, side).position_m  # type: ignore[arg-type]
    moves = {
        "up and back": x < spot[0] - 0.2 and z > spot[2] + 0.4,
        "down and back": x < spot[0] - 0.3 and z < spot[2] - 0.3,
        "out to the left": y > spot[1] + 0.5,
        "out to the right": y < spot[1] - 0.5,
        "up": z > spot[2] + 0.5,
        "back": x < spot[0] - 0.8,
    }

    assert moves[looks]


@pytest.mark.parametrize(
    ("place", "panel"),
    [("cap-hatch-underside", "hatch"), ("tailgate-top-edge", "tailgate"), ("door-inner", "front-door.left")],
)
def test_lamps_for_the_open_panel_look_to_the_rear_then(
    place: str, panel: str, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """They are there for traffic from behind while the panel is open, upright, and look elsewhere while it is shut."""
    head = head_at(place, side="left")
    model = model_of(head)
    moved = moved_pose(head, model, frozenset({panel}))
    bearing, elevation = bearing_and_elevation(moved.forward)
    shut = place_pose(model.body.places[place], "left")

    assert math.degrees(bearing) == pytest.approx(180, abs=25)
    assert math.degrees(elevation) == pytest.approx(0, abs=1)
    assert moved.up[2] > 0.99
    assert shut.forward[0] > -0.2


def test_an_open_hatch_lifts_the_bar_off_the_road(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Common practice: lamps on a hatch look at the sky when it is up, so they count for nothing there."""
    head = head_at("cap-hatch-glass", part="bar-6-red-amber-white", head_index=2)
    moved = moved_pose(head, model_of(head), frozenset({"hatch"}))

    assert math.degrees(bearing_and_elevation(moved.forward)[1]) == pytest.approx(80, abs=1)
