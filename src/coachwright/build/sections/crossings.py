"""At which crossings has somebody on the other road to notice the vehicle in time?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import Section, Text, Written, said
from coachwright.kit.fields import Length, Share, Speed


class Corner(Written):
    """The corner of a building, a wall or a hedge that stands between the two roads."""

    from_cross: Length = said("from the path of the one that crosses", "20 m")
    from_own: Length = said("from the vehicle's own path", "15 m")


class Crossing(Written):
    """Two roads that meet at a right angle."""

    own: Speed = said("how fast the vehicle comes while it answers", "45 mph")
    cross: Speed = said("how fast the one on the other road comes", "35 mph")
    corner: Corner | None = said(
        "what hides them from each other; left away: open country",
        {"from-cross": "20 m", "from-own": "15 m"},
        default=None,
    )
    side: Literal["left", "right", "both"] = said("from which side the other comes", "right", default="both")
    grade: Share = said(
        "of the other road toward the crossing: rise per length, downhill negative", "-4 %", default=0.0
    )
    note: Text = said("for the papers", "school at the corner", default="")


SECTION = Section(
    "crossings",
    "entries",
    Crossing,
    "At which crossings has somebody on the other road to notice the vehicle in time?",
    """\
crossings:
  mill-road: {own: 45 mph, cross: 35 mph, corner: {from-cross: 20 m, from-own: 15 m}}
  highway:   {own: 55 mph, cross: 55 mph, side: right}
""",
)
