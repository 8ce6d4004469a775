"""What can be asked about channels and about what a disconnect takes away?

See Also
--------
coachwright.power.found_loads : what is told without being asked.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Equipment, Model
from coachwright.build.settling import register
from coachwright.kit.measure import Measure, facts, measures
from coachwright.parts.schema import DisconnectPart, RadioPart
from coachwright.power.allocate import CHANNELS, allocation
from coachwright.power.channel_load import channel_waves, together
from coachwright.power.channels import controllers
from coachwright.power.feeds import MEMORY, spared_memory

register(CHANNELS)


@measures("power.channel-share", kind="share")
def channel_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of what it may carry at its heat does each channel carry at its peak?"""
    seats = allocation(model)
    found = []
    carried = channel_waves(model, situation=situation, channel_of=seats.channel_of)
    for box in controllers(model):
        rows = [(together([carried[number]]).peak_a, number) for number in box.numbers if number in carried]
        if rows and box.channel_a > 0:
            peak_a, number = max(rows, key=lambda row: (row[0], -row[1]))
            found.append(
                Measure(
                    "power.channel-share",
                    peak_a / box.channel_a,
                    "share",
                    about=box.path,
                    blame=(f"{box.path}.part", f"{box.path}.at"),
                    where=f"channel {number}, {peak_a:.1f} A of {box.channel_a:.1f} A at {box.ambient_degc:g} degC",
                    situation=situation,
                    facts=facts(channel=number),
                )
            )
    return tuple(found)


@measures("power.bank-share", kind="share")
def bank_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of what it may carry at its heat does each bank of channels carry together, or the whole controller?"""
    seats = allocation(model)
    carried = channel_waves(model, situation=situation, channel_of=seats.channel_of)
    found = []
    for box in controllers(model):
        here = {number: each for number, each in carried.items() if number in box.numbers}
        rows = [(together(here.values()).peak_a / box.total_a, "all")] if here and box.total_a > 0 else []
        if box.bank_n and box.bank_a > 0:
            banks = sorted({box.bank_of(number) for number in here})
            rows += [
                (
                    together(each for n, each in here.items() if box.bank_of(n) == bank).peak_a / box.bank_a,
                    f"{bank + 1}",
                )
                for bank in banks
            ]
        if rows:
            share, bank_name = max(rows)
            found.append(
                Measure(
                    "power.bank-share",
                    share,
                    "share",
                    about=box.path,
                    blame=(f"{box.path}.part", f"{box.path}.at"),
                    where="all channels together" if bank_name == "all" else f"bank {bank_name}",
                    situation=situation,
                    facts=facts(bank=bank_name),
                )
            )
    return tuple(found)


@measures("power.spare-channels-share", kind="share", per_situation=False)
def spare_channels_share(model: Model) -> tuple[Measure, ...]:
    """Which share of a controller's channels is free?"""
    seats = allocation(model)
    used = set(seats.channel_of.values())
    return tuple(
        Measure(
            "power.spare-channels-share",
            None if seats.unplaced else 1 - sum(number in used for number in box.numbers) / box.channels_n,
            "share",
            about=box.path,
            blame=(f"{box.path}.part",),
            where=f"{sum(number not in used for number in box.numbers)} of {box.channels_n}",
            facts=facts(controller=box.name),
            why_not=f"{len(seats.unplaced)} outputs have no channel yet; coachwright settle" if seats.unplaced else "",
        )
        for box in controllers(model)
    )


@measures("power.memory-behind-disconnect", kind="yes-no", per_situation=False)
def memory_behind_disconnect(model: Model) -> tuple[Measure, ...]:
    """Does the memory of a radio lose its feed when a disconnect is open?"""
    feeds = {feed.name: feed for feed in model.feeds}
    found = []
    for item in model.equipment:
        if not isinstance(model.part(item.part), RadioPart):
            continue
        wires = item.also or (item.feed,)
        lost = [
            disconnect
            for disconnect in _disconnects(model)
            if item.name not in spared_memory(model)
            and all(
                wire in feeds
                and wire not in disconnect.spares
                and (wire in disconnect.breaks or feeds[wire].source in disconnect.breaks)
                for wire in wires
            )
        ]
        found.append(
            Measure(
                "power.memory-behind-disconnect",
                bool(lost),
                "yes-no",
                about=item.path,
                blame=(f"{item.path}.also", *(each.path for each in lost)),
                where=f"{MEMORY} of {item.name}" + (f" behind {lost[0].name}" if lost else ""),
                facts=facts(equipment=item.name),
            )
        )
    return tuple(found) if any(_disconnects(model)) else ()


@measures("power.alternator-behind-disconnect", kind="yes-no", per_situation=False)
def alternator_behind_disconnect(model: Model) -> tuple[Measure, ...]:
    """Is the alternator behind a disconnect?"""
    return tuple(_behind(model, "power.alternator-behind-disconnect", ("alternator",)))


@measures("power.starter-behind-disconnect", kind="yes-no", per_situation=False)
def starter_behind_disconnect(model: Model) -> tuple[Measure, ...]:
    """Is the starter, which hangs on the main battery, behind a disconnect?"""
    return tuple(_behind(model, "power.starter-behind-disconnect", ("main-battery",)))


def _behind(model: Model, name: str, sources: tuple[str, ...]) -> Iterator[Measure]:
    for item in _disconnects(model):
        yield Measure(
            name,
            any(source in item.breaks for source in sources),
            "yes-no",
            about=item.path,
            blame=(f"{item.path}.breaks",),
            where=item.name,
        )


def _disconnects(model: Model) -> list[Equipment]:
    return [item for item in model.equipment if isinstance(model.part(item.part), DisconnectPart)]
