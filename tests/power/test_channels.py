"""What shares an output shows the same: proved by the circuit, and lived through the plain machine."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Head, Model
from coachwright.control.machine import Machine, State, build_machine, outputs_of, power_up, start_inputs, step_to
from coachwright.control.statement import Outputs
from coachwright.flash.pattern import Row
from coachwright.flash.sync import half_of, rows
from coachwright.flash.waves import colour_wave, left_of_centre_m
from coachwright.kit.wave import Wave
from coachwright.parts.wiring import Rerating
from coachwright.power.channels import (
    Output,
    ambient_at,
    colours_used,
    controllers,
    derated,
    same_heads,
)
from coachwright.power.channels import (
    outputs_of as channel_outputs,
)
from coachwright.power.loads import controllers_of
from tests.power.vehicles import BY_CHANNEL, BY_LINE, NAMES, example, small

PLAIN = (BY_LINE, BY_CHANNEL)
STEPS_N = 60

Light = frozenset[tuple[str, Wave]]


@cache
def machine_of(model_name: str) -> Machine:
    """The machine of an example."""
    return build_machine(example(model_name))


def lights(model: Model, outputs: Outputs, *, flashing: bool = True) -> dict[str, Light]:
    """What every head of ours shows: its colours, each as the wave it makes."""
    left_m = left_of_centre_m(model)
    in_rows: dict[tuple[str, str], Row] = rows(model, left_m)
    found: dict[str, Light] = {}
    for head, state in zip(model.heads, outputs.heads, strict=True):
        if head.reach != "own":
            continue
        parts = []
        for part in state.parts:
            if part.colour in head.colours:
                half = half_of(part.show, left_m=left_m[head.id])
                row = in_rows.get((part.show.path, head.id))
                wave = colour_wave(part, half, row, part.show.manner == "follow", flashing)
                parts.append((part.colour, wave.scale(1.0)))
        found[head.id] = frozenset(parts)
    return found


def story(name: str, seed: int) -> list[State]:
    """States along a random row of acts: any input set to any value it has, any time between."""
    draw, model, machine = Random(seed), example(name), machine_of(name)
    inputs, kept = start_inputs(machine, {})
    state, _ = power_up(machine, inputs, kept=kept)
    found = [state]
    for _ in range(STEPS_N):
        item = draw.choice(model.inputs)
        if item.kind == "hazard":
            continue
        value = draw.choice(item.values) if item.values else draw.choice([item.low, 2.0, 11.0, 12.0, 30.0, item.high])
        state, _ = step_to(machine, state, {item.name: value}, draw.choice([0, 200, 1000, 5000, 130_000]))
        found.append(state)
    return found


# ---- print
@pytest.mark.parametrize(
    ("ambient_degc", "share"), [(20.0, 1.0), (40.0, 1.0), (50.0, 0.925), (60.0, 0.85), (72.5, 0.675), (99.0, 0.5)]
)
def test_heat_takes_what_the_sheet_says(ambient_degc: float, share: float) -> None:
    """Print: the points of controller-24's own file, straight lines between them, level beyond."""
    points = [Rerating(temperature=t, share=s) for t, s in ((40.0, 1.0), (60.0, 0.85), (85.0, 0.5))]

    assert derated(points, ambient_degc) == pytest.approx(share)
    assert derated((), ambient_degc) == 1.0


def test_a_controller_is_as_hot_as_the_ways_that_end_at_it() -> None:
    """Case: under the rear seat the ways are of 60 degC, so 85 % of 10 A are left."""
    model = example("quillback")
    (box,) = controllers(model)

    assert ambient_at(model, controllers_of(model)[0]) == 60.0
    assert (box.channel_a, box.total_a) == (pytest.approx(8.5), pytest.approx(85.0))


def test_banks_are_counted_from_the_first_channel() -> None:
    """Case: 48 channels in banks of eight."""
    (box,) = controllers(example("quillback", PLAIN))

    assert [box.bank_of(number) for number in (1, 8, 9, 48)] == [0, 0, 1, 5]
    assert box.by_channel
    assert not controllers(example("quillback"))[0].by_channel


def test_a_second_controller_goes_on_counting() -> None:
    """Case: 24 and 48 channels are 1 to 72."""
    more = "  second: {part: controller-48-plain, at: under-rear-seat, feed: main}\n  inverter:"
    boxes = controllers(small(("  inverter:", more)))

    assert [(box.numbers.start, box.numbers.stop) for box in boxes] == [(1, 25), (25, 73)]


# ---- law
@settings(max_examples=12)
@given(seed=st.integers(0, 10_000))
@pytest.mark.parametrize("name", NAMES)
def test_heads_of_a_group_show_the_same_in_any_story(name: str, seed: int) -> None:
    """Law: what was proved of every moment holds in every moment of a story lived through the plain machine."""
    model, machine = example(name), machine_of(name)
    groups = [group for group in same_heads(model) if len(group) > 1]
    assert groups
    for state in story(name, seed):
        shown = lights(model, outputs_of(machine, state))
        for group in groups:
            assert len({shown[head] for head in group}) == 1, group


@settings(max_examples=6)
@given(seed=st.integers(0, 10_000))
@pytest.mark.parametrize("name", NAMES)
def test_colours_that_share_a_channel_burn_alike(name: str, seed: int) -> None:
    """Law: told by channel, all that sit together may be one output: that colour burns in all of them, or in none."""
    model, machine = example(name), machine_of(name)
    together: dict[object, list[Output]] = {}
    for output in channel_outputs(example(name, PLAIN)):
        if output.is_lamp:
            together.setdefault(output.may_sit_with, []).append(output)
    shared = [each for each in together.values() if len(each) > 1]
    assert shared
    for state in story(name, seed):
        shown = lights(model, outputs_of(machine, state))
        for sits in shared:
            burning = {
                frozenset(pair for pair in shown[each.subject.removeprefix("lamps.")] if pair[0] == each.colour)
                for each in sits
            }
            assert len(burning) == 1, [each.about for each in sits]


@pytest.mark.parametrize("name", NAMES)
def test_groups_are_a_partition_and_mirror_each_other(name: str) -> None:
    """Law: every head of ours is in one group; what a group of left heads is, its mirror image is too."""
    model = example(name)
    groups = same_heads(model)
    ours = [head.id for head in model.heads if head.reach == "own"]

    assert sorted(head for group in groups for head in group) == sorted(ours)
    sides = [[head for head in group if model.head(head).side] for group in groups]
    for group in (each for each in sides if len(each) > 1):
        swapped = {swap(model.head(head)) for head in group}
        assert any(swapped <= set(other) for other in groups), group


def swap(head: Head) -> str:
    """The head in the mirror, of a pair of lamps with one head each, or the same row of several."""
    other = {"left": "right", "right": "left"}[head.side]
    number = f".{mirrored_number(head)}" if head.number else ""
    return f"{head.lamp}.{other}{number}"


def mirrored_number(head: Head) -> int:
    """Heads are counted left to right or front to rear; on a side of the vehicle that is the same from both."""
    return head.number


# ---- case
def test_what_differs_in_one_setting_is_told_apart() -> None:
    """Case: the takedown lights the middle of the visor and not its ends, and cruise the ends alone."""
    groups = same_heads(example("quillback"))
    group_of = {head: group for group in groups for head in group}

    assert set(group_of["visor.3"]) == {"grille.left", "push.left", "visor.3", "visor.4"}
    assert group_of["visor.1"] == ("visor.1",)
    assert "corner.left" in group_of["visor.2"]
    assert group_of["cap-bar.1"] != group_of["cap-bar.2"]  # an arrow runs over them


@pytest.mark.parametrize(
    ("change", "together"),
    [
        (("red: single sides", "red: single sides"), True),
        (
            ("{on: all, red: single sides}", "{on: [grille, tail], red: single sides}, {on: push, red: double sides}"),
            False,
        ),
        (
            ("{on: all, red: single sides}", "{on: [grille, tail], red: single}, {on: push, red: steady 50 %}"),
            False,
        ),
    ],
)
def test_one_other_pattern_parts_two_lamps(change: tuple[str, str], together: bool) -> None:
    """Case: grille and push in one show are one output; in two shows that say otherwise they are two."""
    groups = same_heads(small(change))

    assert any({"grille.left", "push.left"} <= set(group) for group in groups) is together


def test_a_difference_no_setting_can_bring_about_is_none() -> None:
    """Case: a second function for the grille alone whose condition can't be true."""
    never = (
        "  never-on: {rank: warn, when: slide == low and slide == full, show: [{on: grille, white: steady 100 %}]}\n"
    )
    groups = same_heads(small(("  inverter-on:", f"{never}  inverter-on:")))

    assert any({"grille.left", "push.left"} <= set(group) for group in groups)


def test_what_is_no_lamp_takes_a_channel_by_what_it_carries() -> None:
    """Case: quillback's fan and emitter hang on theirs, camera and horn on a relay's coil, sirens are only told."""
    found = {each.subject: each for each in channel_outputs(example("quillback")) if not each.is_lamp}

    assert {name.partition(".")[2]: each.carries for name, each in found.items()} == {
        "main-siren": "word",
        "second-siren": "word",
        "emitter-front": "load",
        "locker-fan": "load",
        "rear-camera": "coil",
        "high-beam.left": "coil",
        "high-beam.right": "coil",
        "horn": "coil",
        "engine-run": "coil",
    }
    assert found["equipment.locker-fan"].most_a == pytest.approx(0.55)


def test_an_alarm_on_the_vehicle_takes_none() -> None:
    """Case: the backing alarm sounds with the reverse lamps it hangs on."""
    assert "equipment.backing-alarm" not in {each.subject for each in channel_outputs(example("quillback"))}


def test_told_by_channel_each_colour_in_use_has_its_wire() -> None:
    """Case: the grille burns red and white, the push lamps of the small build red alone."""
    found = [each.about for each in channel_outputs(example("quillback", PLAIN)) if each.subject == "lamps.grille.left"]
    plain = small((BY_LINE, BY_CHANNEL))

    assert found == [("lamps.grille.left", "channel-red"), ("lamps.grille.left", "channel-white")]
    assert colours_used(plain, plain.head("push.left")) == ("red",)
    assert ("lamps.push.left", "channel") in [each.about for each in channel_outputs(plain)]
