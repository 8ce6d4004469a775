"""What does a battery hold, give and take on a day of one temperature, at one age?

A battery is a voltage behind a resistance, both by state of charge; cold, age and the current itself take their share
of what it holds. It is a model: rested voltage and resistance of the sheet, the rest by kind of battery
(batteries.yaml). A real one differs by a tenth of a volt and more, most of all just charged and nearly empty; a reading
on the vehicle wins.

See Also
--------
coachwright.power.energy : Peukert's law by two ratings. coachwright.power.restart : whether it still starts the engine.
coachwright.power.bus : battery, source and loads together.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, number_of, numbers_of, table_of, tables_in
from coachwright.parts.schema import BatteryPart
from coachwright.power.energy import RATED_TIME_S, RESERVE_CURRENT_A, NoPeukert, peukert_exponent

DATA = "batteries.yaml"
SHEET_DEGC, CRANKING_DEGC = 25.0, -18.0
"""At which a sheet tells capacity and resistance, and at which it tells the cranking current."""
CRANKING_LEAST_V = 7.2
"""That cranking current leaves at the posts for 30 s. [1]"""
MONTH_S = 30.0 * 86400.0
_LEAST_SHARE = 0.05
"""Of its capacity, below which no battery of this model falls by cold and age."""

# References
# ----------
# [1] Cranking current: 30 s at 0 degF, not below 7.2 V, as a service page defines it.


@dataclass(frozen=True, slots=True)
class Kind:
    """What batteries of one chemistry have in common, new, full and at 25 degC. Shares unless a unit is named.

    open_voltage : (state of charge, volts at rest), rising. empty_resistance : over that of a full one.
    flat_v : at which the 20 h are over.
    """

    chemistry: str
    cite: Cite
    open_voltage: tuple[tuple[float, float], ...]
    peukert: float
    charge_share: float
    empty_resistance: float
    capacity_per_kelvin: float
    resistance_per_kelvin: float
    capacity_per_year: float
    resistance_per_year: float
    lost_per_month: float
    flat_v: float


@dataclass(frozen=True, slots=True)
class Battery:
    """A battery on a day of one temperature, at one age.

    Parameters
    ----------
    capacity_as : it holds today at the current of twenty hours. [A s]
    twenty_hour_a : that current, of a new one. [A]
    resistance_ohm, empty_ohm : today, full and empty. [ohm]
    rest_share, rest_v : states of charge, rising, and volts at rest there.
    inner_share, inner_v : the same as a load sees it: the last tenth falls to where it counts as flat.
    most_charge_a : it may be charged with; infinite where the sheet is silent. [A]
    charge_share : of the charge put in that comes out again.
    lost_a : it loses by itself, as a current. [A]
    charges : not in frost, if it may only be charged above. temperature_degc : of its acid.
    """

    name: str
    chemistry: str
    capacity_as: float
    twenty_hour_a: float
    peukert: float
    resistance_ohm: float
    empty_ohm: float
    rest_share: tuple[float, ...]
    rest_v: tuple[float, ...]
    inner_share: tuple[float, ...]
    inner_v: tuple[float, ...]
    most_charge_a: float
    charge_share: float
    lost_a: float
    reserve_s: float
    cranking_a: float
    charges: bool = True
    temperature_degc: float = SHEET_DEGC


@cache
def kind_of(chemistry: str) -> Kind:
    """The kind of battery of this name, as batteries.yaml has it."""
    told = table_of(table_of(tables_in("coachwright.power", DATA)["kinds"], DATA)[chemistry], f"{DATA}, {chemistry}")
    what = f"{DATA}, {chemistry}"
    points = numbers_of(told["open-voltage"], what)
    numbers = {
        name.replace("-", "_"): number_of(value, f"{what}, {name}")
        for name, value in told.items()
        if name not in ("cite", "open-voltage")
    }
    return Kind(
        chemistry, cite_of(told, what), tuple(sorted((float(share), v) for share, v in points.items())), **numbers
    )


def battery_of(
    part: BatteryPart, *, name: str = "", temperature_degc: float = SHEET_DEGC, age_years: float = 0.0
) -> Battery:
    """A battery of the catalogue, on a day.

    Parameters
    ----------
    temperature_degc : of its acid, not of the air. [degC]
    age_years : in service, 0 or more.

    Notes
    -----
    Capacity falls in the cold and with the years. Resistance in the cold goes straight, in its logarithm, from the
    sheet's at 25 degC to the most that the cranking rating at -18 degC allows, (open - 7.2 V) / cranking current; by
    kind where there is no such rating.
    """
    kind = kind_of(part.chemistry)
    cold_k = max(0.0, SHEET_DEGC - temperature_degc)
    held = (1.0 - kind.capacity_per_kelvin * cold_k) * (1.0 - kind.capacity_per_year * age_years)
    capacity_as = part.capacity * max(_LEAST_SHARE, held)
    resistance_ohm = part.resistance * _cold(part, kind, cold_k) * (1.0 + kind.resistance_per_year * age_years)
    shares, volts = _stretched(kind, part.open_voltage.full, part.open_voltage.empty)
    knee = _knee_share()
    above = [(share, v) for share, v in zip(shares, volts, strict=True) if share > knee]
    at_knee = between(shares, volts, knee)
    flat_v = kind.flat_v + part.capacity / RATED_TIME_S * part.resistance * kind.empty_resistance
    inner = [(0.0, min(flat_v, at_knee)), (knee, at_knee), *above]
    return Battery(
        name or part.name,
        part.chemistry,
        capacity_as,
        part.capacity / RATED_TIME_S,
        _peukert(part, kind),
        resistance_ohm,
        resistance_ohm * kind.empty_resistance,
        shares,
        volts,
        tuple(share for share, _ in inner),
        tuple(v for _, v in inner),
        part.most_charge or math.inf,
        kind.charge_share,
        part.capacity * kind.lost_per_month / MONTH_S,
        part.reserve,
        part.cranking,
        charges=part.chemistry != "lithium-iron" or temperature_degc > 0.0,
        temperature_degc=temperature_degc,
    )


def rest_v(battery: Battery, share: float) -> float:
    """At its posts after hours of rest. [V]"""
    return between(battery.rest_share, battery.rest_v, share)


def inner_v(battery: Battery, share: float) -> float:
    """Behind its resistance while it works. [V]"""
    return between(battery.inner_share, battery.inner_v, share)


def inner_ohm(battery: Battery, share: float) -> float:
    """Its resistance: rising straight from full to empty. [ohm]"""
    return battery.empty_ohm + (battery.resistance_ohm - battery.empty_ohm) * share


def accepts_a(battery: Battery, share: float) -> float:
    """Most it may be charged with. [A] What its sheet allows, and no more amperes than ampere-hours are missing."""
    if not battery.charges:
        return 0.0
    return min(battery.most_charge_a, max(0.0, 1.0 - share) * battery.capacity_as / _acceptance_s())


def share_per_s(battery: Battery, current_a: float) -> float:
    """Change of its state of charge, below 0 while it gives. [1/s]

    Parameters
    ----------
    current_a : it gives; below 0 while it is charged. [A]

    Notes
    -----
    Giving more than its twenty-hour current I20 it loses I (I / I20)^(k - 1), Peukert's law in its rated form; at less,
    I: nothing is won by going slowly, which is the careful side.
    """
    if current_a > battery.twenty_hour_a:
        return -current_a * math.pow(current_a / battery.twenty_hour_a, battery.peukert - 1.0) / battery.capacity_as
    return -current_a * (1.0 if current_a > 0.0 else battery.charge_share) / battery.capacity_as


def reserve_share_used(battery: Battery, *, load_a: float, after_s: float) -> float:
    """Of its reserve capacity, by a load with the engine off; infinite for one without a reserve rating.

    At more than 25 A each ampere takes more than its share, by the battery's own exponent.
    """
    if battery.reserve_s <= 0.0:
        return math.inf
    fast = math.pow(max(1.0, load_a / RESERVE_CURRENT_A), battery.peukert - 1.0)
    return load_a * fast * after_s / (RESERVE_CURRENT_A * battery.reserve_s)


def between(xs: Sequence[float], ys: Sequence[float], x: float) -> float:
    """Straight line between points, held at both ends."""
    place = bisect_right(xs, x)
    if place == 0:
        return ys[0]
    if place == len(xs):
        return ys[-1]
    low = xs[place - 1]
    return ys[place - 1] + (ys[place] - ys[place - 1]) * (x - low) / (xs[place] - low)


@cache
def _knee_share() -> float:
    return number_of(table_of(tables_in("coachwright.power", DATA)["knee"], DATA)["share"], DATA)


@cache
def _acceptance_s() -> float:
    return 3600.0 * number_of(table_of(tables_in("coachwright.power", DATA)["charging"], DATA)["time-h"], DATA)


def _stretched(kind: Kind, full_v: float, empty_v: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The table of a kind, between what a part says full and empty."""
    low, high = kind.open_voltage[0][1], kind.open_voltage[-1][1]
    stretch = (full_v - empty_v) / (high - low)
    return tuple(share for share, _ in kind.open_voltage), tuple(
        empty_v + (v - low) * stretch for _, v in kind.open_voltage
    )


def _peukert(part: BatteryPart, kind: Kind) -> float:
    """By its two ratings; by its kind where there is one only. Never below 1: more current brings no more charge."""
    if not part.reserve:
        return kind.peukert
    try:
        return max(1.0, peukert_exponent(c20_as=part.capacity, reserve_s=part.reserve))
    except NoPeukert:
        return kind.peukert


def _cold(part: BatteryPart, kind: Kind, cold_k: float) -> float:
    """Resistance in the cold over that of the sheet."""
    if not part.cranking:
        return 1.0 + kind.resistance_per_kelvin * cold_k
    at_most = (part.open_voltage.full - CRANKING_LEAST_V) / part.cranking / part.resistance
    return math.pow(max(1.0, at_most), cold_k / (SHEET_DEGC - CRANKING_DEGC))
