"""Which units of measurement are there, and how much is each in SI?

A *kind* is what is measured (``length``, ``optical-power``). Every kind has one unit in which the program counts
inside, SI wherever there is one. These are the exceptions, kept because the whole field counts so:

- ``temperature`` is kept in degC, ``temperature-rise`` in kelvin;
- ``optical-power`` is kept in cd s/min (candela-seconds per minute);
- ``level`` (dB, dBA, dBC) and ``gain`` (dB, dBi) are kept as they are: a weighting is not converted into another;
- ``share`` is 0..1, ``rate`` and ``frequency`` are Hz, angles rad, charge A s.

References
----------
.. [1] NIST Special Publication 811 (2008), Guide for the Use of the International System of Units, Appendix B.9
       (exact factors where it prints them bold, the definitions behind them where it rounds).
.. [2] BIPM, The International System of Units, 9th edition (2019).

See Also
--------
coachwright.kit.units : reads text in these units.
coachwright.kit.show : prints numbers in them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from coachwright.kit.near import nearest


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of one kind: ``inside = written * factor + offset``.

    Parameters
    ----------
    name : as we print it.
    kind : what it measures.
    exact_factor, exact_offset : as fractions, so that reading "3/8 in" rounds once.
    others : further spellings that are read.
    """

    name: str
    kind: str
    exact_factor: Fraction
    exact_offset: Fraction = Fraction(0)
    others: tuple[str, ...] = ()

    @property
    def factor(self) -> float:
        """What one of it is inside, the offset left out."""
        return float(self.exact_factor)

    @property
    def offset(self) -> float:
        """What nought of it is inside; 0 for all but temperatures."""
        return float(self.exact_offset)


@dataclass(frozen=True, slots=True)
class Kind:
    """What a number can measure.

    Parameters
    ----------
    name : of the kind.
    inside : name of the unit the program counts in.
    example : a quantity as somebody might write it.
    asked : units to propose where one is missing.
    bare : a number without a unit is complete.
    parts : units that may follow each other, largest first, as in 5 ft 6 in.
    """

    name: str
    inside: str
    example: str
    asked: tuple[str, ...]
    bare: bool = False
    parts: tuple[str, ...] = ()

    @property
    def spoken(self) -> str:
        """With its article: ``an angle``, ``a luminous intensity``."""
        return f"{'an' if self.name[0] in 'aeio' else 'a'} {self.name.replace('-', ' ')}"


_PI = Fraction("3.14159265358979323846264338327950288419716939937510582")
_FT = Fraction("0.3048")
_IN = _FT / 12
_MI = _FT * 5280
_LB = Fraction("0.45359237")
_G = Fraction("9.80665")
_LBF = _LB * _G
_GAL = 231 * _IN**3

_KINDS = (
    Kind("length", "m", "3/8 in", ("in", "mm"), parts=("ft", "in")),
    Kind("angle", "rad", "25 deg", ("deg",), parts=("deg", "arcmin", "arcsec")),
    Kind("time", "s", "2 min", ("s", "min"), parts=("d", "h", "min", "s", "ms")),
    Kind("speed", "m/s", "45 mph", ("mph", "km/h")),
    Kind("mass", "kg", "12 lb", ("lb", "kg"), parts=("lb", "oz")),
    Kind("force", "N", "900 lbf", ("lbf", "N")),
    Kind("torque", "N m", "18 lbf ft", ("lbf ft", "N m")),
    Kind("voltage", "V", "12.8 V", ("V",)),
    Kind("current", "A", "12.5 A", ("A",)),
    Kind("power", "W", "100 W", ("W",)),
    Kind("resistance", "ohm", "8 mohm", ("ohm", "mohm")),
    Kind("resistance-per-length", "ohm/m", "5.2 mohm/m", ("mohm/m", "ohm/kft")),
    Kind("charge", "A s", "95 Ah", ("Ah",)),
    Kind("energy", "J", "40 Wh", ("Wh", "J")),
    Kind("temperature", "degC", "60 degC", ("degC", "degF")),
    Kind("temperature-rise", "K", "20 K", ("K", "degF")),
    Kind("voltage-per-temperature", "V/K", "-8 mV/K", ("mV/K",)),
    Kind("area", "m2", "2.5 mm2", ("mm2", "in2")),
    Kind("volume", "m3", "18 ft3", ("ft3", "L")),
    Kind("flow", "m3/s", "40 cfm", ("cfm", "m3/h")),
    Kind("mass-per-length", "kg/m", "0.1 lb/ft", ("lb/ft", "kg/m")),
    Kind("concentration", "kg/m3", "12 mg/m3", ("mg/m3",)),
    Kind("luminous-intensity", "cd", "600 cd", ("cd",)),
    Kind("luminous-flux", "lm", "900 lm", ("lm",)),
    Kind("illuminance", "lx", "1e-3 lx", ("lx", "fc")),
    Kind("luminance", "cd/m2", "250 cd/m2", ("cd/m2",)),
    Kind("flash-energy", "cd s", "120 cd s", ("cd s",)),
    Kind("optical-power", "cd s/min", "8000 cd s/min", ("cd s/min",)),
    Kind("intensity-per-illuminance", "cd/lx", "1.5 cd/lx", ("cd/lx",)),
    Kind("retroreflection", "cd/lx/m2", "250 cd/lx/m2", ("cd/lx/m2",)),
    Kind("rate", "Hz", "150 per min", ("per min", "Hz")),
    Kind("share", "1", "40 %", ("%",), bare=True),
    Kind("frequency", "Hz", "155 MHz", ("MHz", "Hz")),
    Kind("level", "dB", "118 dB", ("dB", "dBA")),
    Kind("gain", "dB", "3 dBi", ("dBi", "dB")),
    Kind("pressure", "Pa", "35 psi", ("psi", "kPa")),
    Kind("angular-rate", "rad/s", "30 deg/s", ("deg/s", "rpm")),
    Kind("acceleration", "m/s2", "0.8 g", ("g", "m/s2")),
    Kind("current-squared-time", "A2 s", "450 A2 s", ("A2 s",)),
    Kind("count", "1", "6", ("1",), bare=True),
    Kind("number", "1", "1.52", ("1",), bare=True),
)

_KILO, _MEGA = 1000, 1_000_000
_CENTI, _MILLI, _MICRO = Fraction(1, 100), Fraction(1, 1000), Fraction(1, 1_000_000)

# name = factor [offset] | other spellings. A last word of three small letters or more is read in the plural as well.
_UNITS: dict[str, tuple[tuple[str, Fraction | int, str], ...]] = {
    "length": (
        ("m", 1, "metre, meter"),
        ("mm", _MILLI, "millimetre, millimeter"),
        ("cm", _CENTI, "centimetre, centimeter"),
        ("um", _MICRO, "micrometre, micrometer, micron"),
        ("km", _KILO, "kilometre, kilometer"),
        ("in", _IN, 'inch, inches, ", in.'),
        ("ft", _FT, "foot, feet, ', ft."),
        ("yd", 3 * _FT, "yard"),
        ("mi", _MI, "mile"),
        ("nmi", 1852, "nautical mile"),
        ("mil", _IN / 1000, "thou"),
    ),
    "angle": (
        ("rad", 1, "radian"),
        ("deg", _PI / 180, "degree, degs"),
        ("mrad", _MILLI, "milliradian"),
        ("arcmin", _PI / 10800, "', minute of arc"),
        ("arcsec", _PI / 648000, '", second of arc'),
        ("turn", 2 * _PI, "rev, revolution"),
    ),
    "time": (
        ("s", 1, "second, sec, secs"),
        ("ms", _MILLI, "millisecond, msec"),
        ("us", _MICRO, "microsecond"),
        ("min", 60, "minute, mins"),
        ("h", 3600, "hour, hr, hrs"),
        ("d", 86400, "day"),
        ("week", 604800, "wk"),
    ),
    "speed": (
        ("m/s", 1, "metre/second, meter/second"),
        ("km/h", Fraction(1000, 3600), "kph, kmh, km/hr, km/hour"),
        ("mph", _MI / 3600, "mi/h, mi/hr, mile/hour, miles/hour"),
        ("ft/s", _FT, "ft/sec, fps, feet/second"),
        ("kn", Fraction(1852, 3600), "kt, kts, knot"),
    ),
    "mass": (
        ("kg", 1, "kilogram, kgs"),
        ("g", _MILLI, "gram"),
        ("mg", _MICRO, "milligram"),
        ("t", 1000, "tonne"),
        ("lb", _LB, "lbs, pound, lbm"),
        ("oz", _LB / 16, "ounce"),
    ),
    "force": (
        ("N", 1, "newton"),
        ("kN", 1000, "kilonewton"),
        ("lbf", _LBF, "pound force"),
        ("kgf", _G, "kilogram force"),
    ),
    "torque": (
        ("N m", 1, "Nm, newton metre, newton meter"),
        ("lbf ft", _LBF * _FT, "ft lbf, lb ft, ft lb, foot pound"),
        ("lbf in", _LBF * _IN, "in lbf, lb in, in lb, inch pound"),
    ),
    "voltage": (("V", 1, "volt"), ("mV", _MILLI, "millivolt"), ("kV", 1000, "kilovolt")),
    "current": (
        ("A", 1, "amp, amps, ampere"),
        ("mA", _MILLI, "milliamp, milliampere"),
        ("uA", _MICRO, "microamp, microampere"),
    ),
    "power": (
        ("W", 1, "watt"),
        ("mW", _MILLI, "milliwatt"),
        ("kW", 1000, "kilowatt"),
        ("hp", 550 * _LBF * _FT, "horsepower"),
    ),
    "resistance": (("ohm", 1, ""), ("mohm", _MILLI, "milliohm"), ("kohm", 1000, "kilohm, kiloohm")),
    "resistance-per-length": (
        ("ohm/m", 1, ""),
        ("mohm/m", _MILLI, "ohm/km, milliohm/m"),
        ("ohm/kft", 1 / (1000 * _FT), "ohm/1000 ft, mohm/ft"),
    ),
    "charge": (
        ("A s", 1, "C, coulomb"),
        ("Ah", 3600, "A h, amp hour, ampere hour"),
        ("mAh", Fraction(36, 10), "mA h, milliamp hour"),
    ),
    "energy": (
        ("J", 1, "joule, W s, watt second"),
        ("kJ", 1000, "kilojoule"),
        ("Wh", 3600, "W h, watt hour"),
        ("kWh", 3600000, "kW h, kilowatt hour"),
        ("ft lbf", _LBF * _FT, "ft lb, foot pound, lbf ft"),
    ),
    "temperature-rise": (("K", 1, "degC, C, kelvin"), ("degF", Fraction(5, 9), "F")),
    "voltage-per-temperature": (("V/K", 1, "V/degC, volt/kelvin"), ("mV/K", _MILLI, "mV/degC, millivolt/kelvin")),
    "area": (
        ("m2", 1, "sq m, square metre, square meter"),
        ("cm2", _CENTI**2, "sq cm"),
        ("mm2", _MILLI**2, "sq mm, square millimetre, square millimeter"),
        ("in2", _IN**2, "sq in, square inch, square inches"),
        ("ft2", _FT**2, "sq ft, square foot, square feet"),
        ("cmil", _PI / 4 * (_IN / 1000) ** 2, "circular mil"),
        ("kcmil", _PI / 4 * (_IN / 1000) ** 2 * 1000, "MCM"),
    ),
    "volume": (
        ("m3", 1, "cu m, cubic metre, cubic meter"),
        ("L", _MILLI, "l, litre, liter"),
        ("mL", _MICRO, "ml, millilitre, milliliter, cm3, cc"),
        ("ft3", _FT**3, "cu ft, cubic foot, cubic feet"),
        ("in3", _IN**3, "cu in, cubic inch, cubic inches"),
        ("gal", _GAL, "gallon, US gal"),
    ),
    "flow": (
        ("m3/s", 1, ""),
        ("m3/h", Fraction(1, 3600), "m3/hr, m3/hour"),
        ("cfm", _FT**3 / 60, "ft3/min, cu ft/min, CFM"),
        ("L/s", _MILLI, "l/s"),
        ("L/min", Fraction(1, 60000), "l/min, lpm"),
        ("gal/min", _GAL / 60, "gpm"),
    ),
    "mass-per-length": (
        ("kg/m", 1, ""),
        ("g/m", _MILLI, "kg/km"),
        ("lb/ft", _LB / _FT, "lbs/ft"),
        ("lb/kft", _LB / _FT / 1000, "lb/1000 ft"),
    ),
    "concentration": (
        ("kg/m3", 1, ""),
        ("g/m3", _MILLI, ""),
        ("mg/m3", _MICRO, ""),
        ("ug/m3", Fraction(1, 1_000_000_000), ""),
    ),
    "luminous-intensity": (("cd", 1, "candela"), ("mcd", _MILLI, "millicandela"), ("kcd", 1000, "kilocandela")),
    "luminous-flux": (("lm", 1, "lumen"), ("klm", 1000, "kilolumen")),
    "illuminance": (
        ("lx", 1, "lux, lm/m2"),
        ("mlx", _MILLI, "millilux"),
        ("klx", 1000, "kilolux"),
        ("fc", 1 / _FT**2, "ftc, footcandle, foot candle, lm/ft2"),
    ),
    "luminance": (
        ("cd/m2", 1, "nit, candela/m2"),
        ("fL", 1 / (_PI * _FT**2), "footlambert, foot lambert"),
    ),
    "flash-energy": (("cd s", 1, "candela second"),),
    "optical-power": (("cd s/min", 1, "cd s/minute, candela second/minute, candela seconds/minute"),),
    "intensity-per-illuminance": (
        ("cd/lx", 1, "cd/lux, mcd/mlx"),
        ("mcd/lx", _MILLI, "mcd/lux"),
        ("cd/fc", _FT**2, ""),
    ),
    "retroreflection": (("cd/lx/m2", 1, "cd/lux/m2, cd/(lx m2), cd/(m2 lx)"), ("cd/fc/ft2", 1, "")),
    "rate": (
        ("Hz", 1, "hertz, /s, /second"),
        ("per min", Fraction(1, 60), "/minute, flashes/min, flashes/minute, cycles/min, pulses/min, times/min"),
        ("per h", Fraction(1, 3600), "/hour, /hr"),
    ),
    "share": (("%", Fraction(1, 100), "percent, per cent"), ("1", 1, "")),
    "frequency": (
        ("Hz", 1, "hertz"),
        ("kHz", 1000, "kilohertz"),
        ("MHz", _MEGA, "megahertz"),
        ("GHz", 1000 * _MEGA, "gigahertz"),
    ),
    "level": (("dB", 1, "decibel"), ("dBA", 1, "dB(A), dB A"), ("dBC", 1, "dB(C), dB C")),
    "gain": (("dB", 1, "decibel"), ("dBi", 1, "dB i")),
    "pressure": (
        ("Pa", 1, "pascal"),
        ("hPa", 100, ""),
        ("kPa", 1000, "kilopascal"),
        ("bar", 100000, ""),
        ("mbar", 100, "millibar"),
        ("psi", _LBF / _IN**2, "lbf/in2, lb/in2"),
    ),
    "angular-rate": (
        ("rad/s", 1, ""),
        ("deg/s", _PI / 180, "degree/s, deg/second"),
        ("rpm", _PI / 30, "rev/min, r/min"),
    ),
    "acceleration": (("m/s2", 1, "m/s/s"), ("g", _G, "gee, G"), ("ft/s2", _FT, "ft/s/s")),
    "current-squared-time": (("A2 s", 1, ""), ("kA2 s", _MEGA, "")),
    "count": (("1", 1, ""),),
    "number": (("1", 1, ""),),
}

_SIGNS = str.maketrans(
    {
        "²": "2",
        "³": "3",
        "°": "deg",
        "µ": "u",
        "μ": "u",
        "\u03a9": "ohm",
        "\u2126": "ohm",
        "·": " ",
        "⋅": " ",
        "*": " ",
        "-": " ",
        "^": "",
    }
    | {"′": "'", "″": '"', "’": "'", "”": '"'}
)
_PER = re.compile(r"\s*/\s*|(?:^|\s+)per\s+", re.IGNORECASE)
_LAST_WORD = re.compile(r"(?:^|.* )[a-z]{3,}")


def plain_spelling(unit: str) -> str:
    """One spelling for all the ways to join the words of a unit: ``cd·s per min`` is ``cd s/min``, ``°C`` ``degC``."""
    spaced = " ".join(unit.translate(_SIGNS).split())
    joined = _PER.sub("/", spaced)
    return joined.replace("deg C", "degC").replace("deg F", "degF")


def _spellings(unit: Unit) -> list[str]:
    found = [unit.name, *unit.others]
    plurals = [f"{spelling}s" for spelling in found if _LAST_WORD.fullmatch(spelling) and spelling[-1] not in "sz"]
    return [plain_spelling(spelling) for spelling in (*found, *plurals)]


def _build() -> dict[str, dict[str, Unit]]:
    rows = {
        kind: [
            Unit(name, kind, Fraction(factor), others=tuple(filter(None, others.split(", "))))
            for name, factor, others in units
        ]
        for kind, units in _UNITS.items()
    }
    rows["temperature"] = [
        Unit("degC", "temperature", Fraction(1), others=("C", "celsius", "degree C", "degrees C")),
        Unit("degF", "temperature", Fraction(5, 9), Fraction(-160, 9), ("F", "fahrenheit", "degree F", "degrees F")),
        Unit("K", "temperature", Fraction(1), Fraction("-273.15"), ("kelvin",)),
    ]
    return {kind: {spelling: unit for unit in units for spelling in _spellings(unit)} for kind, units in rows.items()}


KINDS = MappingProxyType({kind.name: kind for kind in _KINDS})
"""Every kind by name."""

_BY_KIND = _build()
_FOLDED: dict[str, dict[str, set[str]]] = {}
for _kind, _spelled in _BY_KIND.items():
    _FOLDED[_kind] = {}
    for _spelling, _unit in _spelled.items():
        _FOLDED[_kind].setdefault(_spelling.casefold(), set()).add(_unit.name)


def kinds() -> tuple[str, ...]:
    """Names of all kinds."""
    return tuple(KINDS)


def kind_of(name: str) -> Kind:
    """The kind called `name`.

    Raises
    ------
    LookupError : there is none; the message gives the nearest.
    """
    try:
        return KINDS[name]
    except KeyError:
        close = nearest(name, KINDS)
        said = f" Closest: {close[0]}." if close else ""
        raise LookupError(f"No kind of unit is called {name}.{said}") from None


def units_of(kind: str) -> tuple[str, ...]:
    """Names of the units of one kind, each once, as they are printed."""
    kind_of(kind)
    return tuple(dict.fromkeys(unit.name for unit in _BY_KIND[kind].values()))


def si_unit(kind: str) -> str:
    """Name of the unit in which the program counts this kind inside."""
    return kind_of(kind).inside


def find_unit(unit: str, kind: str) -> Unit | None:
    """The unit of `kind` spelled so. Capitals may differ, except where they tell milli from mega."""
    kind_of(kind)
    spelling = plain_spelling(unit)
    found = _BY_KIND[kind].get(spelling)
    if found is not None or not spelling:
        return found
    close = _FOLDED[kind].get(spelling.casefold(), set())
    if len(close) != 1:
        return None
    found = _BY_KIND[kind][plain_spelling(*close)]
    return None if _milli_or_mega(spelling, found) else found


def _milli_or_mega(spelling: str, unit: Unit) -> bool:
    first = spelling[0] + unit.name[0]
    if first == "mM":
        return True
    return first == "Mm" and unit.name != "mm" and unit.name[1:] in _BY_KIND[unit.kind]


def kinds_with(unit: str) -> tuple[Unit, ...]:
    """Every unit spelled so, of whatever kind, in the order of the kinds."""
    return tuple(found for kind in KINDS if (found := find_unit(unit, kind)) is not None)


def spellings_of(kind: str) -> tuple[str, ...]:
    """Everything that is read as a unit of this kind."""
    return tuple(_BY_KIND[kind])
