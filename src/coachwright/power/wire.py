"""How thick is a conductor, and what does it resist?

See Also
--------
coachwright.power.drop : what its resistance takes from the voltage.
coachwright.power.ampacity : what current it may carry.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, numbers_of, table_of, tables_in

Family = Literal["awg", "sae", "metric"]
"""Which list of sizes a gauge belongs to: SAE wire is 5 to 12 % smaller than AWG wire of the same number."""

DATA = "conductors.yaml"
MIL_M = 25.4e-6
CIRCULAR_MIL_M2 = math.pi / 4.0 * MIL_M**2
RESISTIVITY_20_OHM_M = 0.017241e-6
"""Annealed copper at 20 degC, the international standard (IACS). [1]"""
COEFFICIENT_20_PER_K = 0.00393
"""Rise of its resistance from 20 degC. [1]"""
STRAND_LAY_SHARE = 1.02
"""Strands lie aslant and are a little longer than the wire. [2]"""

_AWG_NUMBER = re.compile(r"(?:(0|[1-9][0-9]?)|([1-4])/0|(0{2,4}))")
_MOST_AWG = 40


class NoSize(LookupError):
    """There is no conductor of this size in the family. Says what was read and what there is."""


@dataclass(frozen=True, slots=True)
class Conductor:
    """One size of copper conductor. area_m2 : of the metal."""

    family: Family
    gauge: str
    area_m2: float

    @property
    def diameter_m(self) -> float:
        """Of a solid round wire of this area; a stranded one is thicker over its strands."""
        return math.sqrt(4.0 / math.pi * self.area_m2)

    @property
    def circular_mils(self) -> float:
        return self.area_m2 / CIRCULAR_MIL_M2


def awg_diameter_m(number: int) -> float:
    """Diameter of a solid wire of the American wire gauge. [m]

    Parameters
    ----------
    number : 40 (hair) to 0, then -1 for 2/0, -2 for 3/0, -3 for 4/0.

    Notes
    -----
    d = 0.127 mm x 92^((36 - n) / 39):  No. 36 is 0.0050 in, 4/0 is 0.4600 in.

    References
    ----------
    .. [1] ASTM B258, as public pages quote it.
    """
    return 0.127e-3 * math.pow(92.0, (36 - number) / 39)


def resistance_ohm_m(area_m2: float, *, temperature_degc: float, stranded: bool = True) -> float:
    """Resistance of one metre of copper conductor to direct current. [ohm/m]

    Parameters
    ----------
    area_m2 : more than 0. [m2]
    temperature_degc : of the copper itself, -200 to 300. [degC]
    stranded : vehicle wire is; its strands are 2 % longer than the wire.

    Notes
    -----
    R = rho20 (1 + alpha20 (T - 20)) / A.  Tinned strands resist 2 to 6 % more.

    References
    ----------
    .. [1] NBS Handbook 100 (1966), IACS annealed copper. From memory.
    .. [2] ASTM B8, 2 % for the lay of concentric strands. From memory.
    """
    solid = RESISTIVITY_20_OHM_M * (1.0 + COEFFICIENT_20_PER_K * (temperature_degc - 20.0)) / area_m2
    return solid * (STRAND_LAY_SHARE if stranded else 1.0)


def conductor(gauge: str, *, family: Family = "awg") -> Conductor:
    """The conductor of this size.

    Parameters
    ----------
    gauge : ``12``, ``1/0``, ``4/0`` (awg, sae); area in mm2, ``2.5`` (metric).

    Raises
    ------
    NoSize : the family has no such size.
    """
    bare = re.sub(r"\s*(awg|sae|ga|mm2|mm²)\.?$", "", gauge.strip().lower())
    if family == "metric":
        return Conductor(family, bare, _square_millimetres(bare, gauge) * 1e-6)
    name = awg_name(bare)
    if name is None:
        raise NoSize(f"{gauge[:40]!r}: no gauge is called so. Write 12, or 2/0, or the area with family=metric.")
    if family == "sae":
        known = sae_circular_mils()
        if name not in known:
            raise NoSize(f"{name}: the SAE sizes known here are {', '.join(known)}. Write one of them.")
        return Conductor(family, name, known[name] * CIRCULAR_MIL_M2)
    return Conductor(family, name, math.pi / 4.0 * awg_diameter_m(awg_number(name)) ** 2)


def awg_name(text: str) -> str | None:
    """A gauge number in one spelling: ``0`` and ``1/0`` are ``1/0``, ``00`` is ``2/0``; None for any other text."""
    found = _AWG_NUMBER.fullmatch(text.strip())
    if found is None:
        return None
    plain, noughts, zeros = found.groups()
    if noughts:
        return f"{noughts}/0"
    if zeros:
        return f"{len(zeros)}/0"
    number = int(plain)
    if number > _MOST_AWG:
        return None
    return str(number) if number else "1/0"


def awg_number(name: str) -> int:
    """The number the formula takes: ``4/0`` is -3."""
    return 1 - int(name[0]) if name.endswith("/0") else int(name)


@cache
def awg_sizes() -> tuple[Conductor, ...]:
    """AWG sizes made as vehicle wire, thinnest first."""
    sizes = table_of(tables_in("coachwright.power", DATA)["awg"], DATA)["sizes"]
    return tuple(conductor(str(size)) for size in sizes)


@cache
def sae_sizes() -> tuple[Conductor, ...]:
    """SAE sizes, thinnest first."""
    return tuple(conductor(size, family="sae") for size in sae_circular_mils())


@cache
def sae_circular_mils() -> dict[str, float]:
    """Least area of SAE wire by gauge. [circular mil]"""
    return numbers_of(table_of(tables_in("coachwright.power", DATA)["sae"], DATA)["circular-mils"], DATA)


@cache
def sae_cite() -> Cite:
    """Where the SAE areas come from."""
    return cite_of(tables_in("coachwright.power", DATA)["sae"], DATA)


def _square_millimetres(bare: str, gauge: str) -> float:
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,3})?", bare) or not float(bare) > 0.0:
        raise NoSize(f"{gauge[:40]!r}: a metric size is the area of the copper. Write 2.5, or 2.5 mm2.")
    return float(bare)
