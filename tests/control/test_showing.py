"""What promises say about heads and equipment: docs/control.md, "Promises", and docs/language.md, "What heads show"."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.condition import HeadStatement, Manner
from coachwright.build.model import Model, Show
from coachwright.control.machine import build_machine, power_up, start_inputs, step
from coachwright.control.showing import equipment_says, head_says, heads_say
from coachwright.control.statement import SoundState
from tests.control.by_hand import Told, build, function, head, limit, show, turn_wires
from tests.control.machines import models, stories
from tests.control.test_machine_against_reference import standing


def shown(what: Show | None, *, share: float = 1.0) -> Told:
    """One head that shows this, under a limit."""
    functions = [function("f", "warn", "always", show=what)] if what is not None else []
    limits = [limit("l", "always", share, "warn")]
    return Told(build(inputs=[turn_wires()], heads=[head("h", together=True)], functions=functions, limits=limits))


def says(told: Told, manner: Manner, colour: str = "", **more: Any) -> bool:
    """Does the head show it?"""
    return head_says(HeadStatement("h", colour, manner, **more), told.outputs.head("h"))


@pytest.mark.parametrize(
    ("text", "steady", "flashing"),
    [("steady", True, False), ("steady 40 %", True, False), ("single", False, True), ("follow turn-left", False, True)],
)
def test_flashing_is_what_is_not_steady(text: str, steady: bool, flashing: bool) -> None:
    """docs/control.md: a pattern flashes, and so does what follows a wire; all of them are lit."""
    told = shown(show("h", red=text))

    assert (says(told, "steady", "red"), says(told, "flashing", "red")) == (steady, flashing)
    assert says(told, "lit", "red")
    assert says(told, "lit")
    assert not says(told, "lit", "white")


def test_dark_is_no_owner_or_an_owners_dark() -> None:
    """docs/control.md: both are dark; a head that burns is not."""
    assert says(shown(None), "dark")
    assert says(shown(show("h", dark=True)), "dark")
    assert not says(shown(show("h", red="single")), "dark")


def test_a_colour_is_dark_where_others_burn() -> None:
    """docs/language.md: `front white dark` is no white, whatever else burns."""
    told = shown(show("h", red="single"))

    assert says(told, "dark", "white")
    assert not says(told, "dark", "red")


def test_only_means_no_other_colour() -> None:
    """docs/control.md: red beside white is red, but not only red."""
    told = shown(show("h", red="steady", white="steady"))

    assert says(told, "steady", "red")
    assert not says(told, "steady", "red", only=True)
    assert says(shown(show("h", red="steady")), "steady", "red", only=True)


@pytest.mark.parametrize(("limited_to", "holds"), [(1.0, True), (0.9, True), (0.89, False)])
def test_at_least_is_after_limits(limited_to: float, holds: bool) -> None:
    """docs/control.md: `at least 90 %` of the part's full light."""
    assert says(shown(show("h", red="steady"), share=limited_to), "steady", "red", at_least_share=0.9) is holds


@pytest.mark.parametrize(
    ("asked", "written", "holds"),
    [
        ("double", "double sides", True),
        ("double", "double 150 per min", True),
        ("double 150 per min", "double", False),
        ("single", "double", False),
        ("lit 250 ms, dark 250 ms", "lit 250 ms, every 500 ms", True),
    ],
)
def test_the_same_pattern(asked: str, written: str, holds: bool) -> None:
    """docs/language.md: lit at the same moments; without a rate none is asked for."""
    assert says(shown(show("h", red=written)), "pattern", "red", pattern=asked) is holds


def test_of_a_head_that_is_not_decided_nothing_is_true() -> None:
    """docs/control.md: neither dark nor lit."""
    model = build(
        heads=["h"],
        functions=[
            function("a", "warn", "always", show=show("h", red="steady")),
            function("b", "warn", "always", show=show("h", white="steady")),
        ],
    )
    told = Told(model)

    assert not says(told, "dark")
    assert not says(told, "lit")


def test_an_excused_owner_makes_nothing_true() -> None:
    """docs/control.md: neither by what it lights nor by its dark."""
    lit, dark = shown(show("h", red="single")), shown(show("h", dark=True))

    assert not head_says(HeadStatement("h", "red", "flashing"), lit.outputs.head("h"), frozenset({"f"}))
    assert not head_says(HeadStatement("h", "", "dark"), dark.outputs.head("h"), frozenset({"f"}))
    assert head_says(HeadStatement("h", "", "dark"), dark.outputs.head("h"), frozenset({"other"}))


def both(model: Model, *, every: bool) -> bool:
    """Is red flashing on every one of two heads, or on at least one?"""
    told = Told(model)
    states = {state.head: state for state in told.outputs.heads}
    return heads_say(HeadStatement("all", "red", "flashing", every=every, heads=("h", "i")), states, frozenset())


def test_every_head_or_at_least_one() -> None:
    """docs/language.md: in `then` every head of the selector, elsewhere at least one."""
    one = build(heads=["h", "i"], functions=[function("f", when="always", show=show("h", red="single"))])
    two = build(heads=["h", "i"], functions=[function("f", when="always", show=show("h", "i", red="single"))])

    assert (both(one, every=True), both(one, every=False)) == (False, True)
    assert both(two, every=True)


def test_equipment_is_true_while_it_sounds_or_runs() -> None:
    """docs/control.md: a silent siren that nothing decides is not true."""
    sounding = (SoundState("siren", "wail", ("f",), ()),)
    silent = (SoundState("siren", "", (), ()),)
    runs = {"fan": frozenset({"f", "g"})}

    assert equipment_says("siren", sounding, {}, frozenset())
    assert not equipment_says("siren", silent, {}, frozenset())
    assert equipment_says("fan", (), runs, frozenset({"f"}))
    assert not equipment_says("fan", (), runs, frozenset({"f", "g"}))


@given(st.data())
def test_dark_and_lit_are_opposites_where_it_is_decided(data: st.DataObject) -> None:
    """Law: a head is dark, lit, or not decided: one of them, whatever happened."""
    model = data.draw(models(focus="heads"))
    machine = build_machine(model)
    state, outputs = power_up(machine, start_inputs(machine, {})[0])
    for change in data.draw(stories(model)):
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        for each in outputs.heads:
            dark, lit = HeadStatement(each.head, "", "dark"), HeadStatement(each.head, "", "lit")
            assert head_says(dark, each) + head_says(lit, each) + each.ambiguous == 1
