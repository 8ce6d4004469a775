"""What was exported is proved to be the machine, and what was tampered with isn't."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.export.about import About
from coachwright.control.export.es_module import es_module, read_es_module
from coachwright.control.export.exported import json_table
from coachwright.control.export.program import Step, step_of
from coachwright.control.export.proof import prove_same
from coachwright.control.export.structured_text import read_structured_text, structured_text
from coachwright.control.export.syntax import NotOursError
from coachwright.control.export.table import read_table
from coachwright.control.export.terms import Program
from coachwright.parts.store import load_catalogue
from tests.control import by_hand
from tests.control.export.interpreter import EndlessError
from tests.control.export.lives import first_difference, random_life, told_by_machine, told_by_program
from tests.control.machines import FOCUS, models

ABOUT = About("test")
EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*/build.yaml"))


def read_back(step: Step) -> dict[str, Program]:
    """The program as it stands in each form."""
    return {
        "st": read_structured_text(structured_text(step, ABOUT)),
        "json": read_table(json_table(step, ABOUT)),
        "js": read_es_module(es_module(step, ABOUT)),
    }


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_example_is_proved_in_each_form(path: Path) -> None:
    """Case: each output and each move of memory is the machine's, in every setting of what it depends on."""
    model = load_build(path, catalogue=load_catalogue(shop_folder=path.parent / "parts")).model
    assert model is not None
    step = step_of(model)

    for form, program in read_back(step).items():
        same = prove_same(step, program)
        assert (form, same.differs) == (form, ())
        assert same.asked_n > 100


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=25)
@given(data=st.data())
def test_random_machines_are_proved_in_each_form(focus: str, data: st.DataObject) -> None:
    """Law: of 25 random builds of each kind, no setting tells what was read back from the machine."""
    step = step_of(data.draw(models(focus=focus)))

    for form, program in read_back(step).items():
        assert (form, prove_same(step, program).differs) == (form, ())


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=25)
@given(data=st.data())
def test_what_is_read_back_is_what_was_written(focus: str, data: st.DataObject) -> None:
    """Law: statement by statement the same program stands in all three texts."""
    step = step_of(data.draw(models(focus=focus)))

    for program in read_back(step).values():
        assert program.body == step.program.body
        assert set(program.variables) == set(step.program.without_words().variables)


# ---------------------------------------------------------------------------------------------------- planted mistakes
def workshop() -> Model:
    """A little of everything, where each part decides something that can be seen."""
    return by_hand.build(
        inputs=[
            by_hand.slide("slide", "off", "low", "full"),
            by_hand.on_off("brake", debounce_ms=20),
            by_hand.states("gear", "P", "R", "D"),
            by_hand.button("key"),
            by_hand.number("speed", rest=0.0),
        ],
        heads=[by_hand.head("tail", together=True), by_hand.head("bar")],
        words={"parked": "gear == P and not speed > 2 m/s"},
        memories=[by_hand.memory("tone", "wail", "yelp", moves=[{"on": "pressed key", "next": ["wail", "yelp"]}])],
        functions=[
            by_hand.function("brake-lamp", "road", when="brake", show=[by_hand.show("tail", red="steady")]),
            by_hand.function(
                "warning",
                by="slide",
                levels={"low": [by_hand.show("tail", amber="single")], "full": [by_hand.show("bar", red="double")]},
                at_most={"low": "parked held 3 s"},
            ),
            by_hand.function(
                "scene", "task", when="parked and slide >= low", show=[by_hand.show("bar", white="steady")]
            ),
            by_hand.function("siren", when="slide == full and not parked", sound={"horn": "tone"}),
        ],
        stops=[by_hand.stop("silent", "gear == P", "siren", resume="ask")],
        limits=[by_hand.limit("night", "speed > 1 m/s", 0.4, "task")],
        messages=[by_hand.message("long", "(warning active) held 5 s")],
    )


def is_caught(model: Model, step: Step, text: str, *, steps_n: int = 400) -> str:
    """Who notices: the reader, the proof, a trace of so many steps, or nobody."""
    try:
        program = read_structured_text(text)
    except NotOursError:
        return "reader"
    if prove_same(step, program).differs:
        return "proof"
    life = random_life(model, 7, steps_n)
    slow = [replace(change, elapsed_ms=change.elapsed_ms * 40) for change in life]
    for each in (life, slow):
        try:
            if first_difference(told_by_machine(model, each), told_by_program(model, program, step.facts, each)):
                return "trace"
        except (EndlessError, AssertionError, IndexError, TypeError, UnboundLocalError):
            return "trace"
    return "nobody"


PLANTED = {
    "a not is dropped": (
        r"word_parked := \(read_gear = 0\) AND \(NOT",
        "word_parked := (read_gear = 0) AND (",
        "proof",
    ),
    "a not is dropped in a head": (r"g1_free_road := NOT ", "g1_free_road := ", "proof"),
    ">= becomes >": (r"acts_scene := level_scene >= 0", "acts_scene := level_scene > 0", "proof"),
    "> becomes >=": (r"read_speed > 2\.0", "read_speed >= 2.0", "proof"),
    "and becomes or": (r"word_parked := (.*) AND ", r"word_parked := \1 OR ", "proof"),
    "a colour is another": (r"red_tail := g1_red;", "red_tail := g1_amber;", "proof"),
    "a share is another": (r":= 4000;", ":= 4001;", "proof"),
    "a timer is doubled": (r":= 3000;", ":= 6000;", "trace"),
    "a timer of a message is doubled": (r":= 5000;", ":= 10000;", "trace"),
    "a debounce is dropped": (r"wait_brake_ms := 20;", "wait_brake_ms := 1;", "trace"),
    "a press becomes a release": (r"event_pressed_key := pressed_key", "event_pressed_key := released_key", "trace"),
}


@pytest.mark.parametrize("planted", PLANTED)
def test_a_planted_mistake_is_caught(planted: str) -> None:
    """Case: each kind of mistake in the text is noticed, by the proof where no time is in it."""
    pattern, instead, who = PLANTED[planted]
    model = workshop()
    step = step_of(model)
    text = structured_text(step, ABOUT)
    changed, changed_n = re.subn(pattern, instead, text, count=1)

    assert changed_n == 1, planted
    assert is_caught(model, step, text) == "nobody"
    assert is_caught(model, step, changed) == who


def test_swapped_ranks_are_caught() -> None:
    """Case: the text of a build whose ranks are the other way round isn't taken for this one's."""
    model = workshop()
    swapped = replace(model, ranks=("road", "open", "warn", "traffic", "task", "ease"))
    step = step_of(model)
    program = read_structured_text(structured_text(step_of(swapped), ABOUT))
    same = prove_same(step, Program(program.variables, program.body))

    assert same.differs


SPARED = {
    "IF power_up OR (now_slide <> last_slide)": "looking where nothing is new finds nothing new",
    "WHILE (NOT back) AND (look_at < passed_n) DO": "looking on once it is found finds it again",
    "IF wait_brake_ms >= 0 THEN": "what is over is read in that moment, and waits no more",
    "back := passed_n >= 2;": "the row has a place for every state there is",
    "IF started AND (NOT low) THEN": "nothing runs before the power-up, and no supply is in this build",
    "IF (next_tone = memory_tone) AND (NOT happened) THEN": "the only memory is moved by an event alone",
    "happened := happened OR event_pressed_key;": "the only memory is moved by an event alone",
    "ELSIF power_up OR last_lost_gear THEN": "nobody asks which gear was left",
    "ELSIF power_up OR last_lost_speed THEN": "a number that is back is read at once either way",
    "IF (wait_brake_ms > 0) AND ((pass_ms = 0) OR (wait_brake_ms < pass_ms)) THEN": "of equal times each is nearest",
    "IF (left_1_ms > 0) AND ((pass_ms = 0) OR (left_1_ms < pass_ms)) THEN": "of two equal times either is nearest",
    "IF (left_2_ms > 0) AND ((pass_ms = 0) OR (left_2_ms < pass_ms)) THEN": "of two equal times either is nearest",
}
"""Where a change changes nothing in this build, and why."""


@pytest.mark.slow
def test_single_changes_anywhere_are_caught() -> None:
    """Law: of every not, sign, and, or changed alone, all but those named above are noticed."""
    model = workshop()
    step = step_of(model)
    text = structured_text(step, ABOUT)
    begin = text.index("left_of_step_ms := elapsed_ms")
    found = [
        (match.start(), match[0], instead)
        for old, instead in (("NOT ", ""), (" >= ", " > "), (" AND ", " OR "), (" OR ", " AND "), (" < ", " <= "))
        for match in re.finditer(re.escape(old), text)
        if match.start() > begin
    ]
    survivors = []
    for place, old, instead in found:
        changed = text[:place] + instead + text[place + len(old) :]
        line = text[text.rindex("\n", 0, place) : text.index("\n", place)].strip()
        if not line.startswith(tuple(SPARED)) and is_caught(model, step, changed, steps_n=3_000) == "nobody":
            survivors.append((line, old, instead))

    assert len(found) > 90
    assert survivors == []
