"""Does somebody on the crossing road notice the vehicle while he can still stop, and where can only the siren help?

All along the approach, in small steps: which heads a building's corner leaves in sight, what they give at his eyes
together, and whether that is enough to be noticed. Steady light counts for nothing here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np

from coachwright.build.model import Model
from coachwright.build.model_fitted import Crossing
from coachwright.control.situations import settings_of
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.table import Column, Table
from coachwright.light.ambient import AmbientName, is_so
from coachwright.light.ambient import ambient as ambient_of
from coachwright.light.approach import STEP_S, Approach, Track, margin_s, track, unhidden
from coachwright.light.blame import looking_toward, not_to_be_asked
from coachwright.light.coverage import effective_cd, gathered
from coachwright.light.lit import flashing, voltages
from coachwright.light.near_field import illuminance_outside
from coachwright.light.words import speed as speed_said

TABLE_STEP_M_S = 10 * 0.44704
"""Speeds of the table: every 10 mph up to the crossing's own. [m/s]"""

_COLUMNS = (
    Column("own-speed", "speed", "we come at"),
    Column("cross-speed", "speed", "the other comes at"),
    Column("margin", "time", "noticed before his last moment to stop"),
    Column("way", "length", "that is, before his last place to stop"),
    Column("held-by", "word", "what holds it back"),
    Column("siren-alone", "yes-no", "only the siren can help"),
)


@dataclass(frozen=True, slots=True)
class _Margin:
    """At the worse of the ways in which the two can meet.

    margin_s, open_s : from when on the light is noticed, and from when on the corner leaves any head that flashes in
    sight, before the last moment to stop. [s] looked_s : both at most. bearing_rad : of the other at that moment.
    """

    margin_s: float
    open_s: float
    looked_s: float
    approach: Approach
    bearing_rad: float

    @property
    def is_hidden(self) -> bool:
        """The corner opens after his last moment: no lamp can tell him in time, only the siren."""
        return self.open_s < 0.0

    @property
    def held_by(self) -> str:
        """What would have to change for him to notice earlier."""
        if self.is_hidden or self.open_s - STEP_S / 2 < self.margin_s < self.looked_s - STEP_S / 2:
            return "the corner"
        return "the light" if self.margin_s < self.looked_s - STEP_S / 2 else "nothing"


@measures(
    "light.crossing-margin",
    kind="time",
    ambient="word",
    looked="time",
    short="length",
    late="time",
    eye="length",
    own="speed",
    cross="speed",
    from_cross="length",
    from_own="length",
)
def crossing_margin(
    model: Model,
    *,
    situation: str,
    ambient: AmbientName,
    looked: float = 6.0,
    short: float = 0.0,
    late: float = 0.0,
    eye: float = 1.08,
    own: float | None = None,
    cross: float | None = None,
    from_cross: float | None = None,
    from_own: float | None = None,
) -> tuple[Measure, ...]:
    """How long before his last moment to stop does a driver on the crossing road notice the warning?

    ambient : light and air (light/ambient.yaml). looked : how long before that moment one begins to look; no answer is
    longer. [s] short : before the crossing of the paths his eyes come to rest. [m] late : most by which the vehicle
    comes after him. [s] eye : height of his eyes. [m]
    own, cross, from_cross, from_own : a crossing of the rule, for a job that names none; without them the job's own.

    Asked only of a vehicle that moves, and only where the ambient can be (light.ambient.is_so). What the corner hides
    no lamp can mend: ``hidden`` says so.
    """
    speed = dict(settings_of(model, situation)).get("speed")
    light = flashing(model, situation)
    if not isinstance(speed, float | int) or speed <= 0 or not light.glows or not is_so(model, situation, ambient):
        return ()
    if own is None or cross is None:
        crossings, about = model.crossings, {each.name: each.path for each in model.crossings}
    elif min(own, cross) <= 0.0 or (from_cross is None) != (from_own is None):
        why = "the rule's crossing has no speed, or half a corner"
        return not_to_be_asked("light.crossing-margin", "time", model.situation(situation).path, why)
    elif not model.crossings:
        house = Crossing("", own, cross, from_cross, from_own, "both", 0.0, "", "")
        crossings, about = (house,), {"": model.situation(situation).path}
    else:
        return ()
    answers = []
    for crossing in crossings:
        asked = _Asked(situation, ambient, looked, short, late, eye)
        speeds = _speeds(crossing)
        found = _margins(model, asked, crossing, speeds)
        here = found[crossing.own_m_s, crossing.cross_m_s]
        answers.append(
            Measure(
                "light.crossing-margin",
                here.margin_s,
                "time",
                about=about[crossing.name],
                blame=(about[crossing.name], *looking_toward(light.glows, here.bearing_rad)),
                where=_where(crossing, here, found),
                situation=situation,
                facts=facts(
                    crossing=crossing.name or "house",
                    held_by=here.held_by,
                    hidden="yes" if here.is_hidden else "no",
                    test_voltage=voltages(light.glows),
                ),
                table=_table(found),
            )
        )
    return tuple(answers)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a rule asks along with the crossing."""

    situation: str
    ambient: AmbientName
    looked_s: float
    short_m: float
    late_s: float
    eye_m: float


def _speeds(crossing: Crossing) -> tuple[tuple[float, float], ...]:
    """Own and crossing speeds of the table: those of the crossing, and rounder ones up to them."""

    def up_to(speed_m_s: float) -> list[float]:
        steps_n = int(speed_m_s / TABLE_STEP_M_S * (1.0 - 1e-9))
        return [*(TABLE_STEP_M_S * step for step in range(1, steps_n + 1)), speed_m_s]

    return tuple(product(up_to(crossing.own_m_s), up_to(crossing.cross_m_s)[-2:]))


@by_digest
def _margins(
    model: Model, asked: _Asked, crossing: Crossing, speeds: tuple[tuple[float, float], ...]
) -> dict[tuple[float, float], _Margin]:
    """The smallest margin at each pair of speeds, over both sides and over who comes first."""
    nose_m = model.body.front_overhang
    ways = [
        (
            approach,
            track(approach, nose_m=nose_m, eye_m=asked.eye_m, short_m=asked.short_m, before_s=asked.looked_s),
        )
        for approach in _approaches(crossing, speeds, asked.late_s)
    ]
    found: dict[tuple[float, float], _Margin] = {}
    for margin in _noticed(model, asked, ways):
        speeds_here = (margin.approach.own_m_s, margin.approach.cross_m_s)
        known = found.get(speeds_here)
        if known is None or (margin.margin_s, margin.open_s) < (known.margin_s, known.open_s):
            found[speeds_here] = margin
    return found


def _approaches(crossing: Crossing, speeds: tuple[tuple[float, float], ...], late_s: float) -> Iterator[Approach]:
    sides = {"left": (1,), "right": (-1,), "both": (1, -1)}[crossing.side]
    for (own_m_s, cross_m_s), side, late in product(speeds, sides, sorted({0.0, late_s})):
        yield Approach(
            own_m_s,
            cross_m_s,
            side,
            late,
            crossing.corner_from_cross_m,
            crossing.corner_from_own_m,
            crossing.grade_share,
        )


def _noticed(model: Model, asked: _Asked, ways: list[tuple[Approach, Track]]) -> Iterator[_Margin]:
    """Margin of each approach; the light of all of them is worked out in one go."""
    light, around = flashing(model, asked.situation), ambient_of(asked.ambient)
    nose_m = model.body.front_overhang
    places_m = tuple(glow.position_m for glow in light.glows)
    eyes_m = np.concatenate([way.eyes_m for _, way in ways], axis=1)
    free = np.concatenate([unhidden(approach, way, places_m, nose_m=nose_m) for approach, way in ways], axis=1)
    given_lx = illuminance_outside(light.glows, eyes_m, visibility_m=around.visibility_m, free=free)
    effective_lx = effective_cd(light.together, gathered(light.together, given_lx))  # linear, so lux will do
    noticed = np.asarray(effective_lx >= around.noticed_lx)
    any_free = np.asarray(free.any(axis=0))
    start = 0
    for approach, way in ways:
        moments = slice(start, start := start + len(way.own_m))
        last_m = way.eyes_m[:, way.last]
        yield _Margin(
            margin_s(noticed[moments], way.last),
            margin_s(any_free[moments], way.last),
            STEP_S * way.last,
            approach,
            float(np.arctan2(-last_m[1], last_m[0])),
        )


def _where(crossing: Crossing, here: _Margin, found: dict[tuple[float, float], _Margin]) -> str:
    """Side, speeds, and how slowly one has to come so that he still notices in time."""
    side = "left" if here.approach.side > 0 else "right"
    name = f"{crossing.name}, " if crossing.name else ""
    said = f"{name}from the {side}, {speed_said(crossing.own_m_s)} against {speed_said(crossing.cross_m_s)}"
    if here.margin_s >= 0.0:
        return f"{said}, noticed all along" if here.held_by == "nothing" else said
    in_time = _in_time_m_s(found, crossing.cross_m_s)
    hid = ", hidden by the corner" if here.is_hidden else ""
    slowest = speed_said(min(own_m_s for own_m_s, _ in found))
    slower = f"in time up to {speed_said(in_time)} of our own" if in_time else f"too late from {slowest} on"
    return f"{said}{hid}; {slower}"


def _in_time_m_s(found: dict[tuple[float, float], _Margin], cross_m_s: float) -> float:
    """The highest own speed of the table up to which he notices in time; 0 for none."""
    highest = 0.0
    for own_m_s, other_m_s in sorted(found):
        if other_m_s == cross_m_s:
            if found[own_m_s, other_m_s].margin_s < 0.0:
                break
            highest = own_m_s
    return highest


def _table(found: dict[tuple[float, float], _Margin]) -> Table:
    rows = []
    for (own_m_s, cross_m_s), here in sorted(found.items()):
        way_m = here.margin_s * cross_m_s
        rows.append((own_m_s, cross_m_s, here.margin_s, way_m, here.held_by, here.is_hidden))
    return Table(_COLUMNS, tuple(rows))
