"""What the controller reads at each input: docs/control.md, "Controls" to "Power-up, supply and sleep"."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.machine import build_machine, changed_inputs, power_up, start_inputs, step, values_read
from coachwright.control.sources import Fault
from tests.control.by_hand import (
    Told,
    build,
    button,
    disconnect,
    function,
    memory,
    number,
    on_off,
    pick_one,
    show,
    slide,
    states,
    toggle,
)
from tests.control.machines import inputs_of, models, stories


def counting(*inputs: object, on: str) -> Told:
    """A vehicle whose memory `seen` goes round one, two, three at every `on`."""
    model = build(
        inputs=inputs,  # type: ignore[arg-type]
        memories=[
            memory("seen", "none", "one", "two", "three", moves=[{"on": on, "next": ["none", "one", "two", "three"]}])
        ],
    )
    return Told(model)


# ---- controls


def test_a_slide_reads_its_lever_at_power_up() -> None:
    """docs/control.md: a slide has no start of its own."""
    assert (
        Told(build(inputs=[slide("slide", "off", "low", "full", start="off")]), slide="full").reads("slide") == "full"
    )


def test_a_push_flips_what_a_toggle_keeps() -> None:
    """docs/control.md: a toggle keeps a value; each push flips it, letting go does nothing."""
    told = Told(build(inputs=[toggle("scene")]))

    assert told.reads("scene") == "off"
    assert told.now(scene="pressed").reads("scene") == "on"
    assert told.after(5000, scene="released").reads("scene") == "on"
    assert told.after(1, scene="pressed").reads("scene") == "off"


def test_a_button_is_on_while_it_is_held() -> None:
    """docs/control.md: true while held, also when it is held at power-up."""
    told = Told(build(inputs=[button("ring")]), ring="pressed")

    assert told.reads("ring") == "on"
    assert told.now(ring="released").reads("ring") == "off"


def test_a_pick_one_reads_its_start_until_it_is_moved() -> None:
    """docs/control.md: power comes back with the lever at left, and no arrow shows until somebody chooses it again."""
    model = build(inputs=[pick_one("arrow", "none", "left", "right", start="none"), on_off("belt")])
    machine = build_machine(model)
    inputs, _ = start_inputs(machine, {"arrow": "left"})
    state, _ = power_up(machine, inputs)

    assert values_read(machine, state)["arrow"] == "none"
    state, _ = step(machine, state, changed_inputs(machine, state, {"belt": "on"}), 1000)
    assert values_read(machine, state)["arrow"] == "none"
    state, _ = step(machine, state, changed_inputs(machine, state, {"arrow": "right"}), 1000)
    assert values_read(machine, state)["arrow"] == "right"


def test_start_names_the_kept_value() -> None:
    """docs/control.md: `start` is what a toggle keeps at power-up; `last` is off for a machine that never ran."""
    machine = build_machine(build(inputs=[toggle("a", start="on"), toggle("b", start="last"), toggle("c")]))
    state, _ = power_up(machine, start_inputs(machine, {})[0])

    assert values_read(machine, state) == {"a": "on", "b": "off", "c": "off"}


def test_a_disconnect_reads_its_lever() -> None:
    """docs/control.md: a rotary disconnect stands where it stands."""
    assert Told(build(inputs=[disconnect("main")]), main="on").reads("main") == "on"


# ---- events


@pytest.mark.parametrize("control", [toggle("key"), button("key")], ids=["toggle", "button"])
def test_press_and_release_fire_once_each(control: object) -> None:
    """docs/control.md: `pressed` in the step of the push, `released` in the step of letting go, nothing in between."""
    pressed, released = counting(control, on="pressed key"), counting(control, on="released key")
    for told in (pressed, released):
        told.now(key="pressed").wait(1000)
    assert (pressed.memory("seen"), released.memory("seen")) == ("one", "none")
    for told in (pressed, released):
        told.after(10, key="released").wait(10)
    assert (pressed.memory("seen"), released.memory("seen")) == ("one", "one")


def test_leaves_fires_when_the_position_is_left() -> None:
    """docs/control.md: `slide leaves full` is the step from full to anything else."""
    told = counting(slide("slide", "off", "low", "full"), on="slide leaves full")

    assert told.now(slide="full").memory("seen") == "none"
    assert told.after(1, slide="low").memory("seen") == "one"
    assert told.after(1, slide="off").memory("seen") == "one"


def test_a_lever_moved_to_where_it_reads_already_leaves_nothing() -> None:
    """docs/control.md: a pick-one that begins at none, its lever at left; moved to none it reads none all the time."""
    told = counting(pick_one("arrow", "none", "left", start="none"), on="arrow leaves none")
    machine = told.machine
    inputs, _ = start_inputs(machine, {"arrow": "left"})
    told.state, told.outputs = power_up(machine, inputs)
    told.true = inputs

    assert told.after(5, arrow="none").memory("seen") == "none"
    assert told.after(5, arrow="left").memory("seen") == "one"


def test_power_up_fires_nothing() -> None:
    """docs/control.md: a button held and a condition true at power-up are no events."""
    model = build(
        inputs=[button("key")],
        memories=[
            memory(
                "seen", "none", "one", moves=[{"on": "pressed key", "to": "one"}, {"on": "becomes key", "to": "one"}]
            )
        ],
    )

    assert Told(model, key="pressed").wait(1000).memory("seen") == "none"


# ---- debounce


def test_a_level_is_read_once_it_has_stood_for_its_debounce_time() -> None:
    """docs/control.md: at 20 ms, not at 19, and the push it makes fires then."""
    told = counting(button("key", debounce_ms=20), on="pressed key")
    told.now(key="pressed")

    assert (told.wait(19).reads("key"), told.memory("seen")) == ("off", "none")
    assert (told.wait(1).reads("key"), told.memory("seen")) == ("on", "one")


def test_a_level_that_does_not_stand_is_not_read() -> None:
    """docs/control.md: a bounce starts the time again."""
    told = Told(build(inputs=[on_off("brake", debounce_ms=20)]))

    assert told.now(brake="on").after(19, brake="off").after(1, brake="on").wait(19).reads("brake") == "off"
    assert told.wait(1).reads("brake") == "on"


def test_a_third_level_starts_the_time_again() -> None:
    """docs/control.md: P, then N for 15 ms, then D: D has to stand 20 ms itself."""
    told = Told(build(inputs=[states("gear", "P", "N", "D", debounce_ms=20)]))

    assert told.now(gear="N").after(15, gear="D").wait(19).reads("gear") == "P"
    assert told.wait(1).reads("gear") == "D"


def test_a_number_is_read_as_it_comes() -> None:
    """docs/control.md: a number never stands still, so debounce does not hold it back."""
    assert Told(build(inputs=[number("speed", debounce_ms=50)])).now(speed=3.0).reads("speed") == 3.0


def test_at_power_up_a_level_is_read_at_once() -> None:
    """docs/control.md: nothing was read before, so there is nothing to wait for."""
    assert Told(build(inputs=[on_off("brake", debounce_ms=20)]), brake="on").reads("brake") == "on"


# ---- lost


@pytest.mark.parametrize(
    ("control", "set_to", "read"),
    [
        (slide("x", "off", "low", "full"), "full", "full"),
        (slide("x", "off", "low", "full", lost="low"), "full", "low"),
        (pick_one("x", "none", "left"), "left", "left"),
        (button("x"), "pressed", "off"),
        (button("x", lost="hold"), "pressed", "on"),
        (states("x", "closed", "open"), "open", "open"),
        (states("x", "closed", "open", lost="closed"), "open", "closed"),
        (on_off("x", lost="on"), "off", "on"),
        (number("x"), 7.0, 7.0),
        (number("x", lost=2.0), 7.0, 2.0),
    ],
)
def test_a_lost_source_reads_its_lost_value(control: object, set_to: object, read: object) -> None:
    """docs/control.md: a value, or `hold`: the last value read before the loss, whatever the source does meanwhile."""
    told = Told(build(inputs=[control])).now(x=set_to)  # type: ignore[list-item]

    assert told.after(10, x="lost").reads("x") == read
    assert told.wait(60_000).reads("x") == read


def test_a_lost_toggle_keeps_its_value_and_shows_it_again() -> None:
    """docs/control.md: lost it reads off and a push is not seen; back it reads what it kept."""
    told = Told(build(inputs=[toggle("scene", tell_tale="follows")])).now(scene="on")

    assert told.now(scene="lost").reads("scene") == "off"
    assert dict(told.outputs.tell_tales) == {"scene": "on"}
    assert told.after(10, scene="released").reads("scene") == "on"


def test_a_push_during_the_loss_is_not_seen() -> None:
    """docs/control.md: the finger came down while the wire was off; it flips nothing, then or later."""
    told = Told(build(inputs=[toggle("scene")])).now(scene="lost")
    told.true = replace(told.true, values=(1,))
    told.wait(10)
    told.true = replace(told.true, lost=frozenset())
    told.wait(10)

    assert told.reads("scene") == "off"


@pytest.mark.parametrize("on", ["pressed key", "released key", "slide leaves full"])
def test_loss_and_return_are_no_press_release_or_leave(on: str) -> None:
    """docs/control.md: a button lost while held, a slide that reads low while lost: no event of a hand."""
    told = counting(slide("slide", "off", "low", "full", lost="low"), button("key"), on=on)
    told.now(slide="full", key="pressed")
    before = told.memory("seen")
    told.after(10, slide="lost", key="lost").after(10, slide="off", key="released")

    assert told.memory("seen") == before


def test_loss_and_return_fire_becomes() -> None:
    """docs/control.md: a lost hatch reads closed, and `becomes` is true of that as of any other change."""
    told = counting(states("hatch", "closed", "open", lost="closed"), on="becomes (hatch == closed)")

    assert told.now(hatch="open").memory("seen") == "none"
    assert told.after(5, hatch="lost").memory("seen") == "one"
    told.after(5, hatch="open")
    assert told.after(5, hatch="closed").memory("seen") == "two"


def test_what_was_never_read_holds_its_rest() -> None:
    """docs/control.md: a gear lost at power-up with `hold` reads what it has at rest."""
    assert Told(build(inputs=[states("gear", "P", "D")]), gear="lost").reads("gear") == "P"


def test_a_pick_one_that_comes_back_reads_its_lever() -> None:
    """docs/control.md: moved while it was lost; back it reads where it stands."""
    told = Told(build(inputs=[pick_one("arrow", "none", "left", "right")])).now(arrow="left").now(arrow="lost")

    assert told.now(arrow="right").reads("arrow") == "right"


def test_a_lost_gear_reads_p_while_the_vehicle_stands() -> None:
    """docs/control.md: P-unless-moving is P at speed 0, else the last gear read; moving on gives D again."""
    gear = states("gear", "P", "R", "D", lost="P-unless-moving")
    told = Told(build(inputs=[gear, number("speed")]), gear="D", speed=10.0)

    assert told.now(gear="lost").reads("gear") == "D"
    assert told.now(speed=0.0).reads("gear") == "P"
    assert told.now(speed=0.1).reads("gear") == "D"


def test_a_held_gear_stays_where_it_was() -> None:
    """docs/control.md: `hold` keeps D also at standstill: a brake lamp gated by not-parked keeps burning."""
    told = Told(build(inputs=[states("gear", "P", "R", "D"), number("speed")]), gear="D", speed=10.0)

    assert told.now(gear="lost").now(speed=0.0).reads("gear") == "D"


def test_p_unless_moving_reads_the_speed_as_it_is_read() -> None:
    """docs/control.md: with the speed lost too it holds its last value, and the gear follows that."""
    gear = states("gear", "P", "R", "D", lost="P-unless-moving")
    told = Told(build(inputs=[gear, number("speed")]), gear="D", speed=10.0)

    assert told.now(gear="lost", speed="lost").now().reads("gear") == "D"


# ---- sleep


def test_asleep_a_control_reads_off_unless_it_says_as_is() -> None:
    """docs/control.md: `asleep: reads-off` is the default; signals are read as they are."""
    told = Told(
        build(inputs=[slide("slide", "off", "full"), slide("beacon", "off", "full", asleep="as-is"), on_off("belt")]),
        slide="full",
        beacon="full",
        belt="on",
    ).after(10, asleep=True)

    assert (told.reads("slide"), told.reads("beacon"), told.reads("belt")) == ("off", "full", "on")
    assert told.after(10, asleep=False).reads("slide") == "full"


def test_asleep_timed_conditions_stand_still() -> None:
    """docs/control.md: 2 s of the 3 s have passed when it falls asleep; an hour later 1 s is still to go."""
    told = Told(build(inputs=[on_off("lamps")], functions=[function("f", when="lamps held 3 s")]), lamps="on")
    told.after(2000, asleep=True).after(3_600_000, asleep=False)

    assert not told.wait(999).acts("f")
    assert told.wait(1).acts("f")


def test_asleep_functions_work_on_what_is_read() -> None:
    """docs/control.md: asleep the step does all it does awake: a hatch that opens darkens its lamp."""
    model = build(
        inputs=[states("hatch", "closed", "open", debounce_ms=10)],
        heads=["bar"],
        functions=[function("dark", "open", "hatch == open", show=show("bar", dark=True))],
    )
    told = Told(model).after(10, asleep=True)

    assert told.after(10, hatch="open").wait(10).owners("bar") == ("dark",)  # debounce goes on: it belongs to reading


def test_falling_asleep_and_waking_are_no_push_and_no_move() -> None:
    """docs/control.md: the slide reads off asleep, and that is no `leaves`."""
    told = counting(slide("slide", "off", "full"), on="slide leaves full").now(slide="full")

    assert told.after(5, asleep=True).after(5, asleep=False).memory("seen") == "none"
    assert told.after(5, slide="off").memory("seen") == "one"


# ---- supply


CRANKED = [
    toggle("scene"),
    toggle("cruise", start="last"),
    states("ignition", "run", "crank"),
    number("supply", "voltage", rest=13.8),
    button("key"),
]


def cranked(least_supply_v: float) -> Told:
    """A vehicle with something switched on, a memory set and a timer run out."""
    model = build(
        inputs=CRANKED,
        memories=[memory("seen", "none", "one", moves=[{"on": "pressed key", "to": "one"}])],
        functions=[function("long", when="scene held 1 s")],
        least_supply_v=least_supply_v,
    )
    return Told(model).now(scene="on", cruise="on", key="pressed").wait(5000)


def test_crank_changes_nothing_while_the_supply_holds() -> None:
    """docs/control.md: 9.5 V while cranking is enough for a controller that needs 9 V."""
    told = cranked(9.0).after(10, ignition="crank", supply=9.5).after(800, ignition="run", supply=13.8)

    assert (told.reads("scene"), told.memory("seen"), told.acts("long")) == ("on", "one", True)


def test_a_supply_under_the_least_is_a_power_up() -> None:
    """docs/control.md: 8 V for a controller that needs 9 V: memory at start, toggles at theirs, `last` as it was."""
    told = cranked(9.0).after(10, ignition="crank", supply=8.0)

    assert (told.reads("scene"), told.reads("cruise"), told.memory("seen")) == ("off", "on", "none")
    told.after(800, ignition="run", supply=13.8)
    assert (told.reads("scene"), told.reads("cruise"), told.memory("seen"), told.acts("long")) == (
        "off",
        "on",
        "none",
        False,
    )


def test_under_the_least_supply_no_time_passes() -> None:
    """docs/control.md: timers are 0 until the supply is back, and its return fires nothing."""
    model = build(
        inputs=CRANKED,
        memories=[memory("seen", "none", "one", moves=[{"on": "pressed key", "to": "one"}])],
        functions=[function("f", when="ignition == crank held 1 s")],
        least_supply_v=9.0,
    )
    told = Told(model).after(10, ignition="crank", supply=8.0).wait(5000)

    assert not told.acts("f")
    told.after(10, supply=13.8, key="pressed")
    assert (told.memory("seen"), told.wait(999).acts("f"), told.wait(1).acts("f")) == ("none", False, True)


def test_a_fault_of_the_supply_signal_takes_no_power_away() -> None:
    """docs/control.md: what the wire tells is not what the controller is fed with."""
    told = cranked(9.0)
    told.after(10, faults=[Fault("supply", 5.0)])

    assert told.memory("seen") == "one"
    assert told.reads("supply") == 5.0


# ---- faults


@pytest.mark.parametrize(
    ("control", "fault", "told_true", "read"),
    [
        (on_off("x"), "off", "on", "off"),
        (on_off("x"), "on", "off", "on"),
        (states("x", "P", "R", "D"), "R", "D", "R"),
        (button("x"), "pressed", "released", "on"),
        (on_off("x", lost="on"), "lost", "off", "on"),
        (number("x"), 12.0, 3.0, 12.0),
    ],
)
def test_a_stuck_source_tells_its_own_story(control: object, fault: object, told_true: object, read: object) -> None:
    """docs/control.md: faults are applied to the sources, before loss and debounce."""
    told = Told(build(inputs=[control]))  # type: ignore[list-item]

    assert told.after(10, faults=[Fault("x", fault)], x=told_true).reads("x") == read  # type: ignore[arg-type]


def test_a_toggle_stuck_pressed_flips_once() -> None:
    """docs/control.md: its contact closes once and never opens."""
    told = Told(build(inputs=[toggle("x")]))
    stuck = [Fault("x", "pressed")]

    assert told.after(10, faults=stuck).reads("x") == "on"
    assert told.after(10, faults=stuck, x="released").after(10, faults=stuck, x="pressed").reads("x") == "on"


@given(st.data())
def test_nothing_is_read_that_was_never_written(data: st.DataObject) -> None:
    """Law: an input always reads one of its values, whatever is lost, asleep or bouncing."""
    model = data.draw(models(focus="reading"))
    machine = build_machine(model)
    state, _ = power_up(machine, start_inputs(machine, {})[0])
    for change in data.draw(stories(model)):
        inputs = changed_inputs(machine, state, {**change.sources, **dict.fromkeys(change.lost, "lost")})
        state, _ = step(machine, state, replace(inputs, asleep=change.asleep), change.elapsed_ms)
        for item in inputs_of("reading"):
            value = values_read(machine, state)[item.name]
            assert value in item.values if item.values else isinstance(value, float)
