"""Compiles a model into the machine that the step runs: names become places, conditions become answers.

Done once per build; nothing here changes afterwards but what is remembered of heads.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from coachwright.build.condition import Condition, First, FunctionState, HeadStatement, Held, Plus, Truth
from coachwright.build.model import Input, Memory, Message, Model, Move
from coachwright.control.conditions import Answer, Compiler, Scene, Task
from coachwright.control.functions import (
    CompiledFunction,
    CompiledStop,
    compile_function,
    compile_limit,
    compile_stop,
    control_events,
)
from coachwright.control.heads import CompiledHeads, compile_heads
from coachwright.control.rounds import BLANK_TIMER, CompiledMove, Rounds
from coachwright.control.showing import equipment_says, heads_say
from coachwright.control.signals import Sources, compile_sources
from coachwright.parts.schema import ControllerPart

SUPPLY = "supply"
"""Name of the signal that can take the controller's power away."""


@dataclass(frozen=True, slots=True)
class Watch:
    """A condition to be answered in every moment, heads, equipment and events included.

    excused : functions whose own output doesn't make it true.
    """

    condition: Condition
    excused: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class TellTale:
    """One tell-tale. answer : of its condition, None when it follows the control at `place`."""

    control: str
    place: int
    answer: Answer | None


@dataclass(frozen=True, slots=True)
class CompiledMessage:
    """One message. functions : bits of those that say it."""

    name: str
    answer: Answer
    functions: int


@dataclass(frozen=True, slots=True)
class Later:
    """What is worked out once functions are known.

    active_at, held_off_at : places of two sets of functions. heads_at, sounds_at, runs_at : places of what is shown.
    reads_heads : does a watch read heads or equipment?
    """

    tasks: tuple[Task, ...]
    active_at: int
    held_off_at: int
    heads_at: int
    sounds_at: int
    runs_at: int
    reads_heads: bool
    watches: tuple[Answer, ...]
    messages: tuple[CompiledMessage, ...]
    tell_tales: tuple[TellTale, ...]


@dataclass(frozen=True, slots=True)
class Machine:
    """A build's control, ready to run. `runs`, `interrupts` : (name, bits of the functions that do it).

    blank_timers : timers at power-up. timed : the condition of each timer. turning : of each ``becomes``.
    least_supply_v : under it the controller loses its power; 0 when that is not known.
    supply_at : place of the supply among the inputs, None without one.
    """

    inputs: tuple[Input, ...]
    sources: Sources
    memories: tuple[Memory, ...]
    rounds: Rounds
    functions: tuple[CompiledFunction, ...]
    stops: tuple[CompiledStop, ...]
    heads: CompiledHeads
    runs: tuple[tuple[str, int], ...]
    interrupts: tuple[tuple[str, int], ...]
    later: Later
    scene_n: int
    blank_timers: tuple[int, ...]
    becomes_n: int
    supply_at: int | None
    least_supply_v: float
    timed: tuple[Held | First | Plus, ...] = ()
    turning: tuple[Condition, ...] = ()


def compile_model(model: Model, watch: Sequence[Watch] = ()) -> Machine:
    """The machine of a model.

    Raises
    ------
    ValueError : for what the file door refuses (unknown names, words that read each other in a circle).
    """
    return compile_with(model, watch)[0]


def compile_with(model: Model, watch: Sequence[Watch] = ()) -> tuple[Machine, Compiler]:
    """The machine of a model, and what compiled it: conditions compiled by it afterwards read this machine's scene.

    Raises
    ------
    ValueError : for what the file door refuses (unknown names, words that read each other in a circle).
    """
    compiler = Compiler(model.inputs, model.memories, model.words)
    for word in model.words:  # also those that nothing reads: an error in them is an error
        compiler.compile(Truth(word.name))
    functions = tuple(compile_function(model, function, compiler) for function in model.functions)
    stops = tuple(compile_stop(model, stop, compiler) for stop in model.stops)
    limits = tuple(compile_limit(model, limit, compiler) for limit in model.limits)
    moves = tuple(tuple(_move(model, memory, move, compiler) for move in memory.moves) for memory in model.memories)
    later = _later(model, compiler, watch)
    names = [item.name for item in model.inputs]
    machine = Machine(
        inputs=model.inputs,
        sources=compile_sources(model.inputs),
        memories=model.memories,
        rounds=Rounds(tuple(compiler.tasks), moves, compiler.inputs_n, tuple(compiler.events.values())),
        functions=functions,
        stops=stops,
        heads=compile_heads(model, functions, limits, compiler.inputs_n),
        runs=_doers(model, lambda place: model.functions[place].runs),
        interrupts=_doers(model, lambda place: model.functions[place].interrupts),
        later=later,
        scene_n=compiler.scene_n,
        blank_timers=tuple(BLANK_TIMER[type(timer).__name__.lower()] for timer in compiler.timers),
        becomes_n=len(compiler.becomes),
        supply_at=names.index(SUPPLY) if SUPPLY in names and not model.input(SUPPLY).values else None,
        least_supply_v=_least_supply_v(model),
        timed=tuple(compiler.timers),
        turning=tuple(compiler.becomes),
    )
    return machine, compiler


def _move(model: Model, memory: Memory, move: Move, compiler: Compiler) -> CompiledMove:
    on = compiler.compile(move.on)
    also = compiler.compile(move.condition) if move.condition is not None else None
    answer = on if also is None else _both(on, also)
    controls = {item.name for item in model.inputs if item.is_control}
    events = [event for event in control_events(move) if event.name in controls]
    for event in events:
        compiler.compile(event)
    around = [memory.values.index(value) for value in move.next]
    return CompiledMove(
        answer,
        memory.values.index(move.to) if not move.next else -1,
        tuple(_following(around, value) for value in range(len(memory.values))) if around else (),
        tuple(compiler.events[event].at for event in events),
    )


def _both(one: Answer, other: Answer) -> Answer:
    return lambda scene: one(scene) and other(scene)


def _following(around: list[int], value: int) -> int:
    """Next value round the list; the first one when the present value isn't in it."""
    return around[(around.index(value) + 1) % len(around)] if value in around else around[0]


def _doers(model: Model, named: Callable[[int], tuple[str, ...]]) -> tuple[tuple[str, int], ...]:
    found: dict[str, int] = {}
    for place in range(len(model.functions)):
        for name in named(place):
            found[name] = found.get(name, 0) | 1 << place
    return tuple(sorted(found.items()))


def _later(model: Model, compiler: Compiler, watch: Sequence[Watch]) -> Later:
    active_at, held_off_at, heads_at, sounds_at, runs_at = (compiler.new_place() for _ in range(5))
    numbers = {function.name: number for number, function in enumerate(model.functions)}

    def leaf(condition: Condition) -> Answer | None:
        excused = compiler.excused
        match condition:
            case FunctionState(name, state):
                number, place = numbers[name], active_at if state == "active" else held_off_at
                return lambda scene: bool(scene[place] >> number & 1)
            case HeadStatement():
                return lambda scene: heads_say(condition, scene[heads_at], excused)
            case Truth(name):
                return lambda scene: equipment_says(name, scene[sounds_at], scene[runs_at], excused)
            case _:
                return None

    compiler.leaf = leaf
    messages = tuple(_message(model, message, compiler) for message in model.messages)
    tell_tales = tuple(
        TellTale(item.name, place, _condition_or_none(item.tell_tale_condition, compiler))
        for place, item in enumerate(model.inputs)
        if item.tell_tale or item.tell_tale_condition is not None
    )
    watches = []
    for each in watch:
        compiler.excused = each.excused
        watches.append(compiler.compile(each.condition, late=True))
    return Later(
        tuple(compiler.late_tasks),
        active_at,
        held_off_at,
        heads_at,
        sounds_at,
        runs_at,
        bool(watch),
        tuple(watches),
        messages,
        tell_tales,
    )


def _message(model: Model, message: Message, compiler: Compiler) -> CompiledMessage:
    said_by = sum(1 << place for place, function in enumerate(model.functions) if message.name in function.says)
    if message.when is None:
        return CompiledMessage(message.name, _never, said_by)
    return CompiledMessage(message.name, compiler.compile(message.when, late=True), said_by)


def _never(_scene: Scene) -> bool:
    return False


def _condition_or_none(condition: Condition | None, compiler: Compiler) -> Answer | None:
    return None if condition is None else compiler.compile(condition, late=True)


def _least_supply_v(model: Model) -> float:
    """The highest least voltage of the job's controllers: under it the first of them is without power. [V]"""
    parts = dict(model.parts)
    used = [parts.get(item.part) for item in model.equipment]
    return max((part.least_voltage for part in used if isinstance(part, ControllerPart)), default=0.0)
