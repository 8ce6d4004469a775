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

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import Literal

from coachwright.build.condition import First
from coachwright.control.asleep import reads_off
from coachwright.control.believable import Believable
from coachwright.control.encode import Moment, Timed
from coachwright.control.frame import ASLEEP, Frame
from coachwright.control.lies import Lie
from coachwright.control.machine import (
    ends_next_ms,
    memory_of,
    outputs_of,
    values_read,
)
from coachwright.control.run import (
    AT_REST,
    MOST_WAITS,
    WAKES,
    Act,
    Acted,
    Run,
    Settings,
    Stage,
    Watched,
    begins,
    falls_asleep,
    fault_text,
    only_waits,
    place_of,
    set_to,
    text_of,
    waited,
)
from coachwright.control.sat import Solution
from coachwright.control.sources import Fault, SettingNotKnownError
from coachwright.control.unrolled import Unrolled

_WHOLE_MS = (60_000, 1_000)
"""What a person can wait for by the clock: whole minutes, else whole seconds."""


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


def acted_out(
    watched: Watched, row: Sequence[Row], said: Moment, lie: Lie | None = None, *, faults: Sequence[Fault] = ()
) -> Acted | None:
    """The story of a row, shortened; None when the machine doesn't break the promise on it.

    said : the moment whose choices say how a setting is told. lie : of a source, from where the row says so.
    faults : of further ones, from power-up on.
    """
    row = _row_heard(row, lie)
    away = tuple((name, value) for name, value in row[0].reads if place_of(said, name, value) != said.inputs[name].rest)
    ways = [row]  # with memory as in the row; and not, where the machine gets there otherwise
    if any(each.memory for each in row):
        ways.append([replace(each, memory=()) for each in row])
    faults = (*faults, *((lie.fault,) if lie is not None and row[0].lying else ()))
    special = any(one.lying != other.lying or one.asleep != other.asleep for one, other in pairwise(row))
    orders = _ORDERS if special or row[0].asleep else _ORDERS[:1]
    stage = Stage(watched, Believable(said, watched.model), Believable(said, said.model), lie)
    found: Acted | None = None
    for start in ((), away) if away else ((),):
        played = _first_played(stage, (start, faults), said, product(ways, (False, True), orders))
        story = None if played is None else _shortened(played[0], said, start, played[1])
        if story is not None and (found is None or _steps_n(story.acts, said) < _steps_n(found.acts, said)):
            found = story
        if found is not None and _steps_n(found.acts, said) <= _changing_n(row):
            break
    return found


def _first_played(
    stage: Stage,
    begun: tuple[Settings, Sequence[Fault]],
    said: Moment,
    ways: Iterable[tuple[Sequence[Row], bool, _Order]],
) -> tuple[Run, tuple[Act, ...]] | None:
    """The acts of the first of these ways that breaks the promise, and the run that did. begun : at power-up."""
    for way, together, order in ways:
        run = stage.run(*begun)
        acts = _played(run, said, way, together=together, order=order)
        if acts is not None:
            return run, acts
    return None


def _changing_n(row: Sequence[Row]) -> int:
    """Moments of a row in which something is done, and the last of it. What else lies between only lasts."""
    last = len(row) - 1
    return sum(
        place == last or (one.reads, one.asleep, one.lying) != (other.reads, other.asleep, other.lying)
        for place, (one, other) in enumerate(pairwise(row), 1)
    )


def _steps_n(acts: Iterable[Act], said: Moment) -> int:
    """Steps after the power-up, once all is done at once that a wait or a second setting doesn't part.

    What is set before the first wait could stand at power-up as well, but for what begins at its own `start`.
    """
    inputs = said.model.inputs
    begins_at = {item.name for item in inputs if item.kind in ("toggle", "pick-one") and item.start in item.values}
    steps_n, names = 0, set[str]()
    for act in acts:
        new = {name for name, _ in act.settings}
        new |= {act.fault.input} if act.fault is not None else set()
        new |= {ASLEEP} if act.asleep is not None else set()
        if act.wait_ms or new & names or (not steps_n and new & begins_at):
            steps_n, names = steps_n + 1, set()
        names |= new
    return steps_n


def _row_heard(row: Sequence[Row], lie: Lie | None) -> list[Row]:
    """The row without what the source that lies would have to be set to; a hand may have to set it as it begins."""
    heard, lay = [], False
    for each in row:
        silent = lie is not None and each.lying and (lay or not lie.by_hand or each is row[0])
        reads = tuple(one for one in each.reads if lie is None or not silent or one[0] != lie.input)
        heard.append(replace(each, reads=reads))
        lay = each.lying
    return heard


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
            while left:
                group = left if together else _next_of(run, said, left)
                left = tuple(each for each in left if each not in group)
                if do(set_to(said, group)):
                    return tuple(acts)
            if any(map(do, then)):
                return tuple(acts)
        if run.astray:
            return None
    return tuple(acts) if run.broken else None


def _next_of(run: Run, said: Moment, left: Settings) -> Settings:
    """The first that can be set by itself; all of them where none can."""
    if not run.stage.truly.items:
        return left[:1]
    for each in left:
        trial = run.copy()
        trial.act(set_to(said, (each,)))
        if not trial.astray:
            return (each,)
    return left


def _by_itself(run: Run, moment: Row) -> list[Act]:
    """What no hand does to get to the moment: the controller falls asleep or wakes, a source begins to lie."""
    found = []
    if moment.asleep != run.state.inputs.asleep:
        found.append(falls_asleep(run.watched.sleep) if moment.asleep else WAKES)
    lie = run.stage.lie
    if lie is not None and moment.lying and not run.faults:
        found.append(begins(lie.fault))
        item = run.watched.model.input(lie.input)
        if item.kind == "turn-wire":
            found.append(waited(item.edge_hold_ms))
    return found


def _wait_for(run: Run, moment: Row, acts: list[Act], said: Moment) -> None:
    """Let the times pass that have passed in the row."""
    for _ in range(MOST_WAITS):
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
        (name, value) for name, value in moment.reads if place_of(said, name, read[name]) != place_of(said, name, value)
    ]
    return tuple(found)


def _shortened(first: Run, said: Moment, start: Settings, acts: tuple[Act, ...]) -> Acted:
    """Without any act, or setting at the start, that isn't needed; a fault that can be there from power-up is.

    first : the run that broke it.
    """
    stage, lie = first.stage, first.stage.lie
    without = tuple(act for act in acts if act.fault is None)
    faults = first.faults if without == acts else ()
    if lie is not None and not faults and _breaks(stage.run(start, (lie.fault,)), without):
        acts, faults = without, (lie.fault,)

    def run() -> Run:
        return stage.run(start, faults)

    shorter = True
    while shorter:
        shorter = False
        for place in range(len(acts) - 1, -1, -1):
            fewer = (*acts[:place], *acts[place + 1 :])
            if _breaks(run(), fewer):
                acts, shorter = fewer, True
        for place in range(len(start) - 1, -1, -1):
            less = (*start[:place], *start[place + 1 :])
            if _breaks(stage.run(less, faults), acts):
                start, shorter = less, True
    acts = _round_waits(run, acts)
    last = run()
    done: list[Act] = []
    for act in acts:
        if last.broken:
            break
        last.act(act)
        done.append(act)
    text = AT_REST
    if start:
        text = f"power-up with {' and '.join(text_of(said, name, value) for name, value in start)}"
    reads = tuple(values_read(last.machine, last.state).items())
    outputs = outputs_of(last.machine, last.state)
    return Acted(start, text, tuple(done), reads, outputs, tuple(map(fault_text, faults)))


def _round_waits(run: Callable[[], Run], acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """Waits in a row are one, and one of whole minutes or seconds where that leads there too."""
    joined: list[Act] = []
    for act in acts:
        if joined and only_waits(act) and only_waits(joined[-1]):
            joined[-1] = waited(joined[-1].wait_ms + act.wait_ms)
        else:
            joined.append(act)
    for place, act in enumerate(joined):
        for whole_ms in _WHOLE_MS:
            rounded = -(-act.wait_ms // whole_ms) * whole_ms
            tried = [*joined[:place], waited(rounded), *joined[place + 1 :]]
            if only_waits(act) and act.wait_ms > whole_ms and _breaks(run(), tried):
                joined = tried
                break
    return tuple(joined)


def _breaks(run: Run, acts: Sequence[Act]) -> bool:
    for act in acts:
        if run.broken:
            return True
        try:
            run.act(act)
        except SettingNotKnownError:
            return False  # a toggle that another act had let go
    return run.broken
