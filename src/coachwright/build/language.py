"""Which sections does a build file have?"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.sections import (
    cargo,
    coachwright,
    console,
    controls,
    count,
    crossings,
    equipment,
    feeds,
    fixed,
    functions,
    glass,
    groups,
    job,
    lamps,
    limits,
    marking,
    memory,
    messages,
    options,
    packs,
    parts_by,
    promises,
    ranks,
    serials,
    signals,
    situations,
    stops,
    trailer,
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
    parts_by,
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
    feeds,
    equipment,
    console,
    cargo,
    marking,
    glass,
    trailer,
    situations,
    crossings,
    promises,
    waivers,
    fixed,
)

SECTIONS: Mapping[str, Section] = {file.SECTION.name: file.SECTION for file in _FILES}
"""In the order in which a file is read most easily."""

NEEDED = ("coachwright", "job", "vehicle")
"""Nothing can be said about a build without these."""
