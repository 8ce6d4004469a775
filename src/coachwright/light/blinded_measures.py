"""Does our own light blind anybody: drivers who pass, the crew at an open panel, the driver in his own mirrors?

Everything that burns counts here, steady or flashing, warning or work light; what flashes counts at the brightest
instant that comes whatever the clocks do.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.flash.measures import QUARTERS
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Vector
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.table import Column, Table
from coachwright.light.blame import giving_most, not_to_be_asked
from coachwright.light.coverage import brightest_cd, gathered, merged
from coachwright.light.crew import eyes
from coachwright.light.driver import Mirror, door_mirrors, driver_eyes, seen_in
from coachwright.light.far_field import Floats
from coachwright.light.glare import age_adjusted_veil_cd_m2
from coachwright.light.lit import ROUND, ZONE_ROWS, Glow, Light, brightest_over, everything, glows, voltages
from coachwright.light.near_field import illuminance_at, illuminance_outside
from coachwright.light.seen import Source, candela_at
from coachwright.light.words import toward
from coachwright.place.panels import open_panels
from coachwright.place.solids import solids_of
from coachwright.place.zones import ZONES, zones_at

LEAST_RAD, MOST_RAD = math.radians(1.0), math.radians(30.0)
"""Angles for which the age-adjusted equation of glare was made. [rad]"""

_PASSING = (Column("distance", "length", "from our end"), Column("veil", "luminance", "veil over his view"))
_LAMPS = (Column("lamp", "word"), Column("illuminance", "illuminance", "at the driver's eyes"))


# ------------------------------------------------------------------------------------------------------------ in all
@measures("light.most-toward", kind="luminous-intensity")
def most_toward(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How bright is all that burns together toward each side, within 5 deg of level, at its brightest instant?"""
    light = everything(model, situation)
    if not light.glows:
        return ()
    over_cd = brightest_over(light, ROUND)[ZONE_ROWS]
    answers = []
    for zone in ZONES:
        here_cd = np.where([zone in zones_at(bearing) for bearing in ROUND.bearings_rad], over_cd, -1.0)
        row, column = np.unravel_index(int(here_cd.argmax()), here_cd.shape)
        rows = range(*ZONE_ROWS.indices(len(ROUND.elevations_rad)))
        given = light.candela_cd[:, rows[int(row)], column] * np.array([glow.part.wave.peak() for glow in light.glows])
        answers.append(
            Measure(
                "light.most-toward",
                float(here_cd[row, column]),
                "luminous-intensity",
                about=model.situation(situation).path,
                blame=giving_most(light.glows, given.tolist()),
                where=toward(ROUND.bearings_rad[column], ROUND.elevations_rad[rows[int(row)]]),
                situation=situation,
                facts=facts(toward=QUARTERS[zone], test_voltage=voltages(light.glows)),
            )
        )
    return tuple(answers)


# ------------------------------------------------------------------------------------------------- drivers who pass
@measures(
    "light.glare-veil",
    kind="luminance",
    age="number",
    aside="length",
    eye="length",
    nearest="length",
    farthest="length",
)
def glare_veil(
    model: Model,
    *,
    situation: str,
    age: float = 65.0,
    aside: float = 3.6,
    eye: float = 1.08,
    nearest: float = 5.0,
    farthest: float = 120.0,
) -> tuple[Measure, ...]:
    """What veil does our light lay over the view of a driver who comes up to pass, from ahead and from behind?

    age : of that driver, in years. aside : of his eyes from the middle of our vehicle, on either side. [m]
    eye : height of his eyes. nearest, farthest : from our front or rear end between which the worst is sought. [m]

    Notes
    -----
    He looks straight along the lane. Each lamp adds  E 10 (1 + (age / 70)^4) / angle^2  (age-adjusted Stiles-Holladay),
    E across his line of sight, the angle in degrees; lamps past 30 deg aside count nothing, lamps nearer than 1 deg as
    at 1 deg: the equation was made for the angles between.
    """
    light = everything(model, situation)
    if not light.glows:
        return ()
    if not 0.0 < nearest <= farthest or aside == 0.0:
        why = "the rule's lane has no length, or runs through us"
        return not_to_be_asked("light.glare-veil", "luminance", model.situation(situation).path, why)
    nose_m, tail_m = model.body.front_overhang, model.body.front_overhang - model.body.length
    away_m = np.geomspace(nearest, farthest, 32)
    lanes = [
        _Lane(end, np.stack([start_m - looks * away_m, np.full(32, side * aside), np.full(32, eye)]), looks)
        for end, start_m, looks in (("front", nose_m, -1.0), ("rear", tail_m, 1.0))
        for side in (1.0, -1.0)
    ]
    veils = _veils(light, lanes, age)
    answers = []
    for end in ("front", "rear"):
        each, together, lane = max(
            (found for found in veils if found[2].end == end), key=lambda found: float(found[1].max())
        )
        place = int(together.argmax())
        answers.append(
            Measure(
                "light.glare-veil",
                float(together[place]),
                "luminance",
                about=model.situation(situation).path,
                blame=giving_most(light.glows, each[:, place].tolist()),
                where=f"{end}, {away_m[place]:.0f} m off, {_side_said(float(lane.eyes_m[1, 0]))} of us",
                situation=situation,
                facts=facts(toward=end, test_voltage=voltages(light.glows)),
                table=Table(_PASSING, tuple(zip(away_m.tolist(), together.tolist(), strict=True))),
            )
        )
    return tuple(answers)


@dataclass(frozen=True, slots=True)
class _Lane:
    """Along which somebody comes to our front or rear end.

    eyes_m : places of his eyes, shape (3, places). [m] looks : 1 the way our front looks, -1 the other way.
    """

    end: str
    eyes_m: Floats
    looks: float


def _veils(light: Light, lanes: Sequence[_Lane], age_years: float) -> list[tuple[Floats, Floats, _Lane]]:
    """Of each lane the veil of each glow at its peak, (glows, places), and of all together, (places,). [cd/m2]"""
    eyes_m = np.concatenate([lane.eyes_m for lane in lanes], axis=1)
    looks = np.concatenate([np.full(lane.eyes_m.shape[1], lane.looks) for lane in lanes])
    at_one_degree = age_adjusted_veil_cd_m2(1.0, angle_rad=math.radians(1.0), age_years=age_years)
    places_m = np.array([glow.position_m for glow in light.glows])
    off_m = places_m[:, :, None] - eyes_m[None, :, :]
    cosine = np.clip(looks * off_m[:, 0] / np.sqrt((off_m**2).sum(axis=1)), -1.0, 1.0)
    angle_rad = np.arccos(cosine)
    per_lux = at_one_degree / np.degrees(np.maximum(angle_rad, LEAST_RAD)) ** 2  # it falls with the angle's square
    across_lx = illuminance_outside(light.glows, eyes_m) * cosine
    each = np.where(angle_rad <= MOST_RAD, across_lx * per_lux, 0.0)
    together = brightest_cd(light.together, gathered(light.together, each))  # linear, so luminance will do
    peaks = np.array([[glow.part.wave.peak()] for glow in light.glows])
    ends = np.cumsum([lane.eyes_m.shape[1] for lane in lanes])[:-1]
    parts = zip(np.split(each * peaks, ends, axis=1), np.split(together, ends), lanes, strict=True)
    return list(parts)


def _side_said(y_m: float) -> str:
    return "on the left" if y_m > 0.0 else "on the right"


# --------------------------------------------------------------------------------------------- crew at an open panel
@measures("light.crew-light", kind="illuminance", eye="length", nearest="length", farthest="length")
def crew_light(
    model: Model, *, situation: str, eye: float = 1.6, nearest: float = 0.5, farthest: float = 2.0
) -> tuple[Measure, ...]:
    """How much flashing light falls into the eyes of somebody who stands at an opened panel?

    eye : height of the eyes. nearest, farthest : out from the panel's outermost place between which the worst is
    sought. [m]
    """
    opened = open_panels(model.body, settings_of(model, situation))
    flashing = [glow for glow in glows(model, situation) if not glow.part.wave.is_constant] if opened else []
    if not flashing:
        return ()
    together = merged([glow.part.wave for glow in flashing], [glow.head.sync_group for glow in flashing])
    ways_m = np.linspace(nearest, farthest, 4).tolist()
    spots = [eyes(model, opened, height_m=eye, away_m=way) for way in ways_m]
    answers = []
    for panel in spots[0]:
        places_m = np.array([spot[panel] for spot in spots]).T
        each_lx = illuminance_at(flashing, places_m)
        together_lx = brightest_cd(together, gathered(together, each_lx))
        worst = int(together_lx.argmax())
        answers.append(
            Measure(
                "light.crew-light",
                float(together_lx[worst]),
                "illuminance",
                about=model.situation(situation).path,
                blame=giving_most(flashing, each_lx[:, worst].tolist()),
                where=f"at the open {panel}, {ways_m[worst]:g} m out",
                situation=situation,
                facts=facts(panel=panel, test_voltage=voltages(flashing)),
            )
        )
    return tuple(answers)


# ------------------------------------------------------------------------------------------------ the driver himself
@measures("light.flash-back", kind="illuminance", reflects="share", width="length", height="length")
def flash_back(
    model: Model, *, situation: str, reflects: float = 0.8, width: float = 0.18, height: float = 0.2
) -> tuple[Measure, ...]:
    """How much of our own light gets into the driver's eyes, straight and by the door mirrors?

    reflects : what a mirror sends on. width, height : of its glass. [m]

    Light thrown back by glass, mist, signs and other vehicles is not in it, and every pane before him counts as clear.
    """
    eyes_m = driver_eyes(model.body)
    light = everything(model, situation)
    if eyes_m is None or not light.glows:
        return ()
    clear = _clear_to_the_driver(model, situation)
    ways = {"straight": _straight(light.glows, eyes_m, clear)}
    mirrors = door_mirrors(model.body, eyes_m, width_m=width, height_m=height)
    ways |= {
        f"mirror-{side}": np.array([reflects * _by_mirror(glow, mirror, eyes_m, clear) for glow in light.glows])
        for side, mirror in mirrors.items()
    }
    return tuple(_flashed_back(model, situation, light, way, each_lx) for way, each_lx in ways.items())


def _flashed_back(model: Model, situation: str, light: Light, way: str, each_lx: Floats) -> Measure:
    together_lx = float(brightest_cd(light.together, gathered(light.together, each_lx[:, None]))[0])
    lamps: dict[str, float] = {}
    for glow, given_lx in zip(light.glows, each_lx.tolist(), strict=True):
        lamps[glow.lamp] = max(lamps.get(glow.lamp, 0.0), given_lx * glow.part.wave.peak())
    most = max(lamps, key=lambda lamp: (lamps[lamp], lamp))
    by = "straight" if way == "straight" else f"in the {way.removeprefix('mirror-')} mirror"
    return Measure(
        "light.flash-back",
        together_lx,
        "illuminance",
        about=model.situation(situation).path,
        blame=giving_most(light.glows, each_lx.tolist()),
        where=f"{by}, most from {most}" if lamps[most] > 0.0 else by,
        situation=situation,
        facts=facts(way=way, test_voltage=voltages(light.glows)),
        table=Table(_LAMPS, tuple((lamp, given) for lamp, given in sorted(lamps.items()) if given > 0.0)),
    )


def _straight(chosen: Sequence[Glow], eyes_m: Vector, clear: tuple[str, ...]) -> Floats:
    return np.array([_given_cd(glow, eyes_m, clear) / math.dist(glow.position_m, eyes_m) ** 2 for glow in chosen])


def _by_mirror(glow: Glow, mirror: Mirror, eyes_m: Vector, clear: tuple[str, ...]) -> float:
    """Light at the eyes from one glow seen in a mirror that sends everything on. [lx]"""
    seen = seen_in(mirror, eyes_m, glow.position_m)
    if seen is None:
        return 0.0
    spot_m, way_m = seen
    return _given_cd(glow, spot_m, clear) / way_m**2


def _given_cd(glow: Glow, point_m: Vector, clear: tuple[str, ...]) -> float:
    """Toward a point near by, at full light. clear : solids that let it through."""
    view = replace(glow.view, mount=tuple(dict.fromkeys((*glow.view.mount, *clear))))
    return candela_at(Source(glow.emitter, view), point_m)


@by_digest
def _clear_to_the_driver(model: Model, situation: str) -> tuple[str, ...]:
    """Panes, through which he looks, and what holds the mirrors: the spot of a mirror lies in it."""
    solids = solids_of(model, open_panels(model.body, settings_of(model, situation)))
    return tuple(each.name for each in solids if each.pane or "mirror" in each.name.split())
