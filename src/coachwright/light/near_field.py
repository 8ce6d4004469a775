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

from coachwright.light.far_field import Floats
from coachwright.light.lit import Glow
from coachwright.light.notice import extinction_per_m
from coachwright.light.seen import Points, Source, source_at

Bools = NDArray[np.bool_]

NEAREST_M = 0.01
"""Nearer than this a head is no point any more; a point that falls into a head counts as this far off. [m]"""


def candela_to(source: Source, points_m: Floats) -> Floats:
    """Intensity of a source at full light toward each point, shape (points,); limits left out. [cd]

    points_m : vehicle frame, shape (3, points).
    """
    fixed_m = np.ascontiguousarray(points_m)
    fixed_m.flags.writeable = False
    return source_at(source, Points(fixed_m)).astype(np.float64)


def illuminance_at(
    chosen: Sequence[Glow], points_m: Floats, *, visibility_m: float = np.inf, free: Bools | None = None
) -> Floats:
    """Light of each glow at full light on an eye that looks at it, shape (glows, points). [lx]

    free : which of the straight lines are not blocked by something beside the vehicle, shape (glows, points).

    Notes
    -----
    E = I 0.05^(d/V) / d^2  (Allard's law); V infinite is air without mist.
    """
    found = np.zeros((len(chosen), points_m.shape[1]))
    extinction = extinction_per_m(visibility_m)
    for row, glow in enumerate(chosen):
        asked = slice(None) if free is None else np.flatnonzero(free[row])
        candela = candela_to(glow.source, points_m[:, asked])
        lit = np.flatnonzero(candela)
        _, distance_m = _away(glow, points_m[:, asked][:, lit])
        candela[lit] *= np.exp(-extinction * distance_m) / distance_m**2
        found[row, asked] = candela
    return found


def on_plane(chosen: Sequence[Glow], points_m: Floats, normal: tuple[float, float, float]) -> Floats:
    """Light of each glow at full light on a small flat patch at each point, shape (glows, points). [lx]

    normal : unit vector out of the patch; light from behind it falls on nothing.

    Notes
    -----
    E = I cos(incidence) / d^2.
    """
    found = np.zeros((len(chosen), points_m.shape[1]))
    for row, glow in enumerate(chosen):
        away_m, distance_m = _away(glow, points_m)
        cosine = np.maximum(-(np.array(normal) @ away_m) / distance_m, 0.0)
        found[row] = candela_to(glow.source, points_m) * cosine / distance_m**2
    return found


def _away(glow: Glow, points_m: Floats) -> tuple[Floats, Floats]:
    """From the glow's optical centre to each point, and how far that is."""
    away_m = points_m - np.array(glow.position_m)[:, None]
    distance_m = np.maximum(np.sqrt((away_m**2).sum(axis=0)), NEAREST_M)
    return away_m, distance_m
