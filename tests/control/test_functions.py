"""Levels, stops, hold-offs, runs and messages: docs/control.md, "Functions" and "Stops and hold-offs"."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.machine import build_machine, outputs_of, power_up, start_inputs, step
from tests.control.by_hand import (
    Told,
    build,
    button,
    disconnect,
    function,
    memory,
    message,
    on_off,
    pick_one,
    show,
    slide,
    states,
    stop,
    toggle,
)
from tests.control.machines import models, stories
from tests.control.test_machine_against_reference import standing

LEVELS = {
    "low": [show("rear", red="single")],
    "mid": [show("front", red="single")],
    "full": [show("front", red="double", white="single")],
}


def warning(**written: Any) -> Told:
    """A slide with three levels on two heads; at full the front changes."""
    model = build(
        inputs=[slide("slide", "off", "low", "mid", "full"), on_off("x"), on_off("y")],
        heads=["front", "rear"],
        functions=[function("warning", by="slide", levels=LEVELS, **written)],
    )
    return Told(model)


def lit(told: Told) -> dict[str, str]:
    """Text of what each lit head shows."""
    return {
        state.head: " ".join(
            f"{part.colour} {part.show.pattern.text if part.show.pattern else ''}" for part in state.parts
        )
        for state in told.outputs.heads
        if state.parts
    }


# ---- levels


def test_levels_are_cumulative() -> None:
    """docs/control.md: a level keeps what lower ones show on heads it doesn't name."""
    told = warning()

    assert lit(told) == {}
    assert lit(told.now(slide="low")) == {"rear": "red single"}
    assert lit(told.now(slide="mid")) == {"rear": "red single", "front": "red single"}
    assert lit(told.now(slide="full")) == {"rear": "red single", "front": "red double white single"}


def test_one_level_shows_its_position_or_nothing() -> None:
    """docs/control.md: `one-level: yes`."""
    assert lit(warning(one_level=True).now(slide="full")) == {"front": "red double white single"}


def test_a_position_without_a_level_of_its_own() -> None:
    """docs/control.md: cumulative it shows the level beneath; with one-level it shows nothing."""
    levels = {"low": [show("h", red="single")]}
    for one_level, shown in ((False, {"h": "red single"}), (True, {})):
        model = build(
            inputs=[slide("slide", "off", "low", "full")],
            heads=["h"],
            functions=[function("warning", by="slide", levels=levels, one_level=one_level)],
        )
        assert lit(Told(model).now(slide="full")) == shown


def test_a_when_beside_by_is_anded() -> None:
    """docs/control.md: the slide is at low and x is off: nothing."""
    told = warning(when="x").now(slide="low")

    assert lit(told) == {}
    assert lit(told.now(x="on")) == {"rear": "red single"}


def test_at_most_acts_as_if_the_control_stood_there() -> None:
    """docs/control.md: full in Park is mid; a slide beneath it stays where it is; of several the lowest counts."""
    told = warning(at_most={"mid": "x", "low": "y"}).now(slide="full", x="on")

    assert lit(told) == {"rear": "red single", "front": "red single"}
    assert told.outputs.levels == (("warning", "mid"),)
    assert lit(told.now(y="on")) == {"rear": "red single"}
    assert lit(told.now(slide="low", y="off")) == {"rear": "red single"}


@pytest.mark.parametrize("control", [toggle("c"), button("c")], ids=["toggle", "button"])
def test_a_function_may_go_by_a_toggle_or_a_button(control: Any) -> None:
    """docs/control.md: on is its second position."""
    shows = {"on": [show("h", red="single")]}
    told = Told(build(inputs=[control], heads=["h"], functions=[function("f", by="c", levels=shows)]))

    assert lit(told) == {}
    assert lit(told.now(c="pressed")) == {"h": "red single"}


def test_of_two_entries_for_one_head_the_later_shows() -> None:
    """docs/control.md: within one function a narrower entry stands behind a wider one."""
    shown = [show("h", "i", red="single"), show("i", white="double")]
    told = Told(build(heads=["h", "i"], functions=[function("f", when="always", show=shown)]))

    assert lit(told) == {"h": "red single", "i": "white double"}


# ---- stops


def test_a_stop_ends_a_function_with_all_its_outputs() -> None:
    """docs/control.md: light, sound, run and message."""
    model = build(
        inputs=[on_off("x")],
        heads=["h"],
        functions=[
            function(
                "f", when="always", show=show("h", red="single"), sound={"siren": "wail"}, runs=["fan"], says=["m"]
            )
        ],
        messages=[message("m")],
        stops=[stop("s", "x", "f")],
        equipment=["siren", "fan"],
    )
    told = Told(model)
    assert (bool(lit(told)), len(told.outputs.sounds), told.outputs.runs, told.outputs.messages) == (
        True,
        1,
        ("fan",),
        ("m",),
    )

    told.now(x="on")
    assert (bool(lit(told)), len(told.outputs.sounds), told.outputs.runs, told.outputs.messages) == (False, 0, (), ())
    assert told.outputs.stopped == (("f", "s"),)
    assert told.now(x="off").acts("f")


def test_a_stop_may_name_a_rank() -> None:
    """docs/control.md: all functions of it."""
    told = Told(
        build(
            inputs=[on_off("x")],
            functions=[
                function("a", "task", "always"),
                function("b", "task", "always"),
                function("c", "warn", "always"),
            ],
            stops=[stop("s", "x", "task")],
        )
    ).now(x="on")

    assert told.outputs.active == ("c",)


def test_the_road_is_never_stopped() -> None:
    """docs/control.md: neither by its rank nor by a function's name."""
    told = Told(
        build(
            inputs=[on_off("x")],
            functions=[function("brake", "road", "always")],
            stops=[stop("s", "x", "road"), stop("t", "x", "brake", resume="ask")],
        )
    ).now(x="on")

    assert told.acts("brake")


# ---- hold-offs


def asked(*inputs: Any, when: str = "", by: str = "", words: dict[str, str] | None = None, **more: Any) -> Told:
    """A function `f` that a stop `x` ends until it is asked again."""
    levels = {"left": [show("h", amber="single")], "right": [show("h", amber="double")]} if by else {}
    model = build(
        inputs=[on_off("x"), *inputs],
        heads=["h"],
        words=words,
        functions=[function("f", "task", when, by=by, levels=levels, one_level=bool(by))],
        stops=[stop("s", "x", "f", resume="ask")],
        **more,
    )
    return Told(model)


def test_a_function_waits_to_be_asked_again() -> None:
    """docs/control.md: the stop is over, the toggle is still on; only a new flip to on brings the light back."""
    told = asked(toggle("scene"), when="scene").now(scene="on").now(x="on")

    assert (told.acts("f"), told.held_off("f"), told.outputs.stopped) == (False, False, (("f", "s"),))
    assert (told.now(x="off").acts("f"), told.held_off("f")) == (False, True)
    assert not told.after(60_000, scene="off").held_off("f")  # it wouldn't act now
    assert told.now(scene="on").acts("f")


def test_a_function_that_was_not_active_is_held_off_too() -> None:
    """docs/control.md: from the stop's start, active then or not: a signal that wants it later doesn't get it."""
    told = asked(toggle("scene"), on_off("y"), when="scene and y").now(scene="on").now(x="on").now(x="off")

    assert told.now(y="on").held_off("f")


def test_asking_counts_in_the_step_in_which_the_stop_ends() -> None:
    """docs/control.md: in or after it, not before."""
    early = asked(button("key"), on_off("y"), when="y or key").now(x="on", y="on")
    assert early.now(key="pressed").now(key="released").now(x="off").held_off("f")

    late = asked(button("key"), on_off("y"), when="y or key").now(x="on", y="on")
    assert late.now(key="pressed", x="off").acts("f")


def test_asking_need_not_be_able_to_act_yet() -> None:
    """docs/control.md: asked in D, it acts when Park comes."""
    told = asked(toggle("scene"), states("gear", "P", "D"), when="scene and gear == P")
    told.now(scene="on", gear="D").now(x="on").now(x="off").now(scene="off").now(scene="on")

    assert (told.acts("f"), told.held_off("f")) == (False, False)
    assert told.now(gear="P").acts("f")


def test_a_flip_to_off_asks_nothing() -> None:
    """docs/control.md: only to on."""
    assert asked(toggle("scene"), when="not scene").now(x="on").now(x="off").now(scene="on").now(scene="off").acts("f")
    told = asked(toggle("scene"), when="not scene").now(scene="on").now(x="on").now(x="off").now(scene="off")
    assert told.held_off("f")


def test_letting_go_of_a_button_asks_nothing() -> None:
    """docs/control.md: a press does."""
    told = asked(button("key"), when="not key").now(key="pressed").now(x="on").now(x="off").now(key="released")

    assert told.held_off("f")


def test_a_disconnect_turned_on_asks() -> None:
    """docs/control.md: like a flip to on."""
    told = asked(disconnect("main"), when="main").now(main="on").now(x="on").now(x="off")

    assert told.held_off("f")
    assert told.now(main="off").now(main="on").acts("f")


def test_its_own_control_asks_by_moving_to_a_level() -> None:
    """docs/control.md: to left or right, not to none."""
    told = asked(pick_one("arrow", "none", "left", "right"), by="arrow").now(arrow="left").now(x="on").now(x="off")

    assert told.held_off("f")
    assert not told.now(arrow="none").acts("f")
    assert told.now(arrow="right").acts("f")


def test_its_own_control_does_not_ask_by_moving_to_where_nothing_shows() -> None:
    """docs/control.md: moved to none, then lost, when it reads left: nobody asked for the arrow."""
    told = asked(pick_one("arrow", "none", "left", "right", lost="left"), by="arrow").now(arrow="left").now(x="on")

    assert told.now(x="off").now(arrow="none").now(arrow="lost").held_off("f")


def test_any_move_of_a_slide_that_only_its_when_reads_asks() -> None:
    """docs/control.md: also to off."""
    told = (
        asked(slide("slide", "off", "low", "full"), on_off("y"), when="slide >= low or y")
        .now(y="on")
        .now(x="on")
        .now(x="off")
    )

    assert told.held_off("f")
    assert told.now(slide="low").now(slide="off").acts("f")


def test_a_control_asks_through_words() -> None:
    """docs/control.md: read directly or through words, however deep, and inside a time."""
    words = {"wanted": "first 20 s of scene", "ready": "wanted and not y"}
    told = asked(toggle("scene"), on_off("y"), when="ready", words=words).now(scene="on").now(x="on").now(x="off")

    assert told.held_off("f")
    assert told.now(scene="off").now(scene="on").acts("f")


def test_a_control_it_does_not_read_asks_nothing() -> None:
    """docs/control.md: another button."""
    told = (
        asked(toggle("scene"), button("key"), when="scene").now(scene="on").now(x="on").now(x="off").now(key="pressed")
    )

    assert told.held_off("f")


def test_a_signal_never_asks() -> None:
    """docs/control.md: brake released and pressed again."""
    told = asked(on_off("y"), toggle("scene"), when="y or scene").now(y="on").now(x="on").now(x="off")

    assert told.now(y="off").now(y="on").held_off("f")


def test_through_memory_only_the_event_of_a_control_asks() -> None:
    """docs/control.md: a press that makes a move act asks, to the same value too; a condition's move does not."""
    moves = [{"on": "pressed key", "to": "b"}, {"on": "y", "to": "b"}]
    armed = memory("m", "a", "b", moves=moves)
    told = (
        asked(button("key"), on_off("y"), when="m == b", memories=[armed]).now(key="pressed").now(x="on").now(x="off")
    )

    assert told.held_off("f")
    assert told.now(y="on").held_off("f")
    assert told.now(key="released").now(key="pressed").acts("f")


def test_a_press_that_makes_no_move_act_asks_nothing() -> None:
    """docs/control.md: its `if` doesn't hold."""
    armed = memory("m", "b", "a", moves=[{"on": "pressed key", "if": "y", "to": "b"}])
    told = (
        asked(button("key"), on_off("y"), when="m == b", memories=[armed]).now(x="on").now(x="off").now(key="pressed")
    )

    assert told.held_off("f")


def test_what_moves_a_memory_read_by_that_memory_asks_nothing() -> None:
    """docs/control.md: the press moves `one`, a condition then moves `m`: nobody asked at m."""
    memories = [
        memory("one", "a", "b", moves=[{"on": "pressed key", "next": ["a", "b"]}]),
        memory("m", "a", "b", moves=[{"on": "one == b", "to": "b"}]),
    ]
    told = asked(button("key"), when="m == b", memories=memories).now(key="pressed").now(x="on").now(x="off")

    assert told.now(key="released").now(key="pressed").held_off("f")


@pytest.mark.parametrize("lost", ["on", "off"])
def test_loss_and_return_ask_nothing(lost: str) -> None:
    """docs/control.md: a toggle that is lost and comes back was not flipped."""
    told = asked(toggle("scene", lost=lost), when="scene").now(scene="on").now(x="on").now(x="off")

    assert told.now(scene="lost").now(scene="released").held_off("f")


def test_a_stop_that_is_on_at_power_up_holds_off() -> None:
    """docs/control.md: hold-offs are cleared, then the stop starts."""
    model = build(
        inputs=[on_off("x"), toggle("scene")],
        functions=[function("f", "task", "scene")],
        stops=[stop("s", "x", "f", resume="ask")],
    )

    assert Told(model, x="on", scene="on").now(x="off").held_off("f")


def test_every_stop_that_asks_has_to_be_over() -> None:
    """docs/control.md: asked while the second one still stands: ask again."""
    model = build(
        inputs=[on_off("x"), on_off("y"), toggle("scene")],
        functions=[function("f", "task", "scene")],
        stops=[stop("s", "x", "f", resume="ask"), stop("t", "y", "f", resume="ask")],
    )
    told = Told(model, scene="on").now(x="on", y="on").now(x="off").now(scene="off").now(scene="on").now(y="off")

    assert told.held_off("f")
    assert told.now(scene="off").now(scene="on").acts("f")


def test_a_stop_that_resumes_itself_does_not_delay_asking() -> None:
    """docs/control.md: asked while a plain stop stands: it acts when that one ends."""
    model = build(
        inputs=[on_off("x"), on_off("y"), toggle("scene")],
        functions=[function("f", "task", "scene")],
        stops=[stop("s", "x", "f", resume="ask"), stop("t", "y", "f")],
    )
    told = Told(model, scene="on").now(x="on", y="on").now(x="off").now(scene="off").now(scene="on")

    assert (told.acts("f"), told.held_off("f")) == (False, False)
    assert told.now(y="off").acts("f")


# ---- runs, interrupts, messages, tell-tales


def test_runs_add_up_and_an_interrupt_beats_a_run() -> None:
    """docs/control.md: two run the fan, one interrupts it; a stopped one does neither."""
    model = build(
        inputs=[on_off("a"), on_off("b"), on_off("c"), on_off("x")],
        functions=[
            function("f", "ease", "a", runs=["fan"]),
            function("g", "task", "b", runs=["fan"]),
            function("k", "ease", "c", interrupts=["fan"]),
        ],
        stops=[stop("s", "x", "k")],
        equipment=["fan"],
    )
    told = Told(model).now(a="on", b="on")

    assert told.now(a="off").outputs.runs == ("fan",)
    assert (told.now(c="on").outputs.runs, told.outputs.interrupts) == ((), ("fan",))
    assert (told.now(x="on").outputs.runs, told.outputs.interrupts) == (("fan",), ())


def test_messages_read_what_functions_do() -> None:
    """docs/control.md: said while the function waits to be asked again."""
    model = build(
        inputs=[on_off("x"), toggle("scene")],
        functions=[function("f", "task", "scene")],
        stops=[stop("s", "x", "f", resume="ask")],
        messages=[message("again", "f held-off"), message("on", "f active")],
    )
    told = Told(model).now(scene="on")

    assert told.outputs.messages == ("on",)
    assert told.now(x="on").outputs.messages == ()
    assert told.now(x="off").outputs.messages == ("again",)


def test_a_message_may_count_how_long_a_function_acts() -> None:
    """docs/control.md: timed conditions of messages and tell-tales may hold functions too."""
    model = build(
        inputs=[toggle("scene")],
        functions=[function("f", "task", "scene")],
        messages=[message("long", "(f active) held 10 s")],
    )
    told = Told(model).now(scene="on")

    assert told.wait(9999).outputs.messages == ()
    assert told.wait(1).outputs.messages == ("long",)


def test_a_tell_tale_follows_what_is_kept() -> None:
    """docs/control.md: also while the function it asks for is stopped or waits to be asked again."""
    told = asked(
        toggle("scene", tell_tale="follows"),
        pick_one("arrow", "none", "left", "right", tell_tale="picture"),
        when="scene",
    )
    told.now(scene="on", arrow="right")

    for settings in ({}, {"x": "on"}, {"x": "off"}):
        assert dict(told.now(**settings).outputs.tell_tales) == {"scene": "on", "arrow": "right"}


def test_a_tell_tale_may_be_a_condition() -> None:
    """docs/control.md: lit while the tone is its own."""
    tones = memory("tone", "standby", "wail", moves=[{"on": "pressed key", "next": ["wail", "standby"]}])
    told = Told(build(inputs=[button("key", tell_tale="tone == wail")], memories=[tones]))

    assert dict(told.outputs.tell_tales) == {"key": "off"}
    assert dict(told.now(key="pressed").outputs.tell_tales) == {"key": "on"}


# ---- laws


@given(st.data())
def test_a_held_off_function_shows_nothing_until_a_hand_asks(data: st.DataObject) -> None:
    """Law: from one step to the next a function comes out of its hold-off only when a control was touched."""
    model = data.draw(models(focus="hold-offs"))
    machine = build_machine(model)
    state, outputs = power_up(machine, start_inputs(machine, {})[0])
    for change in data.draw(stories(model, still=True)):
        now = standing(model, change)
        waited, _ = step(machine, state, state.inputs, change.elapsed_ms)
        assert waited.held_off & state.held_off == state.held_off  # time alone asks nothing
        state, outputs = step(machine, waited, now, 0)
        touched = any(
            item.is_control and now.values[place] != waited.inputs.values[place]
            for place, item in enumerate(model.inputs)
        )
        assert touched or state.held_off & waited.held_off == waited.held_off
        assert set(outputs.held_off).isdisjoint(outputs.active)
        assert outputs_of(machine, state).active == outputs.active
