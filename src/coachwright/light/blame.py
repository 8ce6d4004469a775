"""Which lamps are to be changed first when too little, or too much, light goes somewhere? And what can't be asked?"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from coachwright.kit.measure import Measure
from coachwright.light.lit import Glow

BLAMED_N = 3
"""Lamps named as what to turn, move or change."""


def looking_toward(chosen: Iterable[Glow], bearing_rad: float) -> tuple[str, ...]:
    """Lamps of ours that look nearest to a bearing: turn, move, then another part."""
    return _aspects(sorted(chosen, key=lambda glow: _away_rad(glow, bearing_rad)))


def giving_most(chosen: Sequence[Glow], given: Sequence[float]) -> tuple[str, ...]:
    """Lamps of ours that give most of something: turn, move, then another part; then what they show."""
    order = sorted(range(len(chosen)), key=lambda place: (-given[place], place))
    most = [chosen[place] for place in order if given[place] > 0.0]
    shows = dict.fromkeys(glow.part.path for glow in most if glow.head.reach == "own")
    return (*_aspects(most), *list(shows)[:BLAMED_N])


def not_to_be_asked(name: str, kind: str, about: str, why: str) -> tuple[Measure, ...]:
    """The answer to a rule whose own figures make no sense: not measured, and why."""
    return (Measure(name, None, kind, about=about, why_not=why),)


def _aspects(ordered: Sequence[Glow]) -> tuple[str, ...]:
    lamps = list(dict.fromkeys(glow.head.path for glow in ordered if glow.head.reach == "own"))[:BLAMED_N]
    return tuple(f"{lamp}.{aspect}" for aspect in ("aim", "at", "part") for lamp in lamps)


def _away_rad(glow: Glow, bearing_rad: float) -> float:
    return abs((glow.bearing_rad - bearing_rad + math.pi) % math.tau - math.pi)
