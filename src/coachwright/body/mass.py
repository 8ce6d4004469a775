"""What do added weights do to the axles, and how high is the centre of gravity?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AxleLoads:
    """Mass each axle carries. [kg]"""

    front_kg: float
    rear_kg: float

    @property
    def total_kg(self) -> float:
        return self.front_kg + self.rear_kg


def axle_loads(
    *, wheelbase_m: float, front_kg: float, rear_kg: float, items: Sequence[tuple[float, float]]
) -> AxleLoads:
    """Axle loads with items added.

    Parameters
    ----------
    front_kg, rear_kg : what the axles carry before. [kg]
    items : mass and distance behind the front axle of each; before it is negative. [kg, m]

    Notes
    -----
    rear = sum(w x) / wheelbase,  front = sum(w) - rear.  An item behind the rear axle lifts the front.
    """
    rear = sum(mass_kg * behind_m for mass_kg, behind_m in items) / wheelbase_m
    return AxleLoads(front_kg + sum(mass_kg for mass_kg, _ in items) - rear, rear_kg + rear)


def gravity_height_m(
    *, mass_kg: float, wheelbase_m: float, lift_m: float, transfer_kg: float, radius_m: float
) -> float:
    """Height of the centre of gravity above the ground, from weighing one axle with the other lifted. [m]

    Parameters
    ----------
    lift_m : of the other axle's wheels, more than 0 and less than the wheelbase. [m]
    transfer_kg : by how much the standing axle grew heavier. [kg]
    radius_m : of the tyres under load, height of the axles. [m]

    Notes
    -----
    h = r + dF L sqrt(L^2 - H^2) / (W H).  Springs locked or their sag taken off; tanks full or empty.

    References
    ----------
    .. [1] Textbooks of vehicle dynamics, reaction method.
    """
    level_m = math.sqrt((wheelbase_m - lift_m) * (wheelbase_m + lift_m))
    return radius_m + transfer_kg / mass_kg * wheelbase_m * level_m / lift_m
