"""Which sections does a build file have?"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.sections import (
    coachwright,
    controls,
    count,
    equipment,
    fixed,
    functions,
    groups,
    job,
    lamps,
    limits,
    memory,
    messages,
    options,
    packs,
    promises,
    ranks,
    serials,
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
    serials,
    vehicle,
    packs,
    options,
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
    fixed,
)

SECTIONS: Mapping[str, Section] = {file.SECTION.name: file.SECTION for file in _FILES}
"""In the order in which a file is read most easily."""

NEEDED = ("coachwright", "job", "vehicle")
"""Nothing can be said about a build without these."""

LATER = ("parts-by", "feeds", "console", "cargo", "marking", "trailer")
"""Words of the language that nobody reads yet: they are recognised, and nothing in them is judged."""
