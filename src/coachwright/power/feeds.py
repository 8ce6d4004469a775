"""Is a feed there, in a situation and as time goes on: condition, run-on, disconnect, shedding, low battery?

In a situation a feed is judged as everything else is: once its settings have stood until no timer runs. So ``ignition
plus 30 min`` with the key out is over there. `Clock` and `after` say how it gets there, second by second, for a run
over hours.

A disconnect is closed where the situation doesn't name the control that turns it, also where that control rests at
off: a vehicle in use has its battery on. A circuit of the vehicle has voltage while the signal reads what loads.yaml
says of it; one it says nothing of counts as fed, and `why` says so.

See Also
--------
coachwright.build.model_fitted : feeds as written. coachwright.power.loads : what hangs on them.
coachwright.power.shedding : the stages over time.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.build.circuits import VEHICLE, circuits_of
from coachwright.build.condition import Compare, Condition, OneOf, Plus, Truth, every_node
from coachwright.build.fed import SHORE
from coachwright.build.model import Equipment, Model
from coachwright.build.model_fitted import Feed
from coachwright.control.machine import Watch, build_machine, instants
from coachwright.control.situations import settings_of, settle
from coachwright.kit.by_digest import by_digest
from coachwright.parts.schema import BatteryPart, DisconnectPart, InverterPart
from coachwright.power.load_figures import load_figures
from coachwright.power.shedding import stage_in

Kind = Literal["hot", "ignition", "accessory", "engine", "shore", "vehicle", "other"]
MEMORY = "memory"
_MOST_DEEP = 32


@dataclass(frozen=True, slots=True)
class FeedState:
    """A feed in a situation.

    alive : there is voltage. why : what makes it so, or what takes it away, in words.
    run_on_s : it goes on for so long once its condition ends. [s] asleep : what hangs on it sleeps.
    cut_by_disconnect : that is why it isn't there; memory wires may be spared.
    """

    alive: bool
    why: str
    run_on_s: float = 0.0
    asleep: bool = False
    cut_by_disconnect: bool = False


def kind_of(feed: Feed) -> Kind:
    """What a lead calls it: hot, or by what its condition reads first."""
    if feed.hot:
        return "hot"
    if feed.source_is == "vehicle":
        return "vehicle"
    read: dict[str, set[str]] = {}
    for node in every_node(feed.on_while):
        match node:
            case Truth(name):
                read.setdefault(name, set())
            case Compare(name=name, value=value):
                read.setdefault(name, set()).add(str(value))
            case OneOf(name, values):
                read.setdefault(name, set()).update(map(str, values))
    if "engine" in read:
        return "engine"
    if "accessory" in read.get("ignition", ()):
        return "accessory"
    if "ignition" in read:
        return "ignition"
    return "shore" if SHORE in read else "other"


def fed(model: Model, *, situation: str) -> Mapping[str, FeedState]:
    """Every feed of the build by name, with ``shore`` and the circuits of the vehicle that something hangs on."""
    return _fed(model, situation)


def feed_of(model: Model, name: str, *, situation: str) -> FeedState:
    """One feed; "" is the vehicle itself, which is always there."""
    return _fed(model, situation).get(name, ALWAYS)


def item_fed(model: Model, item: Equipment, *, situation: str) -> FeedState:
    """A piece of equipment: its feed, unless a disconnect breaks it alone, or it is shed by itself."""
    state = feed_of(model, item.feed, situation=situation)
    if not state.alive:
        return state
    feeds = {feed.name for feed in model.feeds}
    for disconnect in open_disconnects(model, situation):
        if item.name in disconnect.breaks and item.name not in feeds:
            return FeedState(False, f"{disconnect.name} is open", cut_by_disconnect=True)
    stage = stage_in(model, situation)
    if isinstance(item.shed, int) and 0 < item.shed <= stage:
        return FeedState(False, f"shed in stage {stage}")
    return state


def spared_memory(model: Model) -> frozenset[str]:
    """Equipment whose memory wire stays fed whatever a disconnect does."""
    ending = f".{MEMORY}"
    return frozenset(
        name.removesuffix(ending) for item in model.equipment for name in item.spares if name.endswith(ending)
    )


def open_disconnects(model: Model, situation: str) -> tuple[Equipment, ...]:
    """The disconnects that a situation names as off."""
    said = dict(model.situation(situation).settings)
    parts = dict(model.parts)
    return tuple(
        item
        for item in model.equipment
        if isinstance(parts.get(item.part), DisconnectPart) and said.get(item.turned_by) == "off"
    )


ALWAYS = FeedState(True, "hangs on the vehicle itself")


@by_digest
def _fed(model: Model, situation: str) -> Mapping[str, FeedState]:
    conditions = _conditions(model, situation)
    settings = dict(settings_of(model, situation))
    opened = open_disconnects(model, situation)
    stage = stage_in(model, situation)
    known: dict[str, FeedState] = {}
    for name in _circuits_used(model):
        known[name] = _circuit(model, name, settings)
    if any(item.feed == SHORE for item in model.equipment):
        known[SHORE] = _shore(settings)
    by_name = {feed.name: feed for feed in model.feeds}
    for feed in model.feeds:
        known[feed.name] = _one(model, feed, by_name, conditions, settings=settings, opened=opened, stage=stage)
    return known


def _one(
    model: Model,
    feed: Feed,
    by_name: Mapping[str, Feed],
    conditions: Mapping[tuple[str, str], bool],
    *,
    settings: Mapping[str, str | float],
    opened: tuple[Equipment, ...],
    stage: int,
    deep_n: int = 0,
) -> FeedState:
    for disconnect in opened:
        if _breaks(disconnect, feed):
            return FeedState(False, f"{disconnect.name} is open", cut_by_disconnect=True)
    if not conditions[feed.name, "on"]:
        return FeedState(False, f"{feed.name} is off: its condition doesn't hold")
    if isinstance(feed.shed, int) and 0 < feed.shed <= stage:
        return FeedState(False, f"shed in stage {stage}")
    supply_v = settings.get("supply")
    if feed.below_v is not None and isinstance(supply_v, float) and supply_v < feed.below_v:
        return FeedState(False, f"cut off: the supply is under {feed.below_v:g} V")
    source = _source(model, feed, by_name, conditions, settings=settings, opened=opened, stage=stage, deep_n=deep_n)
    if not source.alive:
        return source
    asleep = feed.sleep_after is not None and not conditions[feed.name, "awake"]
    return FeedState(True, source.why if not feed.hot else f"hot, from {feed.source}", feed.plus_s, asleep)


def _source(
    model: Model,
    feed: Feed,
    by_name: Mapping[str, Feed],
    conditions: Mapping[tuple[str, str], bool],
    *,
    settings: Mapping[str, str | float],
    opened: tuple[Equipment, ...],
    stage: int,
    deep_n: int,
) -> FeedState:
    """What the feed comes from, through further feeds; build has refused rings."""
    if deep_n > _MOST_DEEP:
        return FeedState(False, f"{feed.source} leads nowhere")

    def further(name: str) -> FeedState:
        return _one(
            model,
            by_name[name],
            by_name,
            conditions,
            settings=settings,
            opened=opened,
            stage=stage,
            deep_n=deep_n + 1,
        )

    match feed.source_is:
        case "alternator":
            running = settings.get("engine") == "running"
            return FeedState(running, "the alternator turns" if running else "the engine is off")
        case "vehicle":
            return _circuit(model, feed.source, settings)
        case "feed":
            return further(feed.source)
        case "equipment":
            item = next(each for each in model.equipment if each.name == feed.source)
            if isinstance(model.part(item.part), BatteryPart) or not item.feed:
                return FeedState(True, f"from {item.name}")
            if item.feed in by_name:
                before = further(item.feed)
            else:
                before = _shore(settings) if item.feed == SHORE else _circuit(model, item.feed, settings)
            running = conditions.get((item.name, "runs"), True)
            if before.alive and isinstance(model.part(item.part), InverterPart) and not running:
                return FeedState(False, f"{item.name} doesn't run")
            return before
        case _:
            return FeedState(True, f"from {feed.source}")


def _breaks(disconnect: Equipment, feed: Feed) -> bool:
    """Does it cut this very feed, or the battery the feed comes from? What it spares stays."""
    if feed.name in disconnect.spares:
        return False
    return feed.name in disconnect.breaks or (feed.source_is != "feed" and feed.source in disconnect.breaks)


@by_digest
def _conditions(model: Model, situation: str) -> Mapping[tuple[str, str], bool]:
    """Whether each feed's condition holds, what keeps it awake does, and what functions run."""
    asked: dict[tuple[str, str], Condition] = {(feed.name, "on"): feed.on_while for feed in model.feeds}
    asked |= {(feed.name, "awake"): feed.sleep_after for feed in model.feeds if feed.sleep_after is not None}
    machine = build_machine(model, watch=[Watch(condition) for condition in asked.values()])
    settled = settle(machine, model.situation(situation))
    *_, last = instants(machine, settled.state, settled.state.inputs, 0)
    found = dict(zip(asked, last.watched, strict=True))
    run_by_us = {name for function in model.functions for name in function.runs}
    return found | {(name, "runs"): name in settled.outputs.runs for name in run_by_us}


def _circuits_used(model: Model) -> frozenset[str]:
    used = {feed for item in model.equipment for feed in (item.feed, *item.also)}
    used |= {feed.source for feed in model.feeds}
    return frozenset(name for name in used if name.partition(".")[0] == VEHICLE and "." in name)


def _circuit(model: Model, name: str, settings: Mapping[str, str | float]) -> FeedState:
    circuit = circuits_of(model.body).get(name.partition(".")[2], "")
    said = load_figures().circuits.get(circuit)
    if said is None or said[0] not in settings:
        return FeedState(True, f"{name} counts as fed: when it is isn't known")
    signal, value = said
    alive = str(settings[signal]) == value
    return FeedState(alive, f"{signal} is {settings[signal]}")


def _shore(settings: Mapping[str, str | float]) -> FeedState:
    plugged = settings.get(SHORE) in ("on", "present", "plugged")
    return FeedState(plugged, "plugged in" if plugged else "nothing is plugged in")


# ------------------------------------------------------------------------------------------------------ as time goes on
@dataclass(frozen=True, slots=True)
class Clock:
    """Where a feed stands as time goes on.

    left_s : of its run-on, infinite while its condition holds. low_s : the battery has been under its limit for so
    long; back_s : over the voltage at which it comes back. end_s : until low voltage ends it, infinite while nothing
    does. told : its line says that it will end; a computer shuts itself down then. [s]
    """

    left_s: float = math.inf
    low_s: float = 0.0
    back_s: float = 0.0
    end_s: float = math.inf
    told: bool = False

    @property
    def alive(self) -> bool:
        """Is it fed? Of its source and its disconnect this says nothing."""
        return self.left_s > 0 and self.end_s > 0


def after(feed: Feed, clock: Clock, *, holds: bool, voltage_v: float, elapsed_s: float) -> Clock:
    """The clock a while later.

    Parameters
    ----------
    holds : the rest of its condition holds during that while (`ignition` of ``ignition plus 30 min``).
    voltage_v : of its battery then. elapsed_s : more than 0.

    Notes
    -----
    What was ended by low voltage comes back once the battery has stood above the recovery voltage of loads.yaml for the
    time said there: the voltage rises as soon as the load is gone, and without that it would come and go. A feed with a
    line goes on for `ends_before_s` after that is told, and once told it goes through with it.
    """
    figures = load_figures()
    left_s = math.inf if holds else _run_on(feed, clock, elapsed_s)
    low = feed.below_v is not None and voltage_v < feed.below_v
    low_s = clock.low_s + elapsed_s if low else 0.0
    back_s = clock.back_s + elapsed_s if voltage_v > figures.back_above_v else 0.0
    ending = not math.isinf(clock.end_s)
    end_s = math.inf
    if ending and back_s < figures.back_held_s:
        end_s = max(0.0, clock.end_s - elapsed_s)
    elif not ending and low and low_s >= feed.below_held_s:
        end_s = feed.ends_before_s if feed.ends_with else 0.0
    told = bool(feed.ends_with) and min(left_s, end_s) <= feed.ends_before_s
    return Clock(left_s, low_s, back_s, end_s, told)


def _run_on(feed: Feed, clock: Clock, elapsed_s: float) -> float:
    if isinstance(feed.on_while, Plus):
        before_s = feed.plus_s if math.isinf(clock.left_s) else clock.left_s
        return max(0.0, before_s - elapsed_s)
    return math.inf if feed.hot else 0.0


__all__ = [
    "ALWAYS",
    "Clock",
    "FeedState",
    "Kind",
    "after",
    "fed",
    "feed_of",
    "item_fed",
    "kind_of",
    "open_disconnects",
    "spared_memory",
]
