"""What does the controller read at each input, given what stands at the sources?

Sources are physical: a finger on a button, the level of a wire, a lever's position. Reading them takes memory: what was
read before (for edges, for `hold`), what a toggle keeps, how long a level has stood (debounce), when a turn wire last
changed (control.turns). Every timer here counts down in whole milliseconds and stands still at 0.

See Also
--------
coachwright.control.sources : before this, from names and values of a build to `Inputs`.
coachwright.control.machine : after this, the step.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.model import Input, InputKind
from coachwright.control.turns import FLASHING, NO_TURN, Turns, TurnWires, pass_turns, read_turns, turns_end_ms

Value = int | float
"""Place in the input's values, or an SI number; for a toggle or button 1 while it is pressed."""

SPEED = "speed"
"""Name of the signal that `P-unless-moving` reads."""
PARK = "P"
PARKS = "P-unless-moving"
"""What a lost gear may read: P while the speed reads 0, else what was read last."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """What stands at every source at one moment, in the machine's order.

    Parameters
    ----------
    values : place of the position or state in `Input.values`; a number in SI; 1 while a toggle or button is pressed;
        a turn wire is 0 low, 1 high or 2 flashing on and on. The place of a derived hazard is not read.
    lost : places of the inputs whose source is silent.
    asleep : the controller sleeps. Told from outside: what puts it to sleep stands with the feeds.
    """

    values: tuple[Value, ...]
    lost: frozenset[int] = frozenset()
    asleep: bool = False


@dataclass(frozen=True, slots=True)
class Source:
    """One input, compiled.

    lost_to : what it reads while lost, None for `hold`. park_at : place of P when it reads P unless moving, else None.
    rest : what `hold` reads when nothing was ever read. start : kept value at power-up (toggle and pick-one).
    starts_last : at power-up it keeps what it kept before the power went.
    """

    name: str
    kind: InputKind
    values: tuple[str, ...]
    lost_to: Value | None
    park_at: int | None
    rest: Value
    start: int
    starts_last: bool
    reads_off_asleep: bool
    debounce_ms: int

    @property
    def keeps(self) -> bool:
        """Has it a value of its own, beside its finger or lever?"""
        return self.kind in ("toggle", "pick-one")


@dataclass(frozen=True, slots=True)
class Sources:
    """All inputs, compiled. moving_at : place of the speed, None when the vehicle gives none."""

    all: tuple[Source, ...]
    wires: TurnWires | None
    hazard_at: int | None
    moving_at: int | None


@dataclass(frozen=True, slots=True)
class Reading:
    """What reading remembers from one step to the next.

    Parameters
    ----------
    seen : per input, the level last read at its source (what `hold` holds).
    settling : (place, new level, ms left) of every level that hasn't stood for its debounce time yet.
    kept : per input, the kept value of a toggle or pick-one, 0 for the rest.
    turns : edge holds of the turn wires.
    """

    seen: tuple[Value, ...]
    settling: tuple[tuple[int, Value, int], ...]
    kept: tuple[int, ...]
    turns: Turns


@dataclass(frozen=True, slots=True)
class Events:
    """What hands and levers did in this step. Loss, return, sleep and power-up do nothing here.

    pressed, released : places. turned_on : pressed buttons, toggles flipped to on, disconnects turned away from off.
    moved : slides and pick-ones. left : (place, value that was left).
    """

    pressed: frozenset[int] = frozenset()
    released: frozenset[int] = frozenset()
    turned_on: frozenset[int] = frozenset()
    moved: frozenset[int] = frozenset()
    left: frozenset[tuple[int, int]] = frozenset()


NO_EVENTS = Events()


def compile_sources(inputs: tuple[Input, ...]) -> Sources:
    """Every input with names turned into places."""
    names = [item.name for item in inputs]
    wires = [place for place, item in enumerate(inputs) if item.kind == "turn-wire"]
    derived = [place for place, item in enumerate(inputs) if item.kind == "hazard"]
    pair = None
    if len(wires) == 2:
        one, other = inputs[wires[0]], inputs[wires[1]]
        pair = TurnWires(
            (wires[0], wires[1]), (one.edge_hold_ms, other.edge_hold_ms), max(one.together_ms, other.together_ms)
        )
    elif wires:
        only = inputs[wires[0]]
        pair = TurnWires((wires[0],), (only.edge_hold_ms,), only.together_ms)
    return Sources(
        tuple(_source(item) for item in inputs),
        pair,
        derived[0] if derived and len(wires) == 2 else None,
        names.index(SPEED) if SPEED in names and not inputs[names.index(SPEED)].values else None,
    )


def _source(item: Input) -> Source:
    parks = item.lost == PARKS
    return Source(
        item.name,
        item.kind,
        item.values,
        None if parks or item.lost == "hold" else place_of(item, item.lost, instead=0),
        item.values.index(PARK) if parks and PARK in item.values else None,
        place_of(item, item.rest, instead=0),
        int(place_of(item, item.start, instead=0)),
        item.start == "last",
        item.is_control and item.asleep != "as-is",
        0 if not item.values else item.debounce_ms,  # a number is read as it comes: it would never stand still
    )


def place_of(item: Input, value: str | float, *, instead: Value | None = None) -> Value:
    """Place of a value in the input's list; a number stays itself. `instead` : for `last` and what isn't a value.

    Raises
    ------
    ValueError : when it is no value of this input and there is no `instead`.
    """
    if item.values and value in item.values:
        return item.values.index(str(value))
    if not item.values and isinstance(value, int | float):
        return float(value)
    if instead is None:
        raise ValueError(f"{item.name} is never {value}")
    return instead


def read(
    sources: Sources,
    before: tuple[Reading, Inputs] | None,
    now: Inputs,
    kept: tuple[int, ...] | None = None,
) -> tuple[Reading, list[Value], Events]:
    """What every input reads now: the new memory, the value of each input as conditions see it, and what was done.

    Parameters
    ----------
    before : memory and sources of the moment before; None at power-up, when no event fires.
    kept : kept values at power-up, where they aren't `start`.
    """
    if before is not None and before[1] == now and not any(left_ms == 0 for _, _, left_ms in before[0].settling):
        reading = before[0]
        return reading, _values(sources, reading, now), NO_EVENTS
    glance = _Glance(sources, before, now, kept)
    for place, source in enumerate(sources.all):
        glance.look(place, source)
    reading = glance.reading()
    return reading, _values(sources, reading, now), glance.events()


def pass_time(reading: Reading, elapsed_ms: int) -> Reading:
    """`elapsed_ms` later, with nothing changed at the sources. Never longer than `ends_in_ms`."""
    settling = tuple((place, level, left_ms - elapsed_ms) for place, level, left_ms in reading.settling)
    return Reading(reading.seen, settling, reading.kept, pass_turns(reading.turns, elapsed_ms))


def ends_in_ms(reading: Reading) -> int:
    """Time to the nearest end of a timer here; 0 when none runs."""
    nearest_ms = turns_end_ms(reading.turns)
    for _, _, left_ms in reading.settling:
        if left_ms and (left_ms < nearest_ms or not nearest_ms):
            nearest_ms = left_ms
    return nearest_ms


def kept_at_start(sources: Sources, last: tuple[int, ...] | None = None) -> tuple[int, ...]:
    """Kept values at power-up: `start`; where start is `last` those of `last`, and off when nobody knows them."""
    return tuple(
        0 if not source.keeps else last[place] if source.starts_last and last is not None else source.start
        for place, source in enumerate(sources.all)
    )


def is_blind(source: Source, place: int, inputs: Inputs) -> bool:
    """Can't the controller see this source: is it lost, or does the control read off asleep?"""
    return place in inputs.lost or (inputs.asleep and source.reads_off_asleep)


def value_read(sources: Sources, reading: Reading, inputs: Inputs, place: int) -> Value:
    """What one input reads, turn wires and hazard aside."""
    source = sources.all[place]
    if inputs.asleep and source.reads_off_asleep:
        return 0
    if place not in inputs.lost:
        return reading.kept[place] if source.keeps else reading.seen[place]
    if source.park_at is not None and sources.moving_at is not None:
        stands = value_read(sources, reading, inputs, sources.moving_at) == 0
        return source.park_at if stands else reading.seen[place]
    if source.lost_to is not None:
        return source.lost_to
    return reading.kept[place] if source.keeps else reading.seen[place]


def _values(sources: Sources, reading: Reading, now: Inputs) -> list[Value]:
    if now.lost or now.asleep:
        values = [value_read(sources, reading, now, place) for place in range(len(sources.all))]
    else:
        values = [
            kept if source.keeps else seen
            for source, kept, seen in zip(sources.all, reading.kept, reading.seen, strict=True)
        ]
    turns = reading.turns
    if sources.wires is not None:
        for place, wire in zip(sources.wires.places, turns.wires, strict=True):
            values[place] = int(wire.hold_ms != 0 and not turns.hazard)
    if sources.hazard_at is not None:
        values[sources.hazard_at] = int(turns.hazard)
    return values


class _Glance:
    """One look at all sources: collects what is seen and what was done."""

    def __init__(
        self, sources: Sources, before: tuple[Reading, Inputs] | None, now: Inputs, kept: tuple[int, ...] | None
    ) -> None:
        self.sources = sources
        self.before = before
        self.now = now
        start = before[0].kept if before is not None else (kept or kept_at_start(sources))
        self.kept = list(start)
        self.seen: list[Value] = []
        self.waited = (
            {} if before is None else {place: (level, left_ms) for place, level, left_ms in before[0].settling}
        )
        self.settling: list[tuple[int, Value, int]] = []
        self.pressed: list[int] = []
        self.released: list[int] = []
        self.turned_on: list[int] = []
        self.moved: list[int] = []
        self.left: list[tuple[int, int]] = []
        self.wire_edges: dict[int, bool] = {}

    def look(self, place: int, source: Source) -> None:
        raw = self.now.values[place]
        if is_blind(source, place, self.now):
            self.seen.append(self._frozen(place, source))
            return
        if self.before is None or is_blind(source, place, self.before[1]):
            self._first_sight(place, source, raw)
            return
        was = self.before[0].seen[place]
        level = self._debounced(place, source, raw, was)
        self.seen.append(level)
        if level != was:
            self._changed(place, source, was, level)

    def _frozen(self, place: int, source: Source) -> Value:
        """What is remembered of a source that can't be seen: what `hold` needs, else nothing."""
        if source.kind == "turn-wire" and source.lost_to is not None:
            return source.lost_to
        holds = source.lost_to is None and source.kind != "toggle"
        if not holds and source.kind != "pick-one":
            return 0
        if self.before is None:
            return source.start if source.kind == "pick-one" else source.rest
        seen = self.before[0].seen[place]
        return 0 if seen == FLASHING and source.kind == "turn-wire" else seen

    def _first_sight(self, place: int, source: Source, raw: Value) -> None:
        """Power-up, or back after a loss: read at once, and nothing fires."""
        self.seen.append(raw)
        if source.kind == "pick-one" and self.before is not None and raw != self.before[0].seen[place]:
            self.kept[place] = int(raw)
        if source.kind == "turn-wire" and raw == FLASHING and self.before is not None:
            self.wire_edges[place] = True

    def _debounced(self, place: int, source: Source, raw: Value, was: Value) -> Value:
        if not source.debounce_ms or raw == was:
            return raw
        level, left_ms = self.waited.get(place, (None, 0))
        if level != raw:
            left_ms = source.debounce_ms
        elif left_ms == 0:
            return raw
        self.settling.append((place, raw, left_ms))
        return was

    def _changed(self, place: int, source: Source, was: Value, level: Value) -> None:
        match source.kind:
            case "toggle":
                self._pushed(place, level)
                if level:
                    self.kept[place] = 1 - self.kept[place]
                    if self.kept[place]:
                        self.turned_on.append(place)
            case "button":
                self._pushed(place, level)
                if level:
                    self.turned_on.append(place)
            case "pick-one":
                if self.kept[place] != level:
                    self.left.append((place, self.kept[place]))
                self.kept[place] = int(level)
                self.moved.append(place)
            case "slide":
                self.left.append((place, int(was)))
                self.moved.append(place)
            case "rotary-disconnect":
                self.left.append((place, int(was)))
                if level:
                    self.turned_on.append(place)
            case "states":
                self.left.append((place, int(was)))
            case "turn-wire":
                self.wire_edges[place] = was == 0 if level == FLASHING else level == 1
            case _:
                pass

    def _pushed(self, place: int, level: Value) -> None:
        (self.pressed if level else self.released).append(place)

    def reading(self) -> Reading:
        turns = NO_TURN
        wires = self.sources.wires
        if wires is not None:
            before = self.before[0].turns if self.before is not None else None
            flashing = tuple(self.seen[place] == FLASHING for place in wires.places)
            edges = tuple(self.wire_edges.get(place) for place in wires.places)
            turns = read_turns(wires, before, flashing, edges)
        return Reading(tuple(self.seen), tuple(self.settling), tuple(self.kept), turns)

    def events(self) -> Events:
        if not (self.pressed or self.released or self.turned_on or self.moved or self.left):
            return NO_EVENTS
        return Events(
            frozenset(self.pressed),
            frozenset(self.released),
            frozenset(self.turned_on),
            frozenset(self.moved),
            frozenset(self.left),
        )
