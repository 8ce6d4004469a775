"""Which crossings does the job name, and can they be?"""

from __future__ import annotations

from coachwright.build.model_fitted import Crossing
from coachwright.build.sections.crossings import Crossing as Item
from coachwright.build.trouble import Trouble
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces

FASTEST_M_S = 90.0
"""Faster than this nothing travels on a road. [m/s]"""
FARTHEST_M = 2_000.0
"""A corner farther off hides nothing that matters. [m]"""
STEEPEST_SHARE = 0.3


def crossings_of(written: WrittenBuild, told: list[Trouble]) -> tuple[Crossing, ...]:
    """Every crossing, by its name."""
    found: list[Crossing] = []
    for name, item in written.items("crossings").items():
        path = ("crossings", name)
        _check(item, path, told)
        found.append(
            Crossing(
                name=name,
                own_m_s=item.own,
                cross_m_s=item.cross,
                corner_from_cross_m=item.corner.from_cross if item.corner else None,
                corner_from_own_m=item.corner.from_own if item.corner else None,
                side=item.side,
                grade_share=item.grade,
                note=item.note,
                path=f"crossings.{name}",
            )
        )
    return tuple(found)


def _check(item: Item, path: PathPieces, told: list[Trouble]) -> None:
    for field, speed_m_s in (("own", item.own), ("cross", item.cross)):
        if not 0.0 < speed_m_s <= FASTEST_M_S:
            why = "Whoever comes to a crossing moves, and no faster than vehicles do."
            told.append(Trouble((*path, field), "BLD-180", "crossing-not-possible", why, "Write it like 35 mph."))
    if item.corner is not None:
        for field, away_m in (("from-cross", item.corner.from_cross), ("from-own", item.corner.from_own)):
            if not 0.0 < away_m <= FARTHEST_M:
                why = "A corner stands beside the road, not on it."
                place = (*path, "corner", field)
                told.append(Trouble(place, "BLD-180", "crossing-not-possible", why, "Write it like 15 m."))
    if abs(item.grade) > STEEPEST_SHARE:
        why = "No road is as steep as that."
        told.append(Trouble((*path, "grade"), "BLD-180", "crossing-not-possible", why, "Write it like -4 %."))
