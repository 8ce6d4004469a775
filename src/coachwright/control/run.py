"""A story as it goes on: what is done, one act after the other, on the machine itself.

See Also
--------
coachwright.control.acted, coachwright.control.acted_blind : who tries stories. coachwright.control.machine : the step.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace

from coachwright.build.condition import And, Condition, Constant, Held, Not
from coachwright.build.model import Model, Promise
from coachwright.build.quantity_text import print_time
from coachwright.control.asleep import Sleep, sleep_of
from coachwright.control.believable import Believable
from coachwright.control.choices import Value
from coachwright.control.conditions import TimerTask
from coachwright.control.encode import Moment, Timed
from coachwright.control.lies import Lie
from coachwright.control.machine import (
    Instant,
    Machine,
    Watch,
    build_machine,
    changed_inputs,
    instants,
    power_up,
    start_inputs,
)
from coachwright.control.signals import Inputs
from coachwright.control.sources import LOST, Fault, let_go
from coachwright.control.statement import Outputs

AT_REST = "power-up, everything at rest"
MOST_WAITS = 24
"""Ends of timers waited for, at most, before one moment of a row."""

Settings = tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class Act:
    """What is done: inputs are set (all at once), time passes, a source begins to lie, the controller falls asleep.

    asleep : it falls asleep once `wait_ms` have passed, or wakes; None leaves it.
    """

    settings: Settings
    wait_ms: int
    text: str
    fault: Fault | None = None
    asleep: bool | None = None


@dataclass(frozen=True, slots=True)
class Acted:
    """A story that was acted out.

    start : settings that stand at power-up; start_said : the same, as a person says it.
    reads : what every input reads in the end. outputs : what is shown then.
    faults : sources that don't tell the truth from power-up on, in words.
    """

    start: Settings
    start_said: str
    acts: tuple[Act, ...]
    reads: Settings
    outputs: Outputs
    faults: tuple[str, ...] = ()

    @property
    def start_text(self) -> str:
        """How it begins."""
        return f"{self.start_said}; {' and '.join(self.faults)}" if self.faults else self.start_said

    @property
    def lines(self) -> tuple[str, ...]:
        """A line per act, to be read aloud."""
        return (self.start_text, *(act.text for act in self.acts))


def watches_of(promise: Promise) -> list[Watch]:
    """What has to be watched of a promise: what breaks it; of one between two events also these."""
    excused = frozenset(promise.but)
    never: Condition = Constant(value=False)
    if promise.kind == "then" and promise.when is not None and promise.then is not None:
        asked: Condition = Held(promise.when, promise.within_ms) if promise.within_ms else promise.when
        broken: Condition = And((asked, Not(promise.then)))
    else:
        broken = promise.never or never
    watches = [Watch(broken, excused)]
    if promise.kind == "between":
        watches += [Watch(promise.after or never, excused), Watch(promise.until or never, excused)]
    return watches


class Watched:
    """A machine that tells in every moment whether the promise is broken, remembering what it has to."""

    def __init__(self, model: Model, promise: Promise) -> None:
        self.model = model
        self.promise = promise
        self.sleep = sleep_of(model)
        self.machine = self._machine(watches_of(promise))

    def watching(self, condition: Condition) -> Watched:
        """The same build, told when this holds."""
        other = copy(self)
        other.promise = replace(self.promise, kind="never")
        other.machine = self._machine([Watch(condition, frozenset(self.promise.but))])
        return other

    def _machine(self, watches: list[Watch]) -> Machine:
        awake = [] if self.sleep is None else [Watch(self.sleep.awake_while)]
        return build_machine(self.model, watch=[*watches, *awake])

    def is_awake(self, instant: Instant) -> bool:
        """Does what keeps the controller awake hold in this moment?"""
        return self.sleep is None or instant.watched[-1]

    def sees(self, instant: Instant, armed: bool) -> tuple[bool, bool]:
        """Is the promise broken in this moment, and is it armed after it?"""
        if self.promise.kind != "between":
            return instant.watched[0], True
        broken, after, until = instant.watched[:3]
        armed = not until and (after or armed)
        return armed and broken, armed


@dataclass(frozen=True, slots=True)
class Stage:
    """Where stories are played; what isn't believable isn't done.

    truly : what can be. believable : what can be told while a source lies, of which the body then says nothing.
    lie : of the source a promise is asked under; what is broken before it lies doesn't count.
    stop : nothing more is done once the promise is broken.
    """

    watched: Watched
    truly: Believable
    believable: Believable
    lie: Lie | None = None
    stop: bool = True

    def run(self, start: Settings, faults: Sequence[Fault] = ()) -> Run:
        """A power-up with these settings. faults : sources that don't tell the truth, from power-up on."""
        return Run(self, start, faults)


class Run:
    """A story as it goes on: the machine's state, and whether the promise has been broken."""

    def __init__(self, stage: Stage, start: Settings, faults: Sequence[Fault]) -> None:
        self.stage = stage
        self.watched = stage.watched
        self.machine = stage.watched.machine
        self.faults = tuple(faults)
        inputs, kept = start_inputs(self.machine, dict(start))
        self.state, _ = power_up(self.machine, inputs, kept=kept, faults=self.faults)
        self.armed = False
        self.broken = False
        self.last: Instant | None = None
        self.now_ms = 0
        self.could_sleep_at_ms: int | None = None
        self.astray = False
        """It slept while it can't, or was to do what the body says can't be: nothing that follows counts."""
        # A further look at the same moment, in which nothing happens, answers the watches.
        self._step(inputs, 0)

    def copy(self) -> Run:
        """The same, to try something with."""
        return copy(self)

    def act(self, act: Act) -> None:
        """Do it, until the promise is broken."""
        if self.broken and self.stage.stop:
            return
        if act.wait_ms or only_waits(act):
            self._step(self.state.inputs, act.wait_ms)
        if only_waits(act):
            return
        released = let_go(self.machine.inputs, self.state.inputs)
        if released != self.state.inputs:
            self._step(released, 0)
        if act.fault is not None:
            self.faults = (*self.faults, act.fault)
        inputs = changed_inputs(self.machine, self.state, dict(act.settings))
        if act.asleep is not None:
            inputs = replace(inputs, asleep=act.asleep)
        self._step(inputs, 0)
        settle_ms = max((left_ms for _, _, left_ms in self.state.reading.settling), default=0)
        if settle_ms:
            self._step(self.state.inputs, settle_ms)

    def times(self) -> Mapping[Timed, bool]:
        """Which timed conditions are true now."""
        if self.last is None:
            return {}
        return {
            self.machine.timed[task.number]: bool(self.last.scene[task.at])
            for task in self.machine.rounds.tasks
            if isinstance(task, TimerTask)
        }

    def _step(self, inputs: Inputs, elapsed_ms: int) -> None:
        if self.astray or (self.broken and self.stage.stop):
            return
        believable = self.stage.believable if self.faults else self.stage.truly
        if not believable.allows(self.machine.inputs, inputs, self.state.reading.kept):
            self.broken, self.astray = False, True
            return
        began_ms = self.now_ms
        for instant in instants(self.machine, self.state, inputs, elapsed_ms, faults=self.faults):
            self._see(instant, began_ms + instant.at_ms)
            if self.broken and self.stage.stop:
                break

    def _see(self, instant: Instant, now_ms: int) -> None:
        self.state, self.last, self.now_ms = instant.state, instant, now_ms
        self._watch_sleep(instant)
        broken, self.armed = self.watched.sees(instant, self.armed)
        self.broken = broken and not self.astray and (self.stage.lie is None or bool(self.faults))

    def _watch_sleep(self, instant: Instant) -> None:
        """It may sleep once what keeps it awake has been over for its time."""
        sleep = self.watched.sleep
        if self.watched.is_awake(instant) or sleep is None:
            self.could_sleep_at_ms = None
        elif self.could_sleep_at_ms is None:
            self.could_sleep_at_ms = self.now_ms + sleep.after_ms
        slept_too_soon = self.could_sleep_at_ms is None or self.now_ms < self.could_sleep_at_ms
        self.astray = self.astray or (instant.state.inputs.asleep and slept_too_soon)


def waited(wait_ms: int) -> Act:
    """The act of waiting."""
    return Act((), wait_ms, f"wait {print_time(wait_ms)}")


def falls_asleep(sleep: Sleep | None) -> Act:
    """The controller falls asleep, once it may."""
    wait_ms = sleep.after_ms if sleep is not None else 0
    passes = f"wait {print_time(wait_ms)}: " if wait_ms else ""
    return Act((), wait_ms, f"{passes}the controller falls asleep", asleep=True)


WAKES = Act((), 0, "the controller wakes", asleep=False)
"""The controller wakes."""


def begins(fault: Fault) -> Act:
    """A source begins to lie here."""
    return Act((), 0, fault_text(fault), fault=fault)


def set_to(said: Moment, settings: Settings) -> Act:
    """The act of setting inputs, all at once."""
    return Act(settings, 0, " and ".join(text_of(said, name, value) for name, value in settings))


def text_of(said: Moment, name: str, value: Value) -> str:
    """As a person says that an input is set so."""
    choice = said.inputs[name]
    return choice.texts[choice.place(value)]


def place_of(said: Moment, name: str, value: Value) -> int:
    """Place of a value among those of an input."""
    return said.inputs[name].place(value)


def only_waits(act: Act) -> bool:
    """Does nothing but time pass?"""
    return not act.settings and act.fault is None and act.asleep is None


def fault_text(fault: Fault) -> str:
    """As a person says it, where nobody says it better."""
    return f"{fault.input} {'lost' if fault.stuck_at == LOST else f'stuck at {fault.stuck_at}'}"
