"""What ends functions?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import ConditionText, Names, Section, Written, said


class Stop(Written):
    """Ends whole functions, with all they do."""

    when: ConditionText = said("while this holds", "door-driver == open")
    stops: Names = said("functions, or whole ranks", "scene-on", min_length=1)
    resume: Literal["self", "ask"] = said("afterwards: by itself, or once somebody asks again", "ask")


SECTION = Section(
    "stops",
    "entries",
    Stop,
    "What ends functions?",
    """\
stops:
  stage-two: {when: stage == two, stops: [tray-white], resume: self}
""",
)
