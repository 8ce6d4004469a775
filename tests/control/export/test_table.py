"""The JSON table is what its schema says, and the schema refuses what isn't."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings

from coachwright.build.load import load_build
from coachwright.control.export.about import About, step_digest
from coachwright.control.export.es_module import es_module
from coachwright.control.export.exported import json_table, table_schema
from coachwright.control.export.program import step_of
from coachwright.control.export.structured_text import structured_text
from coachwright.control.export.syntax import NotOursError
from coachwright.control.export.table import read_table
from coachwright.parts.store import load_catalogue
from tests.control import by_hand
from tests.control.machines import models

ABOUT = About("test", ("Mind it.",))
VOLUNTEER = Path(__file__).parents[3] / "examples" / "volunteer-car" / "build.yaml"


def small() -> dict[str, Any]:
    """The table of a little build."""
    model = by_hand.build(
        inputs=[by_hand.on_off("x")],
        heads=["h"],
        functions=[by_hand.function("f", when="x", show=by_hand.show("h", red="single"))],
    )
    table: dict[str, Any] = json.loads(json_table(step_of(model), ABOUT))
    return table


def problems(table: dict[str, Any]) -> list[str]:
    """What isn't as the schema says."""
    schema = jsonschema.Draft202012Validator(json.loads(table_schema()))
    return [error.message[:200] for error in schema.iter_errors(table)]


def test_the_schema_is_one() -> None:
    """JSON Schema 2020-12: the schema is held by its own meta-schema."""
    schema = json.loads(table_schema())

    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.slow
@settings(max_examples=8)
@given(model=models())
def test_every_table_is_as_the_schema_says(model: Any) -> None:
    """Law: random builds."""
    assert problems(json.loads(json_table(step_of(model), ABOUT))) == []


@pytest.mark.slow
def test_the_table_of_an_example_is_as_the_schema_says() -> None:
    """Case: the volunteer's car."""
    model = load_build(VOLUNTEER, catalogue=load_catalogue(shop_folder=VOLUNTEER.parent / "parts")).model
    assert model is not None

    assert problems(json.loads(json_table(step_of(model), ABOUT))) == []


@pytest.mark.parametrize(
    "change",
    [
        {"version": 2},
        {"step": [["goto", 1]]},
        {"step": [["set", "END_IF", 1]]},
        {"step": [["set", "x", ["call", "y"]]]},
        {"variables": [{"name": "x"}]},
        {"cautions": []},
    ],
)
def test_what_isnt_a_table_is_refused(change: dict[str, Any]) -> None:
    """Case: another version, statements and expressions there aren't, a table without its cautions."""
    assert problems(small()) == []
    assert problems(small() | change) != []


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"format": "coachwright-step", "version": 1}', "nul"])
def test_the_reader_refuses_what_isnt_ours(text: str) -> None:
    """Case: no JSON, another JSON, and one that lacks its step."""
    with pytest.raises(NotOursError):
        read_table(text)


def test_all_three_name_the_same_step() -> None:
    """Law: digests of build and step stand in each form, so that two files can be told to be of one export."""
    model = by_hand.build(inputs=[by_hand.on_off("x")], functions=[by_hand.function("f", when="x")])
    step = step_of(model)

    for write in (structured_text, json_table, es_module):
        assert step_digest(step) in write(step, ABOUT)
