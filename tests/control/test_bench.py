"""The bench list: what is expected is what the machine does, all is shown, and no step is there for nothing."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachwright.build.condition import First, FunctionState
from coachwright.build.model import Model, Situation
from coachwright.control.bench import Listed, bench
from coachwright.control.bench_asked import Moments, relevant_inputs
from coachwright.control.bench_find import Finder
from coachwright.control.bench_leaves import every_written, leaves, turned_over
from coachwright.control.bench_seen import Eyes, Sight
from coachwright.control.bench_sheet import sheet
from coachwright.control.bench_walk import Walker
from coachwright.control.machine import build_machine, outputs_of
from coachwright.control.mutation_study import looks, tape, wired
from coachwright.control.situations import settle
from tests.control import by_hand
from tests.control.by_hand import build, function, limit, memory, message, show, situation, stop
from tests.control.machines import models, stories

SOUNDS = {"main-siren": "tone"}


@lru_cache
def small() -> Model:
    """A little vehicle with a lever, a brake, a siren with a memory, a timer, a stop that asks and a limit."""
    return build(
        inputs=[
            by_hand.slide("slide", "off", "low", "full"),
            by_hand.pick_one("arrow", "none", "left", "right"),
            by_hand.toggle("scene"),
            by_hand.button("key"),
            by_hand.on_off("brake", hand="foot"),
            by_hand.states("gear", "P", "D"),
            by_hand.on_off("headlamps"),
        ],
        heads=["front", "left", "right", "tail"],
        words={"parked": "gear == P", "night": "headlamps held 3 s"},
        memories=[
            memory(
                "tone",
                "standby",
                "wail",
                moves=[
                    {"on": "becomes parked", "to": "standby"},
                    {"on": "pressed key", "if": "not parked", "to": "wail"},
                ],
            )
        ],
        functions=[
            function(
                "warning",
                "warn",
                by="slide",
                at_most={"low": "parked"},
                levels={
                    "low": [show("tail", red="single sides")],
                    "full": [show("front", "left", "right", red="double sides", white="single other-sides")],
                },
            ),
            function("scene-on", "task", "scene and parked", show=show("left", "right", white="steady")),
            function(
                "arrow-run",
                "traffic",
                by="arrow",
                one_level=True,
                levels={"left": [show("tail", amber="run-left")], "right": [show("tail", amber="run-right")]},
            ),
            function("brake-shows", "road", "brake and not parked", show=show("tail", red="steady")),
            function("siren", "warn", "tone != standby and slide == full", sound=SOUNDS),
        ],
        stops=[stop("moving", "not parked", "arrow-run", resume="ask")],
        limits=[limit("dim", "night", 0.4, "warn")],
        messages=[message("again", "arrow-run held-off")],
        equipment=["main-siren"],
        situations=[
            situation("answering", {"tone": "wail"}, slide="full", gear="D"),
            situation("parked-up", slide="low"),
        ],
    )


@lru_cache
def small_list() -> Listed:
    """Its list."""
    return bench(small())


def test_every_expectation_is_what_the_machine_puts_out() -> None:
    """Law: done act for act on a fresh machine, each look sees what the step says."""
    moments = Moments(small())
    marks = tape(moments.machine, [(step.from_power_up, step.acts) for step in small_list().steps])

    assert list(looks(wired(moments), marks)) == [step.seen for step in small_list().steps]


def test_everything_asked_is_shown_or_told_to_be_missing() -> None:
    """Law: no third case, and nothing is both."""
    listed = small_list()
    shown = {listed.asked[place] for step in listed.steps for place in step.shows}
    missing = {each.asked for each in listed.missing}

    assert shown | missing == set(listed.asked)
    assert not shown & missing


def test_every_step_shows_something_that_no_other_shows() -> None:
    """Law: without any one step something isn't seen any more."""
    listed = small_list()

    for step in listed.steps:
        others = {place for other in listed.steps if other is not step for place in other.shows}
        assert set(step.shows) - others


def test_the_same_file_gives_the_same_list() -> None:
    """Law: orders are drawn with a seed, budgets are counts."""
    assert bench(replace(small())) == small_list()


def test_the_bounds_hold() -> None:
    """Law: no bound is above what was found."""
    listed = small_list()

    assert listed.least_n <= listed.least_of_pool_n <= len(listed.steps)
    assert listed.least_moves <= listed.order_moves + 1e-9


def test_situations_are_steps_of_their_own() -> None:
    """Case: both situations stand on the list, exactly as they are judged."""
    steps = {step.situation: step for step in sheet(small(), small_list()).steps if step.situation}

    assert set(steps) == {"answering", "parked-up"}
    machine = build_machine(small())
    for name, step in steps.items():
        outputs = settle(machine, small().situation(name)).outputs
        assert small_list().steps[step.number - 1].seen == Eyes(small()).seen(outputs)


def test_what_runs_out_is_looked_at_right_away() -> None:
    """Case: before three seconds of headlamps are over there is no dimming, and the step says how long one may look."""
    listed = small_list()
    running = next(n for n, asked in enumerate(listed.asked) if asked.text.endswith("decides while running"))
    (step,) = [step for step in listed.steps if running in step.shows][:1]

    assert "headlamps held 3 s" in listed.asked[running].text
    assert step.acts[-1].name
    assert 0 < step.look_within_ms <= 3000


def test_a_hold_off_is_walked_to() -> None:
    """Case: the arrow waits to be asked again only after a drive; the list drives, comes back and sees the message."""
    listed = small_list()
    steps = [step for step in listed.steps if Sight("message", "again", "is said") in step.seen]

    assert steps
    assert all("arrow-run" in step.place.held_off for step in steps)


@pytest.mark.parametrize("case", ["true", "false"])
def test_a_leaf_decides_on_the_machine_itself(case: str) -> None:
    """Law: at the step that shows it, a build with this leaf turned over puts something else out.

    Asked of leaves outside of timers and hold-offs, on two machines that are set, not walked.
    """
    model, listed = small(), small_list()
    checked_n = 0
    for written in every_written(model):
        if written.section in ("messages", "stops"):
            continue
        for leaf in leaves(model, written):
            if leaf.within or "held" in leaf.text(model):
                continue
            number = next(
                (n for n, each in enumerate(listed.asked) if each.text == f"{leaf.text(model)} decides while {case}"),
                -1,
            )
            for step in listed.steps:
                if number in step.shows and step.place.calm and not step.place.held_off:
                    assert seen_at(model, step.place.reads, step.place.memory) == step.seen
                    changed = replace(turned_over(model, leaf), digest="")
                    assert seen_at(changed, step.place.reads, step.place.memory) != step.seen, leaf.text(model)
                    checked_n += 1
    assert checked_n >= 4


def seen_at(model: Model, reads: tuple[tuple[str, int], ...], stands: tuple[tuple[str, str], ...]) -> frozenset[Sight]:
    """What is seen where these inputs are set and memory is laid in."""
    set_so = tuple((name, model.input(name).values[place]) for name, place in reads)
    settled = settle(build_machine(model), Situation("set", set_so, stands, "", 0.0, ""))
    return Eyes(model).seen(settled.outputs)


def test_a_leaf_that_never_decides_is_proved_to() -> None:
    """Case by hand: in `a or (a and b)` b never matters, whatever is set."""
    model = build(
        inputs=[by_hand.on_off("a"), by_hand.on_off("b")],
        heads=["h"],
        functions=[function("f", "warn", "a or (a and b)", show=show("h", red="single"))],
    )
    missing = {each.asked.text: each for each in bench(model).missing}

    assert missing["b in functions.f.when decides while true"].proved
    assert missing["b in functions.f.when decides while false"].proved


def test_a_list_worked_by_hand() -> None:
    """Case by hand: `a and b` needs three looks (both, and each alone missing), in four moves from rest at most.

    off/on, on/on, on/off is the row of modified condition/decision coverage for a conjunction of two.
    """
    model = build(
        inputs=[by_hand.on_off("a"), by_hand.on_off("b")],
        heads=["h"],
        functions=[function("f", "warn", "a and b", show=show("h", red="single"))],
    )
    listed = bench(model)

    assert [sorted(dict(step.place.reads).values()) for step in listed.steps] in ([[0, 1], [1, 1], [0, 1]],)
    assert listed.moves_n == 3
    assert listed.least_n == len(listed.steps) == 3
    assert not listed.missing


@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=25)
@given(st.data())
def test_the_circuit_sees_what_the_machine_shows(data: st.DataObject) -> None:
    """Law: along random stories of random builds, the sights that are true in the circuit are those of the machine."""
    model = data.draw(models())
    moments = Moments(model)
    finder = Finder(moments, ())
    walker = Walker(moments, relevant_inputs(model))
    told = by_hand.Told(model)
    for change in data.draw(stories(model, still=True, most_steps=4)):
        told.after(change.elapsed_ms, **{n.replace("-", "_"): v for n, v in change.sources.items() if v != "off"})
        if told.outputs.restless or any(head.ambiguous for head in told.outputs.heads):
            break
        place = walker.stands(told.state)
        if not _at_rest(told, model):
            continue
        true = moments.circuit.evaluate(list(moments.sights.values()), finder.values(place))
        seen = {sight for sight, now in zip(moments.sights, true, strict=True) if now}
        shown = moments.eyes.seen(outputs_of(moments.machine, told.state))
        assert {sight.undimmed for sight in seen} == {sight.undimmed for sight in shown}
        assert shown <= seen


def _at_rest(told: by_hand.Told, model: Model) -> bool:
    """The moment's inputs say all only where no event and no debounce is under way."""
    return not told.state.reading.settling and all(item.kind != "turn-wire" for item in model.inputs)


def test_a_message_that_times_a_hold_off_has_a_list() -> None:
    """Case: a time that is measured of a function counts once functions are known, after the memories of the moment."""
    model = build(
        inputs=[by_hand.pick_one("arrow", "none", "left"), by_hand.states("gear", "P", "D"), by_hand.button("key")],
        heads=["tail"],
        memories=[memory("m", "a", "b", moves=[{"on": "pressed key", "next": ["a", "b"]}])],
        functions=[
            function("run", "traffic", by="arrow", levels={"left": [show("tail", amber="single")]}),
            function("lit", "task", "m == b", show=show("tail", white="steady")),
        ],
        stops=[stop("moving", "gear == D", "run", resume="ask")],
        messages=[message("again", First(FunctionState("run", "held-off"), 2000))],
    )
    listed = bench(model)

    assert Sight("message", "again", "is said") in {sight for step in listed.steps for sight in step.seen}
