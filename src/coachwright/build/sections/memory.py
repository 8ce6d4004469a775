"""What is remembered from one moment to the next?"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from coachwright.build.sections.base import ConditionText, Name, Section, Values, Written, said
from coachwright.kit.fields import YesNo, wrong


class Move(Written):
    """One move: when, and to which value."""

    on: ConditionText = said("an event, or a condition that acts in every step in which it holds", "pressed ring")
    if_: ConditionText | None = Field(
        default=None, alias="if", description="the move acts only while this holds", examples=["not parked"]
    )
    to: Name | None = said("the value it moves to", "wail", default=None)
    next: Annotated[tuple[Name, ...], Field(min_length=2, max_length=60)] | None = said(
        "goes round this list, one on at each event", ["wail", "yelp"], default=None
    )

    @model_validator(mode="after")
    def _one_aim(self) -> Move:
        if (self.to is None) == (self.next is None):
            why = "A move goes to a value, or next in a list."
            raise wrong("BLD-024", "move-without-aim", "", why=why, write="Write to: or next:, one of the two.")
        return self


class Memory(Written):
    """A value that is kept, and what moves it."""

    values: Values = said("all it can be", ["standby", "wail", "yelp"])
    start: Name | None = said("at power-up; the first value if left away", "standby", default=None)
    ordered: YesNo = said("whether the values have an order", "yes", default=False)
    moves: Annotated[tuple[Move, ...], Field(max_length=200)] = said(
        "the first whose on and if hold acts; put the safe one first",
        [{"on": "pressed ring", "to": "wail"}],
        default=(),
    )


SECTION = Section(
    "memory",
    "entries",
    Memory,
    "What is remembered from one moment to the next?",
    """\
memory:
  tone:
    values: [standby, wail, yelp]
    start: standby
    moves:
      - {on: becomes parked, to: standby}
      - {on: pressed ring, if: not parked, next: [wail, yelp]}
""",
)
