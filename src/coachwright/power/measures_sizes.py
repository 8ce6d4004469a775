"""Windows of wire and fuse: what a wire carries, loses and bears, and how its fuse stands to it and to its load.

Everything is asked of the wires as they are: with what the lead fixed and the lock holds. One answer for each thing
that has a wire of its own, by its worst wire.

See Also
--------
coachwright.power.sizes : the wires. coachwright.power.size : the rules by which they are chosen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.parts.schema import WirePart
from coachwright.power.ampacity import chassis_table_a, gauge_by_area
from coachwright.power.circuits import carried, circuits_of, on_feed
from coachwright.power.drawn import drawn_in
from coachwright.power.laying import laying
from coachwright.power.loads import loads_of
from coachwright.power.returns import grounded, most_share
from coachwright.power.runs import Run
from coachwright.power.size import SizedWire, Stretch, bears_a2_s, carries
from coachwright.power.sizes import Sized, gauge_name, sized
from coachwright.power.wire import awg_number

TABLES = ("33-cfr-183-425", "chassis-maker")


@dataclass(frozen=True, slots=True)
class Laid:
    """A wire in its circuit, with its way."""

    of: Sized
    wire: SizedWire
    run: Run

    @property
    def named(self) -> str:
        """Which wire, and in what: for a sentence."""
        return f"{self.run.name}, {gauge_name(self.wire.wire)}, {self.of.sized.fuse.rating_a:g} A fuse"

    @property
    def space(self) -> str:
        """The hottest stretch of its way, as a word."""
        zones = {each.zone for each in self.run.segments}
        return "engine" if "engine" in zones else "cabin" if zones <= {"cabin", "cargo"} else "outside"


@by_digest
def laid_wires(model: Model) -> tuple[Laid, ...]:
    """Every wire of a build that is sized."""
    runs = {run.name: run for run in circuits_of(model).laid.runs}
    return tuple(
        Laid(each, wire, runs[name])
        for each in sized(model)
        for name, wire in zip(each.hung.runs, each.sized.wires, strict=True)
    )


def subjects_through(model: Model, laid: Laid) -> tuple[str, ...]:
    """Loads whose current a wire leads."""
    if laid.of.hung.level == "load":
        return carried(model, laid.run)
    return laid.of.hung.loads if laid.of.hung.level == "main" else on_feed(model, laid.run.feed)


def _worst(
    model: Model, value: Callable[[Laid], float | None], *, lowest: bool = False
) -> Iterator[tuple[Laid, float]]:
    """Of each thing its worst wire, with the value that says so."""
    found: dict[str, tuple[Laid, float]] = {}
    for laid in laid_wires(model):
        number = value(laid)
        if number is None:
            continue
        before = found.get(laid.run.path)
        if before is None or (number < before[1] if lowest else number > before[1]):
            found[laid.run.path] = (laid, number)
    yield from found.values()


def table_a(wire: WirePart, by: str, stretch: Stretch) -> float:
    """What a table lets a wire carry on a stretch, its air counted and not its bundle. [A]"""
    alone = Stretch(stretch.length_m, stretch.air_degc, 1, stretch.where)
    if by == "chassis-maker":
        return chassis_table_a(wire.area)
    return carries(wire, alone)


# -------------------------------------------------------------------------------------------------------------- wire
@measures("power.ampacity-share", kind="share", by="word")
def ampacity_share(model: Model, *, situation: str, by: str) -> tuple[Measure, ...]:
    """How much of what its table lets it carry does each wire carry?

    Notes
    -----
    Effective current at the lowest supply over the least of its stretches, air and bundle counted; the chassis maker's
    table has neither.
    """

    def share(laid: Laid) -> float | None:
        now_a = drawn_in(model, subjects_through(model, laid), situation).rms_a
        may_a = laid.wire.carries_a if by != "chassis-maker" else chassis_table_a(laid.wire.wire.area)
        return now_a / may_a if may_a > 0 else None

    if by not in TABLES:
        return ()
    return tuple(
        _measure(
            "power.ampacity-share", "share", laid, value, situation=situation, wire=laid.run.name, space=laid.space
        )
        for laid, value in _worst(model, share)
    )


@measures("power.wire-gauge", kind="number", per_situation=False)
def wire_gauge(model: Model) -> tuple[Measure, ...]:
    """Which AWG number has each wire by its copper?"""

    def number(laid: Laid) -> float | None:
        gauge = gauge_by_area(laid.wire.wire.area)
        return float(awg_number(gauge)) if gauge is not None else None

    return tuple(
        _measure(
            "power.wire-gauge",
            "number",
            laid,
            value,
            installed="alone" if laid.wire.need.alone else "in-sheath",
            electronics="yes" if laid.wire.need.electronics else "no",
        )
        for laid, value in _worst(model, number)
    )


@measures("power.stranded-copper", kind="yes-no", per_situation=False)
def stranded_copper(model: Model) -> tuple[Measure, ...]:
    """Is each wire stranded copper?"""
    return tuple(
        _measure("power.stranded-copper", "yes-no", laid, laid.wire.wire.strands > 1, wire=gauge_name(laid.wire.wire))
        for laid, _ in _worst(model, lambda laid: -float(laid.wire.wire.strands))
    )


@measures("power.drop-share", kind="share")
def drop_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of the lowest supply is lost between the battery and each load, out and back?

    Notes
    -----
    At the peak of what may be on together in the situation, in every cable and wire on the way, copper warm. The body's
    own metal is left out, and so are terminals.
    """
    critical = {load.subject for load in loads_of(model) if load.critical}
    peaks = {
        laid.run.name: drawn_in(model, subjects_through(model, laid), situation).peak_a for laid in laid_wires(model)
    }
    lost_v = {
        laid.run.name: laid.wire.drop_v
        * (peaks[laid.run.name] / laid.wire.need.peak_a if laid.wire.need.peak_a else 0.0)
        for laid in laid_wires(model)
    }

    def share(laid: Laid) -> float | None:
        if laid.of.hung.level != "load":
            return None
        on_the_way_v = sum(lost_v.get(name, 0.0) for name in laid.of.hung.upstream)
        return (on_the_way_v + lost_v[laid.run.name]) / laid.wire.need.supply_v

    return tuple(
        _measure(
            "power.drop-share",
            "share",
            laid,
            value,
            situation=situation,
            critical="yes" if any(load in critical for load in subjects_through(model, laid)) else "no",
        )
        for laid, value in _worst(model, share)
    )


# -------------------------------------------------------------------------------------------------------------- fuse
@measures("power.fuse-share-of-wire", kind="share", per_situation=False, by="word")
def fuse_share_of_wire(model: Model, *, by: str) -> tuple[Measure, ...]:
    """How large is the fuse over what the table lets its wire carry?"""

    def share(laid: Laid) -> float | None:
        least_a = min((table_a(laid.wire.wire, by, each) for each in laid.wire.need.stretches), default=0.0)
        return laid.of.sized.fuse.rating_a / least_a if least_a > 0 else None

    if by not in TABLES:
        return ()
    return tuple(
        _measure("power.fuse-share-of-wire", "share", laid, value, fuse_rule=model.job.fuse_rule)
        for laid, value in _worst(model, share)
    )


@measures("power.wire-share-of-fuse", kind="share", per_situation=False)
def wire_share_of_fuse(model: Model) -> tuple[Measure, ...]:
    """How much may each wire carry over its fuse?"""

    def share(laid: Laid) -> float | None:
        least_a = min((table_a(laid.wire.wire, TABLES[0], each) for each in laid.wire.need.stretches), default=0.0)
        return least_a / laid.of.sized.fuse.rating_a

    return tuple(
        _measure("power.wire-share-of-fuse", "share", laid, value, fuse_rule=model.job.fuse_rule)
        for laid, value in _worst(model, share, lowest=True)
    )


@measures("power.load-share-of-fuse", kind="share")
def load_share_of_fuse(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of its fuse, re-rated for heat, does each circuit take?

    Notes
    -----
    Mean of what runs for hours where the circuit has such, else what heats the fuse, at the lowest supply.
    """
    lasting = {load.subject for load in loads_of(model) if load.continuous}

    def share(laid: Laid) -> float | None:
        on = tuple(load for load in laid.of.hung.loads if load in lasting)
        drawn = drawn_in(model, on or laid.of.hung.loads, situation)
        return (drawn.mean_a if on else drawn.rms_a) / laid.of.sized.fuse.carries_a

    return tuple(
        _measure(
            "power.load-share-of-fuse",
            "share",
            laid,
            value,
            situation=situation,
            continuous="yes" if any(load in lasting for load in laid.of.hung.loads) else "no",
        )
        for laid, value in _worst(model, share)
    )


@measures("power.unprotected-length", kind="length", per_situation=False)
def unprotected_length(model: Model) -> tuple[Measure, ...]:
    """How long is each wire between where its power comes from and its fuse?

    Notes
    -----
    The harness puts every fuse one loop from its source (harness.yaml, loop-at-end-m); who lays it keeps to that.
    """
    loop_m = laying().loop_at_end_m
    return tuple(
        _measure("power.unprotected-length", "length", laid, loop_m, sheathed="no", cranking="no")
        for laid, _ in _worst(model, lambda laid: 0.0)
    )


@measures("power.short-let-through-share", kind="share", per_situation=False)
def short_let_through_share(model: Model) -> tuple[Measure, ...]:
    """How much of what its wire bears does the fuse let through in a short?"""

    def share(laid: Laid) -> float | None:
        if bears_a2_s(laid.wire.wire) <= 0:
            return None
        return next(each.share for each in laid.wire.held if each.rule == "short")

    return tuple(
        _measure("power.short-let-through-share", "share", laid, value, wire=laid.run.name)
        for laid, value in _worst(model, share)
    )


# ------------------------------------------------------------------------------------------------------------- ground
@measures("power.ground-share-of-feed", kind="share", per_situation=False)
def ground_share_of_feed(model: Model) -> tuple[Measure, ...]:
    """How much copper has the way back over the feed?

    Notes
    -----
    Supply and return of one thing are settled as one size; the answer is theirs as the lock and the lead have it.
    """
    returns = {run.subject for run in circuits_of(model).laid.runs if run.kind == "return"}

    def share(laid: Laid) -> float | None:
        return 1.0 if laid.of.hung.level == "load" and laid.run.subject in returns else None

    return tuple(
        _measure("power.ground-share-of-feed", "share", laid, value)
        for laid, value in _worst(model, share, lowest=True)
    )


@measures("power.ground-point-share", kind="share")
def ground_point_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of what it carries returns at each ground point?"""
    laid = circuits_of(model).laid
    found = []
    for point in grounded(model.body, laid.net, laid.runs):
        now_a = {load: drawn_in(model, (load,), situation).peak_a for load in point.carries}
        share = most_share(point, now_a)
        if share is None:
            continue
        found.append(
            Measure(
                "power.ground-point-share",
                share,
                "share",
                about="vehicle.body",
                blame=("vehicle.body",),
                where=f"{point.point.node}, {sum(now_a.values()):.1f} A of {point.point.most_a:g} A",
                situation=situation,
                facts=facts(point=point.point.node),
            )
        )
    return tuple(found)


def _measure(name: str, kind: str, laid: Laid, value: float | bool, *, situation: str = "", **said: str) -> Measure:
    path = laid.run.path
    return Measure(
        name, value, kind, about=path, blame=(path,), where=laid.named, situation=situation, facts=facts(**said)
    )
