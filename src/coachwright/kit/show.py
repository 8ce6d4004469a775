"""Prints numbers back in the units people use: ``38.4 A``, ``1,234 cd``, ``45 mph``, ``2 min 30 s``, ``25.0 deg``.

For the faces (proof and above). The rule is thin: each kind has its units by size, in inch-pound and in metric, and a
number of figures that a shop can act on. What is printed can be read again by kit.units.

Whole digits are never rounded away, what isn't nought never prints as nought, and a share prints as 100 % only when it
is. Two numbers that a verdict sets against each other are printed by `show_apart`, so that 149.96 against 150 doesn't
read 150 against 150. Temperatures print in degC in both systems: that is how wire and parts are rated.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from coachwright.kit.unit_table import Unit, find_unit, kind_of, kinds_with, units_of

System = Literal["us", "metric"]

_MOST_FIGURES = 15


@dataclass(frozen=True, slots=True)
class _Style:
    """How one kind prints.

    us, metric : (unit, from which size on, in that unit); the first also prints everything smaller.
    figures : significant digits at most; decimals : digits after the point at most; fixed : noughts at the end stay.
    """

    us: tuple[tuple[str, float], ...]
    metric: tuple[tuple[str, float], ...]
    figures: int = 3
    decimals: int = 9
    fixed: bool = False


def _both(*steps: tuple[str, float], figures: int = 3, decimals: int = 9, fixed: bool = False) -> _Style:
    return _Style(steps, steps, figures, decimals, fixed)


_STYLES = {
    "length": _Style((("in", 0), ("ft", 10), ("mi", 1)), (("mm", 0), ("m", 1), ("km", 1)), figures=4, decimals=2),
    "angle": _both(("deg", 0), figures=4, decimals=1, fixed=True),
    "time": _both(("ms", 0), ("s", 1)),
    "speed": _Style((("mph", 0),), (("km/h", 0),), decimals=1),
    "mass": _Style((("oz", 0), ("lb", 1)), (("g", 0), ("kg", 1)), figures=4, decimals=1),
    "force": _Style((("lbf", 0),), (("N", 0), ("kN", 10))),
    "torque": _Style((("lbf ft", 0),), (("N m", 0),)),
    "voltage": _both(("mV", 0), ("V", 0.1), figures=4, decimals=2),
    "current": _both(("mA", 0), ("A", 1)),
    "power": _both(("mW", 0), ("W", 0.1), ("kW", 10)),
    "resistance": _both(("mohm", 0), ("ohm", 1), ("kohm", 1)),
    "resistance-per-length": _both(("mohm/m", 0), figures=4),
    "charge": _both(("Ah", 0)),
    "energy": _both(("J", 0), ("Wh", 0.1), ("kWh", 10)),
    "temperature": _both(("degC", 0), figures=4, decimals=1),
    "temperature-rise": _both(("K", 0), figures=4, decimals=1),
    "voltage-per-temperature": _both(("mV/K", 0)),
    "area": _Style((("in2", 0), ("ft2", 1)), (("mm2", 0), ("m2", 0.1)), figures=4),
    "volume": _Style((("in3", 0), ("ft3", 0.1)), (("mL", 0), ("L", 1), ("m3", 1))),
    "flow": _Style((("cfm", 0),), (("m3/h", 0),)),
    "mass-per-length": _Style((("lb/ft", 0),), (("kg/m", 0),)),
    "concentration": _both(("mg/m3", 0)),
    "luminous-intensity": _both(("cd", 0)),
    "luminous-flux": _both(("lm", 0)),
    "illuminance": _both(("lx", 0)),
    "luminance": _both(("cd/m2", 0)),
    "flash-energy": _both(("cd s", 0)),
    "optical-power": _both(("cd s/min", 0)),
    "intensity-per-illuminance": _both(("cd/lx", 0)),
    "retroreflection": _both(("cd/lx/m2", 0)),
    "rate": _both(("per min", 0), figures=4, decimals=1),
    "share": _both(("%", 0), decimals=1),
    "frequency": _both(("Hz", 0), ("kHz", 1), ("MHz", 1), ("GHz", 1), figures=7),
    "level": _both(("dB", 0), figures=4, decimals=1),
    "gain": _both(("dB", 0), figures=4, decimals=1),
    "pressure": _Style((("psi", 0),), (("kPa", 0),)),
    "angular-rate": _both(("deg/s", 0)),
    "acceleration": _both(("g", 0)),
    "current-squared-time": _both(("A2 s", 0)),
    "count": _both(("1", 0), figures=4),
    "number": _both(("1", 0), figures=4),
}

_LONG_TIMES = ((2 * 86400.0, "d", "h"), (2 * 3600.0, "h", "min"), (120.0, "min", "s"))
"""From how many seconds on a time is printed in which two units."""


def show(value: float, kind: str, *, unit: str | None = None, system: System = "us") -> str:
    """A number as people read it, with its unit.

    Parameters
    ----------
    value : in the unit the program counts in (`kit.unit_table.si_unit(kind)`).
    kind : what it measures.
    unit : to print it in; left out, it goes by size and `system`.

    Raises
    ------
    ValueError : `value` isn't finite; a measure that has no value says why not instead.
    LookupError : no such kind, or no such unit of it.
    """
    style = _style_of(kind, value)
    if unit is None and kind == "time" and abs(value) >= _LONG_TIMES[-1][0]:
        return _long_time(value)
    chosen = _unit_named(unit, kind) if unit is not None else _unit_by_size(value, kind, style, system)
    return _joined(_in_unit(value, chosen, style.figures, style), chosen)


def show_in(value: float, unit: str, *, kind: str | None = None) -> str:
    """A number in the unit named. `kind` is needed where a name stands for two units (g). Raises as `show`."""
    if kind is None:
        found = kinds_with(unit)
        if len({(each.exact_factor, each.exact_offset) for each in found}) != 1:
            raise LookupError(f"{unit} stands for {len(found)} units; say which kind is meant")
        kind = found[0].kind
    return show(value, kind, unit=unit)


def show_apart(
    value: float, limit: float, kind: str, *, unit: str | None = None, system: System = "us"
) -> tuple[str, str]:
    """A value and its limit in one unit, with as many more figures as it takes to tell them apart. Raises as `show`."""
    texts = (show(value, kind, unit=unit, system=system), show(limit, kind, unit=unit, system=system))
    if texts[0] != texts[1] or value == limit:
        return texts
    style = _style_of(kind, value)
    chosen = _unit_named(unit, kind) if unit is not None else _unit_by_size(limit, kind, style, system)
    for figures in range(style.figures + 1, _MOST_FIGURES + 1):
        numbers = [_figures(_written(each, chosen), figures, _MOST_FIGURES, fixed=False) for each in (value, limit)]
        if numbers[0] != numbers[1]:
            return (_joined(numbers[0], chosen), _joined(numbers[1], chosen))
    return texts


def _style_of(kind: str, value: float) -> _Style:
    kind_of(kind)
    if not math.isfinite(value):
        raise ValueError(f"{value} is no {kind} to print")
    return _STYLES[kind]


def _unit_named(unit: str, kind: str) -> Unit:
    found = find_unit(unit, kind)
    if found is None:
        raise LookupError(f"{unit} is no unit of {kind}; there are {', '.join(units_of(kind))}")
    return found


def _unit_by_size(value: float, kind: str, style: _Style, system: System) -> Unit:
    steps = style.us if system == "us" else style.metric
    chosen = _unit_named(steps[0][0], kind)
    for name, start in steps[1:]:
        larger = _unit_named(name, kind)
        smaller_text = _in_unit(value, chosen, style.figures, style)
        if abs(_read_back(smaller_text)) * chosen.factor < start * larger.factor * (1 - 1e-12):
            break
        chosen = larger
    return chosen


def _in_unit(value: float, unit: Unit, figures: int, style: _Style) -> str:
    written = _written(value, unit)
    text = _figures(written, figures, style.decimals, fixed=style.fixed)
    while unit.name == "%" and figures < _MOST_FIGURES and _read_back(text) == 100 != written:
        figures += 1
        text = _figures(written, figures, _MOST_FIGURES, fixed=False)
    return text


def _written(value: float, unit: Unit) -> float:
    return (value - unit.offset) / unit.factor


def _figures(number: float, figures: int, decimals: int, *, fixed: bool) -> str:
    """`number` with at most so many significant digits, at most so many of them after the point."""
    mantissa, _, exponent = f"{number:.{figures - 1}e}".partition("e")
    size = int(exponent)
    if number == 0:
        return "0"
    places = max(0, min(figures - 1 - size, decimals))
    if size < -3 or (size < 0 and float(f"{number:.{places}f}") == 0):
        if size >= -3:
            return f"{number:.{-size}f}"
        return f"{_stripped(mantissa, fixed=fixed)}e{size}"
    return _stripped(f"{number:,.{places}f}", fixed=fixed)


def _read_back(number: str) -> float:
    return float(number.replace(",", ""))


def _stripped(text: str, *, fixed: bool) -> str:
    return text if fixed or "." not in text else text.rstrip("0").rstrip(".")


def _long_time(value: float) -> str:
    _, large, small = next(step for step in _LONG_TIMES if abs(value) >= step[0])
    large_s, small_s = _unit_named(large, "time").factor, _unit_named(small, "time").factor
    small_n = round(abs(value) / small_s)
    large_n, small_n = divmod(small_n, round(large_s / small_s))
    sign = "-" if value < 0 else ""
    return f"{sign}{large_n:,} {large}" + (f" {small_n} {small}" if small_n else "")


def _joined(number: str, unit: Unit) -> str:
    return number if unit.name == "1" else f"{number} {unit.name}"
