"""Which lamps are bolted on, and where?"""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import AfterValidator

from coachwright.build.sections.base import Name, PlaceName, Section, Text, Written, said
from coachwright.kit.fields import Angle, wrong

MOST_TURN_RAD = math.pi
_ROUNDING_RAD = 1e-9


def _half_a_turn(value: float) -> float:
    if abs(value) <= MOST_TURN_RAD + _ROUNDING_RAD:
        return value
    raise wrong(
        "BLD-121",
        "turn-too-far",
        f"{math.degrees(value):g} deg",
        why="A lamp is turned by half a turn at most, either way.",
        write="Write an angle between -180 deg and 180 deg.",
    )


Turn = Annotated[Angle, AfterValidator(_half_a_turn)]
"""An angle of half a turn at most, either way."""


class Lamp(Written):
    """A lamp that is bolted on; with `pair: mirrored` one on each side."""

    part: Name = said("a lamp of the catalogue", "short-red-white")
    at: PlaceName = said("a named place on the body", "fender-corner", "grille.left")
    pair: Literal["mirrored", ""] = said(
        "mirrored: one on each side; what is written holds for the left", "mirrored", default=""
    )
    aim: Turn = said("turned from where the place looks, away from the vehicle's centre line", "45 deg", default=0.0)
    elevation: Turn = said("tilted up from where the place looks", "-15 deg", default=0.0)
    sync: Name | None = said("the sync wire of lamps that flash themselves", "roof", default=None)
    by: Literal["shop", "customer", "reused"] | None = said(
        "who brings it; parts-by says it for all", "customer", default=None
    )
    note: Text = said("for the papers", "behind the second bar", default="")


SECTION = Section(
    "lamps",
    "entries",
    Lamp,
    "Which lamps are bolted on, and where?",
    """\
lamps:
  corner: {part: short-red-white, at: fender-corner, pair: mirrored, aim: 45 deg}
  visor:  {part: bar-8-red-white, at: windshield-top}
""",
)
