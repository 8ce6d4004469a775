"""Promises that packs bring: each proved of a whole job, and broken by one mistake in it, with the story told."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control.claims import Claim, Terms
from coachwright.control.faults import kept_whatever_is_read, under_faults
from coachwright.control.measures_proved import PROPERTIES, Ended, ended, proved
from coachwright.control.road_signs import signs_given
from coachwright.parts.store import load_catalogue
from tests.control import by_hand

QUILLBACK = Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml"
TERMS = {
    "brake-shown": Terms(0.2),
    "turn-shown": Terms(0.2),
    "panel-never-outranks-road": Terms(0.2),
    "dark-with-key-out": Terms(1800.0),
    "arrow-only-standing": Terms(10.0, 15.65),
}
"""Figures a rule gives: after which time a claim is asked [s], from which speed a vehicle travels [m/s]."""


@cache
def job(*changes: tuple[str, str]) -> Model:
    """The example of the harbour district, with these changes in its text."""
    text = QUILLBACK.read_text(encoding="utf-8")
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    loaded = read_build(text, file="build.yaml", catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return loaded.model


def claims(model: Model, prop: str) -> list[Claim]:
    return list(PROPERTIES[prop](model, TERMS.get(prop, Terms())))


def ends(model: Model, prop: str) -> list[Ended]:
    return [ended(model, claim, faults=False) for claim in claims(model, prop)]


SERIES = ("  high-beam:   {reach: parallel} ", "  high-beam:   {reach: series} ")
COVERT = (
    "not parked and not headlamps\n    show: [{on: high-beam, white: single sides}]",
    "not parked\n    show: [{on: high-beam, dark: yes}]",
)
MISTAKES: list[tuple[str, tuple[tuple[str, str], ...], str, str]] = [
    # property, the mistake, what it is about, and what the story has in it
    (
        "brake-shown",
        (("when: brake and not parked, show", "when: brake and not parked and not scene, show"),),
        "brake in tail.left",
        "scene on",
    ),
    (
        "turn-shown",
        (("when: turn-left, wins-over: [brake-shows], show", "when: turn-left, show"),),
        "turn-left in tail.left",
        "brake on",
    ),
    (
        "stop-yields-to-turn",
        (
            ("when: turn-left, wins-over: [brake-shows], show", "when: turn-left, show"),
            ("when: brake and not parked, show", "when: brake and not parked, wins-over: [turn-left-shows], show"),
        ),
        "brake and turn-left in tail.left",
        "turn-left",
    ),
    (
        "panel-never-outranks-road",
        (("when: brake and not parked, show", "when: brake and not parked and not wigwag, show"),),
        "brake in tail.left",
        "wigwag on",
    ),
    ("required-lamp-never-dimmed", (SERIES, COVERT), "high-beam", "wigwag on"),
    (
        "siren-off-in-park",
        (("tone != standby and slide == full and not parked, sound", "tone != standby and slide == full, sound"),
         ("      - {on: becomes parked, to: standby}", "      - {on: pressed low-tone, to: standby}")),
        "main-siren in Park",
        "gear P",
    ),
    (
        "siren-asked-for-again",
        (("      - {on: becomes parked, to: standby}", "      - {on: pressed low-tone, to: standby}"),),
        "main-siren after Park",
        "gear",
    ),
    (
        "emitter-off-in-park",
        (("not parked and door-driver == closed, run", "door-driver == closed, run"),),
        "emitter-front in Park",
        "slide full",
    ),
    (
        "white-forward-off-in-park",
        (("    at-most: {mid: parked} ", "    at-most: {mid: hatch == open} "),),
        "white of warning to the front",
        "slide full",
    ),
    (
        "dark-with-key-out",
        (("when: cruise and slide == off, show", "when: slide == off, show"),),
        "everything, with the key out and nobody at the controls",
        "wait 30 min",
    ),
    (
        "zone-lit-whatever-signals",
        (("    by: slide\n    at-most", "    by: slide\n    when: tailgate == closed or parked\n    at-most"),),
        "the front in answering while",
        "slide full",
    ),
    (
        "warning-at-low-supply",
        (("stops: [tray-white], resume: self", "stops: [tray-white, warning], resume: self"),),
        "warning in answering",
        "wait 2 min",
    ),
    (
        "arrow-only-standing",
        (("  arrow-travelling:   {when: travelling,", "  arrow-travelling:   {when: gear == R,"),),
        "run-left while travelling",
        "arrow left",
    ),
    (
        "arrow-never-against-turn",
        (("    when: not (arrow == left and turn-right) and", "    when: not (arrow == left and hazard) and"),),
        "run-left with turn-right",
        "arrow left",
    ),
]  # fmt: skip
BY_CONSTRUCTION = {"nothing-beside-signal"}
"""What the language itself doesn't let anybody break: nothing shows beside an owner of rank road."""


@pytest.mark.parametrize("prop", PROPERTIES)
def test_the_example_keeps_every_property(prop: str) -> None:
    """Case: the harbour district's pickup; nothing of a required lamp goes through its controller."""
    model = job()

    assert {each.word for each in ends(model, prop)} == ({"proved"} if prop != "required-lamp-never-dimmed" else set())


@pytest.mark.parametrize(("prop", "changes", "subject", "told"), MISTAKES, ids=[each[0] for each in MISTAKES])
def test_one_mistake_breaks_the_property_with_a_story(
    prop: str, changes: tuple[tuple[str, str], ...], subject: str, told: str
) -> None:
    """Case: the claim about it is broken, and its story names the act that shows it."""
    found = [each for each in ends(job(*changes), prop) if each.word == "broken"]

    assert subject in " ".join(each.subject for each in found)
    assert all(each.story is not None for each in found)
    assert told in " ".join(line for each in found if each.story is not None for line in each.story.lines)


def test_every_property_has_a_mistake_that_breaks_it() -> None:
    """Law: a property nothing can break would prove nothing, but for one the language itself keeps."""
    assert {each[0] for each in MISTAKES} | BY_CONSTRUCTION == set(PROPERTIES)


def test_a_rule_reads_the_worst_word_with_its_story() -> None:
    """Case: a window answers once per claim, and says which source hides the brake."""
    found = proved(job(), property="brake-shown", within=0.2, under_faults="yes")

    assert [(each.value, each.about) for each in found] == [("blind", "functions.brake-shows")] * 2
    assert "gear stuck at P" in found[0].where
    assert found[0].facts == {"sign": "brake", "reach": "own"}


def test_one_signal_is_asked_alone_where_several_darken_a_side() -> None:
    """Case: it takes hatch and tailgate together to darken the front; one alone doesn't, and that is what is asked."""
    several = (
        "    by: slide\n    at-most",
        "    by: slide\n    when: hatch == closed or tailgate == closed\n    at-most",
    )
    (front,) = [
        each for each in claims(job(several), "zone-lit-whatever-signals") if each.subject == "the front in answering"
    ]

    assert ended(job(several), front, faults=False).word == "proved"
    assert ended(job(several), Claim(front.promise, "", (), ""), faults=False).word == "broken"


def test_what_may_never_be_is_asked_as_the_machine_reads_it() -> None:
    """Case: a siren that only its memory keeps silent in Park; with the gear stuck at D nobody knows of Park."""
    silent = ("tone != standby and slide == full and not parked, sound", "tone != standby and slide == full, sound")
    (claim,) = claims(job(silent), "siren-off-in-park")

    assert not kept_whatever_is_read(job(silent), claim.promise)
    assert ended(job(silent), claim, faults=True).word == "proved"


def test_signals_are_known_by_what_functions_do() -> None:
    """Case: a lamp by the brake in gear, one by turn or hazard, one by both headlamps and brake, which gives none."""
    model = by_hand.build(
        inputs=[
            by_hand.on_off("brake"),
            by_hand.on_off("headlamps"),
            by_hand.states("gear", "P", "R", "D"),
            *[[each] for each in by_hand.turn_wires()],
        ],
        heads=["tail"],
        functions=[
            by_hand.function("stop", "road", "brake and gear != P", show=by_hand.show("tail", red="steady 100 %")),
            by_hand.function("left", "road", "turn-left or hazard", show=by_hand.show("tail", amber="single")),
            by_hand.function("glow", "road", "headlamps or brake", show=by_hand.show("tail", red="steady 20 %")),
            by_hand.function("back", "road", "gear == R", show=by_hand.show("tail", white="steady 100 %")),
        ],
    )

    assert {name: [each.name for each in functions] for name, functions in signs_given(model).items()} == {
        "brake": ["stop"],
        "turn-left": ["left"],
        "hazard": ["left"],
        "reverse": ["back"],
    }


@pytest.mark.parametrize("prop", ["nothing-beside-signal", "panel-never-outranks-road", "siren-off-in-park"])
def test_what_holds_whatever_is_read_holds_under_every_fault(prop: str) -> None:
    """Law: the short way to an answer as the machine reads things says no more than the long one."""
    model = job()
    for claim in claims(model, prop)[:2]:
        assert kept_whatever_is_read(model, claim.promise)
        assert {each.state for each in under_faults(model, claim.promise)} <= {"holds", "not asked", "blind"}


def test_a_build_that_has_nothing_of_the_kind_is_asked_nothing() -> None:
    """Case: one lamp and a switch: no property has a claim, and no window breaks."""
    model = by_hand.build(
        inputs=[by_hand.toggle("scene")],
        heads=["tail"],
        functions=[by_hand.function("glow", "warn", "scene", show=by_hand.show("tail", red="single"))],
    )

    for prop in sorted(set(PROPERTIES) - {"required-lamp-never-dimmed"}):
        assert claims(model, prop) == []
