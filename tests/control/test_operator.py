"""What an operator card says of small builds by hand, sentence by sentence; the machine bears all of it out."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from coachwright.build.condition import And, First, Not, Truth
from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.operator import card_facts
from coachwright.control.operator_claims import Act, Claim, Expect, Stage
from coachwright.control.operator_facts import Facts
from coachwright.control.operator_words import NAMED
from tests.control.by_hand import (
    build,
    button,
    function,
    limit,
    memory,
    message,
    number,
    on_off,
    pick_one,
    show,
    slide,
    states,
    stop,
    toggle,
    turn_wires,
)
from tests.control.machines import models

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))


def said(facts: Facts) -> dict[str, list[str]]:
    """Per title, every sentence; labels before the first one of a line. Marks taken out."""
    found: dict[str, list[str]] = {}
    for entry in (*facts.entries, *facts.messages):
        for line in entry.lines:
            for place, sentence in enumerate(line.sentences):
                label = f"{line.label}: " if line.label and place == 0 else ""
                found.setdefault(entry.title, []).append(label + plain(sentence.text))
    return found


def plain(text: str) -> str:
    """Without the marks round names."""
    return text.replace(NAMED[0], "").replace(NAMED[1], "")


def of(**written: Any) -> dict[str, list[str]]:
    """What the card of a build by hand says."""
    return said(card_facts(build(**written)))


def example(path: Path) -> Model:
    """One of the shipped builds."""
    model = load_build(path).model
    assert model is not None
    return model


def everything(facts: Facts) -> list[object]:
    """All texts of a card, in its order."""
    entries = [
        (
            entry.title,
            entry.hand,
            entry.place,
            [(line.label, [each.text for each in line.sentences]) for line in entry.lines],
        )
        for entry in (*facts.entries, *facts.messages)
    ]
    return [*entries, *(each.text for each in (*facts.first, *facts.power)), *((n, s.text) for n, s in facts.words)]


# --------------------------------------------------------------------------------------------------------------- cases
def test_a_switch_says_what_it_lights() -> None:
    """Case: one toggle, one lamp."""
    assert of(
        inputs=[toggle("takedown")],
        heads=["grille"],
        functions=[function("f", "task", "takedown", show=show("grille", white="steady"))],
    ) == {"Takedown": ["The grille shines steady white."]}


def test_levels_add_to_those_beneath() -> None:
    """Case: `as low, and ...`, because what lower levels show stays on heads a level doesn't name."""
    levels = {
        "low": [show("rear", red="single")],
        "full": [show("front", white="single"), show("rear", red="single", white="double")],
    }
    found = of(
        inputs=[slide("slide", "off", "low", "full")],
        heads=["front", "rear"],
        functions=[function("warning", by="slide", levels=levels)],
    )

    assert found == {
        "Slide": [
            "low: The rear flashes red.",
            "full: As low, and the front flashes white; the rear also flashes white.",
        ]
    }


def test_a_level_in_another_rhythm_is_not_told_as_the_same() -> None:
    """Case: same colours, other flashes."""
    levels = {"low": [show("rear", red="single")], "full": [show("rear", red="double")]}
    found = of(
        inputs=[slide("slide", "off", "low", "full")],
        heads=["rear"],
        functions=[function("warning", by="slide", levels=levels)],
    )

    assert found["Slide"][1] == "full: As low, and the rear changes to double flashes."


def test_exceptions_are_told_and_words_explained() -> None:
    """Case: a word of one comparison is opened, one of several keeps its name and is explained."""
    facts = card_facts(
        build(
            inputs=[toggle("scene"), states("gear", "P", "D"), on_off("park-brake"), number("speed")],
            heads=["side"],
            words={"parked": "gear == P or (park-brake and speed < 3 mph)", "fast": "speed > 20 mph held 3 s"},
            functions=[
                function("one", "task", "scene and parked and not fast", show=show("side", white="steady 60 %")),
            ],
        )
    )

    assert said(facts)["Scene"] == [
        "The side shines steady white at 60 %.",
        "Only while parked.",
        "Not while your speed has been above 20 mph for 3 s.",
    ]
    assert [(name, plain(sentence.text)) for name, sentence in facts.words] == [
        ("parked", "The gear is in Park, or the parking brake is set and your speed is under 3 mph.")
    ]


def test_a_stop_that_wants_to_be_asked_says_so() -> None:
    """Case: `stops when ...; then choose it again`; a plain stop says `off while ...`."""
    found = of(
        inputs=[pick_one("arrow", "none", "left"), number("speed"), on_off("tray")],
        heads=["b1", "b2", "b3", "b4"],
        functions=[
            function("run", "traffic", by="arrow", one_level=True,
                     levels={"left": [show("b1", "b2", "b3", "b4", amber="run-left")]}),
        ],
        stops=[stop("fast", "speed > 25 mph", "run", resume="ask"), stop("tray", "tray", "run")],
    )  # fmt: skip

    assert found["Arrow"] == [
        "left: The b1, b2, b3 and b4 run amber to the left.",
        "Stops when your speed is above 25 mph; then choose it again.",
        "Off while tray.",
    ]


def test_a_press_that_is_remembered() -> None:
    """Case: a tone starts by a press, ends when its slide is moved, and wants another press."""
    found = of(
        inputs=[slide("slide", "off", "full"), button("wail-key"), button("ring")],
        memories=[
            memory("tone", "standby", "wail", "yelp", moves=[
                {"on": "slide leaves full", "to": "standby"},
                {"on": "pressed wail-key", "to": "wail"},
                {"on": "pressed ring", "next": ["wail", "yelp"]},
            ]),
        ],
        equipment=["siren"],
        functions=[function("loud", "warn", "tone != standby and slide == full", sound={"siren": "tone"})],
    )  # fmt: skip

    ends = "Ends when you move the slide off full; then press again."
    assert found["Wail key"] == ["Press: The siren sounds wail.", "Only while the slide is at full.", ends]
    assert found["Ring"] == [
        "Press: With each press in turn: the siren sounds wail, then yelp.",
        "Only while the slide is at full.",
        ends,
    ]
    assert found["Slide"] == ["Only at full do these work: ring or wail key."]


def test_a_button_with_a_time() -> None:
    """Case: while held, for at most so long."""
    found = of(
        inputs=[button("low-tone")],
        equipment=["siren"],
        functions=[function("low", "task", "first 20 s of low-tone", sound={"siren": "low"})],
    )

    assert found == {"Low tone": ["Hold: The siren sounds low.", "For 20 s at most."]}


def test_what_the_vehicle_does_by_itself() -> None:
    """Case: brake and turn; who comes first on one lamp; a hatch that darkens a bar; a fan that runs on."""
    facts = card_facts(
        build(
            inputs=[
                on_off("brake"),
                turn_wires(),
                states("hatch", "closed", "open"),
                states("locker", "closed", "open"),
            ],
            heads=["tail", "bar"],
            equipment=["fan"],
            functions=[
                function("stop-light", "road", "brake", show=show("tail", red="steady")),
                function(
                    "turning",
                    "road",
                    "turn-left",
                    wins_over=["stop-light"],
                    show=show("tail", amber="follow turn-left"),
                ),
                function("dark", "open", "hatch == open", show=show("bar", dark=True)),
                function("run-on", "ease", "locker == closed and (locker == open plus 20 min)", runs=["fan"]),
            ],
        )
    )

    assert said(facts) == {
        "Brake": ["The tail shines steady red."],
        "Left turn signal": ["The tail flashes amber with the left turn signal."],
        "Hatch": ["open: The bar stays dark."],
        "Locker": ["closed: The fan runs.", "For 20 min after the locker was open."],
    }
    assert [each.text for each in facts.first] == ["On one lamp left turn signal comes before brake."]


def test_dimming_and_messages() -> None:
    """Case: a limit says what it dims; a message says why it is shown."""
    found = of(
        inputs=[toggle("cruise"), on_off("headlamps"), on_off("belt-driver"), number("speed")],
        heads=["visor"],
        functions=[function("on", "ease", "cruise", show=show("visor", red="steady"))],
        limits=[limit("night", "headlamps held 3 s", 0.4, "ease")],
        messages=[message("Fasten belts", "not belt-driver and speed > 5 mph")],
    )

    assert found["Dimming"] == ["While the headlamps have been on for 3 s, the light of cruise goes down to 40 %."]
    assert found["Fasten belts"] == ["The driver's belt is open and your speed is above 5 mph."]


def test_lefts_and_rights_that_do_alike_are_one() -> None:
    """Case: two switches that differ in nothing but the side."""
    found = of(
        inputs=[toggle("alley-left", at="panel"), toggle("alley-right", at="panel")],
        heads=["left-mirror", "right-mirror"],
        functions=[
            function(f"{side}-on", "task", f"alley-{side}", show=show(f"{side}-mirror", white="steady"))
            for side in ("left", "right")
        ],
    )

    assert found == {"Alley left, alley right": ["The mirror lamp on that side shines steady white."]}


def test_a_control_that_does_nothing_says_so() -> None:
    """Case: nobody reads it."""
    assert of(inputs=[toggle("spare")]) == {"Spare": ["Does nothing in this vehicle."]}


def test_a_control_that_others_need_names_them() -> None:
    """Case: a master switch starts nothing; what works only with it is named."""
    found = of(
        inputs=[toggle("on-duty"), toggle("beams"), toggle("scene")],
        heads=["a", "b"],
        functions=[
            function("one", "warn", "beams and on-duty", show=show("a", white="single")),
            function("two", "warn", "scene and on-duty", show=show("b", white="single")),
        ],
    )

    assert found["On duty"] == ["Only while it is on do these work: beams and scene."]
    assert found["Beams"] == ["The a flashes white.", "Only while on duty is on."]


def test_key_cable_and_power() -> None:
    """Case: what holds when the panel's cable is lost, and what comes back after a loss of power."""
    facts = card_facts(
        build(
            inputs=[
                slide("slide", "off", "full"), toggle("cruise", start="last"), toggle("scene"),
                number("supply", "voltage", rest=13.8),
            ],
            heads=["a", "b", "c"],
            functions=[
                function("w", "warn", by="slide", levels={"full": [show("a", red="single")]}),
                function("e", "ease", "cruise", show=show("b", red="steady")),
                function("t", "task", "scene", show=show("c", white="steady")),
            ],
            least_supply_v=9.0,
        )
    )  # fmt: skip

    assert [each.text for each in facts.power] == [
        "If the cable of the panel fails, slide stays as you left it and all else here goes off.",
        "After a loss of power, cruise comes back as you left it and the other switches begin off.",
    ]


# ---------------------------------------------------------------------------------------------------------------- laws
def check_borne_out(model: Model, facts: Facts) -> int:
    """Every sentence has claims, and the machine bears out each. How many there were."""
    stage = Stage(model)
    claims = 0
    for sentence in facts.sentences:
        assert sentence.claims, sentence.text
        for claim in sentence.claims:
            assert stage.wrong(claim) == (), (sentence.text, claim)
            claims += 1
    return claims


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_sentence_of_an_example_is_true_of_its_machine(path: Path) -> None:
    """Law: what a card claims is what the step does."""
    model = example(path)
    facts = card_facts(model)

    assert check_borne_out(model, facts) >= 100
    assert facts.unsaid == ()


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(models())
def test_every_sentence_of_any_card_is_true_of_its_machine(model: Model) -> None:
    """Law, on random machines; and no control is passed over."""
    facts = card_facts(model)

    check_borne_out(model, facts)
    told = {name for entry in facts.entries for name in entry.names}
    assert {item.name for item in model.inputs if item.is_control} <= told


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_control_of_an_example_is_told(path: Path) -> None:
    """Law: a driver finds each control, if only to read that it does nothing."""
    model = example(path)
    told = {name for entry in card_facts(model).entries for name in entry.names}

    assert {item.name for item in model.inputs if item.is_control} <= told


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_function_of_an_example_is_told(path: Path) -> None:
    """Law: for each function some claim says that it acts."""
    model = example(path)
    acting = {
        each.name
        for sentence in card_facts(model).sentences
        for claim in sentence.claims
        for each in claim.expects
        if each.what == "acts"
    }

    assert {each.name for each in model.functions} <= acting


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_order_of_the_file_decides_nothing(path: Path) -> None:
    """Law: shuffled sections give the same card, word for word."""
    model = example(path)
    sections = ("functions", "inputs", "words", "memories", "stops", "limits", "messages", "groups", "equipment")
    mixed = random.Random(417)
    changes: dict[str, Any] = {
        name: tuple(mixed.sample(getattr(model, name), len(getattr(model, name)))) for name in sections
    }

    assert everything(card_facts(replace(model, **changes, digest=""))) == everything(card_facts(model))


def test_a_claim_that_is_not_true_is_told_as_wrong() -> None:
    """Law: the check can fail, in every way a claim can be wrong."""
    model = build(
        inputs=[toggle("a"), states("hatch", "closed", "open")],
        heads=["h", "i"],
        words={"w": "a"},
        memories=[memory("m", "x", "y", moves=[{"on": "a", "to": "y"}])],
        equipment=["siren", "fan"],
        functions=[function("f", "warn", "a", show=show("h", red="single"), sound={"siren": "wail"}, runs=["fan"])],
        limits=[limit("dim", "hatch == open", 0.5, "warn")],
        messages=[message("hello", "a")],
    )
    true = (
        Expect("acts", "f"), Expect("lit", "h", "red flash 1"), Expect("dark", "i"), Expect("has", "h", "f"),
        Expect("sounds", "siren", "wail"), Expect("runs", "fan"), Expect("says", "hello"), Expect("reads", "a", "on"),
        Expect("at", "m", "y"), Expect("holds", "w"),
    )  # fmt: skip
    wrong = (
        Expect("idle", "f"), Expect("stopped", "f"), Expect("waits", "f"), Expect("lit", "h", "white flash 1"),
        Expect("dark", "h"), Expect("has", "i", "f"), Expect("sounds", "siren", "yelp"), Expect("runs", "siren"),
        Expect("cut", "fan"), Expect("quiet", "hello"), Expect("reads", "a", "off"), Expect("at", "m", "x"),
        Expect("fails", "w"), Expect("level", "f", "x"), Expect("dimmed", "h", "dim"),
    )  # fmt: skip
    stage = Stage(model)

    assert stage.wrong(Claim((("a", "on"),), true)) == ()
    assert len(stage.wrong(Claim((("a", "on"),), wrong))) == len(wrong)
    assert stage.wrong(Claim((), (Expect("dimmed", "h", "dim"),), (), (Act((("hatch", "open"), ("a", "on"))),))) == ()


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("cruise-on", {"when": Truth("cruise")}),
        ("scene-on", {"when": And((Truth("scene"), Not(Truth("parked"))))}),
        ("hatch-open", {"rank": "ease"}),
        ("low-tone-on", {"when": First(Truth("low-tone"), 40_000)}),
        ("turn-left-shows", {"wins_over": ()}),
        ("warning", {"at_most": ()}),
    ],
)
def test_a_card_is_not_true_of_another_machine(name: str, change: dict[str, Any]) -> None:
    """Law: a mistake in one function is a claim that fails: the sentences pin the machine down."""
    path = next(each for each in EXAMPLES if each.parent.name == "quillback")
    model = example(path)
    mistaken = tuple(replace(each, **change) if each.name == name else each for each in model.functions)
    stage = Stage(replace(model, functions=mistaken, digest=""))
    claims = [claim for sentence in card_facts(model).sentences for claim in sentence.claims]

    assert any(stage.wrong(claim) for claim in claims)


def test_what_the_machine_does_not_bear_out_is_not_said() -> None:
    """Law: a sentence with a claim that fails never reaches the card."""
    from coachwright.control.operator_reading import Reading
    from coachwright.control.operator_settings import Settings
    from coachwright.control.operator_told import Teller
    from coachwright.control.operator_words import Wording

    model = build(
        inputs=[toggle("a")], heads=["h"], functions=[function("f", "warn", "a", show=show("h", red="single"))]
    )
    asked = Settings(model)
    teller = Teller(model, asked, Stage(model), Wording(model), Reading(model))
    on, off = Claim((("a", "on"),), (Expect("acts", "f"),)), Claim((), (Expect("acts", "f"),))

    assert [each.text for each in teller.sentence("it burns.", [on])] == ["It burns."]
    assert list(teller.sentence("it burns.", [on, off])) == []
    assert list(teller.sentence("it burns.", [])) == []
    assert len(teller.unsaid) == 2
    asked.close()
