"""To what are wire and fuse chosen? The figures of sizing.yaml, each table with its cite."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, named, sheet_in, table_of

DATA = "sizing.yaml"


@dataclass(frozen=True, slots=True)
class SizingFigures:
    """Everything the file says.

    lowest_v : supply at which everything still has to work. drop_any, drop_critical : share of it that may be lost;
    drop_cable : of that, in each cable. alone, in_sheath : least AWG gauge; electronics_below_a : are let off it.
    hours_share : of a fuse. selective_times : a fuse is larger than those behind it. bundle_from : share of its current
    from which on a wire heats a bundle. relay_share : of a contact. load_fuses, cable_fuses : parts, the favoured
    first. cites : of each table, by its name.
    """

    lowest_v: float
    drop_any: float
    drop_critical: float
    drop_cable: float
    alone: str
    in_sheath: str
    electronics_below_a: float
    hours_share: float
    selective_times: float
    bundle_from: float
    relay_share: float
    load_fuses: tuple[str, ...]
    cable_fuses: tuple[str, ...]
    cites: Mapping[str, Cite]


@cache
def sizing_figures() -> SizingFigures:
    """The data file."""
    sheet = sheet_in("coachwright.power", DATA)
    tables, number = sheet.tables, sheet.number

    def parts(name: str) -> tuple[str, ...]:
        row = table_of(tables["fuses"].get(name, ""), f"{DATA}, fuses, {name}")
        return tuple(named(row, place, DATA) for place in sorted(row))

    return SizingFigures(
        lowest_v=number("supply", "lowest-v"),
        drop_any=number("drop", "any"),
        drop_critical=number("drop", "critical"),
        drop_cable=number("drop", "cable"),
        alone=named(tables["gauge"], "alone", DATA),
        in_sheath=named(tables["gauge"], "in-sheath", DATA),
        electronics_below_a=number("gauge", "electronics-below-a"),
        hours_share=number("hours", "share"),
        selective_times=number("selective", "times"),
        bundle_from=number("bundle", "counts-from"),
        relay_share=number("relays", "share"),
        load_fuses=parts("loads"),
        cable_fuses=parts("cables"),
        cites={name: cite_of(table, f"{DATA}, {name}") for name, table in tables.items()},
    )
