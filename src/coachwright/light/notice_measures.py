"""From how far is the warning noticed, by day, in fog and at night, and by people close by as well?

Flashing warning only: steady light draws nobody's eye.
"""

from __future__ import annotations

import math

import numpy as np

from coachwright.build.model import Model
from coachwright.flash.measures import QUARTERS
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.table import Column, Table
from coachwright.light.ambient import AmbientName, is_so
from coachwright.light.ambient import ambient as ambient_of
from coachwright.light.blame import looking_toward, not_to_be_asked
from coachwright.light.coverage import effective_cd, first_least, gathered
from coachwright.light.far_field import Floats
from coachwright.light.lit import LEVEL, ROUND, effective_round, flashing, voltages
from coachwright.light.near_field import illuminance_outside
from coachwright.light.notice import sight_range_m
from coachwright.light.words import degrees, toward
from coachwright.place.zones import ZONE_MIDDLES_RAD

NEAR_BEARINGS_N = 72
NEAR_RINGS_N = 5
"""Bearings, every 5 deg, and distances, each farther by the same factor, of who stands close by."""

_ROUND_COLUMNS = (Column("bearing", "angle"), Column("distance", "length", "noticed from"))
_NEAR_COLUMNS = (Column("distance", "length", "from the body"), Column("illuminance", "illuminance", "at the weakest"))


@measures("light.notice-distance", kind="length", ambient="word")
def notice_distance(model: Model, *, situation: str, ambient: AmbientName) -> tuple[Measure, ...]:
    """From how far is the warning noticed, level, from the weakest bearing of each side?

    ambient : light and air (light/ambient.yaml); asked only where the situation can be in them.

    Notes
    -----
    Allard's law solved for the distance, with the effective intensity (Blondel-Rey) of all that flashes.
    """
    light = flashing(model, situation)
    if not light.glows or not is_so(model, situation, ambient):
        return ()
    around = ambient_of(ambient)
    level_cd = effective_round(model, situation)[LEVEL]
    ways_m = [
        sight_range_m(float(cd), threshold_lx=around.noticed_lx, visibility_m=around.visibility_m)
        for cd in level_cd[::2]
    ]
    table = Table(_ROUND_COLUMNS, tuple(zip(ROUND.bearings_rad[::2], ways_m, strict=True)))
    answers = []
    for zone, middle_rad in ZONE_MIDDLES_RAD.items():
        away_rad = np.abs((np.array(ROUND.bearings_rad) - middle_rad + math.pi) % math.tau - math.pi)
        weakest = first_least(np.where(away_rad <= math.pi / 4 + 1e-9, level_cd, np.inf))
        bearing_rad = ROUND.bearings_rad[weakest]
        answers.append(
            Measure(
                "light.notice-distance",
                sight_range_m(
                    float(level_cd[weakest]), threshold_lx=around.noticed_lx, visibility_m=around.visibility_m
                ),
                "length",
                about=model.situation(situation).path,
                blame=looking_toward(light.glows, bearing_rad),
                where=f"{toward(bearing_rad, 0.0)}, {around.title}",
                situation=situation,
                facts=facts(toward=QUARTERS[zone], test_voltage=voltages(light.glows)),
                table=table,
            )
        )
    return tuple(answers)


@measures("light.near-light", kind="illuminance", eye="length", nearest="length", farthest="length")
def near_light(
    model: Model, *, situation: str, eye: float = 1.1, nearest: float = 3.0, farthest: float = 10.0
) -> tuple[Measure, ...]:
    """How much flashing warning reaches eyes close by, where beams may pass over them or under them?

    eye : height of the eyes: in a car some 1.1 m, on foot 1.6 m. nearest, farthest : from the body's outline. [m]

    Effective illuminance (Blondel-Rey) at the weakest bearing and distance; the table has the weakest of each distance.
    """
    light = flashing(model, situation)
    if not light.glows:
        return ()
    if not 0.0 < nearest <= farthest:
        why = "the rule's eyes stand nowhere: nearest is more than 0, and no more than farthest"
        return not_to_be_asked("light.near-light", "illuminance", model.situation(situation).path, why)
    bearings_rad = np.radians(np.arange(NEAR_BEARINGS_N) * 360.0 / NEAR_BEARINGS_N)
    rings_m = np.geomspace(nearest, farthest, NEAR_RINGS_N)
    points_m = _ring_points(model, bearings_rad, rings_m, eye)
    given_lx = illuminance_outside(light.glows, points_m.reshape(3, -1))
    seen_lx = effective_cd(light.together, gathered(light.together, given_lx)).reshape(len(rings_m), -1)
    row, column = divmod(first_least(seen_lx.ravel()), NEAR_BEARINGS_N)
    bearing_rad = float(bearings_rad[column])
    return (
        Measure(
            "light.near-light",
            float(seen_lx[row, column]),
            "illuminance",
            about=model.situation(situation).path,
            blame=looking_toward(light.glows, bearing_rad),
            where=f"eyes {eye:g} m high, {rings_m[row]:.0f} m off, bearing {degrees(bearing_rad)}",
            situation=situation,
            facts=facts(test_voltage=voltages(light.glows)),
            table=Table(_NEAR_COLUMNS, tuple(zip(rings_m.tolist(), seen_lx.min(axis=1).tolist(), strict=True))),
        ),
    )


def _ring_points(model: Model, bearings_rad: Floats, rings_m: Floats, eye_m: float) -> Floats:
    """Eyes so far outside the body's outline, seen from its middle, shape (3, rings, bearings). [m]"""
    half_length_m, half_width_m = model.body.length / 2.0, model.body.width / 2.0
    middle_x_m = model.body.front_overhang - half_length_m
    ahead, left = np.cos(bearings_rad), -np.sin(bearings_rad)
    with np.errstate(divide="ignore"):
        outline_m = np.minimum(half_length_m / np.abs(ahead), half_width_m / np.abs(left))
    way_m = outline_m[None, :] + rings_m[:, None]
    return np.stack([middle_x_m + way_m * ahead, way_m * left, np.full(way_m.shape, eye_m)])
