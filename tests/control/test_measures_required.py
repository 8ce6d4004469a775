"""What functions do to the lamps road law asks for: lit without being asked, kept dark, in whose feed."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control import measures_required as required
from coachwright.control.measures_road import stop_beside_turn
from coachwright.kit.measure import Measure
from coachwright.parts.store import load_catalogue

BUILD = """
coachwright: 1
job: {{name: Required, law: {{place: invented state{law}}}}}
vehicle: {{body: {body}}}
lamps:
  tail: {{part: short-red-amber-white, at: {at}, pair: mirrored}}
vehicle-lamps: {{{lamps}}}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel{slide}}}
  work:  {{kind: toggle, at: console.panel, start: "off", tell-tale: follows}}
ranks: [road, task, warn]
functions:
  warning: {{rank: warn, by: slide, levels: {{full: [{{on: tail, red: single}}]}}}}
  {function}
situations:
  rolling: {{gear: D, speed: 30 mph, stands-for: moving}}
"""


def built(
    function: str,
    *,
    lamps: str = "",
    law: str = "",
    slide: str = "",
    body: str = "crew-cab-pickup-with-cap",
    at: str = "tail-inner",
) -> Model:
    """A pickup with one function beside the warning."""
    text = BUILD.format(function=function, lamps=lamps, law=law, slide=slide, body=body, at=at)
    loaded = read_build(text, file="build.yaml", catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return loaded.model


def only(found: Iterable[Measure], **wanted: str) -> Measure:
    """The one measure with these facts."""
    (one,) = [each for each in found if all(each.facts[name] == value for name, value in wanted.items())]
    return one


WIG = "flash-on: {rank: warn, when: work, show: [{on: high-beam, white: single sides}]}"
DARK = "covert: {rank: task, when: work, show: [{on: high-beam, dark: yes}]}"
TURN = "turns: {rank: road, when: hazard, show: [{on: tail, amber: follow hazard}]}"


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(
    ("law", "said"),
    [
        ("", "unanswered"),
        (", headlamp-flash: {answer: permitted, paper: letter}", "permitted"),
        (", headlamp-flash: {answer: forbidden, paper: letter}", "forbidden"),
        (", headlamp-flash: {answer: only when not night, paper: letter}", "only-when"),
    ],
)
def test_the_jobs_answer_on_law_is_a_fact(law: str, said: str) -> None:
    """49 CFR 571.108 Table I lets headlamps flash for signaling, states differ: who says so is told."""
    model = built(WIG, lamps="high-beam: {reach: parallel}", law=law)
    found = only(required.required_lamp_lit(model, situation="rolling", question="headlamp-flash"))

    assert found.value is True
    assert (found.facts["use"], found.facts["manner"], found.facts["law"]) == ("headlamp", "flashing", said)


# --------------------------------------------------------------------------------------------------------------- law
def test_a_lamp_that_no_control_lights_is_not_lit() -> None:
    """Law: a condition that no single control brings about is no way to light it."""
    never = WIG.replace("when: work", "when: work and gear == P and speed > 20 mph")
    found = only(required.required_lamp_lit(built(never, lamps="high-beam: {reach: parallel}"), situation="rolling"))

    assert found.value is False
    assert found.where == "high-beam, at no single control"


def test_a_lamp_of_ours_is_no_required_lamp() -> None:
    """Law: what we add is asked elsewhere; only lamps the body marks as required have rows."""
    dome = "light-up: {rank: task, when: work, show: [{on: dome, white: steady 100 %}]}"
    model = built(dome, lamps="dome: {reach: parallel}")

    assert required.required_lamp_lit(model, situation="rolling") == ()
    assert required.required_lamp_darkened(model, situation="rolling") == ()


@pytest.mark.parametrize(("when", "dark"), [("work", True), ("work and not headlamps and not main-beam", False)])
def test_dark_while_the_driver_lights_it_is_dark(when: str, dark: bool) -> None:
    """49 CFR 571.108 S6.2.1: effectiveness is impaired while the lamp is asked for, and not while it isn't."""
    model = built(DARK.replace("when: work", f"when: {when}"), lamps="high-beam: {reach: series}")

    assert only(required.required_lamp_darkened(model, situation="rolling")).value is dark


def test_reach_of_every_required_lamp_is_told() -> None:
    """Law: one row for each required lamp; one that the build doesn't name is not reached."""
    model = built(WIG, lamps="high-beam: {reach: parallel}")
    reaches = {each.facts["lamp"]: each.value for each in required.required_lamp_reach(model)}

    assert reaches.pop("high-beam") == "parallel"
    assert "brake-lamps" in reaches
    assert set(reaches.values()) == {"none"}


@pytest.mark.parametrize(("when", "kept"), [("hazard", True), ("hazard and ignition == run", False)])
def test_hazard_with_the_ignition_out(when: str, kept: bool) -> None:
    """49 CFR 571.108 S9.6.2: the hazard works with the ignition off; a function that reads the key does not."""
    model = built(TURN.replace("when: hazard", f"when: {when}"))

    assert only(required.hazard_with_ignition_out(model, situation="rolling")).value is kept


@pytest.mark.parametrize(("slide", "has"), [("", False), (", tell-tale: follows", True), (", tell-tale: brake", True)])
def test_tell_tale_of_what_switches_warning(slide: str, has: bool) -> None:
    """KKK-A-1822 E, pages 41 and 42: each switch of the warning system has its tell-tale; others aren't asked."""
    (found,) = required.warning_tell_tale(built(TURN, slide=slide))

    assert (found.facts["control"], found.value) == ("slide", has)


def test_what_a_road_function_stands_in_for() -> None:
    """Law: what the driver does brings it on: turn wires, brake, gear; what warns stands in for nothing."""
    said = {
        when: required.road_use(model, model.functions[1])
        for when in ("hazard", "brake and not turn-left", "brake", "gear == R", "headlamps")
        for model in [built(f"does: {{rank: road, when: {when}, show: [{{on: tail, red: steady 100 %}}]}}")]
    }

    assert said == {
        "hazard": "turn",
        "brake and not turn-left": "stop",
        "brake": "stop",
        "gear == R": "backup",
        "headlamps": required.NO_USE,
    }
    assert required.road_use(built(TURN), built(TURN).functions[0]) == required.NO_USE


# -------------------------------------------------------------------------------------------------------------- case
def test_stop_beside_turn_says_whose_lamp_it_is() -> None:
    """Case: rules part the vehicle's own lamps from ours by the fact reach."""
    model = built(
        TURN + "\n  stops: {rank: road, when: brake, wins-over: [turns], show: [{on: tail, red: steady 100 %}]}"
    )
    facts = {each.facts["reach"] for each in stop_beside_turn(model, situation="rolling")}

    assert facts == {"own"}
