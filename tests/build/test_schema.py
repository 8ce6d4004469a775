"""The language as JSON Schema, and what every section says of itself."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import jsonschema
import pytest
from pydantic import BaseModel, TypeAdapter
from ruamel.yaml import YAML

from coachwright.build.language import SECTIONS
from coachwright.build.schema import json_schema
from coachwright.build.sections.base import Section, as_written
from coachwright.build.written import read_written
from coachwright.kit.nodes import read_nodes
from tests.build import small

ROOT = Path(__file__).resolve().parents[2]
JOBS = [*sorted(Path(__file__).parent.glob("jobs/*.yaml")), *sorted(ROOT.glob("examples/*/build.yaml"))]
VALIDATOR = jsonschema.Draft202012Validator(json_schema())


def as_text(text: str) -> Any:
    """As the door reads it."""
    return read_nodes(text, file="a.yaml").plain


def models() -> list[type[BaseModel]]:
    """Every schema class of every section."""
    from coachwright.build import language
    from coachwright.build.sections.base import Written

    assert language
    waiting, found = [Written], []
    while waiting:
        inner = [
            each for each in waiting.pop().__subclasses__() if each.__module__.startswith("coachwright.build.sections.")
        ]
        found += inner
        waiting += inner
    return sorted(found, key=lambda each: (each.__module__, each.__name__))


def test_it_is_a_schema() -> None:
    """Case: by the dialect it names."""
    jsonschema.Draft202012Validator.check_schema(json_schema())


def as_an_editor(text: str) -> Any:
    """As YAML 1.2 reads it: numbers are numbers, true is a truth, off is a word (yaml.org/spec/1.2, 10.3.2)."""
    return YAML(typ="safe", pure=True).load(text)


@pytest.mark.parametrize("read", [as_text, as_an_editor], ids=["as text", "as an editor reads it"])
def test_a_good_build_passes(read: Any) -> None:
    """Case: with every scalar as text, and as an editor's own YAML reader takes numbers and truths."""
    text = small.whole(
        count="count: 6", equipment=small.BASE["equipment"] + "\n  x: {part: fan, at: floor, count: 2, eject: yes}"
    )

    assert [error.message for error in VALIDATOR.iter_errors(read(text))] == []
    assert [error.message for error in VALIDATOR.iter_errors(read(small.whole(**small.FULL)))] == []


@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_whole_jobs_are_sayable(path: Path) -> None:
    """Case: jobs pass the schema and the stage "fields", without a word."""
    document = read_nodes(path.read_text(encoding="utf-8"), file=path.name)
    troubles = read_written(document).troubles

    assert [error.message for error in VALIDATOR.iter_errors(document.plain)] == []
    assert troubles == ()


@pytest.mark.parametrize(
    ("section", "text"),
    [
        ("lamps", "lamps:\n  a: {part: short-red, at: grille, pare: mirrored}"),
        ("lamps", "lamps:\n  a: {part: short-red}"),
        ("functions", "functions:\n  a: {rank: warn, when: brake, show: [{on: tail, rad: single}]}"),
        ("functions", "functions:\n  a: {when: brake}"),
        ("job", "job: {name: A, law: {x: {answer: perhaps}}}"),
        ("vehicle-lamps", "vehicle-lamps:\n  horn: {reach: by hand}"),
        ("controls", "controls:\n  Big_One: {kind: toggle, at: a}"),
        ("feeds", "feeds:\n  a: {from: main-battery}"),
        ("feeds", "feeds:\n  a: {from: main-battery, on-while: hot, shed: 0}"),
        ("equipment", "equipment:\n  a: {part: fan, at: floor, shed: first}"),
        ("console", "console:\n  body: {part: shelf, at: tunnel}\n  bays: [bay-1 radio mike]"),
        ("cargo", "cargo:\n  a: {part: chest, at: floor, air: inside}"),
        ("marking", "marking:\n  a: {on: hatch}"),
        ("glass", "glass:\n  a: {tint: dark}"),
        ("trailer", "trailer:\n  a: {tongue: 40 kg}"),
        ("parts_by", "parts-by: dealer"),
        ("waivers", "waivers:\n  a: {code: HSE-1, about: a, by: b, why: c, until: soon}"),
    ],
)
def test_what_the_door_refuses_in_a_field_fails(section: str, text: str) -> None:
    """Case: unknown and missing fields, unknown words, names that are none."""
    errors = list(VALIDATOR.iter_errors(as_text(small.whole(**{section: text}))))

    assert [error.absolute_path[0] for error in errors] == [section.replace("_", "-")]


def test_an_unknown_section_fails() -> None:
    """Case: a slip in the name of a section."""
    assert not VALIDATOR.is_valid(as_text(small.whole() + "lampz: {}\n"))


@pytest.mark.parametrize("section", SECTIONS.values(), ids=lambda section: section.name)
def test_every_section_shows_an_example_that_loads(section: Section) -> None:
    """Law: its question is one, and its example is read by the door and passes the schema."""
    said = json_schema()["properties"][section.name]
    document = read_nodes(section.example, file="a.yaml")
    others = "\n".join(text for name, text in small.BASE.items() if name != section.name)

    assert said["description"] == section.question
    assert section.question.endswith("?")
    assert not [each for each in read_written(document).troubles if each.path and each.path[0] == section.name]
    assert not list(VALIDATOR.iter_errors(as_text(f"{others}\n{section.example}\n")))


@pytest.mark.parametrize("model", models(), ids=lambda model: f"{model.__module__.rpartition('.')[2]}.{model.__name__}")
def test_every_field_has_help_and_examples_that_load(model: type[BaseModel]) -> None:
    """Law: a description, and examples that the field takes, as a file would write them too."""
    for name, field in model.model_fields.items():
        taken = TypeAdapter(Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation)
        assert field.description, name
        assert field.examples, name
        for example in field.examples:
            assert as_text(f"x: {as_written(example)}\n") == {"x": example}, name
            taken.validate_python(example)
