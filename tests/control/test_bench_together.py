"""Many wrong machines run beside the right one see exactly what each of them sees when it runs alone."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.bench_asked import Moments
from coachwright.control.bench_together import Together, changed_conditions
from coachwright.control.machine import State, start_inputs
from coachwright.control.mutation_study import Mark, Study, looks, wired
from coachwright.control.mutations import mutations
from coachwright.control.sources import stand
from coachwright.control.story import set_to
from tests.control import by_hand
from tests.control.by_hand import build, function, show
from tests.control.machines import Change, models, stories


def tape_of(model: Model, moments: Moments, story: list[Change]) -> tuple[Mark, ...]:
    """A power-up at rest, then what happens at the sources, with a look after each step."""
    rest, kept = start_inputs(moments.machine, {})
    marks = [Mark("power-up", rest, 0, kept), Mark("look")]
    for change in story:
        inputs = replace(stand(model.inputs, rest, change.sources), asleep=change.asleep)
        lost = frozenset(place for place, item in enumerate(model.inputs) if item.name in change.lost)
        marks += [Mark("step", replace(inputs, lost=lost), change.elapsed_ms), Mark("look")]
    return tuple(marks)


@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=15)
@given(st.data())
def test_a_mistake_is_caught_where_it_is_caught_alone(data: st.DataObject) -> None:
    """Law: for every mistake of a random build and a random story (losses and sleep too), the same first look."""
    model = data.draw(models())
    moments = Moments(model)
    wrong = list(mutations(model, moments.moment.inputs))[data.draw(st.integers(0, 3)) :: 4]
    marks = tape_of(model, moments, data.draw(stories(model)))
    together, study = Together(moments, wrong), Study(moments)
    tape = together.tape(marks)
    expected = list(looks(wired(moments), marks))
    try:
        assert tape.expected == expected
        for mutation in wrong:
            alone = study.caught_at(marks, expected, mutation)
            assert together.caught_at(tape, mutation) == alone, (mutation.kind, mutation.text, together.way(mutation))
    finally:
        study.close()


@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=10)
@given(st.data())
def test_both_stand_where_they_stand_alone_after_each_act(data: st.DataObject) -> None:
    """Law: act for act, the wrong machine is where it comes to by itself, and shows otherwise where it does so."""
    model = data.draw(models())
    moments = Moments(model)
    wrong = list(mutations(model, moments.moment.inputs))
    names = [item.name for item in model.inputs if item.kind not in ("turn-wire", "hazard")]
    assume(wrong and names)
    mutation = data.draw(st.sampled_from(wrong))
    together, alone = Together(moments, wrong), wired(moments, mutation)
    node = together.node(wired(moments).start())
    other, state = together.start(mutation, node), alone.start()
    for name in data.draw(st.lists(st.sampled_from(names), max_size=5)):
        choice = moments.moment.inputs[name]
        place = data.draw(st.integers(0, len(choice.values) - 1))
        passed = together.passed(node, set_to(choice, place))
        other = together.follow(mutation, node, other, passed)
        node = passed.node
        for mark in passed.marks:
            state = alone.step(state, mark)
        stands: State = node.state if other is None else other
        if together.way(mutation) != "shows":
            assert stands == state
        seen_apart = alone.seen(state) != wired(moments).seen(node.state)
        assert together.differ(mutation, node, other) == seen_apart


def test_only_conditions_are_told_from_shows_and_times() -> None:
    """Case: a condition, a show, a timer: followed by listening, by looking alone, and all by itself."""
    model = build(
        inputs=[by_hand.on_off("a"), by_hand.on_off("b")],
        heads=["h"],
        functions=[function("f", "warn", "a and b held 3 s", show=show("h", red="single"))],
    )
    moments = Moments(model)
    wrong = list(mutations(model, moments.moment.inputs))
    together = Together(moments, wrong)
    ways = {(each.kind, each.text.partition(" in ")[0]): together.way(each) for each in wrong}

    assert ways["and for or", "a and b held 3 s"] == "reads"
    assert ways["not dropped or added", "a"] == "reads"
    assert ways["timer doubled", "b held 3 s"] == "alone"
    assert ways["wrong colour", "red of h"] == "shows"
    assert ways["inputs swapped", "a and b"] == "wires"
    assert ways["output open", "h"] == "shows"
    assert changed_conditions(model, model) == {}
