"""Small changes of lamps: what they say as text is what was looked at, and no lamp lights the body it is bolted to."""

import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from coachwright.build.edit import edit_text, from_fix
from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.nodes import Plain, read_nodes
from coachwright.parts.store import load_catalogue
from coachwright.place.checks import place_findings
from coachwright.proof.small_changes import TILT, TURN, Change, exchanges, moves, turned

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = load_catalogue()
NAMES = ["quillback", "volunteer-car", "service-patrol"]


@cache
def text_of(name: str) -> str:
    return (ROOT / "examples" / name / "build.yaml").read_text(encoding="utf-8")


def model_of(text: str) -> Model:
    model = read_build(text, catalogue=CATALOGUE).model
    assert model is not None
    return model


def changes(model: Model, plain: Plain) -> Iterator[Change]:
    """Some of every kind, of every lamp."""
    for lamp in model.lamps:
        for kind, by_deg in ((TURN, 5), (TURN, -23), (TILT, 3), (TILT, -11)):
            change = turned(model, plain, lamp, kind=kind, by_deg=by_deg)
            if change is not None:
                yield change
        yield from list(moves(model, plain, lamp))[:3]
        yield from list(exchanges(model, lamp, model.lamps))[:2]


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_text_says_what_was_looked_at(name: str) -> None:
    """Law: the model a change was tried on has each head where the edited text puts it, and nothing else is touched."""
    text = text_of(name)
    model, plain = model_of(text), read_nodes(text, file="x").plain
    for change in changes(model, plain):
        read = model_of(edit_text(text, from_fix(change.edits, text)).text)
        heads = {head.id: head for head in change.model.heads}
        assert {head.id for head in read.heads} == set(heads)
        for head in read.heads:
            tried = heads[head.id]
            assert head.place == tried.place, change.said
            assert head.aim_rad == pytest.approx(tried.aim_rad), change.said
            assert head.elevation_rad == pytest.approx(tried.elevation_rad), change.said


@pytest.mark.parametrize("name", NAMES)
def test_no_change_turns_a_lamp_into_the_body_or_onto_another(name: str) -> None:
    """Law: PLC-001 to 003 find nothing after a change that they don't find before."""
    text = text_of(name)
    model, plain = model_of(text), read_nodes(text, file="x").plain
    known = {(each.code, each.about) for each in place_findings(model)}
    for number, change in enumerate(changes(model, plain)):
        if number % 5:
            continue  # every fifth is many enough
        found = {(each.code, each.about) for each in place_findings(change.model)}
        assert not {each for each in found - known if each[0] in ("PLC-001", "PLC-002", "PLC-003")}, change.said


def test_angles_are_whole_degrees_and_parts_stay() -> None:
    """Law: nobody sets 43.7 deg in a bay; a part is never exchanged for another."""
    model, plain = model_of(text_of("quillback")), read_nodes(text_of("quillback"), file="x").plain
    for change in changes(model, plain):
        for edit in change.edits:
            assert isinstance(edit.path, tuple)
            assert edit.path[0] == "lamps"
            assert edit.path[2] in ("aim", "elevation", "at")
            if edit.text is not None and edit.path[2] != "at":
                degrees = float(edit.text.removesuffix(" deg"))
                assert degrees == int(degrees)
        assert [head.part for head in change.model.heads] == [head.part for head in model.heads]


def test_a_turn_back_to_nothing_takes_the_word_away() -> None:
    """Case: corner looks 45 deg outward; turned by -45 its aim is gone from the text, not written as 0."""
    text = text_of("quillback")
    model, plain = model_of(text), read_nodes(text, file="x").plain
    corner = next(lamp for lamp in model.lamps if lamp.name == "corner")
    change = turned(model, plain, corner, kind=TURN, by_deg=-45)

    assert change is not None
    new = edit_text(text, from_fix(change.edits, text)).text
    assert "corner:      {part: short-red-white, at: fender-corner, pair: mirrored}" in new
    assert math.isclose(next(head.aim_rad for head in change.model.heads if head.lamp == "corner"), 0.0)


def test_a_lamp_is_not_turned_past_what_its_place_lets_out() -> None:
    """Case: the bar behind the hatch stands at a place that looks out to 60 deg: 61 is refused, 60 is not."""
    text = text_of("quillback")
    model, plain = model_of(text), read_nodes(text, file="x").plain
    bar = next(lamp for lamp in model.lamps if lamp.name == "cap-bar")

    assert turned(model, plain, bar, kind=TURN, by_deg=60) is not None
    assert turned(model, plain, bar, kind=TURN, by_deg=61) is None
