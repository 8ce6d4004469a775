"""Which lamps go by one name?"""

from __future__ import annotations

from coachwright.build.sections.base import Section, Selectors

SECTION = Section(
    "groups",
    "entries",
    Selectors,
    "Which lamps go by one name?",
    """\
groups:
  front: [visor, grille, corner]
  bar-signals: [rear-bar.1, rear-bar.8]
""",
)
