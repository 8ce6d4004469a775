"""Do the lamps of a job sit on the cars as they are drawn? A build with a lamp at every place that takes one."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.draw.lamps import drawn_heads, seen_in
from coachwright.draw.project import VIEWS, View
from coachwright.draw.views import sheets
from coachwright.parts.schema import BodyPart, Place
from coachwright.parts.store import load_catalogue
from coachwright.place.checks import place_findings
from tests.parts.silhouette import covered, edge_m, shapes_in

CARS = ("estate-car", "full-size-sport-utility", "saloon")
LAMP, BAR = "short-red-amber-white", "bar-6-red-amber-white"
AIMS = {"fender-corner": "45 deg", "mirror-under": "90 deg"}
ON_M = 0.06
"""How far the middle of a lamp may stand off the drawn body."""


def has_a_lamp_of_its_own(body: BodyPart, name: str) -> bool:
    """Whether the vehicle came with a lamp at this place."""
    return any(head.place == name for lamp in body.lamps.values() for head in lamp.heads)


def takes_a_lamp(body: BodyPart, name: str, place: Place) -> bool:
    """Whether a lamp or a bar can be fitted at a place that has none yet."""
    return bool({"lamp", "bar"} & set(place.holds)) and not has_a_lamp_of_its_own(body, name)


def lamps_of(body: BodyPart) -> tuple[str, ...]:
    """Places that take a lamp, in the order of the body."""
    return tuple(name for name, place in body.places.items() if takes_a_lamp(body, name, place))


def job_on(body: BodyPart) -> str:
    """A build with a lamp wherever one can be fitted."""
    lamps = []
    for name in lamps_of(body):
        place = body.places[name]
        part = LAMP if "lamp" in place.holds else BAR
        pair = ", pair: mirrored" if place.mirrored else ""
        aim = f", aim: {AIMS[name]}" if name in AIMS else ""
        lamps.append(f"  {name}: {{part: {part}, at: {name}{pair}{aim}}}")
    return "\n".join(
        [
            "coachwright: 1",
            'job: {name: Lamps, customer: Invented, number: X-1, revision: A, due: "2027-01-01", money: USD}',
            "count: 1",
            f"vehicle: {{body: {body.name}}}",
            "packs: [house]",
            "lamps:",
            *lamps,
            "controls:",
            '  slide: {kind: slide, positions: ["off", low], at: console.panel, asleep: reads-off, lost: hold}',
            "ranks: [road, warn]",
            "functions:",
            "  warning: {rank: warn, by: slide, levels: {low: [{on: all, red: single}]}}",
            "",
        ]
    )


@pytest.fixture(scope="module", params=CARS)
def model(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Model:
    """Each car in turn, with a lamp everywhere."""
    body = load_catalogue().get(request.param)
    assert isinstance(body, BodyPart)
    path: Path = tmp_path_factory.mktemp(request.param) / "build.yaml"
    path.write_text(job_on(body), encoding="utf-8")
    loaded = load_build(path)
    assert loaded.model is not None, [each.code for each in loaded.findings]
    return loaded.model


def test_a_car_takes_lamps_all_round(model: Model) -> None:
    """House: twenty places for lamps at least, and none of them has the body in its way or stands where another is."""
    assert len(lamps_of(model.body)) >= 20
    assert [finding.code for finding in place_findings(model)] == []


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.name)
def test_every_lamp_sits_on_the_drawn_car(model: Model, view: View) -> None:
    """Law: in every view a lamp is seen in, its middle is on the drawn body or within 6 cm of it."""
    shapes = shapes_in(model.body, view.outline)
    heads = [each for each in seen_in(drawn_heads(model), view) if each.fitted]
    off = {each.head.lamp for each in heads if not covered(shapes, _flat(view, each.pose.position_m), slack_m=ON_M)}

    assert len(heads) >= 8
    assert off == set()


def test_lamps_outside_are_at_the_skin(model: Model) -> None:
    """Law: a lamp that stands behind no glass and not in the car is within 9 cm of a drawn edge in some view."""
    deep = []
    for name in lamps_of(model.body):
        place = model.body.places[name]
        if place.glass or name in ("door-inner", "cargo-rear", "trunk-underside", "hatch-underside"):
            continue
        seen = {"side": (place.x, place.z), "top": (place.x, place.y), "front": (place.y, place.z)}
        seen["rear"] = seen["front"]
        if min(edge_m(shape, seen[view]) for view in seen for shape in shapes_in(model.body, view)) > 0.09:
            deep.append(name)

    assert deep == []


def test_five_sheets_are_drawn(model: Model) -> None:
    """Case: plan, both sides, front and rear, each of them well-formed and with the car and lamps in it."""
    drawn = dict(sheets(model, digest="0" * 12))

    assert {"plan", "left", "right", "front", "rear"} <= set(drawn)
    for name in ("plan", "left", "right", "front", "rear"):
        ids = {each.get("id") for each in ET.fromstring(drawn[name]).iter()}
        assert {"vehicle", "lamps"} <= ids, name
        assert drawn[name].count('class="body"') >= 3, name


def _flat(view: View, point: tuple[float, float, float]) -> tuple[float, float]:
    x, y, z = point
    return {"side": (x, z), "top": (x, y), "front": (y, z), "rear": (y, z)}[view.outline]
