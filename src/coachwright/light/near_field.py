"""How much light does a head give an eye, a mirror or a spot on the ground near by?

Candela past whatever stands between are those of light.seen; here they become lux, over the square of the distance and
through the air.

See Also
--------
coachwright.light.seen : candela toward points. coachwright.light.crew : one eye at a time.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.geom import bearings_and_elevations, directions
from coachwright.kit.once import frozen, once
from coachwright.light.far_field import Floats, plain_look_up, share_through
from coachwright.light.lit import ROUND, Glow
from coachwright.light.notice import extinction_per_m
from coachwright.light.seen import Points, source_at
from coachwright.light.shadow import FAINT_CD, NOTHING, View, first_met

Bools = NDArray[np.bool_]

NEAREST_M = 0.01
"""Nearer than this a head is no point any more; a point that falls into a head counts as this far off. [m]"""

STEP_RAD = np.radians(1.0)
"""Steeper than `ROUND` reaches the vehicle's shadow is asked for in such steps. [rad]"""

_LOWEST_RAD, _ROW_RAD = ROUND.elevations_rad[0], ROUND.elevations_rad[1] - ROUND.elevations_rad[0]
_COLUMN_RAD = ROUND.bearings_rad[1]


def illuminance_at(chosen: Sequence[Glow], points_m: Floats) -> Floats:
    """Light of each glow at full light on an eye that looks at it, shape (glows, points). [lx]

    points_m : vehicle frame, shape (3, points), as near as may be.

    Notes
    -----
    E = I / d^2.
    """
    found = np.zeros((len(chosen), points_m.shape[1]))
    points = Points(frozen(points_m))
    for row, glow in enumerate(chosen):
        _, distance_m = _away(glow, points_m)
        found[row] = source_at(glow.source, points) / distance_m**2
    return found


def illuminance_outside(
    chosen: Sequence[Glow], points_m: Floats, *, visibility_m: float = np.inf, free: Bools | None = None
) -> Floats:
    """The same at points so far outside that nothing of the vehicle stands beyond them, shape (glows, points). [lx]

    free : which of the straight lines are not blocked by something beside the vehicle, shape (glows, points).

    Notes
    -----
    E = I 0.05^(d/V) / d^2  (Allard's law); V infinite is air without mist. Candela are those of each direction; what
    of the vehicle hides it is that of the nearest direction of `ROUND`, which is known already.
    """
    found = np.zeros((len(chosen), points_m.shape[1]))
    extinction = extinction_per_m(visibility_m)
    for row, glow in enumerate(chosen):
        asked = np.arange(points_m.shape[1]) if free is None else np.flatnonzero(free[row])
        away_m, distance_m = _away(glow, points_m[:, asked])
        vectors = away_m / distance_m
        candela = plain_look_up(glow.emitter, vectors, share_through(glow.emitter.pane, vectors))
        lit = np.flatnonzero(candela >= FAINT_CD)
        lit = lit[_unhidden(glow, vectors[:, lit])]
        through_air = np.exp(-extinction * distance_m[lit]) / distance_m[lit] ** 2
        found[row, asked[lit]] = candela[lit] * through_air
    return found


def on_plane(chosen: Sequence[Glow], points_m: Floats, normal: tuple[float, float, float]) -> Floats:
    """Light of each glow at full light on a small flat patch at each point, shape (glows, points). [lx]

    normal : unit vector out of the patch; light from behind it falls on nothing.

    Notes
    -----
    E = I cos(incidence) / d^2.
    """
    found = np.zeros((len(chosen), points_m.shape[1]))
    points = Points(frozen(points_m))
    for row, glow in enumerate(chosen):
        away_m, distance_m = _away(glow, points_m)
        cosine = np.maximum(-(np.array(normal) @ away_m) / distance_m, 0.0)
        found[row] = source_at(glow.source, points) * cosine / distance_m**2
    return found


def _away(glow: Glow, points_m: Floats) -> tuple[Floats, Floats]:
    """From the glow's optical centre to each point, and how far that is."""
    away_m = points_m - np.array(glow.position_m)[:, None]
    distance_m = np.maximum(np.sqrt((away_m**2).sum(axis=0)), NEAREST_M)
    return away_m, distance_m


def _unhidden(glow: Glow, vectors: Floats) -> Bools:
    """Whether nothing of the vehicle stands in each of these directions."""
    if not vectors.shape[1]:
        return np.zeros(0, dtype=np.bool_)
    bearings_rad, elevations_rad = bearings_and_elevations(vectors.T)
    rows = ((elevations_rad - _LOWEST_RAD) / _ROW_RAD).round().astype(np.int64)
    columns = (bearings_rad / _COLUMN_RAD).round().astype(np.int64) % ROUND.shape[1]
    known = (rows >= 0) & (rows < ROUND.shape[0])
    free = np.zeros(len(known), dtype=np.bool_)
    free[known] = glow.hidden[rows[known], columns[known]] == NOTHING
    if not known.all():
        free[~known] = _unhidden_steeply(glow.view, bearings_rad[~known], elevations_rad[~known])
    return free


def _unhidden_steeply(view: View, bearings_rad: Floats, elevations_rad: Floats) -> Bools:
    """The same where `ROUND` doesn't reach."""
    steps = np.stack([bearings_rad, elevations_rad]) / STEP_RAD
    distinct, which = np.unique(steps.round().astype(np.int64), axis=1, return_inverse=True)
    looks = directions(distinct[0] * STEP_RAD, distinct[1] * STEP_RAD).T
    return _free_toward(view, Points(frozen(looks)))[which.ravel()]


@once(max_bytes=32_000_000)
def _free_toward(view: View, looks: Points) -> Bools:
    """Along unit vectors, shape (looks,)."""
    obstacles = tuple(each for each in view.scene.obstacles if each.name not in view.mount)
    if not obstacles:
        return np.ones(looks.places_m.shape[1], dtype=np.bool_)
    met = first_met(view.position_m, obstacles, looks.places_m, reach=np.inf)
    return np.asarray(met == NOTHING, dtype=np.bool_)
