"""How much voltage does a run of wire take, and how thick must it be to take no more?

See Also
--------
coachwright.power.wire : resistance of the conductor.
coachwright.power.ampacity : a wire short enough to drop little may still run too hot.
"""

from __future__ import annotations

from collections.abc import Sequence

from coachwright.power.wire import CIRCULAR_MIL_M2, Conductor, resistance_ohm_m

FOOT_M = 0.3048
ROUND_TRIP_K = 10.75
"""Ohm circular mil per foot: copper near 29 degC. [1]"""


def voltage_drop_v(
    conductor: Conductor, *, length_m: float, current_a: float, temperature_degc: float, stranded: bool = True
) -> float:
    """Voltage a run takes, out and back through the same size of wire. [V]

    Parameters
    ----------
    length_m : one way. [m]
    temperature_degc : of the copper. [degC]

    Notes
    -----
    E = 2 L I R.
    """
    return (
        2.0
        * length_m
        * current_a
        * resistance_ohm_m(conductor.area_m2, temperature_degc=temperature_degc, stranded=stranded)
    )


def circular_mils_for(*, current_a: float, length_m: float, drop_v: float, k: float = ROUND_TRIP_K) -> float:
    """Area of copper that takes no more than a voltage. [circular mil]

    Parameters
    ----------
    length_m : there and back. [m]
    drop_v : more than 0. [V]
    k : 10.75 for copper near 29 degC, 12.9 at 75 degC. [ohm circular mil / ft]

    Notes
    -----
    CM = K I L / E,  L in feet there and back. Pages that print 25.8 mean one way, at 75 degC.

    References
    ----------
    .. [1] ABYC E-11, as boat wiring guides quote it: K = 10.75, conductor length from source to load and back.
    """
    return k * current_a * (length_m / FOOT_M) / drop_v


def smallest(sizes: Sequence[Conductor], *, circular_mils: float) -> Conductor | None:
    """The thinnest of the sizes (thinnest first) that has this area; None when none has."""
    area_m2 = circular_mils * CIRCULAR_MIL_M2
    return next((size for size in sizes if size.area_m2 >= area_m2 * (1.0 - 1e-12)), None)
