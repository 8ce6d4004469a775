"""What has to be joined to what by wire: which lamp to which controller, which equipment to which feed?

Said from the build alone, before anything is routed or sized.

- A lamp on each side is fed from a controller, by one wire for each channel its heads are on. Where the controller
  tells over a data line what to burn, such a line goes there too; where it tells by channel, a head of several colours
  may have a wire for each of them. Equipment a function runs hangs on a channel too; what takes more than a channel
  gives is only switched by it. All other equipment hangs on the block of its feed.
- Each load has a return (power.ground says to where).

What the body can't say is told instead of guessed: an output of the vehicle without a place, a signal behind its dash.

See Also
--------
coachwright.power.sources : where power starts. coachwright.power.runs : the ways these wires take.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from coachwright.build.circuits import is_of_vehicle
from coachwright.build.fed import SHORE, draws
from coachwright.build.model import Equipment, Head, Input, Model, channel_colour
from coachwright.parts.schema import ChargerPart, ControllerPart, RadioPart
from coachwright.power.laying import defaults
from coachwright.power.route import Net, routes_from
from coachwright.power.sources import (
    MAIN,
    battery_names,
    broken_batteries,
    circuit_spot,
    current_a,
    disconnects,
    find_controllers,
    want_batteries,
    want_feeds,
)
from coachwright.power.spots import Spot, spot_at, spot_of_battery, stands
from coachwright.power.wanted import Joined, NotJoined, Plan, nearest_controller, nearest_name, spot_or_told

_BROUGHT = re.compile(r"(?:.*; )?cargo\.(?P<name>[a-z0-9-]+)", re.DOTALL)


def joined(
    model: Model, net: Net, *, channels: Mapping[str, str] | None = None
) -> tuple[tuple[Joined, ...], tuple[NotJoined, ...]]:
    """Every wire a build wants, in the order of the file, and what can't be laid.

    Parameters
    ----------
    channels : of heads, lamps and equipment by subject, of one colour of a head under `of_colour`; what the lead fixed
        and the lock holds when left out.
    """
    plan = Plan(model, net, channels_of(model) if channels is None else channels)
    find_controllers(plan)
    want_batteries(plan)
    want_feeds(plan)
    _lamps(plan)
    _taps(plan)
    for item in model.equipment:
        _equipment(plan, item)
    _inputs(plan)
    return tuple(plan.wanted), tuple(plan.missed)


def channels_of(model: Model) -> dict[str, str]:
    """Channels by subject: what solvers decided, and over it what the lead fixed."""
    fixed = {each.subject: each.value for each in model.fixed if channel_colour(each.what) is not None}
    decided = {
        of_colour(each.subject, colour): each.value
        for each in model.decisions
        if (colour := channel_colour(each.what)) is not None and not (colour and _is_fixed(each.subject, fixed))
    }
    return decided | fixed


def of_colour(subject: str, colour: str) -> str:
    """Under which name channels know one colour of a head; with no colour, the whole of it."""
    return f"{subject} {colour}".strip()


def _is_fixed(subject: str, fixed: Mapping[str, str]) -> bool:
    """Did the lead fix it, or the side or lamp it is of?"""
    return any(subject == each or subject.startswith(f"{each}.") for each in fixed)


# ---- lamps


def _lamps(plan: Plan) -> None:
    fitted: dict[tuple[str, str], list[Head]] = {}
    for head in plan.model.heads:
        if head.reach == "own":
            fitted.setdefault((head.lamp, head.side), []).append(head)
    for (lamp, side), heads in fitted.items():
        subject = f"lamps.{lamp}.{side}" if side else f"lamps.{lamp}"
        first = heads[0]
        end = spot_or_told(plan, subject, first.path, spot_at(plan.model, first.place, first.side))
        if end is None:
            continue
        controller = nearest_name(plan, end)
        if not controller:
            plan.missed.append(NotJoined(subject, first.path, end.place, "There is no controller to feed it."))
            continue
        begin = plan.controllers[controller]
        loads = tuple(f"lamps.{head.id}" for head in heads)
        by_channel = _by_channel(plan.channels, heads)
        for channel, on_it in by_channel.items():
            goes = "supply" if len(by_channel) == 1 else f"supply {channel}".strip()
            plan.wanted.append(Joined(subject, goes, "supply", first.path, begin, end, on_it, channel=channel))
        plan.wanted.append(Joined(subject, "return", "return", first.path, end, None, loads))
        if _tells_by_line(plan.model, controller):
            plan.wanted.append(Joined(subject, "data", "data", first.path, begin, end))


def _tells_by_line(model: Model, controller: str) -> bool:
    """Does a controller tell each head over a data line what to burn?"""
    part = next(model.part(item.part) for item in model.equipment if item.name == controller)
    return isinstance(part, ControllerPart) and part.tells == "by-data-line"


def _by_channel(channels: Mapping[str, str], heads: list[Head]) -> dict[str, tuple[str, ...]]:
    """Heads of one lamp by the channel they are on; all on "" while that isn't decided.

    A head with a channel for each colour is on several. Each of these wires counts as one that leads all the head ever
    draws: what else is in the head draws with any of its colours.
    """
    found: dict[str, tuple[str, ...]] = {}
    for head in heads:
        for channel in _channels_of(channels, head):
            found[channel] = (*found.get(channel, ()), f"lamps.{head.id}")
    return found


def _channels_of(channels: Mapping[str, str], head: Head) -> tuple[str, ...]:
    """The channels of a head: its own, or those of its colours, or that of its side or lamp."""
    own, wider = f"lamps.{head.id}", (f"lamps.{head.lamp}.{head.side}", f"lamps.{head.lamp}")
    if own in channels:
        return (channels[own],)
    by_colour = [channels[key] for key in (of_colour(own, each) for each in head.colours) if key in channels]
    return tuple(dict.fromkeys(by_colour)) or (next((channels[each] for each in wider if each in channels), ""),)


def _taps(plan: Plan) -> None:
    """To lamps and outputs of the vehicle that we feed beside it or interrupt."""
    told: set[tuple[str, str]] = set()
    for head in plan.model.heads:
        if head.reach not in ("parallel", "series") or (head.lamp, head.side) in told:
            continue
        told.add((head.lamp, head.side))
        subject = f"vehicle-lamps.{head.lamp}.{head.side}" if head.side else f"vehicle-lamps.{head.lamp}"
        spot = spot_at(plan.model, head.place, head.side)
        end = spot_or_told(plan, subject, head.path, spot, by_body=True)
        begin = nearest_controller(plan, end) if end is not None else None
        if end is not None and begin is not None:
            plan.wanted.append(Joined(subject, "tap", "tap", head.path, begin, end, (f"lamps.{head.id}",)))
    for output in plan.model.outputs:
        if output.reach in ("parallel", "series"):
            why = f"The body doesn't say where the wire of {output.name} can be reached."
            told_of = NotJoined(f"vehicle-lamps.{output.name}", output.path, output.name, why, by_body=True)
            plan.missed.append(told_of)


# ---- equipment


def _equipment(plan: Plan, item: Equipment) -> None:
    model = plan.model
    part = model.part(item.part)
    subject = f"equipment.{item.name}"
    if draws(part) or item.feed:
        for side in stands(model, item.at, count_n=item.count):
            own = f"{subject}.{side}" if side and item.count > 1 else subject
            spot = spot_or_told(plan, own, item.path, spot_at(model, item.at, side))
            if spot is not None:
                _supplies(plan, item, own, spot)
    here = spot_at(model, item.at)
    if not isinstance(here, Spot):
        return
    if isinstance(part, ChargerPart):
        _charge(plan, item, here)
    for at in item.speakers:
        end = spot_or_told(plan, f"{subject} speaker", item.path, spot_at(model, at))
        if end is not None:
            pair_n = defaults().conductors_n["speaker"]
            goes = f"speaker {end.place}"
            plan.wanted.append(Joined(subject, goes, "speaker", item.path, here, end, conductors_n=pair_n))
    if item.antenna and isinstance(part, RadioPart):
        end = spot_or_told(plan, f"{subject} antenna", item.path, spot_at(model, item.antenna))
        if end is not None:
            plan.wanted.append(Joined(subject, "antenna", "coax", item.path, here, end))


def _supplies(plan: Plan, item: Equipment, subject: str, spot: Spot) -> None:
    """A wire for each feed a thing hangs on, one for a memory a disconnect spares, and the return."""
    model = plan.model
    load = f"equipment.{item.name}"
    asked = [feed for feed in (item.feed, *item.also) if feed and feed != SHORE]
    for feed in asked:
        begin: Spot | None
        goes = "supply" if feed == item.feed else f"on {feed}"
        channel = ""
        if is_of_vehicle(feed):
            begin = spot_or_told(plan, subject, item.path, circuit_spot(plan, feed, near=spot), by_body=True)
        elif feed == item.feed and _is_run(model, item) and not _takes_more_than_a_channel(model, item):
            begin = nearest_controller(plan, spot) or plan.blocks.get(feed)
            channel = plan.channels.get(load, "")
        else:
            begin = plan.blocks.get(feed)
        if begin is not None:
            wire = Joined(subject, goes, "supply", item.path, begin, spot, (load,), channel=channel, feed=feed)
            plan.wanted.append(wire)
        elif not is_of_vehicle(feed):
            by_body = any(each.subject == f"feeds.{feed}" and each.by_body for each in plan.missed)
            why = f"Its feed {feed} is laid nowhere."
            plan.missed.append(NotJoined(subject, item.path, spot.place, why, by_body))
    controller = nearest_controller(plan, spot)
    if _is_run(model, item) and _takes_more_than_a_channel(model, item) and controller is not None:
        channel = plan.channels.get(load, "")
        plan.wanted.append(Joined(subject, "switch", "switch", item.path, controller, spot, channel=channel))
    if any(f"{item.name}.memory" in each.spares for each in disconnects(model)):
        battery = next((name for each in disconnects(model) for name in broken_batteries(model, each)), MAIN)
        source = spot_or_told(plan, subject, item.path, spot_of_battery(model, battery), by_body=True)
        if source is not None:
            plan.wanted.append(Joined(subject, "memory", "supply", item.path, source, spot, (load,)))
    if asked or isinstance(model.part(item.part), ChargerPart):
        plan.wanted.append(Joined(subject, "return", "return", item.path, spot, None, (load,)))


def _is_run(model: Model, item: Equipment) -> bool:
    """Does a function run it?"""
    return any(item.name in function.runs for function in model.functions)


def _takes_more_than_a_channel(model: Model, item: Equipment) -> bool:
    parts = [model.part(each.part) for each in model.equipment]
    most_a = max((part.channel_current for part in parts if isinstance(part, ControllerPart)), default=0.0)
    return current_a(model.part(item.part)) > most_a


def _charge(plan: Plan, item: Equipment, spot: Spot) -> None:
    """From a charger to the battery with the shortest way, other than the one it draws from."""
    model = plan.model
    draws_from = next((feed.source for feed in model.feeds if feed.name == item.feed), "")
    from_here = routes_from(plan.net, spot.node)
    spots = {name: spot_of_battery(model, name) for name in sorted(battery_names(model) - {draws_from})}
    known = {name: battery for name, battery in spots.items() if isinstance(battery, Spot)}
    found = {name: battery for name, battery in known.items() if battery.node in from_here}
    if not found:
        why = "No battery can be reached that it could charge."
        plan.missed.append(NotJoined(f"equipment.{item.name}", item.path, spot.place, why, by_body=not known))
        return
    nearest = min(found, key=lambda name: (round(from_here[found[name].node].length_m, 6), name))
    goes = f"to {nearest.replace('-', ' ')}"
    plan.wanted.append(Joined(f"equipment.{item.name}", goes, "charge", item.path, spot, found[nearest]))


# ---- what the controller reads


def _inputs(plan: Plan) -> None:
    """A cable to each place with controls, and a wire to each switch the shop fits."""
    panels: dict[str, list[Input]] = {}
    for item in plan.model.inputs:
        brought = _BROUGHT.fullmatch(item.source)
        if item.is_control and item.at and item.kind != "rotary-disconnect":
            panels.setdefault(item.at, []).append(item)
        elif brought is not None:
            _switch(plan, f"signals.{item.name}", item, brought["name"], conductors_n=1)
    for at, items in panels.items():
        told = min(items, key=lambda item: item.name)  # whoever stands first in the file must not matter
        _switch(plan, f"controls.{at}", told, at, conductors_n=defaults().conductors_n["panel"])


def _switch(plan: Plan, subject: str, item: Input, at: str, *, conductors_n: int) -> None:
    end = spot_or_told(plan, subject, item.path, spot_at(plan.model, at))
    begin = nearest_controller(plan, end) if end is not None else None
    if end is not None and begin is not None:
        goes = "switch" if conductors_n == 1 else "cable"
        plan.wanted.append(Joined(subject, goes, "switch", item.path, begin, end, conductors_n=conductors_n))
