"""Which fuse guards a circuit, which wire each of its loads gets, and which rule made it so?

A circuit is what hangs behind one fuse. The fuse is the smallest that bears its loads for good: their heat, what runs
for hours, every burst of their pattern, the surge at switching on. Each wire then is the thinnest that holds all of

- ``ampacity``: its own current, in the hottest stretch of its way and in the bundle there;
- ``drop``: the voltage it may lose at the lowest supply, out and back, at its peak;
- ``fuse``: what the job's rule asks of a wire behind that fuse, by the table in its air, as the rules are written;
- ``short``: what the fuse lets through in a short;
- ``gauge``: the least a wire may have that lies alone, or in a sheath;
- ``fixed``: what the lead wrote.

A fuse before other fuses is larger than they are (``selective``), so that a short opens the one next to it and no more;
where no wire bears a fuse that large it is as large as its loads ask, and that is told.

The rule that turned the next thinner wire down governs. No step goes by what was chosen before, so that the same
circuit always has the same answer.

See Also
--------
coachwright.power.fuse_time : what a fuse holds and lets through. coachwright.power.ampacity : what a wire carries.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from coachwright.kit.figures import number_of, table_of, tables_in
from coachwright.kit.wave import Wave
from coachwright.parts.wiring import FusePart, WirePart
from coachwright.power.ampacity import NoAmpacity, ampacity, gauge_by_area, share_in_air, share_in_bundle
from coachwright.power.fuse import FuseRule
from coachwright.power.fuse_time import most_let_through_a2_s, share_at, stands, stands_pulse
from coachwright.power.short import withstand_i2t_a2_s
from coachwright.power.sizing_figures import sizing_figures
from coachwright.power.wire import CIRCULAR_MIL_M2, COEFFICIENT_20_PER_K, awg_number

WireRule = Literal["ampacity", "drop", "fuse", "short", "gauge", "fixed", "thinnest"]
FuseRuleName = Literal["heat", "hours", "bursts", "surge", "selective", "fixed", "smallest"]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a wire's way. air_degc : the hottest it gets there. bundle_n : wires that carry current there."""

    length_m: float
    air_degc: float
    bundle_n: int = 1
    where: str = ""


@dataclass(frozen=True, slots=True)
class WireNeed:
    """What one wire has to do.

    Parameters
    ----------
    effective_a : what heats it, in the worst situation. peak_a : the most it carries at any instant, at the lowest
        supply. [A]
    out, back : its way from the fuse or channel to the load, and home to the ground. At least one stretch out.
    back_effective_a, back_peak_a : on the way home, where what other channels feed comes back too; 0 for the same as
        out. [A]
    supply_v : lowest at which it has to work. drop_share : of it, that may be lost. alone : lies in no sheath.
    electronics : under an ampere, which is let off the least gauge.
    fixed : the wire the lead wrote or the lock holds, or None.
    """

    subject: str
    path: str
    effective_a: float
    peak_a: float
    out: tuple[Stretch, ...]
    back: tuple[Stretch, ...]
    supply_v: float
    drop_share: float
    alone: bool = False
    electronics: bool = False
    fixed: WirePart | None = None
    back_effective_a: float = 0.0
    back_peak_a: float = 0.0

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        return (*self.out, *self.back)

    @property
    def home_a(self) -> float:
        """What heats it on the way home. [A]"""
        return max(self.effective_a, self.back_effective_a)

    @property
    def home_peak_a(self) -> float:
        """The most it carries on the way home. [A]"""
        return max(self.peak_a, self.back_peak_a)


@dataclass(frozen=True, slots=True)
class Circuit:
    """What hangs behind one fuse.

    waves : of its current, one for each situation. [A] hours_a : what runs for hours. surge_a, surge_s : at switching
    on. air_degc : round the fuse. short_a : the most a short at the fuse draws. fixed_a : the fuse the lead wrote, 0
    for none. behind_a : the largest fuse behind it, 0 for none.
    """

    name: str
    wires: tuple[WireNeed, ...]
    waves: tuple[Wave, ...]
    hours_a: float = 0.0
    surge_a: float = 0.0
    surge_s: float = 0.0
    air_degc: float = 23.0
    short_a: float = 1000.0
    fixed_a: float = 0.0
    behind_a: float = 0.0


@dataclass(frozen=True, slots=True)
class Held:
    """How far a wire is from one rule: what it has over what it may have; up to 1 it holds. inf : it can't."""

    rule: WireRule
    share: float


@dataclass(frozen=True, slots=True)
class SizedWire:
    """The wire of one load.

    governed_by : the rule that turned the next thinner wire down, ``thinnest`` where there is none. held : every rule.
    drop_v : out and back at its peak. carries_a : at its hottest stretch. copper_degc : there, at what it carries.
    """

    need: WireNeed
    wire: WirePart
    governed_by: WireRule
    held: tuple[Held, ...]
    drop_v: float
    carries_a: float

    @property
    def fails(self) -> tuple[Held, ...]:
        """Rules that even this wire breaks: only where the lead fixed it, or nothing thicker is to be had."""
        return tuple(each for each in self.held if each.share > 1 + 1e-9)


@dataclass(frozen=True, slots=True)
class SizedFuse:
    """The fuse of a circuit. carries_a : re-rated for its air. governed_by : what asked for no smaller one.

    broken : what even this fuse doesn't bear: only where the lead fixed it, or no larger one is made.
    """

    part: FusePart
    rating_a: float
    carries_a: float
    governed_by: FuseRuleName
    broken: tuple[FuseRuleName, ...]


@dataclass(frozen=True, slots=True)
class SizedCircuit:
    """A circuit with its fuse and wires."""

    circuit: Circuit
    fuse: SizedFuse
    wires: tuple[SizedWire, ...]


def size_circuit(
    circuit: Circuit, *, fuses: Sequence[FusePart], wires: Sequence[WirePart], rule: FuseRule
) -> SizedCircuit:
    """Fuse and wires of a circuit.

    Parameters
    ----------
    fuses : kinds that may be used here, the favoured first: the next only comes in where the one before has no rating
        that bears the circuit. At least one.
    wires : of one family, in any order. At least one.
    rule : how a fuse is held against its wire.
    """
    sizes = sorted(wires, key=lambda each: each.area)
    found = _with_fuse(circuit, fuse_for(circuit, fuses), sizes, rule)
    if not circuit.behind_a or not any(each.fails for each in found.wires):
        return found
    smaller = _with_fuse(circuit, fuse_for(replace(circuit, behind_a=0.0), fuses), sizes, rule)
    if any(each.fails for each in smaller.wires):
        return found
    return replace(
        smaller, fuse=replace(smaller.fuse, broken=tuple(_broken(circuit, smaller.fuse.part, smaller.fuse.rating_a)))
    )


def _with_fuse(circuit: Circuit, fuse: SizedFuse, sizes: Sequence[WirePart], rule: FuseRule) -> SizedCircuit:
    wires = tuple(_wire(each, circuit=circuit, fuse=fuse, sizes=sizes, rule=rule) for each in circuit.wires)
    return SizedCircuit(circuit, fuse, wires)


# -------------------------------------------------------------------------------------------------------------- fuse
def fuse_for(circuit: Circuit, fuses: Sequence[FusePart]) -> SizedFuse:
    """The smallest fuse that bears a circuit, of the first kind that has one; the largest where none does."""
    offered = [(part, rating) for part in fuses for rating in sorted(part.ratings)]
    if circuit.fixed_a:
        part = next((part for part, rating in offered if abs(rating - circuit.fixed_a) < 1e-6), fuses[0])
        return _rated(circuit, part, circuit.fixed_a, "fixed")
    before: tuple[FuseRuleName, ...] = ()
    for part, rating in offered:
        broken = tuple(_broken(circuit, part, rating))
        if not broken:
            return _rated(circuit, part, rating, before[0] if before else "smallest")
        before = broken
    part, rating = max(offered, key=lambda each: each[1])
    return _rated(circuit, part, rating, before[0])


def _rated(circuit: Circuit, part: FusePart, rating_a: float, governed_by: FuseRuleName) -> SizedFuse:
    carries_a = rating_a * share_at(part.rerating, circuit.air_degc)
    return SizedFuse(part, rating_a, carries_a, governed_by, tuple(_broken(circuit, part, rating_a)))


def _broken(circuit: Circuit, part: FusePart, rating_a: float) -> Iterable[FuseRuleName]:
    """What a fuse of this rating doesn't bear of the circuit, the weightiest first."""
    carries_a = rating_a * share_at(part.rerating, circuit.air_degc)
    if any(wave.rms() > carries_a * (1 + 1e-12) for wave in circuit.waves):
        yield "heat"
    if circuit.hours_a > sizing_figures().hours_share * carries_a * (1 + 1e-12):
        yield "hours"
    if any(
        wave.rms() <= carries_a * (1 + 1e-12) and not stands(part.curve, carries_a=carries_a, wave=wave)
        for wave in circuit.waves
    ):
        yield "bursts"
    if rating_a < sizing_figures().selective_times * circuit.behind_a * (1 - 1e-12):
        yield "selective"
    if not stands_pulse(part.curve, rating_a=carries_a, pulse_a=circuit.surge_a, time_s=circuit.surge_s):
        yield "surge"


# -------------------------------------------------------------------------------------------------------------- wire
def _wire(need: WireNeed, *, circuit: Circuit, fuse: SizedFuse, sizes: Sequence[WirePart], rule: FuseRule) -> SizedWire:
    """The thinnest that holds every rule; the thickest where none does."""
    governed: WireRule = "thinnest"
    if need.fixed is not None:
        return _sized(need, need.fixed, circuit=circuit, fuse=fuse, rule=rule, governed_by="fixed")
    for size in sizes:
        tried = _sized(need, size, circuit=circuit, fuse=fuse, rule=rule, governed_by=governed)
        if not tried.fails:
            return tried
        governed = max(tried.fails, key=lambda each: each.share).rule
    return _sized(need, sizes[-1], circuit=circuit, fuse=fuse, rule=rule, governed_by=governed)


def _sized(
    need: WireNeed, wire: WirePart, *, circuit: Circuit, fuse: SizedFuse, rule: FuseRule, governed_by: WireRule
) -> SizedWire:
    carries_a = min((carries(wire, each) for each in need.stretches), default=carries(wire, Stretch(0.0, 30.0)))
    table_a = min((carries(wire, replace(each, bundle_n=1)) for each in need.stretches), default=carries_a)
    drop_v = math.fsum(need.peak_a * resistance_ohm(wire, each, need.effective_a) for each in need.out)
    drop_v += math.fsum(need.home_peak_a * resistance_ohm(wire, each, need.home_a) for each in need.back)
    home_may_a = min((carries(wire, each) for each in need.back), default=math.inf)
    through = most_let_through_a2_s(fuse.part.curve, rating_a=fuse.rating_a, short_a=circuit.short_a)
    held = (
        Held("ampacity", max(_over(need.effective_a, carries_a), _over(need.home_a, home_may_a))),
        Held("drop", _over(drop_v, need.drop_share * need.supply_v)),
        Held("fuse", _over(fuse.rating_a, rule.most_share_of_wire * table_a)),
        Held("short", _over(through, bears_a2_s(wire))),
        Held("gauge", _gauge_share(need, wire)),
    )
    return SizedWire(need, wire, governed_by, held, drop_v, carries_a)


def carries(wire: WirePart, stretch: Stretch) -> float:
    """Current a wire may carry on a stretch: the table, its air, its bundle. [A] 0 where the table has no such wire."""
    gauge = wire.size if wire.family == "awg" else gauge_by_area(wire.area)
    if gauge is None:
        return 0.0
    try:
        table_a = ampacity(gauge, insulation_degc=wire.insulation).table_a
    except NoAmpacity:
        return 0.0
    in_air = share_in_air(insulation_degc=wire.insulation, air_degc=stretch.air_degc)
    return table_a * in_air * share_in_bundle(stretch.bundle_n)


def bears_a2_s(wire: WirePart) -> float:
    """What a short may do to it before its jacket is hurt, from its hottest for good. [A2 s]"""
    hottest_degc: float = wire.insulation
    short_degc = _short_degc().get(wire.jacket, hottest_degc)
    if short_degc <= hottest_degc:
        return 0.0
    return withstand_i2t_a2_s(wire.area / CIRCULAR_MIL_M2, from_degc=hottest_degc, to_degc=short_degc)


def copper_degc(wire: WirePart, stretch: Stretch, effective_a: float) -> float:
    """Temperature of the copper, its current counted: at what it may carry it is as hot as its insulation may be."""
    may_a, hottest_degc = carries(wire, stretch), float(wire.insulation)
    if may_a <= 0 or stretch.air_degc >= hottest_degc:
        return max(hottest_degc, stretch.air_degc)
    rise_k = (hottest_degc - stretch.air_degc) * (effective_a / may_a) ** 2
    return min(stretch.air_degc + rise_k, hottest_degc)


def resistance_ohm(wire: WirePart, stretch: Stretch, effective_a: float) -> float:
    """Of a stretch, warm. [ohm]"""
    warm = 1.0 + COEFFICIENT_20_PER_K * (copper_degc(wire, stretch, effective_a) - 20.0)
    return float(wire.resistance_per_length) * stretch.length_m * warm


def _gauge_share(need: WireNeed, wire: WirePart) -> float:
    """0 where it is thick enough, 2 where it isn't: a gauge is no share of another."""
    if need.electronics:
        return 0.0
    figures = sizing_figures()
    least = figures.alone if need.alone else figures.in_sheath
    has = gauge_by_area(wire.area)
    return 0.0 if has is not None and awg_number(has) <= awg_number(least) else 2.0


def _over(value: float, limit: float) -> float:
    if value <= 0:
        return 0.0
    return value / limit if limit > 0 else math.inf


@cache
def _short_degc() -> dict[str, float]:
    table = table_of(tables_in("coachwright.power", "jackets.yaml")["short-degc"], "jackets.yaml")
    return {name: number_of(value, f"jackets.yaml, {name}") for name, value in table.items()}
