"""Which of the vehicle's own lamps and outputs do we reach, and how?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import Section, Written, said


class VehicleLamp(Written):
    """A lamp or output the vehicle came with."""

    reach: Literal["parallel", "series", "request", "none"] = said(
        "parallel: light can only be added; series: it can be interrupted; request: the vehicle is asked; none",
        "parallel",
    )


SECTION = Section(
    "vehicle-lamps",
    "entries",
    VehicleLamp,
    "Which lamps and outputs that the vehicle came with do we reach, and how?",
    """\
vehicle-lamps:
  high-beam: {reach: parallel}
  brake-lamps: {reach: none}
  horn: {reach: series}
""",
)
