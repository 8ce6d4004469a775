"""Every setting in which nothing decides is found; what is found can be acted out, or is said to be without a story."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.condition import Condition
from coachwright.build.model import Model
from coachwright.control.ambiguity import Clash, clashes, looked_at
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine, power_up, start_inputs
from coachwright.control.sat import Solver
from coachwright.control.statement import Outputs
from coachwright.control.story import act_out
from coachwright.kit.once import KERNELS
from tests.control import by_hand
from tests.control.machines import conditions, inputs_of, models
from tests.control.second_opinion import Opinion


@pytest.fixture(autouse=True)
def short_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    """Random builds have many settings without a story; how far is looked for one is no matter here."""
    monkeypatch.setattr("coachwright.control.ambiguity.STEPS_MOST", 400)


FOCUS = ("anything", "heads", "memory", "hold-offs", "turns")


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=15)
@given(data=st.data())
def test_z3_agrees_where_nothing_decides(focus: str, data: st.DataObject) -> None:
    """Law: over all settings of random builds, z3 (an independent solver) finds ambiguity on the very same heads."""
    model = data.draw(models(focus=focus))
    opinion = Opinion(model)
    found = {head for clash in clashes(model) if clash.kind == "head" and not clash.beside for head in clash.ids}
    assert found == {head.id for head in model.heads if opinion.can_be(opinion.ambiguous(head.id))}


@settings(max_examples=60)
@given(data=st.data())
def test_z3_agrees_what_can_be_true(data: st.DataObject) -> None:
    """Law: a random condition can be true for the circuit when it can be for z3, and its opposite likewise."""
    inputs = inputs_of(data.draw(st.sampled_from(["turns", "reading", "memory", "hold-offs", "heads", "supply"])))
    reading = conditions(inputs, {"m": ("x", "y", "z")}, ())
    asked: list[Condition] = data.draw(st.lists(reading, min_size=1, max_size=4))
    model = by_hand.build(
        inputs=inputs,
        heads=["tail"],
        memories=[by_hand.memory("m", "x", "y", "z", moves=[])],
        words={f"w-{place}": each for place, each in enumerate(asked)},  # a number is tried at the build's thresholds
    )
    moment, opinion = Moment(model, build_machine(model)), Opinion(model)
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    literals, formulas = [moment.condition(each) for each in asked], [opinion.true(each) for each in asked]
    assert solver.can_be(*literals) == opinion.can_be(*formulas)
    opposite = [-literals[0], *literals[1:]]
    assert solver.can_be(*opposite) == opinion.can_be(Opinion.true(opinion, asked[0]) == False, *formulas[1:])  # noqa: E712
    solver.close()


def end_of(model: Model, clash: Clash) -> Outputs:
    """What the machine puts out after acting out a story, step by step."""
    assert clash.story is not None
    machine = build_machine(model)
    inputs, kept = start_inputs(machine, {})
    state, outputs = power_up(machine, inputs, kept=kept)
    for act in clash.story.acts:
        state, outputs = act_out(machine, state, act)
    return outputs


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=15)
@given(data=st.data())
def test_stories_replay(focus: str, data: st.DataObject) -> None:
    """Law: at the end of a story the whole machine finds nothing that decides between these functions."""
    model = data.draw(models(focus=focus))
    for clash in clashes(model):
        if clash.story is None:
            continue
        outputs = end_of(model, clash)
        one = clash.shown[0]
        state = (
            outputs.head(one) if clash.kind == "head" else next(sound for sound in outputs.sounds if sound.siren == one)
        )
        assert state.ambiguous
        assert {each.function for each in state.wanted if each.outcome == "ambiguous"} & set(clash.functions)


def tail(*, when: str = "brake", rank: str = "warn", **said: object) -> Model:
    """A slide that shows red on the tail at full, and something else that wants it."""
    return by_hand.build(
        inputs=[
            by_hand.slide("slide", "off", "low", "full"),
            by_hand.on_off("brake"),
            by_hand.states("gear", "P", "R", "D"),
            by_hand.toggle("scene"),
            by_hand.button("ring"),
            by_hand.number("speed"),
        ],
        heads=["tail.left"],
        words={"parked": "gear == P"},
        memories=[
            by_hand.memory("kept", "x", "y", moves=[{"on": "pressed ring", "if": "slide == full", "to": "y"}]),
            by_hand.memory("stuck", "x", "y", moves=[]),
        ],
        functions=[
            by_hand.function("warning", by="slide", levels={"full": [by_hand.show("tail.left", red="single")]}),
            by_hand.function(
                "other",
                rank,
                when,
                show=by_hand.show("tail.left", white="steady 100 %"),
                **said,  # type: ignore[arg-type]
            ),
        ],
    )


@pytest.mark.parametrize(
    ("when", "acts"),
    [
        ("brake and gear == D", ["slide full", "brake on", "gear D"]),
        ("kept == y", ["slide full", "ring pressed"]),
        ("brake held 2 s", ["slide full", "brake on", "wait 2 s"]),
        ("first 2 s of scene", ["slide full", "scene on"]),
        ("kept == y and gear == D", ["slide full", "ring pressed", "gear D"]),
        ("scene and speed > 3 mph", ["slide full", "scene on", "speed > 3 mph"]),
    ],
)
def test_the_story_is_as_short_as_it_can_be(when: str, acts: list[str]) -> None:
    """Case: each has exactly the acts that a person would need, worked out by hand; their order may differ."""
    clash = clashes(tail(when=when))[0]
    assert clash.functions == ("other", "warning")
    assert clash.story is not None
    assert sorted(act.text for act in clash.story.acts) == sorted(acts)


@pytest.mark.parametrize(
    "model",
    [
        tail(when="brake and slide == low"),
        tail(rank="task"),
        tail(wins_over=["warning"]),
        tail(when="not brake and brake held 2 s"),
    ],
    ids=["never at once", "another rank", "a word decides", "never true"],
)
def test_what_is_decided_is_not_found(model: Model) -> None:
    """Case: settings that exclude each other, ranks and wins-over leave nothing open."""
    assert clashes(model) == ()


def test_the_same_statement_is_no_clash() -> None:
    """Case: two functions that want the very same are both owners."""
    show = by_hand.show("tail", red="single")
    same = [by_hand.function(name, "warn", name, show=show) for name in ("brake", "belt")]
    inputs = [by_hand.on_off("brake"), by_hand.on_off("belt")]
    assert clashes(by_hand.build(inputs=inputs, heads=["tail"], functions=same)) == ()


def test_out_of_reach_is_said() -> None:
    """Case: a memory that no move takes there: the clash is told with no story, and how far was looked."""
    clash = clashes(tail(when="stuck == y"))[0]
    assert clash.story is None
    assert clash.setting == ("slide full", "stuck at y")
    assert clash.tried_n > 0


def test_a_circle_of_wins_over_leaves_nobody() -> None:
    """Case: one wins over the other and the other over the one: both are out."""
    inputs = [by_hand.on_off(name) for name in ("a", "b")]
    functions = [
        by_hand.function(name, "warn", name, wins_over=[other], show=by_hand.show("tail", **{colour: "single"}))
        for name, other, colour in (("a", "b", "red"), ("b", "a", "white"))
    ]
    (clash,) = clashes(by_hand.build(inputs=inputs, heads=["tail"], functions=functions))
    assert (clash.circle, clash.functions) == (True, ("a", "b"))


def test_a_tone_from_memory_clashes_only_where_it_differs() -> None:
    """Case: yelp against a memory that stands at wail or yelp: only wail is open."""
    functions = [
        by_hand.function("siren", "warn", sound={"main": "tone"}, when="key"),
        by_hand.function("horn", "warn", sound={"main": "yelp"}, when="key"),
    ]
    memories = [by_hand.memory("tone", "yelp", "wail", moves=[{"on": "pressed key", "to": "wail"}])]
    inputs = [by_hand.button("key"), by_hand.on_off("brake")]
    model = by_hand.build(inputs=inputs, memories=memories, functions=functions, equipment=["main"])
    (clash,) = clashes(model)
    assert (clash.kind, clash.ids) == ("siren", ("main",))
    assert "tone at wail" in clash.setting


def test_settings_are_counted() -> None:
    """Common practice: 3 positions x 2 x 3 gears = 18 settings of what these two functions read."""
    covered = looked_at(tail(when="brake and not parked"))
    assert (covered.settings_n, covered.inputs_n, str(covered)) == (18, 3, "18 settings of 3 inputs")


def test_an_aim_costs_nothing() -> None:
    """Law: another aim of a lamp asks for no clash again; another function does."""
    kernel = KERNELS["coachwright.control.ambiguity._clashes"]
    model = tail(when="brake and gear == R")
    clashes(model)
    before_n = kernel.calls
    clashes(replace(model, heads=tuple(replace(head, aim_rad=0.3) for head in model.heads)))
    assert kernel.calls == before_n
    clashes(tail(when="brake and gear == R and scene"))
    assert kernel.calls == before_n + 1
