"""Which version of the language is this file written in?"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from coachwright.build.sections.base import Section
from coachwright.kit.fields import wrong

VERSION = 1


def _version(value: Any) -> Any:
    if value in (VERSION, str(VERSION)):
        return VERSION
    later = isinstance(value, str) and value.isdecimal() and len(value) < 6 and int(value) > VERSION
    raise wrong(
        "BLD-021",
        "language-version",
        str(value),
        why=f"This coachwright reads version {VERSION} of the language.",
        write="Read it with a later coachwright." if later else f"Write coachwright: {VERSION}.",
    )


Version = Annotated[int, BeforeValidator(_version), WithJsonSchema({"enum": [str(VERSION)]})]

SECTION = Section(
    "coachwright",
    "one",
    Version,
    "Which version of this language is the file written in?",
    "coachwright: 1",
)
