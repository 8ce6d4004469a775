"""Which way does every wire of a build take, and how long is it?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.fed import draws
from coachwright.build.model import Decision, Model
from coachwright.power.laying import laying
from coachwright.power.runs import Run, laid, lay, length_to_cut_m, runs_of
from tests.power.nets import EXAMPLES, changed, example, with_body, with_way


def run(model: Model, name: str) -> Run:
    return next(each for each in lay(model).runs if each.name == name)


def ways(one: Run) -> list[str]:
    return [segment.name for segment in one.segments]


@given(st.floats(0.0, 20.0), st.floats(0.0, 2.0), st.floats(0.0, 2.0))
def test_a_wire_is_longer_than_its_way(route_m: float, one_m: float, other_m: float) -> None:
    """Law: by its slack and the loops at both ends, and by less than one step more; whole centimetres."""
    by = laying()
    length_m = length_to_cut_m(route_m, (one_m, other_m))
    bare_m = (route_m + one_m + other_m) * (1 + by.slack_share) + 2 * by.loop_at_end_m

    assert bare_m - 1e-6 <= length_m <= bare_m + by.steps_m + 1e-6
    assert length_m / by.steps_m == pytest.approx(round(length_m / by.steps_m), abs=1e-6)


def test_the_length_of_one_wire_by_hand() -> None:
    """Case: 4 m of ways and a tail of 0.5 m: 4.5 x 1.05 + 0.3 = 5.025 m, cut at 5.03 m."""
    assert length_to_cut_m(4.0, (0.5,)) == pytest.approx(5.03)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_lamp_and_everything_that_draws_is_fed_and_returns(name: str) -> None:
    """Case: each head of ours and each device of the example is on a supply and a return; nothing is missed."""
    model = example(name)
    runs = runs_of(model)
    supplied = {load for each in runs if each.kind == "supply" for load in each.carries}
    returned = {load for each in runs if each.kind == "return" for load in each.carries}
    heads = {f"lamps.{head.id}" for head in model.heads if head.reach == "own"}
    shore = {item.name for item in model.equipment if item.feed == "shore"}
    fed = {f"equipment.{item.name}" for item in model.equipment if draws(model.part(item.part))}

    assert heads | fed <= returned
    assert heads | fed - {f"equipment.{each}" for each in shore} <= supplied
    assert [each for each in laid(model).missed if not each.by_body] == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_head_has_one_supply(name: str) -> None:
    """Law: no head is fed twice, and no two wires have one name."""
    runs = runs_of(example(name))
    heads = [load for each in runs if each.kind == "supply" for load in each.carries if load.startswith("lamps.")]

    assert len(heads) == len(set(heads))
    assert len({each.name for each in runs}) == len(runs)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_run_ends_where_it_says(name: str) -> None:
    """Law: its ways lead from its first joint to its last one, and no wire is shorter than they are."""
    for each in runs_of(example(name)):
        here = each.from_joint
        for segment in each.segments:
            assert here in (segment.start, segment.end)
            here = segment.end if here == segment.start else segment.start
        assert here == each.to_joint
        assert each.length_m >= math.fsum(segment.length_m for segment in each.segments) - 1e-9
        assert each.length_m > 0


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_same_build_is_laid_alike(name: str) -> None:
    """Law: nothing but the build decides."""
    model = example(name)

    assert lay(model).runs == lay(model).runs == laid(model).runs


def test_the_lamp_under_the_mirror_crosses_the_hinge_of_its_door() -> None:
    """Case: supply, data and return; each on its own side."""
    for side in ("left", "right"):
        for goes in ("supply", "return", "data"):
            one = run(example("quillback"), f"lamps.mirror.{side} {goes}")
            assert [(each.way, each.side) for each in one.segments if each.hinge] == [("door-front", side)]


def test_a_lamp_on_the_hatch_is_behind_its_loop() -> None:
    """Case: the body has one loop over the hinge of the hatch, and both sides share it."""
    for side in ("left", "right"):
        assert "hatch-loop" in ways(run(example("quillback"), f"lamps.hatch-under.{side} supply"))


def test_a_way_that_is_longer_makes_its_wires_longer() -> None:
    """Case: 1 m more over the hinge of the hatch is 1.05 m more of wire to each lamp behind it."""
    model = example("quillback")
    longer = with_way(model, "hatch-loop", length=1.5)

    one, other = run(model, "lamps.cap-bar supply"), run(longer, "lamps.cap-bar supply")
    assert other.length_m - one.length_m == pytest.approx(1.05, abs=0.011)


def test_a_keep_out_over_the_sill_leads_the_wire_round() -> None:
    """Case: the rocker lamp is fed along the sill; a box on the sill sends the wire through the console."""
    model = example("quillback")
    near = model.body.joints["sill-middle"]
    kept = model.body.keep_outs["airbag-seat"].model_copy(
        update={
            "from_x": near.x - 0.3,
            "to_x": near.x + 0.3,
            "from_y": 0.8,
            "to_y": 1.0,
            "from_z": 0.5,
            "to_z": 0.7,
        }
    )
    barred = with_body(model, keep_outs={**model.body.keep_outs, "sill-bag": kept})
    before, after = (run(each, "lamps.rocker-fore.left supply") for each in (model, barred))

    assert "sill.left" in ways(before)
    assert "sill.left" not in ways(after)
    assert after.length_m > before.length_m


def test_left_and_right_are_alike_where_the_body_is() -> None:
    """Law: a pair whose wire needs no hole that is there once has two wires of one length."""
    for lamp in ("rocker-fore", "rocker-aft", "cap-side", "tail", "rear-push", "mirror"):
        left, right = (run(example("quillback"), f"lamps.{lamp}.{side} supply") for side in ("left", "right"))
        assert left.length_m == pytest.approx(right.length_m)
        assert [each.way for each in left.segments if each.side] == [each.way for each in right.segments if each.side]


def test_a_jacket_that_bears_little_is_not_led_under_the_hood() -> None:
    """Case: at 90 degC of insulation nothing in front of the fire wall is reached, and the rear is as before."""
    model = example("quillback")
    cool = lay(model, insulation_degc={f"lamps.{lamp}.left": 90.0 for lamp in ("grille", "tail")})
    missed = {each.subject: each.why for each in cool.missed}

    assert missed["lamps.grille.left"].startswith("No way that is allowed leads from under-rear-seat to grille.left")
    assert any(each.name == "lamps.tail.left supply" for each in cool.runs)


def test_heads_on_two_channels_have_two_supplies() -> None:
    """Case: the bar behind the windshield on channels 3 and 4 has two wires and one return."""
    channels = {f"lamps.visor.{number}": "3" if number < 5 else "4" for number in range(1, 9)}
    runs = {each.name: each for each in lay(example("quillback"), channels=channels).runs}

    assert runs["lamps.visor supply 3"].carries == tuple(f"lamps.visor.{number}" for number in range(1, 5))
    assert runs["lamps.visor supply 4"].channel == "4"
    assert len(runs["lamps.visor return"].carries) == 8


def test_channels_come_from_the_lock_and_the_lead_wins() -> None:
    """Case: a side of a lamp in the lock; a fixed channel over it (none is fixed in the example)."""
    model = example("quillback")
    decided = Decision("lamps.grille.left", "channel", "7", "channels", "0123456789abcdef")

    assert run(changed(model, decisions=(decided,)), "lamps.grille.left supply").channel == "7"
    assert run(model, "lamps.grille.left supply").channel == ""
