"""Which sections does a build file have?"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.sections import (
    coachwright,
    controls,
    count,
    equipment,
    functions,
    groups,
    job,
    lamps,
    limits,
    memory,
    messages,
    packs,
    promises,
    ranks,
    signals,
    situations,
    stops,
    vehicle,
    vehicle_lamps,
    waivers,
    words,
)
from coachwright.build.sections.base import Section

_FILES = (
    coachwright,
    job,
    count,
    vehicle,
    packs,
    lamps,
    groups,
    vehicle_lamps,
    controls,
    signals,
    words,
    memory,
    ranks,
    functions,
    messages,
    limits,
    stops,
    equipment,
    situations,
    promises,
    waivers,
)

SECTIONS: Mapping[str, Section] = {file.SECTION.name: file.SECTION for file in _FILES}
"""In the order in which a file is read most easily."""

NEEDED = ("coachwright", "job", "vehicle")
"""Nothing can be said about a build without these."""

LATER = ("serials", "options", "parts-by", "feeds", "console", "cargo", "marking", "trailer", "fixed")
"""Words of the language that nobody reads yet: they are recognised, and nothing in them is judged."""
