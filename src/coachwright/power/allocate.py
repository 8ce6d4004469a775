"""On which channel does each head and output hang? The lead's choice first, then what is settled, then the fewest.

Channels are filled like bins: with what each output ever draws at most, so that no setting overloads one, up to what a
channel may carry at the heat of its controller's place. Only heads of one side that look into one zone share a channel
(and show the same, where the controller tells by channel); what is no lamp has one for itself, counted from the last.
Of what warns in one zone no channel gets more than a share (loads.yaml), unless a single lamp is more. Then every
moment of the machine is asked whether one dead channel darkens a zone that warns (power.darkened), and what is found is
spread over two, until nothing is found.

An output keeps its channel while what its question rests on stays: its own current, side, zone, what shows the same,
and the controllers. Where that changed it still keeps it if it may. So a lamp more moves no other one.

See Also
--------
coachwright.build.settling : who asks. coachwright.power.pack : the bins. coachwright.power.channels : what there is.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from coachwright.build.model import Model
from coachwright.build.settling import About, Question, Solver, question
from coachwright.power.channels import CHANNEL, Controller, Output, controllers, outputs_of
from coachwright.power.darkened import Warned, Wire
from coachwright.power.load_figures import load_figures
from coachwright.power.loads import LAMPS
from coachwright.power.pack import pack

NAME = "channels"
ROUNDS_MOST = 200
"""Times what can go dark together is spread anew."""


@dataclass(frozen=True, slots=True)
class Allocation:
    """Who hangs where.

    channel_of : number of each output. spare_n, channels_n : free channels, and all. unplaced : no channel was left.
    """

    channel_of: Mapping[About, int]
    spare_n: int
    channels_n: int
    unplaced: tuple[About, ...] = ()

    def on(self, channel: int) -> tuple[About, ...]:
        """What hangs on a channel."""
        return tuple(about for about, number in self.channel_of.items() if number == channel)


def allocation(model: Model) -> Allocation:
    """As the lead fixed it and the lock has it; what neither says is unplaced."""
    said = {**decided(model), **fixed_channels(model)}
    found = {each.about: said[each.about] for each in outputs_of(model) if each.about in said}
    unplaced = tuple(each.about for each in outputs_of(model) if each.about not in found)
    return _counted(model, found, unplaced)


def proposed(model: Model) -> Allocation:
    """The same with everything that is open placed: what `settle` would write."""
    questions = asks(model)
    fixed = {about: str(number) for about, number in fixed_channels(model).items()}
    open_ = tuple(each for each in questions if each.about not in fixed)
    answers = decides(model, open_, fixed)
    found = {**fixed_channels(model), **{about: int(value) for about, value in answers.items()}}
    known = {each.about for each in outputs_of(model)}
    placed = {about: number for about, number in found.items() if about in known}
    return _counted(model, placed, tuple(each.about for each in questions if each.about not in placed))


def fixed_channels(model: Model) -> dict[About, int]:
    """What the lead fixed, by output: for a lamp or one side of it, every head of it. The narrowest word wins."""
    found: dict[About, tuple[int, int]] = {}
    outputs = outputs_of(model)
    for fixed in model.fixed:
        if fixed.what != "channel":
            continue
        meant = [each for each in outputs if each.subject == fixed.subject or _within(each.subject, fixed.subject)]
        deep = fixed.subject.count(".")
        for output in meant:
            if output.about not in found or found[output.about][1] <= deep:
                found[output.about] = (int(fixed.value), deep)
        if not meant:
            found[fixed.subject, fixed.what] = (int(fixed.value), deep)
    return {about: number for about, (number, _) in found.items()}


def decided(model: Model) -> dict[About, int]:
    """What the lock has; a line nobody can count with is left out, and told as stale by whoever reads the lock."""
    return {
        (each.subject, each.what): int(each.value)
        for each in model.decisions
        if each.by == NAME and each.value.isdecimal() and len(each.value) <= 6
    }


def _within(subject: str, wider: str) -> bool:
    return subject.startswith(f"{wider}.")


def _counted(model: Model, found: Mapping[About, int], unplaced: Sequence[About]) -> Allocation:
    channels_n = sum(box.channels_n for box in controllers(model))
    used = {number for number in found.values() if 1 <= number <= channels_n}
    return Allocation(dict(found), channels_n - len(used), channels_n, tuple(unplaced))


# -------------------------------------------------------------------------------------------------------------- solver
def asks(model: Model) -> tuple[Question, ...]:
    """A channel for each output. What the lead fixed for a whole lamp is no question of any of its heads."""
    boxes = tuple(
        (box.first, box.channels_n, _ma(box.channel_a), box.bank_n, _ma(box.bank_a), box.by_channel)
        for box in controllers(model)
    )
    taken = fixed_channels(model)
    return tuple(
        question(
            each.subject,
            each.what,
            each.carries,
            _ma(each.most_a),
            each.side,
            each.zone,
            each.alike,
            boxes,
        )
        for each in outputs_of(model)
        if each.about not in taken
    )


def decides(model: Model, waiting: tuple[Question, ...], kept: Mapping[About, str]) -> Mapping[About, str]:
    """A channel for each that waits; one for which none is left has no answer."""
    outputs = {each.about: each for each in outputs_of(model)}
    seated = {about: number for about, number in decided(model).items() if about in kept} | fixed_channels(model)
    before = {} if _anew(model, waiting) else decided(model)
    open_ = [outputs[each.about] for each in waiting if each.about in outputs and each.about not in seated]
    wish = {each.about: before[each.about] for each in open_ if each.about in before}
    seats = _spread(model, outputs, open_, seated, wish)
    return {each.about: str(seats[each.about]) for each in open_ if each.about in seats}


def _anew(model: Model, waiting: Iterable[Question]) -> bool:
    """Does something wait that still rests on the same? Then all of it is to be decided again, from nothing."""
    known = {(each.subject, each.what): each.decided_from for each in model.decisions if each.by == NAME}
    return any(known.get(each.about) == each.rests_on for each in waiting)


CHANNELS = Solver(NAME, asks, decides)
"""Registered with build.settling by the room's window (power.measures_loads)."""


# ------------------------------------------------------------------------------------------------------------- seating
def _spread(
    model: Model,
    outputs: Mapping[About, Output],
    open_: Sequence[Output],
    seated: Mapping[About, int],
    wish: Mapping[About, int],
) -> dict[About, int]:
    """Seats for all that is open, spread until no dead channel darkens a zone that warns, as far as seats can help."""
    apart: list[frozenset[About]] = []
    free = {each.about for each in open_}
    seats: dict[About, int] = {}
    warned = Warned(model)
    try:
        for _ in range(ROUNDS_MOST):
            seats = _seat(controllers(model), outputs, open_, seated=seated, wish=wish, apart=apart)
            new = [each for each in _together(model, warned, outputs, seats) if each & free and each not in apart]
            if not new:
                break
            apart += new
    finally:
        warned.close()
    return seats


def wires(model: Model, seats: Mapping[About, int]) -> dict[Wire, int]:
    """Channel of every colour of every head of ours."""
    found: dict[Wire, int] = {}
    for output in outputs_of(model):
        if not output.is_lamp or output.about not in seats:
            continue
        head = output.subject.removeprefix(LAMPS)
        colour = output.what.removeprefix(CHANNEL).removeprefix("-")
        for each in (colour,) if colour else model.head(head).colours:
            found[head, each] = seats[output.about]
    return found


def _together(
    model: Model, warned: Warned, outputs: Mapping[About, Output], seats: Mapping[About, int]
) -> list[frozenset[About]]:
    """Outputs of which a moment was found in which they warn alone, all on one channel."""
    by_head: dict[tuple[str, int], list[About]] = {}
    for about, number in seats.items():
        if about in outputs and outputs[about].is_lamp:
            by_head.setdefault((about[0].removeprefix(LAMPS), number), []).append(about)
    return [
        frozenset(by_head[head, dark.channel][0] for head in dark.heads)
        for dark in warned.darkened(wires(model, seats))
    ]


@dataclass(slots=True)
class _Table:
    """Channels as they fill. loads, banks : milliamperes. sits : outputs by channel."""

    boxes: Sequence[Controller]
    sits: dict[int, list[Output]] = field(default_factory=dict)

    def box(self, number: int) -> Controller | None:
        return next((box for box in self.boxes if number in box.numbers), None)

    def load(self, number: int) -> int:
        return sum(_ma(each.most_a) for each in self.sits.get(number, ()))

    def warning(self, number: int) -> int:
        return sum(_ma(each.most_a) for each in self.sits.get(number, ()) if each.warns)

    def bank_left(self, number: int) -> float:
        """What the bank of a channel may still carry."""
        box = self.box(number)
        if box is None or not box.bank_n:
            return math.inf
        bank = box.bank_of(number)
        loads = sum(self.load(each) for each in box.numbers if box.bank_of(each) == bank and each in self.sits)
        return _ma(box.bank_a) - loads

    def fits(self, number: int, output: Output) -> bool:
        """May it sit there, by current, bank and who sits there already?"""
        box = self.box(number)
        if box is None or (self.sits.get(number) and not output.is_lamp):
            return False
        alike = all(each.may_sit_with == output.may_sit_with for each in self.sits.get(number, ()))
        most = _ma(box.channel_a) if output.is_lamp or self.sits.get(number) else math.inf
        return alike and self.load(number) + _ma(output.most_a) <= most and _ma(output.most_a) <= self.bank_left(number)

    def put(self, number: int, output: Output) -> None:
        self.sits.setdefault(number, []).append(output)

    def free(self) -> list[int]:
        return [number for box in self.boxes for number in box.numbers if number not in self.sits]


def _seat(
    boxes: Sequence[Controller],
    outputs: Mapping[About, Output],
    open_: Sequence[Output],
    *,
    seated: Mapping[About, int],
    wish: Mapping[About, int],
    apart: Sequence[frozenset[About]],
) -> dict[About, int]:
    table = _Table(boxes)
    seats: dict[About, int] = {}
    for about, number in seated.items():
        seats[about] = number
        table.put(number, outputs.get(about) or Output(about[0], about[1], "", "", 0.0, "word"))
    left = []
    for output in open_:
        number = wish.get(output.about, 0)
        if number and table.fits(number, output) and not _all_there(apart, seats, output.about, number):
            table.put(number, output)
            seats[output.about] = number
        else:
            left.append(output)
    for output in left:
        if not output.is_lamp:
            number = next((each for each in reversed(table.free()) if table.fits(each, output)), 0)
            if number:
                table.put(number, output)
                seats[output.about] = number
    classes: dict[object, list[Output]] = {}
    for output in left:
        if output.is_lamp:
            classes.setdefault(output.may_sit_with, []).append(output)
    warning: dict[str, int] = {}
    for output in outputs.values():
        if output.warns:
            warning[output.zone] = warning.get(output.zone, 0) + _ma(output.most_a)
    for members in classes.values():  # what warns first: the rest goes where there is room
        most = math.floor(warning.get(members[0].zone, 0) * load_figures().zone_share) + 1
        _seat_class(table, [each for each in members if each.warns], seats, apart, most_warning=most)
        _seat_class(table, [each for each in members if not each.warns], seats, apart, most_warning=0)
    return seats


def _all_there(apart: Sequence[frozenset[About]], seats: Mapping[About, int], about: About, number: int) -> bool:
    """Would a set then sit on one channel whole?"""
    return any(about in each and all(seats.get(other) == number for other in each - {about}) for each in apart)


def _seat_class(
    table: _Table,
    members: Sequence[Output],
    seats: dict[About, int],
    apart: Sequence[frozenset[About]],
    *,
    most_warning: int,
) -> None:
    """Lamps of one side and zone: pieces of a lamp stay together where they may.

    most_warning : of what warns on one channel, 0 where they don't. [mA]
    """
    if not members:
        return
    whole = min((_ma(box.channel_a) for box in table.boxes), default=0)
    own = [number for number, sits in table.sits.items() if sits and sits[0].may_sit_with == members[0].may_sit_with]
    opened = [number for number in sorted(own) if table.box(number) is not None]
    pieces = _pieces([each for each in members if _ma(each.most_a) <= whole], whole, apart)
    places = {about: place for place, piece in enumerate(pieces) for about in piece}
    current = {each.about: _ma(each.most_a) for each in members}
    sizes = [sum(current[about] for about in piece) for piece in pieces]
    capacity = min(whole, max(most_warning, *sizes)) if most_warning and sizes else whole
    wishes = [frozenset(places[about] for about in each if about in places) for each in apart if _all_of(each, places)]
    mixed = [each for each in apart if any(about in places for about in each) and not _all_of(each, places)]
    loads = [
        max(table.load(number) - whole + capacity, table.warning(number) if most_warning else 0) for number in opened
    ]
    packing = pack(sizes, capacity=capacity, apart=wishes, loads=loads)
    by_about = {each.about: each for each in members}
    bins: dict[int, list[Output]] = {}
    for piece, place in zip(pieces, packing.bin_of, strict=True):
        bins.setdefault(place, []).extend(by_about[about] for about in piece)
    for place, sitting in sorted(bins.items(), key=lambda item: (item[0] >= len(opened), members.index(item[1][0]))):
        chosen = opened[place] if place < len(opened) else 0
        for output in sitting if chosen else ():
            if table.fits(chosen, output) and not _all_there(mixed, seats, output.about, chosen):
                table.put(chosen, output)
                seats[output.about] = chosen
        waiting = [output for output in sitting if output.about not in seats]
        _seat_bin(table, waiting, seats)


def _seat_bin(table: _Table, waiting: Sequence[Output], seats: dict[About, int]) -> None:
    """A new channel for what goes together: the first whose bank has room for all of it, else one by one."""
    if not waiting:
        return
    whole = sum(_ma(each.most_a) for each in waiting)
    number = next((each for each in table.free() if whole <= table.bank_left(each)), 0)
    if not number and len(waiting) > 1:
        half = len(waiting) // 2
        _seat_bin(table, waiting[:half], seats)
        _seat_bin(table, waiting[half:], seats)
        return
    for output in waiting if number else ():
        table.put(number, output)
        seats[output.about] = number


def _all_of(each: frozenset[About], places: Mapping[About, int]) -> bool:
    return all(about in places for about in each)


def _pieces(members: Sequence[Output], capacity: int, apart: Sequence[frozenset[About]]) -> list[list[About]]:
    """Heads of one lamp as one piece; halved while it is too much for a channel, or all of a set that must not be."""
    lamps: dict[str, list[Output]] = {}
    for each in members:
        lamps.setdefault(each.lamp, []).append(each)
    waiting, found = list(lamps.values()), list[list[About]]()
    while waiting:
        piece = waiting.pop(0)
        abouts = {each.about for each in piece}
        too_much = sum(_ma(each.most_a) for each in piece) > capacity
        if len(piece) > 1 and (too_much or any(each <= abouts for each in apart)):
            half = (len(piece) + 1) // 2
            waiting[:0] = [piece[:half], piece[half:]]
        else:
            found.append([each.about for each in piece])
    return found


def _ma(current_a: float) -> int:
    """Whole milliamperes, upward."""
    return math.ceil(current_a * 1000 - 1e-6)
