"""How large may the fuse before a wire be, and what leaks through one?

Three legitimate rules give three different fuses for one wire; which one governs is said by the job, never assumed.

See Also
--------
coachwright.power.ampacity : the current the wire may carry.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, number_of, table_of, tables_in

DATA = "fuses.yaml"


@dataclass(frozen=True, slots=True)
class FuseRule:
    """One rule. most_share_of_wire : largest fuse per ampere the wire may carry."""

    name: str
    title: str
    most_share_of_wire: float
    cite: Cite


def fuse_limit_a(ampacity_a: float, *, rule: FuseRule) -> float:
    """Current above which no fuse may be rated. [A]"""
    return ampacity_a * rule.most_share_of_wire


def largest_fuse_a(limit_a: float, *, sizes_a: Sequence[float]) -> float | None:
    """The largest of the sizes that isn't above the limit; None when all are. [A]"""
    return max((size for size in sizes_a if size <= limit_a * (1.0 + 1e-12)), default=None)


def leak_a(*, drop_v: float, resistance_ohm: float) -> float:
    """Current through a fuse in place, from the voltage across it. [A]

    Notes
    -----
    I = U / R, with the cold resistance. A fuse at its rating is about 40 % above it: for small currents only.
    """
    return drop_v / resistance_ohm


@cache
def fuse_rules() -> dict[str, FuseRule]:
    """Every rule by its name, the percentage."""
    rules = {}
    for name, entry in table_of(tables_in("coachwright.power", DATA)["rules"], DATA).items():
        what = f"{DATA}, {name}"
        table = table_of(entry, what)
        if "most-share-of-wire" in table:
            share = number_of(table["most-share-of-wire"], what)
        elif "least-share-of-fuse" in table:
            share = 1.0 / number_of(table["least-share-of-fuse"], what)
        else:
            raise DataWrong(f"{what}: most-share-of-wire or least-share-of-fuse belongs here.")
        rules[name] = FuseRule(name, named(entry, "title", what), share, cite_of(entry, what))
    return rules


@cache
def fuse_sizes_a() -> tuple[tuple[float, ...], Cite]:
    """Sizes blade fuses are made in, and where the list comes from. [A]"""
    sizes = table_of(tables_in("coachwright.power", DATA)["sizes"], DATA)
    return tuple(number_of(size, DATA) for size in sizes["current-a"]), cite_of(sizes, DATA)
