"""Writes the quantities of conditions and patterns so that reading them gives the very same number again.

Figures on papers are printed elsewhere (kit.show), rounded for the eye; here nothing may be lost.
"""

from __future__ import annotations

from fractions import Fraction

from coachwright.kit.unit_table import find_unit, kind_of
from coachwright.kit.units import UnitError, parse

_DIGITS = (6, 9, 12, 15, 17, 20)
_TIMES_MS = (("h", 3_600_000), ("min", 60_000), ("s", 1000))


def print_quantity(value: float, kind: str) -> str:
    """Roundest text that is read back as exactly `value`, in the unit people ask for first where two are equally round.

    kind : of the unit; "" prints the bare number, and so does a number too small or too large to be read.
    """
    if not kind:
        return f"{value!r}"
    due = kind_of(kind)
    for digits in _DIGITS:
        for unit in (*due.asked, due.inside):
            text = f"{_in_unit(value, unit, kind, digits)} {unit}"
            if _reads(text, kind) == value:
                return text
    return f"{value!r}"


def print_time(time_ms: int) -> str:
    """Whole milliseconds in the largest unit that counts them whole: ``20 min``, ``90 s``, ``900 ms``."""
    for unit, unit_ms in _TIMES_MS:
        if time_ms and time_ms % unit_ms == 0:
            return f"{time_ms // unit_ms} {unit}"
    return f"{time_ms} ms"


def _in_unit(value: float, spelling: str, kind: str, digits: int) -> str:
    unit = find_unit(spelling, kind)
    assert unit is not None  # the table names only units it has
    number = (Fraction(value) - unit.exact_offset) / unit.exact_factor
    return f"{float(number):.{digits}g}"


def _reads(text: str, kind: str) -> float | None:
    try:
        return parse(text, kind)
    except UnitError:
        return None
