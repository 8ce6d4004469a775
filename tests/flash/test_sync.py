"""flash.sync: who shares a clock, and which half of the cycle a head takes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import ColourShow, Head
from coachwright.flash.sync import half_cycle_apart_s, half_of, sync_groups


def head(name: str, group: str, tolerance: float) -> Head:
    """A head with a clock."""
    return Head(
        name, name, "", 0, "lamp", 0, "place", 0.0, 0.0, ("red",), False, "own", group, tolerance, f"lamps.{name}"
    )


def show(sides: str) -> ColourShow:
    """Red that takes these sides."""
    return ColourShow("red", "pattern", None, sides, 1.0, "", "show.red")  # type: ignore[arg-type]


# ---- law
@given(st.floats(0.01, 2.0), st.sampled_from(["sides", "other-sides"]))
def test_left_and_right_take_different_halves(left_m: float, sides: str) -> None:
    """Law: mirror the vehicle and the halves swap."""
    assert half_of(show(sides), left_m=left_m) != half_of(show(sides), left_m=-left_m)


@given(st.floats(-2.0, 2.0))
def test_other_sides_is_the_reverse(left_m: float) -> None:
    """Law: the two words share the cycle between them."""
    assert {half_of(show("sides"), left_m=left_m), half_of(show("other-sides"), left_m=left_m)} == {"first", "second"}


@given(st.floats(0.1, 2.0), st.floats(1e-6, 0.05), st.floats(1e-6, 0.05))
def test_a_worse_clock_never_keeps_step_longer(cycle_s: float, one: float, other: float) -> None:
    """Law: more tolerance, sooner apart."""
    apart_s = half_cycle_apart_s(cycle_s=cycle_s, tolerance_share=one, other_tolerance_share=other)

    assert half_cycle_apart_s(cycle_s=cycle_s, tolerance_share=2 * one, other_tolerance_share=other) < apart_s


# ---- case
def test_a_head_on_the_centre_line_goes_with_the_left_ones() -> None:
    """Heads left of the centre line, and on it, take the first half."""
    assert half_of(show("sides"), left_m=0.0) == "first"


def test_heads_gather_by_their_clock() -> None:
    """One group for the controller, one for the sync wire, one for a lamp alone."""
    heads = [
        head("a", "controller", 0.001),
        head("b", "sync:rear", 0.02),
        head("c", "controller", 0.001),
        head("d", "own:d", 0.03),
    ]

    groups = sync_groups(heads)

    assert [(group.name, group.heads) for group in groups] == [
        ("controller", ("a", "c")),
        ("sync:rear", ("b",)),
        ("own:d", ("d",)),
    ]


def test_half_a_cycle_is_gone_as_soon_as_the_arithmetic_says() -> None:
    """Two clocks of 1 % each slip 20 ms a second: half of 500 ms takes 12.5 s."""
    assert half_cycle_apart_s(cycle_s=0.5, tolerance_share=0.01, other_tolerance_share=0.01) == pytest.approx(12.5)


def test_perfect_clocks_never_part() -> None:
    """No tolerance, no drift."""
    assert half_cycle_apart_s(cycle_s=0.5, tolerance_share=0.0, other_tolerance_share=0.0) == math.inf
