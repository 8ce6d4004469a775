"""The figures behind what is expected on the bench: bench.yaml, read once.

See Also
--------
coachwright.proof.bench_expected : light. coachwright.proof.bench_supply : volts and amperes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, number_of, sheet_in

DATA = "bench.yaml"


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures of the data file.

    light_share, current_share : that a sound part may be from its sheet. distances_m, least_lx, background_share : of
    the luxmeter. reserve_s : the least continuous load, engine off; full_s : the whole load, engine fast. alarm_v,
    alarm_s : an alarm may be off what is set, to both sides; alarm_from_v : its test begins above. cites : of each
    table, by its name.
    """

    light_share: float
    current_share: float
    scatter_cite: Cite
    distances_m: tuple[float, ...]
    least_lx: float
    background_share: float
    reserve_s: float
    full_s: float
    alarm_v: float
    alarm_s: float
    alarm_from_v: float
    cites: dict[str, Cite]


@cache
def figures() -> Figures:
    """The data file."""
    sheet = sheet_in("coachwright.proof", DATA)
    tables, number = sheet.tables, sheet.number

    distances = tables["luxmeter"].get("distances-m")
    if not isinstance(distances, list):
        raise DataWrong(f"{DATA}: distances-m is a list of metres.")
    return Figures(
        number("scatter", "light"),
        number("scatter", "current"),
        cite_of(tables["scatter"], DATA),
        tuple(number_of(each, f"{DATA}, distances-m") for each in distances),
        number("luxmeter", "least-lx"),
        number("luxmeter", "background"),
        60.0 * number("reserve", "minutes"),
        3600.0 * number("alternator", "full-hours"),
        number("alarm", "volts"),
        number("alarm", "seconds"),
        number("alarm", "begins-above-v"),
        {name: cite_of(table, f"{DATA}, {name}") for name, table in tables.items()},
    )


def within_words(share: float) -> str:
    """How a scatter is named as a limit: ``20 % round the sheets, common practice``."""
    return f"{100 * share:g} %, {figures().scatter_cite.source.partition(';')[0]}"
