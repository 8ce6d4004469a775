"""Which kind of function has a head first?"""

from __future__ import annotations

from coachwright.build.sections.base import Name, Section

DEFAULT_RANKS = ("road", "open", "task", "traffic", "warn", "ease")
ROAD = "road"

SECTION = Section(
    "ranks",
    "list",
    Name,
    "Which kind of function has a head first?",
    "ranks: [road, open, task, traffic, warn, ease]",
)
