"""Does what a body says to who builds on it hold together? A small body with one slip at a time."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.parts.body_ways import node_of, node_of_place, reached_from, segments, spot_m
from coachwright.parts.read import read_part
from coachwright.parts.schema import BodyPart

BODY = """\
kind: body
name: box
title: A box on wheels
figures: {source: drawn by nobody, date: 2026-01-01, invented: yes}
body-class: box
mass: 2000 kg
length: 4 m
width: 2 m
height: 2 m
wheelbase: 2.5 m
front-overhang: 0.8 m
places:
  nose: {x: 800 mm, y: 500 mm, z: 700 mm, facing: 0 deg, mirrored: yes, joint: front}
  gate: {x: -3.2 m, y: 0 mm, z: 900 mm, facing: 180 deg, panel: gate, joint: gate-foot}
  post: {x: 300 mm, y: 600 mm, z: 900 mm, facing: 0 deg, rise: 90 deg, holds: [battery]}
  shelf: {x: -2 m, y: -700 mm, z: 600 mm, facing: 90 deg, holds: [cargo]}
panels:
  gate: {signal: gate, hinge-x: -3.2 m, hinge-z: 600 mm, axis: y, travel: -90 deg}
  door: {signal: gate, signal-right: gate, mirrored: yes, hinge-y: 1 m, axis: z, travel: -70 deg}
glass: {}
signals:
  gate: {kind: states, values: [closed, open], rest: closed, source: a wire, order: tow}
  belt: {kind: on-off, rest: "off", source: a wire, codes: {obd: 01 0D, j1939: PGN 65265 SPN 84}}
lamps: {}
gvwr: 2600 kg
axles:
  front: {x: 0 m, curb: 1100 kg, rating: 1300 kg, track: 1.6 m}
  rear: {x: -2.5 m, curb: 900 kg, rating: 1500 kg, track: 1.6 m}
seats:
  driver: {x: -1 m, y: 400 mm, z: 700 mm, eye-z: 1350 mm, belt: belt}
charging:
  voltage: 14.2 V
  temperature-slope: -8 mV/K
  idle: 700 rpm
  curve:
    - {engine-speed: 700 rpm, current: 90 A}
    - {engine-speed: 2000 rpm, current: 150 A}
    - {engine-speed: 700 rpm, temperature: 93 degC, current: 60 A}
battery: {part: some-battery, at: post}
joints:
  front: {x: 600 mm, y: 500 mm, z: 700 mm, mirrored: yes}
  tail: {x: -3 m, y: 0 mm, z: 700 mm, ground: 40 A}
  gate-foot: {x: -3.2 m, y: 0 mm, z: 700 mm, panel: gate}
ways:
  post-lead: {from: post, to: front.left, zone: engine, ambient: 93 degC}
  across: {from: front.left, to: front.right, zone: engine, ambient: 93 degC}
  spine:
    {from: front, to: tail, through: "in mm: 0 900 400, -2500 900 400", zone: outside, ambient: 50 degC, mirrored: yes}
  gate-loop: {from: tail, to: gate-foot, length: 0.5 m, zone: cargo, ambient: 60 degC, hinge: gate, bore: 20 mm}
keep-outs:
  bag:
    {kind: airbag, from-x: -1 m, to-x: -0.5 m, from-y: 200 mm, to-y: 600 mm, from-z: 0.9 m, to-z: 1 m, mirrored: yes}
surfaces:
  rear: {x: -3.2 m, y: 0 mm, z: 1 m, facing: 180 deg, width: 1.6 m, height: 0.8 m, panel: gate}
hitch: {x: -3.3 m, z: 400 mm, tongue: 100 kg, trailer: 1000 kg, order: tow}
orders:
  tow: {mass: 20 kg, x: -3.2 m, z: 450 mm, sets: {gvwr: 2700 kg, battery: {part: other-battery, at: post}}}
removable:
  driver-seat: {mass: 30 kg, x: -1 m, y: 400 mm, z: 700 mm, seats: [driver], mind: its belt lamp}
"""


def body_of(text: str = BODY) -> BodyPart:
    """The body a text says, with nothing wrong in it."""
    read = read_part(text, file="box.yaml")
    assert read.findings == ()
    assert isinstance(read.part, BodyPart)
    return read.part


def test_a_whole_small_body_is_read_in_si() -> None:
    """The box has nothing wrong with it; rpm is rad/s inside (1 rpm = 2 pi / 60 rad/s, SI brochure)."""
    body = body_of()

    assert body.axles is not None
    assert body.axles.front.curb + body.axles.rear.curb == body.mass
    assert body.charging is not None
    assert body.charging.idle == pytest.approx(73.3038, rel=1e-5)
    assert body.charging.temperature_slope == pytest.approx(-0.008)
    assert body.orders["tow"].sets.gvwr == pytest.approx(2700)
    assert body.signals["belt"].codes.j1939 == "PGN 65265 SPN 84"


@pytest.mark.parametrize(
    ("was", "now", "code", "about"),
    [
        ("curb: 1100 kg", "curb: 1000 kg", "PRT-060", "axles"),
        ("obd: 01 0D", "obd: speed", "PRT-061", "signals.belt.codes.obd"),
        ("j1939: PGN 65265 SPN 84", "j1939: 84", "PRT-061", "signals.belt.codes.j1939"),
        ("gvwr: 2600 kg", "gvwr: 1900 kg", "PRT-062", "gvwr"),
        ("gvwr: 2600 kg", "gvwr: 2900 kg", "PRT-062", "axles"),
        ("rating: 1300 kg", "rating: 1050 kg", "PRT-062", "axles.front.rating"),
        ("rear: {x: -2.5 m", "rear: {x: -2.6 m", "PRT-063", "axles"),
        ("front: {x: 0 m", "front: {x: 1 m", "PRT-063", "axles"),
        ("curb: 900 kg", "curb: -10 kg", "PRT-064", "axles.rear.curb"),
        ("eye-z: 1350 mm", "eye-z: 750 mm", "PRT-065", "seats.driver.eye-z"),
        ("belt: belt}", "belt: bell}", "PRT-038", "seats.driver.belt"),
        ("current: 150 A", "current: 50 A", "PRT-066", "charging.curve"),
        ("current: 60 A", "current: 99 A", "PRT-066", "charging.curve"),
        ("idle: 700 rpm", "idle: 0 rpm", "PRT-066", "charging.idle"),
        ("idle: 700 rpm", "idle: 700 rpm\n  fast-idle: 600 rpm", "PRT-066", "charging.idle"),
        ("voltage: 14.2 V", "voltage: 0 V", "PRT-066", "charging.voltage"),
        ("some-battery, at: post", "some-battery, at: past", "PRT-052", "battery.at"),
        ("to: tail, through", "to: tale, through", "PRT-067", "ways.spine.to"),
        ("joint: gate-foot", "joint: gate-food", "PRT-067", "places.gate.joint"),
        ("to: front.right", "to: front.left", "PRT-068", "ways.across.to"),
        ("from: post, to: front.left", "from: post, to: front", "PRT-045", "ways.post-lead.to"),
        ("from: front, to: tail", "from: front, to: tail.left", "PRT-045", "ways.spine.to"),
        ("hinge: gate, ", "", "PRT-071", "ways.gate-loop"),
        ("to: tail, through", "to: tail, hinge: gate, through", "PRT-071", "ways.spine.hinge"),
        ("hinge: gate, bore", "hinge: gaet, bore", "PRT-037", "ways.gate-loop.hinge"),
        ("joint: gate-foot", "joint: tail", "PRT-071", "places.gate.joint"),
        ("length: 0.5 m", "length: 0.1 m", "PRT-072", "ways.gate-loop.length"),
        ("ambient: 50 degC", "ambient: 5 degC", "PRT-073", "ways.spine.ambient"),
        ("bore: 20 mm", "bore: -2 mm", "PRT-043", "ways.gate-loop.bore"),
        ("to-x: -0.5 m", "to-x: -1.5 m", "PRT-074", "keep-outs.bag.to-x"),
        ("from-y: 200 mm", "from-y: -200 mm", "PRT-075", "keep-outs.bag.from-y"),
        ("y: 500 mm, z: 700 mm, mirrored: yes}", "y: 0 mm, z: 700 mm, mirrored: yes}", "PRT-075", "joints.front.y"),
        ("ground: 40 A", "ground: -40 A", "PRT-043", "joints.tail.ground"),
        ("z: 700 mm, panel: gate}", "z: 700 mm, panel: gate, ground: 40 A}", "PRT-058", "joints.gate-foot.ground"),
        ("z: 700 mm, panel: gate}", "z: 700 mm, panel: goat}", "PRT-037", "joints.gate-foot.panel"),
        ("z: 700 mm, panel: gate}", "z: 700 mm, panel: door}", "PRT-045", "joints.gate-foot.panel"),
        ("width: 1.6 m, height", "width: 0 m, height", "PRT-043", "surfaces.rear.width"),
        ("order: tow}\n  belt", "order: tows}\n  belt", "PRT-076", "signals.gate.order"),
        ("trailer: 1000 kg, order: tow", "trailer: 1000 kg, order: towing", "PRT-076", "hitch.order"),
        ("seats: [driver]", "seats: [drover]", "PRT-077", "removable.driver-seat.seats.1"),
        ("mass: 30 kg", "mass: 0 kg", "PRT-043", "removable.driver-seat.mass"),
        ("hinge-x: -3.2 m, hinge-z", "hinge-x: -4.2 m, hinge-z", "PRT-078", "panels.gate.hinge-x"),
        ("hinge-y: 1 m", "hinge-y: 2 m", "PRT-078", "panels.door.hinge-y"),
        ("hinge-y: 1 m", "hinge-y: -1 m", "PRT-075", "panels.door.hinge-y"),
        ("facing: 0 deg, mirrored", "facing: 720 deg, mirrored", "PRT-079", "places.nose.facing"),
        ("rise: 90 deg", "rise: 100 deg", "PRT-079", "places.post.rise"),
        ("rise: 90 deg", "clear: 0 deg", "PRT-079", "places.post.clear"),
        ("0 900 400,", "0 900,", "PRT-024", "ways.spine.through"),
        ("from: front, to", "from: , to", "PRT-023", "ways.spine.from"),
    ],
)
def test_each_slip_of_a_body_is_told(was: str, now: str, code: str, about: str) -> None:
    """Law: one slip, one code, at the path where it was made, at a line that holds it."""
    assert BODY.count(was) == 1
    findings = read_part(BODY.replace(was, now), file="box.yaml").findings

    assert (code, about) in [(each.code, each.about) for each in findings]
    assert all(each.where and each.severity == "error" for each in findings)


def test_a_way_that_leads_to_nothing_is_told() -> None:
    """Case: without the piece between them, the way along the right side has no battery."""
    cut = re.sub(r"  across: .*\n", "", BODY).replace("to: tail, through", "to: island, through")
    cut = cut.replace("  tail:", "  island: {x: -3 m, y: 500 mm, z: 300 mm, mirrored: yes}\n  tail:")
    told = [(each.code, each.about) for each in read_part(cut, file="box.yaml").findings]

    assert ("PRT-069", "ways.spine") in told
    assert ("PRT-069", "ways.gate-loop") in told
    assert ("PRT-070", "places.gate") in told


def test_a_place_no_wire_leads_to_is_told() -> None:
    """Case: a lamp without a way; a shelf for cargo needs none."""
    findings = read_part(BODY.replace(", mirrored: yes, joint: front}", ", mirrored: yes}"), file="box.yaml").findings

    assert [(each.code, each.about) for each in findings] == [("PRT-070", "places.nose")]


def test_a_body_that_says_none_of_it_is_read() -> None:
    """Law: a body of a shop from before loads as it did; what it doesn't say is empty."""
    old = BODY[: BODY.index("gvwr:")].replace(", order: tow", "")
    old = re.sub(r", joint: [a-z-]+", "", old)
    body = body_of(old)

    assert (body.gvwr, body.axles, body.charging, body.battery) == (0.0, None, None, None)
    assert (body.ways, body.seats, body.keep_outs, body.orders) == ({}, {}, {}, {})


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_whatever_stands_in_a_body_file_is_answered(data: st.DataObject) -> None:
    """Law: words swapped, cut or repeated anywhere give a part or findings with a line, never an exception."""
    words = re.split(r"(\s+|[{}\[\],:])", BODY)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(words) - 1))
        words[at] = data.draw(
            st.sampled_from([*words, "", "-1 m", "1e9 kg", "nowhere.left", "left", "\u00b5", "[]", "{}"])
        )
    read = read_part("".join(words), file="box.yaml")

    assert (read.part is None) == bool(read.findings)
    assert all(each.where and each.where[0].line >= 1 for each in read.findings)


# ---- ways


def test_a_mirrored_way_is_two_segments() -> None:
    """Law: both have one length, and the nodes of the right one carry the other side."""
    left, right = (each for each in segments(body_of()) if each.name.startswith("spine"))

    assert (left.name, left.start, left.end) == ("spine.left", "front.left", "tail")
    assert (right.name, right.start, right.end) == ("spine.right", "front.right", "tail")
    assert left.length_m == pytest.approx(right.length_m)


def test_length_is_as_drawn_unless_it_is_said() -> None:
    """By hand: 0.3, 0.1 and 0.2 m to the nearer joint make the root of 0.14; the loop has the 0.5 m it says."""
    lengths = {each.name: each.length_m for each in segments(body_of())}

    assert lengths["post-lead"] == pytest.approx(0.14**0.5)
    assert lengths["across"] == pytest.approx(1.0)
    assert lengths["gate-loop"] == pytest.approx(0.5)


def test_nodes_know_their_side() -> None:
    """Law: what is said for the left holds in mirror image on the right; a pair without a side is no node."""
    body = body_of()

    assert node_of(body, "front", "right") == "front.right"
    assert node_of(body, "front.left", "right") == "front.right"
    assert node_of(body, "front") is None
    assert node_of(body, "tail", "right") == "tail"
    assert node_of(body, "tail.left") is None
    assert node_of(body, "nowhere") is None
    assert spot_m(body, "front.right") == pytest.approx((0.6, -0.5, 0.7))


def test_a_place_is_wired_on_its_own_side() -> None:
    """Law: the right lamp of a pair leaves at the right joint; a place that is itself an end is its own joint."""
    body = body_of()

    assert node_of_place(body, "nose", "right") == "front.right"
    assert node_of_place(body, "nose") == "front.left"
    assert node_of_place(body, "post") == "post"
    assert node_of_place(body, "shelf") is None


def test_everything_hangs_together() -> None:
    """Law: from any node of a clean body every other one is reached."""
    body = body_of()
    ends = {node for each in segments(body) for node in (each.start, each.end)}

    assert all(reached_from(body, node) == ends for node in ends)
