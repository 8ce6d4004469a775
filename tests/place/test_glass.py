"""Which pane does a head look through, and how does the pane stand?"""

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from coachwright.build.model import Head, Model
from coachwright.build.model_fitted import Glazing
from coachwright.kit.geom import angle_between, mirrored
from coachwright.parts.schema import BodyPart, Outline
from coachwright.parts.standing import place_pose
from coachwright.parts.store import load_catalogue
from coachwright.place.glass import all_fitted, as_fitted, pane_before, pane_in_the_way, pane_normal, pane_of


def test_only_heads_inside_have_a_pane(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """The visor bar looks through the windshield, the grille lamp through nothing."""
    pane = pane_of(head_at("windshield-top"), body)

    assert pane is body.glass["windshield"]
    assert pane_of(head_at("grille"), body) is None
    assert pane_normal(head_at("grille"), body) is None


def test_vehicle_lamps_stand_outside(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """High beams aren't behind a window."""
    assert pane_of(head_at("", lamp="high-beam", part="", head_index=0, reach="parallel"), body) is None


def test_panes_look_outward_and_right_ones_are_mirror_images(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """Law: a pane's normal is within a quarter turn of the way the head behind it looks."""
    behind = [(name, place) for name, place in body.places.items() if place.glass]
    for name, place in behind:
        left = pane_normal(head_at(name, side="left" if place.mirrored else ""), body)
        assert left is not None
        assert angle_between(left, place_pose(place).forward) < math.radians(60)
        if place.mirrored:
            right = pane_normal(head_at(name, side="right"), body)
            assert right == pytest.approx(mirrored(left) if body.glass[place.glass].mirrored else left)

    assert len(behind) >= 5


def test_the_hatch_takes_its_pane_along(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """Law: bar and pane ride together, so the angle between them stays when the hatch opens."""
    head = head_at("cap-hatch-glass", part="bar-6-red-amber-white")
    opened = frozenset({"hatch"})
    shut, up = pane_normal(head, body), pane_normal(head, body, opened)

    assert pane_in_the_way(head, body, opened) is body.glass["cap-hatch"]
    assert shut is not None
    assert up is not None
    assert angle_between(shut, up) == pytest.approx(body.panels["hatch"].travel)


def test_a_lamp_that_stays_behind_looks_out_freely(body: BodyPart, head_at: Callable[..., Head]) -> None:
    """With the hatch up nothing is in front of a lamp on the cap's own frame."""
    stays = body.places["cap-hatch-glass"].model_copy(update={"panel": "body"})
    changed = body.model_copy(update={"places": {**body.places, "frame": stays}})

    assert pane_in_the_way(head_at("frame"), changed, frozenset()) is body.glass["cap-hatch"]
    assert pane_in_the_way(head_at("frame"), changed, frozenset({"hatch"})) is None


def edges(outline: Outline) -> list[tuple[float, float]]:
    """Length and rake from upright of each edge of a drawn pane. [m, deg]"""
    points = [*outline.points, outline.points[0]]
    return [
        (math.dist(one, two), math.degrees(math.atan2(abs(two[0] - one[0]), abs(two[1] - one[1]))))
        for one, two in pairwise(points)
    ]


def test_the_windshield_is_drawn_as_raked_as_it_is_said(body: BodyPart) -> None:
    """The normal of a pane rises by the angle the pane leans back: drawing and figure agree to 2 deg."""
    glass = next(each for each in body.outlines if each.view == "side" and each.layer == "glass")
    longest = max(edges(glass))

    assert longest[0] > 0.8
    assert longest[1] == pytest.approx(math.degrees(body.glass["windshield"].rise), abs=2)


def test_the_hatch_is_drawn_as_raked_as_it_is_said(body: BodyPart) -> None:
    """The rear edge of the cap in the side view, from its hinge down to the tailgate."""
    cap = [each for each in body.outlines if each.view == "side" and each.layer == "body"][1]
    rear = min(edges(cap), key=lambda edge: abs(edge[0] - 0.49))

    assert rear[1] == pytest.approx(math.degrees(body.glass["cap-hatch"].rise), abs=2)


def test_bearings_of_panes_are_of_their_wall(body: BodyPart) -> None:
    """Common practice: a windshield looks forward and up, a rear pane back and up, side panes out and up."""
    for name, expected in {
        "windshield": 0,
        "cap-hatch": 180,
        "back-light": 180,
        "quarter": 270,
        "cap-side": 270,
    }.items():
        pane = body.glass[name]
        assert math.degrees(pane.facing) == pytest.approx(expected)
        assert 0 < math.degrees(pane.rise) < 65


# ---- what the shop does to panes


def glazed(model: Model, *done: Glazing) -> Model:
    """The model with this done to its panes."""
    names = {name for each in done for name in (each.film, each.part) if name}
    parts = tuple((name, part) for name in sorted(names) if (part := load_catalogue().get(name)) is not None)
    return replace(model, glass=done, parts=(*model.parts, *parts))


def done_to(name: str, *, side: str = "", film: str = "", part: str = "") -> Glazing:
    """One line of a build."""
    return Glazing(name, side, film, part, "shop", "", f"glass.{name}")  # type: ignore[arg-type]


def test_panes_stay_as_they_came(model_of: Callable[..., Model], body: BodyPart) -> None:
    """Law: of what nothing is written the body says all; a pair is two panes."""
    panes = {pane.called: pane for pane in all_fitted(model_of())}

    assert len(panes) == sum(2 if glass.mirrored else 1 for glass in body.glass.values())
    assert {pane.film_share for pane in panes.values()} == {1.0}
    assert panes["cap-side.right"].transmittance == panes["cap-side.right"].came == body.glass["cap-side"].transmittance
    assert {pane.path for pane in panes.values()} == {"vehicle.body"}


@pytest.mark.parametrize(("side", "darkened"), [("", {"left", "right"}), ("left", {"left"}), ("right", {"right"})])
def test_a_film_is_where_it_is_written(model_of: Callable[..., Model], side: str, darkened: set[str]) -> None:
    """Case: of a pair one or both; the glass under it stays what it is."""
    model = glazed(model_of(), done_to("cap-side", side=side, film="glass-film-35"))
    found = {each.side for each in all_fitted(model) if each.film}
    pane = as_fitted(model, "cap-side", "left" if "left" in darkened else "right")

    assert found == darkened
    assert (pane.film_share, pane.transmittance, pane.path) == (0.35, 0.42, "glass.cap-side")


def test_a_new_pane_takes_the_place_of_the_old(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Case: its share and index hold, the rake is that of the opening; a film can go on top."""
    head = head_at("cap-hatch-glass", part="bar-6-red-amber-white")
    model = glazed(model_of(head), done_to("cap-hatch", film="glass-film-20", part="cap-hatch-pane-clear"))
    pane = pane_before(head, model)

    assert pane is not None
    assert (pane.came, pane.transmittance, pane.film_share) == (0.42, 0.88, 0.20)
    assert (pane.film, pane.part, pane.called) == ("glass-film-20", "cap-hatch-pane-clear", "cap-hatch")
    assert pane_before(head_at("grille"), model) is None
