"""What may be drawn behind the vehicle?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import PlaceName, Section, Text, Written, said
from coachwright.kit.fields import Mass


class Trailer(Written):
    """A trailer."""

    tongue: Mass = said("what it lays on the hitch", "180 lb")
    weight: Mass = said("what it weighs in all", "1400 lb")
    lamps: PlaceName | None = said("what its lamps hang on", "vehicle.seven-way", default=None)
    present: Literal["optional", "always"] = said(
        "always: the vehicle never drives without it", "optional", default="optional"
    )
    note: Text = said("for the papers", "chains cross below the tongue", default="")


SECTION = Section(
    "trailer",
    "entries",
    Trailer,
    "What may be drawn behind the vehicle?",
    """\
trailer:
  sign-trailer: {tongue: 180 lb, weight: 1400 lb, lamps: vehicle.seven-way, present: optional}
""",
)
