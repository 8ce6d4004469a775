"""What should the electrical tests on the finished vehicle show: current, drop, alarm, reserve, alternator?

Worked out from the same loads, wires and batteries as everything else, with new batteries, full, at 25 degC. How long a
test lasts and where it fails is for who asks: here is only what a sound vehicle does.

See Also
--------
coachwright.power.wired_network : voltages. coachwright.power.day_run : batteries over time.
coachwright.proof.bench_supply : limits round these figures, for the bench sheets.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.wave import Wave
from coachwright.parts.schema import ChargerPart, DockPart, InverterPart, RadioPart, SirenPart
from coachwright.power.alternator import most_a
from coachwright.power.bus import Bus, Supply
from coachwright.power.charge import Battery, rest_v
from coachwright.power.day import Stretch
from coachwright.power.day_run import run_day
from coachwright.power.duty import duty_figures, engine_runs, least_continuous, stretch_of
from coachwright.power.loads import EQUIPMENT, LAMPS, VEHICLE, clock_of, controllers_of, currents, loads_of
from coachwright.power.restart import Restart, restart
from coachwright.power.summed import Summed, summed
from coachwright.power.supply_of import supply_of
from coachwright.power.wired_network import voltages


@dataclass(frozen=True, slots=True)
class LampDrop:
    """Lost between the posts of its battery and a lamp, out and back, at the worst instant of a situation. [V]"""

    situation: str
    lost_v: float
    steady: bool


@dataclass(frozen=True, slots=True)
class AlarmTest:
    """An alarm that a build sets off: under `below_v` at the controller for `held_s`.

    name : of its stage. battery : to measure at. lost_v : the controller sees so much less than its posts, engine off.
    """

    name: str
    battery: str
    below_v: float
    held_s: float
    lost_v: float


@dataclass(frozen=True, slots=True)
class ReserveTest:
    """The least continuous load, engine off. battery : that carries most of it; posts_v : at its posts at the end.

    load_a : it carries then, on average. starts : how the engine is started afterwards, by `starter`.
    """

    situation: str
    battery: str
    load_a: float
    posts_v: float
    starter: str
    starts: Restart


@dataclass(frozen=True, slots=True)
class AlternatorTest:
    """Alternator against a load.

    posts_v : of the first battery at the end. rested_v : of a full one that gives and takes nothing. gives_a : the
    alternator, at most, at that speed and heat. takes_a : what is on, at its test voltage. given_a : by the batteries.
    """

    situation: str
    posts_v: float
    rested_v: float
    gives_a: float
    takes_a: float
    given_a: float
    under_hood_degc: float


@dataclass(frozen=True, slots=True)
class FitCurrent:
    """What was fitted draws in a situation. sure : sirens silenced, radios off, docks, sockets and inverters empty.

    more_a : what these would draw on top at most. [A]
    """

    sure: Summed
    more_a: float


# ---------------------------------------------------------------------------------------------------------- everything
def fit_current(model: Model, situation: str) -> FitCurrent:
    """Current of everything with a wire of ours in a situation, at test voltages; the vehicle's own is left out."""
    drawn = currents(model, situation=situation)
    own = {f"{LAMPS}{head.id}" for head in model.heads if head.reach == "own"}
    silent = {
        f"{EQUIPMENT}{item.name}"
        for item in model.equipment
        if isinstance(model.part(item.part), SirenPart | RadioPart | DockPart | InverterPart | ChargerPart)
    }
    by_clock: dict[str, list[Wave]] = {}
    more_a = 0.0
    for load in loads_of(model):
        wave = drawn.get(load.subject)
        if wave is None or load.subject == VEHICLE or (load.subject.startswith(LAMPS) and load.subject not in own):
            continue
        if load.subject in silent:
            standby_a = min(load.standby_a, wave.peak())
            more_a += wave.peak() - standby_a
            wave = Wave.constant(standby_a)
        by_clock.setdefault(clock_of(model, load.subject), []).append(wave)
    return FitCurrent(summed({clock: tuple(waves) for clock, waves in by_clock.items()}), more_a)


def controller_v(model: Model, situation: str) -> float | None:
    """Mean voltage at the controller that gets least; None where none is fed by a wire that is known. [V]"""
    found = voltages(model, situation=situation)
    known = [found[name].mean_v for name in _controllers(model) if name in found]
    return min(known) if known and supply_of(model).supply is not None else None


# ---------------------------------------------------------------------------------------------------------------- drop
@by_digest
def lamp_drops(model: Model) -> Mapping[str, LampDrop]:
    """Of each lamp of ours (``grille.left``) the most its wires ever lose, and where. Its worst head counts."""
    found: dict[str, LampDrop] = {}
    if supply_of(model).supply is None:
        return found
    lamp_of = {
        f"{LAMPS}{head.id}": f"{head.lamp}.{head.side}" if head.side else head.lamp
        for head in model.heads
        if head.reach == "own"
    }
    standby = {load.subject: load.standby_a for load in loads_of(model)}
    for situation in model.situations:
        drawn = currents(model, situation=situation.name)
        for subject, at in voltages(model, situation=situation.name).items():
            if subject not in lamp_of or drawn[subject].peak() <= standby[subject] + _DARK_A:
                continue
            lamp, before = lamp_of[subject], found.get(lamp_of[subject])
            if before is None or at.lost_v > before.lost_v + _SAME_V:
                found[lamp] = LampDrop(situation.name, at.lost_v, drawn[subject].is_constant)
    return found


_DARK_A, _SAME_V = 1e-6, 1e-6


# --------------------------------------------------------------------------------------------------------------- alarm
def alarm_tests(model: Model) -> tuple[AlarmTest, ...]:
    """Every alarm that the build itself sets off, the first to come before the others."""
    described = supply_of(model)
    if described.supply is None:
        return ()
    names = [each.name for each in model.situations]
    names.sort(key=lambda name: engine_runs(model, name))  # the test is done with the engine off, where there is such
    found = voltages(model, situation=names[0]) if names else {}
    lost_v = max((found[name].lost_v for name in _controllers(model) if name in found), default=0.0)
    return tuple(
        AlarmTest(
            watch.name.removeprefix("memory."),
            _battery(described.supply, watch.bus).name,
            watch.below_v,
            watch.below_s,
            lost_v,
        )
        for watch in described.watches
        if watch.alarms
    )


# ------------------------------------------------------------------------------------------------ reserve, alternator
def reserve_test(model: Model, *, after_s: float) -> ReserveTest | None:
    """The least continuous load with the engine off, from full, and the start afterwards; None without battery or load.

    Of several situations the one with the largest load.
    """
    described = supply_of(model)
    asked = [stretch_of(model, model.situation(name), described) for name in least_continuous(model)]
    if described.supply is None or not asked:
        return None
    supply = described.supply
    stretch = max(asked, key=_takes_a)
    day = run_day(supply, [replace(stretch, lasts_s=after_s, engine_rad_s=0.0, shore=False)], described.watches)
    carries_a = {"main": float(day.main_a[-1]), "second": float(day.second_a[-1])}
    bus: Bus = "second" if carries_a["second"] > carries_a["main"] else "main"
    posts_v = float((day.second_v if bus == "second" else day.main_v)[-1])
    starts = restart(supply.main, float(day.main_share[-1]))
    return ReserveTest(stretch.name, _battery(supply, bus).name, carries_a[bus], posts_v, supply.main.name, starts)


def alternator_test(model: Model, *, lasts_s: float, full: bool) -> AlternatorTest | None:
    """The engine against a load, full batteries: at idle the least continuous one, or (`full`) as if driven the most.

    At idle means at fast idle where the body has one: it comes by itself.

    None where the body says nothing of its alternator, or no situation of that kind has the engine running.
    """
    described, figures = supply_of(model), duty_figures()
    supply = described.supply
    if supply is None or supply.alternator is None:
        return None
    names = [each.name for each in model.situations if full or each.stands_for == "blocking"]
    asked = [stretch_of(model, model.situation(name), described) for name in names if engine_runs(model, name)]
    if not asked:
        return None
    chosen, alternator = max(asked, key=_takes_a), supply.alternator
    speed_rad_s = figures.driving_rad_s if full else alternator.fast_idle_rad_s or alternator.idle_rad_s
    stretch = replace(
        chosen, lasts_s=lasts_s, engine_rad_s=speed_rad_s, under_hood_degc=figures.idling_degc, shore=False
    )
    day = run_day(supply, [stretch], described.watches)
    return AlternatorTest(
        chosen.name,
        float(day.main_v[-1]),
        rest_v(supply.main, 1.0),
        most_a(alternator, engine_rad_s=speed_rad_s, temperature_degc=figures.idling_degc),
        math.fsum(wave.mean() for wave in currents(model, situation=chosen.name).values()),
        float(day.main_a[-1] + day.second_a[-1]),
        figures.idling_degc,
    )


def _takes_a(stretch: Stretch) -> float:
    """What a stretch draws, roughly: enough to tell which draws most. [A]"""
    return math.fsum(
        draw.value / _ABOUT_V
        if draw.behaves == "power"
        else _ABOUT_V / draw.value
        if draw.behaves == "resistance"
        else draw.value
        for draw in stretch.draws
    )


_ABOUT_V = 12.0


def _battery(supply: Supply, bus: Bus) -> Battery:
    return supply.second if bus == "second" and supply.second is not None else supply.main


def _controllers(model: Model) -> tuple[str, ...]:
    return tuple(f"{EQUIPMENT}{item.name}" for item in controllers_of(model))
