"""What stands between the seats, and what is in each bay of it?"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

from coachwright.build.sections.base import Name, PlaceName, Section, Text, Written, one_or_more, said
from coachwright.kit.fields import NAME, wrong

MOST_BAYS = 60
BLANK = "blank"
CONTROLS = "controls"
"""Words for what is in a bay: a plate until something is fitted there; controls."""

_BAY = re.compile(rf"\s*(?P<name>{NAME.pattern})(?:\s+(?P<holds>{NAME.pattern}))?\s*", re.ASCII)


def _bay(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= 130 and _BAY.fullmatch(value):
        return " ".join(value.split())
    shown = " ".join(value.split())[:40] if isinstance(value, str) else ""
    raise wrong(
        "BLD-101",
        "bay-not-read",
        value if isinstance(value, str) else "",
        why=f"{shown or 'This'} isn't a bay and what is in it.",
        write="Write its name and one word, like bay-1 radio-1, bay-2 controls or bay-3 blank.",
    )


Bay = Annotated[
    str, BeforeValidator(_bay), WithJsonSchema({"type": "string", "pattern": f"^{NAME.pattern}( {NAME.pattern})?$"})
]


def bay_name(bay: str) -> str:
    """The name of a bay, without what is in it."""
    return bay.partition(" ")[0]


def _different(bays: tuple[str, ...]) -> tuple[str, ...]:
    names = [bay_name(bay) for bay in bays]
    twice = next((name for index, name in enumerate(names) if name in names[:index]), None)
    if twice is not None:
        why = f"{twice} stands twice among the bays."
        raise wrong("BLD-019", "item-twice", twice, why=why, write="Give one of them another name.")
    return bays


class Body(Written):
    """The console itself."""

    part: Name = said("a console of the catalogue", "console-18in")
    at: PlaceName = said("where it stands", "between-front-seats")


class Console(Written):
    """The console and its bays, from the front."""

    body: Body = said("the console itself", {"part": "console-18in", "at": "between-front-seats"})
    bays: Annotated[
        tuple[Bay, ...], BeforeValidator(one_or_more), Field(max_length=MOST_BAYS), AfterValidator(_different)
    ] = said(
        "its bays from front to rear: a name, and what is in it: a piece of equipment, controls, blank (a plate until "
        "something is fitted), or a word of your own",
        ["bay-1 radio-1", "bay-2 controls", "bay-3 blank", "cups"],
        default=(),
    )
    note: Text = said("for the papers", "raised by 20 mm", default="")


SECTION = Section(
    "console",
    "one",
    Console,
    "What stands between the seats, and what is in each bay of it?",
    """\
console:
  body: {part: console-18in, at: between-front-seats}
  bays: [bay-1 dock, bay-2 radio-1, bay-3 controls, bay-4 blank, armrest, cups]
""",
)
