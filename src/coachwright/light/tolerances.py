"""What differs from one built vehicle to the next: causes, how far each goes, and who says so.

See Also
--------
coachwright.light.spread : how one number is drawn. coachwright.light.drawn_vehicles : what is made of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal, get_args

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, number_of, table_of, tables_in
from coachwright.kit.nodes import Plain
from coachwright.light.spread import SHAPES, Spread

DATA = "tolerance.yaml"

Acts = Literal["light", "voltage", "dead", "bearing", "elevation"]
By = Literal["vehicle", "lamp", "head"]

_LIKELY = {"triangular": "likely", "normal": "middle", "chance": "share"}


@dataclass(frozen=True, slots=True)
class Draw:
    """One number that is drawn. by : for what. Angles in radians, voltages in volts, light and dark as shares."""

    acts_on: Acts
    by: By
    spread: Spread


@dataclass(frozen=True, slots=True)
class Cause:
    """One reason for which built vehicles differ."""

    name: str
    title: str
    cite: Cite
    draws: tuple[Draw, ...]

    @property
    def turns(self) -> bool:
        """Whether it changes where a lamp looks."""
        return any(draw.acts_on in ("bearing", "elevation") for draw in self.draws)


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Everything that is drawn.

    samples_n : vehicles. causes_n : of them, the first on which each cause is left away in turn.
    fitted_exponent, vehicle_exponent : light goes with this power of the voltage, where a part says nothing.
    """

    causes: tuple[Cause, ...]
    samples_n: int
    causes_n: int
    seed: int
    fitted_exponent: float
    vehicle_exponent: float

    def without(self, cause: str) -> Tolerances:
        """The same without one of the causes."""
        return replace(self, causes=tuple(each for each in self.causes if each.name != cause))

    def only(self, causes: Iterable[str]) -> Tolerances:
        """The same with these causes alone."""
        kept = frozenset(causes)
        return replace(self, causes=tuple(each for each in self.causes if each.name in kept))


@cache
def tolerances() -> Tolerances:
    """Those of the data file."""
    tables = tables_in("coachwright.light", DATA)
    causes = tuple(
        _cause(name, table_of(said, f"{DATA}, {name}"))
        for name, said in table_of(tables.get("causes", ""), DATA).items()
    )
    exponents = table_of(tables.get("voltage-exponent", ""), DATA)
    return Tolerances(
        causes,
        samples_n=_whole(tables, "samples"),
        causes_n=_whole(tables, "causes-on-first"),
        seed=_whole(tables, "seed"),
        fitted_exponent=_exponent(exponents, "fitted"),
        vehicle_exponent=_exponent(exponents, "vehicle"),
    )


def _cause(name: str, said: dict[str, Plain]) -> Cause:
    what = f"{DATA}, {name}"
    draws = said.get("draws", [])
    if not isinstance(draws, list) or not draws:
        raise DataWrong(f"{what}: a list of draws belongs here.")
    return Cause(name, named(said, "title", what), cite_of(said, what), tuple(_draw(each, what) for each in draws))


def _draw(plain: Plain, what: str) -> Draw:
    said = table_of(plain, what)
    acts_on, by, shape = (named(said, word, what) for word in ("acts-on", "by", "shape"))
    for known in get_args(Acts):
        for of in get_args(By):
            if (known, of) == (acts_on, by):
                return Draw(known, of, _spread(shape, said, what, math.radians(1.0) if _is_angle(known) else 1.0))
    raise DataWrong(f"{what}: {acts_on} by {by} is nothing that can be drawn.")


def _is_angle(acts_on: Acts) -> bool:
    return acts_on in ("bearing", "elevation")


def _spread(shape: str, said: dict[str, Plain], what: str, unit: float) -> Spread:
    for known in SHAPES:
        if known == shape:
            given = {
                word: number_of(value, f"{what}, {word}")
                for word, value in said.items()
                if word not in ("acts-on", "by", "shape")
            }
            likely = unit * given.get(_LIKELY.get(known, ""), 0.0)
            low, high = unit * given.get("low", 0.0), unit * given.get("high", 0.0)
            ordered = low <= likely <= high if known == "triangular" else low <= high
            if not ordered:
                raise DataWrong(f"{what}: low, likely and high stand in that order.")
            return Spread(known, low, likely, high, unit * given.get("spread", 0.0), given.get("cut", 3.0))
    raise DataWrong(f"{what}: {shape} is none of {', '.join(SHAPES)}.")


def _whole(tables: dict[str, Plain], name: str) -> int:
    value = number_of(tables.get(name, ""), f"{DATA}, {name}")
    if value < 1 or value != int(value):
        raise DataWrong(f"{DATA}: {name} is a whole number from 1 on.")
    return int(value)


def _exponent(tables: dict[str, Plain], name: str) -> float:
    said = table_of(tables.get(name, ""), f"{DATA}, {name}")
    cite_of(said, f"{DATA}, {name}")
    return number_of(said.get("value", ""), f"{DATA}, {name}")
