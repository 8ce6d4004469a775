"""Where can current go home, and what comes together at each point?"""

import pytest

from coachwright.power.ground import GroundPoint, battery_post, ground_points, nearest_ground
from coachwright.power.returns import Grounded, grounded, most_share
from coachwright.power.route import net_of, routes_from
from coachwright.power.runs import laid, lay
from tests.power.nets import EXAMPLES, bare, example, joint, way, with_body


def test_points_are_joints_of_the_body_with_a_stud() -> None:
    """Case: a stud on both sides of a pair; none where there is no metal, and none on what moves."""
    joints = {
        "a": joint(0.0, 0.5, ground=60.0, mirrored=True, what="floor"),
        "b": joint(-1.0),
        "c": joint(-2.0, panel="hatch", ground=60.0),
    }
    body = bare(joints, {"one": way("a", "b", mirrored=True), "two": way("b", "c", hinge="hatch")})

    assert ground_points(body, net_of(body)) == (
        GroundPoint("a.left", "floor", 60.0),
        GroundPoint("a.right", "floor", 60.0),
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_return_ends_at_the_nearest_point(name: str) -> None:
    """Law: no other point of the body has a shorter way from there."""
    model = example(name)
    net = net_of(model.body)
    points = [point.node for point in ground_points(model.body, net)]

    returns = [run for run in laid(model).runs if run.kind in ("return", "battery-return")]
    assert returns
    for run in returns:
        reached = routes_from(net, run.from_joint)
        length_m = sum(segment.length_m for segment in run.segments)
        assert run.to_joint in points
        assert length_m == pytest.approx(min(reached[node].length_m for node in points if node in reached))


def test_of_two_points_equally_near_the_first_by_name_is_taken() -> None:
    """Case: the middle of two studs."""
    joints = {"a": joint(1.0, ground=60.0), "m": joint(0.0), "b": joint(-1.0, ground=60.0)}
    body = bare(joints, {"one": way("m", "b"), "two": way("m", "a")})
    route = nearest_ground(net_of(body), ground_points(body, net_of(body)), "m")

    assert route is not None
    assert route.end == "a"


def test_a_body_without_points_sends_everything_to_its_battery() -> None:
    """Case: the negative post; and where nobody says where that stands, every return is told."""
    model = example("volunteer-car")
    flat = {name: each.model_copy(update={"ground": 0.0}) for name, each in model.body.joints.items()}
    by_wire = with_body(model, joints=flat)
    post = battery_post(by_wire)
    nowhere = lay(with_body(model, joints=flat, battery=None))

    assert post is not None
    assert {run.to_joint for run in lay(by_wire).runs if run.kind == "return"} == {post.node}
    assert "lamps.grille.left" in {each.subject for each in nowhere.missed}
    assert not any(run.kind == "return" for run in nowhere.runs)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_load_is_counted_at_one_point(name: str) -> None:
    """Law: what is fed is counted where it returns, and nowhere else."""
    model = example(name)
    everything = laid(model)
    points = grounded(model.body, everything.net, everything.runs)
    carried = [load for point in points for load in point.carries]
    loads = {load for run in everything.runs if run.kind == "supply" for load in run.carries}

    assert len(carried) == len(set(carried))
    assert loads <= set(carried)


def test_the_share_of_a_point_is_all_currents_over_what_it_carries() -> None:
    """Case: 12 A and 6 A at a stud for 60 A are 30 %; what isn't named draws nothing; no figure, no share."""
    point = Grounded(GroundPoint("a", "", 60.0), (), ("lamps.a", "lamps.b", "lamps.c"))

    assert most_share(point, {"lamps.a": 12.0, "lamps.b": 6.0, "lamps.other": 99.0}) == pytest.approx(0.3)
    assert most_share(Grounded(GroundPoint("post", "", 0.0), (), ("lamps.a",)), {"lamps.a": 12.0}) is None
