"""Every field of the build language has help and examples, and the examples can be read."""

from collections.abc import Iterator
from typing import Annotated, Any, get_args, get_type_hints

import pytest
from pydantic import BaseModel, TypeAdapter
from pydantic.fields import FieldInfo

from coachwright.build.language import SECTIONS
from coachwright.build.sections.base import Section
from coachwright.build.written import read_written
from coachwright.kit.nodes import read_nodes


def models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    """Every schema an annotation leads to, once."""
    waiting, seen = [annotation], set[type[BaseModel]]()
    while waiting:
        here = waiting.pop()
        if isinstance(here, type) and issubclass(here, BaseModel) and here not in seen:
            seen.add(here)
            yield here
            waiting += [field.annotation for field in here.model_fields.values()]
            waiting += [get_type_hints(here).get("__pydantic_extra__")]
        waiting += get_args(here)


FIELDS = [
    (f"{section.name}.{model.__name__}.{field.alias or name}", field)
    for section in SECTIONS.values()
    for model in models_in(section.item)
    for name, field in model.model_fields.items()
]


def test_the_language_has_many_fields() -> None:
    """Law: the walk through the schemas finds them: a handful would mean it stopped at the first level."""
    assert len(SECTIONS) >= 20
    assert len(FIELDS) >= 80


@pytest.mark.parametrize(("name", "field"), FIELDS, ids=[name for name, _ in FIELDS])
def test_every_field_has_help(name: str, field: FieldInfo) -> None:
    """Law: a lead who completes a field in an editor reads what it is for."""
    assert field.description, name
    assert not field.description[0].isupper() or field.description.split()[0].isupper(), "help goes on from the name"


@pytest.mark.parametrize(("name", "field"), FIELDS, ids=[name for name, _ in FIELDS])
def test_every_example_of_a_field_is_read(name: str, field: FieldInfo) -> None:
    """Law: each field shows at least one example, and what is shown can be written."""
    annotated: Any = field.annotation
    for piece in field.metadata:
        annotated = Annotated[annotated, piece]
    reader: TypeAdapter[Any] = TypeAdapter(annotated)

    assert field.examples, name
    for example in field.examples:
        reader.validate_python(example)


@pytest.mark.parametrize("section", SECTIONS.values(), ids=lambda section: section.name)
def test_the_example_of_a_section_is_read(section: Section) -> None:
    """Law: every section shows itself as it could stand in a file; nothing in it is refused by its own fields."""
    document = read_nodes(section.example, file=f"{section.name}.yaml")
    written = read_written(document)
    told = [trouble for trouble in written.troubles if trouble.name != "field-missing" or trouble.path]

    assert document.findings == ()
    assert [(trouble.path, trouble.why) for trouble in told] == []
    assert isinstance(document.plain, dict)
    assert section.name in document.plain


@pytest.mark.parametrize("section", SECTIONS.values(), ids=lambda section: section.name)
def test_every_section_asks_a_question(section: Section) -> None:
    """Law: a section is named for the question the lead answers there."""
    assert section.question.endswith("?")
