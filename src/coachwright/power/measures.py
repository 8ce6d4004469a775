"""The door of the room: every window of supply and wires, and the solvers that decide what is open.

Channels are decided before sizes are: what hangs on a channel says how large its fuse is.
"""

from __future__ import annotations

from coachwright.build.settling import register
from coachwright.power import (
    measures_harness,
    measures_joints,
    measures_loads,
    measures_sizes,
    measures_supply,
)
from coachwright.power.sizes import SIZES

register(SIZES)

__all__ = ["measures_harness", "measures_joints", "measures_loads", "measures_sizes", "measures_supply"]
