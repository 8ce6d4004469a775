"""What do the pictures of light show that no rule asks: who hides light by bearing, how are ground and tables lit?

Nothing new is measured here: the same light, the same shadows, laid out over bearings and over the ground.

See Also
--------
coachwright.light.hidden_measures : the loss of one lamp. coachwright.light.ground_measures : the ground as a figure.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.kit.by_digest import by_digest
from coachwright.light.crew import eyes
from coachwright.light.far_field import Floats, far_field
from coachwright.light.ground import UP
from coachwright.light.ground_measures import working
from coachwright.light.lit import LEVEL, ROUND, Glow, Light, effective_round, flashing
from coachwright.light.near_field import on_plane
from coachwright.light.shadow import NOTHING, Obstacle, hidden_toward
from coachwright.place.panels import open_panels

GRID_M, BEYOND_M = 0.5, 4.0
"""Between two spots of the ground map, and how far past the body it reaches. [m]"""

TABLE_GRID_M = 0.04
"""Between two spots on a table. [m]"""

_LEVEL_M, _OVER_M, _HAND_M = 0.005, 0.001, 0.1
"""A top is level within the first of these; its spots lie the second over it; what is narrower than the third is no
table. [m]"""

_STANDING_EYE_M, _STANDING_OFF_M = 1.6, 0.8


@dataclass(frozen=True, slots=True)
class HiddenRound:
    """What the vehicle, and what is fitted to it, keeps back of its own flashing light, level, by bearing.

    bearings_rad : as `ROUND`. shares : of the mean light toward each, 0 to 1. by : what hides, with its part of all
    that is hidden, the most first.
    """

    bearings_rad: tuple[float, ...]
    shares: tuple[float, ...]
    by: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class GroundMap:
    """Steady work light on the ground round the vehicle as it stands in one situation.

    x_m, y_m : of the spots, vehicle frame, ascending. lux : mean light there, shape (y, x). people : who stands at an
    open panel, as (panel, x, y).
    """

    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    lux: Floats
    people: tuple[tuple[str, float, float], ...]


@dataclass(frozen=True, slots=True)
class TableMap:
    """Steady work light on a level top of the vehicle, or of what is fitted, at which lamps look down.

    name : of the solid. x_m, y_m : of the spots, vehicle frame, ascending, from edge to edge. height_m : of the top.
    lux : mean light there, shape (y, x). lamps : (name, x, y) of those that look at it.
    """

    name: str
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    height_m: float
    lux: Floats
    lamps: tuple[tuple[str, float, float], ...]


def effective_by_elevation(model: Model, situation: str) -> tuple[tuple[float, ...], tuple[float, ...], Floats]:
    """Bearings, elevations and effective intensity of all that flashes, shape (elevations, bearings). [rad, cd]"""
    return ROUND.bearings_rad, ROUND.elevations_rad, effective_round(model, situation)


@by_digest
def level_hidden(model: Model, situation: str) -> HiddenRound:
    """Share of the flashing light that is hidden toward each level bearing, and by what.

    Light past the clear angle of a place was never there, and isn't missed.
    """
    light = flashing(model, situation)
    given_cd, taken_cd, by_cd = _given_and_taken(light)
    shares = np.divide(taken_cd, given_cd, out=np.zeros_like(given_cd), where=given_cd > 0.0)
    all_cd = sum(by_cd.values())
    by = sorted(((name, cd / all_cd) for name, cd in by_cd.items()), key=lambda pair: (-round(pair[1], 6), pair[0]))
    return HiddenRound(ROUND.bearings_rad, tuple(shares.tolist()), tuple(by))


@by_digest
def ground_map(model: Model, situation: str) -> GroundMap | None:
    """Lux on the ground, every half metre to 4 m past the body; None where no work light burns."""
    lamps = working(model, situation)
    if not lamps:
        return None
    body = model.body
    middle_m = body.front_overhang - body.length / 2.0
    x_m = middle_m + _evenly(body.length / 2.0 + BEYOND_M)
    y_m = _evenly(body.width / 2.0 + BEYOND_M)
    grid_x, grid_y = np.meshgrid(x_m, y_m)
    spots_m = np.stack([grid_x.ravel(), grid_y.ravel(), np.zeros(grid_x.size)])
    means = np.array([glow.part.wave.mean() for glow in lamps])
    lux = (means @ on_plane(lamps, spots_m, UP)).reshape(grid_x.shape)
    opened = open_panels(body, settings_of(model, situation))
    standing = eyes(model, opened, height_m=_STANDING_EYE_M, away_m=_STANDING_OFF_M)
    people = tuple((name, spot[0], spot[1]) for name, spot in standing.items())
    return GroundMap(tuple(x_m.tolist()), tuple(y_m.tolist()), np.asarray(lux, dtype=np.float64), people)


@by_digest
def table_maps(model: Model, situation: str) -> tuple[TableMap, ...]:
    """Lux on every level top that the axis of a work light meets first, every 4 cm; only tops that are rectangles."""
    lamps = working(model, situation)
    looked_at: dict[str, tuple[Obstacle, list[Glow]]] = {}
    for glow in lamps:
        met = hidden_toward(glow.view, glow.emitter.forward)
        if met != NOTHING:
            top = glow.view.scene.obstacles[met]
            looked_at.setdefault(top.name, (top, []))[1].append(glow)
    means = np.array([glow.part.wave.mean() for glow in lamps])
    found = []
    for name, (solid, looking) in looked_at.items():
        corners_m = solid.vertices_m[solid.vertices_m[:, 2] > solid.vertices_m[:, 2].max() - _LEVEL_M]
        low, high = corners_m.min(axis=0), corners_m.max(axis=0)
        if not _is_rectangle(corners_m, low, high):
            continue
        x_m, y_m = (_between(float(low[axis]), float(high[axis])) for axis in (0, 1))
        grid_x, grid_y = np.meshgrid(x_m, y_m)
        spots_m = np.stack([grid_x.ravel(), grid_y.ravel(), np.full(grid_x.size, high[2] + _OVER_M)])
        lux = (means @ on_plane(lamps, spots_m, UP)).reshape(grid_x.shape)
        marks = tuple((glow.lamp, glow.position_m[0], glow.position_m[1]) for glow in looking)
        found.append(TableMap(name, tuple(x_m.tolist()), tuple(y_m.tolist()), float(high[2]), lux, marks))
    return tuple(found)


def _is_rectangle(corners_m: Floats, low: Floats, high: Floats) -> bool:
    """Whether all four corners of the box round these points are among them, and it is larger than a hand."""
    box_m = [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
    near = [np.hypot(corners_m[:, 0] - x, corners_m[:, 1] - y).min() < _LEVEL_M for x, y in box_m]
    return bool(all(near) and min(high[0] - low[0], high[1] - low[1]) > _HAND_M)


def _between(low_m: float, high_m: float) -> Floats:
    """Places from edge to edge, `TABLE_GRID_M` apart or a little less. [m]"""
    return np.linspace(low_m, high_m, math.ceil((high_m - low_m) / TABLE_GRID_M - 1e-9) + 1)


def _evenly(half_m: float) -> Floats:
    """Places to both sides of nought, the same on both, as far as `half_m` at least. [m]"""
    steps_n = math.ceil(half_m / GRID_M - 1e-9)
    return GRID_M * np.arange(-steps_n, steps_n + 1, dtype=np.float64)


def _given_and_taken(light: Light) -> tuple[Floats, Floats, dict[str, float]]:
    """Mean light toward each level bearing with nothing in its way, what is taken of it, and by what. [cd]"""
    given_cd, taken_cd = np.zeros(ROUND.shape[1]), np.zeros(ROUND.shape[1])
    by_cd: dict[str, float] = defaultdict(float)
    bare_cd = far_field([glow.emitter for glow in light.glows], ROUND)[:, LEVEL]
    for glow, full_cd in zip(light.glows, bare_cd, strict=True):
        mean_cd = glow.part.wave.mean() * full_cd
        met = glow.hidden[LEVEL]
        given_cd += mean_cd
        taken_cd += np.where(met != NOTHING, mean_cd, 0.0)
        for place in np.unique(met[met != NOTHING]).tolist():
            lost_cd = float(mean_cd[met == place].sum())
            if lost_cd > 0.0:
                by_cd[glow.view.scene.obstacles[place].name] += lost_cd
    return given_cd, taken_cd, by_cd
