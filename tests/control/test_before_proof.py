"""Every finding of control: a build that has it and the same build mended."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.condition import Truth
from coachwright.build.model import Model
from coachwright.control.ambiguity import clashes
from coachwright.control.before_proof import before_proof
from coachwright.control.machine import build_machine, memory_of, power_up, step
from coachwright.control.sources import start_values
from coachwright.kit.finding import Finding, Quantity
from coachwright.kit.once import KERNELS
from tests.control.by_hand import (
    build,
    button,
    disconnect,
    function,
    head,
    limit,
    memory,
    message,
    number,
    on_off,
    promise,
    show,
    situation,
    slide,
    states,
    stop,
    toggle,
    turn_wires,
)
from tests.control.machines import models, stories
from tests.control.test_machine_against_reference import standing

RED, WHITE, DARK = show("tail", red="single"), show("tail", white="steady 100 %"), show("tail", dark=True)
INPUTS = (
    slide("slide", "off", "low", "full"),
    on_off("brake"),
    states("gear", "P", "R", "D"),
    number("supply", "voltage", rest=13.8, high=16.0),
)
LIT = function("lit", "warn", "slide == full", show=RED)
"""Lights the tail and reads the slide, so that nothing else is found."""


def made(*functions: Mapping[str, Any], inputs: Sequence[Any] = (), **written: Any) -> Model:
    """A build in which the tail is lit and the slide is read, with these functions beside."""
    return build(
        inputs=[*INPUTS, *inputs], heads=written.pop("heads", ["tail"]), functions=[LIT, *functions], **written
    )


def levels(*full: Any, one_level: bool = False) -> Model:
    """Red and white at low, and at full what is given."""
    low = [show("tail", red="single", white="steady 100 %")]
    warning = function("warning", by="slide", levels={"low": low, "full": list(full)}, one_level=one_level)
    return build(inputs=INPUTS, heads=["tail"], functions=[warning])


def stage(*moves: Mapping[str, str], ordered: bool = True) -> Model:
    """A memory of three stages that a limit reads."""
    model = made(
        memories=[memory("stage", "none", "one", "two", moves=moves)],
        limits=[limit("dim", "stage == two or stage == one", 0.5, "warn")],
    )
    return replace(model, memories=tuple(replace(each, ordered=ordered) for each in model.memories))


UP = (
    {"on": "supply < 11.8 V held 2 min", "to": "two"},
    {"on": "supply > 12.5 V held 1 min", "if": "stage == none", "to": "one"},
)


def reached(reach: str, wanted: Any) -> Model:
    """A tail of the vehicle's own."""
    return build(
        inputs=[on_off("brake")],
        heads=[replace(head("tail"), reach=reach)],
        functions=[function("shows", "warn", "brake", show=wanted)],
    )


def row(*heads: str) -> Model:
    """An arrow over these heads."""
    arrow = function("arrow", "traffic", "slide == full", show=show(*heads, amber="run-left"))
    return build(inputs=INPUTS, heads=heads, functions=[arrow])


def quick(recognition_ms: int) -> Model:
    """A promise within 100 ms about a signal that takes so long to be known."""
    return made(
        inputs=[on_off("belt", recognition_ms=recognition_ms)],
        promises=[promise("seen", when="belt", then="tail dark", within=100)],
    )


def pulsing(first: str, then: str) -> Model:
    """A memory that goes on by the second: from its first value to `then`, and back to `first`."""
    moves = [{"on": "kept == a held 1 s", "to": then}, {"on": "kept == b held 1 s", "to": first}]
    return made(
        memories=[memory("kept", "a", "b", moves=moves)],
        messages=[message("told", "kept == b")],
        situations=[situation("calling", slide="full")],
    )


def in_situation(memory_value: str, *, move: Mapping[str, str]) -> Model:
    """A situation at slide full that names a memory, which this move takes along."""
    return made(
        function("other", "task", "kept == b", show=show("tail", white="single")),
        inputs=[button("ring")],
        memories=[memory("kept", "a", "b", moves=[move])],
        situations=[situation("calling", memory={"kept": memory_value}, slide="full")],
    )


def both_by_one_press(named: Mapping[str, str]) -> Model:
    """Two memories that one press takes along together, and a situation that names both."""
    moves = [{"on": "pressed ring", "if": "slide == low", "to": "b"}]
    return made(
        inputs=[button("ring")],
        memories=[memory(name, "a", "b", moves=moves) for name in ("kept", "other")],
        messages=[message("told", "kept == b or other == b")],
        situations=[situation("calling", memory=named, slide="full")],
    )


def two_clocks(least: str) -> Model:
    """A memory that moves when it has stood for five seconds, while another one is no older than `least`."""
    return made(
        memories=[
            memory("young", "a", "b", moves=[{"on": "gear == P and gear == D", "to": "b"}]),
            memory(
                "kept", "a", "b", moves=[{"on": "kept == a held 5 s", "if": f"first {least} of young == a", "to": "b"}]
            ),
        ],
        messages=[message("told", "kept == b or young == b")],
        situations=[situation("calling", memory={"kept": "b"}, slide="full")],
    )


def excluded(gear: str) -> Model:
    """A situation in this gear; the body says that it can't be in R."""
    model = made(
        function("shows", "task", "in-reverse", show=WHITE),
        words={"in-reverse": "gear == R"},
        situations=[situation("calling", gear=gear)],
    )
    return replace(model, cannot_be=((Truth("in-reverse"), "the gate locks it"),))


def ordered_ranks(*ranks: str) -> Model:
    """A build with these ranks in the list."""
    return replace(made(), ranks=ranks)


CASES: dict[str, tuple[Callable[[], Model], Callable[[], Model]]] = {
    "CTL-001 no-word-between-functions error": (
        lambda: made(function("other", "warn", "brake", show=WHITE)),
        lambda: made(function("other", "warn", "brake", show=WHITE, wins_over=["lit"])),
    ),
    "CTL-001 no-word-between-functions warning": (
        lambda: made(
            function("other", "warn", "m == y", show=WHITE),
            memories=[memory("m", "x", "y", moves=[{"on": "gear == P and gear == D", "to": "y"}])],
        ),
        lambda: made(function("other", "task", "brake", show=WHITE)),
    ),
    "CTL-002 wins-over-in-circle error": (
        lambda: made(
            function("one", "task", "brake", show=RED, wins_over=["two"]),
            function("two", "task", "brake", show=WHITE, wins_over=["one"]),
        ),
        lambda: made(
            function("one", "task", "brake", show=RED, wins_over=["two"]),
            function("two", "task", "brake or gear == R", show=WHITE),
        ),
    ),
    "CTL-003 wins-over-across-ranks error": (
        lambda: made(function("other", "task", "brake", show=WHITE, wins_over=["lit"])),
        lambda: made(function("other", "task", "brake", show=WHITE)),
    ),
    "CTL-004 wins-over-never-decides warning": (
        lambda: made(function("other", "warn", "slide == low", show=WHITE, wins_over=["lit"])),
        lambda: made(function("other", "warn", "slide >= low", show=WHITE, wins_over=["lit"])),
    ),
    "CTL-005 limit-never-scales warning": (
        lambda: made(limits=[limit("dim", "slide == low", 0.4, "warn")]),
        lambda: made(limits=[limit("dim", "brake", 0.4, "warn")]),
    ),
    "CTL-006 function-never-wins warning": (
        lambda: made(function("under", "ease", "slide == full and brake", show=WHITE)),
        lambda: made(function("under", "ease", "brake", show=WHITE)),
    ),
    "CTL-007 head-never-lit warning": (
        lambda: made(heads=["tail", "spare"]),
        lambda: made(heads=["tail", replace(head("spare"), reach="parallel")]),
    ),
    "CTL-008 control-nobody-reads warning": (
        lambda: made(inputs=[toggle("scene")]),
        lambda: made(function("side", "task", "scene", show=WHITE), inputs=[toggle("scene"), disconnect("main")]),
    ),
    "CTL-009 condition-never-true warning": (
        lambda: made(function("never", "task", "gear == P and gear == D", show=WHITE)),
        lambda: made(function("once", "task", "gear == P and brake", show=WHITE)),
    ),
    "CTL-010 memory-nobody-reads warning": (
        lambda: made(memories=[memory("kept", "a", "b", moves=[{"on": "brake", "to": "b"}])]),
        lambda: made(
            memories=[memory("kept", "a", "b", moves=[{"on": "brake", "to": "b"}])],
            messages=[message("told", "kept == b")],
        ),
    ),
    "CTL-011 memory-value-never-reached warning": (
        lambda: made(
            memories=[memory("kept", "a", "b", "c", moves=[{"on": "brake", "to": "b"}])],
            messages=[message("told", "kept == b")],
        ),
        lambda: made(
            inputs=[button("ring")],
            memories=[memory("kept", "a", "b", "c", moves=[{"on": "pressed ring", "next": ["b", "c"]}])],
            messages=[message("told", "kept == b")],
        ),
    ),
    "CTL-012 level-drops-colour warning": (
        lambda: levels(show("tail", red="double")),
        lambda: levels(show("tail", red="double", white="steady 100 %")),
    ),
    "CTL-013 back-without-held warning": (
        lambda: stage(*UP, {"on": "supply > 13.2 V", "to": "none"}),
        lambda: stage(*UP, {"on": "supply > 13.2 V held 1 min", "to": "none"}),
    ),
    "CTL-014 moves-can-meet note": (
        lambda: made(
            inputs=[button("ring")],
            memories=[memory("kept", "a", "b", moves=[{"on": "brake", "to": "a"}, {"on": "pressed ring", "to": "b"}])],
            messages=[message("told", "kept == b")],
        ),
        lambda: made(
            inputs=[button("ring")],
            memories=[
                memory(
                    "kept",
                    "a",
                    "b",
                    moves=[{"on": "brake", "to": "a"}, {"on": "pressed ring", "if": "not brake", "to": "b"}],
                )
            ],
            messages=[message("told", "kept == b")],
        ),
    ),
    "CTL-015 colour-part-lacks error": (
        lambda: made(heads=[replace(head("tail"), colours=("amber",))]),
        lambda: made(heads=[replace(head("tail"), colours=("red", "amber"))]),
    ),
    "CTL-016 dark-with-colour error": (
        lambda: made(function("out", "task", "brake", show=show("tail", dark=True, red="single"))),
        lambda: made(function("out", "task", "brake", show=DARK)),
    ),
    "CTL-017 reach-not-enough error": (lambda: reached("parallel", DARK), lambda: reached("series", DARK)),
    "CTL-018 road-not-stopped error": (
        lambda: made(
            function("brake-shows", "road", "brake", show=RED), stops=[stop("quiet", "gear == P", "brake-shows")]
        ),
        lambda: made(function("brake-shows", "road", "brake", show=RED), stops=[stop("quiet", "gear == P", "warn")]),
    ),
    "CTL-019 road-not-limited error": (
        lambda: made(
            function("brake-shows", "road", "brake", show=RED), limits=[limit("dim", "gear == P", 0.5, "road", "warn")]
        ),
        lambda: made(
            function("brake-shows", "road", "brake", show=RED), limits=[limit("dim", "gear == P", 0.5, "warn")]
        ),
    ),
    "CTL-020 situation-not-reached error": (lambda: excluded("R"), lambda: excluded("D")),
    "CTL-020 situation-not-reached warning": (
        lambda: two_clocks("3 s"),
        lambda: two_clocks("6 s"),
    ),
    "CTL-021 situation-memory-taken error": (
        lambda: in_situation("a", move={"on": "slide == full", "to": "b"}),
        lambda: in_situation("a", move={"on": "slide == low", "to": "b"}),
    ),
    "CTL-022 memory-never-rests error": (
        lambda: made(
            memories=[memory("kept", "a", "b", moves=[{"on": "kept == a", "to": "b"}, {"on": "kept == b", "to": "a"}])],
            messages=[message("told", "kept == b")],
            situations=[situation("calling", slide="full")],
        ),
        lambda: made(
            memories=[memory("kept", "a", "b", moves=[{"on": "kept == a and brake", "to": "b"}])],
            messages=[message("told", "kept == b")],
            situations=[situation("calling", slide="full")],
        ),
    ),
    "CTL-029 situation-never-rests error": (lambda: pulsing("a", "b"), lambda: pulsing("b", "b")),
    "CTL-023 row-too-short warning": (lambda: row("a", "b", "c"), lambda: row("a", "b", "c", "d")),
    "CTL-024 within-too-short error": (lambda: quick(150), lambda: quick(100)),
    "CTL-025 rank-not-listed error": (
        lambda: ordered_ranks("road", "task"),
        lambda: ordered_ranks("road", "task", "warn"),
    ),
    "CTL-026 beside-not-possible warning": (
        lambda: made(function("side", "task", "brake", show=show("tail", beside=True, white="single"))),
        lambda: made(
            function("side", "task", "brake", show=show("tail", beside=True, white="single")),
            heads=[head("tail", together=True)],
        ),
    ),
    "CTL-027 nothing-asks-again error": (
        lambda: made(
            function("side", "task", "brake", show=WHITE), stops=[stop("quiet", "gear == R", "side", resume="ask")]
        ),
        lambda: made(
            function("side", "task", "brake and slide == low", show=WHITE),
            stops=[stop("quiet", "gear == R", "side", resume="ask")],
        ),
    ),
}


def sentence(finding: Finding) -> str:
    """The template filled in, quantities as plain numbers."""
    text = finding.template
    for name, value in finding.values.items():
        text = text.replace(f"{{{name}}}", f"{value.value:g} s" if isinstance(value, Quantity) else str(value))
    return text


@pytest.mark.parametrize("case", CASES)
def test_a_build_that_has_it(case: str) -> None:
    """Case: the finding is there, with its severity and a place, and its sentence is whole."""
    code, name, severity = case.split()
    found = [each for each in before_proof(CASES[case][0]()) if (each.code, each.severity) == (code, severity)]
    assert found
    for finding in found:
        assert finding.name == name
        assert finding.about
        assert finding.fix is not None
        assert "{" not in sentence(finding)
        assert sentence(finding)[-1] == "."
        assert not set("!") & set(sentence(finding) + finding.fix.sentence)


@pytest.mark.parametrize("case", CASES)
def test_the_same_build_mended(case: str) -> None:
    """Case: none of its code is left once what the finding says is done."""
    code = case.split()[0]
    assert [sentence(each) for each in before_proof(CASES[case][1]()) if each.code == code] == []


@pytest.mark.parametrize(
    ("model", "words"),
    [
        (
            made(function("other", "warn", "brake", show=WHITE)),
            (
                "lit and other (rank warn) can want tail at once, and no word says which of them has it. "
                "Seen with slide full, brake on, found over 6 settings of 2 inputs."
            ),
        ),
        (
            made(function("under", "ease", "slide == full and brake", show=WHITE)),
            "under acts but never has anything: lit always comes first.",
        ),
        (
            levels(show("tail", red="double")),
            "warning shows white on tail at low and no longer at full.",
        ),
        (
            reached("series", RED),
            "shows asks tail for light; a reach of series means that it can only be interrupted, never be lit.",
        ),
        (quick(150), "seen promises an answer within 0.1 s; belt itself is known only after 0.15 s."),
    ],
    ids=["clash", "never wins", "drops", "reach", "within"],
)
def test_what_is_said(model: Model, words: str) -> None:
    """Case: the sentence a person reads, to the letter."""
    assert words in [sentence(each) for each in before_proof(model)]


def test_memories_that_no_story_brings_together_are_proved_out_of_reach() -> None:
    """Case: one press takes both along, so one alone at b is proved never to be; both at b is a story."""
    (apart,) = [each for each in before_proof(both_by_one_press({"kept": "b", "other": "a"})) if each.code == "CTL-020"]

    assert apart.severity == "error"
    assert "proved over every state" in sentence(apart)
    assert [
        each for each in before_proof(both_by_one_press({"kept": "b", "other": "b"})) if each.code == "CTL-020"
    ] == []


def test_a_story_is_told_line_by_line() -> None:
    """Case: from power-up to the heads and who wants them."""
    (clash,) = (
        each for each in before_proof(made(function("other", "warn", "brake", show=WHITE))) if each.code == "CTL-001"
    )
    assert clash.story[0] == "power-up, everything at rest"
    assert set(clash.story[1:-1]) == {"slide full", "brake on"}
    assert clash.story[-1] == "tail: wanted by lit and by other"


@pytest.mark.parametrize(
    ("reach", "wanted", "told"),
    [
        ("own", RED, False),
        ("own", DARK, False),
        ("parallel", RED, False),
        ("parallel", DARK, True),
        ("series", RED, True),
        ("series", DARK, False),
        ("request", RED, False),
        ("request", DARK, True),
        ("none", RED, True),
        ("none", DARK, True),
    ],
)
def test_what_each_reach_allows(reach: str, wanted: Any, told: bool) -> None:
    """The language: parallel can only add light, series can only interrupt, none can do nothing."""
    assert any(each.code == "CTL-017" for each in before_proof(reached(reach, wanted))) is told


def test_an_output_is_run_or_interrupted_as_its_reach_allows() -> None:
    """Case: a series output can be interrupted, not run."""
    runs, interrupts = (
        made(function("does", "task", "brake", **{verb: ["horn"]}), outputs=["horn"])  # type: ignore[arg-type]
        for verb in ("runs", "interrupts")
    )
    assert [each.code for each in before_proof(runs)] == ["CTL-017"]
    assert before_proof(interrupts) == ()


@pytest.mark.parametrize(
    "model",
    [
        made(),
        made(inputs=turn_wires()),
        levels(show("tail", dark=True)),
        levels(show("tail", red="double"), one_level=True),
        stage(*UP, {"on": "supply > 13.2 V", "to": "none"}, ordered=False),
    ],
    ids=["plain", "turns", "dark on purpose", "one level", "not ordered"],
)
def test_nothing_is_made_up(model: Model) -> None:
    """Case: sound builds have no finding but notes."""
    assert [sentence(each) for each in before_proof(model) if each.severity != "note"] == []


def test_a_rank_that_is_missing_ends_the_search() -> None:
    """Case: with an unknown rank only that is told; the rest can't be worked out."""
    found = before_proof(ordered_ranks("road", "task"))
    assert {each.code for each in found} == {"CTL-025"}


def test_the_list_of_ranks_begins_with_road() -> None:
    """The language: road is first, whoever writes the list."""
    (finding,) = (each for each in before_proof(ordered_ranks("warn", "road", "task")) if each.code == "CTL-025")
    assert finding.about == "ranks"


def test_words_in_a_circle_are_told() -> None:
    """Case: what the file door refuses doesn't break the search when it comes by another way."""
    model = made(words={"one": "brake", "two": "one"})
    circle = tuple(replace(word, condition=Truth("two" if word.name == "one" else "one")) for word in model.words)
    (finding,) = before_proof(replace(model, words=circle))
    assert (finding.code, finding.severity) == ("CTL-028", "error")


@settings(max_examples=25)
@given(model=models())
def test_any_build_gets_an_answer(model: Model) -> None:
    """Law: whatever the build, the search ends, its sentences are whole, and a second time it says the very same."""
    found = before_proof(model)
    assert all("{" not in sentence(each) for each in found)
    KERNELS["coachwright.control.before_proof._before_proof"].clear()
    assert before_proof(model) == found


@settings(max_examples=25)
@given(model=models())
def test_the_order_of_functions_never_decides(model: Model) -> None:
    """Law: functions in another order give the same findings."""
    turned = replace(model, functions=model.functions[::-1])
    keys = [{(each.code, each.severity, each.about) for each in before_proof(one)} for one in (model, turned)]
    assert keys[0] == keys[1]


def test_an_aim_costs_nothing() -> None:
    """Law: another aim asks nothing again."""
    model = made()
    before_proof(model)
    kernel = KERNELS["coachwright.control.before_proof._before_proof"]
    before_n = kernel.calls
    before_proof(replace(model, heads=tuple(replace(each, aim_rad=0.2) for each in model.heads)))
    assert kernel.calls == before_n


@pytest.mark.parametrize("focus", ["anything", "heads", "memory", "hold-offs", "reading"])
@settings(max_examples=15)
@given(data=st.data())
def test_what_never_happens_never_does(focus: str, data: st.DataObject) -> None:
    """Law: in random stories no head said never to be lit burns, no function said never to win owns anything, no memory
    stands at a value said never to be reached, and nobody is left undecided who isn't in a clash.
    """
    model = data.draw(models(focus=focus))
    found = before_proof(model)
    dark = {name for each in found if each.code == "CTL-007" for name in str(each.values["heads"]).split(", ")}
    losers = {each.values["function"] for each in found if each.code == "CTL-006"}
    never = {
        (each.values["memory"], value)
        for each in found
        if each.code == "CTL-011"
        for value in str(each.values["values"]).split(", ")
    }
    contested = {name for clash in clashes(model) for name in clash.ids}
    machine = build_machine(model)
    inputs, _ = start_values(model.inputs, machine.sources, {})
    state, outputs = power_up(machine, inputs)
    for change in data.draw(stories(model, most_steps=15)):
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        assert not {each.head for each in outputs.heads if each.parts} & dark
        assert not {name for each in (*outputs.heads, *outputs.sounds) for name in each.owners} & losers
        assert not set(memory_of(machine, state).items()) & never
        assert {each.head for each in outputs.heads if each.ambiguous} <= contested
