"""What every section of a build file is made of: fields with help and an example, and how the section is laid out.

A section's file says what may be *written*; what it means is found out by coachwright.build.resolve.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from coachwright.kit.fields import Name, Text, wrong

Shape = Literal["one", "entries", "list"]
"""one: fields of its own, or a single word. entries: a name and an item each. list: items without a name."""


class Written(BaseModel):
    """Base of everything in a build file. Field names are written with hyphens; unknown ones are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", alias_generator=lambda name: name.replace("_", "-"))  # type: ignore[pydantic-alias]


@dataclass(frozen=True, slots=True)
class Section:
    """One section of the build file.

    Parameters
    ----------
    name : as written, with hyphens.
    shape : how it is laid out.
    item : type of one entry, of one list item, or of the whole.
    question : what the lead answers there.
    example : the section as it could stand in a file.
    keys : what its entries stand under: names; numbers from 1 on; or paths (``visor.3``, ``equipment.main-siren``).
    """

    name: str
    shape: Shape
    item: Any
    question: str
    example: str
    keys: Literal["names", "numbers", "paths"] = "names"


def said(help_text: str, *examples: Any, default: Any = ..., **more: Any) -> Any:
    """A field with its help and at least one example of what can stand there."""
    return Field(default=default, description=help_text, examples=list(examples), **more)


def as_written(example: Any) -> str:
    """An example as it could stand in a file, on one line."""
    if isinstance(example, dict):
        return "{" + ", ".join(f"{name}: {as_written(value)}" for name, value in example.items()) + "}"
    if isinstance(example, list):
        return f"[{', '.join(map(as_written, example))}]"
    return str(example)


def one_or_more(value: Any) -> Any:
    """A single item where a list of one is meant."""
    return (value,) if isinstance(value, str) else value


_SELECTOR = re.compile(
    r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.(?:left|right))?(?:\.(?:ends|[0-9]{1,3}(?:-[0-9]{1,3})?))?", re.ASCII
)
_PLACE = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.[a-z0-9]+(?:-[a-z0-9]+)*){0,2}", re.ASCII)


def _selector(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= 80 and _SELECTOR.fullmatch(value):
        return value
    if value == "*":
        raise wrong("BLD-017", "selector-not-read", "*", why="* doesn't name heads.", write="Write all.", near="all")
    raise wrong(
        "BLD-017",
        "selector-not-read",
        str(value),
        why=f"{_shown(value)} doesn't name heads.",
        write="Write a lamp or group, with .left or .right, and .3, .3-6 or .ends behind it.",
    )


def _place(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= 80 and _PLACE.fullmatch(value):
        return value
    raise wrong(
        "BLD-018",
        "place-not-read",
        str(value),
        why=f"{_shown(value)} doesn't name a place.",
        write="Write it like grille, console.panel or bumper-behind.left.",
    )


def _shown(value: Any) -> str:
    if not isinstance(value, str):
        return "A list"
    line = " ".join(value.split())
    return f"{line[:40]}" if line else "Nothing"


Selector = Annotated[
    str, BeforeValidator(_selector), WithJsonSchema({"type": "string", "pattern": f"^{_SELECTOR.pattern}$"})
]
Selectors = Annotated[
    tuple[Selector, ...],
    BeforeValidator(one_or_more),
    Field(min_length=1, max_length=200),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "pattern": f"^{_SELECTOR.pattern}$"},
                {"type": "array", "items": {"type": "string", "pattern": f"^{_SELECTOR.pattern}$"}, "minItems": 1},
            ]
        }
    ),
]
PlaceName = Annotated[
    str, BeforeValidator(_place), WithJsonSchema({"type": "string", "pattern": f"^{_PLACE.pattern}$"})
]


def _all_different(values: tuple[str, ...]) -> tuple[str, ...]:
    twice = next((value for index, value in enumerate(values) if value in values[:index]), None)
    if twice is not None:
        raise wrong(
            "BLD-019", "item-twice", twice, why=f"{twice} stands twice in this list.", write="Keep one of the two."
        )
    return values


Names = Annotated[
    tuple[Name, ...],
    BeforeValidator(one_or_more),
    Field(max_length=500),
    AfterValidator(_all_different),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
"""One name, or a list of different ones."""

Values = Annotated[tuple[Name, ...], Field(min_length=2, max_length=60), AfterValidator(_all_different)]
"""At least two different values, in their order."""


def _condition(value: Any) -> Any:
    if isinstance(value, str) and value.strip():
        return value
    if isinstance(value, str):
        raise wrong(
            "BLD-010",
            "text-expected",
            "",
            why="A condition is missing here.",
            write="Write always if it holds at all times.",
        )
    raise wrong(
        "BLD-010",
        "text-expected",
        "",
        why="A condition is one line of text.",
        write="Write it like gear == P; put it in quotes if it holds a comma, a colon or brackets.",
    )


ConditionText = Annotated[
    str, BeforeValidator(_condition), WithJsonSchema({"type": "string", "description": "a condition", "minLength": 1})
]
"""Kept as text here; what the names in it mean is known only when everything has been read."""


def _iso_date(value: Any) -> Any:
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value, re.ASCII):
        try:
            date.fromisoformat(value)
        except ValueError:
            pass  # no such day; told below
        else:
            return value
    raise wrong(
        "BLD-020",
        "date-not-read",
        str(value),
        why="A day of the calendar belongs here.",
        write="Write it like 2027-03-15.",
    )


IsoDate = Annotated[
    str, BeforeValidator(_iso_date), WithJsonSchema({"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"})
]


def _line(value: Any) -> Any:
    if isinstance(value, str) and value.strip() and len(value) <= 2000:
        return value
    raise wrong(
        "BLD-010", "text-expected", "", why="One line of text belongs here.", write="Write it behind the colon."
    )


Line = Annotated[str, BeforeValidator(_line), WithJsonSchema({"type": "string", "minLength": 1})]
"""Text that has to say something."""

__all__ = [
    "ConditionText",
    "IsoDate",
    "Line",
    "Name",
    "Names",
    "PlaceName",
    "Section",
    "Selector",
    "Selectors",
    "Text",
    "Values",
    "Written",
    "as_written",
    "one_or_more",
    "said",
]
