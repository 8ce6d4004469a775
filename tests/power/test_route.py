"""Which ways does a wire follow: the shortest that is allowed?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.schema import BodyPart, KeepOut
from coachwright.parts.store import load_catalogue
from coachwright.power.route import Segment, net_of, routes_from, shortest
from tests.power.nets import bare, bodies, distances_m, joint, pickup, way


def names(segments: tuple[Segment, ...]) -> list[str]:
    return [segment.name for segment in segments]


@given(bodies())
def test_no_way_is_shorter(body: BodyPart) -> None:
    """Law: Floyd and Warshall's all-pairs lengths, another algorithm, agree; what they can't reach has no route."""
    net = net_of(body)
    far_m = distances_m(net)

    for start in net.nodes:
        routes = routes_from(net, start)
        for end in net.nodes:
            if math.isinf(far_m[start, end]):
                assert end not in routes
            else:
                assert routes[end].length_m == pytest.approx(far_m[start, end], abs=1e-5)


@given(bodies())
def test_a_route_hangs_together(body: BodyPart) -> None:
    """Law: each way begins where the one before ended, and the lengths add up to the route's."""
    net = net_of(body)

    for start in net.nodes:
        for end, route in routes_from(net, start).items():
            here, length_m = start, 0.0
            for segment in route.segments:
                assert here in (segment.start, segment.end)
                here = segment.end if here == segment.start else segment.start
                length_m += segment.length_m
            assert here == end
            assert route.length_m == pytest.approx(length_m, abs=1e-9)


@given(bodies(), st.randoms(use_true_random=False))
def test_the_order_of_the_file_changes_nothing(body: BodyPart, random: object) -> None:
    """Law: the same ways written in any order give the same routes, ties and all."""
    ways = list(body.ways.items())
    random.shuffle(ways)  # type: ignore[attr-defined]
    other = body.model_copy(update={"ways": dict(ways)})

    for start in net_of(body).nodes:
        one = {end: names(route.segments) for end, route in routes_from(net_of(body), start).items()}
        two = {end: names(route.segments) for end, route in routes_from(net_of(other), start).items()}
        assert one == two


@given(bodies(), st.data())
def test_another_way_never_makes_a_route_longer(body: BodyPart, data: st.DataObject) -> None:
    """Law: more choice is no loss."""
    joints = sorted(body.joints)
    one, other = data.draw(st.lists(st.sampled_from(joints), min_size=2, max_size=2, unique=True))
    more = body.model_copy(update={"ways": {**body.ways, "new": way(one, other)}})
    net, richer = net_of(body), net_of(more)

    for start in net.nodes:
        now = routes_from(richer, start)
        for end, route in routes_from(net, start).items():
            assert now[end].length_m <= route.length_m + 1e-5


@given(bodies())
def test_a_mirrored_vehicle_has_mirrored_routes(body: BodyPart) -> None:
    """Law: left and right changed, every route is as long as before."""
    turned = {name: each.model_copy(update={"y": -each.y}) for name, each in body.joints.items()}
    net, mirrored = net_of(body), net_of(body.model_copy(update={"joints": turned}))

    for start in net.nodes:
        there = routes_from(mirrored, start)
        for end, route in routes_from(net, start).items():
            assert there[end].length_m == pytest.approx(route.length_m, abs=1e-9)


@pytest.mark.parametrize("name", ["crew-cab-pickup-with-cap", "high-roof-van", "estate-car", "saloon"])
def test_both_sides_of_a_pair_are_alike_in_real_bodies(name: str) -> None:
    """Law: where both ends and all ways between are there on both sides, both sides have one length."""
    body = load_catalogue().get(name)
    assert isinstance(body, BodyPart)
    net = net_of(body)
    paired = {way for way, each in body.ways.items() if each.mirrored}

    compared_n = 0
    for start in sorted(node for node in net.nodes if node.endswith(".left")):
        for end, route in routes_from(net, start).items():
            if end.endswith(".left") and {segment.way for segment in route.segments} <= paired:
                other = shortest(net, start.replace(".left", ".right"), end.replace(".left", ".right"))
                assert other is not None
                assert other.length_m <= route.length_m + 1e-9
                compared_n += 1
    assert compared_n > 20


def test_a_door_is_reached_over_its_hinge() -> None:
    """Case: the lamp under the mirror hangs on the door, and its wire crosses the boot between the hinges."""
    route = shortest(net_of(pickup()), "dash", "mirror.left")

    assert route is not None
    assert [segment.hinge for segment in route.segments if segment.hinge] == ["front-door"]
    assert names(route.segments) == ["dash-left", "door-front.left", "mirror.left"]


def test_nothing_runs_through_a_panel_to_the_other_side() -> None:
    """Case: a hatch with ways down both its sides is no bridge between them."""
    joints = {
        "left": joint(-4.0, 0.7),
        "right": joint(-4.0, -0.7),
        "hatch": joint(-4.0, 0.0, panel="hatch"),
        "far": joint(-9.0, 0.0),
    }
    ways = {
        "one": way("left", "hatch", hinge="hatch"),
        "two": way("hatch", "right", hinge="hatch"),
        "round-left": way("left", "far"),
        "round-right": way("far", "right"),
    }
    net = net_of(bare(joints, ways))
    over = shortest(net, "left", "right")
    onto = shortest(net, "right", "hatch")
    off = shortest(net, "hatch", "right")

    assert over is not None
    assert names(over.segments) == ["round-left", "round-right"]
    assert onto is not None
    assert off is not None
    assert names(onto.segments) == names(off.segments) == ["two"]


def test_a_door_on_the_other_side_is_another_panel() -> None:
    """Case: both doors are called front-door; a wire leaves the left one and enters the right one."""
    route = shortest(net_of(pickup()), "mirror.left", "mirror.right")

    assert route is not None
    assert [segment.side for segment in route.segments if segment.hinge] == ["left", "right"]


def box(kind: str, **more: float) -> KeepOut:
    sides = {"from-x": -1.2, "to-x": -0.8, "from-y": -0.2, "to-y": 0.2, "from-z": 0.5, "to-z": 1.5} | more
    return KeepOut.model_validate({"kind": kind, "what": "a box"} | sides)


SQUARE = {"a": joint(0.0), "b": joint(-2.0), "c": joint(-1.0, 2.0)}
ROUND = {"straight": way("a", "b"), "there": way("a", "c"), "back": way("c", "b")}


@pytest.mark.parametrize("kind", ["airbag", "curtain", "hot", "moving"])
def test_a_keep_out_forces_a_longer_way(kind: str) -> None:
    """Case: the straight way leads through a box, so the wire goes round it."""
    free = shortest(net_of(bare(SQUARE, ROUND)), "a", "b")
    barred = shortest(net_of(bare(SQUARE, ROUND, keep_outs={"box": box(kind)})), "a", "b")

    assert free is not None
    assert barred is not None
    assert names(free.segments) == ["straight"]
    assert names(barred.segments) == ["there", "back"]
    assert barred.length_m > free.length_m


def test_where_nothing_else_leads_the_box_is_crossed_and_told() -> None:
    """Case: better a wire that is told than a lamp that is dark; the length in the box is that of the line."""
    net = net_of(bare(SQUARE, {"straight": ROUND["straight"]}, keep_outs={"box": box("curtain")}))
    route = shortest(net, "a", "b")

    assert route is not None
    assert route.segments[0].through == (("box", pytest.approx(0.4)),)


def test_past_fuel_the_short_way_is_kept() -> None:
    """Case: a wire may pass the filler neck; it is told, not led round."""
    route = shortest(net_of(bare(SQUARE, ROUND, keep_outs={"box": box("fuel")})), "a", "b")

    assert route is not None
    assert names(route.segments) == ["straight"]
    assert route.segments[0].through


def test_a_mirrored_box_stands_on_both_sides() -> None:
    """Case: a way on the right is barred by the image of a box that is written for the left."""
    joints = {"a": joint(0.0, -1.0), "b": joint(-2.0, -1.0)}
    curtain = box("curtain", **{"from-y": 0.8, "to-y": 1.2}).model_copy(update={"mirrored": True})
    net = net_of(bare(joints, {"w": way("a", "b")}, keep_outs={"box": curtain}))

    assert net.ways["a"][0][1].through == (("box", pytest.approx(0.4)),)


def test_a_line_that_only_grazes_a_box_is_not_in_it() -> None:
    """Case: bodies are drawn within centimetres, so 30 mm in a corner of a box is none."""
    grazed = box("curtain", **{"from-x": -1.03, "to-x": -1.0})

    assert net_of(bare(SQUARE, ROUND, keep_outs={"box": grazed})).ways["a"][0][1].through == ()


@pytest.mark.parametrize(("insulation_degc", "reached"), [(105.0, True), (93.0, False), (60.0, False)])
def test_a_way_as_hot_as_the_jacket_bears_is_not_taken(insulation_degc: float, reached: bool) -> None:
    """Case: under the hood it gets 93 degC (KKK-A-1822E, 200 degF), so a jacket of 93 degC isn't led there."""
    route = shortest(net_of(pickup()), "engine.left", "front.left", insulation_degc=insulation_degc)

    assert (route is not None) == reached


def test_an_island_and_an_unknown_joint_have_no_route() -> None:
    """Case: nothing leads there, and nothing is there."""
    joints = {"a": joint(0.0), "b": joint(1.0), "c": joint(5.0), "d": joint(6.0)}
    net = net_of(bare(joints, {"one": way("a", "b"), "two": way("c", "d")}))

    assert shortest(net, "a", "c") is None
    assert shortest(net, "nowhere", "a") is None
    assert shortest(net, "a", "nowhere") is None


def test_from_a_joint_to_itself_nothing_is_followed() -> None:
    """Case: two boxes side by side need no way."""
    route = shortest(net_of(pickup()), "dash", "dash")

    assert route is not None
    assert (route.segments, route.length_m) == ((), 0.0)
