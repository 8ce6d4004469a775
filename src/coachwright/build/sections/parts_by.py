"""Who brings what is fitted, where an item doesn't say so itself?"""

from __future__ import annotations

from coachwright.build.sections.base import Section
from coachwright.build.sections.equipment import By

SECTION = Section(
    "parts-by",
    "one",
    By,
    "Who brings the parts, where they don't say so themselves?",
    "parts-by: shop",
)
