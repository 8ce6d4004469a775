"""What draws current, from which feed, and how much of it in a situation?

A load is what has a supply wire of its own: a head of a lamp, a piece of equipment (several of one kind written with
`count` share one), the memory wire of a radio, the vehicle itself. Its current is a wave at its own test voltage: what
lamps flash, what a radio sends and listens, what a siren sounds. On a feed that isn't there nothing draws.

A radio sends a share of the time (loads.yaml), two of them at once: that is the worst for peak and wire. Docks, sockets
and transformers draw what they draw at most, since nobody says what is plugged in.

See Also
--------
coachwright.power.feeds : which feeds are there. coachwright.power.channels : which channel carries a lamp.
coachwright.power.summed : what waves add up to. coachwright.flash.waves : the lamps.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.build.fed import SHORE
from coachwright.build.model import Equipment, Head, Model
from coachwright.build.places import body_place
from coachwright.control.situations import judged, settings_of
from coachwright.flash.sync import shows_of
from coachwright.flash.waves import currents_of, waves
from coachwright.kit.by_digest import by_digest
from coachwright.kit.wave import Wave
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import (
    AlarmPart,
    ChargerPart,
    ControllerPart,
    DevicePart,
    DisconnectPart,
    DockPart,
    EmitterPart,
    InverterPart,
    IsolatorPart,
    LampPart,
    Part,
    RadioPart,
    SirenPart,
)
from coachwright.parts.standing import Side
from coachwright.power.feeds import MEMORY, feed_of, item_fed, spared_memory
from coachwright.power.load_figures import load_figures

Behaves = Literal["current", "power", "resistance"]
VEHICLE = "vehicle"
LAMPS, EQUIPMENT = "lamps.", "equipment."
USUAL_TEST_V = 12.8
"""Sheets of sirens, alarms and controllers say no test voltage; most of the others say this one. [V]"""
_MS = 1000


@dataclass(frozen=True, slots=True)
class Load:
    """One consumer with a supply wire of its own.

    Parameters
    ----------
    subject : ``lamps.grille.left``, ``lamps.visor.3`` (a head), ``equipment.radio-1``, ``equipment.radio-1.memory`` or
        ``vehicle``. path : build path to blame.
    place, side : where on the body it stands; "" for the vehicle.
    feed : the feed it hangs on; "" is the vehicle itself, or that none is said (PWR-001 tells which).
    behaves : takes the same current, the same power, or as a resistance does, at another voltage.
    test_voltage_v : at which its current was taken; least_voltage_v, most_voltage_v : between which it works, 0 where
        its sheet is silent.
    inrush_a, inrush_s : at the instant it is switched on, and for how long.
    electronics, critical : as rules of wiring mean them. continuous : on for hours. standby_a : while it does nothing.
    most_a : it ever draws, inrush left out.
    """

    subject: str
    path: str
    place: str
    side: Side
    feed: str
    behaves: Behaves
    test_voltage_v: float
    least_voltage_v: float
    most_voltage_v: float
    most_a: float
    standby_a: float
    inrush_a: float
    inrush_s: float
    electronics: bool = False
    critical: bool = False
    continuous: bool = True


@by_digest
def loads_of(model: Model) -> tuple[Load, ...]:
    """Every load of a vehicle: lamps, equipment in the order of the file, then the vehicle itself."""
    return (*_heads(model), *_equipment(model), _vehicle(model))


@by_digest
def load_by_subject(model: Model) -> Mapping[str, Load]:
    """Every load by its subject."""
    return {load.subject: load for load in loads_of(model)}


def controllers_of(model: Model) -> tuple[Equipment, ...]:
    """The controllers, in the order of the file."""
    return tuple(item for item in model.equipment if isinstance(model.part(item.part), ControllerPart))


def lamp_feed(model: Model) -> str:
    """The feed that lamps hang on: that of the first controller which has one; "" where none has."""
    return next((item.feed for item in controllers_of(model) if item.feed), "")


@by_digest
def currents(model: Model, *, situation: str) -> Mapping[str, Wave]:
    """Current of each load in a situation, by its subject, at its test voltage. [A]"""
    found = dict(_lamp_currents(model, situation))
    outputs = judged(model, situation)
    tones = {sound.siren: sound.tone for sound in outputs.sounds if sound.owners}
    run_by_us = {name for function in model.functions for name in function.runs}
    spared = spared_memory(model)
    for item in model.equipment:
        part = model.part(item.part)
        if not _is_load(part):
            continue
        state = item_fed(model, item, situation=situation)
        on = item.name in outputs.runs or item.name not in run_by_us
        if isinstance(part, SirenPart | AlarmPart):
            on = item.name in tones
        if isinstance(part, ChargerPart) and part.input == "mains":
            wave = Wave.constant(0.0 if state.alive else part.standby)
        elif state.alive:
            wave = _drawn(part, on=on and not state.asleep, tone=tones.get(item.name, ""))
            if isinstance(part, RadioPart) and state.asleep:
                wave = Wave.constant(part.standby)
        else:
            kept = state.cut_by_disconnect and item.name in spared
            wave = Wave.constant(_standby(part) if kept else 0.0)
        found[f"{EQUIPMENT}{item.name}"] = wave.scale(item.count)
        for number, feed in enumerate(item.also, start=1):
            there = feed_of(model, feed, situation=situation).alive
            found[memory_subject(item.name, number)] = Wave.constant(item.count * _standby(part) if there else 0.0)
    found[VEHICLE] = Wave.constant(_vehicle_a(model, dict(settings_of(model, situation))))
    return found


def clock_of(model: Model, subject: str) -> str:
    """The clock a load's wave runs on: the sync group of a head; everything else goes at its own pace."""
    if not subject.startswith(LAMPS):
        return subject
    return _clocks(model).get(subject.removeprefix(LAMPS), subject)


@by_digest
def _clocks(model: Model) -> Mapping[str, str]:
    return {head.id: head.sync_group for head in model.heads}


def memory_subject(name: str, number: int = 1) -> str:
    """How a further wire of equipment is called; the first one keeps its memory."""
    return f"{EQUIPMENT}{name}.{MEMORY}" + (f"-{number}" if number > 1 else "")


# ------------------------------------------------------------------------------------------------------------- restart
@dataclass(frozen=True, slots=True)
class Restart:
    """What comes back at once after the engine was cranked, or a feed was joined.

    together_a : everything at the same instant, inrush and all. stepped_a : one after the other, the hardest first,
    with `step_s` between them. steady_a : once all of them run. [A]
    """

    together_a: float
    stepped_a: float
    steady_a: float
    step_s: float
    hardest: str


def restart(model: Model, *, situation: str) -> Restart:
    """The loads of a situation, all switched on anew. The vehicle's own are its maker's matter and count as running."""
    known = load_by_subject(model)
    own_a = currents(model, situation=situation)[VEHICLE].peak()
    rows = []
    for subject, wave in currents(model, situation=situation).items():
        load, peak_a = known[subject], wave.peak()
        if subject == VEHICLE or peak_a <= load.standby_a:
            continue
        share = peak_a / load.most_a if load.most_a else 0.0
        rows.append((max(peak_a, load.inrush_a * share), peak_a, subject))
    rows.sort(key=lambda row: (-row[0], row[2]))
    running_a, stepped_a = own_a, own_a
    for inrush_a, peak_a, _ in rows:
        stepped_a = max(stepped_a, running_a + inrush_a)
        running_a += peak_a
    together_a = own_a + sum(inrush_a for inrush_a, _, _ in rows)
    return Restart(together_a, stepped_a, running_a, load_figures().step_s, rows[0][2] if rows else "")


# --------------------------------------------------------------------------------------------------------------- heads
def _heads(model: Model) -> Iterator[Load]:
    feed, shown = lamp_feed(model), {head for show in shows_of(model) for head in show.heads}
    for head in model.heads:
        part = model.part(head.part)
        if head.reach == "own" and isinstance(part, LampPart):
            yield _own_head(head, part, feed, _standby_of_head(model, head, part))
        elif head.reach == "parallel" and head.id in shown:
            yield _vehicle_head(model, head)


def _own_head(head: Head, part: LampPart, feed: str, standby_a: float) -> Load:
    figures = load_figures()
    exponent = part.voltage_exponent or 0.0
    behaves: Behaves = "current"
    if exponent < figures.regulated_below:
        behaves = "power"
    elif exponent >= figures.filament_from:
        behaves = "resistance"
    most_a = most_of_head(part, head)
    inrush = figures.inrush["filament" if behaves == "resistance" else "led"]
    return Load(
        f"{LAMPS}{head.id}",
        head.path,
        head.place,
        head.side,
        feed,
        behaves,
        part.test_voltage,
        part.least_voltage,
        part.most_voltage,
        most_a + standby_a,
        standby_a,
        most_a * inrush.times,
        inrush.time_s,
    )


def most_of_head(part: LampPart, head: Head) -> float:
    """The most a head ever draws: all its colours where they may burn together, else the hungriest. [A]"""
    drawn = [output.current for output in part.heads[head.head_index].colours.values()]
    return sum(drawn) if part.burns_together else max(drawn, default=0.0)


def _standby_of_head(model: Model, head: Head, part: LampPart) -> float:
    """Its share of what the lamp draws dark."""
    heads_n = sum(other.lamp == head.lamp and other.side == head.side for other in model.heads)
    return float(part.standby) / heads_n


def _vehicle_head(model: Model, head: Head) -> Load:
    """A lamp the vehicle came with, to which we add light; it hangs on the vehicle."""
    spec = model.body.lamps[head.lamp]
    place = spec.heads[head.head_index].place
    most_a = max((a for _, a in currents_of(model, head)), default=0.0)
    inrush = load_figures().inrush["filament"]
    return Load(
        f"{LAMPS}{head.id}",
        head.path,
        place,
        head.side,
        "",
        "resistance",
        spec.test_voltage,
        0.0,
        0.0,
        most_a,
        0.0,
        most_a * inrush.times,
        inrush.time_s,
    )


def _lamp_currents(model: Model, situation: str) -> Iterator[tuple[str, Wave]]:
    known = load_by_subject(model)
    feed = lamp_feed(model)
    there = not feed or feed_of(model, feed, situation=situation).alive
    for wave in waves(model, situation=situation):
        load = known.get(f"{LAMPS}{wave.head}")
        if load is None:
            continue
        if load.feed and not there:
            yield load.subject, Wave.constant(0.0)
        else:
            yield load.subject, wave.current_a.add(Wave.constant(load.standby_a))


# ----------------------------------------------------------------------------------------------------------- equipment
def _is_load(part: Part) -> bool:
    match part:
        case ControllerPart() | SirenPart() | AlarmPart() | RadioPart() | DockPart() | EmitterPart() | DevicePart():
            return True
        case ChargerPart() | InverterPart():
            return True
        case DisconnectPart() | IsolatorPart():
            return bool(part.standby > 0)
        case _:
            return False


def _equipment(model: Model) -> Iterator[Load]:
    lines = {feed.name for feed in model.feeds if feed.ends_with}
    for item in model.equipment:
        part = model.part(item.part)
        if not _is_load(part):
            continue
        side, place = _stands(model, item)
        feed = "" if item.feed == SHORE else item.feed
        computer = isinstance(part, DockPart) and item.feed in lines
        inrush = load_figures().inrush[_inrush_of(part)]
        most_a = item.count * _most(part)
        whole = Load(
            f"{EQUIPMENT}{item.name}",
            item.path,
            place,
            side,
            feed,
            _behaves(part),
            getattr(part, "test_voltage", USUAL_TEST_V),
            getattr(part, "least_voltage", 0.0),
            getattr(part, "most_voltage", 0.0),
            most_a,
            item.count * _standby(part),
            most_a * inrush.times,
            inrush.time_s,
            electronics=isinstance(part, ControllerPart | RadioPart | DockPart),
            critical=isinstance(part, RadioPart | SirenPart | ControllerPart) or computer,
            continuous=not isinstance(part, SirenPart | AlarmPart | EmitterPart),
        )
        yield whole
        for number, also in enumerate(item.also, start=1):
            standby_a = item.count * _standby(part)
            yield Load(
                memory_subject(item.name, number),
                item.path,
                place,
                side,
                also,
                "current",
                whole.test_voltage_v,
                whole.least_voltage_v,
                whole.most_voltage_v,
                standby_a,
                standby_a,
                standby_a,
                0.0,
                electronics=whole.electronics,
                critical=whole.critical,
            )


def _stands(model: Model, item: Equipment) -> tuple[Side, str]:
    spot = body_place(model, item.at)
    if spot in model.body.places:
        return "", spot
    name, side = side_and_name(spot)
    return side, name


def _behaves(part: Part) -> Behaves:
    """Radios, docks, chargers and transformers hold the power they give; of the rest no sheet says more."""
    if isinstance(part, RadioPart | DockPart | InverterPart | ChargerPart | ControllerPart):
        return "power"
    return "current"


def _inrush_of(part: Part) -> str:
    if isinstance(part, InverterPart):
        return "inverter"
    if isinstance(part, DevicePart) and any(word in part.what for word in ("fan", "compressor", "pump", "motor")):
        return "motor"
    return "electronics"


def _standby(part: Part) -> float:
    return float(getattr(part, "standby", 0.0))


def _most(part: Part) -> float:
    """The most it draws, test voltage. [A]"""
    if isinstance(part, ChargerPart):
        return float(part.input_current if part.input == "battery" else part.standby)
    return max(float(getattr(part, "current", 0.0)) if _draws_current(part) else 0.0, _standby(part))


def _draws_current(part: Part) -> bool:
    """Is its `current` what it draws? Of a disconnect or an isolator it is what passes through."""
    return not isinstance(part, DisconnectPart | IsolatorPart)


def _drawn(part: Part, *, on: bool, tone: str) -> Wave:
    """Current of one, fed. on : it runs or sounds, or nobody has to run it."""
    standby_a = _standby(part)
    if not on:
        return Wave.constant(standby_a)
    match part:
        case SirenPart() | AlarmPart():
            figures = load_figures()
            return Wave.constant(part.current * figures.tones.get(tone, figures.other_tone))
        case RadioPart():
            return _radio(part)
        case ChargerPart():
            return Wave.constant(part.input_current)
        case DevicePart() | DockPart() | EmitterPart() | InverterPart():
            return Wave.constant(max(part.current, standby_a))
        case _:
            return Wave.constant(standby_a)


def _radio(part: RadioPart) -> Wave:
    figures = load_figures()
    cycle_ms = round(figures.radio_cycle_s * _MS)
    sends_ms = round(cycle_ms * figures.sends_share)
    return Wave.of([(sends_ms, part.current), (cycle_ms - sends_ms, part.receive_current)])


# ------------------------------------------------------------------------------------------------------------- vehicle
def _vehicle(model: Model) -> Load:
    body = model.body
    most_a = max(body.base_load, body.parked_draw)
    return Load(
        VEHICLE,
        "vehicle.body",
        "",
        "",
        "",
        "current",
        body.idle_voltage,
        0.0,
        0.0,
        most_a,
        body.parked_draw,
        most_a,
        0.0,
    )


def _vehicle_a(model: Model, settings: Mapping[str, str | float]) -> float:
    """What the vehicle itself draws: its base load while the engine runs, a share of it with the ignition on alone."""
    body, figures = model.body, load_figures()
    base_a, parked_a = float(body.base_load), float(body.parked_draw)
    match settings.get("ignition", "run"):
        case "out":
            return parked_a
        case "accessory":
            return max(parked_a, base_a * figures.accessory_share)
        case _ if settings.get("engine", "running") == "off":
            return max(parked_a, base_a * figures.engine_off_share)
        case _:
            return base_a
