"""Which vehicle is it built on?"""

from __future__ import annotations

from coachwright.build.sections.base import Name, Names, Section, Written, said


class Vehicle(Written):
    """The vehicle as it arrives."""

    body: Name = said("the body class, a part of the catalogue", "crew-cab-pickup-with-cap")
    as_ordered: Names = said("what the dealer was told to build", "alternator-250", default=())
    removed: Names = said("what is taken out of it", "rear-seat-left-third", default=())


SECTION = Section(
    "vehicle",
    "one",
    Vehicle,
    "Which vehicle is it built on?",
    """\
vehicle:
  body: crew-cab-pickup-with-cap
  as-ordered: [upfit-prep-package, alternator-250]
  removed: [rear-seat-left-third]
""",
)
