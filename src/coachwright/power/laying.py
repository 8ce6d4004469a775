"""By which figures is a harness laid: what is left at the ends, how thick bundles get, what ways are led round?

The figures are data (harness.yaml) with their source and status.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, number_of, numbers_of, table_of, tables_in

DATA = "harness.yaml"


@dataclass(frozen=True, slots=True)
class Laying:
    """Figures of laying.

    loop_at_end_m : left at each end. slack_share : of its way. steps_m : to which lengths are rounded up.
    absurd_share : of the vehicle's length, width and height together.
    direct_above_a : one thing that takes more has its own wire from the source. [A]
    lay_share : bundle over the root of the sum of squares. most_fill : share of a hole, by count of wires up to 3.
    avoid, mind : kinds of box that are led round, and that are led through but told. drawn_within_m : less is none.
    """

    loop_at_end_m: float
    slack_share: float
    steps_m: float
    absurd_share: float
    direct_above_a: float
    length_cite: Cite
    lay_share: float
    lay_cite: Cite
    most_fill: Mapping[int, float]
    fill_cite: Cite
    avoid: frozenset[str]
    mind: frozenset[str]
    drawn_within_m: float
    keep_out_cite: Cite


@dataclass(frozen=True, slots=True)
class Defaults:
    """What a wire is until it is sized. wires : part by what it does. conductors_n : of a cable, by what it does."""

    wires: Mapping[str, str]
    battery_return: str
    conductors_n: Mapping[str, int]
    coax_m: float
    cite: Cite


@cache
def laying() -> Laying:
    """The figures, read once."""
    whole = tables_in("coachwright.power", DATA)
    lengths, bundle = table_of(whole["lengths"], DATA), table_of(whole["bundle"], DATA)
    fill, boxes = table_of(whole["fill"], DATA), table_of(whole["keep-outs"], DATA)
    kinds = {name: named(boxes["kinds"], name, DATA) for name in table_of(boxes["kinds"], DATA)}
    strange = set(kinds.values()) - {"avoid", "mind"}
    if strange:
        raise DataWrong(f"{DATA}, keep-outs: avoid or mind belongs here, not {min(strange)}.")
    return Laying(
        loop_at_end_m=number_of(lengths["loop-at-end-m"], DATA),
        slack_share=number_of(lengths["slack-share"], DATA),
        steps_m=number_of(lengths["steps-m"], DATA),
        absurd_share=number_of(lengths["absurd-share"], DATA),
        direct_above_a=number_of(table_of(whole["feeds"], DATA)["direct-above-a"], DATA),
        length_cite=cite_of(lengths, DATA),
        lay_share=number_of(bundle["lay-share"], DATA),
        lay_cite=cite_of(bundle, DATA),
        most_fill=MappingProxyType({int(n): share for n, share in numbers_of(fill["most-share"], DATA).items()}),
        fill_cite=cite_of(fill, DATA),
        avoid=frozenset(kind for kind, how in kinds.items() if how == "avoid"),
        mind=frozenset(kind for kind, how in kinds.items() if how == "mind"),
        drawn_within_m=number_of(boxes["drawn-within-m"], DATA),
        keep_out_cite=cite_of(boxes, DATA),
    )


@cache
def defaults() -> Defaults:
    """What holds until sizes are settled, read once."""
    table = table_of(tables_in("coachwright.power", DATA)["defaults"], DATA)
    wires = {name: named(table["wires"], name, DATA) for name in table_of(table["wires"], DATA)}
    conductors = {name: int(count) for name, count in numbers_of(table["conductors"], DATA).items()}
    return Defaults(
        MappingProxyType(wires),
        named(table, "battery-return", DATA),
        MappingProxyType(conductors),
        number_of(table["coax-m"], DATA),
        cite_of(table, DATA),
    )
