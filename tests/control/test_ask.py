"""control.ask: what the vehicle does at a setting, and who else wanted to."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.ask import Answer, ask
from coachwright.control.machine import outputs_of, power_up, start_inputs
from coachwright.control.situations import judged, machine_of, settle
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.units import parse

QUILLBACK = Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml"


@pytest.fixture(scope="module")
def model() -> Model:
    """The example job."""
    loaded = load_build(QUILLBACK)
    assert loaded.model is not None
    return loaded.model


def asked(model: Model, text: str) -> Answer:
    """Ask with the units of the doors."""
    return ask(model, text, read_number=parse)


def shows(answer: Answer, head: str) -> list[tuple[str, str, str]]:
    """(colour, owner, manner) of a head."""
    state = answer.settled.outputs.head(head)
    return [(part.colour, part.owner, part.show.manner) for part in state.parts]


def test_brake_takes_the_tail_through_the_warning(model: Model) -> None:
    """Brake shows steady red through the flashing; the warning wanted the head too and is named."""
    answer = asked(model, "slide=full brake=on gear=D")

    assert shows(answer, "tail.left") == [("red", "brake-shows", "steady")]
    said = " ".join(answer.as_text().split())
    assert "tail (both) burn steady red: brake-shows (road). Also wanted by warning (warn)." in said


def test_turn_beats_brake_on_its_side_only(model: Model) -> None:
    """The turning side shows amber with the wire, the other side the brake."""
    answer = asked(model, "slide=full brake=on gear=D turn-left=on")

    assert shows(answer, "tail.left") == [("amber", "turn-left-shows", "follow")]
    assert shows(answer, "tail.right") == [("red", "brake-shows", "steady")]
    assert "brake-shows (road, beaten by turn-left-shows)" in " ".join(answer.as_text().split())


def test_takedown_takes_the_head_whole(model: Model) -> None:
    """A show is the whole statement for its head: no red flashes beside the white."""
    assert shows(asked(model, "slide=full gear=D takedown=on"), "visor.3") == [("white", "takedown-on", "steady")]
    assert [each[0] for each in shows(asked(model, "slide=full gear=D takedown=on"), "visor.1")] == ["red", "white"]


def test_an_open_hatch_keeps_its_bar_dark(model: Model) -> None:
    """The bar behind the hatch would shine into the crew's eyes."""
    answer = asked(model, "slide=mid hatch=open")

    assert shows(answer, "cap-bar.1") == []
    assert "cap-bar.1-6 are kept dark: hatch-open (open)." in answer.as_text()


def test_a_situation_can_be_the_beginning(model: Model) -> None:
    """Its settings hold but for those named behind it."""
    answer = asked(model, "answering headlamps=on")

    assert dict(answer.situation.settings)["slide"] == "full"
    assert "Dimmed by night-dim." in answer.as_text()
    assert "main-siren sounds wail: siren." in answer.as_text()


def test_numbers_carry_units(model: Model) -> None:
    """45 mph is 20.1 m/s inside, 45 mph in print."""
    answer = asked(model, "speed=45 mph gear=D")

    assert dict(answer.situation.settings)["speed"] == pytest.approx(20.1168)
    assert "speed 45 mph" in answer.as_text().splitlines()[0]


def test_json_names_every_head_once(model: Model) -> None:
    """The same answer for programs."""
    data = asked(model, "slide=low").as_json()

    assert [each["head"] for each in data["heads"]] == [head.id for head in model.heads]
    assert data["memory"]["tone"] == "standby"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("slied=full", "Nothing that can be set is called slied. Closest: slide."),
        ("slide=fll", "slide is never fll; it is off, low, mid, full. Closest: full."),
        ("speed=45", "speed: "),
        ("tone=wial", "tone is never wial; it is standby, wail, yelp, hilo. Closest: wail."),
        ("answring brake=on", "answring is no situation of this build. Closest: answering."),
        ("slied=full spede=3 mph", "Closest: speed."),
        ("x" * 3000, "2,000 is the most"),
    ],
)
def test_what_does_not_exist_is_said_with_the_nearest_name(model: Model, text: str, told: str) -> None:
    """All of it at once."""
    with pytest.raises(CoachwrightError) as refused:
        asked(model, text)

    assert told in str(refused.value)


# ---- law
@given(st.sampled_from(["answering", "on-scene", "patrolling", "lane-closed", "on-scene-night"]))
def test_asking_a_situation_is_judging_it(name: str) -> None:
    """Law: `ask` equals the machine, situation by situation."""
    loaded = load_build(QUILLBACK)
    assert loaded.model is not None

    assert asked(loaded.model, name).settled.outputs == judged(loaded.model, name)


@given(
    slide=st.sampled_from(["off", "low", "mid", "full"]),
    gear=st.sampled_from(["P", "R", "N", "D"]),
    arrow=st.sampled_from(["none", "left", "right", "split"]),
    brake=st.sampled_from(["off", "on"]),
    turn=st.sampled_from(["turn-left=on", "turn-right=on", "hazard=on", ""]),
)
def test_ask_equals_the_machine(slide: str, gear: str, arrow: str, brake: str, turn: str) -> None:
    """Law: the answer is what the step puts out once the same settings have come to rest."""
    loaded = load_build(QUILLBACK)
    assert loaded.model is not None
    answer = asked(loaded.model, f"slide={slide} gear={gear} arrow={arrow} brake={brake} {turn}")
    machine = machine_of(loaded.model)
    inputs, kept = start_inputs(machine, dict(answer.situation.settings))
    begun, _ = power_up(machine, inputs, kept=kept)

    assert answer.settled == settle(machine, answer.situation)
    assert {s.head for s in outputs_of(machine, begun).heads} == {s.head for s in answer.settled.outputs.heads}


@given(st.text(max_size=80))
def test_no_question_breaks_it(text: str) -> None:
    """Law: an answer, or one clear refusal."""
    loaded = load_build(QUILLBACK)
    assert loaded.model is not None
    told = ""
    try:
        told = asked(loaded.model, text).as_text()
    except CoachwrightError as refused:
        told = str(refused)
    assert told


# ---- what one should know
def test_a_switch_may_stand_alone_anywhere(model: Model) -> None:
    """`brake` is brake=on, before the pairs and behind a value."""
    for text in ("brake slide=full gear=D", "slide=full brake gear=D", "slide=full gear=D speed=45 mph brake"):
        assert shows(asked(model, text), "tail.left") == [("red", "brake-shows", "steady")]


def test_what_is_lost_falls_silent_after_all_has_come_to_rest(model: Model) -> None:
    """The gear is lost in D at 45 mph: it reads D, the last value before the loss."""
    answer = asked(model, "answering gear=lost")

    assert "gear is lost and reads D." in answer.as_text()
    assert shows(answer, "high-beam.left") == [("white", "beam-flash", "pattern")]


def test_a_level_held_down_is_told(model: Model) -> None:
    """Full in Park shows mid: the answer says so."""
    assert "warning shows its level mid, though slide stands at full." in asked(model, "slide=full gear=P").as_text()


def test_what_keeps_its_last_value_is_told(model: Model) -> None:
    """`last` is either value; the answer is for one of them and says which."""
    said = asked(model, "slide=low wigwag=on cruise=off").as_text()

    assert "red-mode keeps its last value and is taken as off here; it may as well be on." in said
    assert "wigwag keeps" not in said


def test_a_memory_that_is_taken_away_is_told(model: Model) -> None:
    """A supply of 14 V for a minute ends the shed stage that was asked for."""
    answer = asked(model, "stage=one supply=14 V")

    assert "stage was put at one, and a move took it to none." in answer.as_text()
    assert answer.as_json()["to-know"][0] == "stage was put at one, and a move took it to none."


def test_what_the_body_excludes_is_told(model: Model) -> None:
    """The engine off at 70 mph: judged all the same, and said."""
    assert "The vehicle can't be so: " in asked(model, "gear=P speed=45 mph").as_text()
    assert "The vehicle can't be so: " not in asked(model, "gear=lost speed=45 mph").as_text()


def test_two_situations_can_not_both_begin(model: Model) -> None:
    """One of them has to go."""
    with pytest.raises(CoachwrightError, match="answering and on-scene can't both"):
        asked(model, "answering on-scene")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("slide=full slide=low", "slide is set more than once: full and low. Keep one of them."),
        ("speed=45", "speed: 45 of what? Write 45 mph or 45 km/h."),
        ("speed=-5 mph", "speed goes from 0 mph to 105 mph; -5 mph is outside."),
        ("speed=9999 mph", "speed goes from 0 mph to 105 mph; 9999 mph is outside."),
    ],
)
def test_a_setting_that_cannot_be_meant_is_refused_with_what_to_write(model: Model, text: str, told: str) -> None:
    """Case: the same control twice, a number without unit, and a speed this body never has (its file says 105 mph)."""
    with pytest.raises(CoachwrightError) as refused:
        ask(model, text, read_number=parse)
    assert str(refused.value) == told
