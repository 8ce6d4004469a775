"""Which panes get a film, or are replaced?"""

from __future__ import annotations

from typing import Literal

from coachwright.build.sections.base import Name, Section, Text, Written, said
from coachwright.build.sections.equipment import By


class Glazing(Written):
    """What is done to one pane of the body. A pane of which nothing is written stays as it came."""

    film: Name | None = said("a film for glass of the catalogue, laid on the inside", "glass-film-35", default=None)
    pane: Name | None = said("a pane of the catalogue that takes its place", "cap-hatch-pane-clear", default=None)
    side: Literal["left", "right"] | None = said(
        "of a pair: which one; both when nothing is said", "left", default=None
    )
    by: By | None = said("who brings it; parts-by says it for all", "customer", default=None)
    note: Text = said("for the papers", "leave the third stop lamp free", default="")


SECTION = Section(
    "glass",
    "entries",
    Glazing,
    "Which panes get a film, or are replaced?",
    """\
glass:
  cap-side: {film: glass-film-35, by: customer}
  rear-door: {film: glass-film-clear, side: left}
  cap-hatch: {pane: cap-hatch-pane-clear}
""",
)
