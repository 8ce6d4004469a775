"""The duty day of a build: each situation that lasts, with its loads, its engine and its heat, and how it goes.

A situation that says `lasts` is a stretch of the day, in the order of the file, the batteries full at its beginning. By
itself each of them is also gone through from full batteries: that is the question of the lead, four hours on scene.

See Also
--------
coachwright.power.day : a day. coachwright.power.supply_of : what a build says of its batteries. duty.yaml : the rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from coachwright.build.model import Model, Situation
from coachwright.control.situations import settings_of
from coachwright.kit.by_digest import by_digest
from coachwright.kit.figures import sheet_in
from coachwright.power.bus import Bus
from coachwright.power.day import Day, Draw, Stretch, Watch
from coachwright.power.day_run import run_day
from coachwright.power.feeds import feed_of
from coachwright.power.loads import Load, currents, load_by_subject
from coachwright.power.supply_of import Described, supply_of

DATA = "duty.yaml"
ALARM = "low-voltage alarm"
_LEAST_A = 1e-6


@dataclass(frozen=True, slots=True)
class DutyFigures:
    """Everything the file says. driving_rad_s : engine. idling_degc, driving_degc : round the alternator."""

    driving_rad_s: float
    idling_degc: float
    driving_degc: float
    alarm: Watch
    metal_ohm: float


@dataclass(frozen=True, slots=True)
class Duty:
    """A row of stretches and how it went. day : None where the body names no battery, or nothing lasts."""

    described: Described
    stretches: tuple[Stretch, ...]
    watches: tuple[Watch, ...]
    day: Day | None


@by_digest
def duty_day(model: Model) -> Duty:
    """All situations that last, one after the other."""
    return _gone_through(model, tuple(each for each in model.situations if each.lasts_s > 0))


@by_digest
def duty_of(model: Model, situation: str) -> Duty:
    """One situation by itself, from full batteries."""
    return _gone_through(model, (model.situation(situation),))


def lasting(model: Model) -> tuple[str, ...]:
    """Names of the situations that say how long they last."""
    return tuple(each.name for each in model.situations if each.lasts_s > 0)


def least_continuous(model: Model) -> tuple[str, ...]:
    """Situations of the least continuous load: what lasts with the engine off, else what stands for blocking."""
    off = tuple(name for name in lasting(model) if not engine_runs(model, name))
    return off or tuple(each.name for each in model.situations if each.stands_for == "blocking")


def engine_runs(model: Model, situation: str) -> bool:
    """Does the engine run in it?"""
    return dict(settings_of(model, situation)).get("engine") == "running"


def stretch_of(model: Model, situation: Situation, described: Described) -> Stretch:
    """A situation as a stretch of a day."""
    figures, settings = duty_figures(), dict(settings_of(model, situation.name))
    runs, drives = engine_runs(model, situation.name), _number(settings.get("speed")) > 0
    charging = model.body.charging
    idle_rad_s = float(charging.idle) if charging is not None else 0.0
    broken: Bus | Literal[""] = ""
    if described.breaks and any(
        dict(situation.settings).get(item.turned_by) == "off" for item in model.equipment if item.breaks
    ):
        broken = "second" if described.broken == "second" else "main"
    return Stretch(
        situation.name,
        situation.lasts_s,
        tuple(_draws(model, situation.name, described)),
        (figures.driving_rad_s if drives else idle_rad_s) if runs else 0.0,
        figures.driving_degc if drives else figures.idling_degc,
        settings.get("shore") == "on",
        broken,
    )


def draw_of(load: Load, mean_a: float, described: Described) -> Draw:
    """A load as a day sees it: the mean of what flashes, by how the load behaves."""
    value, behaves = mean_a, load.behaves
    if behaves == "power":
        value = mean_a * load.test_voltage_v
    elif behaves == "resistance":
        value = load.test_voltage_v / mean_a
    sheds = (*described.sheds.get(f"feeds.{load.feed}", ()), *described.sheds.get(load.path, ()))
    return Draw(
        load.subject,
        described.bus_of.get(load.feed, "main"),
        behaves,
        value,
        tuple((name, 0.0) for name in dict.fromkeys(sheds)),
        load.feed in described.spares or load.subject.removeprefix("equipment.") in described.spares,
    )


@cache
def duty_figures() -> DutyFigures:
    """The data file."""
    sheet = sheet_in("coachwright.power", DATA)
    number = sheet.number

    return DutyFigures(
        number("engine", "driving-rad-s"),
        number("under-hood", "idling-degc"),
        number("under-hood", "driving-degc"),
        Watch(
            ALARM,
            "main",
            number("alarm", "below-v"),
            number("alarm", "below-s"),
            number("alarm", "above-v"),
            number("alarm", "above-s"),
            alarms=True,
        ),
        number("body", "metal-ohm"),
    )


def _gone_through(model: Model, situations: tuple[Situation, ...]) -> Duty:
    described = supply_of(model)
    watches = described.watches
    if not any(watch.alarms for watch in watches):
        watches = (*watches, duty_figures().alarm)
    stretches = tuple(stretch_of(model, each, described) for each in situations if each.lasts_s > 0)
    if described.supply is None or not stretches:
        return Duty(described, stretches, watches, None)
    return Duty(described, stretches, watches, run_day(described.supply, stretches, watches))


def _draws(model: Model, situation: str, described: Described) -> Iterator[Draw]:
    known = load_by_subject(model)
    for subject, wave in currents(model, situation=situation).items():
        mean_a = wave.mean()
        load = known.get(subject)
        if load is None or mean_a <= _LEAST_A:
            continue
        if load.feed in described.bus_of and not feed_of(model, load.feed, situation=situation).alive:
            continue
        yield draw_of(load, mean_a, described)


def _number(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0
