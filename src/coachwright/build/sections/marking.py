"""Which retroreflective film goes where?"""

from __future__ import annotations

from coachwright.build.sections.base import Name, PlaceName, Section, Text, Written, said
from coachwright.build.sections.equipment import By, Places
from coachwright.kit.fields import Angle, Length, Share


class Marking(Written):
    """One marking: a band along the vehicle, slanted stripes over a panel, or a field of one film."""

    film: Name = said("a film of the catalogue", "white-red-iv")
    band: Length | None = said("of a band along the vehicle: how high", "6 in", default=None)
    from_: PlaceName | None = said("where the band begins, at the front", "bumper", default=None, alias="from")
    to: PlaceName | None = said("where it ends", "tail", default=None)
    slope: Angle | None = said("of stripes: how they lean from the upright", "45 deg", default=None)
    width: Length | None = said("of stripes: how wide each is", "6 in", default=None)
    share: Share | None = said("how much of the panels it covers at least", "50 %", default=None)
    on: Places = said("panels, places or faces of the body that carry it", ["tailgate", "cap-hatch"], default=())
    by: By | None = said("who brings the film; parts-by says it for all", "shop", default=None)
    note: Text = said("for the papers", "leave the badge free", default="")


SECTION = Section(
    "marking",
    "entries",
    Marking,
    "Which film goes where on the body?",
    """\
marking:
  side: {film: white-red-iv, band: 6 in, from: bumper, to: tail}
  rear: {film: red-fyg-iv, slope: 45 deg, width: 6 in, share: 50 %, on: [tailgate, cap-hatch]}
""",
)
