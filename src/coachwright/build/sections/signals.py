"""What does the vehicle say, and what holds if it falls silent?"""

from __future__ import annotations

from pydantic import Field

from coachwright.build.sections.base import Section, Text, Values, Written, said
from coachwright.kit.fields import Time


class Signal(Written):
    """A vehicle signal that is read otherwise than the body says, or one that something of ours brings."""

    lost: Text | None = said(
        "what is read when its source falls silent: a value, hold, or P-unless-moving", "hold", "closed", default=None
    )
    edge_hold: Time | None = said("a flashing wire counts so long after its last edge", "900 ms", default=None)
    together: Time | None = said("edges of both turn wires within this time are the hazard", "60 ms", default=None)
    debounce: Time | None = said("a change counts once it has stood so long", "20 ms", default=None)
    recognition: Time | None = said("time within which a change is known", "150 ms", default=None)
    from_: Text | None = Field(
        default=None, alias="from", description="what brings it, with a dot", examples=["cargo.gear-locker"]
    )
    values: Values | None = said("of a signal of our own, the one at rest first", ["closed", "open"], default=None)


SECTION = Section(
    "signals",
    "entries",
    Signal,
    "What does the vehicle say, and what holds if it falls silent?",
    """\
signals:
  brake: {lost: "on"}
  gear: {lost: P-unless-moving}
  turn-left: {edge-hold: 900 ms}
  gear-locker: {from: cargo.gear-locker, lost: hold}
""",
)
