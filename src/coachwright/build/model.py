"""What exists once a build file is understood: every head, input, function, situation. Frozen; no room writes to it.

Values are SI, names are as in the file, `path` is the build path of what was written (marks turn it into
file:line:column).
Tuples keep the order of the file; nothing but printing may depend on that order.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from coachwright.build.condition import Condition
from coachwright.build.model_fitted import (
    By,
    CargoItem,
    Console,
    Crossing,
    Feed,
    Glazing,
    Isolator,
    Lamp,
    Marking,
    ShedOrder,
    Trailer,
)
from coachwright.parts.schema import BodyPart, Part

Colour = Literal["red", "amber", "blue", "white", "green"]
COLOURS: tuple[Colour, ...] = ("red", "amber", "blue", "white", "green")
Reach = Literal["own", "parallel", "series", "request", "none"]
"""own: a lamp we fit; the rest are lamps the vehicle came with."""
InputKind = Literal[
    "slide", "pick-one", "toggle", "button", "rotary-disconnect", "on-off", "states", "number", "turn-wire", "hazard"
]
"""Controls, then vehicle signals. `turn-wire` is a flashing wire; `hazard` is derived from both of them."""


@dataclass(frozen=True, slots=True)
class Job:
    name: str
    customer: str
    number: str
    revision: str
    due: str
    money: str
    law_place: str
    law: tuple[LawAnswer, ...]
    tax_exempt: bool = False
    tax_paper: str = ""
    shop: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    issued: str = ""
    fuse_rule: str = "135"
    """How a fuse is held against its wire: a name of `power.fuse.fuse_rules`."""
    wire_family: Literal["awg", "sae", "metric"] = "awg"


@dataclass(frozen=True, slots=True)
class LawAnswer:
    """The job's answer to one question of a pack: permitted, forbidden, or ``only when ...`` with the text kept."""

    question: str
    answer: str
    paper: str
    path: str


@dataclass(frozen=True, slots=True)
class Head:
    """One optical part that points one way.

    Parameters
    ----------
    id : ``visor.3``, ``grille.left``, ``side-high.left.2``, ``takedown`` (a lamp with one head and no pair has no
        number).
    lamp : name of the lamp it belongs to; side : ``left``, ``right`` or "" (neither: on the centre line or a lamp
        across it).
    number : 1.. within the lamp (and side): left to right, front to rear, low to high; 0 when the lamp has one head.
    part, head_index : catalogue part and which of its heads, from 0.
    place : named place on the body; aim_rad, elevation_rad : as in the file, for the lamp as written (mirrored on the
        right).
    sync_group : ``controller``, or ``sync:NAME``, or ``own:LAMP-ID`` (a clock of its own).
    clock_tolerance_share : of the clock that flashes it.
    path : build path of its lamp.
    """

    id: str
    lamp: str
    side: Literal["left", "right", ""]
    number: int
    part: str
    head_index: int
    place: str
    aim_rad: float
    elevation_rad: float
    colours: tuple[Colour, ...]
    burns_together: bool
    reach: Reach
    sync_group: str
    clock_tolerance_share: float
    path: str


@dataclass(frozen=True, slots=True)
class Input:
    """Something conditions can read.

    Parameters
    ----------
    values : ordered positions or states; ``("off", "on")`` for on/off; empty for numbers.
    number_kind : unit kind for numbers (``speed``, ``voltage``), else "".
    start, asleep, lost : as written or the default of its kind. lost may be a value, ``hold``, ``P-unless-moving``.
    rest : value in a situation that doesn't name it (``last`` = either value; proofs try both).
    hand : ``hand``, ``foot`` or ``vehicle``: the list it stands in.
    edge_hold_ms, debounce_ms, recognition_ms : of the signal.
    source : wire, bus signal or place in words.
    together_ms : turn wires only: edges of both within this time are a hazard.
    low, high : range of a number (SI), for proofs and believable stories.
    """

    name: str
    kind: InputKind
    values: tuple[str, ...]
    number_kind: str
    start: str | float
    asleep: str
    lost: str | float
    rest: str | float
    hand: Literal["hand", "foot", "vehicle"]
    path: str
    tell_tale: str = ""
    tell_tale_condition: Condition | None = None
    edge_hold_ms: int = 0
    debounce_ms: int = 0
    recognition_ms: int = 0
    together_ms: int = 60
    source: str = ""
    at: str = ""
    low: float = 0.0
    high: float = 0.0

    @property
    def is_control(self) -> bool:
        return self.kind in ("slide", "pick-one", "toggle", "button", "rotary-disconnect")


@dataclass(frozen=True, slots=True)
class Word:
    name: str
    condition: Condition
    path: str


@dataclass(frozen=True, slots=True)
class Move:
    """One move of a memory. `to` or `next`, never both; `on` is an event, or a condition that acts in every step."""

    on: Condition
    condition: Condition | None
    to: str
    next: tuple[str, ...]
    path: str


@dataclass(frozen=True, slots=True)
class Memory:
    name: str
    values: tuple[str, ...]
    start: str
    ordered: bool
    moves: tuple[Move, ...]
    path: str


@dataclass(frozen=True, slots=True)
class PatternSpec:
    """A pattern as written, understood but not yet timed.

    word : ``single double triple quad``, ``run-left run-right run-split four-corner``, or "" for a text pattern.
    rate_hz : of a count word, None when the house default holds. steps_ms : (lit, dark) pairs of a text pattern;
    times : how often the list of steps repeats; every_ms : whole cycle, 0 when the steps are the cycle.
    text : canonical text, what people read and promises compare.
    """

    word: str
    rate_hz: float | None
    steps_ms: tuple[tuple[int, int], ...]
    times: int
    every_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class ColourShow:
    """What one colour does in a show.

    manner : pattern, steady or follow. sides : which half of the cycle a head burns in.
    """

    colour: Colour
    manner: Literal["pattern", "steady", "follow"]
    pattern: PatternSpec | None
    sides: Literal["", "sides", "other-sides", "together"]
    share: float
    signal: str
    path: str


@dataclass(frozen=True, slots=True)
class Show:
    """The whole statement for its heads. `heads` are ids in the selector's order (runs go over them across)."""

    heads: tuple[str, ...]
    colours: tuple[ColourShow, ...]
    dark: bool
    beside: bool
    path: str
    selector: str = ""


@dataclass(frozen=True, slots=True)
class Sound:
    """A tone on a siren. tone_memory : the tone is the present value of this memory."""

    siren: str
    tone: str
    tone_memory: str
    path: str


@dataclass(frozen=True, slots=True)
class Level:
    position: str
    shows: tuple[Show, ...]
    path: str


@dataclass(frozen=True, slots=True)
class AtMost:
    level: str
    condition: Condition
    path: str


@dataclass(frozen=True, slots=True)
class Function:
    name: str
    rank: str
    when: Condition | None
    by: str
    levels: tuple[Level, ...]
    one_level: bool
    at_most: tuple[AtMost, ...]
    wins_over: tuple[str, ...]
    shows: tuple[Show, ...]
    sounds: tuple[Sound, ...]
    runs: tuple[str, ...]
    interrupts: tuple[str, ...]
    says: tuple[str, ...]
    path: str


@dataclass(frozen=True, slots=True)
class Stop:
    name: str
    when: Condition
    functions: tuple[str, ...]
    ranks: tuple[str, ...]
    resume: Literal["self", "ask"]
    path: str


@dataclass(frozen=True, slots=True)
class Limit:
    name: str
    when: Condition
    scale_to_share: float
    ranks: tuple[str, ...]
    but_not: tuple[str, ...]
    path: str


@dataclass(frozen=True, slots=True)
class Message:
    name: str
    when: Condition | None
    say: str
    chime: str
    repeat_ms: int
    tell_tale: str
    path: str


@dataclass(frozen=True, slots=True)
class Equipment:
    """Equipment that is fitted.

    Parameters
    ----------
    sounds : a siren or alarm; runs : a function can run it. by : who brings it.
    feed : a feed, ``shore``, or ``vehicle.`` and a lamp or output of the vehicle; "" where it is not said.
    also : further feeds. antenna : place of its antenna, or "". shed : when it is shed, apart from its feed.
    eject : its shore lead throws itself out. isolator : of a second battery.
    turned_by : control that turns a disconnect, or ""; breaks : batteries, feeds and equipment it cuts off;
        spares : feeds that stay fed, and ``NAME.memory``, the memory wire of equipment. A name that is both a feed and
        equipment means the feed.
    """

    name: str
    part: str
    at: str
    speakers: tuple[str, ...]
    sounds: bool
    runs: bool
    path: str
    count: int = 1
    by: By = "shop"
    feed: str = ""
    also: tuple[str, ...] = ()
    antenna: str = ""
    shed: ShedOrder = None
    eject: bool = False
    isolator: Isolator | None = None
    turned_by: str = ""
    breaks: tuple[str, ...] = ()
    spares: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class VehicleOutput:
    """An output of the vehicle that is no lamp (horn, engine-run)."""

    name: str
    reach: Reach
    path: str


@dataclass(frozen=True, slots=True)
class Situation:
    """settings: (input, value) as written after `like` was followed; memory: (memory, value) likewise."""

    name: str
    settings: tuple[tuple[str, str | float], ...]
    memory: tuple[tuple[str, str], ...]
    stands_for: str
    lasts_s: float
    path: str


@dataclass(frozen=True, slots=True)
class Promise:
    """What must hold in every reachable state.

    kind ``then``: when, then, within_ms (None = same step). kind ``never``: never, but. kind ``between``: after, until,
    never, but.
    source : pack name when a pack brought it, "" when the file did.
    """

    name: str
    kind: Literal["then", "never", "between"]
    path: str
    when: Condition | None = None
    then: Condition | None = None
    within_ms: int | None = None
    never: Condition | None = None
    but: tuple[str, ...] = ()
    after: Condition | None = None
    until: Condition | None = None
    source: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class OptionValue:
    """One thing that can be chosen. added, set, dropped : the build paths it touches. price : ``auto`` or text."""

    name: str
    added: tuple[str, ...]
    set: tuple[str, ...]
    dropped: tuple[str, ...]
    price: str
    path: str


@dataclass(frozen=True, slots=True)
class Option:
    """Something vehicles of one job may differ in. base : the value where a serial says nothing."""

    name: str
    base: str
    values: tuple[OptionValue, ...]
    path: str


@dataclass(frozen=True, slots=True)
class Serial:
    """One vehicle of the job, of which something is written.

    choices : (option, value) of every option, in the order of the file; the base value where nothing was chosen.
    """

    number: int
    name: str
    choices: tuple[tuple[str, str], ...]
    path: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Fixed:
    """A choice of the lead's own that no solver changes.

    subject : ``equipment.NAME``, ``feeds.NAME`` or ``lamps.HEAD`` (a lamp, one side of it, or one head). what :
        ``gauge``, ``fuse`` or ``channel``; value : as text, as it was read.
    """

    subject: str
    what: str
    value: str
    path: str


@dataclass(frozen=True, slots=True)
class Decision:
    """What a solver chose, as the lock beside the build holds it.

    subject, what, value : as of `Fixed`. by : the solver. decided_from : digest of what it was decided from.
    choices : (option, value) of the vehicles it holds for; none where it holds for every one that has no own decision.
    path : of the line within the lock.
    """

    subject: str
    what: str
    value: str
    by: str
    decided_from: str
    choices: tuple[tuple[str, str], ...] = ()
    path: str = ""


def channel_colour(what: str) -> str | None:
    """Of a choice of channel: ``red`` of ``channel-red``, "" of ``channel`` for the whole; None of any other choice."""
    kind, _, colour = what.partition("-")
    return colour if kind == "channel" else None


@dataclass(frozen=True, slots=True)
class Waiver:
    """Who waives which finding (code, about), why, until when (ISO date)."""

    code: str
    about: str
    by: str
    why: str
    until: str
    path: str


@dataclass(frozen=True, slots=True)
class Model:
    """The whole job. `parts` holds every catalogue entry the job uses, by name."""

    file: str
    digest: str
    version: int
    job: Job
    count: int
    body: BodyPart
    packs: tuple[str, ...]
    parts: tuple[tuple[str, Part], ...]
    heads: tuple[Head, ...]
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    inputs: tuple[Input, ...]
    words: tuple[Word, ...]
    memories: tuple[Memory, ...]
    ranks: tuple[str, ...]
    functions: tuple[Function, ...]
    messages: tuple[Message, ...]
    limits: tuple[Limit, ...]
    stops: tuple[Stop, ...]
    equipment: tuple[Equipment, ...]
    outputs: tuple[VehicleOutput, ...]
    situations: tuple[Situation, ...]
    promises: tuple[Promise, ...]
    waivers: tuple[Waiver, ...]
    cannot_be: tuple[tuple[Condition, str], ...] = field(default=())
    """What the body says can't be (condition, reason): stories stay believable."""
    serial: str = ""
    """Number of the vehicle this is; "" for the base, which is every vehicle that chose nothing else."""
    choices: tuple[tuple[str, str], ...] = ()
    """(option, value) of every option, as this vehicle has it."""
    serials: tuple[Serial, ...] = ()
    options: tuple[Option, ...] = ()
    fixed: tuple[Fixed, ...] = ()
    decisions: tuple[Decision, ...] = ()
    """What solvers chose for this vehicle and the lead did not fix otherwise, by the alphabet."""
    lamps: tuple[Lamp, ...] = ()
    feeds: tuple[Feed, ...] = ()
    console: Console | None = None
    cargo: tuple[CargoItem, ...] = ()
    marking: tuple[Marking, ...] = ()
    glass: tuple[Glazing, ...] = ()
    """What is done to panes. `body` still has them as they came."""
    trailers: tuple[Trailer, ...] = ()
    crossings: tuple[Crossing, ...] = ()
    parts_by: By = "shop"
    as_ordered: tuple[str, ...] = ()
    """What the dealer was told to build. `body` already is as it then arrives: with what the orders set and bring."""
    removed: tuple[str, ...] = ()
    """What the shop takes out of it. `body` still has it."""

    def head(self, head_id: str) -> Head:
        return next(head for head in self.heads if head.id == head_id)

    def part(self, name: str) -> Part:
        return next(part for key, part in self.parts if key == name)

    def input(self, name: str) -> Input:
        return next(item for item in self.inputs if item.name == name)

    def situation(self, name: str) -> Situation:
        return next(item for item in self.situations if item.name == name)
