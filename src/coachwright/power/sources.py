"""Where does power start: cables of batteries, what breaks them, and the block at which each feed begins?

- A block stands beside the nearest controller. Feeds of one source and one block share a main cable, and each has a
  short wire of its own from there; a feed by itself has its wire all the way.
- A feed of one thing that is always live, or takes much (harness.yaml, direct-above-a), has no block: its fuse is at
  the source.
- What a disconnect breaks begins behind it.
- A battery the shop adds has a return of its own, and is joined to the main one where the build says when.

See Also
--------
coachwright.power.joined : what hangs on the blocks.
"""

from __future__ import annotations

from coachwright.build.circuits import circuits_of
from coachwright.build.model import Equipment, Model
from coachwright.build.model_fitted import Feed
from coachwright.parts.schema import (
    AlarmPart,
    AnyPart,
    BatteryPart,
    ChargerPart,
    ControllerPart,
    DevicePart,
    DisconnectPart,
    DockPart,
    EmitterPart,
    InverterPart,
    RadioPart,
    SirenPart,
)
from coachwright.power.laying import laying
from coachwright.power.spots import NoSpot, Spot, spot_at, spot_of_battery, spot_of_circuit
from coachwright.power.wanted import Joined, NotJoined, Plan, nearest_controller, spot_or_told

MAIN = "main-battery"
_DRAWS = (InverterPart, ChargerPart, DevicePart, DockPart, EmitterPart, SirenPart, AlarmPart, RadioPart)


def find_controllers(plan: Plan) -> None:
    """Note where controllers stand; one without a spot is told as the load that it is."""
    for item in plan.model.equipment:
        if isinstance(plan.model.part(item.part), ControllerPart):
            spot = spot_at(plan.model, item.at)
            if isinstance(spot, Spot):
                plan.controllers[item.name] = spot


def want_batteries(plan: Plan) -> None:
    """Cables of batteries the shop adds, and from batteries to what breaks them."""
    model = plan.model
    main = spot_of_battery(model, MAIN)
    for item in model.equipment:
        part = model.part(item.part)
        subject = f"equipment.{item.name}"
        if isinstance(part, BatteryPart):
            spot = spot_or_told(plan, subject, item.path, spot_at(model, item.at))
            if spot is None:
                continue
            plan.wanted.append(Joined(subject, "return", "battery-return", item.path, spot, None, (subject,)))
            if item.isolator is not None and isinstance(main, Spot):
                plan.wanted.append(Joined(subject, "from main battery", "join", item.path, main, spot))
        elif isinstance(part, DisconnectPart):
            spot = spot_or_told(plan, subject, item.path, spot_at(model, item.at))
            for battery in broken_batteries(model, item):
                begin = spot_or_told(plan, subject, item.path, spot_of_battery(model, battery), by_body=True)
                if spot is not None and begin is not None:
                    goes = f"from {battery.replace('-', ' ')}"
                    broken = (feed for feed in model.feeds if _breaks(item, feed) and feed.source == battery)
                    loads = tuple(dict.fromkeys(load for feed in broken for load in _hangs_on(model, feed)))
                    plan.wanted.append(Joined(subject, goes, "main", item.path, begin, spot, loads))


def want_feeds(plan: Plan) -> None:
    """Main cables to the blocks, and a wire for each feed; a feed of a feed after that one."""
    waiting = [feed for feed in plan.model.feeds if _hangs_on(plan.model, feed)]
    ready: list[Feed] = []
    while waiting:
        names = {feed.name for feed in waiting}
        now = [feed for feed in waiting if feed.source_is != "feed" or feed.source not in names]
        if not now:
            for feed in waiting:
                why = f"{feed.name} is fed by itself, through {feed.source}."
                plan.missed.append(NotJoined(f"feeds.{feed.name}", feed.path, feed.source, why))
            break
        ready += now
        waiting = [feed for feed in waiting if feed not in now]
    together: dict[tuple[Spot, Spot], list[Feed]] = {}
    for feed in ready:
        source = spot_or_told(plan, f"feeds.{feed.name}", feed.path, _source(plan, feed), by_body=True)
        if source is None:
            continue
        block = source if _is_direct(plan.model, feed) else nearest_controller(plan, source) or source
        plan.blocks[feed.name] = block
        together.setdefault((source, block), []).append(feed)
    for (source, block), feeds in together.items():
        _want_block(plan, source, block, feeds)


def broken_batteries(model: Model, item: Equipment) -> tuple[str, ...]:
    """Which batteries a disconnect cuts off: those it names, and those that feed a feed it names."""
    feeds = {feed.name: feed for feed in model.feeds}
    known = battery_names(model)
    found = dict.fromkeys(feeds[name].source if name in feeds and name not in known else name for name in item.breaks)
    return tuple(name for name in found if name in known)


def battery_names(model: Model) -> frozenset[str]:
    """Batteries of the vehicle and of the shop, as feeds name them."""
    added = {item.name for item in model.equipment if isinstance(model.part(item.part), BatteryPart)}
    return frozenset({MAIN, "second-battery", *added})


def disconnects(model: Model) -> list[Equipment]:
    """Whatever cuts batteries off, in the order of the file."""
    return [item for item in model.equipment if isinstance(model.part(item.part), DisconnectPart)]


def current_a(part: AnyPart) -> float:
    """What equipment draws while it does its work, as its sheet says; 0 where that says nothing. [A]"""
    return part.current if isinstance(part, _DRAWS) else 0.0


def circuit_spot(plan: Plan, text: str, *, near: Spot | None) -> Spot | NoSpot:
    """Where a circuit of the vehicle (``vehicle.reverse``) is tapped."""
    name = text.partition(".")[2] or text
    lamp = circuits_of(plan.model.body).get(name, name)
    main = spot_of_battery(plan.model, MAIN)
    near = near or (main if isinstance(main, Spot) else None)
    if near is None:
        return NoSpot(lamp, f"The body doesn't say where the wire of {lamp} can be reached.")
    return spot_of_circuit(plan.model, lamp, near=near)


def _want_block(plan: Plan, source: Spot, block: Spot, feeds: list[Feed]) -> None:
    """One main cable for all feeds of one source and block, and a wire for each feed."""
    loads = {feed.name: tuple(_hangs_on(plan.model, feed)) for feed in feeds}
    begin = source
    if len(feeds) > 1 and source != block:
        subject, path = _owner(plan.model, feeds[0])
        carries = tuple(dict.fromkeys(load for feed in feeds for load in loads[feed.name]))
        goes = f"to the feeds at {block.place}"
        plan.wanted.append(Joined(subject, goes, "main", path, source, block, carries))
        begin = block
    for feed in feeds:
        goes = "feed" if begin == block else f"from {feed.source.replace('-', ' ')}"
        wire = Joined(f"feeds.{feed.name}", goes, "feed", feed.path, begin, block, loads[feed.name], feed=feed.name)
        plan.wanted.append(wire)


def _owner(model: Model, feed: Feed) -> tuple[str, str]:
    """To whom a main cable belongs: the disconnect it starts at, else the battery. Subject, and path to blame."""
    for item in disconnects(model):
        if _breaks(item, feed):
            return f"equipment.{item.name}", item.path
    for item in model.equipment:
        if item.name == feed.source:
            return f"equipment.{item.name}", item.path
    return f"vehicle.{feed.source}", "vehicle.body"


def _source(plan: Plan, feed: Feed) -> Spot | NoSpot:
    model = plan.model
    for item in disconnects(model):
        if _breaks(item, feed):
            return spot_at(model, item.at)
    match feed.source_is:
        case "main-battery" | "second-battery":
            return spot_of_battery(model, feed.source_is)
        case "alternator":  # its cable ends at the battery
            return spot_of_battery(model, MAIN)
        case "equipment":
            return spot_of_battery(model, feed.source)
        case "feed":
            return plan.blocks.get(feed.source) or NoSpot(feed.source, f"The feed {feed.source} is laid nowhere.")
        case "vehicle":
            return circuit_spot(plan, feed.source, near=next(iter(plan.controllers.values()), None))


def _breaks(disconnect: Equipment, feed: Feed) -> bool:
    if feed.name in disconnect.spares:
        return False
    return feed.name in disconnect.breaks or feed.source in disconnect.breaks


def _hangs_on(model: Model, feed: Feed) -> list[str]:
    """Equipment on a feed, by subject; also what hangs on a feed of this feed."""
    own = [f"equipment.{item.name}" for item in model.equipment if feed.name in (item.feed, *item.also)]
    below = [each for each in model.feeds if each.source_is == "feed" and each.source == feed.name]
    return own + [f"equipment.{item.name}" for each in below for item in model.equipment if each.name == item.feed]


def _is_direct(model: Model, feed: Feed) -> bool:
    hangs = [item for item in model.equipment if feed.name in (item.feed, *item.also)]
    if len(_hangs_on(model, feed)) != 1 or len(hangs) != 1:
        return False
    return feed.hot or current_a(model.part(hangs[0].part)) > laying().direct_above_a
