"""Does a body hold together, and does the drawing of the pickup agree with its places?"""

import math

import pytest

from coachwright.build.condition_text import Scope, read_condition
from coachwright.kit.geom import direction
from coachwright.parts.body_checks import values_of
from coachwright.parts.checks import part_problems
from coachwright.parts.read import read_part
from coachwright.parts.schema import BodyPart, Place
from coachwright.parts.store import load_catalogue
from tests.parts.silhouette import Point, covered, edge_m, shapes_in

PICKUP = load_catalogue().get("crew-cab-pickup-with-cap")
assert isinstance(PICKUP, BodyPart)

INSIDE = (
    "between-front-seats",
    "rear-floor",
    "console",
    "dome",
    "overhead",
    "steering-wheel",
    "foot-rest",
    "driver-seat-base",
    "under-rear-seat",
)
HIDDEN = (
    "battery-main",
    "battery-second",
    "bed",
    "bed-front",
    "bed-left",
    "bed-right",
    "under-hood",
    "gear-locker",
    "command-tray",
    "bumper-behind",
    "bumper-low",
    "frame-rear",
    "door-inner",
)

SKETCHED = """
grille fender-corner bumper-front mirror-under windshield-top rocker-fore rocker-aft cap-side-high cap-hatch-glass
tail-inner bumper-rear cap-hatch-underside tailgate-top-edge command-tray headlamp console.panel console.side
steering-wheel driver-seat-base under-rear-seat bumper-behind bumper-low gear-locker frame-rear hatch-edge roof-fore
roof-aft under-hood quarter-glass
""".split()

BODY = """\
kind: body
name: box
title: A box on wheels
figures: {source: drawn by nobody, date: 2026-01-01, invented: yes}
body-class: box
length: 4 m
width: 2 m
height: 2 m
wheelbase: 2.5 m
front-overhang: 0.8 m
places:
  nose: {x: 800 mm, y: 500 mm, z: 700 mm, facing: 0 deg, mirrored: yes}
  gate: {x: -3.2 m, y: 0 mm, z: 900 mm, facing: 180 deg, panel: gate, glass: pane}
panels:
  gate: {signal: gate, hinge-x: -3.2 m, hinge-z: 600 mm, axis: y, travel: -90 deg}
  door: {signal: door-left, signal-right: door-right, mirrored: yes, hinge-y: 1 m, axis: z, travel: -70 deg}
glass:
  pane: {transmittance: 70 %, facing: 180 deg, panel: gate}
signals:
  gate: {kind: states, values: [closed, open], rest: closed, source: a wire}
  door-left: {kind: states, values: [closed, open], rest: closed, source: a wire}
  door-right: {kind: states, values: [closed, open], rest: closed, source: a wire}
  speed: {kind: number, unit-kind: speed, low: 0 mph, high: 90 mph, rest: 0 mph, source: a bus}
  gear: {kind: states, values: [P, D], rest: P, lost: P-unless-moving, source: bus, debounce: 20 ms, recognition: 50 ms}
  brake: {kind: on-off, rest: "off", source: a wire}
lamps:
  beam:
    reaches: [parallel]
    heads:
      - {place: nose, side: left, colours: {white: {flux: 900 lm, current: 2 A, beam: {shape: cosine}}}}
outlines:
  - {view: side, points: "in mm: 800 400, 800 1500, -3200 1500, -3200 400"}
"""


def seen_at(x: float, y: float, z: float) -> dict[str, Point]:
    """Where a point of the vehicle appears in each view."""
    return {"side": (x, z), "top": (x, y), "front": (y, z), "rear": (y, z)}


VIEWS = {view: shapes_in(PICKUP, view) for view in ("side", "top", "front", "rear")}
SOLID = {view: shapes_in(PICKUP, view, layers=("body", "wheel")) for view in VIEWS}
OUTSIDE = [
    name
    for name, each in PICKUP.places.items()
    if not each.glass and not name.startswith(INSIDE) and name not in HIDDEN
]


def far_view(place: Place) -> str:
    """Of front and rear views, the one from which the place could be seen."""
    return "front" if math.cos(place.facing) > 0 else "rear"


# ---- the pickup


def test_every_place_of_the_first_jobs_is_there() -> None:
    """The places a duty pickup with a cap is fitted out at, and the ones its controls stand at."""
    assert len(SKETCHED) >= 28
    assert [name for name in SKETCHED if name not in PICKUP.places] == []
    assert len(PICKUP.places) >= 45
    assert all(place.what for place in PICKUP.places.values())


@pytest.mark.parametrize("name", PICKUP.places)
def test_every_place_is_on_or_in_the_drawn_vehicle(name: str) -> None:
    """Law: seen from the side, from above and from the end it faces, a place is within 6 cm of the drawn body."""
    place = PICKUP.places[name]
    seen = seen_at(place.x, place.y, place.z)

    for view in ("side", "top", far_view(place)):
        assert covered(SOLID[view], seen[view], slack_m=0.06), f"{name} is off the body in the {view} view"


@pytest.mark.parametrize("name", OUTSIDE)
def test_places_outside_are_at_the_skin(name: str) -> None:
    """Law: a lamp is bolted to something: in some view its place is within 12 cm of a drawn edge of the body."""
    place = PICKUP.places[name]
    seen = seen_at(place.x, place.y, place.z)

    assert min(edge_m(shape, seen[view]) for view in ("side", "top", far_view(place)) for shape in VIEWS[view]) < 0.12


@pytest.mark.parametrize("name", [name for name in OUTSIDE if name not in ("cap-hatch-underside", "roof-front")])
def test_places_outside_look_out(name: str) -> None:
    """Law: two metres along its outward direction a place has left the vehicle in at least one view."""
    place = PICKUP.places[name]
    ahead = direction(bearing_rad=place.facing, elevation_rad=place.rise)
    seen = seen_at(*(here + 2 * there for here, there in zip((place.x, place.y, place.z), ahead, strict=True)))

    if name == "cap-front":  # looks over the cab roof
        assert place.z > 1.9
        return
    assert any(not covered(VIEWS[view], seen[view]) for view in ("side", "top"))


def test_no_two_places_are_alike() -> None:
    """Law: every two places differ by 4 cm or by the way they look."""
    places = list(PICKUP.places.items())
    alike = [
        (one, other)
        for number, (one, a) in enumerate(places)
        for other, b in places[number + 1 :]
        if math.dist((a.x, a.y, a.z), (b.x, b.y, b.z)) < 0.04 and (a.facing, a.rise) == (b.facing, b.rise)
    ]

    assert alike == []


@pytest.mark.parametrize(
    ("view", "axis", "low", "high"),
    [
        ("side", 0, PICKUP.front_overhang - PICKUP.length, PICKUP.front_overhang),
        ("top", 0, PICKUP.front_overhang - PICKUP.length, PICKUP.front_overhang),
        ("side", 1, None, PICKUP.height),
        ("rear", 1, None, PICKUP.height),
        ("front", 1, None, PICKUP.height),
    ],
)
def test_the_drawing_has_the_stated_size(view: str, axis: int, low: float | None, high: float) -> None:
    """Law: all views show one vehicle: length and height as stated, to 1.5 cm."""
    values = [point[axis] for shape in VIEWS[view] for point in shape]

    assert max(values) == pytest.approx(high, abs=0.015)
    if low is not None:
        assert min(values) == pytest.approx(low, abs=0.015)


def test_the_drawing_has_the_stated_width_without_mirrors() -> None:
    """Law: the body in plan is as wide as stated; only the mirrors stand out."""
    widest = max(abs(y) for _, y in VIEWS["top"][0])
    mirrors = max(abs(y) for shape in VIEWS["top"] for _, y in shape)

    assert 2 * widest == pytest.approx(PICKUP.width, abs=0.01)
    assert widest < mirrors < widest + 0.35


def test_wheels_stand_on_the_ground_a_wheelbase_apart() -> None:
    """Law: the two tyres touch z = 0 under x = 0 and x = -wheelbase."""
    tyres = [
        each.points
        for each in PICKUP.outlines
        if each.view == "side" and each.layer == "wheel" and len(each.points) > 30
    ]
    middles = sorted((min(x for x, _ in tyre) + max(x for x, _ in tyre)) / 2 for tyre in tyres)

    assert middles == pytest.approx([-PICKUP.wheelbase, 0.0], abs=0.005)
    assert [min(z for _, z in tyre) for tyre in tyres] == pytest.approx([0.0, 0.0], abs=0.003)


def test_the_drawing_is_rich_enough_for_paper() -> None:
    """House: four views, glass, wheels and details in each, corners rounded by enough points, no line too long."""
    for view in VIEWS:
        layers = {each.layer for each in PICKUP.outlines if each.view == view}
        assert layers >= ({"body", "glass", "detail"} | ({"wheel"} if view != "top" else set()))
    largest = max((each for each in PICKUP.outlines if each.view == "side"), key=lambda each: len(each.points))

    assert 60 <= len(largest.points) <= 200
    assert all(each.panel == "body" or each.panel in PICKUP.panels for each in PICKUP.outlines)


def test_the_body_knows_its_signals() -> None:
    """House: about twenty signals at least, each with its source in words; what flashes has an edge hold."""
    wires = [each for each in PICKUP.signals.values() if each.kind == "turn-wire"]

    assert len(PICKUP.signals) >= 20
    assert all(len(each.source) > 15 for each in PICKUP.signals.values())
    assert len(wires) == 2
    assert all(each.edge_hold == pytest.approx(0.9) for each in wires)
    assert PICKUP.signals["gear"].values == ("P", "R", "N", "D")
    assert PICKUP.signals["gear"].lost == "P-unless-moving"
    assert {PICKUP.signals[name].kind for name in ("speed", "supply")} == {"number"}


def test_rest_is_parked_with_the_engine_running() -> None:
    """Control language: ignition run, engine running, gear P, speed 0, supply 13.8 V; what opens is closed."""
    rest = {name: signal.rest for name, signal in PICKUP.signals.items()}

    assert (rest["ignition"], rest["engine"], rest["gear"], rest["speed"]) == ("run", "running", "P", "0 mph")
    assert rest["supply"] == "13.8 V"
    assert {rest[panel.signal] for panel in PICKUP.panels.values()} <= {"closed", "off"}


def test_turn_and_stop_lamps_can_not_be_asked_for() -> None:
    """Lamps the road law requires are left alone (571.108 S6.2.1; common practice): only the beams are reached."""
    reached = {name for name, lamp in PICKUP.lamps.items() if lamp.required and lamp.reaches != ("none",)}

    assert reached == {"high-beam"}
    assert {name for name, lamp in PICKUP.lamps.items() if not lamp.heads} == {"horn", "engine-run"}


@pytest.mark.parametrize(
    ("lamp", "colour", "low_cd", "high_cd"),
    [("brake-lamps", "red", 25, 300), ("turn-lamps", "amber", 130, 750), ("reverse-lamps", "white", 80, 300)],
)
def test_lamps_of_the_vehicle_are_as_bright_as_such_lamps_are(
    lamp: str, colour: str, low_cd: float, high_cd: float
) -> None:
    """571.108 at H-V (from memory): stop 80-300 cd, high stop 25-160; rear amber turn 130-750; backup 80-300."""
    peaks = [
        output.flux / (output.beam.half_width * output.beam.half_height * math.pi / math.log(2))
        for head in PICKUP.lamps[lamp].heads
        for name, output in head.colours.items()
        if name == colour
    ]

    assert peaks
    assert all(low_cd <= peak <= high_cd for peak in peaks), peaks


def test_what_the_vehicle_excludes_can_be_read() -> None:
    """Law: each condition is one over the body's own signals, and false at rest."""
    inputs = {name: values_of(each) or each.unit_kind for name, each in PICKUP.signals.items()}
    read = [read_condition(each.condition, place="vehicle", scope=Scope(inputs=inputs)) for each in PICKUP.cannot_be]

    assert len(read) >= 3
    assert [each for each in read if isinstance(each, tuple)] == []
    assert all(len(each.why) > 20 for each in PICKUP.cannot_be)


# ---- any body


def test_a_small_body_is_read() -> None:
    """The box above has nothing wrong with it."""
    read = read_part(BODY, file="box.yaml")

    assert read.findings == ()
    assert isinstance(read.part, BodyPart)
    assert read.part.outlines[0].points[1] == pytest.approx((0.8, 1.5))


@pytest.mark.parametrize(
    ("was", "now", "code", "about"),
    [
        ("y: 500 mm", "y: -500 mm", "PRT-035", "places.nose.y"),
        ("y: 500 mm", "y: 0 mm", "PRT-035", "places.nose.y"),
        ("glass: pane}", "glass: pain}", "PRT-036", "places.gate.glass"),
        ("panel: gate, glass", "panel: gaet, glass", "PRT-037", "places.gate.panel"),
        ("70 %, facing: 180 deg, panel: gate", "70 %, facing: 180 deg, panel: hatch", "PRT-037", "glass.pane.panel"),
        ("{signal: gate,", "{signal: tailgate,", "PRT-038", "panels.gate.signal"),
        ("signal-right: door-right, ", "", "PRT-038", "panels.door.signal-right"),
        ("signal: gate, hinge", "signal: gate, signal-right: door-left, hinge", "PRT-045", "panels.gate.signal-right"),
        ("signal: gate, hinge", "signal: gate, open-value: ajar, hinge", "PRT-039", "panels.gate.open-value"),
        ("axis: y, travel: -90 deg", "axis: y", "PRT-047", "panels.gate"),
        ("axis: y, travel: -90 deg", "axis: y, travel: -90 deg, slide-x: 1 m", "PRT-047", "panels.gate"),
        ("panel: gate, glass: pane}", "panel: door, glass: pane}", "PRT-045", "places.gate.panel"),
        ("rest: P", "rest: N", "PRT-039", "signals.gear.rest"),
        ('rest: "off"', 'rest: "off", lost: P-unless-moving', "PRT-039", "signals.brake.lost"),
        ("values: [P, D]", "values: [P]", "PRT-048", "signals.gear.values"),
        ("high: 90 mph", "high: 90", "PRT-051", "signals.speed.high"),
        ("high: 90 mph", "high: 90 kg", "PRT-051", "signals.speed.high"),
        ("low: 0 mph", "low: 5 mph", "PRT-051", "signals.speed.rest"),
        ("recognition: 50 ms", "recognition: 10 ms", "PRT-049", "signals.gear.recognition"),
        ("{place: nose,", "{place: noose,", "PRT-052", "lamps.beam.heads.1.place"),
        ("{place: nose, side: left", "{place: nose", "PRT-045", "lamps.beam.heads.1.place"),
        ("x: 800 mm, y", "x: 8 m, y", "PRT-046", "places.nose"),
        ("transmittance: 70 %", "transmittance: 0 %", "PRT-043", "glass.pane.transmittance"),
        ("length: 4 m", "length: 0 m", "PRT-043", "length"),
        ("  gate: {x:", "  gate.left: {x:", "PRT-023", "places.gate.left"),
        ("in mm: 800", "800", "PRT-024", "outlines.1.points"),
        ("800 1500,", "800 1500 7,", "PRT-024", "outlines.1.points"),
        ("view: side, points", "view: side, panel: door-2, points", "PRT-037", "outlines.1.panel"),
    ],
)
def test_each_slip_of_a_body_is_told(was: str, now: str, code: str, about: str) -> None:
    """Law: one slip, one code, at the path where it was made."""
    assert was in BODY
    findings = read_part(BODY.replace(was, now, 1), file="box.yaml").findings

    assert (code, about) in [(each.code, each.about) for each in findings]
    assert all(each.where for each in findings)


def test_the_closest_name_is_given() -> None:
    """A name that is not there has its nearest neighbour named."""
    (finding,) = read_part(BODY.replace("{place: nose,", "{place: noose,"), file="box.yaml").findings

    assert finding.values["near"] == "nose"
    assert finding.fix is not None
    assert "nose" in finding.fix.sentence


def test_one_spot_twice_is_told() -> None:
    """Two names for one place would have two lamps bolted through each other."""
    twin = "  snout: {x: 805 mm, y: 495 mm, z: 700 mm, facing: 0 deg, mirrored: yes}\npanels:"

    assert [each.code for each in read_part(BODY.replace("panels:", twin, 1), file="box.yaml").findings] == ["PRT-040"]


def test_one_spot_many_times_is_told_once_each() -> None:
    """Law: names of one spot are told each once, not each against each other."""
    twins = "".join(
        f"  snout-{number}: {{x: 805 mm, y: 495 mm, z: 700 mm, facing: 0 deg, mirrored: yes}}\n" for number in range(40)
    )
    findings = read_part(BODY.replace("panels:", f"{twins}panels:", 1), file="box.yaml").findings

    assert [each.code for each in findings] == ["PRT-040"] * 40


def test_more_places_than_a_vehicle_has_are_refused() -> None:
    """A file of somebody else's can't make the checks compare thousands of places with each other."""
    many = "".join(f"  spot-{number}: {{x: 0 mm, y: 0 mm, z: 700 mm, facing: 0 deg}}\n" for number in range(600))
    findings = read_part(BODY.replace("panels:", f"{many}panels:", 1), file="box.yaml").findings

    assert [(each.code, each.about) for each in findings] == [("PRT-013", "places")]


def test_a_whole_body_has_no_problem() -> None:
    """Law: what was read without a finding has none when it is looked at again."""
    assert part_problems(PICKUP) == ()
