"""Case: the lamps of the quillback pickups stand and look as the job means it."""

import math
from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Head, Model
from coachwright.control.situations import settings_of
from coachwright.kit.geom import bearing_and_elevation
from coachwright.place.checks import place_findings
from coachwright.place.glass import pane_of
from coachwright.place.panels import open_panels
from coachwright.place.poses import moved_pose
from coachwright.place.zones import zones_of

BUILD = Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml"


@pytest.fixture(scope="module")
def model() -> Model:
    """The example as a lead opens it."""
    loaded = load_build(BUILD)
    assert loaded.model is not None
    assert loaded.findings == ()
    return loaded.model


def own(model: Model) -> list[Head]:
    """Heads the shop fits."""
    return [head for head in model.heads if head.reach == "own"]


def test_it_has_forty_two_heads_on_twenty_six_lamps(model: Model) -> None:
    """Counted by hand: 12 pairs (one of them of three heads a side) and two bars of eight and six."""
    heads = own(model)

    assert len(heads) == 11 * 2 + 2 * 3 + 8 + 6
    assert len({(head.lamp, head.side) for head in heads}) == 26


def test_nothing_is_fitted_where_it_can_not_be(model: Model) -> None:
    """No lamp in its own wall, none where none fits, no two in one spot."""
    assert place_findings(model) == ()


@pytest.mark.parametrize(
    ("lamp", "left_deg"),
    [
        ("grille", 0),
        ("corner", 315),
        ("push", 0),
        ("mirror", 270),
        ("rocker-fore", 270),
        ("tail", 180),
        ("rear-push", 180),
    ],
)
def test_lamps_look_where_the_lead_means(lamp: str, left_deg: float, model: Model) -> None:
    """Aim is from the place's own direction, away from the centre line; the right one is the mirror image."""
    bearings = {
        head.side: round(math.degrees(bearing_and_elevation(moved_pose(head, model).forward)[0]), 6) % 360
        for head in own(model)
        if head.lamp == lamp
    }

    assert bearings == {"left": left_deg, "right": (360 - left_deg) % 360}


@pytest.mark.parametrize("lamp", ["visor", "cap-bar"])
def test_bars_are_counted_from_the_vehicle_s_left(lamp: str, model: Model) -> None:
    """Head 1 is the left one in front and behind; takedown and arrow rely on it."""
    across_m = [moved_pose(head, model).position_m[1] for head in own(model) if head.lamp == lamp]

    assert across_m == sorted(across_m, reverse=True)
    assert across_m[0] > 0 > across_m[-1]


def test_every_side_has_lamps_bolted_to_the_body(model: Model) -> None:
    """Trade: a zone that lives on a panel is gone when the crew opens it. Counted on lamps outside, not on panels."""
    fixed = [
        head
        for head in own(model)
        if model.body.places[head.place].panel == "body" and pane_of(head, model.body) is None
    ]
    zones = [zone for head in fixed for zone in zones_of(head, model)]

    assert {zone: zones.count(zone) >= 2 for zone in "ABCD"} == dict.fromkeys("ABCD", True)


def test_on_the_scene_hatch_and_tailgate_stand_open(model: Model) -> None:
    """The situation says so; then the underside and edge lamps look to the rear, and the bar looks up."""
    opened = open_panels(model.body, settings_of(model, "on-scene"))
    rear = {head.lamp for head in own(model) if "C" in zones_of(head, model, opened)}
    bar = next(head for head in own(model) if head.id == "cap-bar.3")

    assert opened == {"hatch", "tailgate"}
    assert {"tail", "rear-push", "hatch-under", "gate-edge"} <= rear
    assert math.degrees(bearing_and_elevation(moved_pose(bar, model, opened).forward)[1]) > 75
