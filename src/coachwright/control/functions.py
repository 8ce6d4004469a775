"""Which functions act now: who wants to, who is stopped, who waits to be asked again, and what limits scale?

Sets of functions are whole numbers with one bit per function, in the machine's order.

See Also
--------
coachwright.control.rounds : before this. coachwright.control.heads : after this, who gets what it wants.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coachwright.build.condition import Condition, Event, every_node, names_read
from coachwright.build.model import Function, Limit, Model, Move, Show, Stop
from coachwright.control.conditions import Answer, Compiler, Scene
from coachwright.control.ranks import ROAD
from coachwright.control.rounds import Rest
from coachwright.control.signals import Events

NOT_WANTED = -1


@dataclass(frozen=True, slots=True)
class Variant:
    """What a function shows while it acts: one for a plain function, one per position of its control otherwise.

    shows : (head, show), each head once.
    """

    position: str
    shows: tuple[tuple[str, Show], ...]


@dataclass(frozen=True, slots=True)
class AskedBy:
    """What asks for a held-off function again. All are places.

    turned_on : buttons pressed, toggles and disconnects turned on. moved : slides and pick-ones, wherever they go.
    by, showing : its own control and the positions at which a level shows. memories : through which an event may ask.
    """

    turned_on: frozenset[int]
    moved: frozenset[int]
    by: int
    showing: frozenset[int]
    memories: frozenset[int]

    def ask(self, events: Events, rest: Rest, scene: Scene) -> bool:
        """Did any of them happen in this moment?"""
        return (
            not self.turned_on.isdisjoint(events.turned_on)
            or not self.moved.isdisjoint(events.moved)
            or (self.by in events.moved and scene[self.by] in self.showing)
            or not self.memories.isdisjoint(rest.asked)
        )


@dataclass(frozen=True, slots=True)
class CompiledFunction:
    """One function. by : place of its control, -1 without one. variant_at : per position, place in `variants` or -1."""

    name: str
    rank: str
    rank_place: int
    when: Answer
    by: int
    variant_at: tuple[int, ...]
    at_most: tuple[tuple[Answer, int], ...]
    variants: tuple[Variant, ...]
    asked_by: AskedBy


@dataclass(frozen=True, slots=True)
class CompiledStop:
    """One stop: the functions it ends, as bits. asks : they are held off until asked again."""

    name: str
    answer: Answer
    functions: int
    asks: bool


@dataclass(frozen=True, slots=True)
class CompiledLimit:
    """One limit: the functions it scales, as bits."""

    name: str
    answer: Answer
    scale_to_share: float
    functions: int


@dataclass(frozen=True, slots=True)
class Acting:
    """Who acts in one moment.

    variants : per function, which variant it would show, -1 when it doesn't want to act.
    wanting, active, stopped : bits; stopped counts those that don't want to act too. held_off : bits kept for the
        next moment.
    """

    variants: tuple[int, ...]
    wanting: int
    active: int
    stopped: int
    held_off: int


def act(
    functions: tuple[CompiledFunction, ...],
    stops: tuple[CompiledStop, ...],
    scene: Scene,
    *,
    held_off_before: int,
    events: Events,
    rest: Rest,
) -> Acting:
    """Who acts, once words, timers and memory stand."""
    wanting, bit, variants = 0, 1, []
    for function in functions:
        variant = _variant(function, scene)
        variants.append(variant)
        if variant != NOT_WANTED:
            wanting |= bit
        bit <<= 1
    stopped = asking = 0
    for stop in stops:
        if stop.answer(scene):
            stopped |= stop.functions
            if stop.asks:
                asking |= stop.functions
    waiting = held_off_before & ~asking
    held_off = asking | (waiting & ~_asked_again(functions, waiting, events, rest, scene) if waiting else 0)
    return Acting(tuple(variants), wanting, wanting & ~stopped & ~held_off, stopped, held_off)


def _variant(function: CompiledFunction, scene: Scene) -> int:
    if function.by < 0:
        return 0 if function.when(scene) else NOT_WANTED
    position = scene[function.by]
    for answer, most in function.at_most:
        if most < position and answer(scene):
            position = most
    variant = function.variant_at[position]
    return variant if variant != NOT_WANTED and function.when(scene) else NOT_WANTED


def _asked_again(
    functions: tuple[CompiledFunction, ...], waiting: int, events: Events, rest: Rest, scene: Scene
) -> int:
    asked = 0
    for place, function in enumerate(functions):
        if waiting >> place & 1 and function.asked_by.ask(events, rest, scene):
            asked |= 1 << place
    return asked


def names(functions: tuple[CompiledFunction, ...], bits: int) -> tuple[str, ...]:
    """The functions of a set, in the machine's order."""
    return tuple(function.name for place, function in enumerate(functions) if bits >> place & 1)


def compile_function(model: Model, function: Function, compiler: Compiler) -> CompiledFunction:
    """One function with its levels laid out per position and what asks for it again."""
    positions = next((item.values for item in model.inputs if item.name == function.by), ())
    by = compiler.places[function.by] if function.by else -1
    variants, variant_at = (
        _levels(function, positions) if function.by else ((Variant("", _by_head(function.shows)),), ())
    )
    when = function.when
    return CompiledFunction(
        function.name,
        function.rank,
        model.ranks.index(function.rank),
        compiler.compile(when) if when is not None else lambda _scene: True,
        by,
        variant_at,
        tuple((compiler.compile(item.condition), positions.index(item.level)) for item in function.at_most),
        variants,
        _asked_by(model, function, compiler, by, frozenset(at for at, found in enumerate(variant_at) if found >= 0)),
    )


def compile_stop(model: Model, stop: Stop, compiler: Compiler) -> CompiledStop:
    """One stop. Functions of rank road are never among those it ends."""
    ended = _bits(
        function.rank != ROAD and (function.name in stop.functions or function.rank in stop.ranks)
        for function in model.functions
    )
    return CompiledStop(stop.name, compiler.compile(stop.when), ended, stop.resume == "ask")


def compile_limit(model: Model, limit: Limit, compiler: Compiler) -> CompiledLimit:
    """One limit. Functions of rank road are never among those it scales."""
    scaled = _bits(
        function.rank != ROAD and function.rank in limit.ranks and function.name not in limit.but_not
        for function in model.functions
    )
    return CompiledLimit(limit.name, compiler.compile(limit.when), limit.scale_to_share, scaled)


def _bits(members: Iterable[bool]) -> int:
    return sum(1 << place for place, member in enumerate(members) if member)


def _levels(function: Function, positions: tuple[str, ...]) -> tuple[tuple[Variant, ...], tuple[int, ...]]:
    """Cumulative: the highest level at or beneath the position, over what lower ones show on heads it doesn't name."""
    by_position = {level.position: level for level in function.levels}
    variants: list[Variant] = []
    variant_at: list[int] = []
    below: tuple[Show, ...] = function.shows
    for position in positions:
        level = by_position.get(position)
        if level is not None:
            below = (*(function.shows if function.one_level else below), *level.shows)
            variants.append(Variant(position, _by_head(below)))
        found = level is not None or (bool(variants) and not function.one_level)
        variant_at.append(len(variants) - 1 if found else NOT_WANTED)
    return tuple(variants), tuple(variant_at)


def _by_head(shows: tuple[Show, ...]) -> tuple[tuple[str, Show], ...]:
    """Each head once; of several shows for one head the last is the statement."""
    return tuple({head: show for show in shows for head in show.heads}.items())


def _asked_by(model: Model, function: Function, compiler: Compiler, by: int, showing: frozenset[int]) -> AskedBy:
    words = {word.name: word.condition for word in model.words}
    read = names_through_words(function.when, words) if function.when is not None else frozenset()
    memories = [memory.name for memory in model.memories]
    turned_on, moved = [], []
    for place, item in enumerate(model.inputs):
        if item.name in read or place == by:
            if item.kind in ("button", "toggle", "rotary-disconnect"):
                turned_on.append(place)
            elif item.kind in ("slide", "pick-one") and place != by:
                moved.append(place)
    through = frozenset(place for place, name in enumerate(memories) if name in read)
    return AskedBy(frozenset(turned_on), frozenset(moved), by, showing, through)


def names_through_words(condition: Condition, words: Mapping[str, Condition]) -> frozenset[str]:
    """Every input and memory a condition reads, itself or through words."""
    found: set[str] = set()
    waiting = set(names_read(condition))
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        found.add(name)
        if name in words:
            waiting |= names_read(words[name])
    return frozenset(found - words.keys())


def control_events(move: Move) -> tuple[Event, ...]:
    """The presses, releases and leaves that a move names."""
    return tuple(
        node
        for condition in (move.on, move.condition)
        if condition is not None
        for node in every_node(condition)
        if isinstance(node, Event) and node.kind != "becomes"
    )
