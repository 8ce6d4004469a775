"""What should volts and amperes read on the bench: supply, current, drops, alarm, reserve, alternator, parked?

What a sound vehicle does is worked out by power.acceptance; here stand the limits round it. They are those of the
controller's sheet, of the rules of the build's packs, and of the acceptance tests in bench.yaml. A limit that nobody
checked against its page stays a draft: a reading that holds it isn't proof of anything.

See Also
--------
coachwright.proof.bench_expected : light, and all of it together. coachwright.control.bench_fields : the fields.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from coachwright.build.model import Model, Situation
from coachwright.control.bench_fields import Expected, lamps_of
from coachwright.parts.schema import ControllerPart
from coachwright.power.acceptance import (
    AlternatorTest,
    alarm_tests,
    alternator_test,
    controller_v,
    fit_current,
    lamp_drops,
    reserve_test,
)
from coachwright.power.charge import SHEET_DEGC
from coachwright.power.duty import duty_figures, engine_runs
from coachwright.power.measures_supply import parked_draw_a
from coachwright.power.restart import restart_cites
from coachwright.power.sizing_figures import sizing_figures
from coachwright.power.supply_of import supply_of
from coachwright.proof.bench_figures import figures
from coachwright.proof.rooms import rooms
from coachwright.rules.load import load_packs
from coachwright.rules.schema import Pack

_IDLE_LASTS_S = 600.0
"""After which an alternator at idle stands where it will."""


def electrical(model: Model, *, folder: Path | None = None) -> dict[str, Expected]:
    """Per name of a field of volts and amperes, what is expected. folder : where the build lies, with its own packs."""
    packs = packs_of(model, folder)
    found = {f"supply {each.name}": _supply(model, each) for each in model.situations}
    found |= {f"current {each.name}": current(model, each) for each in model.situations}
    found |= dict(_drops(model, packs))
    found |= dict(_alarms(model))
    found |= dict(_reserve(model))
    found |= dict(_alternator(model))
    found["parked"] = _parked(model, packs)
    return found


def packs_of(model: Model, folder: Path | None) -> tuple[Pack, ...]:
    """The packs a build names; one that can't be read is told by `check`."""
    opened = rooms()
    packs, _ = load_packs(
        model.packs,
        registry=opened.windows,
        missing_rooms=opened.missing,
        extra_folder=folder / "packs" if folder is not None else None,
    )
    return tuple(packs)


@dataclass(frozen=True, slots=True)
class Most:
    """The most a rule or a figure lets something be, and whose word that is. draft : nobody has read the page."""

    most: float
    by: str
    draft: bool


def most_of(packs: tuple[Pack, ...], measure: str) -> Most | None:
    """The strictest upper limit that rules of the packs set to all of a kind; a draft where there is no other."""
    asking = [
        Most(rule.limit.high, f"{rule.code} of {pack.pack}", rule.is_draft)
        for pack in packs
        for rule in pack.rules
        if rule.measure == measure and not rule.applies and math.isfinite(rule.limit.high)
    ]
    return min(asking, key=lambda each: (each.draft, each.most), default=None)


# ---------------------------------------------------------------------------------------------------- supply, current
def _supply(model: Model, situation: Situation) -> Expected:
    """Volts at the controller, wires and all, and between which its sheet says it works."""
    parts = dict(model.parts)
    used = [(item.name, part) for item in model.equipment if isinstance(part := parts.get(item.part), ControllerPart)]
    if not used:
        return Expected()
    value = controller_v(model, situation.name)
    notes = () if value is not None else ("what it should read isn't known: the body says no battery or no way to it",)
    return Expected(
        value,
        max(part.least_voltage for _, part in used),
        min(part.most_voltage for _, part in used),
        f"sheet of {' and '.join(name for name, _ in used)}",
        how=(_engine(model, situation.name),) if value is not None else (),
        notes=notes,
    )


def _engine(model: Model, situation: str) -> str:
    """In which state the vehicle is meant."""
    if not engine_runs(model, situation):
        return "engine off, batteries full and rested"
    supply = supply_of(model).supply
    if supply is None or supply.alternator is None:
        return "engine running"
    hot_v, cool_v = (supply.alternator.voltage_v(degc) for degc in (duty_figures().idling_degc, SHEET_DEGC))
    return f"engine warm, {hot_v:.1f} V at the posts; cool {cool_v - hot_v:.1f} V more"


def current(model: Model, situation: Situation) -> Expected:
    """Amperes of what we fitted in a situation: mean and peak, and what would come on top."""
    known, found = figures(), fit_current(model, situation.name)
    around, mean_a = known.current_share, found.sure.mean_a
    return Expected(
        mean_a,
        mean_a * (1 - around),
        mean_a * (1 + around),
        f"{100 * around:g} % round the sheets, {known.scatter_cite.source.partition(';')[0]}",
        how=("sirens silenced, radios off, docks, sockets and inverters empty, chargers unplugged",),
        notes=(f"in use they draw up to {found.more_a:.1f} A more",) if found.more_a else (),
        peak=found.sure.peak_a,
    )


# --------------------------------------------------------------------------------------------------------------- drop
def _drops(model: Model, packs: tuple[Pack, ...]) -> Iterator[tuple[str, Expected]]:
    sizing, found = sizing_figures(), lamp_drops(model)
    cite = sizing.cites["drop"]
    limit = most_of(packs, "power.drop-share") or Most(
        sizing.drop_any, f"what wires are sized for, {cite.source}", cite.is_draft
    )
    for lamp in lamps_of(model):
        if lamp not in found:
            continue
        drop = found[lamp]
        yield (
            f"drop {lamp}",
            Expected(
                drop.lost_v,
                None,
                limit.most * sizing.lowest_v,
                f"{100 * limit.most:g} % of {sizing.lowest_v:g} V, {limit.by}",
                how=("steady" if drop.steady else "flashing: the most it reads, with peak hold",),
                notes=("by these wires it loses more than that",) if drop.lost_v > limit.most * sizing.lowest_v else (),
                situation=drop.situation,
                draft=limit.draft,
            ),
        )


# -------------------------------------------------------------------------------------------------------------- alarm
def _alarms(model: Model) -> Iterator[tuple[str, Expected]]:
    """For each alarm of the build the volts at which it begins to count, and how long it counts."""
    known = figures()
    cite = known.cites["alarm"]
    for each in alarm_tests(model):
        posts_v, at = each.below_v + each.lost_v, f"the posts of {each.battery}"
        begin = f"engine off, {each.battery} at {known.alarm_from_v:g} V or more, everything on that is on for hours"
        less = (f"the controller reads {each.lost_v:.2f} V less than the posts",) if each.lost_v else ()
        yield (
            f"alarm {each.name} voltage",
            Expected(
                posts_v,
                posts_v - known.alarm_v,
                posts_v + known.alarm_v,
                f"as the build sets it, within {known.alarm_v:g} V; {cite.source}",
                how=(begin, f"let it sink; the volts at {at}, {each.held_s:g} s before the alarm"),
                notes=less,
                draft=cite.is_draft,
            ),
        )
        yield (
            f"alarm {each.name} delay",
            Expected(
                each.held_s,
                max(0.0, each.held_s - known.alarm_s),
                each.held_s + known.alarm_s,
                f"as the build sets it, within {known.alarm_s:g} s; {cite.source}",
                how=(
                    begin,
                    f"from {posts_v:.2f} V at {at} until it is seen and heard",
                    "the engine has to start afterwards",
                ),
                draft=cite.is_draft,
            ),
        )


# ------------------------------------------------------------------------------------------------ reserve, alternator
def _reserve(model: Model) -> Iterator[tuple[str, Expected]]:
    known, sizing = figures(), sizing_figures()
    test = reserve_test(model, after_s=known.reserve_s)
    if test is None:
        return
    load_test, _ = restart_cites()
    how = (
        f"engine warm, batteries full; then engine off for {known.reserve_s / 60:g} min",
        f"{test.load_a:.0f} A from {test.battery}",
    )
    yield (
        "reserve voltage",
        Expected(
            test.posts_v,
            sizing.lowest_v,
            None,
            f"lowest supply at which everything still works, {sizing.cites['supply'].source}",
            how=(*how, f"at the posts of {test.battery}, at the end, everything still on"),
            situation=test.situation,
            draft=sizing.cites["supply"].is_draft,
        ),
    )
    yield (
        "reserve start",
        Expected(
            test.starts.voltage_v,
            test.starts.least_v,
            None,
            f"{load_test.source.partition(':')[0]}; no start fails the test ({known.cites['reserve'].source})",
            how=(
                "loads off, then start the engine",
                f"at the posts of {test.starter}, the least it reads while it cranks; 0 where the engine doesn't start",
            ),
            notes=("a starter that draws less than half of the cranking rating leaves more",),
            situation=test.situation,
            draft=load_test.is_draft or known.cites["reserve"].is_draft,
        ),
    )


def _alternator(model: Model) -> Iterator[tuple[str, Expected]]:
    known = figures()
    idle = alternator_test(model, lasts_s=_IDLE_LASTS_S, full=False)
    if idle is not None:
        yield "alternator idle", _carried(idle, "engine warm and at idle")
    full = alternator_test(model, lasts_s=known.full_s, full=True)
    if full is not None:
        rpm = round(duty_figures().driving_rad_s * 60 / (2 * math.pi), -2)
        how = f"for {known.full_s / 3600:g} h, engine at {rpm:,.0f} /min"
        yield "alternator full", _carried(full, how)


def _carried(test: AlternatorTest, how: str) -> Expected:
    """Posts above what a full battery shows at rest: then it gives nothing."""
    cite = figures().cites["alternator"]
    said = f"{test.takes_a:.0f} A on; up to {test.gives_a:.0f} A are given at {test.under_hood_degc:g} degC"
    found = Expected(
        test.posts_v,
        test.rested_v,
        None,
        f"a full battery gives nothing above it; {cite.source}",
        how=(
            how,
            "at the posts of the first battery; a clamp meter round its cable must show no current out of it",
        ),
        notes=(said,),
        situation=test.situation,
        draft=cite.is_draft,
    )
    if test.posts_v >= test.rested_v:
        return found
    return replace(found, notes=(*found.notes, f"by that the batteries give {test.given_a:.0f} A, and the test fails"))


# -------------------------------------------------------------------------------------------------------------- parked
def _parked(model: Model, packs: tuple[Pack, ...]) -> Expected:
    """Amperes of the sleeping vehicle, of this serial."""
    known, value_a = figures(), parked_draw_a(model)
    limit = most_of(packs, "power.parked-draw")
    whose = f"of serial {model.serial}" if model.serial else "of the base; ask with --serial for a vehicle"
    above = ("by the sheets it takes more than that",) if limit is not None and value_a > limit.most else ()
    scatter = f"{100 * known.current_share:g} % over the sheets, {known.scatter_cite.source.partition(';')[0]}"
    awake_s = max((feed.plus_s for feed in model.feeds), default=0.0)
    wait = (
        f"ignition out, doors shut, {awake_s / 60:.0f} min and until the reading stands still"
        if awake_s
        else ("ignition out, doors shut, until the reading stands still")
    )
    return Expected(
        value_a,
        None,
        limit.most if limit is not None else value_a * (1 + known.current_share),
        limit.by if limit is not None else scatter,
        how=(
            wait,
            "in the negative cable of the battery, never opened while something draws more than the meter takes",
        ),
        notes=(whose, *above),
        draft=limit.draft if limit is not None else False,
    )
