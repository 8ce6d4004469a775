"""Which patches of the ground round the vehicle do people work on?

Beside each side along the whole length, behind and before it over the whole width: a grid of spots on the ground.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwright.light.far_field import Floats
from coachwright.parts.schema import BodyPart

Quarter = Literal["front", "right", "rear", "left"]
UP = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Patch:
    """Spots on the ground, shape (3, spots), row by row. [m]"""

    quarter: Quarter
    spots_m: Floats


def patch(body: BodyPart, quarter: Quarter, *, from_m: float, to_m: float, step_m: float) -> Patch:
    """The spots of one quarter between two distances from the body's outline, at equal steps no wider than asked.

    Raises
    ------
    ValueError : the patch has no extent, or the steps none.
    """
    if not (0.0 <= from_m < to_m and step_m > 0.0):
        raise ValueError(f"a patch reaches from {from_m:g} m out to more than that, in steps of more than 0 m")
    nose_m, half_m = body.front_overhang, body.width / 2.0
    tail_m = nose_m - body.length
    out_m = _spread(from_m, to_m, step_m)
    if quarter in ("front", "rear"):
        x_m = nose_m + out_m if quarter == "front" else tail_m - out_m
        y_m = _spread(-half_m, half_m, step_m)
    else:
        x_m = _spread(tail_m, nose_m, step_m)
        y_m = half_m + out_m if quarter == "left" else -half_m - out_m
    grid_x, grid_y = np.meshgrid(x_m, y_m, indexing="ij")
    return Patch(quarter, np.stack([grid_x.ravel(), grid_y.ravel(), np.zeros(grid_x.size)]))


def _spread(low_m: float, high_m: float, step_m: float) -> Floats:
    """Middles of equal stretches, each no longer than a step: every spot stands for as much ground."""
    stretches_n = max(1, int(np.ceil((high_m - low_m) / step_m - 1e-9)))
    ends = np.linspace(low_m, high_m, stretches_n + 1)
    return np.asarray((ends[:-1] + ends[1:]) / 2.0, dtype=np.float64)
