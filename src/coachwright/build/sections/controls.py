"""What can hand and foot move?"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from coachwright.build.sections.base import ConditionText, Name, PlaceName, Section, Text, Written, said
from coachwright.build.sections.base import _all_different as all_different


class Control(Written):
    """Something a hand or a foot moves."""

    kind: Literal["slide", "pick-one", "toggle", "button", "rotary-disconnect"] = said(
        "slide and pick-one have positions; a toggle keeps its value; a button is true while held", "toggle"
    )
    positions: Annotated[tuple[Name, ...], Field(max_length=60), AfterValidator(all_different)] = said(
        "of a slide or pick-one, in their order; the first does nothing", ["off", "low", "full"], default=()
    )
    at: PlaceName = said("where it is fitted", "console.panel")
    start: Name | None = said("value at power-up, or last", "off", "last", default=None)
    asleep: Literal["reads-off", "as-is"] = said(
        "what it reads while the vehicle sleeps", "reads-off", default="reads-off"
    )
    lost: Name | None = said("what it reads when its source falls silent: a value, or hold", "hold", default=None)
    tell_tale: ConditionText | None = said(
        "follows (its kept value), picture, or a condition", "follows", "tone == wail", default=None
    )
    from_: Text | None = Field(
        default=None, alias="from", description="the vehicle signal it is read from", examples=["vehicle.horn-ring"]
    )
    by: Literal["hand", "foot"] = said("what moves it", "foot", default="hand")
    lid: Text = said("a lid or guard over it", "red guard", default="")


SECTION = Section(
    "controls",
    "entries",
    Control,
    "What can hand and foot move?",
    """\
controls:
  slide:  {kind: slide, positions: ["off", low, mid, full], at: console.panel}
  cruise: {kind: toggle, at: console.panel, start: last, tell-tale: follows}
  ring:   {kind: button, at: steering-wheel, from: vehicle.horn-ring}
""",
)
