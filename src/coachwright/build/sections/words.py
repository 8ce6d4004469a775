"""Which conditions have a name?"""

from __future__ import annotations

from coachwright.build.sections.base import ConditionText, Section

SECTION = Section(
    "words",
    "entries",
    ConditionText,
    "Which conditions have a name?",
    """\
words:
  parked: gear == P or (park-brake and speed < 3 mph)
  night: headlamps held 3 s
""",
)
