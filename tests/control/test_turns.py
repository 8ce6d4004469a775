"""Turn wires and hazard: docs/control.md, "Turn and hazard"."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.control.by_hand import Told, build, function, memory, show, turn_wires


def wires(**given: int) -> Told:
    """A vehicle with two turn wires, both low."""
    return Told(build(inputs=[turn_wires(**given)]))


def turning(told: Told) -> tuple[str, ...]:
    """Which of the three is on."""
    return tuple(name for name in ("turn-left", "turn-right", "hazard") if told.reads(name) == "on")


def flash(told: Told, *names: str, apart_ms: int = 0, half_ms: int = 350, halves: int = 4) -> Told:
    """Let wires change `halves` times, the second `apart_ms` behind the first."""
    for half in range(halves):
        level = "high" if half % 2 == 0 else "low"
        told.after(half_ms - apart_ms if half else 0, **{names[0]: level})
        if len(names) > 1:
            told.after(apart_ms, **{names[1]: level})
        elif apart_ms:
            told.wait(apart_ms)
    return told


def test_a_turn_lasts_until_its_edge_hold_after_the_last_edge() -> None:
    """docs/control.md: 900 ms after the last edge, and not at 900."""
    told = wires(edge_hold_ms=900).now(turn_left="high").after(300, turn_left="low")

    assert turning(told.wait(899)) == ("turn-left",)
    assert turning(told.wait(1)) == ()


@pytest.mark.parametrize("level", ["low", "high"])
def test_a_wire_stuck_either_way_is_no_turn(level: str) -> None:
    """docs/control.md: from power-up it never turned; later it stops turning when its hold is over."""
    told = Told(build(inputs=[turn_wires()]), turn_left=level)
    assert turning(told) == ()

    assert turning(flash(told, "turn_left").now(turn_left=level).wait(900)) == ()


@pytest.mark.parametrize("apart_ms", [0, 1, 59, 60])
def test_edges_of_both_wires_within_60_ms_are_hazard(apart_ms: int) -> None:
    """docs/control.md: the same way and within 60 ms, 60 counted; then neither is a turn."""
    assert turning(flash(wires(), "turn_left", "turn_right", apart_ms=apart_ms)) == ("hazard",)


def test_edges_61_ms_apart_are_two_turns() -> None:
    """docs/control.md: past 60 ms they have nothing to do with one another."""
    told = wires().now(turn_left="high").after(61, turn_right="high")

    assert turning(told) == ("turn-left", "turn-right")
    assert turning(told.wait(61)) == ("turn-right",)  # the right one was alone, which ends the left one's hold


def test_until_the_second_wire_has_come_the_first_is_a_turn() -> None:
    """docs/control.md: for 40 ms the left one is a turn, then both are hazard."""
    told = wires().now(turn_left="high")

    assert turning(told.wait(39)) == ("turn-left",)
    assert turning(told.after(1, turn_right="high")) == ("hazard",)


def test_edges_the_other_way_are_no_hazard() -> None:
    """docs/control.md: one goes up while the other goes down."""
    told = Told(build(inputs=[turn_wires()]), turn_right="high").now(turn_left="high", turn_right="low")

    assert turning(told) == ("turn-left", "turn-right")
    assert turning(told.wait(61)) == ("turn-left", "turn-right")  # each had an edge of its own in the meantime


def test_of_two_lone_edges_the_later_one_counts() -> None:
    """docs/control.md: the right one goes down 20 ms after the left one went up: 61 ms later it is the only turn."""
    told = Told(build(inputs=[turn_wires()]), turn_right="high").now(turn_left="high").after(20, turn_right="low")

    assert turning(told.wait(60)) == ("turn-left", "turn-right")
    assert turning(told.wait(1)) == ("turn-right",)


def test_a_hazard_whose_wires_follow_each_other_does_not_flicker() -> None:
    """docs/control.md: whether an edge is alone is known after 60 ms; until then hazard stays."""
    told = flash(wires(), "turn_left", "turn_right", apart_ms=30)
    told.after(320, turn_left="high")

    assert turning(told) == ("hazard",)
    assert turning(told.after(30, turn_right="high")) == ("hazard",)


def test_hazard_ends_as_a_whole() -> None:
    """docs/control.md: the wires' last edges are 30 ms apart; in between the later one is no turn."""
    told = flash(wires(edge_hold_ms=900), "turn_left", "turn_right", apart_ms=30)

    assert turning(told.wait(880)) == ("hazard",)
    assert turning(told.wait(20)) == ()


def test_a_lone_edge_ends_the_other_wires_hold() -> None:
    """docs/control.md: hazard is switched off and the stalk is still at left: left from 61 ms after its lone edge."""
    told = flash(wires(), "turn_left", "turn_right").after(350, turn_left="high")

    assert turning(told.wait(60)) == ("hazard",)
    assert turning(told.wait(1)) == ("turn-left",)


def test_the_body_may_set_the_time_within_which_both_are_hazard() -> None:
    """docs/control.md: 100 ms for a slow flasher."""
    assert turning(flash(wires(together_ms=100), "turn_left", "turn_right", apart_ms=90)) == ("hazard",)


def test_a_single_turn_wire_turns() -> None:
    """docs/control.md: a vehicle that gives one wire has turns of it, and no hazard."""
    told = Told(build(inputs=[turn_wires()[0]])).now(turn_left="high")

    assert told.reads("turn-left") == "on"
    assert told.wait(900).reads("turn-left") == "off"


# ---- wires that flash on and on


def test_flashing_stands_for_a_wire_that_goes_on_flashing() -> None:
    """docs/control.md: a situation's `turn-left: on` needs no edges to be told; when it ends its hold runs out."""
    told = wires(edge_hold_ms=900).now(turn_left="flashing")

    assert turning(told.wait(3_600_000)) == ("turn-left",)
    assert turning(told.now(turn_left="low").wait(899)) == ("turn-left",)
    assert turning(told.wait(1)) == ()


def test_two_flashing_wires_are_hazard() -> None:
    """docs/control.md: also when the second one begins later."""
    assert turning(Told(build(inputs=[turn_wires()]), turn_left="flashing", turn_right="flashing")) == ("hazard",)
    assert turning(wires().now(turn_left="flashing").after(5000, turn_right="flashing")) == ("hazard",)


def test_hazard_named_in_a_setting_flashes_both() -> None:
    """docs/control.md: `hazard: on` means that both wires flash."""
    assert turning(Told(build(inputs=[turn_wires()]), hazard="on")) == ("hazard",)


def test_when_one_of_two_flashing_wires_stops_the_other_turns() -> None:
    """docs/control.md: its edges are alone from then, which is known after 60 ms."""
    told = wires().now(hazard="on").after(5000, turn_right="low")

    assert turning(told.wait(60)) == ("hazard",)
    assert turning(told.wait(1)) == ("turn-left",)


@given(st.integers(0, 60), st.integers(200, 450), st.booleans())
def test_flashing_on_and_on_reads_as_real_edges_do(apart_ms: int, half_ms: int, both: bool) -> None:
    """Law: after some flashes both ways of telling it read the same, in every millisecond looked at."""
    names = ("turn_left", "turn_right") if both else ("turn_left",)
    edges = flash(wires(), *names, apart_ms=apart_ms, half_ms=half_ms, halves=5)
    told = wires().now(**dict.fromkeys(names, "flashing")).wait(2000)

    for _ in range(4):
        assert turning(edges) == turning(told.wait(37))
        edges.wait(37)


# ---- loss


def test_a_lost_turn_wire_stops_turning_when_its_hold_is_over() -> None:
    """docs/control.md: what is lost is the wire; a wire that gives no edge is no turn, whatever `lost` says."""
    for lost in ("hold", "on", "off"):
        told = Told(build(inputs=[turn_wires(lost=lost)])).now(turn_left="flashing").after(100, turn_left="lost")

        assert turning(told.wait(899)) == ("turn-left",)
        assert turning(told.wait(1)) == ()


def test_loss_and_return_of_a_wire_are_no_edges() -> None:
    """docs/control.md: the wire reads low while lost and high again when it is back: no turn."""
    told = (
        Told(build(inputs=[turn_wires(lost="off")]), turn_left="high").now(turn_left="lost").after(10, turn_left="high")
    )

    assert turning(told) == ()


def test_a_flashing_wire_that_comes_back_flashes_with_the_other() -> None:
    """docs/control.md: its next edge comes with the other one's, and both are hazard again."""
    told = wires().now(hazard="on").after(1000, turn_right="lost").wait(2000)
    assert turning(told) == ("turn-left",)

    assert turning(told.now(turn_right="flashing")) == ("hazard",)


def test_hazard_ends_when_only_one_wire_goes_on() -> None:
    """docs/control.md: the left one flashes on and on, the right one's hold runs out meanwhile: the left one turns."""
    told = flash(wires(edge_hold_ms=400), "turn_left", "turn_right", halves=1).after(370, turn_left="flashing")

    assert turning(told.wait(30)) == ("hazard",)
    assert turning(told.wait(31)) == ("turn-left",)


def test_becomes_turn_fires_once_for_many_edges() -> None:
    """docs/control.md: within its edge hold a turn is one turn."""
    model = build(
        inputs=[turn_wires()],
        memories=[
            memory("seen", "none", "one", "two", moves=[{"on": "becomes turn-left", "next": ["none", "one", "two"]}])
        ],
    )

    assert flash(Told(model), "turn_left", halves=6).memory("seen") == "one"


def test_the_dark_half_of_a_followed_wire_still_holds_the_head() -> None:
    """docs/control.md: between two flashes the turn keeps the head; brake shines through at no moment."""
    model = build(
        inputs=[turn_wires()],
        heads=["tail"],
        functions=[
            function("turn", "road", "turn-left", show=show("tail", amber="follow turn-left")),
            function("warn", "warn", "always", show=show("tail", red="single")),
        ],
    )
    told = flash(Told(model), "turn_left", halves=2)

    assert told.wait(300).owners("tail") == ("turn",)
