"""What does each quarter round the vehicle get: in all, at its weakest point, and a little above and below?

The zone method: four zones of 90 deg, 19 points in each, every 5 deg with both ends, level and 5 deg up and down. All
lamps count as standing at the vehicle's middle. [1]_ The four corners belong to two zones each: 72 bearings, 76 uses.

References
----------
.. [1] SAE J2498 (2016), as its public abstract and tnlab.org, page J2498, tell it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, table_of
from coachwright.kit.nodes import read_nodes
from coachwright.light.coverage import first_least
from coachwright.light.far_field import Floats, Grid
from coachwright.place.zones import ZONE_MIDDLES_RAD, ZONES, Zone

DATA = "zones.yaml"

POINTS_N = 19
STEP_RAD = math.radians(5.0)
UP_DOWN_RAD = math.radians(5.0)
BEARINGS_N = 72

Level = Literal["upper", "lower", "both"]
LEVELS: tuple[Level, ...] = ("upper", "lower", "both")

ZONE_GRID = Grid(
    tuple(math.radians(5.0 * number) for number in range(BEARINGS_N)),
    (-UP_DOWN_RAD, 0.0, UP_DOWN_RAD),
)
"""Every point of all zones: 72 bearings from the nose, 5 deg down, level, 5 deg up."""


@dataclass(frozen=True, slots=True)
class Heights:
    """Optical centres over `upper_above_m` are of the upper level, those from `lower_from_m` on of the lower. [m]"""

    lower_from_m: float
    upper_above_m: float
    title: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class ZonePower:
    """What one zone gets. [cd s/min]

    total : sum over the level points. point : weakest level point, at `point_bearing_rad`.
    up_down : weakest point 5 deg up or down, at `up_down_bearing_rad` and `up_down_elevation_rad`.
    """

    zone: Zone
    total: float
    point: float
    point_bearing_rad: float
    up_down: float
    up_down_bearing_rad: float
    up_down_elevation_rad: float


@cache
def heights() -> Heights:
    """The heights of the data file, for rules that bring none."""
    text = resources.files("coachwright.light").joinpath(DATA).read_text(encoding="utf-8")
    levels = table_of(table_of(read_nodes(text, file=DATA).plain, DATA).get("levels", ""), DATA)
    try:
        lower_m, upper_m = (float(named(levels, name, DATA)) for name in ("lower-from-m", "upper-above-m"))
    except ValueError as error:
        raise DataWrong(f"{DATA}: heights of levels are numbers of metres ({error}).") from error
    return Heights(lower_m, upper_m, named(levels, "title", DATA), cite_of(levels, DATA))


def in_level(height_m: float, level: Level, *, lower_from_m: float, upper_above_m: float) -> bool:
    """Whether a head whose optical centre is that high counts in a level; in ``both`` every head does. [m]"""
    if level == "upper":
        return height_m > upper_above_m
    if level == "lower":
        return lower_from_m <= height_m <= upper_above_m
    return True


@cache
def zone_places(zone: Zone) -> NDArray[np.intp]:
    """Places of a zone's 19 points among the bearings of `ZONE_GRID`, in clockwise order, both corners included."""
    middle = round(ZONE_MIDDLES_RAD[zone] / STEP_RAD)
    places = (middle + np.arange(POINTS_N) - POINTS_N // 2) % BEARINGS_N
    places.flags.writeable = False
    return places


def zone_powers(power: Floats) -> tuple[ZonePower, ...]:
    """All four zones.

    Parameters
    ----------
    power : optical power over `ZONE_GRID`, shape (3, 72): 5 deg down, level, 5 deg up. [cd s/min]
    """
    return tuple(_zone_power(zone, power) for zone in ZONES)


def zone_totals(power: Floats) -> dict[Zone, Floats]:
    """Sum over the level points of each zone, for powers of any leading shape (..., 3, 72). [cd s/min]"""
    return {zone: power[..., 1, zone_places(zone)].sum(axis=-1) for zone in ZONES}


def one_dead(power: Floats, lamps: Sequence[str]) -> dict[str, tuple[ZonePower, ...]]:
    """All four zones with one lamp dead, for each lamp.

    Parameters
    ----------
    power : of each head, shape (heads, 3, 72). [cd s/min]
    lamps : which lamp each head belongs to.
    """
    names = np.array(lamps, dtype=np.str_)
    return {name: zone_powers(power[names != name].sum(axis=0)) for name in dict.fromkeys(lamps)}


def _zone_power(zone: Zone, power: Floats) -> ZonePower:
    places = zone_places(zone)
    level, off = power[1, places], power[[0, 2]][:, places]
    weakest = first_least(level)
    row, column = divmod(first_least(off.ravel()), POINTS_N)
    bearings = ZONE_GRID.bearings_rad
    return ZonePower(
        zone,
        float(level.sum()),
        float(level[weakest]),
        bearings[places[weakest]],
        float(off[row, column]),
        bearings[places[column]],
        ZONE_GRID.elevations_rad[2 * row],
    )
