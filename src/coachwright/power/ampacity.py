"""What current may a wire carry without its insulation growing too hot?

The table is data (ampacity.yaml) with its source and status.

See Also
--------
coachwright.power.fuse : the fuse that guards this wire.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, number_of, numbers_of, table_of, tables_in
from coachwright.power.wire import conductor

Place = Literal["outside", "engine"]
"""Outside an engine space (air of 30 degC) or in one (50 degC)."""

DATA = "ampacity.yaml"
TABLE_AIR_DEGC = 30.0
"""Air for which the table is made."""


class NoAmpacity(LookupError):
    """The table has no such gauge or insulation. Says what it has."""


@dataclass(frozen=True, slots=True)
class Ampacity:
    """current_a : what the wire may carry. The rest says from what: the table's figure and the shares left of it.

    bundle_from_n : least number of conductors of the row of the bundle that was used; 0 when none was.
    """

    current_a: float
    table_a: float
    place_share: float
    bundle_share: float
    bundle_from_n: int
    cites: tuple[Cite, ...]


@dataclass(frozen=True, slots=True)
class _Table:
    current_a: dict[tuple[str, float], float]
    engine_share: dict[float, float]
    bundle_share: dict[int, float]
    cite: Cite
    engine_cite: Cite
    bundle_cite: Cite


def ampacity(gauge: str, *, insulation_degc: float, place: Place = "outside", bundle_n: int = 1) -> Ampacity:
    """Current a copper wire may carry for good. [A]

    Parameters
    ----------
    gauge : AWG, 18 to 4/0.
    insulation_degc : temperature rating of the insulation; one of the tabulated ones.
    bundle_n : conductors that carry current in the same bundle, this one with them.

    Notes
    -----
    Tabulated current x share left in an engine space x share left in a bundle. Below 50 V the regulation itself
    doesn't ask for the share of a bundle; practice does.

    Raises
    ------
    NoAmpacity : no such gauge or insulation; nothing is guessed between the tabulated ones.

    References
    ----------
    .. [1] 33 CFR 183.425, Table 5. Notes 1 and 2 from memory.
    """
    table = _table()
    ratings = sorted({rating for _, rating in table.current_a})
    gauges = list(dict.fromkeys(name for name, _ in table.current_a))
    if gauge not in gauges:
        raise NoAmpacity(f"{gauge[:40]!r}: the table has no such gauge. Write one of {', '.join(gauges)}.")
    rating = next((each for each in ratings if abs(each - insulation_degc) < 1e-6), None)
    if rating is None:
        have = ", ".join(f"{each:g}" for each in ratings)
        raise NoAmpacity(f"{insulation_degc:g} degC: the table has no such insulation. Write one of {have} degC.")
    table_a = table.current_a[gauge, rating]
    place_share = table.engine_share[rating] if place == "engine" else 1.0
    row = max((least for least in table.bundle_share if least <= bundle_n), default=0)
    bundle_share = table.bundle_share[row] if row else 1.0
    cites = (table.cite, *((table.engine_cite,) if place == "engine" else ()), *((table.bundle_cite,) if row else ()))
    return Ampacity(table_a * place_share * bundle_share, table_a, place_share, bundle_share, row, cites)


def share_in_air(*, insulation_degc: float, air_degc: float) -> float:
    """Share of the tabulated current that is left in air of this temperature; 1 up to the table's own 30 degC.

    Notes
    -----
    sqrt((Tc - Ta) / (Tc - 30)): what heats a wire goes with the square of the current, what cools it with the
    difference of temperature. At 50 degC it comes within 0.01 of the table's own shares for engine spaces, up to
    insulation of 125 degC.
    0 where the air is as hot as the insulation may be.
    """
    if air_degc <= TABLE_AIR_DEGC:
        return 1.0
    return math.sqrt(max(0.0, insulation_degc - air_degc) / (insulation_degc - TABLE_AIR_DEGC))


def share_in_bundle(bundle_n: int) -> float:
    """Share that is left among so many conductors that carry current, this one with them."""
    table = _table().bundle_share
    row = max((least for least in table if least <= bundle_n), default=0)
    return table[row] if row else 1.0


@cache
def gauge_by_area(area_m2: float) -> str | None:
    """The thickest tabulated AWG gauge that has no more copper than this; None below the thinnest.

    SAE and metric wire is counted as the AWG wire whose copper it has at least. Half a percent is left for rounding.
    """
    gauges = dict.fromkeys(name for name, _ in _table().current_a)
    fitting = [name for name in gauges if conductor(name).area_m2 <= area_m2 * 1.005]
    return max(fitting, key=lambda name: conductor(name).area_m2, default=None)


@cache
def _table() -> _Table:
    whole = tables_in("coachwright.power", DATA)
    ratings = [number_of(each, DATA) for each in whole["insulation-degc"]]
    current_a = {}
    for gauge, row in table_of(whole["current-a"], DATA).items():
        if len(row) != len(ratings):
            raise DataWrong(f"{DATA}, {gauge}: {len(ratings)} figures belong here, one for each insulation.")
        for rating, current in zip(ratings, row, strict=True):
            current_a[gauge, rating] = number_of(current, f"{DATA}, {gauge}")
    engine, bundle = table_of(whole["engine"], DATA), table_of(whole["bundle"], DATA)
    return _Table(
        current_a,
        {float(rating): share for rating, share in numbers_of(engine["share"], DATA).items()},
        {int(least): share for least, share in numbers_of(bundle["share"], DATA).items()},
        cite_of(whole, DATA),
        cite_of(engine, DATA),
        cite_of(bundle, DATA),
    )
