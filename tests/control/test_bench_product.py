"""Two builds side by side as one: what is proved alike never differs, and a story of a difference shows it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, reject, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.acted import Acted
from coachwright.control.bench_asked import Moments
from coachwright.control.bench_closed import closed_bench
from coachwright.control.bench_product import Product, never_apart
from coachwright.control.bench_seen import Sight
from coachwright.control.bench_sheet import sheet
from coachwright.control.bench_twins import TWIN, twins
from coachwright.control.machine import State, changed_inputs, instants, outputs_at, power_up, start_inputs
from coachwright.control.mutation_study import Wired, looks, wired
from coachwright.control.mutations import Mutation, mutations
from coachwright.control.sources import let_go
from tests.control import by_hand
from tests.control.by_hand import build, function, memory, show, stop
from tests.control.machines import models, stories
from tests.control.test_bench_together import tape_of


def wrong_of(model: Model, kind: str, text: str) -> list[Mutation]:
    """The mistakes of a kind whose text begins so."""
    return [
        each
        for each in mutations(model, Moments(model).moment.inputs)
        if each.kind == kind and each.text.startswith(text)
    ]


@pytest.mark.slow
@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much], max_examples=12)
@given(st.data())
def test_what_is_proved_alike_never_differs(data: st.DataObject) -> None:
    """Law: no random story (losses and sleep too) of a random build tells a mistake that is proved to be none."""
    model = data.draw(models())
    moments = Moments(model)
    wrong = [each for each in mutations(model, moments.moment.inputs) if not each.exchanged]
    assume(wrong)
    story = data.draw(stories(model, most_steps=12))
    marks = tape_of(model, moments, story)
    expected = list(looks(wired(moments), marks))
    for mutation in data.draw(st.lists(st.sampled_from(wrong), min_size=1, max_size=3, unique_by=id)):
        try:
            alike = bool(Product(model, moments.eyes, mutation).never_apart())
        except ValueError:
            continue
        if alike:
            assert list(looks(wired(moments, mutation), marks)) == expected, (mutation.kind, mutation.text)


@pytest.mark.slow
@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much], max_examples=8)
@given(st.data())
def test_a_story_of_a_difference_shows_it_on_two_machines(data: st.DataObject) -> None:
    """Law: done on the right machine and on the wrong one, each by itself, something is seen otherwise on the way."""
    model = data.draw(models(one_per_rank=True, most_functions=3))
    moments = Moments(model)
    wrong = [each for each in mutations(model, moments.moment.inputs) if not each.exchanged and not each.stuck]
    assume(wrong)
    mutation = data.draw(st.sampled_from(wrong))
    try:
        decided = Product(model, moments.eyes, mutation).decided()
    except ValueError:  # memories that may go round are not asked so
        reject()
    if decided.story is not None:
        one, other = (_seen_on_the_way(each, decided.story) for each in (wired(moments), wired(moments, mutation)))
        assert one != other


def _seen_on_the_way(machine: Wired, story: Acted) -> list[frozenset[Sight]]:
    """What is seen in every moment of a story, each once in a row."""
    inputs, kept = start_inputs(machine.machine, dict(story.start))
    state, _ = power_up(machine.machine, machine.reads(inputs), kept=kept)
    seen: list[frozenset[Sight]] = []

    def go(state: State, now: object, elapsed_ms: int) -> State:
        for instant in instants(machine.machine, state, now, elapsed_ms):  # type: ignore[arg-type]
            looked = machine.eyes.seen(outputs_at(machine.machine, instant))
            if not seen or seen[-1] != looked:
                seen.append(looked)
            state = instant.state
        return state

    true = inputs
    state = go(state, machine.reads(true), 0)
    for act in story.acts:
        if not act.settings:
            state = go(state, machine.reads(true), act.wait_ms)
            continue
        true = let_go(machine.machine.inputs, true)
        state = go(state, machine.reads(true), 0)
        true = changed_inputs(machine.machine, replace(state, inputs=true), dict(act.settings))
        state = go(state, machine.reads(true), 0)
        settle_ms = max((left_ms for _, _, left_ms in state.reading.settling), default=0)
        state = go(state, machine.reads(true), settle_ms)
    return seen


def idle() -> Model:
    """A memory that a mistake takes through one value more within a moment, and a time measured from that value."""
    return build(
        inputs=[by_hand.on_off("brake"), by_hand.on_off("key-in"), by_hand.button("arm")],
        heads=["h"],
        memories=[
            memory(
                "idle",
                "off",
                "armed",
                "killed",
                moves=[
                    {"on": "brake", "if": "idle == armed and not key-in", "to": "killed"},
                    {"on": "key-in and brake", "to": "off"},
                    {"on": "pressed arm", "if": "not brake", "to": "armed"},
                ],
            )
        ],
        functions=[function("kill", "task", "first 3 s of idle == killed", show=show("h", red="single"))],
    )


def test_a_value_passed_through_within_a_moment_starts_no_time() -> None:
    """Case by hand: with `not key-in` dropped the memory goes armed, killed, off in one moment: nobody ever sees it.

    Dropped the other condition, it goes to killed without having been armed.
    """
    dropped = wrong_of(idle(), "condition dropped", "idle == armed and not key-in")

    assert [bool(never_apart(idle(), each)) for each in dropped] == [False, True]


def test_memories_that_may_go_round_are_not_proved_side_by_side() -> None:
    """Case by hand: x takes the press on n back, unless m moves with it; then the light goes on for 3 s.

    With a condition of its dropped m moves with every press. Nobody looks at m, and yet the light tells.
    """
    model = build(
        inputs=[by_hand.button("key"), by_hand.on_off("x"), by_hand.on_off("y")],
        heads=["h"],
        memories=[
            memory("n", "a", "b", moves=[{"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}]),
            memory(
                "m", "a", "b", moves=[{"on": "pressed key", "if": "y and key", "to": "b"}, {"on": "not key", "to": "a"}]
            ),
        ],
        functions=[function("f", "task", "n == b plus 3 s", show=show("h", red="single"))],
    )

    dropped, _ = wrong_of(model, "condition dropped", "y and key")

    assert not never_apart(model, dropped)
    with pytest.raises(ValueError, match="go round"):
        Product(model, Moments(model).eyes, dropped)


def test_a_difference_needs_its_shortest_story() -> None:
    """Case by hand: at 11.8 V `<` and `<=` differ, and it shows once the lamp is asked for and the time is over."""
    model = build(
        inputs=[by_hand.number("supply", "voltage", rest=13.0), by_hand.toggle("lamp")],
        heads=["h"],
        memories=[
            memory(
                "stage",
                "full",
                "low",
                moves=[
                    {"on": "supply < 11.8 V held 1 min", "to": "low"},
                    {"on": "supply > 13.2 V held 1 min", "to": "full"},
                ],
            )
        ],
        functions=[function("f", "task", "lamp and supply > 13 V", show=show("h", white="steady"))],
        stops=[stop("save", "stage == low", "f")],
    )
    (wrong,) = wrong_of(model, "limit of a comparison", "supply < 11.8 V")
    decided = Product(model, Moments(model).eyes, wrong).decided()

    assert decided.ends == "different"
    assert decided.story is not None
    said = decided.story.lines
    assert said[:2] == ("power-up with supply 11.8 V and lamp on", "wait 1 min")
    assert said[2].startswith("supply ")
    assert len(said) == 3


def test_only_what_a_mistake_reaches_stands_twice() -> None:
    """Case by hand: of two memories and two heads one each; the function that reads the other memory serves both."""
    model = build(
        inputs=[by_hand.on_off("a"), by_hand.on_off("b")],
        heads=["one", "two"],
        memories=[
            memory("m", "x", "y", moves=[{"on": "a", "to": "y"}, {"on": "not a", "to": "x"}]),
            memory("n", "x", "y", moves=[{"on": "b", "to": "y"}, {"on": "not b", "to": "x"}]),
        ],
        functions=[
            function("f", "warn", "m == y", show=show("one", red="single")),
            function("g", "task", "n == y", show=show("one", "two", white="steady")),
        ],
    )
    wrong = wrong_of(model, "not dropped or added", "a in memory.m.moves.1")[0]
    assert wrong.changed is not None
    both = twins(model, wrong.changed)

    assert both.twinned == {"one"}
    assert [each.name for each in both.model.memories] == ["m", "n", f"m{TWIN}"]
    assert [each.name for each in both.model.functions] == ["f", "g", f"f{TWIN}"]
    assert [show.heads for show in both.model.functions[1].shows] == [("one",), (f"one{TWIN}",)]


def test_ranks_are_not_written_twice() -> None:
    """Case: two ranks swapped is no mistake of this kind, and that is said."""
    (first, *_) = wrong_of(little_ranks(), "ranks swapped", "")
    with pytest.raises(ValueError, match="side by side"):
        Product(little_ranks(), Moments(little_ranks()).eyes, first)


def little_ranks() -> Model:
    """Two functions of two ranks."""
    return build(
        inputs=[by_hand.on_off("a")],
        heads=["h"],
        functions=[
            function("f", "warn", "a", show=show("h", red="single")),
            function("g", "task", "a", show=show("h", white="single")),
        ],
    )


def test_a_source_is_plugged_in_again_elsewhere() -> None:
    """Case by hand: a lever that leaves its place ends the tone; unplugged, moved and plugged in, nobody saw it leave.

    So the siren's own `slide == full` matters there and nowhere else, and the list has a step for it.
    """
    model = build(
        inputs=[by_hand.slide("slide", "off", "full"), by_hand.button("key")],
        heads=["h"],
        memories=[
            memory(
                "tone",
                "none",
                "wail",
                moves=[
                    {"on": "slide leaves full", "to": "none"},
                    {"on": "pressed key", "if": "slide == full", "to": "wail"},
                ],
            )
        ],
        functions=[function("f", "warn", "tone == wail and slide == full", show=show("h", red="single"))],
    )
    closed = closed_bench(model)
    (fate, _) = [each for each in closed.fates if each.mutation.text.startswith("tone == wail and slide") and
                 each.mutation.kind == "condition dropped"][::-1]  # fmt: skip

    assert not [each for each in closed.fates if each.ends == "undecided"]
    assert fate.ends == "caught"
    said = sheet(model, closed.listed).steps[fate.step - 1].do
    assert "Unplug the source of slide." in said
    assert "Move slide to off, then plug its source in again." in said
