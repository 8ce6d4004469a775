"""What leads away from the controllers, and which heads may share one output: those that always show the same.

That is derived, and proved: the machine is laid into a circuit over everything that inputs can read, memories hold and
timers say, and two heads are the same when no moment of it lets one burn a colour in a pattern, half and share in which
the other doesn't. Moments that no story reaches are among those looked at, so heads may be told apart that never differ
on the road; the other way round can't be. A controller that tells each head over a data line only feeds it, and needs
no such proof.

See Also
--------
coachwright.control.encode, coachwright.control.shown : the circuit. coachwright.power.allocate : who sits where.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from coachwright.build.model import ColourShow, Equipment, Head, Model
from coachwright.build.places import body_place
from coachwright.control.circuit import FALSE, Circuit
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine
from coachwright.control.sat import Solution, Solver
from coachwright.control.shown import Shown
from coachwright.flash.pattern import Row, pattern_wave
from coachwright.flash.sync import ON_CENTRE_M, half_of, rows, shows_of
from coachwright.flash.waves import Fitted, fitted, left_of_centre_m
from coachwright.kit.by_digest import by_digest
from coachwright.parts.body_ways import node_of_place, segments
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import AlarmPart, ControllerPart, InverterPart, LampPart, SirenPart
from coachwright.parts.wiring import Rerating
from coachwright.power.darkened import warning_wires, zone_of
from coachwright.power.load_figures import load_figures
from coachwright.power.loads import EQUIPMENT, LAMPS, controllers_of, lamp_feed, loads_of, most_of_head

CHANNEL = "channel"


@dataclass(frozen=True, slots=True)
class Controller:
    """A controller as channels see it.

    Parameters
    ----------
    first : number of its first channel; a second controller goes on counting where the first ended.
    channel_a, total_a, bank_a : what one, all and a bank may carry where it stands; `share` of its sheet is left there.
    bank_n : channels of a bank, 0 where there are none. by_channel : heads burn while their channel is fed.
    """

    name: str
    path: str
    first: int
    channels_n: int
    channel_a: float
    total_a: float
    bank_n: int
    bank_a: float
    by_channel: bool
    ambient_degc: float
    share: float

    @property
    def numbers(self) -> range:
        """Its channels."""
        return range(self.first, self.first + self.channels_n)

    def bank_of(self, number: int) -> int:
        """Which of its banks a channel belongs to, from 0; all the same one where it has none."""
        return (number - self.first) // self.bank_n if self.bank_n else 0


@dataclass(frozen=True, slots=True)
class Output:
    """What one wire from a controller leads to.

    Parameters
    ----------
    subject : as of a decision, ``lamps.grille.left`` or ``equipment.locker-fan``. what : ``channel``; of a head with
        several colours that is told by channel each colour has its own, ``channel-red``.
    lamp : name and side of the lamp it is of; "" for what is no lamp.
    most_a : it ever carries, standby_a of it while dark. carries : the load itself, a relay's coil, or only a word.
    side, zone, panel : of a head: where it stands, warns and rides. warns : a function of a warning rank shows on it.
    alike, colour : subjects that show the same, itself too, and in which colour; empty where each is told by itself.
    """

    subject: str
    what: str
    path: str
    lamp: str
    most_a: float
    carries: str
    side: str = ""
    zone: str = ""
    panel: str = ""
    alike: tuple[str, ...] = ()
    colour: str = ""
    standby_a: float = 0.0
    warns: bool = False

    @property
    def about(self) -> tuple[str, str]:
        """As questions and decisions name it."""
        return self.subject, self.what

    @property
    def is_lamp(self) -> bool:
        """A head of ours, which may share its channel."""
        return bool(self.lamp)

    @property
    def may_sit_with(self) -> tuple[Hashable, ...]:
        """Outputs share a channel only where this is the same."""
        return (self.side, self.zone, self.alike, self.colour) if self.is_lamp else (self.subject,)


@by_digest
def controllers(model: Model) -> tuple[Controller, ...]:
    """Every controller of a vehicle, its channels counted on."""
    found, first = [], 1
    for item in controllers_of(model):
        part = model.part(item.part)
        assert isinstance(part, ControllerPart)  # that is how they were found
        ambient_degc = ambient_at(model, item)
        share = derated(part.rerating, ambient_degc)
        for number in range(item.count):
            found.append(
                Controller(
                    item.name if item.count == 1 else f"{item.name}.{number + 1}",
                    item.path,
                    first,
                    part.channels,
                    part.channel_current * share,
                    part.total_current * share,
                    part.bank_channels,
                    part.bank_current * share,
                    part.tells == "by-channel",
                    ambient_degc,
                    share,
                )
            )
            first += part.channels
    return tuple(found)


def derated(rerating: Sequence[Rerating], ambient_degc: float) -> float:
    """What is left of a current at that heat: on straight lines between the points of the sheet, level beyond them."""
    if not rerating:
        return 1.0
    if ambient_degc <= rerating[0].temperature:
        return float(rerating[0].share)
    for low, high in pairwise(rerating):
        if ambient_degc <= high.temperature:
            way = (ambient_degc - low.temperature) / (high.temperature - low.temperature)
            return float(low.share + way * (high.share - low.share))
    return float(rerating[-1].share)


def ambient_at(model: Model, item: Equipment) -> float:
    """How hot the air gets where equipment stands: as the hottest way for wire that ends there. [degC]"""
    spot = body_place(model, item.at)
    name, side = (spot, "") if spot in model.body.places else side_and_name(spot)
    node = node_of_place(model.body, name, "left" if side == "left" else "right" if side == "right" else "")
    at = [float(each.way.ambient) for each in segments(model.body) if node in (each.start, each.end)]
    return max(at, default=load_figures().ambient_degc)


@by_digest
def outputs_of(model: Model) -> tuple[Output, ...]:
    """Everything that takes a channel: our heads in the order of the file, then what is no lamp."""
    boxes = controllers(model)
    if not boxes:
        return ()
    return (*_lamp_outputs(model, by_channel=boxes[0].by_channel), *_other_outputs(model, boxes))


# --------------------------------------------------------------------------------------------------------------- lamps
def _lamp_outputs(model: Model, *, by_channel: bool) -> Iterable[Output]:
    standby_a = {load.subject: load.standby_a for load in loads_of(model)}
    left_m, warning = left_of_centre_m(model), warning_wires(model)
    for head in model.heads:
        part = model.part(head.part)
        if head.reach != "own" or not isinstance(part, LampPart):
            continue
        subject = f"{LAMPS}{head.id}"
        side = "left" if left_m[head.id] > ON_CENTRE_M else "right" if left_m[head.id] < -ON_CENTRE_M else "middle"
        colours = colours_used(model, head) if by_channel else ("",)
        for colour in colours:
            full_a = dict(_full_a(part, head))
            most_a = full_a[colour] if colour else most_of_head(part, head)
            yield Output(
                subject,
                f"{CHANNEL}-{colour}" if len(colours) > 1 else CHANNEL,
                head.path,
                f"{head.lamp}.{head.side}" if head.side else head.lamp,
                most_a + standby_a[subject],
                "load",
                side,
                zone_of(model, head),
                model.body.places[head.place].panel,
                tuple(f"{LAMPS}{other}" for other in _same_as(model, head.id, colour)) if by_channel else (),
                colour,
                standby_a[subject],
                any((head.id, each) in warning for each in ((colour,) if colour else head.colours)),
            )


def colours_used(model: Model, head: Head) -> tuple[str, ...]:
    """Colours of a head that any function shows there; one of its own where none does."""
    shown = {colour.colour for show in shows_of(model) for colour in show.colours if head.id in show.heads}
    return tuple(colour for colour in head.colours if colour in shown) or head.colours[:1]


def _full_a(part: LampPart, head: Head) -> list[tuple[str, float]]:
    return [(name, float(output.current)) for name, output in part.heads[head.head_index].colours.items()]


def _same_as(model: Model, head: str, colour: str) -> tuple[str, ...]:
    return next((each for each in same_heads(model, colour=colour) if head in each), (head,))


# ----------------------------------------------------------------------------------------------------- what is no lamp
def _other_outputs(model: Model, boxes: Sequence[Controller]) -> Iterable[Output]:
    """What functions run, interrupt, sound or add light to, one channel each.

    Equipment on the controller's own feed hangs on the channel itself where the channel can carry it; else the channel
    switches a relay, as it does for what has a feed of its own and for the vehicle's outputs. An amplifier and a
    transformer are only told. An alarm on a circuit of the vehicle sounds with that, and takes none.
    """
    figures = load_figures()
    most_a = {load.subject: load.most_a for load in loads_of(model)}
    sounded = {sound.siren for function in model.functions for sound in function.sounds}
    run = {name for function in model.functions for name in function.runs}
    cut = {name for function in model.functions for name in function.interrupts}
    channel_a = max(box.channel_a for box in boxes)
    feed = lamp_feed(model)
    for item in model.equipment:
        part, subject = model.part(item.part), f"{EQUIPMENT}{item.name}"
        if item.name not in sounded | run:
            continue
        if isinstance(part, SirenPart | InverterPart):
            yield Output(subject, CHANNEL, item.path, "", figures.control_a, "word")
        elif isinstance(part, AlarmPart) and item.feed != feed:
            continue
        elif item.feed == feed and most_a[subject] <= channel_a:
            yield Output(subject, CHANNEL, item.path, "", most_a[subject], "load")
        else:
            yield Output(subject, CHANNEL, item.path, "", figures.coil_a, "coil")
    shown = {head for show in shows_of(model) for head in show.heads}
    for head in model.heads:
        if head.reach in ("parallel", "series", "request") and head.id in shown:
            yield Output(f"{LAMPS}{head.id}", CHANNEL, head.path, "", figures.coil_a, "coil")
    for output in model.outputs:
        if output.name in cut | run:
            yield Output(f"{EQUIPMENT}{output.name}", CHANNEL, output.path, "", figures.coil_a, "coil")


# ----------------------------------------------------------------------------------------------- what shows the same
def same_heads(model: Model, *, colour: str = "") -> tuple[tuple[str, ...], ...]:
    """Our heads by what they show, in the order of the file: those of one group are proved to show the same always.

    colour : only what they show in this one, "" for all they show.
    """
    return _same(fitted(model), colour)


@by_digest
def _same(known: Fitted, colour: str) -> tuple[tuple[str, ...], ...]:
    model = known.model
    moment = Moment(model, build_machine(model))
    shown = said_by(model, moment, colour=colour)
    first: dict[tuple[tuple[Hashable, int], ...], list[str]] = {}
    for head in model.heads:
        if head.reach == "own" and head.id in shown:
            first.setdefault(tuple(sorted(shown[head.id].items(), key=repr)), []).append(head.id)
    kinds = [(dict(says), heads) for says, heads in first.items()]
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        classes = _refined(moment.circuit, solver, [says for says, _ in kinds])
    finally:
        solver.close()
    order = {head.id: place for place, head in enumerate(model.heads)}
    groups = [sorted((head for kind in group for head in kinds[kind][1]), key=order.__getitem__) for group in classes]
    return tuple(tuple(group) for group in sorted(groups, key=lambda group: order[group[0]]))


def said_by(model: Model, moment: Moment, *, colour: str = "") -> Mapping[str, Mapping[Hashable, int]]:
    """Of every head that a machine flashes: each light it can show, and the literal that it does now.

    A light is a colour with its wave, as flash.waves draws it, or the wire it copies, and the share that limits leave.
    """
    shown = Shown(moment)
    left_m = left_of_centre_m(model)
    in_rows = rows(model, left_m)
    found: dict[str, Mapping[Hashable, int]] = {}
    for head in model.heads:
        says: dict[Hashable, list[int]] = {}
        contested = shown.heads.get(head.id)
        for function, show, literal in contested.parts if contested is not None else ():
            if show.colour not in head.colours or (colour and show.colour != colour):
                continue
            for share, scaled in shown.shares(function, show):
                key = _light(show, round(share, 9), left_m[head.id], in_rows.get((show.path, head.id)))
                lit = moment.circuit.all_of((literal, scaled, -contested.ambiguous if contested else FALSE))
                says.setdefault(key, []).append(lit)
        any_of = moment.circuit.any_of
        found[head.id] = {key: lit for key, each in says.items() if (lit := any_of(each)) != FALSE}
    return found


def _light(show: ColourShow, share: float, left_m: float, row: Row | None) -> Hashable:
    if show.manner == "steady":
        return show.colour, "steady", share
    if show.manner == "follow":
        return show.colour, show.signal, share
    assert show.pattern is not None  # the file door gives every pattern show its pattern
    return show.colour, pattern_wave(show.pattern, half=half_of(show, left_m=left_m), row=row), share


def _refined(circuit: Circuit, solver: Solver, kinds: Sequence[Mapping[Hashable, int]]) -> list[list[int]]:
    """Classes of kinds between which no moment differs: split by every moment found, until none can be found."""
    classes = [list(range(len(kinds)))] if kinds else []
    while True:
        moment = _telling_apart(circuit, solver, kinds, classes)
        if moment is None:
            return classes
        classes = [
            part for group in classes for part in _split(group, [moment.holds(*k.values()) for k in kinds], kinds)
        ]


def _telling_apart(
    circuit: Circuit, solver: Solver, kinds: Sequence[Mapping[Hashable, int]], classes: Sequence[Sequence[int]]
) -> Solution | None:
    """A moment in which the first of a class and another one of it differ."""
    for first, *others in classes:
        for other in others:
            keys = sorted(kinds[first].keys() | kinds[other].keys(), key=repr)
            apart = [-circuit.same(kinds[first].get(key, FALSE), kinds[other].get(key, FALSE)) for key in keys]
            found = solver.solution(circuit.any_of(apart))
            if found is not None:
                return found
    return None


def _split(
    group: Sequence[int], holds: Sequence[tuple[bool, ...]], kinds: Sequence[Mapping[Hashable, int]]
) -> list[list[int]]:
    parts: dict[frozenset[Hashable], list[int]] = {}
    for kind in group:
        lit = frozenset(key for key, true in zip(kinds[kind], holds[kind], strict=True) if true)
        parts.setdefault(lit, []).append(kind)
    return list(parts.values())
