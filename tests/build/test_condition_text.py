"""Conditions: what their texts mean, and what is said about texts that mean nothing."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Manner,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.condition_scope import ALLOWED, Place
from coachwright.build.condition_text import Scope, happens_in_a_moment, read_condition

ON_OFF = ("off", "on")
SCOPE = Scope(
    inputs={
        "slide": ("off", "low", "mid", "full"),
        "arrow": ("none", "left", "right", "split"),
        "takedown": ON_OFF,
        "ring": ON_OFF,
        "low-tone": ON_OFF,
        "brake": ON_OFF,
        "park-brake": ON_OFF,
        "key-in": ON_OFF,
        "headlamps": ON_OFF,
        "turn-left": ON_OFF,
        "gate-open": ON_OFF,
        "hatch": ("closed", "open"),
        "engine": ("off", "running"),
        "gear": ("P", "R", "N", "D"),
        "ignition": ("out", "accessory", "run", "crank"),
        "speed": "speed",
        "supply": "voltage",
        "horn": ON_OFF,
    },
    memories={"tone": ("standby", "wail", "yelp"), "stage": ("none", "one", "two"), "latch": ON_OFF},
    words={"parked", "warning", "night"},
    functions={"warning", "siren", "arrow-run"},
    equipment={"main-siren", "horn"},
    selectors={"rear-bar", "cap-bar", "tail", "rear", "visor"},
    ordered={"slide", "arrow", "stage"},
    pushed={"takedown", "ring", "low-tone"},
)
KINDS = {"speed": "speed", "supply": "voltage"}

A, B, C = Truth("brake"), Truth("park-brake"), Truth("key-in")
IN_PARK, CLOSED, OPEN = Compare("gear", "==", "P"), Compare("hatch", "==", "closed"), Compare("hatch", "==", "open")
MPH_3 = 3 * 0.44704
"""One mile an hour is 0.447 04 m/s exactly (NIST SP 811, appendix B.9)."""


def read(text: str, place: Place = "function") -> Condition:
    """The tree of a text that is right."""
    condition = read_condition(text, place=place, scope=SCOPE)
    assert not isinstance(condition, tuple), [str(problem) for problem in condition]
    return condition


def wrong(text: str, place: Place = "function") -> list[tuple[str, str, str]]:
    """Of each problem: its code, the words it points at, and what it says."""
    problems = read_condition(text, place=place, scope=SCOPE)
    assert isinstance(problems, tuple), f"{text} was read as {problems}"
    return [(problem.code, text[problem.start : problem.end], str(problem)) for problem in problems]


def statement(selector: str, colour: str, manner: Manner, **others: Any) -> HeadStatement:
    return HeadStatement(selector, colour, manner, **{"every": False, **others})


# print: what is meant

MEANT = [
    # names and comparisons
    ("brake", A),
    ("parked", Truth("parked")),
    ("gate-open", Truth("gate-open")),  # one name, no subtraction
    ("gear == P", Compare("gear", "==", "P")),
    ("gear!=P", Compare("gear", "!=", "P")),
    ("slide >= mid", Compare("slide", ">=", "mid")),
    ("slide<full", Compare("slide", "<", "full")),
    ("stage <= one", Compare("stage", "<=", "one")),
    ("speed < 3 mph", Compare("speed", "<", MPH_3)),
    ("speed<3mph", Compare("speed", "<", MPH_3)),
    ("supply >= 11.8 V", Compare("supply", ">=", 11.8)),
    ("gear in (P, N)", OneOf("gear", ("P", "N"))),
    ("speed in (0 mph, 3 mph)", OneOf("speed", (0.0, MPH_3))),
    ("gear not in (P, N)", Not(OneOf("gear", ("P", "N")))),
    ("ignition", OneOf("ignition", ("run", "crank"))),
    ("ignition == crank", Compare("ignition", "==", "crank")),
    ("brake == on", Compare("brake", "==", "on")),
    ("latch", Compare("latch", "==", "on")),
    ("always", Constant(True)),
    ("never", Constant(False)),
    # and, or, not, brackets
    ("brake and park-brake or key-in", Or((And((A, B)), C))),
    ("brake or park-brake and key-in", Or((A, And((B, C))))),
    ("not brake and park-brake", And((Not(A), B))),
    ("not (brake and park-brake)", Not(And((A, B)))),
    ("not not brake", Not(Not(A))),
    ("not slide == full", Not(Compare("slide", "==", "full"))),
    ("(brake and park-brake) and key-in", And((A, B, C))),
    ("brake or (park-brake or key-in)", Or((A, B, C))),
    ("((brake))", A),
    ("gear == P or (park-brake and speed < 3 mph)", Or((IN_PARK, And((B, Compare("speed", "<", MPH_3)))))),
    # times
    ("headlamps held 3 s", Held(Truth("headlamps"), 3000)),
    ("supply < 11.8 V held 2 min", Held(Compare("supply", "<", 11.8), 120_000)),
    ("first 20 s of low-tone", First(Truth("low-tone"), 20_000)),
    ("first 3 s of tone == wail", First(Compare("tone", "==", "wail"), 3000)),
    ("ignition plus 30 min", Plus(OneOf("ignition", ("run", "crank")), 1_800_000)),
    ("not brake held 2 s", Not(Held(A, 2000))),
    ("brake and park-brake held 2 s", And((A, Held(B, 2000)))),
    ("(brake and park-brake) held 2 s", Held(And((A, B)), 2000)),
    ("hatch == closed and (hatch == open plus 20 min)", And((CLOSED, Plus(OPEN, 1_200_000)))),
    ("(brake held 2 s) plus 1 h 30 min", Plus(Held(A, 2000), 5_400_000)),
    ("first 5 s of (brake plus 900 ms)", First(Plus(A, 900), 5000)),
    ("gear in (P, N) held 1 ms", Held(OneOf("gear", ("P", "N")), 1)),
]

MEANT_IN_MOVES = [
    ("pressed ring", Event("pressed", "ring")),
    ("released low-tone", Event("released", "low-tone")),
    ("slide leaves full", Event("leaves", "slide", "full")),
    ("gear leaves P", Event("leaves", "gear", "P")),
    ("becomes parked", Event("becomes", "", item=Truth("parked"))),
    ("becomes (gear == P)", Event("becomes", "", item=Compare("gear", "==", "P"))),
    ("becomes gear == P", Event("becomes", "", item=Compare("gear", "==", "P"))),
    ("becomes (headlamps held 3 s)", Event("becomes", "", item=Held(Truth("headlamps"), 3000))),
    ("becomes ignition", Event("becomes", "", item=OneOf("ignition", ("run", "crank")))),
    ("pressed ring and not parked", And((Event("pressed", "ring"), Not(Truth("parked"))))),
    ("key-in and brake", And((C, A))),
]

MEANT_IN_PROMISES = [
    ("any red flashing", statement("any", "red", "flashing")),
    ("rear-bar only amber run-left", statement("rear-bar", "amber", "pattern", only=True, pattern="run-left")),
    ("tail only red steady at least 90 %", statement("tail", "red", "steady", only=True, at_least_share=0.9)),
    ("cap-bar dark", statement("cap-bar", "", "dark")),
    ("cap-bar.3-6 white steady", statement("cap-bar.3-6", "white", "steady")),
    ("tail.left amber flashing", statement("tail.left", "amber", "flashing")),
    ("tail.left.2 amber lit", statement("tail.left.2", "amber", "lit")),
    ("visor.ends white", statement("visor.ends", "white", "lit")),
    ("visor lit", statement("visor", "", "lit")),
    ("all flashing", statement("all", "", "flashing")),
    ("rear red double 150 per min", statement("rear", "red", "pattern", pattern="double 150 per min")),
    ("rear red double 2.5 Hz and brake", And((statement("rear", "red", "pattern", pattern="double 150 per min"), A))),
    (
        "tail amber lit 60 ms, dark 40 ms, times 2, every 0.5 s or brake",
        Or((statement("tail", "amber", "pattern", pattern="lit 60 ms, dark 40 ms, times 2, every 500 ms"), A)),
    ),
    ("siren active", FunctionState("siren", "active")),
    ("arrow-run held-off", FunctionState("arrow-run", "held-off")),
    ("warning active and warning", And((FunctionState("warning", "active"), Truth("warning")))),
    ("main-siren and parked", And((Truth("main-siren"), Truth("parked")))),
    ("cap-bar dark held 2 s", Held(statement("cap-bar", "", "dark"), 2000)),
    ("not tail red lit", Not(statement("tail", "red", "lit"))),
]


@pytest.mark.parametrize(("text", "meant"), MEANT, ids=[text for text, _ in MEANT])
def test_texts_of_the_language_reference_mean_this(text: str, meant: Condition) -> None:
    """docs/language.md, "Conditions": the project's own language, so its page is the source."""
    assert read(text) == meant


@pytest.mark.parametrize(("text", "meant"), MEANT_IN_MOVES, ids=[text for text, _ in MEANT_IN_MOVES])
def test_events_of_the_language_reference_mean_this(text: str, meant: Condition) -> None:
    """docs/language.md, "Events": moves of a memory read them."""
    assert read(text, "memory-on") == meant


@pytest.mark.parametrize(("text", "meant"), MEANT_IN_PROMISES, ids=[text for text, _ in MEANT_IN_PROMISES])
def test_statements_of_the_language_reference_mean_this(text: str, meant: Condition) -> None:
    """docs/language.md, "What heads show": at least one head of the selector, as in `never`."""
    assert read(text, "promise-never") == meant


def test_a_selector_in_then_means_every_head_of_it() -> None:
    """docs/language.md: in `then` every head, in `never` at least one, and `any` is any head everywhere."""
    assert read("cap-bar dark", "promise-then") == HeadStatement("cap-bar", "", "dark", every=True)
    assert read("cap-bar dark", "promise-never") == HeadStatement("cap-bar", "", "dark", every=False)
    assert read("cap-bar dark", "promise-when") == HeadStatement("cap-bar", "", "dark", every=False)
    assert read("any red lit", "promise-then") == HeadStatement("any", "red", "lit", every=False)


def test_after_takes_events_joined_by_or() -> None:
    """docs/language.md: `after` and `until` need an event in each branch of an `or`."""
    found = read("pressed ring or becomes parked or (takedown and pressed low-tone)", "promise-until")

    assert happens_in_a_moment(found)
    assert not happens_in_a_moment(read("brake"))
    assert not happens_in_a_moment(read("pressed ring or brake", "memory-on"))
    assert not happens_in_a_moment(read("not pressed ring", "memory-on"))


# case: what is said, word for word

CASES = yaml.safe_load(Path(__file__).with_name("condition_cases.yaml").read_text(encoding="utf-8"))
REFUSED = [(case["text"], case.get("place", "function"), [tuple(said) for said in case["said"]]) for case in CASES]


@pytest.mark.parametrize(("text", "place", "said"), REFUSED, ids=[f"{place}: {text}" for text, place, _ in REFUSED])
def test_a_text_that_means_nothing_is_answered(text: str, place: Place, said: list[tuple[str, str, str]]) -> None:
    """Case: code, the words pointed at, why not, and what to write."""
    assert wrong(text, place) == said


def test_the_nearest_name_comes_along() -> None:
    """Case: a completion can offer it without taking the sentence apart."""
    problems = read_condition("slid >= mid", place="function", scope=SCOPE)

    assert isinstance(problems, tuple)
    assert [problem.near for problem in problems] == ["slide"]


@pytest.mark.parametrize("place", sorted(ALLOWED))
def test_sentences_are_sentences_at_every_place(place: Place) -> None:
    """House rule: a sentence ends as one, blames nobody, and never says "invalid"."""
    found = [read_condition(text, place=place, scope=SCOPE) for text, _, _ in REFUSED]
    sentences = [problem for problems in found if isinstance(problems, tuple) for problem in problems]

    assert len(sentences) > len(REFUSED) / 2
    for problem in sentences:
        assert problem.why.endswith((".", "?"))
        assert problem.write == "" or problem.write.endswith(".")
        assert "invalid" not in str(problem)
