"""What may be drawn behind the vehicle?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import PlaceName, Section, Text, Written, said
from coachwright.kit.fields import Length, Mass


class Trailer(Written):
    """A trailer."""

    tongue: Mass = said("what it lays on the hitch", "180 lb")
    weight: Mass = said("what it weighs in all", "1400 lb")
    width: Length | None = said("how wide it is", "5 ft", default=None)
    height: Length | None = said("its top above the ground, as it is drawn", "4 ft", default=None)
    length: Length | None = said("how long it is behind its drawbar", "8 ft", default=None)
    drawbar: Length = said("from the coupling to its front", "3 ft", default=0.0)
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
  sign-trailer: {tongue: 180 lb, weight: 1400 lb, width: 5 ft, height: 4 ft, length: 6 ft, lamps: vehicle.seven-way}
""",
)
