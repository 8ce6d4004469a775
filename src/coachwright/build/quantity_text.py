"""Writes the quantities of conditions and patterns so that reading them gives the very same number again.

Figures on papers are printed elsewhere (kit.show), rounded for the eye; here nothing may be lost.
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.kit.units import parse

_UNITS: Mapping[str, tuple[str, ...]] = {
    "speed": ("mph", "km/h", "m/s"),
    "voltage": ("V",),
    "current": ("A",),
    "time": ("s", "ms"),
    "share": ("%",),
    "rate": ("per min", "Hz"),
    "temperature": ("degC", "degF", "K"),
    "length": ("in", "mm", "m"),
    "angle": ("deg", "rad"),
    "mass": ("lb", "kg"),
    "power": ("W",),
    "level": ("dB",),
    "luminous-flux": ("lm",),
    "luminous-intensity": ("cd",),
}
_DIGITS = (6, 9, 12, 15, 17)
_TIMES_MS = (("h", 3_600_000), ("min", 60_000), ("s", 1000))


def print_quantity(value: float, kind: str) -> str:
    """Roundest text that `kind` reads back as exactly `value`; the bare number when the kind has no unit we know."""
    for digits in _DIGITS:
        for unit in _UNITS.get(kind, ()):
            text = f"{_plain(_in_unit(value, unit, kind), digits)} {unit}"
            if parse(text, kind) == value:
                return text
    return f"{value!r}"


def print_time(time_ms: int) -> str:
    """Whole milliseconds in the largest unit that counts them whole: ``20 min``, ``90 s``, ``900 ms``."""
    for unit, unit_ms in _TIMES_MS:
        if time_ms and time_ms % unit_ms == 0:
            return f"{time_ms // unit_ms} {unit}"
    return f"{time_ms} ms"


def _in_unit(value: float, unit: str, kind: str) -> float:
    zero, one = parse(f"0 {unit}", kind), parse(f"1 {unit}", kind)
    return (value - zero) / (one - zero)


def _plain(number: float, digits: int) -> str:
    """Decimal text without an exponent."""
    text = f"{number:.{digits}g}"
    if "e" in text:
        text = f"{number:.{digits}f}".rstrip("0").rstrip(".")
    return text
