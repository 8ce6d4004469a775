"""What is carried, where, and what holds it?"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

from coachwright.build.sections.base import Name, Names, PlaceName, Section, Text, Written, one_or_more, said
from coachwright.build.sections.equipment import By, some
from coachwright.kit.fields import Count, Mass, Volume

Things = Annotated[
    tuple[Name, ...],
    BeforeValidator(one_or_more),
    Field(max_length=200),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]


class Cargo(Written):
    """Something that is carried. Of a part the catalogue says what it weighs; anything else says its weight."""

    part: Name | None = said("a tray, locker, mount or item of the catalogue", "locker-sealed", default=None)
    weight: Mass | None = said(
        "what one of it weighs, where no part says so or with what is in it", "220 lb", default=None
    )
    count: Annotated[Count, AfterValidator(some)] = said("how many", "24", default=1)
    at: PlaceName = said("where it stands", "bed-front", "left-rack")
    panel: Name | None = said("the panel of the vehicle through which one reaches it", "tailgate", default=None)
    locks: Names = said("of a tray: the positions in which it locks", ["in", "out"], default=())
    holds: Things = said("what is in or on it", ["whiteboard", "map-drawer"], default=())
    air: Literal["cabin", "outside", "sealed"] | None = said(
        "where the air in it goes to and comes from", "outside", default=None
    )
    volume: Volume | None = said("of the space in it, where it isn't as the part says", "18 ft3", default=None)
    hold: Name | None = said("what keeps it in place in a stop or a crash", "bracket", "cradle", default=None)
    by: By | None = said("who brings it; parts-by says it for all", "customer", default=None)
    packed: Literal["before delivery", "after delivery"] = said(
        "whether it is in the vehicle when that leaves the shop; it counts toward the axle loads either way",
        "after delivery",
        default="before delivery",
    )
    note: Text = said("for the papers", "strap from below", default="")


SECTION = Section(
    "cargo",
    "entries",
    Cargo,
    "What is carried, where, and what holds it?",
    """\
cargo:
  command-tray: {part: slide-tray-400lb, at: bed, panel: tailgate, locks: [in, out], holds: [whiteboard, map-drawer]}
  gear-locker:  {part: locker-sealed, at: bed-front, air: outside, volume: 18 ft3}
  cones:        {count: 24, weight: 7 lb, at: left-rack}
  kit:          {weight: 220 lb, at: bed, by: customer, packed: after delivery}
""",
)
