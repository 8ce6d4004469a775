"""In which stage of shedding is the vehicle, and when does it go to the next, or back?

A build may say it itself: a memory marked ``ordered: yes`` whose moves read the supply. Then its values are the stages
(the first is none), a feed with ``shed: 1`` is off from the second value on, and what is read here is where the machine
has that memory. Without one the stages, their voltages and the recovery are those of loads.yaml.

This is the one place where a build is asked what it does as the supply sinks: a day reads its watches from here too.

See Also
--------
coachwright.power.feeds : what a stage takes away. coachwright.power.supply_of : the same as watches of a day.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.condition import Compare, Condition, Held, names_read
from coachwright.build.model import Memory, Model
from coachwright.control.functions import names_through_words
from coachwright.control.machine import memory_of
from coachwright.control.situations import machine_of, settings_of, settled
from coachwright.power.load_figures import load_figures

SUPPLY = "supply"


@dataclass(frozen=True, slots=True)
class Threshold:
    """Under `below_v` for `held_s` it is at least in this stage."""

    stage: int
    below_v: float
    held_s: float


@dataclass(frozen=True, slots=True)
class Shedding:
    """The stages, the deepest first.

    memory : that keeps the stage, "" where the build has none. values : of it, in their order.
    back_above_v, back_held_s : then there is no stage; infinite where the build has a memory that nothing takes back.
    whole : every move of the memory could be said in such figures; else only the machine knows.
    """

    thresholds: tuple[Threshold, ...]
    back_above_v: float
    back_held_s: float
    memory: str = ""
    whole: bool = True
    values: tuple[str, ...] = ()

    def stage_name(self, stage: int) -> str:
        """What a stage is called: ``memory.stage.one``; by its number where no memory keeps it."""
        return f"memory.{self.memory}.{self.values[stage]}" if self.memory else f"shed.{stage}"

    def that_shed(self, order: int) -> tuple[str, ...]:
        """Names of the stages in which a thing with this `shed` is off, the first to come before the others."""
        return tuple(self.stage_name(each.stage) for each in reversed(self.thresholds) if 0 < order <= each.stage)


@dataclass(frozen=True, slots=True)
class LowMove:
    """A move of a memory that a low supply makes: to which value, under which voltage, held so long. [V, s]"""

    memory: str
    to: str
    below_v: float
    held_s: float


@dataclass(frozen=True, slots=True)
class StageClock:
    """stage : now. low_s : under each threshold so long, in their order. back_s : above the recovery voltage. [s]"""

    stage: int
    low_s: tuple[float, ...]
    back_s: float = 0.0


def stage_memory(model: Model) -> Memory | None:
    """The memory that keeps the stage: ordered, and moved by the supply."""
    words = {word.name: word.condition for word in model.words}
    for memory in model.memories:
        read = {name for move in memory.moves for name in names_through_words(move.on, words)}
        if memory.ordered and SUPPLY in read:
            return memory
    return None


def stage_in(model: Model, situation: str) -> int:
    """Stage in a situation, at rest; 0 is none."""
    memory = stage_memory(model)
    if memory is not None:
        value = memory_of(machine_of(model), settled(model, situation).state)[memory.name]
        return memory.values.index(value)
    supply_v = dict(settings_of(model, situation)).get(SUPPLY)
    if not isinstance(supply_v, float):
        return 0
    return max((each.stage for each in shedding_of(model).thresholds if supply_v < each.below_v), default=0)


def shedding_of(model: Model) -> Shedding:
    """The stages of a build in figures."""
    figures, memory = load_figures(), stage_memory(model)
    if memory is None:
        stages = [Threshold(stage, below_v, figures.shed_held_s) for stage, below_v in figures.stages]
        deepest = tuple(sorted(stages, key=lambda each: -each.stage))
        return Shedding(deepest, figures.back_above_v, figures.back_held_s)
    thresholds, back, whole = [], (math.inf, 0.0), True  # where nothing takes the memory back it stays
    for move in memory.moves:
        said = supply_held(move.on)
        if said is None or move.next:
            whole = False
            continue
        operator, volts, held_s = said
        stage = memory.values.index(move.to)
        if operator in ("<", "<=") and stage > 0:
            thresholds.append(Threshold(stage, volts, held_s))
        elif operator in (">", ">=") and stage == 0:
            back = (volts, held_s)
        else:
            whole = False
    return Shedding(tuple(sorted(thresholds, key=lambda each: -each.stage)), *back, memory.name, whole, memory.values)


def low_moves(memory: Memory) -> Iterator[LowMove]:
    """Every move of a memory that a low supply makes, whether it is the one that keeps the stage or not."""
    for move in memory.moves:
        said = supply_held(move.on)
        if said is not None and said[0] in ("<", "<=") and move.to:
            yield LowMove(memory.name, move.to, said[1], said[2])


def back_of(memory: Memory) -> tuple[float, float] | None:
    """Voltage and time that take a memory back to where it starts; None where nothing does: it stays low. [V, s]"""
    for move in memory.moves:
        said = supply_held(move.on)
        if said is not None and said[0] in (">", ">=") and move.to == memory.start:
            return said[1], said[2]
    return None


def recovery() -> tuple[float, float]:
    """Above which voltage, and for how long, what was cut comes back where the build says nothing. [V, s]"""
    figures = load_figures()
    return figures.back_above_v, figures.back_held_s


def supply_held(condition: Condition | None) -> tuple[str, float, float] | None:
    """``supply < 11.8 V held 2 min`` as operator, volts and seconds; None for anything else."""
    held_s, inside = 0.0, condition
    if isinstance(condition, Held):
        held_s, inside = condition.time_ms / 1000, condition.item
    if isinstance(inside, Compare) and names_read(inside) == {SUPPLY} and isinstance(inside.value, float):
        return inside.operator, inside.value, held_s
    return None


def begin(shedding: Shedding, *, stage: int = 0) -> StageClock:
    """A clock at its start."""
    return StageClock(stage, (0.0,) * len(shedding.thresholds))


def later(shedding: Shedding, clock: StageClock, *, voltage_v: float, elapsed_s: float) -> StageClock:
    """The stage a while later, the voltage having been this all the while. It goes back only above recovery."""
    low_s = tuple(
        before_s + elapsed_s if voltage_v < each.below_v else 0.0
        for each, before_s in zip(shedding.thresholds, clock.low_s, strict=True)
    )
    back_s = clock.back_s + elapsed_s if voltage_v > shedding.back_above_v else 0.0
    reached = [each.stage for each, so_long_s in zip(shedding.thresholds, low_s, strict=True) if _due(each, so_long_s)]
    stage = max((clock.stage, *reached))
    if back_s > 0 and back_s >= shedding.back_held_s:
        stage = 0
    return StageClock(stage, low_s, back_s)


def _due(threshold: Threshold, so_long_s: float) -> bool:
    return so_long_s > 0 and so_long_s >= threshold.held_s
