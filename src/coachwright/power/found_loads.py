"""What stands in the way of feeding everything: no feed, no current on the sheet, no channel, one channel too much?

See Also
--------
coachwright.power.loads, coachwright.power.feeds, coachwright.power.allocate : what is looked at here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from coachwright.build.fed import draws
from coachwright.build.model import Equipment, Model
from coachwright.build.settling import About
from coachwright.control.situations import judged
from coachwright.kit.counted import counted
from coachwright.kit.finding import Finding, Fix, Quantity, Severity
from coachwright.parts.schema import BatteryPart, LampPart
from coachwright.power.allocate import Allocation, allocation, fixed_channels, wires
from coachwright.power.channel_load import channel_waves, together
from coachwright.power.channels import Controller, Output, controllers, outputs_of
from coachwright.power.darkened import darkened
from coachwright.power.feeds import item_fed
from coachwright.power.loads import EQUIPMENT, LAMPS, controllers_of, lamp_feed

_NEARLY = 1e-9


def findings_loads(model: Model) -> tuple[Finding, ...]:
    """Loads nobody feeds, and parts without a current."""
    return (*_not_fed(model), *_without_current(model))


def findings_feeds(model: Model) -> tuple[Finding, ...]:
    """What is asked to run or sound in a situation in which its feed isn't there."""
    return tuple(_dead_in_use(model))


def findings_channels(model: Model, *, seats: Allocation | None = None) -> tuple[Finding, ...]:
    """What is wrong with who hangs where. seats : another allocation than the lead's and the lock's."""
    if not controllers(model):
        return ()
    seats = allocation(model) if seats is None else seats
    return (
        *_no_channel_left(model, seats),
        *_fixed_nowhere(model),
        *_too_much(model, seats),
        *_unlike(model, seats),
        *_dark(model, seats),
    )


# --------------------------------------------------------------------------------------------------------------- loads
def _not_fed(model: Model) -> Iterator[Finding]:
    for item in model.equipment:
        if not item.feed and draws(model.part(item.part)) and not isinstance(model.part(item.part), BatteryPart):
            why = f"{item.name} draws current, and no feed of it is said."
            yield _finding("PWR-001 load-not-fed", "error", why, item.path, "Write feed: and where it hangs.")
    ours = list(dict.fromkeys(head.path for head in model.heads if head.reach == "own"))
    if not ours or lamp_feed(model):
        return
    boxes = controllers_of(model)
    if boxes:
        why = f"{counted(len(ours), 'lamp')} hang on {boxes[0].name}, and no feed of it is said."
        yield _finding("PWR-001 load-not-fed", "error", why, boxes[0].path, "Write feed: and where it hangs.")
    else:
        why = f"{counted(len(ours), 'lamp')} are fitted, and no controller feeds them."
        yield _finding("PWR-001 load-not-fed", "error", why, "equipment", "Write a controller under equipment.")


def _without_current(model: Model) -> Iterator[Finding]:
    """Parts that draw, by what they are, and whose file says no current; each told once."""
    told: set[str] = set()
    for head in model.heads:
        part = model.part(head.part)
        if head.reach != "own" or not isinstance(part, LampPart) or part.name in told:
            continue
        spec = part.heads[head.head_index]
        dark = [name for name, output in spec.colours.items() if not output.current > 0]
        if dark:
            told.add(part.name)
            why = f"{part.name} draws nothing in {' and '.join(dark)}, by its file."
            yield _finding("PWR-004 part-without-current", "warning", why, head.path, "Give its current in the part.")
    run = {name for function in model.functions for name in function.runs}
    for item in model.equipment:
        part = model.part(item.part)
        if item.name in run and float(getattr(part, "current", 1.0)) <= 0:
            why = f"{item.name} is run, and {part.name} draws nothing by its file."
            yield _finding("PWR-004 part-without-current", "warning", why, item.path, "Give its current in the part.")


# --------------------------------------------------------------------------------------------------------------- feeds
def _dead_in_use(model: Model) -> Iterator[Finding]:
    """One finding for each piece of equipment, of the first situation in which it happens, with how many more."""
    for item in model.equipment:
        dead = [
            (situation.name, state.why)
            for situation in model.situations
            if _asked(model, item, situation.name)
            and not (state := item_fed(model, item, situation=situation.name)).alive
        ]
        if dead:
            name, why = dead[0]
            more = f", and in {counted(len(dead) - 1, 'more')}" if len(dead) > 1 else ""
            said = f"{item.name} is asked for in {name}{more}, where {item.feed} isn't there: {why}."
            yield _finding(
                "PWR-002 feed-not-there",
                "error",
                said,
                item.path,
                "Feed it otherwise, or let the function ask for the feed.",
            )


def _asked(model: Model, item: Equipment, situation: str) -> bool:
    outputs = judged(model, situation)
    return item.name in outputs.runs or any(sound.siren == item.name and sound.owners for sound in outputs.sounds)


# ------------------------------------------------------------------------------------------------------------ channels
def _no_channel_left(model: Model, seats: Allocation) -> Iterator[Finding]:
    """Only where there is none: what merely wasn't settled yet is told by whoever reads the lock."""
    if not seats.unplaced or seats.spare_n:
        return
    names = ", ".join(_name(about) for about in seats.unplaced[:6])
    more = f" and {len(seats.unplaced) - 6} more" if len(seats.unplaced) > 6 else ""
    why = f"All {seats.channels_n} channels are taken, and {names}{more} have none."
    first = next(each for each in outputs_of(model) if each.about == seats.unplaced[0])
    fix = "Join lamps that always burn together, or take a controller with more channels."
    yield _finding("PWR-003 no-channel-left", "error", why, first.path, fix)


def _fixed_nowhere(model: Model) -> Iterator[Finding]:
    numbers = {number for box in controllers(model) for number in box.numbers}
    known = {each.about: each for each in outputs_of(model)}
    for fixed in model.fixed:
        if fixed.what == "channel" and int(fixed.value) not in numbers:
            why = f"{fixed.subject} is to hang on channel {fixed.value}; there are {len(numbers)}."
            yield _finding("PWR-005 fixed-channel-not-there", "error", why, fixed.path, f"Write 1 to {len(numbers)}.")
    doubled: dict[int, list[About]] = {}
    for about, number in fixed_channels(model).items():
        doubled.setdefault(number, []).append(about)
    for number, abouts in sorted(doubled.items()):
        alone = [about for about in abouts if about not in known or not known[about].is_lamp]
        if alone and len(abouts) > 1:
            others = _listed(abouts, alone[0])
            why = f"{_name(alone[0])} takes channel {number} for itself, and {others} is fixed there too."
            path = next(each.path for each in model.fixed if each.what == "channel" and int(each.value) == number)
            yield _finding("PWR-005 fixed-channel-taken", "error", why, path, "Fix one of them elsewhere.")


def _too_much(model: Model, seats: Allocation) -> Iterator[Finding]:
    """By what it may ever carry for a channel and a bank; by the worst situation for a whole controller."""
    known = {each.about: each for each in outputs_of(model)}
    for box in controllers(model):
        loads = {number: _load(known, seats, number) for number in box.numbers}
        heat = f" at {box.ambient_degc:g} degC" if box.share < 1 else ""
        for number, load_a in loads.items():
            if load_a > box.channel_a + _NEARLY:
                why = f"Channel {number} may have to carry {load_a:.1f} A; it carries {box.channel_a:.1f} A{heat}."
                yield _limit(
                    "PWR-006 channel-overloaded", why, _first(known, seats, number, box), load_a, box.channel_a
                )
        banks: dict[int, float] = {}
        for number, load_a in loads.items():
            banks[box.bank_of(number)] = banks.get(box.bank_of(number), 0.0) + load_a
        for bank, load_a in banks.items():
            if box.bank_n and load_a > box.bank_a + _NEARLY:
                why = f"Bank {bank + 1} may have to carry {load_a:.1f} A; it carries {box.bank_a:.1f} A{heat}."
                yield _limit("PWR-006 bank-overloaded", why, box.path, load_a, box.bank_a)
        yield from _whole(model, seats, box, heat)


def _whole(model: Model, seats: Allocation, box: Controller, heat: str) -> Iterator[Finding]:
    peaks = []
    for situation in model.situations:
        carried = channel_waves(model, situation=situation.name, channel_of=seats.channel_of)
        peak_a = together(each for number, each in carried.items() if number in box.numbers).peak_a
        peaks.append((peak_a, situation.name))
    peak_a, name = max(peaks, default=(0.0, ""))
    if peak_a > box.total_a + _NEARLY:
        why = f"{box.name} carries {peak_a:.1f} A in {name}; it carries {box.total_a:.1f} A in all{heat}."
        yield _limit("PWR-006 controller-overloaded", why, box.path, peak_a, box.total_a)


def _unlike(model: Model, seats: Allocation) -> Iterator[Finding]:
    """Where a controller tells by channel, heads that are not proved to show the same on one."""
    by_channel: dict[int, list[Output]] = {}
    for each in outputs_of(model):
        if each.is_lamp and each.alike and each.about in seats.channel_of:
            by_channel.setdefault(seats.channel_of[each.about], []).append(each)
    for number, sits in sorted(by_channel.items()):
        other = next((each for each in sits if (each.alike, each.colour) != (sits[0].alike, sits[0].colour)), None)
        if other is not None:
            both = f"{_name(sits[0].about)} and {_name(other.about)}"
            why = f"{both} hang on channel {number} and don't always show the same."
            fix = "Put one of them on a channel of its own, or take a controller with a data line."
            yield _finding("PWR-007 channel-shared-by-unlike", "error", why, other.path, fix)


def _dark(model: Model, seats: Allocation) -> Iterator[Finding]:
    for dark in darkened(model, wires(model, seats.channel_of)):
        heads = f"{', '.join(dark.heads[:4])}{' and more' if len(dark.heads) > 4 else ''}"
        when = f" ({', '.join(dark.setting)})" if dark.setting else ""
        why = f"Zone {dark.zone} warns by {heads} alone{when}, and all of them hang on channel {dark.channel}."
        path = model.head(dark.heads[0]).path
        fix = "Run coachwright settle --anew, or fix one of them on another channel."
        yield _finding("PWR-008 zone-on-one-channel", "error", why, path, fix)


# ------------------------------------------------------------------------------------------------------------- in words
def _load(known: Mapping[About, Output], seats: Allocation, number: int) -> float:
    return sum(known[about].most_a for about in seats.on(number) if about in known)


def _first(known: Mapping[About, Output], seats: Allocation, number: int, box: Controller) -> str:
    return next((known[about].path for about in seats.on(number) if about in known), box.path)


def _name(about: About) -> str:
    subject = about[0].removeprefix(LAMPS).removeprefix(EQUIPMENT)
    colour = about[1].partition("-")[2]
    return f"{subject} {colour}" if colour else subject


def _listed(abouts: Iterable[About], but: About) -> str:
    return " and ".join(_name(about) for about in abouts if about != but)


def _finding(code_and_name: str, severity: Severity, why: str, about: str, write: str) -> Finding:
    code, _, name = code_and_name.partition(" ")
    return Finding(code, name, severity, "{why}", {"why": why}, about=about, fix=Fix(write))


def _limit(code_and_name: str, why: str, about: str, value_a: float, limit_a: float) -> Finding:
    code, _, name = code_and_name.partition(" ")
    return Finding(
        code,
        name,
        "error",
        "{why}",
        {"why": why},
        about=about,
        value=Quantity(value_a, "current"),
        limit=Quantity(limit_a, "current"),
        fix=Fix("Move a load to another channel, or let it be switched by a relay."),
    )
