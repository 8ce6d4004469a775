"""In which directions does a trailer stand before a lamp?

A trailer is a box on the ground behind its coupling; what is written of it is its width, its height and how long it is.
Light that would meet the box is lost. What the trailer carries itself (its own lamps) is not counted: they are no part
of the build.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model_fitted import Trailer
from coachwright.kit.geom import Vector
from coachwright.light.far_field import Floats, Grid, grid_vectors
from coachwright.parts.schema import BodyPart

_NOWHERE = 1e-300
"""A direction along a face: divided by this it never gets to it."""


@dataclass(frozen=True, slots=True)
class Box:
    """Lowest and highest corner, vehicle frame. [m]"""

    low_m: Vector
    high_m: Vector


def box_of(trailer: Trailer, body: BodyPart) -> Box | None:
    """Where the trailer stands when both drive straight ahead; None where its size or its coupling isn't known."""
    if body.hitch is None or trailer.width_m is None or trailer.height_m is None or trailer.length_m is None:
        return None
    front_m = body.hitch.x - trailer.drawbar_m
    half_m = trailer.width_m / 2
    return Box((front_m - trailer.length_m, -half_m, 0.0), (front_m, half_m, trailer.height_m))


def seen_past(box: Box, positions_m: Sequence[Vector], grid: Grid) -> Floats:
    """1 where the light of each position gets past the box, 0 where it doesn't, shape (positions, *grid.shape).

    Notes
    -----
    The way of a ray through the three pairs of faces, each from where it enters to where it leaves them; it meets the
    box where it is inside all three at once, ahead of the lamp.
    """
    vectors = grid_vectors(grid)[None, :, :]
    slow = np.where(abs(vectors) < _NOWHERE, _NOWHERE, vectors)
    from_m = np.array(positions_m, dtype=np.float64).reshape(-1, 3)[:, :, None]
    low, high = (np.array(corner)[None, :, None] for corner in (box.low_m, box.high_m))
    one, other = (low - from_m) / slow, (high - from_m) / slow
    enters: NDArray[np.float64] = np.minimum(one, other).max(axis=1)
    leaves: NDArray[np.float64] = np.maximum(one, other).min(axis=1)
    hidden = (leaves > np.maximum(enters, 0.0)) & (leaves > 0.0)
    return np.where(hidden, 0.0, 1.0).reshape(-1, *grid.shape)
