"""Does a wire, its fuse, or what joins, leads and switches it hold together?"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from coachwright.parts.problem import PartProblem, above_nothing, not_below_nothing, rising
from coachwright.parts.wiring import (
    BreakerPart,
    ConnectorPart,
    FittingPart,
    FusePart,
    OpeningTime,
    RelayPart,
    Rerating,
    WirePart,
)

COPPER_20_OHM_M = 0.017241e-6 * 1.02
"""Annealed copper at 20 degC (IACS, NBS Handbook 100), strands 2 % longer than the wire (common practice)."""

RESISTANCE_SHARE = 0.12
"""How far a sheet's resistance may lie from that of its copper: tinning, and areas that are nominal."""

AREA_SHARE = 0.06
"""How far an area may lie from what its size says."""

_GAUGE = re.compile(r"(?:[1-9]|[1-3][0-9]|40|[1-4]/0)")
_METRIC = re.compile(r"[0-9]{1,3}(?:\.[0-9]{1,2})?")


def wiring_problems(
    part: WirePart | FusePart | BreakerPart | RelayPart | ConnectorPart | FittingPart,
) -> Iterator[PartProblem]:
    """Everything in a part of the wiring that can't be so, or is worth a second look, in the order of the file."""
    match part:
        case WirePart():
            yield from _wire(part)
        case FusePart():
            yield from above_nothing(part, "rated_voltage", "interrupt")
            yield from _ratings(part)
            yield from _curve(part.curve)
            yield from rerating_problems(part.rerating)
        case BreakerPart():
            yield from above_nothing(part, "current", "rated_voltage", "interrupt")
            yield from _curve(part.curve)
            yield from rerating_problems(part.rerating)
        case RelayPart():
            yield from above_nothing(part, "current", "coil_current", "coil_voltage")
        case ConnectorPart():
            yield from above_nothing(part, "ways", "current", "least_area", "resistance")
            yield from rising(part, "least_area", "most_area")
        case FittingPart():
            yield from not_below_nothing(part, "least_area", "most_area", "current", "stud", "bore", "hole", "length")
            yield from rising(part, "least_area", "most_area")


def _wire(part: WirePart) -> Iterator[PartProblem]:
    yield from above_nothing(part, "area", "strands", "resistance_per_length", "diameter", "mass_per_length", "reel")
    if min(part.area, part.resistance_per_length) <= 0:
        return
    if not (_METRIC if part.family == "metric" else _GAUGE).fullmatch(part.size):
        example = "2.5, in mm2" if part.family == "metric" else "12 or 1/0"
        why = f"{part.size[:20]} is no size of the {part.family} family."
        yield PartProblem(("size",), "PRT-059", "size-not-read", why, f"Write it like {example}.")
        return
    said_m2 = _area_of_size(part)
    if said_m2 and abs(part.area / said_m2 - 1) > AREA_SHARE:
        family = "AWG " if part.family == "awg" else ""
        why = f"{family}{part.size} has {said_m2 * 1e6:.3g} mm2; {part.area * 1e6:.3g} mm2 stands here."
        write = "Check the family: SAE wire is thinner than AWG wire of the same number."
        yield PartProblem(("area",), "PRT-055", "area-far-from-size", why, write, severity="warning")
    copper_ohm_m = COPPER_20_OHM_M / part.area
    if abs(part.resistance_per_length / copper_ohm_m - 1) > RESISTANCE_SHARE:
        why = (
            f"{part.area * 1e6:.3g} mm2 of copper has {copper_ohm_m * 1000:.3g} mohm/m at 20 degC; "
            f"{part.resistance_per_length * 1000:.3g} mohm/m stands here."
        )
        write = "Give the resistance at 20 degC, of one metre, one way."
        where = ("resistance-per-length",)
        yield PartProblem(where, "PRT-055", "resistance-far-from-area", why, write, severity="warning")
    if part.diameter > 0 and part.diameter**2 * math.pi / 4 <= part.area:
        why = "Its copper is thicker than the wire over its jacket."
        yield PartProblem(("diameter",), "PRT-043", "figure-not-possible", why)


def _area_of_size(part: WirePart) -> float:
    """Area a size stands for, 0 where only a table of the family knows. [m2]"""
    if part.family == "metric":
        return float(part.size) * 1e-6
    if part.family == "awg":
        number = 1 - int(part.size[0]) if part.size.endswith("/0") else int(part.size)
        diameter_m = 0.127e-3 * math.pow(92.0, (36 - number) / 39)  # ASTM B258, as public pages quote it
        return math.pi / 4 * diameter_m**2
    return 0.0


def _ratings(part: FusePart) -> Iterator[PartProblem]:
    for number, (one, following) in enumerate(zip((0.0, *part.ratings), part.ratings, strict=False), start=1):
        if following <= one:
            why = f"{following:g} A is not above {one:g} A." if one else "A fuse is rated above nothing."
            write = "List the ratings from the smallest, each once."
            yield PartProblem(("ratings", str(number)), "PRT-054", "curve-out-of-order", why, write)


def _curve(curve: Sequence[OpeningTime]) -> Iterator[PartProblem]:
    """Shares rise; neither bound of the time rises with them; a fuse holds no longer than until it has opened."""
    for number, (before, point) in enumerate(zip((None, *curve), curve, strict=False), start=1):
        path = ("curve", str(number))
        if point.share <= 1:
            yield _order((*path, "share"), "A fuse carries its rated current for good.", "Begin above 100 %.")
        if point.least < 0 or (point.most is not None and point.most < max(point.least, 1e-9)):
            yield _order(path, "It holds longer than until it has opened.", "Write the shorter time as least.")
        if before is None:
            continue
        if point.share <= before.share:
            yield _order((*path, "share"), f"{point.share:.0%} is not above {before.share:.0%}.", "Let shares rise.")
        later_most = math.inf if point.most is None else point.most
        before_most = math.inf if before.most is None else before.most
        if point.least > before.least or later_most > before_most:
            why = f"It takes longer at {point.share:.0%} than at {before.share:.0%}."
            yield _order(path, why, "The more current, the sooner it opens.")


def rerating_problems(rerating: Sequence[Rerating]) -> Iterator[PartProblem]:
    """Temperatures rise, and the hotter it is, the less it carries."""
    for number, (before, point) in enumerate(zip((None, *rerating), rerating, strict=False), start=1):
        path = ("rerating", str(number))
        if not 0 < point.share <= 1.5:
            why = f"At {point.temperature:g} degC {point.share:.0%} is left of its rated current."
            yield _order((*path, "share"), why, "Write a share like 90 %.")
        if before is not None and (point.temperature <= before.temperature or point.share > before.share):
            why = "The hotter it is, the less it carries."
            yield _order(path, why, "Let temperatures rise and shares fall.")


def _order(path: tuple[str, ...], why: str, write: str) -> PartProblem:
    return PartProblem(path, "PRT-054", "curve-out-of-order", why, write)
