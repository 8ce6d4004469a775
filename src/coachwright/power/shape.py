"""What do several flashing loads draw together: mean, peak, and what heats the wire?

Exact values come from the steps of the real patterns; these are for a first look.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LoadShape:
    """mean_a : for alternator and battery. peak_a : for drop at the lamp and drivers. rms : for heat in the wire."""

    mean_a: float
    peak_a: float
    rms_together_a: float
    rms_independent_a: float


def load_shape(*, count_n: int, current_a: float, duty_share: float) -> LoadShape:
    """Current of equal loads that are on for a share of the time, on a shared feed.

    Parameters
    ----------
    count_n : loads. duty_share : share of the time each is on, 0 to 1.

    Notes
    -----
    mean  n I D;  peak  n I;  rms all at once  n I sqrt(D);  rms independent  sqrt((n I D)^2 + n I^2 D (1 - D)).
    """
    mean_a, peak_a = count_n * current_a * duty_share, count_n * current_a
    spread = count_n * current_a**2 * duty_share * (1.0 - duty_share)
    return LoadShape(mean_a, peak_a, peak_a * math.sqrt(duty_share), math.sqrt(mean_a**2 + spread))


@dataclass(frozen=True, slots=True)
class Fed:
    """Voltage and current at a load that takes constant power."""

    voltage_v: float
    current_a: float


def constant_power(*, power_w: float, supply_v: float, loop_ohm: float) -> Fed | None:
    """Voltage at a load that draws the same power at any voltage, behind a resistance; None where there is none.

    Parameters
    ----------
    supply_v : more than 0. [V]
    loop_ohm : wire out and back, 0 or more. [ohm]

    Notes
    -----
    V = (Vs + sqrt(Vs^2 - 4 P R)) / 2.  Where Vs^2 < 4 P R no voltage feeds it: it browns out. Size wire at the lowest
    voltage at which it has to work: there the current is largest.
    """
    inside = supply_v**2 - 4.0 * power_w * loop_ohm
    if inside < 0.0:
        return None
    voltage_v = (supply_v + math.sqrt(inside)) / 2.0
    return Fed(voltage_v, power_w / voltage_v)
