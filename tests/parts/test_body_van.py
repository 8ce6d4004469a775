"""Does the van hold together: its drawing, its places, its ways, the heights the road law gives its lamps?"""

import math

import pytest

from coachwright.build.condition_text import Scope, read_condition
from coachwright.kit.geom import direction
from coachwright.parts.body_checks import values_of
from coachwright.parts.body_ways import node_of_place, nodes, reached_from, segments, spot_m
from coachwright.parts.checks import part_problems
from coachwright.parts.schema import BodyPart, ColourOutput
from coachwright.parts.store import load_catalogue
from tests.parts.silhouette import Point, Shape, covered, edge_m, shapes_in

INCH_M = 0.0254


def body(name: str) -> BodyPart:
    """A body of the catalogue."""
    part = load_catalogue().get(name)
    assert isinstance(part, BodyPart)
    return part


VAN = body("high-roof-van")
PICKUP = body("crew-cab-pickup-with-cap")

SKETCHED = """
grille fender-corner roof-front side-high side-scene roof-rear rear-corner-low bumper-rear rear-door-inner quarter
console rear-wall behind-driver right-rear-floor left-rear-floor dash-centre behind-seats left-rack right-floor
outside-locker right-front gear-locker console.bay-1 console.bay-2 console.bay-3 console.bay-4 roof-fore roof-aft
bumper-behind frame-rear driver-seat-base
""".split()
NOT_AT_THE_SKIN = """
windshield console dome overhead steering-wheel foot-rest driver-seat-base battery under-hood passenger-floor
behind dash-centre cargo-dome left right gear-locker rear-wall bumper-behind bumper-low frame-rear outside-locker
door-inner rear-door-glass rear-door-inner
""".split()
VIEWS_OF = {
    "left": ("side", "left"),
    "right": ("side", "right"),
    "top": ("top",),
    "front": ("front",),
    "rear": ("rear",),
}


def shapes(view: str, *layers: str) -> list[Shape]:
    """Closed shapes of these layers in one view, halves put together."""
    return shapes_in(VAN, *VIEWS_OF[view], layers=layers)


def seen_at(x: float, y: float, z: float) -> dict[str, Point]:
    """Where a point of the vehicle appears in each view."""
    return {"left": (x, z), "right": (x, z), "top": (x, y), "front": (y, z), "rear": (y, z)}


SOLID = {view: shapes(view, "body", "wheel") for view in VIEWS_OF}
OUTSIDE = [name for name, each in VAN.places.items() if not name.startswith(tuple(NOT_AT_THE_SKIN))]


# ---- places and drawing


def test_every_place_of_the_first_jobs_is_there() -> None:
    """The places a service patrol van is fitted out at, and fifty in all; each says where it is."""
    assert [name for name in SKETCHED if name not in VAN.places] == []
    assert len(VAN.places) >= 50
    assert all(len(place.what) > 10 for place in VAN.places.values())


@pytest.mark.parametrize("name", VAN.places)
def test_every_place_is_on_or_in_the_drawn_van(name: str) -> None:
    """Law: from the side, from above and from an end, a place is within 6 cm of the drawn body."""
    place = VAN.places[name]
    seen = seen_at(place.x, place.y, place.z)
    end = "front" if math.cos(place.facing) > 0 else "rear"

    assert [view for view in ("left", "right", "top", end) if not covered(SOLID[view], seen[view], slack_m=0.06)] == []


@pytest.mark.parametrize("name", OUTSIDE)
def test_places_outside_are_at_the_skin_and_look_out(name: str) -> None:
    """Law: a lamp is bolted to something, within 12 cm of a drawn edge; two metres ahead it has left the van."""
    place = VAN.places[name]
    seen = seen_at(place.x, place.y, place.z)
    ahead = direction(bearing_rad=place.facing, elevation_rad=place.rise)
    out = seen_at(*(here + 2 * there for here, there in zip((place.x, place.y, place.z), ahead, strict=True)))

    assert min(edge_m(shape, seen[view]) for view in VIEWS_OF for shape in SOLID[view]) < 0.12
    assert any(not covered(SOLID[view], out[view]) for view in ("left", "top"))


@pytest.mark.parametrize("view", ["left", "right", "top"])
def test_the_drawing_has_the_stated_length(view: str) -> None:
    """Law: nose and tail where overhang and length put them, to 5 mm."""
    along = [point[0] for shape in shapes(view, "body") for point in shape]

    assert max(along) == pytest.approx(VAN.front_overhang, abs=0.005)
    assert min(along) == pytest.approx(VAN.front_overhang - VAN.length, abs=0.005)


@pytest.mark.parametrize("view", ["left", "right", "front", "rear"])
def test_the_drawing_has_the_stated_height(view: str) -> None:
    """Law: the roof is where it is said to be in every view, to 5 mm."""
    assert max(point[1] for shape in shapes(view, "body") for point in shape) == pytest.approx(VAN.height, abs=0.005)


@pytest.mark.parametrize(("view", "axis"), [("top", 1), ("front", 0), ("rear", 0)])
def test_the_drawing_has_the_stated_width_without_mirrors(view: str, axis: int) -> None:
    """Law: the body is as wide as stated, to 5 mm; only the mirrors stand out, by no more than 30 cm."""
    widest = max(shapes(view, "body"), key=len)
    mirrors = max(abs(point[axis]) for shape in shapes(view, "body") for point in shape)

    assert 2 * max(abs(point[axis]) for point in widest) == pytest.approx(VAN.width, abs=0.005)
    assert VAN.width / 2 < mirrors < VAN.width / 2 + 0.3


def test_wheels_stand_on_the_ground_a_wheelbase_apart() -> None:
    """Law: both tyres touch z = 0, under x = 0 and minus the wheelbase; from the front they stand a track apart."""
    tyres = [shape for shape in shapes("left", "wheel") if len(shape) > 40]
    middles = sorted((min(x for x, _ in tyre) + max(x for x, _ in tyre)) / 2 for tyre in tyres)
    across = [(min(y for y, _ in tyre) + max(y for y, _ in tyre)) / 2 for tyre in shapes("front", "wheel")]

    assert middles == pytest.approx([-VAN.wheelbase, 0.0], abs=0.002)
    assert [min(z for _, z in tyre) for tyre in tyres] == pytest.approx([0.0, 0.0], abs=0.002)
    assert VAN.axles is not None
    assert max(across) - min(across) == pytest.approx(VAN.axles.front.track, abs=0.005)


def test_the_two_sides_differ_by_their_doors() -> None:
    """House: sliding door and its window on the right only, the wall and the locker on the left only."""
    own = {view: [each for each in VAN.outlines if each.view == view] for view in ("left", "right", "side")}

    assert {each.panel for each in own["right"]} == {"body", "sliding-door"}
    assert {each.panel for each in own["left"]} == {"body"}
    assert {"body", "glass", "wheel", "detail"} == {each.layer for each in own["side"]}
    assert 60 <= max(len(each.points) for each in own["side"]) <= 250


# ---- what the road law says of its lamps


@pytest.mark.parametrize(
    ("lamp", "low_in", "high_in"),
    [("tail-lamps", 15, 72), ("turn-lamps", 15, 83), ("high-beam", 22, 54), ("side-markers", 15, 999)],
)
def test_lamps_stand_as_high_as_table_i_a_of_571_108_says(lamp: str, low_in: float, high_in: float) -> None:
    """49 CFR 571.108 Table I-a: tail lamps 15-72 in, turn signals 15-83 in, headlamps 22-54 in, markers from 15 in."""
    heights = [VAN.places[head.place].z for head in VAN.lamps[lamp].heads]

    assert heights
    assert all(low_in * INCH_M <= height <= high_in * INCH_M for height in heights)


def test_stop_lamps_stand_as_high_as_table_i_a_of_571_108_says() -> None:
    """49 CFR 571.108 Table I-a: stop lamps 15-72 in, the pair at one height; the high one from 34 in, in the middle."""
    pair = [VAN.places[head.place] for head in VAN.lamps["brake-lamps"].heads if head.side]
    (high,) = (VAN.places[head.place] for head in VAN.lamps["brake-lamps"].heads if not head.side)

    assert all(15 * INCH_M <= place.z <= 72 * INCH_M for place in pair)
    assert len({place.z for place in pair}) == 1
    assert high.z >= 34 * INCH_M
    assert high.y == 0
    assert high.panel == "body"


def test_required_lamps_are_on_rigid_parts_and_behind_no_glass() -> None:
    """49 CFR 571.108 S6.1.3.1 and S6.1.3.2: on a rigid part that doesn't open, not on glazing."""
    places = [VAN.places[head.place] for lamp in VAN.lamps.values() if lamp.required for head in lamp.heads]

    assert len(places) >= 15
    assert {(place.panel, place.glass) for place in places} == {("body", "")}


def test_narrower_than_eighty_inches_needs_no_clearance_lamps() -> None:
    """49 CFR 571.108 Table I-a asks for clearance and identification lamps from 80 in overall width on."""
    assert VAN.width < 80 * INCH_M


def test_lamps_the_law_requires_are_reached_by_nobody_but_on_request() -> None:
    """Lamps the road law requires are left alone (571.108 S6.2.1; common practice); hazard is asked of a module."""
    reached = {name: lamp.reaches for name, lamp in VAN.lamps.items() if lamp.required and lamp.reaches != ("none",)}

    assert reached == {"high-beam": ("parallel", "series"), "hazard-lamps": ("request", "none")}
    assert VAN.lamps["hazard-lamps"].heads == VAN.lamps["turn-lamps"].heads
    assert VAN.lamps["seven-way"].order == "trailer-tow"


@pytest.mark.parametrize(
    ("lamp", "colour", "low_cd", "high_cd"),
    [
        ("brake-lamps", "red", 25, 300),
        ("tail-lamps", "red", 2, 18),
        ("turn-lamps", "amber", 130, 750),
        ("reverse-lamps", "white", 80, 300),
    ],
)
def test_lamps_of_the_van_are_as_bright_as_such_lamps_are(
    lamp: str, colour: str, low_cd: float, high_cd: float
) -> None:
    """571.108 at H-V (from memory): stop 80-300, high stop 25-160, tail 2-18, amber turn 130-750, backup 80-300 cd."""
    outputs = [head.colours[colour] for head in VAN.lamps[lamp].heads if colour in head.colours]
    peaks = [peak_cd(output) for output in outputs]

    assert peaks
    assert all(low_cd <= peak <= high_cd for peak in peaks), peaks


def peak_cd(output: ColourOutput) -> float:
    """Of a bell-shaped beam: flux over the solid angle a gaussian of these half widths fills."""
    assert output.beam is not None
    return output.flux / (output.beam.half_width * output.beam.half_height * math.pi / math.log(2))


# ---- signals


def test_rest_is_parked_with_the_engine_running() -> None:
    """Control language: ignition run, engine running, gear P, speed 0, supply 13.8 V; what opens is closed."""
    rest = {name: signal.rest for name, signal in VAN.signals.items()}

    assert (rest["ignition"], rest["engine"], rest["gear"], rest["speed"]) == ("run", "running", "P", "0 mph")
    assert {rest[panel.signal] for panel in VAN.panels.values()} == {"closed"}
    assert VAN.signals["rear-doors"].values == ("closed", "open")
    assert VAN.signals["trailer"].values == ("absent", "present")


def test_signals_are_called_alike_on_every_body() -> None:
    """Law: one thing has one name: what both bodies know has one kind and the same values."""
    both = VAN.signals.keys() & PICKUP.signals.keys()

    assert len(both) >= 18
    assert all(VAN.signals[name].kind == PICKUP.signals[name].kind for name in both)
    assert all(VAN.signals[name].values == PICKUP.signals[name].values for name in both)


@pytest.mark.parametrize("body", [VAN, PICKUP], ids=lambda each: each.name)
def test_speed_is_parameter_0d_of_j1979_and_84_of_j1939(body: BodyPart) -> None:
    """SAE J1979 service 01: 0C engine speed, 0D vehicle speed, 42 module voltage; SAE J1939-71: 84 in group 65265."""
    assert (body.signals["speed"].codes.obd, body.signals["speed"].codes.j1939) == ("01 0D", "PGN 65265 SPN 84")
    assert body.signals["engine"].codes.obd == "01 0C"
    assert body.signals["supply"].codes.obd == "01 42"
    assert body.signals["door-driver"].codes.obd == ""


def test_what_the_vehicle_excludes_can_be_read() -> None:
    """Law: each condition is one over the body's own signals."""
    inputs = {name: values_of(each) or each.unit_kind for name, each in VAN.signals.items()}
    read = [read_condition(each.condition, place="vehicle", scope=Scope(inputs=inputs)) for each in VAN.cannot_be]

    assert len(read) >= 3
    assert [each for each in read if isinstance(each, tuple)] == []


# ---- both bodies: weights, supply, ways, keep-outs


@pytest.fixture(params=[VAN, PICKUP], ids=lambda each: each.name)
def any_body(request: pytest.FixtureRequest) -> BodyPart:
    """Each of the two."""
    assert isinstance(request.param, BodyPart)
    return request.param


def test_a_whole_body_has_no_problem(any_body: BodyPart) -> None:
    """Law: what was read without a finding has none when it is looked at again."""
    assert part_problems(any_body) == ()


def test_the_balance_lies_between_the_axles(any_body: BodyPart) -> None:
    """Law: moments about the front axle: curb of the rear one times wheelbase is mass times distance (statics)."""
    axles = any_body.axles
    assert axles is not None
    behind_m = axles.rear.curb * any_body.wheelbase / any_body.mass

    assert 0.35 * any_body.wheelbase < behind_m < 0.55 * any_body.wheelbase
    assert any_body.gvwr - any_body.mass > 500
    assert axles.front.rating + axles.rear.rating > any_body.gvwr


def test_a_hot_idling_alternator_gives_what_such_machines_give(any_body: BodyPart) -> None:
    """Published points of a small alternator: hot idle 33 % of its hot rating, hot 67 to 82 % of cold."""
    assert any_body.charging is not None
    curve = {
        (round(each.engine_speed * 30 / math.pi), each.temperature): each.current for each in any_body.charging.curve
    }
    idle = round(any_body.charging.idle * 30 / math.pi)
    hot = [current for (_, temperature), current in curve.items() if temperature == 93]

    assert 0.3 < curve[idle, 93.0] / max(hot) < 0.5
    assert 0.65 < curve[idle, 93.0] / curve[idle, 25.0] < 0.85
    assert curve[idle, 93.0] > any_body.base_load


def test_every_lamp_and_device_is_reached_from_the_battery(any_body: BodyPart) -> None:
    """Law: on both sides, for everything a wire goes to, and no lead from a place to its joint is longer than 1.3 m."""
    assert any_body.battery is not None
    assert load_catalogue().get(any_body.battery.part) is not None
    source = node_of_place(any_body, any_body.battery.at)
    assert source is not None
    together = reached_from(any_body, source)

    assert together == nodes(any_body)
    for name, place in any_body.places.items():
        if {"cargo", "console"}.issuperset(place.holds):
            continue
        for side in ("left", "right") if place.mirrored else ("",):
            node = node_of_place(any_body, name, side)
            assert node in together, name
            at = (place.x, -place.y if side == "right" else place.y, place.z)
            assert math.dist(at, spot_m(any_body, node)) < 1.3, name


def test_ways_have_one_ambient_each_and_the_hood_is_the_hottest(any_body: BodyPart) -> None:
    """KKK-A-1822E (2002): 93 degC, 200 degF, under the hood. The rest is common practice: cooler; wet outside."""
    ways = [each.way for each in segments(any_body)]

    assert {way.ambient for way in ways if way.zone == "engine"} == {93.0}
    assert max(way.ambient for way in ways if way.zone != "engine") <= 85
    assert all(way.wet for way in ways if way.zone == "outside")


def test_a_segment_is_as_long_as_its_ends_are_apart_or_longer(any_body: BodyPart) -> None:
    """Law: no way is shorter than the straight line; mirror images are as long as each other."""
    found = segments(any_body)
    pairs: dict[str, set[float]] = {}
    for each in found:
        apart_m = math.dist(spot_m(any_body, each.start), spot_m(any_body, each.end))
        assert each.length_m >= apart_m * 0.98
        if each.side:
            pairs.setdefault(each.name.rsplit(".", 1)[0], set()).add(round(each.length_m, 9))

    assert len(found) >= 50
    assert all(len(lengths) == 1 for lengths in pairs.values())


def test_no_place_for_a_lamp_lies_where_nothing_may_be_fitted(any_body: BodyPart) -> None:
    """Law: a body that offers a place inside its own keep-out would set a trap."""
    for name, place in any_body.places.items():
        for side in (1, -1) if place.mirrored else (1,):
            for label, box in any_body.keep_outs.items():
                for image in (1, -1) if box.mirrored else (1,):
                    y = side * place.y * image
                    inside = (
                        box.from_x < place.x < box.to_x
                        and box.from_y < y < box.to_y
                        and box.from_z < place.z < box.to_z
                    )
                    assert not inside, f"{name} in {label}"


def test_what_can_be_ordered_and_taken_out_is_there() -> None:
    """The orders and seats the first two jobs name; what is taken out says what to mind."""
    assert {"trailer-tow", "second-alternator"} <= VAN.orders.keys()
    assert {"upfit-prep-package", "alternator-250", "second-battery"} <= PICKUP.orders.keys()
    assert VAN.removable["passenger-seat"].seats == ("passenger",)
    assert PICKUP.removable["rear-seat-left-third"].seats == ("rear-left",)
    assert all(len(each.mind) > 20 for each in (*VAN.removable.values(), *PICKUP.removable.values()))


def test_surfaces_the_first_jobs_mark_are_there() -> None:
    """Sides, rear doors with their edges; tailgate and hatch of the pickup from both sides."""
    assert {"side", "rear-doors", "rear-door-edges"} <= VAN.surfaces.keys()
    assert {"side", "tailgate", "cap-hatch", "tailgate-inside", "cap-hatch-inside"} <= PICKUP.surfaces.keys()
