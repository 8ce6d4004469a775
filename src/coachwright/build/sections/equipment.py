"""What else is fitted: sirens, radios, fans, cameras?"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

from coachwright.build.sections.base import (
    ConditionText,
    Name,
    Names,
    PlaceName,
    Section,
    Text,
    Written,
    one_or_more,
    said,
)
from coachwright.kit.fields import Count, YesNo, wrong


class Isolator(Written):
    """Joins two batteries, and parts them."""

    join: ConditionText = said("joined while this holds", "engine == running")
    split: ConditionText | None = said("parted when this holds", "supply < 12.8 V held 2 min", default=None)


def _some(value: int) -> int:
    if 1 <= value <= 1000:
        return value
    raise wrong(
        "BLD-009", "count-not-whole", str(value), why="At least one is fitted.", write="Write it in digits, like 2."
    )


def _shed(value: Any) -> Any:
    if value == "never" or (isinstance(value, str) and value.isdecimal() and value.isascii() and len(value) < 4):
        return value
    raise wrong(
        "BLD-026",
        "shed-not-read",
        str(value),
        why="What is shed first has the number 1, the next 2.",
        write="Write a number, or never.",
    )


Shed = Annotated[str, BeforeValidator(_shed), WithJsonSchema({"type": "string", "pattern": "^(never|[0-9]{1,3})$"})]
Places = Annotated[
    tuple[PlaceName, ...],
    BeforeValidator(one_or_more),
    Field(max_length=20),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]


class Equipment(Written):
    """A piece of equipment. `part at speakers` are judged here; the rest is kept for rooms to come."""

    part: Name = said("a part of the catalogue", "siren-amplifier")
    at: PlaceName = said("where it is fitted", "under-rear-seat")
    speakers: Places = said("of a siren: where its speakers are", "bumper-behind.left", default=())
    by: Literal["shop", "customer", "reused"] = said("who brings it", "customer", default="shop")
    count: Annotated[Count, AfterValidator(_some)] = said("how many", "2", default=1)
    feed: PlaceName | None = said("which feed it hangs on", "radios", "vehicle.reverse", default=None)
    also: Names = said("further feeds", "keep", default=())
    antenna: PlaceName | None = said("where its antenna stands", "roof-fore", default=None)
    shed: Shed | None = said("when it is shed as the battery runs down", "1", "never", default=None)
    eject: YesNo = said("a shore lead that ejects itself", "yes", default=False)
    isolator: Isolator | None = said("of a second battery", {"join": "engine == running"}, default=None)
    turned_by: Name | None = said("of a disconnect: the control that turns it", "main-switch", default=None)
    breaks: Names = said("of a disconnect: what it cuts off", "aux-battery", default=())
    spares: Places = said("of a disconnect: what stays fed", "controller.memory", default=())
    note: Text = said("for the papers", "cable leaves to the left", default="")


SECTION = Section(
    "equipment",
    "entries",
    Equipment,
    "What else is fitted: sirens, radios, fans, cameras?",
    """\
equipment:
  main-siren: {part: siren-amplifier, at: under-rear-seat, speakers: [bumper-behind.left], feed: controller}
  radio-1:    {part: mobile-radio-50, by: customer, at: console.bay-2, feed: radios, also: keep, antenna: roof-fore}
""",
)
