"""Timed conditions, memory and rounds: docs/control.md, "Timed conditions" and "Memory and rounds"."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.machine import build_machine, power_up, start_inputs, step
from tests.control.by_hand import Told, build, button, function, memory, on_off, slide, states, toggle
from tests.control.machines import models, stories
from tests.control.test_machine_against_reference import standing


def timed(when: str) -> Told:
    """One function that acts while `when` holds."""
    return Told(build(inputs=[on_off("x"), on_off("y"), on_off("other")], functions=[function("f", when=when)]))


def remembering(
    *moves: dict[str, object], values: tuple[str, ...] = ("a", "b", "c"), words: dict[str, str] | None = None
) -> Told:
    """One memory `m` that starts at a."""
    return Told(build(inputs=[button("key"), button("bell"), on_off("x"), on_off("y")], words=words,
                      memories=[memory("m", *values, moves=moves)]))  # fmt: skip


# ---- timed conditions


def test_held_is_true_from_its_time_on() -> None:
    """docs/control.md: `x held 3 s` is true at 3 s, not a millisecond earlier, and ends with x."""
    told = timed("x held 3 s").now(x="on")

    assert not told.wait(2999).acts("f")
    assert told.wait(1).acts("f")
    assert told.wait(3_600_000).acts("f")
    assert not told.now(x="off").acts("f")


def test_held_begins_again_after_a_break() -> None:
    """docs/control.md: a break of no time at all is a break."""
    told = timed("x held 3 s").now(x="on").after(2999, x="off").now(x="on")

    assert not told.wait(2999).acts("f")
    assert told.wait(1).acts("f")


def test_first_is_false_from_its_time_on() -> None:
    """docs/control.md: `first 3 s of x` is true at once, and at 3 s no more."""
    told = timed("first 3 s of x").now(x="on")

    assert told.acts("f")
    assert told.wait(2999).acts("f")
    assert not told.wait(1).acts("f")
    assert told.now(x="off").now(x="on").acts("f")


def test_first_ends_with_what_it_measures() -> None:
    """docs/control.md: at most its time."""
    assert not timed("first 3 s of x").now(x="on").after(1000, x="off").acts("f")


def test_plus_is_false_from_its_time_after_the_end() -> None:
    """docs/control.md: `x plus 3 s` goes on 3 s after x, and at 3 s no more."""
    told = timed("x plus 3 s").now(x="on").after(10_000, x="off")

    assert told.wait(2999).acts("f")
    assert not told.wait(1).acts("f")


def test_plus_starts_its_time_again() -> None:
    """docs/control.md: x comes back for a moment, and 3 s begin anew."""
    told = timed("x plus 3 s").now(x="on").after(10, x="off").after(2000, x="on").now(x="off")

    assert told.wait(2999).acts("f")
    assert not told.wait(1).acts("f")


def test_plus_is_false_at_power_up() -> None:
    """docs/control.md: what was true before the power came is not known."""
    assert not timed("x plus 3 s").acts("f")


def test_timers_start_at_power_up() -> None:
    """docs/control.md: what is true at power-up is held from there."""
    model = build(inputs=[on_off("x")], functions=[function("f", when="x held 1 s")])
    told = Told(model, x="on")

    assert not told.wait(999).acts("f")
    assert told.wait(1).acts("f")


def test_a_timer_of_a_timer() -> None:
    """docs/control.md: (x held 2 s) held 1 s is true at 3 s, though no step ends at 2 s."""
    told = timed("(x held 2 s) held 1 s").now(x="on")

    assert not told.wait(2999).acts("f")
    assert told.wait(1).acts("f")


def test_a_step_does_not_jump_over_the_end_of_a_timer() -> None:
    """docs/control.md: x goes off in the very step that ends at 3 s: the memory saw `x held 3 s` become true before."""
    told = remembering({"on": "becomes (x held 3 s)", "to": "b"}).now(x="on").after(3000, x="off")

    assert told.memory("m") == "b"


def test_time_passes_under_the_old_inputs() -> None:
    """docs/control.md: one step of 10 s that switches x on: it has been on for no time yet."""
    assert not timed("x held 3 s").after(10_000, x="on").acts("f")


@pytest.mark.parametrize("text", ["x held 7 ms", "first 7 ms of x", "x plus 7 ms"])
def test_timers_saturate(text: str) -> None:
    """docs/control.md: an hour after its end a timer is as it was at its end: the states are equal."""
    told = timed(text).now(x="on").after(3, x="off" if "plus" in text else "on").wait(7)
    then = told.state

    assert told.wait(3_600_000).state == then
    assert hash(told.state) == hash(then)


# ---- moves


def test_memory_is_at_start_after_power_up() -> None:
    """docs/control.md: `start`, whatever is pressed meanwhile."""
    assert remembering({"on": "pressed key", "to": "b"}).memory("m") == "a"


def test_condition_moves_act_at_power_up() -> None:
    """docs/control.md: no event fires, but a condition that holds moves memory at once."""
    model = build(inputs=[on_off("x")], memories=[memory("m", "a", "b", moves=[{"on": "x", "to": "b"}])])

    assert Told(model, x="on").memory("m") == "b"


def test_the_first_move_that_holds_acts() -> None:
    """docs/control.md: two moves meet; the one that stands first in the list is the safe one."""
    told = remembering({"on": "pressed key", "if": "x", "to": "b"}, {"on": "pressed key", "to": "c"})

    assert told.now(key="pressed").memory("m") == "c"
    assert told.now(key="released", x="on").now(key="pressed").memory("m") == "b"


def test_a_move_to_the_same_value_acts_too() -> None:
    """docs/control.md: the first move holds and goes to where memory is; the second doesn't get its turn."""
    told = remembering({"on": "pressed key", "to": "a"}, {"on": "pressed key", "to": "b"})

    assert told.now(key="pressed").memory("m") == "a"


def test_next_goes_round_its_list() -> None:
    """docs/control.md: b, c, b, c; from a, which isn't in the list, to its first."""
    told = remembering({"on": "pressed key", "next": ["b", "c"]})

    seen = [told.now(key="pressed").now(key="released").memory("m") for _ in range(4)]
    assert seen == ["b", "c", "b", "c"]


def test_all_memories_move_from_the_old_state() -> None:
    """docs/control.md: two memories change places in one step."""
    told = Told(
        build(
            inputs=[button("key")],
            memories=[
                memory("one", "a", "b", moves=[{"on": "pressed key", "if": "two == b", "to": "b"}], start="a"),
                memory("two", "a", "b", moves=[{"on": "pressed key", "if": "one == a", "to": "a"}], start="b"),
            ],
        )
    ).now(key="pressed")

    assert (told.memory("one"), told.memory("two")) == ("b", "a")


def test_a_chain_of_moves_runs_through_in_one_step() -> None:
    """docs/control.md: rounds go on until memory stands."""
    told = remembering({"on": "m == b", "to": "c"}, {"on": "pressed key", "to": "b"})

    assert told.now(key="pressed").memory("m") == "c"


def test_a_press_acts_in_the_first_round_only() -> None:
    """docs/control.md: it goes one further in the list, not round and round."""
    told = remembering({"on": "pressed key", "next": ["a", "b", "c"]})

    assert told.now(key="pressed").memory("m") == "b"


def test_becomes_acts_in_the_round_in_which_its_word_turns_true() -> None:
    """docs/control.md: the press moves one memory, and what that makes true moves the other in the same step."""
    told = Told(
        build(
            inputs=[button("key")],
            words={"armed": "one == b"},
            memories=[
                memory("one", "a", "b", moves=[{"on": "pressed key", "to": "b"}]),
                memory("two", "a", "b", moves=[{"on": "becomes armed", "to": "b"}]),
            ],
        )
    ).now(key="pressed")

    assert (told.memory("one"), told.memory("two")) == ("b", "b")


def test_becomes_is_the_edge_and_a_condition_is_not() -> None:
    """docs/control.md: with x on all the time `becomes x` acts once, `x` acts whenever something moves memory away."""
    edge = remembering({"on": "becomes x", "to": "b"}, {"on": "pressed key", "to": "a"})
    level = remembering({"on": "x and m != c", "to": "b"}, {"on": "pressed key", "to": "c"})

    assert edge.now(x="on").after(5, key="pressed").memory("m") == "a"
    assert level.now(x="on").memory("m") == "b"


def test_a_round_without_an_event_is_the_last() -> None:
    """docs/control.md: key keeps m at a for the round of the press; then x moves it, as it would a moment later."""
    told = remembering({"on": "pressed key", "to": "a"}, {"on": "x", "if": "y", "to": "b"}).now(x="on")

    assert told.now(key="pressed", y="on").memory("m") == "b"


def test_moves_that_go_in_circles_leave_memory_as_it_was() -> None:
    """docs/control.md: while x is on, a leads to b and b to a: m stays, and the step names it."""
    told = remembering({"on": "x and m == a", "to": "b"}, {"on": "x and m == b", "to": "a"}).now(x="on")

    assert told.memory("m") == "a"
    assert told.outputs.restless == ("m",)
    assert told.after(10, x="off").outputs.restless == ()


def test_only_memories_that_move_are_named_restless() -> None:
    """docs/control.md: the finding names those that went in a circle, not the one that stood by."""
    told = Told(
        build(
            inputs=[on_off("x")],
            memories=[
                memory("turns", "a", "b", moves=[{"on": "x and turns == a", "to": "b"}, {"on": "x", "to": "a"}]),
                memory("stands", "a", "b", moves=[{"on": "not x and x", "to": "b"}]),
            ],
        )
    ).now(x="on")

    assert told.outputs.restless == ("turns",)


def test_a_press_that_leads_back_leaves_memory_as_it_was() -> None:
    """docs/control.md: the press arms, and a brake that stands on disarms: rounds come back to a."""
    told = remembering({"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}).now(x="on")

    told.now(key="pressed")
    assert (told.memory("m"), told.outputs.restless) == ("a", ("m",))


def test_after_a_circle_the_moment_is_gone_through_once_more_without_its_events() -> None:
    """docs/control.md: the press leads from a round to a; x, which came on with it, then moves a to d."""
    told = remembering(
        {"on": "pressed key", "to": "b"},
        {"on": "m == b", "to": "c"},
        {"on": "m == c", "to": "a"},
        {"on": "x and m == a", "to": "d"},
        values=("a", "b", "c", "d"),
    ).now(key="pressed", x="on")

    assert (told.memory("m"), told.outputs.restless) == ("d", ("m",))
    assert told.wait(0).memory("m") == "d"


def test_timers_see_a_moment_that_a_memory_passes_through() -> None:
    """docs/control.md: m is b for one round; `plus` counts from there."""
    told = Told(
        build(
            inputs=[button("key")],
            memories=[
                memory("m", "a", "b", "c", moves=[{"on": "m == b", "to": "c"}, {"on": "pressed key", "to": "b"}])
            ],
            functions=[function("f", when="m == b plus 1 s")],
        )
    ).now(key="pressed")

    assert told.memory("m") == "c"
    assert told.wait(999).acts("f")
    assert not told.wait(1).acts("f")


def test_a_siren_is_not_brought_back_by_leaving_park() -> None:
    """docs/control.md: the whole of a tone memory: chosen in D, silent in P, silent when D comes back, chosen anew."""
    told = Told(
        build(
            inputs=[slide("slide", "off", "full"), states("gear", "P", "D"), button("wail"), toggle("hands-free")],
            words={"parked": "gear == P"},
            memories=[
                memory(
                    "tone",
                    "standby",
                    "wail",
                    moves=[
                        {"on": "becomes parked", "to": "standby"},
                        {"on": "slide leaves full", "to": "standby"},
                        {"on": "pressed wail", "if": "not parked", "to": "wail"},
                    ],
                )
            ],
            functions=[function("siren", when="tone != standby and slide == full", sound={"main-siren": "tone"})],
            equipment=["main-siren"],
        ),
        slide="full",
        gear="D",
    )

    assert told.now(wail="pressed").now(wail="released").acts("siren")
    assert told.outputs.sounds[0].tone == "wail"
    assert not told.after(1000, gear="P").acts("siren")
    assert not told.after(1000, gear="D").acts("siren")
    assert told.now(wail="pressed").acts("siren")


# ---- laws


@given(st.data())
def test_a_moment_with_nothing_new_changes_nothing(data: st.DataObject) -> None:
    """Law: step(s, same inputs, 0) is s, and puts out the same (what was restless is told of the moment alone)."""
    model = data.draw(models(focus="memory"))
    machine = build_machine(model)
    state, _ = power_up(machine, start_inputs(machine, {})[0])
    for change in data.draw(stories(model)):
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        again, same = step(machine, state, state.inputs, 0)
        assert again == state
        assert replace(same, restless=()) == replace(outputs, restless=())


def test_rounds_of_a_counter_end() -> None:
    """Law: 14 memories that count in binary come to rest or are left alone; nothing runs for ever."""
    names = [f"bit{number}" for number in range(14)]
    memories = []
    for number, name in enumerate(names):
        lower = " and ".join([f"{each} == one" for each in names[:number]] or ["x"])
        moves = [
            {"on": f"({lower}) and {name} == {one}", "to": other} for one, other in (("zero", "one"), ("one", "zero"))
        ]
        memories.append(memory(name, "zero", "one", moves=moves))
    told = Told(build(inputs=[on_off("x")], memories=memories)).now(x="on")

    assert set(told.outputs.restless) <= set(names)
    assert told.outputs.restless
