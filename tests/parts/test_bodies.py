"""What holds for every body of the catalogue: a fitter who knows one of them finds his way on the next."""

import math
from collections.abc import Iterator

import pytest

from coachwright.build.condition_text import Scope, read_condition
from coachwright.kit.geom import Pose, Vector, direction, mirrored
from coachwright.parts.body_checks import values_of
from coachwright.parts.body_upfit import KeepOut
from coachwright.parts.body_ways import node_of_place, reached_from, segments
from coachwright.parts.schema import BodyPart, Outline, Place
from coachwright.parts.standing import Side, place_pose
from coachwright.parts.store import load_catalogue
from coachwright.place.panels import carried
from coachwright.place.required import use_of

CATALOGUE = load_catalogue()
BODIES = {part.name: part for part in CATALOGUE.of_kind("body") if isinstance(part, BodyPart)}
CARS = ("estate-car", "full-size-sport-utility", "saloon")
INCH_M = 0.0254
OFF_M = 0.06
"""How far a place may stand off what is drawn: a lamp is some 4 cm deep, a mirror's foot a little more."""

AHEAD = (
    "grille",
    "fender-corner",
    "bumper-front",
    "bumper-corner",
    "headlamp",
    "turn-front",
    "bumper-behind",
    "bumper-low",
)
BETWEEN = (
    "console.panel",
    "console.side",
    "driver-seat-base",
    "door-inner",
    "rocker-aft",
    "roof-fore",
    "windshield-top",
)
BEHIND = (
    "tail-upper",
    "tail-middle",
    "tail-lower",
    "bumper-rear",
    "bumper-rear-corner",
    "frame-rear",
    "hatch-glass",
    "hatch-edge",
    "hatch-underside",
    "roof-rear",
    "trunk-edge",
    "trunk-lid",
    "trunk-underside",
)
FORWARD = (
    "grille",
    "fender-corner",
    "bumper-front",
    "headlamp",
    "turn-front",
    "windshield-top",
    "windshield-foot",
    "mirror-under",
    "roof-front",
    "bumper-behind",
    "bumper-low",
)
REARWARD = (
    "tail-upper",
    "tail-middle",
    "tail-lower",
    "tail-inner",
    "bumper-rear",
    "hatch-glass",
    "roof-rear",
    "stop-high",
)
SIDEWARD = ("fender-side", "rocker-fore", "rocker-aft", "quarter-glass")
ON_TOP = ("roof-fore", "roof-aft", "roof-front", "roof-rear")
FITTED = frozenset({"lamp", "bar", "device", "control", "speaker"})


@pytest.fixture(params=BODIES)
def body(request: pytest.FixtureRequest) -> BodyPart:
    """Every body of the catalogue in turn."""
    return BODIES[request.param]


@pytest.fixture(params=CARS)
def car(request: pytest.FixtureRequest) -> BodyPart:
    """The three cars in turn."""
    return BODIES[request.param]


def sides_of(place: Place) -> tuple[Side, ...]:
    """Both sides of a pair; the one of what is there once."""
    return ("left", "right") if place.mirrored else ("",)


def opened(body: BodyPart, name: str, side: Side) -> Pose:
    """Where a place comes to when the panel it rides on stands open."""
    place = body.places[name]
    return carried(place_pose(place, side), body, place.panel, side)


def drawn(body: BodyPart, view: str) -> Iterator[tuple[float, float]]:
    """Corners of the closed shapes of the body in one view, both halves."""
    for each in body.outlines:
        if each.view == view and each.layer == "body" and each.closed:
            yield from each.points
            if each.half:
                yield from (_image(each, point) for point in each.points)


def _image(outline: Outline, point: tuple[float, float]) -> tuple[float, float]:
    return (point[0], -point[1]) if outline.view == "top" else (-point[0], point[1])


def box_of(body: BodyPart, view: str) -> tuple[float, float, float, float]:
    """Left, right, low, high of what is drawn in one view. [m]"""
    points = list(drawn(body, view))
    along, up = [point[0] for point in points], [point[1] for point in points]
    return min(along), max(along), min(up), max(up)


def heights_in(body: BodyPart, use: str, *, high_stop: bool = False) -> list[float]:
    """Heights of the heads of the vehicle's own lamps of one use, in inches."""
    return [
        body.places[head.place].z / INCH_M
        for name, lamp in body.lamps.items()
        if use_of(name) == use
        for head in lamp.heads
        if (head.place == "stop-high") == high_stop
    ]


# ---- what a body is


def test_the_catalogue_has_the_classes_a_shop_works_on() -> None:
    """House: a pickup and three cars at least; all of them invented, and said so."""
    assert {"crew-cab-pickup-with-cap", *CARS} <= set(BODIES)
    assert all(each.figures.invented for each in BODIES.values())


def test_forty_places_each_found_by_its_words(body: BodyPart) -> None:
    """House: forty places or more, and each says in words where it is."""
    assert len(body.places) >= 40
    assert [name for name, place in body.places.items() if len(place.what) < 8] == []


def test_every_place_is_within_the_drawn_outline(body: BodyPart) -> None:
    """Law: seen from the side, from above and from the end it faces, no place stands off the drawing's box."""
    boxes = {view: box_of(body, view) for view in ("side", "top", "front", "rear")}
    off = []
    for name, place in body.places.items():
        end = "front" if math.cos(place.facing) > 0 else "rear"
        seen = {"side": (place.x, place.z), "top": (place.x, place.y), end: (place.y, place.z)}
        for view, (along, up) in seen.items():
            left, right, low, high = boxes[view]
            if not (left - OFF_M <= along <= right + OFF_M and low - OFF_M <= up <= high + OFF_M):
                off.append((name, view))

    assert off == []


def test_the_right_side_is_the_mirror_image_of_the_left(body: BodyPart) -> None:
    """Law: for every pair, shut and open: position and direction on the right are those on the left, y turned round."""
    for name, place in body.places.items():
        if not place.mirrored:
            continue
        panel = body.panels.get(place.panel)
        assert panel is None or panel.mirrored or panel.axis in ("y", "none"), f"{name} is a pair on a one-sided panel"
        shut = [place_pose(place, side) for side in sides_of(place)]
        for left, right in (shut, [opened(body, name, side) for side in sides_of(place)]):
            assert right.position_m == pytest.approx(mirrored(left.position_m), abs=1e-9), name
            assert right.forward == pytest.approx(mirrored(left.forward), abs=1e-9), name


# ---- one name, about one spot


@pytest.mark.parametrize("name", sorted({*AHEAD, *BETWEEN, *BEHIND}))
def test_a_shared_name_is_about_the_same_spot(name: str) -> None:
    """Law: ahead of the front axle, between the axles or behind the rear one, on every body that has the name."""
    found = [(each, part.places[name].x, part.wheelbase) for each, part in BODIES.items() if name in part.places]

    assert found
    for where, x, wheelbase in found:
        if name in AHEAD:
            assert x > 0, where
        elif name in BEHIND:
            assert x < -wheelbase, where
        else:
            assert -wheelbase < x < 0, where


@pytest.mark.parametrize("name", sorted({*FORWARD, *REARWARD, *SIDEWARD, *ON_TOP}))
def test_a_shared_name_looks_about_the_same_way(name: str) -> None:
    """Law: to the front, the rear or the left within 30 deg; what is on the roof is in the top eighth of the height."""
    found = [(each, part, part.places[name]) for each, part in BODIES.items() if name in part.places]

    assert found
    for where, part, place in found:
        ahead = direction(bearing_rad=place.facing, elevation_rad=0.0)
        if name in FORWARD:
            assert ahead[0] > math.cos(math.radians(30)), where
        if name in REARWARD:
            assert ahead[0] < -math.cos(math.radians(30)), where
        if name in SIDEWARD:
            assert ahead[1] > math.cos(math.radians(30)), where
        if name in ON_TOP:
            assert place.z > part.height * 0.875, where


def test_the_driver_sits_on_the_left(body: BodyPart) -> None:
    """House: these are left-hand drive: seat, wheel and foot rest on the left, the eye under the roof."""
    driver = body.seats["driver"]

    assert driver.y > 0.2
    assert all(body.places[name].y > 0 for name in ("steering-wheel", "driver-seat-base") if name in body.places)
    assert all(seat.z < seat.eye_z < body.height - 0.1 for seat in body.seats.values())
    assert body.places["steering-wheel"].x > driver.x


# ---- the vehicle's own lamps


@pytest.mark.parametrize(
    ("use", "low_in", "high_in"), [("headlamp", 22, 54), ("turn", 15, 83), ("stop", 15, 72), ("tail", 15, 72)]
)
def test_lamps_are_as_high_as_571_108_table_i_a_asks(body: BodyPart, use: str, low_in: float, high_in: float) -> None:
    """49 CFR 571.108, Table I-a: headlamps 22 to 54 in, turn signals 15 to 83 in, stop and tail lamps 15 to 72 in."""
    heights = heights_in(body, use)

    if use == "tail" and not heights:
        assert body.name not in CARS
        return
    assert len(heights) >= 2
    assert all(low_in <= height <= high_in for height in heights), heights


def test_the_high_stop_lamp_is_high(body: BodyPart) -> None:
    """49 CFR 571.108, Table I-a: 34 in or more (not asked of passenger cars, and kept by all); on the centre line."""
    heights = heights_in(body, "stop", high_stop=True)

    assert len(heights) == 1
    assert heights[0] >= 34
    assert body.places["stop-high"].y == 0


def test_what_the_road_law_asks_for_is_there_on_both_sides(car: BodyPart) -> None:
    """49 CFR 571.108 S6.1.1 and Table I-a: beams, stop, turn, tail, parking, side marker, backup and plate lamps."""
    uses = {use_of(name) for name, lamp in car.lamps.items() if lamp.required}

    assert uses >= {"headlamp", "stop", "turn", "tail", "parking", "marker", "backup", "plate"}
    for name, lamp in car.lamps.items():
        if lamp.required:
            sides = [head.side for head in lamp.heads if head.side]
            assert sides.count("left") == sides.count("right") > 0, name


@pytest.mark.parametrize(
    ("use", "colour", "low_cd", "high_cd"),
    [("stop", "red", 25, 300), ("turn", "amber", 130, 750), ("backup", "white", 80, 300), ("tail", "red", 2, 18)],
)
def test_lamps_are_as_bright_as_such_lamps_are(
    car: BodyPart, use: str, colour: str, low_cd: float, high_cd: float
) -> None:
    """571.108 at H-V, cd (from memory): stop 80-300, high stop 25-160; amber turn 130-750; backup 80-300; tail 2-18."""
    peaks = [
        output.flux / (output.beam.half_width * output.beam.half_height * math.pi / math.log(2))
        for name, lamp in car.lamps.items()
        if use_of(name) == use
        for head in lamp.heads
        for each, output in head.colours.items()
        if each == colour and output.beam is not None
    ]

    assert peaks
    assert all(low_cd <= peak <= high_cd for peak in peaks), peaks


# ---- panels that move


UNDERSIDES = ("hatch-underside", "cap-hatch-underside", "trunk-underside", "tailgate-top-edge")


def test_what_hangs_under_a_lid_looks_to_the_rear_when_it_is_open(body: BodyPart) -> None:
    """Law: shut, it lights the body; open, it looks to the rear within 15 deg of level."""
    for name in UNDERSIDES:
        if name not in body.places:
            continue
        for side in sides_of(body.places[name]):
            shut, open_ = place_pose(body.places[name], side), opened(body, name, side)
            assert shut.forward[0] > -0.3, name
            assert open_.forward[0] < -math.cos(math.radians(15)), name


def test_a_lid_goes_up_and_clears_a_head(car: BodyPart) -> None:
    """Law: open, the lower rim of a hatch and the edge of a trunk lid are 1.5 m up or higher."""
    lid = "hatch" if "hatch" in car.panels else "trunk-lid"
    edge = "hatch-underside" if lid == "hatch" else "trunk-edge"
    side = sides_of(car.places[edge])[0]

    assert opened(car, edge, side).position_m[2] > 1.5
    assert opened(car, edge, side).position_m[2] > car.places[edge].z + 0.45


def test_the_hood_rises_in_front(car: BodyPart) -> None:
    """Law: hinged behind, its front edge goes up by half a metre and back."""
    shut, open_ = place_pose(car.places["hood-edge"], "left"), opened(car, "hood-edge", "left")

    assert open_.position_m[2] > shut.position_m[2] + 0.5
    assert open_.position_m[0] < shut.position_m[0]


def test_a_door_swings_out_and_shows_its_inside_to_the_rear(car: BodyPart) -> None:
    """Law: hinged in front, a front door's lamps move away from the centre line; its inner face looks to the rear."""
    inner = opened(car, "door-inner", "left")

    assert inner.position_m[1] > car.places["door-inner"].y + 0.5
    assert inner.forward[0] < -math.cos(math.radians(35))
    assert opened(car, "mirror-under", "left").position_m[1] > car.places["mirror-under"].y


# ---- wire


def test_the_ways_for_wire_hang_together(body: BodyPart) -> None:
    """Law: from the battery every joint and every place that takes a wire is reached."""
    assert body.battery is not None
    assert body.battery.part in CATALOGUE.names()
    source = node_of_place(body, body.battery.at)
    assert source is not None
    together = reached_from(body, source)

    assert {node for each in segments(body) for node in (each.start, each.end)} <= together
    cut_off = [
        name
        for name, place in body.places.items()
        if FITTED & set(place.holds)
        for side in sides_of(place)
        if node_of_place(body, name, side) not in together
    ]
    assert cut_off == []


def test_ways_are_as_long_as_a_vehicle_allows(body: BodyPart) -> None:
    """Law: each segment is longer than a hand and shorter than the vehicle."""
    assert len(segments(body)) >= 30
    assert [each.name for each in segments(body) if not 0.02 < each.length_m < body.length] == []


# ---- weights, supply, places to keep out of


def test_the_axles_carry_the_vehicle(body: BodyPart) -> None:
    """Law: both axles together carry its mass; their ratings carry the most it may weigh; neither is beyond its own."""
    assert body.axles is not None
    front, rear = body.axles.front, body.axles.rear

    assert front.curb + rear.curb == pytest.approx(body.mass)
    assert front.rating + rear.rating >= body.gvwr > body.mass
    assert 0.4 < front.curb / body.mass < 0.65
    assert rear.x == pytest.approx(-body.wheelbase)
    assert max(front.track, rear.track) < body.width


def test_wheels_are_drawn_where_the_axles_are(body: BodyPart) -> None:
    """Law: in the side view the two tyres stand on the ground a wheelbase apart."""
    assert body.axles is not None
    tyres = [
        each.points
        for each in body.outlines
        if each.view == "side" and each.layer == "wheel" and min(z for _, z in each.points) < 0.01
    ]
    middles = sorted((min(x for x, _ in tyre) + max(x for x, _ in tyre)) / 2 for tyre in tyres)

    assert middles == pytest.approx([body.axles.rear.x, body.axles.front.x], abs=0.006)


@pytest.mark.parametrize("view", ["side", "top", "front", "rear"])
def test_the_drawing_has_the_stated_size(body: BodyPart, view: str) -> None:
    """Law: all views show one vehicle: length and height as stated, to 1.5 cm."""
    left, right, low, high = box_of(body, view)

    if view in ("side", "top"):
        assert (right, left) == pytest.approx((body.front_overhang, body.front_overhang - body.length), abs=0.015)
    if view != "top":
        assert high == pytest.approx(body.height, abs=0.015)
        assert 0.05 < low < 0.6
    layers = {each.layer for each in body.outlines if each.view == view}
    assert layers >= {"body", "glass", "detail"}


def test_the_alternator_bears_the_vehicle_at_a_hot_idle(body: BodyPart) -> None:
    """Law: hot it gives less than cold; at a hot idle still more than the vehicle takes by itself."""
    assert body.charging is not None
    at_idle = [point for point in body.charging.curve if point.engine_speed == pytest.approx(body.charging.idle)]
    cold = max(at_idle, key=lambda point: -point.temperature)
    hot = max(at_idle, key=lambda point: point.temperature)

    assert hot.temperature > cold.temperature + 40
    assert body.base_load < hot.current < cold.current
    assert 0 < body.parked_draw < 0.05


def test_no_place_lies_in_a_bag_s_way_in_the_tank_or_on_the_exhaust(car: BodyPart) -> None:
    """House: what is fitted in an airbag's way is thrown at somebody; no place or joint of ours is there, or is hot."""
    spots = [
        (name, place_pose(place, side).position_m) for name, place in car.places.items() for side in sides_of(place)
    ]
    spots += [
        (name, (joint.x, sign * joint.y, joint.z))
        for name, joint in car.joints.items()
        for sign in ((1.0, -1.0) if joint.mirrored else (1.0,))
    ]
    inside = [
        (name, box_name)
        for name, spot in spots
        for box_name, box in car.keep_outs.items()
        for flip in ((1.0, -1.0) if box.mirrored else (1.0,))
        if _within(spot, box, flip)
    ]

    assert inside == []
    assert {box.kind for box in car.keep_outs.values()} == {"airbag", "curtain", "fuel", "hot", "moving"}


def test_boxes_to_keep_out_of_are_in_the_vehicle(body: BodyPart) -> None:
    """Law: no box reaches out of the vehicle by more than a hand."""
    for name, box in body.keep_outs.items():
        assert body.front_overhang - body.length - 0.1 <= box.from_x < box.to_x <= body.front_overhang + 0.1, name
        assert max(abs(box.from_y), abs(box.to_y)) <= body.width / 2 + 0.1, name
        assert 0 <= box.from_z < box.to_z <= body.height, name


# ---- what it says of itself


def test_settings_the_vehicle_excludes_can_be_read(body: BodyPart) -> None:
    """Law: each condition is one over the body's own signals, with its reason."""
    inputs = {name: values_of(each) or each.unit_kind for name, each in body.signals.items()}
    read = [read_condition(each.condition, place="vehicle", scope=Scope(inputs=inputs)) for each in body.cannot_be]

    assert len(read) >= 3
    assert [each for each in read if isinstance(each, tuple)] == []
    assert all(len(each.why) > 20 for each in body.cannot_be)


def test_every_panel_has_its_signal_and_every_signal_its_source(body: BodyPart) -> None:
    """House: what opens is told of by a switch; twenty signals at least, each with its source in words."""
    assert len(body.signals) >= 20
    assert all(len(each.source) > 15 for each in body.signals.values())
    assert all(body.signals[panel.signal].rest != panel.open_value for panel in body.panels.values())
    assert body.signals["speed"].codes.obd == "01 0D"


def test_what_can_be_taken_out_says_what_to_mind(body: BodyPart) -> None:
    """House: belts, connectors, labels: a seat that goes out leaves something to be seen to."""
    assert body.removable
    assert all(len(each.mind) > 20 and each.mass > 0 for each in body.removable.values())
    assert all(order.what for order in body.orders.values())


def _within(point: Vector, box: KeepOut, flip: float) -> bool:
    x, y, z = point[0], point[1] * flip, point[2]
    return bool(box.from_x < x < box.to_x and box.from_y < y < box.to_y and box.from_z < z < box.to_z)
