"""Can a row of moments be acted out, and what does a person have to do? Only what the machine itself does counts.

A row says what every input reads in each moment and which times have passed. It is tried on the machine: waits until
the times of the row have passed, then sets what the row sets, one thing after the other or, where that leads
elsewhere, at once. What breaks the promise in the end is shortened: an act without which it breaks as well is left out.

See Also
--------
coachwright.control.unrolled : where rows come from. coachwright.control.machine : the step that decides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import Literal

from coachwright.build.condition import And, Condition, Constant, First, Held, Not
from coachwright.build.model import Model, Promise
from coachwright.build.quantity_text import print_time
from coachwright.control.asleep import Sleep, reads_off, sleep_of
from coachwright.control.choices import Value
from coachwright.control.conditions import TimerTask
from coachwright.control.encode import Moment, Timed
from coachwright.control.frame import Frame
from coachwright.control.lies import Lie
from coachwright.control.machine import (
    Instant,
    Machine,
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
_Order = Literal["first", "last", "between"]
_ORDERS: tuple[_Order, ...] = ("first", "last", "between")


@dataclass(frozen=True, slots=True)
class Row:
    """One moment of a row.

    Parameters
    ----------
    boot : a power-up. reads : what every input reads. timed : which times have passed.
    memory : where every memory stands in the end. asleep : the controller sleeps. lying : a source has begun to lie.
    """

    boot: bool
    reads: Settings
    timed: tuple[tuple[Timed, bool], ...]
    memory: tuple[tuple[str, str], ...] = ()
    asleep: bool = False
    lying: bool = False


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
        boot, asleep, lying = solution.holds(frame.boot, frame.asleep, frame.lying)
        lying = lying and unrolled.heard.lie is not None
        row.append(Row(boot, tuple(reads), tuple(timed), memory, asleep, lying))
    return tuple(row)


def acted_out(watched: Watched, row: Sequence[Row], said: Moment, lie: Lie | None = None) -> Acted | None:
    """The story of a row, shortened; None when the machine doesn't break the promise on it.

    said : the moment whose choices say how a setting is told. lie : of a source, from where the row says so.
    """
    row = _row_heard(row, lie)
    away = tuple((name, value) for name, value in row[0].reads if _place(said, name, value) != said.inputs[name].rest)
    ways = [row]  # with memory as in the row; and not, where the machine gets there otherwise
    if any(each.memory for each in row):
        ways.append([replace(each, memory=()) for each in row])
    faults = (lie.fault,) if lie is not None and row[0].lying else ()
    special = any(one.lying != other.lying or one.asleep != other.asleep for one, other in pairwise(row))
    orders = _ORDERS if special or row[0].asleep else _ORDERS[:1]
    for start, way, together, order in product(((), away) if away else ((),), ways, (False, True), orders):
        run = Run(watched, start, faults, lie=lie)
        acts = _played(run, said, way, together=together, order=order)
        if acts is not None:
            return _shortened(run, said, start, acts)
    return None


def _row_heard(row: Sequence[Row], lie: Lie | None) -> list[Row]:
    """The row without what the source that lies would have to be set to; a hand may have to set it as it begins."""
    heard, lay = [], False
    for each in row:
        silent = lie is not None and each.lying and (lay or not lie.by_hand or each is row[0])
        reads = tuple(one for one in each.reads if lie is None or not silent or one[0] != lie.input)
        heard.append(replace(each, reads=reads))
        lay = each.lying
    return heard


def acted_blind(
    watched: Watched,
    settings: Settings,
    said: Moment,
    *,
    fault: Fault,
    parts: tuple[Condition, Condition],
    read: tuple[str, Value],
) -> Acted | None:
    """A story in which a promise is not kept because one source lies; None when the machine keeps it.

    What the promise asks about is read from a machine of its own, to which the source tells the truth. Where the
    settings alone don't do it, each button is pressed after them: what it starts can be what may not be. The source
    lies from power-up on; where that doesn't do it, from when it has told what is read under the fault.

    Parameters
    ----------
    parts : what the promise asks about, and what may not be while it holds. read : the input and what it reads then.
    """
    away = tuple((name, value) for name, value in settings if _place(said, name, value) != said.inputs[name].rest)
    set_up = tuple(set_to(said, (each,)) for each in away)
    pair = _blind_pair(watched, parts)
    buttons = [item.name for item in said.model.inputs if item.kind == "button" and item.name not in dict(away)]
    pushes: list[tuple[Act, ...]] = [(), *((set_to(said, ((name, "on"),)),) for name in buttons)]
    rows = [(*set_up, *push) for push in pushes]
    truly = set_to(said, ((read[0], dict(settings)[read[0]]),))
    others = tuple(act for act in set_up if act.settings[0][0] != read[0])
    for lies in (set_to(said, (read,)), begins(fault)), (begins(fault),):
        for push in pushes:
            rows += [(*others, *lies, truly, *push), (*others, *lies, *push, truly), (*lies, *others, truly, *push)]
    acts = next((row for row in rows if _blinded(pair, row, fault, said)), None)
    if acts is None:
        return None
    shorter = True
    while shorter:
        shorter = False
        for place in range(len(acts) - 1, -1, -1):
            fewer = (*acts[:place], *acts[place + 1 :])
            lay = any(act.fault is not None for act in fewer) or acts[place].fault is None
            if lay and _blinded(pair, fewer, fault, said):
                acts, shorter = fewer, True
    from_start = () if any(act.fault is not None for act in acts) else (fault,)
    run = Run(pair[1], (), from_start, stop=False)
    for act in acts:
        run.act(act)
    reads = tuple(values_read(run.machine, run.state).items())
    outputs = outputs_of(run.machine, run.state)
    return Acted((), _AT_REST, acts, reads, outputs, tuple(map(_fault_text, from_start)))


def _blind_pair(watched: Watched, parts: tuple[Condition, Condition]) -> tuple[Watched, Watched]:
    """Two watches: what the promise asks about, for as long as it has to stand, and what may not be then."""
    asked, wrong = parts
    if watched.promise.within_ms:
        asked = Held(asked, watched.promise.within_ms)
    return watched.watching(asked), watched.watching(wrong)


def _blinded(pair: tuple[Watched, Watched], acts: Sequence[Act], fault: Fault, said: Moment) -> bool:
    """Does it end so? The source lies from power-up on, where no act says from when."""
    from_start = () if any(act.fault is not None for act in acts) else (fault,)
    true, read = Run(pair[0], (), stop=False), Run(pair[1], (), from_start, stop=False)
    for act in acts:
        true.act(replace(act, fault=None))
        read.act(act)
    waits = _MOST_WAITS
    while waits and not (true.broken and read.broken):
        wait_ms = min(filter(None, (ends_next_ms(run.machine, run.state) for run in (true, read))), default=0)
        if not wait_ms:
            break
        for run in (true, read):
            run.act(waited(wait_ms))
        waits -= 1
    return true.broken and read.broken and bool(read.faults)


def _played(run: Run, said: Moment, row: Sequence[Row], *, together: bool, order: _Order) -> tuple[Act, ...] | None:
    """The acts of a row up to where the promise is broken.

    order : what no hand does comes first, or last, or between: signals are set before it sleeps, controls before it
        wakes, and the rest after that.
    """
    acts: list[Act] = []

    def do(act: Act) -> bool:
        acts.append(act)
        run.act(act)
        return run.broken

    for moment in row:
        if run.broken:
            return tuple(acts)
        if moment.boot and moment is not row[0]:
            return None  # a loss of power within a row is no act of a person
        _wait_for(run, moment, acts, said)
        by_itself = _by_itself(run, moment)
        hands = {item.name for item in said.model.inputs if reads_off(item)}
        everything = {item.name for item in said.model.inputs}
        parts: dict[_Order, list[tuple[set[str], list[Act]]]] = {
            "first": [(set(), by_itself), (everything, [])],
            "last": [(everything, by_itself)],
            "between": [(everything - hands if moment.asleep else hands, by_itself), (everything, [])],
        }
        for wanted, then in parts[order]:
            left = tuple(each for each in _not_yet(run, moment, said) if each[0] in wanted)
            groups = [left] if together and left else [(each,) for each in left]
            if any(do(set_to(said, group)) for group in groups) or any(map(do, then)):
                return tuple(acts)
    return tuple(acts) if run.broken else None


def _by_itself(run: Run, moment: Row) -> list[Act]:
    """What no hand does to get to the moment: the controller falls asleep or wakes, a source begins to lie."""
    found = []
    if moment.asleep != run.state.inputs.asleep:
        found.append(falls_asleep(run.watched.sleep) if moment.asleep else WAKES)
    if run.lie is not None and moment.lying and not run.faults:
        found.append(begins(run.lie.fault))
        item = run.watched.model.input(run.lie.input)
        if item.kind == "turn-wire":
            found.append(waited(item.edge_hold_ms))
    return found


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
    """What still has to be set for the inputs to read as in the moment. A hazard is both wires.

    Of a lever that is moved before the controller wakes counts where it stands.
    """
    read = values_read(run.machine, run.state)
    if run.state.inputs.asleep and not moment.asleep:
        for item, level in zip(run.machine.inputs, run.state.inputs.values, strict=True):
            if reads_off(item) and item.kind != "toggle":
                read[item.name] = item.values[int(level)]
    found = [
        (name, value) for name, value in moment.reads if _place(said, name, read[name]) != _place(said, name, value)
    ]
    return tuple(found)


def _shortened(first: Run, said: Moment, start: Settings, acts: tuple[Act, ...]) -> Acted:
    """Without any act, or setting at the start, that isn't needed; a fault that can be there from power-up is.

    first : the run that broke it.
    """
    watched, lie = first.watched, first.lie
    without = tuple(act for act in acts if act.fault is None)
    faults = first.faults if without == acts else ()
    if lie is not None and not faults and _breaks(Run(watched, start, (lie.fault,), lie=lie), without):
        acts, faults = without, (lie.fault,)

    def run() -> Run:
        return Run(watched, start, faults, lie=lie)

    shorter = True
    while shorter:
        shorter = False
        for place in range(len(acts) - 1, -1, -1):
            fewer = (*acts[:place], *acts[place + 1 :])
            if _breaks(run(), fewer):
                acts, shorter = fewer, True
        for place in range(len(start) - 1, -1, -1):
            less = (*start[:place], *start[place + 1 :])
            if _breaks(Run(watched, less, faults, lie=lie), acts):
                start, shorter = less, True
    acts = _round_waits(run, acts)
    last = run()
    done: list[Act] = []
    for act in acts:
        if last.broken:
            break
        last.act(act)
        done.append(act)
    text = _AT_REST
    if start:
        text = f"power-up with {' and '.join(_text(said, name, value) for name, value in start)}"
    reads = tuple(values_read(last.machine, last.state).items())
    outputs = outputs_of(last.machine, last.state)
    return Acted(start, text, tuple(done), reads, outputs, tuple(map(_fault_text, faults)))


def _round_waits(run: Callable[[], Run], acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """Waits in a row are one, and one of whole minutes or seconds where that leads there too."""
    joined: list[Act] = []
    for act in acts:
        if joined and _only_waits(act) and _only_waits(joined[-1]):
            joined[-1] = waited(joined[-1].wait_ms + act.wait_ms)
        else:
            joined.append(act)
    for place, act in enumerate(joined):
        for whole_ms in _WHOLE_MS:
            rounded = -(-act.wait_ms // whole_ms) * whole_ms
            tried = [*joined[:place], waited(rounded), *joined[place + 1 :]]
            if _only_waits(act) and act.wait_ms > whole_ms and _breaks(run(), tried):
                joined = tried
                break
    return tuple(joined)


def _only_waits(act: Act) -> bool:
    return not act.settings and act.fault is None and act.asleep is None


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


class Run:
    """A story as it goes on: the machine's state, and whether the promise has been broken.

    faults : sources that don't tell the truth, from power-up on. lie : of the source a promise is asked under; what is
    broken before it lies doesn't count. stop : nothing more is done once it is broken.
    """

    def __init__(
        self,
        watched: Watched,
        start: Settings,
        faults: Sequence[Fault] = (),
        *,
        lie: Lie | None = None,
        stop: bool = True,
    ) -> None:
        self.watched = watched
        self.machine = watched.machine
        self.faults = tuple(faults)
        self.lie = lie
        self.stop = stop
        inputs, kept = start_inputs(self.machine, dict(start))
        self.state, _ = power_up(self.machine, inputs, kept=kept, faults=self.faults)
        self.armed = False
        self.broken = False
        self.last: Instant | None = None
        self.now_ms = 0
        self.could_sleep_at_ms: int | None = None
        self.astray = False
        """The controller slept while it can't: nothing that follows counts."""
        # A further look at the same moment, in which nothing happens, answers the watches.
        for instant in instants(self.machine, self.state, self.state.inputs, 0, faults=self.faults):
            self._see(instant, 0)

    def copy(self) -> Run:
        """The same, to try something with."""
        return copy(self)

    def act(self, act: Act) -> None:
        """Do it, until the promise is broken."""
        if self.broken and self.stop:
            return
        if act.wait_ms or _only_waits(act):
            self._step(self.state.inputs, act.wait_ms)
        if _only_waits(act):
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
        if self.broken and self.stop:
            return
        began_ms = self.now_ms
        for instant in instants(self.machine, self.state, inputs, elapsed_ms, faults=self.faults):
            self._see(instant, began_ms + instant.at_ms)
            if self.broken and self.stop:
                break

    def _see(self, instant: Instant, now_ms: int) -> None:
        self.state, self.last, self.now_ms = instant.state, instant, now_ms
        self._watch_sleep(instant)
        broken, self.armed = self.watched.sees(instant, self.armed)
        self.broken = broken and not self.astray and (self.lie is None or bool(self.faults))

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
    return Act((), 0, _fault_text(fault), fault=fault)


def set_to(said: Moment, settings: Settings) -> Act:
    """The act of setting inputs, all at once."""
    return Act(settings, 0, " and ".join(_text(said, name, value) for name, value in settings))


def _text(said: Moment, name: str, value: Value) -> str:
    choice = said.inputs[name]
    return choice.texts[choice.place(value)]


def _place(said: Moment, name: str, value: Value) -> int:
    return said.inputs[name].place(value)
