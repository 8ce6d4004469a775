"""Which batteries, alternator, isolator, charger and low-voltage settings does a build describe?

Only what stands in the build and its parts is read; what a day needs and nobody says is named in `Described.assumed`.

See Also
--------
coachwright.power.day : lives on it. coachwright.power.feeds : which feed is alive when.
coachwright.power.shedding : reads stages and recovery.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from coachwright.build.condition import Compare, Condition
from coachwright.build.model import Equipment, Model
from coachwright.build.model_fitted import Feed
from coachwright.kit.by_digest import by_digest
from coachwright.parts.schema import (
    BatteryPart,
    ChargerPart,
    ControllerPart,
    DisconnectPart,
    IsolatorPart,
)
from coachwright.power.alternator import alternator_of
from coachwright.power.bus import Bus, Charger, Supply, Tie
from coachwright.power.charge import SHEET_DEGC, Battery, battery_of
from coachwright.power.day import Watch
from coachwright.power.shedding import back_of, low_moves, recovery, shedding_of, supply_held

_CABLE_OHM = 2e-3
"""Of the cable between two batteries, out and back, until the harness says its own. House."""


@dataclass(frozen=True, slots=True)
class Described:
    """What a build says of its supply.

    Parameters
    ----------
    supply : None where the body names no battery.
    second_path : build path of the second battery, or "".
    bus_of : bus each feed hangs on; the first for one from elsewhere (an output of the vehicle, the alternator).
    watches : low-voltage cuts of feeds (``feeds.NAME``) and stages of memory (``memory.NAME.VALUE``), or those of
        loads.yaml where no memory keeps one (``shed.1``), highest first.
    sheds : watches that take a feed or a piece of equipment off, by build path.
    breaks, spares : what the disconnect cuts off and what it spares, as written; broken : bus it cuts off whole, or "".
    assumed : what nobody says, in words.
    """

    supply: Supply | None
    second_path: str
    bus_of: Mapping[str, Bus]
    watches: tuple[Watch, ...]
    sheds: Mapping[str, tuple[str, ...]]
    breaks: tuple[str, ...]
    spares: tuple[str, ...]
    broken: str
    assumed: tuple[str, ...]


@by_digest
def supply_of(
    model: Model, *, temperature_degc: float = SHEET_DEGC, age_years: float = 0.0, cable_ohm: float = _CABLE_OHM
) -> Described:
    """What a build says of its supply, on a day of one temperature of the batteries and at one age of them.

    Parameters
    ----------
    cable_ohm : between the two batteries, out and back.
    """
    assumed: list[str] = []
    second = _second(model)
    bus_of = {feed.name: _bus_of(feed, model, second) for feed in model.feeds}
    supply = None
    if model.body.battery is not None:

        def battery(part: str, name: str) -> Battery:
            found = model.part(part)
            assert isinstance(found, BatteryPart)  # the file door and the checks of bodies let no other through
            return battery_of(found, name=name, temperature_degc=temperature_degc, age_years=age_years)

        charging = model.body.charging
        supply = Supply(
            battery(model.body.battery.part, "main-battery"),
            battery(second[0], second[1]) if second else None,
            alternator_of(charging) if charging is not None else None,
            _tie(model, second, cable_ohm, assumed) if second else None,
            _shore_charger(model),
        )
        if charging is None:
            assumed.append("The body says nothing of its alternator: the engine brings nothing.")
    watches = tuple(sorted((*_feed_watches(model, bus_of, assumed), *_stages(model, bus_of)), key=_highest_first))
    breaks, spares = _disconnect(model)
    names_second = {second[1]} if second else set()
    broken = "second" if names_second & set(breaks) else "main" if "main-battery" in breaks else ""
    return Described(
        supply,
        second[2] if second else "",
        bus_of,
        watches,
        _sheds(model, watches),
        breaks,
        spares,
        broken,
        tuple(assumed),
    )


def _second(model: Model) -> tuple[str, str, str] | None:
    """Part, name and build path of the second battery: one that is fitted before one the vehicle came with."""
    for item in model.equipment:
        if isinstance(model.part(item.part), BatteryPart):
            return item.part, item.name, item.path
    came = model.body.second_battery
    return (came.part, "second-battery", "vehicle.body") if came is not None else None


def _bus_of(feed: Feed, model: Model, second: tuple[str, str, str] | None) -> Bus:
    """Follows a feed to its battery; feeds never go round in a circle (the file door sees to it)."""
    if feed.source_is == "second-battery":
        return "second"
    if feed.source_is == "equipment":
        if second is not None and feed.source == second[1]:
            return "second"
        item = next((each for each in model.equipment if each.name == feed.source), None)
        above = next((each for each in model.feeds if item is not None and each.name == item.feed), None)
    elif feed.source_is == "feed":
        above = next((each for each in model.feeds if each.name == feed.source), None)
    else:
        above = None
    return _bus_of(above, model, second) if above is not None and above is not feed else "main"


# --------------------------------------------------------------------------------------------------- between batteries
def _tie(model: Model, second: tuple[str, str, str], cable_ohm: float, assumed: list[str]) -> Tie:
    """The part that joins, with what the build tells it; where there is no part, a relay that joins with the engine."""
    fitted = next((item for item in model.equipment if item.path == second[2]), None)
    part_item, part = next(
        (
            (item, found)
            for item in model.equipment
            for found in (model.part(item.part),)
            if isinstance(found, IsolatorPart) or (isinstance(found, ChargerPart) and found.input == "battery")
        ),
        (None, None),
    )
    name = part_item.name if part_item is not None else "isolator"
    if isinstance(part, ChargerPart):
        given_w = part.current * part.test_voltage
        tie = Tie(
            name,
            "charger",
            charger_v=part.test_voltage,
            most_a=part.current,
            input_share=part.input_current * part.input_voltage / given_w if given_w else 1.1,
        )
    elif isinstance(part, IsolatorPart):
        ohm = cable_ohm + (part.drop / part.current if part.by == "relay" else 0.0)
        tie = Tie(name, part.by, ohm, part.drop, standby_a=part.standby)
        if part.join:
            tie = replace(tie, with_engine=False, join_v=part.join, split_v=part.split)
    else:
        tie = Tie(name, "relay", cable_ohm)
        assumed.append(f"No isolator is named for {second[1]}: a relay with {cable_ohm * 1000:g} mohm of cable.")
    told = next((item.isolator for item in (fitted, part_item) if item is not None and item.isolator is not None), None)
    if told is None:
        if not tie.join_v:
            assumed.append(f"Nothing says when {second[1]} is joined: while the engine runs.")
        return tie
    return _as_told(tie, told.join, told.split, second[1], assumed)


def _as_told(tie: Tie, join: Condition, split: Condition | None, name: str, assumed: list[str]) -> Tie:
    join_v, split_held = _supply_held(join, (">", ">=")), _supply_held(split, ("<", "<="))
    with_engine = isinstance(join, Compare) and (join.name, join.operator, join.value) == ("engine", "==", "running")
    if not with_engine and join_v is None:
        assumed.append(f"{name} is joined by a condition a day can't follow: taken as while the engine runs.")
    if split is not None and split_held is None:
        assumed.append(f"{name} is parted by a condition a day can't follow: taken as when its join ends.")
    return replace(
        tie,
        with_engine=join_v is None,
        join_v=join_v[0] if join_v else 0.0,
        split_v=split_held[0] if split_held else 0.0,
        split_s=split_held[1] if split_held else 0.0,
    )


def _shore_charger(model: Model) -> Charger | None:
    for item in model.equipment:
        part = model.part(item.part)
        if isinstance(part, ChargerPart) and part.input == "mains":
            return Charger(item.name, part.test_voltage, part.current)
    return None


def _disconnect(model: Model) -> tuple[tuple[str, ...], tuple[str, ...]]:
    switches = [item for item in model.equipment if isinstance(model.part(item.part), DisconnectPart)]
    breaks = tuple(dict.fromkeys(name for item in switches for name in item.breaks))
    return breaks, tuple(dict.fromkeys(name for item in switches for name in item.spares))


# ------------------------------------------------------------------------------------------------------------ watches
def _feed_watches(model: Model, bus_of: Mapping[str, Bus], assumed: list[str]) -> Iterator[Watch]:
    above_v, above_s = recovery()
    cut = [feed for feed in model.feeds if feed.below_v is not None]
    if cut:
        assumed.append(f"Feeds that were cut come back above {above_v:g} V held {above_s:g} s: no feed says its own.")
    for feed in cut:
        assert feed.below_v is not None
        back_v = max(above_v, feed.below_v + 0.1)
        yield Watch(feed.path, bus_of[feed.name], feed.below_v, feed.below_held_s, back_v, above_s)


def _stages(model: Model, bus_of: Mapping[str, Bus]) -> Iterator[Watch]:
    """Values of memories that are reached because the supply stood low; they alarm where a message tells of them.

    Where no memory keeps the stage, those of loads.yaml shed what says so, and nothing tells of them.
    """
    bus = _controller_bus(model, bus_of)
    told = {name for message in model.messages for name in _compared(message.when)}
    for memory in model.memories:
        back = back_of(memory)
        for low in low_moves(memory):
            above_v, above_s = back if back is not None and back[0] > low.below_v else (float("inf"), 0.0)
            alarms = memory.name in told
            yield Watch(f"memory.{memory.name}.{low.to}", bus, low.below_v, low.held_s, above_v, above_s, alarms)
    shedding = shedding_of(model)
    things: list[Feed | Equipment] = [*model.feeds, *model.equipment]
    if shedding.memory or not any(isinstance(each.shed, int) for each in things):
        return
    for each in shedding.thresholds:
        name = shedding.stage_name(each.stage)
        yield Watch(name, bus, each.below_v, each.held_s, shedding.back_above_v, shedding.back_held_s)


def _controller_bus(model: Model, bus_of: Mapping[str, Bus]) -> Bus:
    """The controller measures the supply at its own post."""
    for item in model.equipment:
        if isinstance(model.part(item.part), ControllerPart) and item.feed in bus_of:
            return bus_of[item.feed]
    return "main"


def _supply_held(condition: Condition | None, operators: tuple[str, ...]) -> tuple[float, float] | None:
    """Voltage and time of ``supply < 12.8 V held 2 min`` where it compares so; None for any other condition."""
    said = supply_held(condition)
    return said[1:] if said is not None and said[0] in operators else None


def _compared(condition: Condition | None) -> set[str]:
    return {condition.name} if isinstance(condition, Compare) else set()


def _sheds(model: Model, watches: tuple[Watch, ...]) -> dict[str, tuple[str, ...]]:
    """By its own cut, and by its order: whatever stage it is off in."""
    shedding, cuts = shedding_of(model), {watch.name for watch in watches}
    found: dict[str, tuple[str, ...]] = {}
    things: list[Feed | Equipment] = [*model.feeds, *model.equipment]
    for thing in things:
        names = [thing.path] if thing.path in cuts else []
        if isinstance(thing.shed, int):
            names += [name for name in shedding.that_shed(thing.shed) if name in cuts]
        if names:
            found[thing.path] = tuple(names)
    return found


def _highest_first(watch: Watch) -> tuple[float, str]:
    return (-watch.below_v, watch.name)
