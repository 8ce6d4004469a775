"""The one pure step: what does the controller do next, given its memory, its inputs, and the time that passed?

    machine = build_machine(model)
    inputs, kept = start_inputs(machine, {"gear": "D"})
    state, outputs = power_up(machine, inputs, kept=kept)
    state, outputs = step(machine, state, changed_inputs(machine, state, {"slide": "full"}), 500)

Time is whole milliseconds. It passes under the inputs of the step before, then the new ones are read; no step jumps
over the end of a timer (there it has an inner moment of its own, under the old inputs). So going on by a + b is going
on by a, then b, and ``step(s, new, t)`` is ``step(step(s, old, t), new, 0)``. Equal states have equal futures.

Everything that looks at the machine (situations, proofs, bench steps, replay, the preview) goes through here.

See Also
--------
coachwright.control.sources, coachwright.control.signals, coachwright.control.rounds, coachwright.control.functions,
coachwright.control.heads : one moment, in this order.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from coachwright.build.model import Model
from coachwright.control.compiled import Machine, Watch, compile_model
from coachwright.control.conditions import Scene
from coachwright.control.functions import Acting, act, names
from coachwright.control.heads import head_states, limits_now, sound_states
from coachwright.control.rounds import Rest, come_to_rest, work_out
from coachwright.control.signals import (
    NO_EVENTS,
    Events,
    Inputs,
    Reading,
    ends_in_ms,
    kept_at_start,
    pass_time,
    read,
)
from coachwright.control.sources import (
    Fault,
    Setting,
    SettingNotKnownError,
    change,
    closest,
    faulted,
    let_go,
    start_values,
)
from coachwright.control.statement import HeadState, Outputs, SoundState

__all__ = [
    "Fault",
    "Inputs",
    "Instant",
    "Machine",
    "State",
    "Watch",
    "advance",
    "build_machine",
    "changed_inputs",
    "ends_next_ms",
    "instants",
    "lay_in",
    "memory_of",
    "outputs_at",
    "outputs_of",
    "power_up",
    "start_inputs",
    "step",
    "step_to",
    "values_read",
]


@dataclass(frozen=True, slots=True)
class State:
    """All that the controller remembers between two steps.

    Parameters
    ----------
    inputs : what stood at the sources, faults applied; time passes under them.
    reading : levels, kept values, debounce and edge holds.
    memory : place of each memory's value.
    timers : of every timed condition. -1 nothing to count, above 0 the ms left, 0 over (coachwright.control.rounds).
    was : truth of every condition that something ``becomes``.
    held_off : functions that wait to be asked again, one bit each.
    low : the supply is under what the controller needs.
    """

    inputs: Inputs
    reading: Reading
    memory: tuple[int, ...]
    timers: tuple[int, ...]
    was: tuple[bool, ...]
    held_off: int
    low: bool


@dataclass(frozen=True, slots=True)
class Instant:
    """One moment of a step: `at_ms` after its start. watched : answers of the machine's watches."""

    at_ms: int
    state: State
    watched: tuple[bool, ...]
    scene: Scene
    acting: Acting
    rest: Rest
    events: Events


def build_machine(model: Model, *, watch: Sequence[Watch] = ()) -> Machine:
    """The machine of a build. `watch` : conditions that `instants` answers in every moment.

    Raises
    ------
    ValueError : for what the file door refuses.
    """
    return compile_model(model, watch)


def start_inputs(
    machine: Machine, settings: Mapping[str, Setting], *, asleep: bool = False
) -> tuple[Inputs, tuple[int, ...]]:
    """Sources and kept values with which `settings` are powered up; what isn't named is at rest.

    Raises
    ------
    SettingNotKnownError : for a name or a value that doesn't exist.
    """
    return start_values(machine.inputs, machine.sources, settings, asleep=asleep)


def changed_inputs(machine: Machine, state: State, settings: Mapping[str, Setting]) -> Inputs:
    """What stands at the sources once these settings change; a toggle set on or off is pressed where it has to be.

    Raises
    ------
    SettingNotKnownError : for a name or a value that doesn't exist.
    """
    return change(machine.inputs, state.inputs, state.reading.kept, settings)


def power_up(
    machine: Machine, inputs: Inputs, *, kept: tuple[int, ...] | None = None, faults: Sequence[Fault] = ()
) -> tuple[State, Outputs]:
    """Begin: no event fires, timers are 0, nothing is held off, memory is at `start`, then its condition moves act.

    Parameters
    ----------
    kept : kept values of toggles and pick-ones (from `start_inputs`); without it each has its `start`, and `last` is
        off.
    """
    instant = _power_up(machine, inputs, kept or kept_at_start(machine.sources), faults, 0)
    return instant.state, _outputs(machine, instant)


def step(
    machine: Machine, state: State, inputs: Inputs, elapsed_ms: int, *, faults: Sequence[Fault] = ()
) -> tuple[State, Outputs]:
    """Let `elapsed_ms` pass under the old inputs, then read the new ones.

    Raises
    ------
    ValueError : when time runs backward.
    """
    *_, last = instants(machine, state, inputs, elapsed_ms, faults=faults)
    return last.state, _outputs(machine, last)


def advance(machine: Machine, state: State, inputs: Inputs, elapsed_ms: int, *, faults: Sequence[Fault] = ()) -> State:
    """The state after a step, for those who don't look at what it puts out.

    Raises
    ------
    ValueError : when time runs backward.
    """
    *_, last = instants(machine, state, inputs, elapsed_ms, faults=faults)
    return last.state


def step_to(machine: Machine, state: State, settings: Mapping[str, Setting], elapsed_ms: int) -> tuple[State, Outputs]:
    """Let time pass, then change these settings, as a hand would: fingers still on toggles let go at its beginning.

    For stories without faults: a state knows only what reached the controller. A toggle with debounce has to be let go
    for that long before it can be pushed again.

    Raises
    ------
    SettingNotKnownError : for a name or a value that doesn't exist.
    """
    released = let_go(machine.inputs, state.inputs)
    if released != state.inputs:
        state, _ = step(machine, state, released, 0)
    return step(machine, state, changed_inputs(machine, state, settings), elapsed_ms)


def instants(
    machine: Machine, state: State, inputs: Inputs, elapsed_ms: int, *, faults: Sequence[Fault] = ()
) -> Iterator[Instant]:
    """Every moment of a step in order: each end of a timer, then the reading of the new inputs.

    Raises
    ------
    ValueError : when time runs backward.
    """
    if elapsed_ms < 0:
        raise ValueError(f"{elapsed_ms} ms: time doesn't run backward")
    at_ms = 0
    while True:
        end_ms = ends_next_ms(machine, state)
        if not end_ms or at_ms + end_ms > elapsed_ms:
            break
        at_ms += end_ms
        instant = _moment(machine, _passed(state, end_ms), state.inputs, at_ms)
        yield instant
        state = instant.state
    state = _passed(state, elapsed_ms - at_ms)
    if state.low or _is_low(machine, inputs):
        kept = kept_at_start(machine.sources, last=state.reading.kept)
        yield _power_up(machine, inputs, kept, faults, elapsed_ms)
    else:
        yield _moment(machine, state, faulted(machine.inputs, inputs, faults), elapsed_ms)


def outputs_of(machine: Machine, state: State) -> Outputs:
    """What a state puts out."""
    return _outputs(machine, _moment(machine, state, state.inputs, 0, quiet=True))


def outputs_at(machine: Machine, instant: Instant) -> Outputs:
    """What was put out in one moment of a step."""
    return _outputs(machine, instant)


def ends_next_ms(machine: Machine, state: State) -> int:
    """Time to the nearest end of a running timer; 0 when none runs. Asleep, timed conditions stand still."""
    if state.low:
        return 0
    nearest_ms = ends_in_ms(state.reading)
    if not state.inputs.asleep:
        for left_ms in state.timers:
            if left_ms > 0 and (left_ms < nearest_ms or not nearest_ms):
                nearest_ms = left_ms
    return nearest_ms


def lay_in(machine: Machine, state: State, memory: Mapping[str, str]) -> tuple[State, Outputs]:
    """The same moment with these memories at these values: nothing ``becomes`` true by it, condition moves act.

    Raises
    ------
    SettingNotKnownError : for a memory or a value that doesn't exist.
    """
    places = {each.name: place for place, each in enumerate(machine.memories)}
    values = list(state.memory)
    for name, value in memory.items():
        if name not in places:
            raise SettingNotKnownError(f"No memory is named {name}.{closest(name, places)}")
        known = machine.memories[places[name]].values
        if value not in known:
            raise SettingNotKnownError(f"{name} is never {value}. It has {', '.join(known)}.{closest(value, known)}")
        values[places[name]] = known.index(value)
    laid = replace(state, memory=tuple(values))
    instant = _moment(machine, laid, state.inputs, 0, quiet=True)
    return instant.state, _outputs(machine, instant)


def memory_of(machine: Machine, state: State) -> dict[str, str]:
    """Value of every memory, by name."""
    return {each.name: each.values[place] for each, place in zip(machine.memories, state.memory, strict=True)}


def values_read(machine: Machine, state: State) -> dict[str, Setting]:
    """What every input reads, by name: the value as conditions see it."""
    _, values, _ = read(machine.sources, (state.reading, state.inputs), state.inputs)
    return {
        item.name: item.values[int(value)] if item.values else float(value)
        for item, value in zip(machine.inputs, values, strict=True)
    }


def _power_up(machine: Machine, inputs: Inputs, kept: tuple[int, ...], faults: Sequence[Fault], at_ms: int) -> Instant:
    seen = faulted(machine.inputs, inputs, faults)
    reading, _, _ = read(machine.sources, None, seen, kept)
    start = tuple(memory.values.index(memory.start) for memory in machine.memories)
    blank = State(seen, reading, start, machine.blank_timers, (False,) * machine.becomes_n, 0, _is_low(machine, inputs))
    return _moment(machine, blank, seen, at_ms, quiet=True)


def _is_low(machine: Machine, inputs: Inputs) -> bool:
    return machine.supply_at is not None and inputs.values[machine.supply_at] < machine.least_supply_v


def _passed(state: State, elapsed_ms: int) -> State:
    """Later by `elapsed_ms`, at most to the nearest end of a timer."""
    if not elapsed_ms or state.low:
        return state
    timers = state.timers
    if not state.inputs.asleep:
        timers = tuple(left_ms - elapsed_ms if left_ms > 0 else left_ms for left_ms in timers)
    return replace(state, reading=pass_time(state.reading, elapsed_ms), timers=timers)


def _moment(machine: Machine, state: State, inputs: Inputs, at_ms: int, *, quiet: bool = False) -> Instant:
    """Read the inputs once and let everything come to rest."""
    reading, values, events = read(machine.sources, (state.reading, state.inputs), inputs)
    scene: Scene = [*values, *state.memory]
    scene += [False] * (machine.scene_n - len(scene))
    timers, was = list(state.timers), list(state.was)
    _note_events(machine, scene, events)
    rest = come_to_rest(machine.rounds, scene, timers, was, quiet=quiet)
    acting = act(machine.functions, machine.stops, scene, held_off_before=state.held_off, events=events, rest=rest)
    watched = _work_out_later(machine, scene, acting, timers=timers, was=was, events=events, quiet=quiet)
    first = machine.rounds.first_memory
    memory = tuple(scene[first : first + len(machine.memories)])
    after = State(inputs, reading, memory, tuple(timers), tuple(was), acting.held_off, state.low)
    return Instant(at_ms, after, watched, scene, acting, rest, events)


def _note_events(machine: Machine, scene: Scene, events: Events) -> None:
    if events is NO_EVENTS:
        return
    for event in machine.rounds.events:
        if event.kind == "leaves":
            scene[event.at] = (event.input, event.value) in events.left
        else:
            scene[event.at] = event.input in (events.pressed if event.kind == "pressed" else events.released)


def _work_out_later(
    machine: Machine,
    scene: Scene,
    acting: Acting,
    *,
    timers: list[int],
    was: list[bool],
    events: Events,
    quiet: bool,
) -> tuple[bool, ...]:
    """Work out what reads functions, and answer the watches."""
    later = machine.later
    scene[later.active_at] = acting.active
    scene[later.held_off_at] = acting.wanting & ~acting.stopped & acting.held_off
    if later.reads_heads:
        heads, sounds = _shown(machine, scene, acting)
        scene[later.heads_at] = {state.head: state for state in heads}
        scene[later.sounds_at] = sounds
        scene[later.runs_at] = {
            name: frozenset(names(machine.functions, acting.active & bits)) for name, bits in _running(machine, acting)
        }
        _note_events(machine, scene, events)
    if later.tasks:
        work_out(later.tasks, scene, timers, was, quiet=quiet)
    return tuple(answer(scene) for answer in later.watches)


def _shown(machine: Machine, scene: Scene, acting: Acting) -> tuple[tuple[HeadState, ...], tuple[SoundState, ...]]:
    limits = limits_now(machine.heads, scene)
    return head_states(machine.heads, acting, limits), sound_states(machine.heads, acting, scene)


def _running(machine: Machine, acting: Acting) -> list[tuple[str, int]]:
    """What runs: an interrupt beats a run."""
    cut = {name for name, bits in machine.interrupts if acting.active & bits}
    return [(name, bits) for name, bits in machine.runs if acting.active & bits and name not in cut]


def _outputs(machine: Machine, instant: Instant) -> Outputs:
    """What a moment puts out, with the reasons."""
    scene, acting, later = instant.scene, instant.acting, machine.later
    heads, sounds = _shown(machine, scene, acting)
    return Outputs(
        heads=heads,
        sounds=sounds,
        runs=tuple(name for name, _ in _running(machine, acting)),
        interrupts=tuple(name for name, bits in machine.interrupts if acting.active & bits),
        active=names(machine.functions, acting.active),
        stopped=_stopped_by(machine, scene, acting.wanting & acting.stopped),
        held_off=names(machine.functions, scene[later.held_off_at]),
        messages=tuple(
            message.name for message in later.messages if message.functions & acting.active or message.answer(scene)
        ),
        tell_tales=_tell_tales(machine, instant),
        levels=_levels(machine, acting),
        restless=tuple(memory.name for place, memory in enumerate(machine.memories) if place in instant.rest.restless),
    )


def _stopped_by(machine: Machine, scene: Scene, stopped: int) -> tuple[tuple[str, str], ...]:
    if not stopped:
        return ()
    return tuple(
        (name, stop.name)
        for stop in machine.stops
        if stop.functions & stopped and stop.answer(scene)
        for name in names(machine.functions, stop.functions & stopped)
    )


def _tell_tales(machine: Machine, instant: Instant) -> tuple[tuple[str, str], ...]:
    """What each tell-tale shows: a condition is on or off; `follows` and pictures show where the control stands.

    A toggle or pick-one shows its kept value, also while it is lost, asleep, or its function is stopped: the tell-tale
    answers "what did I choose?"; what became of it is said by messages.
    """
    found = []
    for tell_tale in machine.later.tell_tales:
        if tell_tale.answer is not None:
            found.append((tell_tale.control, "on" if tell_tale.answer(instant.scene) else "off"))
            continue
        keeps = machine.sources.all[tell_tale.place].keeps
        value = instant.state.reading.kept[tell_tale.place] if keeps else instant.scene[tell_tale.place]
        found.append((tell_tale.control, machine.inputs[tell_tale.place].values[value]))
    return tuple(found)


def _levels(machine: Machine, acting: Acting) -> tuple[tuple[str, str], ...]:
    return tuple(
        (function.name, function.variants[acting.variants[place]].position)
        for place, function in enumerate(machine.functions)
        if function.by >= 0 and acting.active >> place & 1
    )
