"""What else is fitted: sirens, radios, fans, cameras?"""

from __future__ import annotations

from typing import Annotated, Literal

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
from coachwright.build.sections.shed import Shed
from coachwright.kit.fields import Count, YesNo, wrong


class Isolator(Written):
    """Joins two batteries, and parts them."""

    join: ConditionText = said("joined while this holds", "engine == running")
    split: ConditionText | None = said("parted when this holds", "supply < 12.8 V held 2 min", default=None)


By = Literal["shop", "customer", "reused"]


def some(value: int) -> int:
    """At least one, at most a thousand."""
    if 1 <= value <= 1000:
        return value
    raise wrong(
        "BLD-009", "count-not-whole", str(value), why="At least one is fitted.", write="Write it in digits, like 2."
    )


Places = Annotated[
    tuple[PlaceName, ...],
    BeforeValidator(one_or_more),
    Field(max_length=20),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]


class Equipment(Written):
    """A piece of equipment."""

    part: Name = said("a part of the catalogue", "siren-amplifier")
    at: PlaceName = said("where it is fitted", "under-rear-seat")
    speakers: Places = said("of a siren: where its speakers are", "bumper-behind.left", default=())
    by: By | None = said("who brings it; parts-by says it for all", "customer", default=None)
    count: Annotated[Count, AfterValidator(some)] = said("how many", "2", default=1)
    feed: PlaceName | None = said(
        "which feed it hangs on; shore: an outlet of the building; vehicle. and a lamp or output of the vehicle",
        "radios",
        "shore",
        "vehicle.reverse",
        default=None,
    )
    also: Names = said("further feeds it hangs on, like the one that keeps its memory", "keep", default=())
    antenna: PlaceName | None = said("where its antenna stands", "roof-fore", default=None)
    shed: Shed | None = said("when it is shed as the battery runs down: 1 goes first", "1", "never", default=None)
    eject: YesNo = said("its shore lead throws itself out when the engine is started", "yes", default=False)
    isolator: Isolator | None = said(
        "of a second battery: what joins it to the first", {"join": "engine == running"}, default=None
    )
    turned_by: Name | None = said("of a disconnect: the control that turns it", "main-switch", default=None)
    breaks: Names = said("of a disconnect: the batteries, feeds and equipment it cuts off", "aux-battery", default=())
    spares: Places = said(
        "of a disconnect: feeds that stay fed, and with .memory the memory wire of equipment",
        ["keep", "controller.memory"],
        default=(),
    )
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
