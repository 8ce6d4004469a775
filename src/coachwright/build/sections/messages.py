"""What is said to the driver, and when?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import ConditionText, Line, PlaceName, Section, Written, said
from coachwright.kit.fields import Time


class Message(Written):
    """A line the driver reads."""

    when: ConditionText | None = said(
        "while this holds; left away if a function says it", "not belt-driver", default=None
    )
    say: Line = said("the words", "Fasten belts")
    chime: Literal["none", "once", "until-clear"] = said("whether it sounds", "once", default="none")
    repeat: Time | None = said("said again after this time", "30 s", default=None)
    tell_tale: PlaceName | None = said("a lamp of the panel that lights with it", "console.red", default=None)


SECTION = Section(
    "messages",
    "entries",
    Message,
    "What is said to the driver, and when?",
    """\
messages:
  belts: {when: not belt-driver and speed > 5 mph, say: Fasten belts, chime: once, repeat: 30 s}
""",
)
