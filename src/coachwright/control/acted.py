"""Can a row of moments be acted out, and what does a person have to do? Only what the machine itself does counts.

A row says what every input reads in each moment and which times have passed. It is tried on the machine: waits until
the times of the row have passed, then sets what the row sets, one thing after the other or, where that leads
elsewhere, at once. What breaks the promise in the end is shortened: an act without which it breaks as well is left out.
Nothing is done that the body says can't be.

See Also
--------
coachwright.control.unrolled : where rows come from. coachwright.control.machine : the step that decides.
coachwright.control.believable : what can be.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from itertools import product

from coachwright.build.condition import And, Condition, Constant, First, Held, Not
from coachwright.build.model import Model, Promise
from coachwright.build.quantity_text import print_time
from coachwright.control.believable import Believable
from coachwright.control.choices import Value
from coachwright.control.conditions import TimerTask
from coachwright.control.encode import Moment, Timed
from coachwright.control.frames import Frame
from coachwright.control.machine import (
    Instant,
    Watch,
    build_machine,
    changed_inputs,
    ends_next_ms,
    instants,
    memory_of,
    outputs_of,
    power_up,
    start_inputs,
    values_read,
)
from coachwright.control.sat import Solution
from coachwright.control.signals import Inputs
from coachwright.control.sources import LOST, Fault, SettingNotKnownError, let_go
from coachwright.control.statement import Outputs
from coachwright.control.unrolled import Unrolled

_AT_REST = "power-up, everything at rest"
_MOST_WAITS = 24
"""Ends of timers waited for, at most, before one moment of a row."""

_WHOLE_MS = (60_000, 1_000)
"""What a person can wait for by the clock: whole minutes, else whole seconds."""


Settings = tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One moment of a row.

    Parameters
    ----------
    boot : a power-up. reads : what every input reads. timed : which times have passed.
    memory : where every memory stands in the end.
    """

    boot: bool
    reads: Settings
    timed: tuple[tuple[Timed, bool], ...]
    memory: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Act:
    """What a person does: sets inputs (all at once), or waits."""

    settings: Settings
    wait_ms: int
    text: str


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
        watches = watches_of(promise)
        self.machine = build_machine(model, watch=watches)

    def watching(self, condition: Condition) -> Watched:
        """The same build, told when this holds."""
        other = copy(self)
        other.promise = replace(self.promise, kind="never")
        other.machine = build_machine(self.model, watch=[Watch(condition, frozenset(self.promise.but))])
        return other

    def sees(self, instant: Instant, armed: bool) -> tuple[bool, bool]:
        """Is the promise broken in this moment, and is it armed after it?"""
        if self.promise.kind != "between":
            return instant.watched[0], True
        broken, after, until = instant.watched
        armed = not until and (after or armed)
        return armed and broken, armed


def row_of(unrolled: Unrolled, frames: Sequence[Frame], solution: Solution) -> tuple[Row, ...]:
    """The row of moments a solution says."""
    moment, row = unrolled.moment, []
    for frame in frames:
        reads = []
        for choice in moment.inputs.values():
            literals = moment.circuit.copied(choice.literals, unrolled.circuit, dict(frame.values))
            reads.append((choice.name, choice.values[solution.holds(*literals).index(True)]))
        timed = [
            (each, solution.holds(frame.values[literal])[0])
            for each, literal in moment.timed.items()
            if literal in frame.values
        ]
        memory = tuple(
            (choice.name, str(choice.values[solution.holds(*frame.memory[choice.name]).index(True)]))
            for choice in moment.memories.values()
        )
        row.append(Row(solution.holds(frame.boot)[0], tuple(reads), tuple(timed), memory))
    return tuple(row)


def acted_out(watched: Watched, row: Sequence[Row], said: Moment, faults: Sequence[Fault] = ()) -> Acted | None:
    """The story of a row, shortened; None when the machine doesn't break the promise on it.

    said : the moment whose choices say how a setting is told. faults : that hold from power-up on.
    """
    silent = {fault.input for fault in faults}
    row = [replace(each, reads=tuple(one for one in each.reads if one[0] not in silent)) for each in row]
    away = tuple((name, value) for name, value in row[0].reads if _place(said, name, value) != said.inputs[name].rest)
    ways = [row]  # with memory as in the row; and not, where the machine gets there otherwise
    if any(each.memory for each in row):
        ways.append([replace(each, memory=()) for each in row])
    stage = Stage(watched, tuple(faults), Believable(said))
    found: Acted | None = None
    for start in ((), away) if away else ((),):
        acts = _first_played(stage, start, said, ways)
        story = None if acts is None else _shortened(stage, said, start, acts)
        if story is not None and (found is None or _steps_n(story.acts, said) < _steps_n(found.acts, said)):
            found = story
        if found is not None and _steps_n(found.acts, said) <= _changing_n(row):
            break
    return found


def _first_played(stage: Stage, start: Settings, said: Moment, ways: Iterable[Sequence[Row]]) -> tuple[Act, ...] | None:
    """The acts of the first of these ways that breaks the promise, begun with these settings."""
    for way, together in product(ways, (False, True)):
        acts = _played(stage.run(start), said, way, together=together)
        if acts is not None:
            return acts
    return None


def _changing_n(row: Sequence[Row]) -> int:
    """Moments of a row in which something is set, and the last of it. What else lies between only lasts."""
    last = len(row) - 1
    return sum(row[place].reads != row[place - 1].reads or place == last for place in range(1, len(row)))


def _steps_n(acts: Iterable[Act], said: Moment) -> int:
    """Steps after the power-up, once all is done at once that a wait or a second setting doesn't part.

    What is set before the first wait could stand at power-up as well, but for what begins at its own `start`.
    """
    inputs = said.model.inputs
    begins = {item.name for item in inputs if item.kind in ("toggle", "pick-one") and item.start in item.values}
    steps_n, names = 0, set[str]()
    for act in acts:
        new = {name for name, _ in act.settings}
        if act.wait_ms or new & names or (not steps_n and new & begins):
            steps_n, names = steps_n + 1, set()
        names |= new
    return steps_n


def acted_blind(
    watched: Watched, settings: Settings, said: Moment, fault: Fault, parts: tuple[Condition, Condition]
) -> Acted | None:
    """A story in which a promise is not kept because one source lies; None when the machine keeps it.

    What the promise asks about is read from a machine of its own, to which the source tells the truth. Where the
    settings alone don't do it, each button is pressed after them: what it starts can be what may not be.

    Parameters
    ----------
    parts : what the promise asks about, and what may not be while it holds.
    """
    away = tuple((name, value) for name, value in settings if _place(said, name, value) != said.inputs[name].rest)
    set_up = tuple(set_to(said, (each,)) for each in away)
    pair = _blind_pair(watched, parts, fault, said)
    buttons = [item.name for item in said.model.inputs if item.kind == "button" and item.name not in dict(away)]
    rows = [set_up, *((*set_up, set_to(said, ((name, "on"),))) for name in buttons)]
    acts = next((row for row in rows if _blinded(pair, row)), None)
    if acts is None:
        return None
    shorter = True
    while shorter:
        shorter = False
        for place in range(len(acts) - 1, -1, -1):
            fewer = (*acts[:place], *acts[place + 1 :])
            if _blinded(pair, fewer):
                acts, shorter = fewer, True
    run = pair[1].run(())
    for act in acts:
        run.act(act)
    reads = tuple(values_read(run.machine, run.state).items())
    return Acted((), _AT_REST, acts, reads, outputs_of(run.machine, run.state), (_fault_text(fault),))


def _blind_pair(
    watched: Watched, parts: tuple[Condition, Condition], fault: Fault, said: Moment
) -> tuple[Stage, Stage]:
    """As it truly is, watching what the promise asks about for as long as it has to stand; as the machine reads it."""
    asked, wrong = parts
    if watched.promise.within_ms:
        asked = Held(asked, watched.promise.within_ms)
    truly = Believable(said, watched.model.cannot_be)
    return (
        Stage(watched.watching(asked), (), truly, stop=False),
        Stage(watched.watching(wrong), (fault,), Believable(said), stop=False),
    )


def _blinded(pair: tuple[Stage, Stage], acts: Sequence[Act]) -> bool:
    true, read = pair[0].run(()), pair[1].run(())
    for act in acts:
        for run in (true, read):
            run.act(act)
    waits = _MOST_WAITS
    while waits and not (true.broken and read.broken):
        wait_ms = min(filter(None, (ends_next_ms(run.machine, run.state) for run in (true, read))), default=0)
        if not wait_ms:
            break
        for run in (true, read):
            run.act(waited(wait_ms))
        waits -= 1
    return true.broken and read.broken and not (true.impossible or read.impossible)


def _played(run: Run, said: Moment, row: Sequence[Row], *, together: bool) -> tuple[Act, ...] | None:
    """The acts of a row up to where the promise is broken."""
    acts: list[Act] = []
    for moment in row:
        if run.broken:
            return tuple(acts)
        if moment.boot and moment is not row[0]:
            return None  # a loss of power within a row is no act of a person
        _wait_for(run, moment, acts, said)
        left = _not_yet(run, moment, said)
        while left:
            group = left if together else _next_of(run, said, left)
            left = tuple(each for each in left if each not in group)
            acts.append(set_to(said, group))
            run.act(acts[-1])
            if run.broken:
                return tuple(acts)
            if run.impossible:
                return None
    return tuple(acts) if run.broken else None


def _next_of(run: Run, said: Moment, left: Settings) -> Settings:
    """The first that can be set by itself; all of them where none can."""
    for each in left:
        trial = run.copy()
        trial.act(set_to(said, (each,)))
        if not trial.impossible:
            return (each,)
    return left


def _wait_for(run: Run, moment: Row, acts: list[Act], said: Moment) -> None:
    """Let the times pass that have passed in the row."""
    for _ in range(_MOST_WAITS):
        if run.broken or _times_fit(run, moment, said):
            return
        wait_ms = ends_next_ms(run.machine, run.state)
        if not wait_ms:
            return
        acts.append(waited(wait_ms))
        run.act(acts[-1])


def _times_fit(run: Run, moment: Row, said: Moment) -> bool:
    """Would the times of the moment have passed, were its inputs set now?"""
    wanted = {timed: true for timed, true in moment.timed if not isinstance(timed, First)}
    if not wanted and not moment.memory:
        return True
    trial = run.copy()
    left = _not_yet(trial, moment, said)
    if left:
        trial.act(set_to(said, left))
    memory = memory_of(trial.machine, trial.state)
    if any(memory[name] != value for name, value in moment.memory):
        return False
    known = trial.times()
    return all(known.get(timed, true) == true for timed, true in wanted.items())


def _not_yet(run: Run, moment: Row, said: Moment) -> Settings:
    """What still has to be set for the inputs to read as in the moment. A hazard is both wires."""
    read = values_read(run.machine, run.state)
    found = [
        (name, value) for name, value in moment.reads if _place(said, name, read[name]) != _place(said, name, value)
    ]
    return tuple(found)


def _shortened(stage: Stage, said: Moment, start: Settings, acts: tuple[Act, ...]) -> Acted:
    """Without any act, or setting at the start, that isn't needed."""
    shorter = True
    while shorter:
        shorter = False
        for place in range(len(acts) - 1, -1, -1):
            fewer = (*acts[:place], *acts[place + 1 :])
            if _breaks(stage.run(start), fewer):
                acts, shorter = fewer, True
        for place in range(len(start) - 1, -1, -1):
            less = (*start[:place], *start[place + 1 :])
            if _breaks(stage.run(less), acts):
                start, shorter = less, True
    acts = _round_waits(stage, start, acts)
    run = stage.run(start)
    done: list[Act] = []
    for act in acts:
        if run.broken:
            break
        run.act(act)
        done.append(act)
    text = _AT_REST
    if start:
        text = f"power-up with {' and '.join(_text(said, name, value) for name, value in start)}"
    reads = tuple(values_read(run.machine, run.state).items())
    outputs = outputs_of(run.machine, run.state)
    return Acted(start, text, tuple(done), reads, outputs, tuple(map(_fault_text, stage.faults)))


def _round_waits(stage: Stage, start: Settings, acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """Waits in a row are one, and one of whole minutes or seconds where that leads there too."""
    joined: list[Act] = []
    for act in acts:
        if joined and not act.settings and not joined[-1].settings:
            joined[-1] = waited(joined[-1].wait_ms + act.wait_ms)
        else:
            joined.append(act)
    for place, act in enumerate(joined):
        for whole_ms in _WHOLE_MS:
            rounded = -(-act.wait_ms // whole_ms) * whole_ms
            tried = [*joined[:place], waited(rounded), *joined[place + 1 :]]
            if not act.settings and act.wait_ms > whole_ms and _breaks(stage.run(start), tried):
                joined = tried
                break
    return tuple(joined)


def _fault_text(fault: Fault) -> str:
    return f"{fault.input} {'lost' if fault.stuck_at == LOST else f'stuck at {fault.stuck_at}'}"


def _breaks(run: Run, acts: Sequence[Act]) -> bool:
    for act in acts:
        if run.broken:
            return True
        try:
            run.act(act)
        except SettingNotKnownError:
            return False  # a toggle that another act had let go
    return run.broken


@dataclass(frozen=True, slots=True)
class Stage:
    """Where a story is played: faults hold from power-up on, and what isn't believable isn't done.

    stop : nothing more is done once the promise is broken.
    """

    watched: Watched
    faults: tuple[Fault, ...]
    believable: Believable
    stop: bool = True

    def run(self, start: Settings) -> Run:
        """A power-up with these settings."""
        return Run(self, start)


class Run:
    """A story as it goes on: the machine's state, and whether the promise has been broken.

    impossible : something was to be done that the body says can't be; nothing is done any more.
    """

    def __init__(self, stage: Stage, start: Settings) -> None:
        self.stage = stage
        self.watched = stage.watched
        self.machine = stage.watched.machine
        inputs, kept = start_inputs(self.machine, dict(start))
        self.state, _ = power_up(self.machine, inputs, kept=kept, faults=stage.faults)
        self.armed = False
        self.broken = False
        self.impossible = False
        self.last: Instant | None = None
        # A further look at the same moment, in which nothing happens, answers the watches.
        self._step(self.state.inputs, 0)

    def copy(self) -> Run:
        """The same, to try something with."""
        return copy(self)

    def act(self, act: Act) -> None:
        """Do it, until the promise is broken."""
        if not act.settings:
            self._step(self.state.inputs, act.wait_ms)
            return
        released = let_go(self.machine.inputs, self.state.inputs)
        if released != self.state.inputs:
            self._step(released, 0)
        self._step(changed_inputs(self.machine, self.state, dict(act.settings)), 0)
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
        if self.impossible or (self.broken and self.stage.stop):
            return
        if not self.stage.believable.allows(self.machine.inputs, inputs, self.state.reading.kept):
            self.impossible = True
            return
        for instant in instants(self.machine, self.state, inputs, elapsed_ms, faults=self.stage.faults):
            self._see(instant)
            if self.broken and self.stage.stop:
                break

    def _see(self, instant: Instant) -> None:
        self.state, self.last = instant.state, instant
        self.broken, self.armed = self.watched.sees(instant, self.armed)


def waited(wait_ms: int) -> Act:
    """The act of waiting."""
    return Act((), wait_ms, f"wait {print_time(wait_ms)}")


def set_to(said: Moment, settings: Settings) -> Act:
    """The act of setting inputs, all at once."""
    return Act(settings, 0, " and ".join(_text(said, name, value) for name, value in settings))


def _text(said: Moment, name: str, value: Value) -> str:
    choice = said.inputs[name]
    return choice.texts[choice.place(value)]


def _place(said: Moment, name: str, value: Value) -> int:
    return said.inputs[name].place(value)
