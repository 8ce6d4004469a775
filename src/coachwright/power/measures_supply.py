"""Windows of the supply: voltage at each lamp, what the alternator has left, what a parked vehicle takes.

See Also
--------
coachwright.power.wired_network : voltages. coachwright.power.duty : the day. coachwright.power.restart : parked.
"""

from __future__ import annotations

import math

from coachwright.build.model import Model
from coachwright.kit.measure import Measure, facts, measures
from coachwright.parts.schema import LampPart
from coachwright.power.alternator import most_a
from coachwright.power.charge import reserve_share_used
from coachwright.power.duty import engine_runs, least_continuous, stretch_of
from coachwright.power.feeds import kind_of
from coachwright.power.loads import LAMPS, VEHICLE, currents, load_by_subject, loads_of
from coachwright.power.restart import parked_s, restart
from coachwright.power.supply_of import supply_of
from coachwright.power.wired_network import voltages

_BODY = "vehicle.body"
_NO_BATTERY = "the body names no battery"


@measures("power.lamp-voltage-share", kind="share")
def lamp_voltage_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of its design voltage does each lamp get, at its worst instant?

    Notes
    -----
    With all wires, fuses, returns and the body's metal, and all that is on in the situation; the design voltage is that
    of the lamp's sheet. With the engine running the alternator's voltage stands at the posts.
    """
    engine = "running" if engine_runs(model, situation) else "off"
    known = load_by_subject(model)
    worst: dict[str, tuple[float, str]] = {}
    for subject, found in voltages(model, situation=situation).items():
        if not subject.startswith(LAMPS):
            continue
        load = known[subject]
        row = (found.least_v / load.test_voltage_v, f"{subject.removeprefix(LAMPS)}, {found.least_v:.2f} V")
        worst[load.path] = min(worst.get(load.path, row), row)
    return tuple(
        Measure(
            "power.lamp-voltage-share",
            share,
            "share",
            about=path,
            blame=(path,),
            where=where,
            situation=situation,
            facts=facts(required_by_law=_required(model, path), engine=engine),
        )
        for path, (share, where) in worst.items()
    )


@measures("power.lamp-light-share", kind="share")
def lamp_light_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of the light on its sheet does each lamp give at the voltage it gets?

    Notes
    -----
    (V / Vt)^k with the exponent of the part; a lamp whose sheet has none keeps its light.
    """
    worst: dict[str, tuple[float, str]] = {}
    by_subject = voltages(model, situation=situation)
    for head in model.heads:
        part, found = model.part(head.part), by_subject.get(f"{LAMPS}{head.id}")
        if found is None or not isinstance(part, LampPart):
            continue
        share = math.pow(max(found.mean_v, 0.0) / part.test_voltage, part.voltage_exponent or 0.0)
        row = (share, f"{head.id}, {found.mean_v:.2f} V")
        worst[head.path] = min(worst.get(head.path, row), row)
    return tuple(
        Measure("power.lamp-light-share", share, "share", about=path, blame=(path,), where=where, situation=situation)
        for path, (share, where) in worst.items()
    )


@measures("power.idle-margin", kind="current", under_hood="temperature")
def idle_margin(model: Model, *, situation: str, under_hood: float) -> tuple[Measure, ...]:
    """How much does the alternator give at idle, that hot, beyond what is on?

    Notes
    -----
    Mean current of everything on, at its test voltage; asked wherever the engine runs, for whoever drives may stop.
    """
    supply = supply_of(model).supply
    if not engine_runs(model, situation):
        return ()
    if supply is None or supply.alternator is None:
        return (_not_known("power.idle-margin", "current", "the body says nothing of its alternator", situation),)
    idle = supply.alternator.fast_idle_rad_s or supply.alternator.idle_rad_s
    gives_a = most_a(supply.alternator, engine_rad_s=idle, temperature_degc=under_hood)
    takes_a = math.fsum(wave.mean() for wave in currents(model, situation=situation).values())
    return (
        Measure(
            "power.idle-margin",
            gives_a - takes_a,
            "current",
            about=f"situations.{situation}",
            blame=(f"situations.{situation}", _BODY),
            where=f"{gives_a:.0f} A at idle, {takes_a:.0f} A on",
            situation=situation,
        ),
    )


@measures("power.parked-draw", kind="current", per_situation=False)
def parked_draw(model: Model) -> tuple[Measure, ...]:
    """What does the sleeping vehicle draw?"""
    draw_a = parked_draw_a(model)
    return (
        Measure(
            "power.parked-draw",
            draw_a,
            "current",
            about=_BODY,
            blame=("equipment", "feeds", _BODY),
            where=", ".join(f"{name} {1000 * each:.0f} mA" for name, each in _parked(model)[:4]),
            facts=facts(serial=model.serial),
        ),
    )


@measures("power.parked-time", kind="time", per_situation=False)
def parked_time(model: Model) -> tuple[Measure, ...]:
    """How long can the vehicle stand until it no longer starts?"""
    supply = supply_of(model).supply
    if supply is None:
        return (_not_known("power.parked-time", "time", _NO_BATTERY, serial=model.serial),)
    least = restart(supply.main, 1.0).least_share
    time_s = parked_s(supply.main, drain_a=parked_draw_a(model), least_share=least) if least <= 1.0 else 0.0
    return (
        Measure(
            "power.parked-time",
            time_s,
            "time",
            about=_BODY,
            blame=("equipment", "feeds", _BODY),
            where=f"{supply.main.name}, {1000 * parked_draw_a(model):.0f} mA",
            facts=facts(serial=model.serial),
        ),
    )


@measures("power.reserve-share-used", kind="share", per_situation=False, after="time")
def reserve_used(model: Model, *, after: float) -> tuple[Measure, ...]:
    """How much of the reserve capacity does the least continuous load use, engine off, after a time?

    Notes
    -----
    The load of each situation that lasts with the engine off, else of each that stands for blocking; by battery.
    """
    described = supply_of(model)
    if described.supply is None:
        return (_not_known("power.reserve-share-used", "share", _NO_BATTERY),)
    worst: tuple[float, str, str] | None = None
    for name in least_continuous(model):
        stretch = stretch_of(model, model.situation(name), described)
        for bus, battery in (("main", described.supply.main), ("second", described.supply.second)):
            if battery is None or battery.reserve_s <= 0:
                continue
            draws = [draw for draw in stretch.draws if draw.bus == bus]
            amperes = math.fsum(_at_twelve_a(draw.behaves, draw.value) for draw in draws)
            row = (reserve_share_used(battery, load_a=amperes, after_s=after), name, f"{battery.name}, {amperes:.1f} A")
            worst = row if worst is None else max(worst, row)
    if worst is None:
        return ()
    share, name, where = worst
    return (
        Measure(
            "power.reserve-share-used",
            share,
            "share",
            about=f"situations.{name}",
            blame=(f"situations.{name}", _BODY),
            where=f"{where} in {name}",
        ),
    )


@measures("power.joined-batteries-alike", kind="yes-no", per_situation=False)
def joined_batteries_alike(model: Model) -> tuple[Measure, ...]:
    """Are batteries that are joined of one kind and size?

    Notes
    -----
    Their age is for who fits them.
    """
    supply = supply_of(model).supply
    if supply is None or supply.second is None or supply.tie is None or supply.tie.by == "charger":
        return ()
    path = supply_of(model).second_path or _BODY
    alike = (
        supply.main.chemistry == supply.second.chemistry
        and abs(supply.main.capacity_as - supply.second.capacity_as) <= 0.1 * supply.main.capacity_as
    )
    return (
        Measure(
            "power.joined-batteries-alike",
            alike,
            "yes-no",
            about=path,
            blame=(path, _BODY),
            where=f"{supply.main.name} and {supply.second.name}",
        ),
    )


def parked_draw_a(model: Model) -> float:
    """Of the sleeping vehicle: its own, and what stands by on feeds that are always live. [A]"""
    return math.fsum(each for _, each in _parked(model))


def _parked(model: Model) -> list[tuple[str, float]]:
    """Each with what it takes, the most first."""
    hot = {feed.name for feed in model.feeds if kind_of(feed) == "hot"}
    rows = [("the vehicle itself", float(model.body.parked_draw))]
    rows += [
        (load.subject.partition(".")[2], load.standby_a)
        for load in loads_of(model)
        if load.subject != VEHICLE and load.feed in hot and load.standby_a > 0
    ]
    return sorted(rows, key=lambda row: (-row[1], row[0]))


def _at_twelve_a(behaves: str, value: float) -> float:
    """Current at the voltage of a battery that is being emptied."""
    return value / 12.0 if behaves == "power" else 12.0 / value if behaves == "resistance" else value


def _required(model: Model, path: str) -> str:
    """Does the road law ask for a lamp: one the vehicle came with that its body marks so?"""
    name = path.rpartition(".")[2]
    spec = model.body.lamps.get(name)
    return "yes" if spec is not None and spec.required else "no"


def _not_known(name: str, kind: str, why: str, situation: str = "", **said: str) -> Measure:
    return Measure(name, None, kind, about=_BODY, blame=(_BODY,), situation=situation, facts=facts(**said), why_not=why)
