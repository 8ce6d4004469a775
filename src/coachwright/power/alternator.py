"""What does the alternator bring, by engine speed and by the heat round it?

See Also
--------
coachwright.power.bus : puts it together with batteries and loads.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from coachwright.parts.schema import Charging
from coachwright.power.charge import SHEET_DEGC, between


@dataclass(frozen=True, slots=True)
class Alternator:
    """What turns with the engine.

    regulated_v : at 25 degC; slope_v_k : per kelvin above. [V, V/K]
    curve : (temperature [degC], engine speeds [rad/s], currents [A]), coldest first, speeds rising.
    """

    regulated_v: float
    slope_v_k: float
    curve: tuple[tuple[float, tuple[float, ...], tuple[float, ...]], ...]
    idle_rad_s: float
    fast_idle_rad_s: float = 0.0

    def voltage_v(self, temperature_degc: float) -> float:
        """Its regulator holds. [V]"""
        return self.regulated_v + self.slope_v_k * (temperature_degc - SHEET_DEGC)


def alternator_of(charging: Charging) -> Alternator:
    """What a body says of its charging, in the order it is looked up."""
    ordered = sorted(charging.curve, key=lambda point: (point.temperature, point.engine_speed))
    curve = tuple(
        (temperature, tuple(point.engine_speed for point in points), tuple(point.current for point in points))
        for temperature, points in (
            (found, tuple(group)) for found, group in groupby(ordered, key=lambda point: point.temperature)
        )
    )
    return Alternator(charging.voltage, charging.temperature_slope, curve, charging.idle, charging.fast_idle)


def most_a(alternator: Alternator, *, engine_rad_s: float, temperature_degc: float) -> float:
    """Most it gives at one engine speed and one temperature of the air round it. [A]

    Notes
    -----
    Straight lines between the sheet's points, in speed and in temperature. Slower than its curve begins it gives
    nothing; faster than it ends, no more than there. Colder than the coldest curve no more than that; hotter than the
    hottest it goes on falling as between the last two. `beyond_curve` says when that happened.
    """
    amperes = [
        between(speeds, currents, engine_rad_s) if engine_rad_s >= speeds[0] * (1.0 - 1e-9) else 0.0
        for _, speeds, currents in alternator.curve
    ]
    temperatures = [each[0] for each in alternator.curve]
    if temperature_degc > temperatures[-1] and len(temperatures) > 1:
        slope = (amperes[-1] - amperes[-2]) / (temperatures[-1] - temperatures[-2])
        return max(0.0, amperes[-1] + min(0.0, slope) * (temperature_degc - temperatures[-1]))
    return between(temperatures, amperes, temperature_degc)


def beyond_curve(alternator: Alternator, *, engine_rad_s: float, temperature_degc: float) -> str:
    """In what an engine speed and a temperature lie outside the sheet; "" where they lie within."""
    slowest = max(speeds[0] for _, speeds, _ in alternator.curve)
    fastest = min(speeds[-1] for _, speeds, _ in alternator.curve)
    if engine_rad_s < slowest * (1.0 - 1e-9):
        return "slower than the curve begins"
    if engine_rad_s > fastest * (1.0 + 1e-9):
        return "faster than the curve ends"
    if temperature_degc > alternator.curve[-1][0]:
        return "hotter than the curve goes"
    return ""
