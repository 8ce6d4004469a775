"""Who lets which finding stand, why, and until when?"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from coachwright.build.sections.base import IsoDate, Line, Section, Written, said
from coachwright.kit.fields import wrong


def _code(value: Any) -> Any:
    if isinstance(value, str):
        letters, dash, number = value.partition("-")
        if (
            dash
            and 2 <= len(letters) <= 8
            and letters.isascii()
            and letters.isalnum()
            and letters.isupper()
            and number.isdecimal()
            and number.isascii()
            and len(number) <= 4
        ):
            return value
    raise wrong(
        "BLD-028",
        "code-not-read",
        str(value),
        why="A waiver names the code of one finding.",
        write="Write it like HSE-004, as it stands in the finding.",
    )


Code = Annotated[
    str, BeforeValidator(_code), WithJsonSchema({"type": "string", "pattern": "^[A-Z0-9]{2,8}-[0-9]{1,4}$"})
]


class Waiver(Written):
    """One finding that somebody lets stand. It shows on every paper."""

    code: Code = said("code of the finding", "HSE-004")
    about: Line = said("build path the finding is about", "lamps.corner")
    by: Line = said("who lets it stand", "shop lead")
    why: Line = said("for what reason", "the customer's letter of 2026-10-02")
    until: IsoDate = said("last day on which it holds", "2027-03-15")


SECTION = Section(
    "waivers",
    "entries",
    Waiver,
    "Who lets which finding stand, why, and until when?",
    """\
waivers:
  corner-close: {code: HSE-004, about: lamps.corner, by: shop lead, why: measured on the mock-up, until: "2027-03-15"}
""",
)
