"""How do words, timers and memory come to rest within one moment?

A round works out words and timers in the order they need each other, then makes one move in every memory, all from
the old state. Rounds follow one another until one changes no memory and has no event in it. Presses, releases and
``leaves`` are true in the first round only, ``becomes`` in the round in which its condition turns true. (A round
without events has to be the last: so a further moment with nothing new in it changes nothing.)

Rounds that come back to a memory state already passed are dropped: memory stays as before the moment, and words and
timers as the first round found them; from there the moment is gone through once more without its events, so that it
ends at rest where there is rest to be found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coachwright.control.conditions import Answer, BecomesTask, EventPlace, Scene, Task, TimerTask

MOST_ROUNDS = 1000
"""More rounds than this within one moment count as coming back: no sane build has so many, and a hostile one ends."""


@dataclass(frozen=True, slots=True)
class CompiledMove:
    """One move. to : place of the value, or -1 with `next_of`: from each value (by place) to which.

    control_events : places in the scene of the presses, releases and leaves it names.
    """

    answer: Answer
    to: int
    next_of: tuple[int, ...]
    control_events: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Rounds:
    """What a moment is worked out with. first_memory : place of the first memory in the scene."""

    tasks: tuple[Task, ...]
    moves: tuple[tuple[CompiledMove, ...], ...]
    first_memory: int
    events: tuple[EventPlace, ...]


@dataclass(frozen=True, slots=True)
class Rest:
    """What the rounds led to.

    asked : places of memories in which an event of a control made a move act (to the same value too).
    restless : places of memories that moved in rounds which came back to where they had been.
    """

    asked: frozenset[int] = frozenset()
    restless: frozenset[int] = frozenset()


AT_REST = Rest()
BLANK_TIMER = {"held": -1, "first": -1, "plus": 0}
"""A timer at power-up. -1: nothing to count (`held`, `first`: not true; `plus`: true); above 0: ms left; 0: over."""


def timer_after(task: TimerTask, left_ms: int, truth: bool) -> int:
    """A timer once `truth` is known of what it measures."""
    if truth == (task.kind == "plus"):
        return -1
    return task.time_ms if left_ms == -1 else left_ms


def timer_holds(task: TimerTask, left_ms: int) -> bool:
    """Is the timed condition true?"""
    match task.kind:
        case "held":
            return left_ms == 0
        case "first":
            return left_ms > 0
        case "plus":
            return left_ms != 0


def work_out(tasks: Sequence[Task], scene: Scene, timers: list[int], was: list[bool], *, quiet: bool) -> bool:
    """Work out words, timers and what becomes true, once; tells whether anything did. `quiet` : nothing does."""
    happened = False
    for task in tasks:
        truth = task.answer(scene)
        if isinstance(task, TimerTask):
            left_ms = timers[task.number] = timer_after(task, timers[task.number], truth)
            scene[task.at] = timer_holds(task, left_ms)
        elif isinstance(task, BecomesTask):
            scene[task.at] = turned = truth and not was[task.number] and not quiet
            was[task.number] = truth
            happened = happened or turned
        else:
            scene[task.at] = truth
    return happened


def come_to_rest(rounds: Rounds, scene: Scene, timers: list[int], was: list[bool], *, quiet: bool) -> Rest:
    """Go through the rounds of one moment: changes scene, timers and was.

    Parameters
    ----------
    scene : inputs, memory and events filled in.
    quiet : power-up, or memory laid in: nothing ``becomes`` true.
    """
    happened = work_out(rounds.tasks, scene, timers, was, quiet=quiet)
    if not rounds.moves:
        return AT_REST
    happened = happened or any(scene[event.at] for event in rounds.events)
    asked = _asked(rounds, scene) if happened else frozenset()
    first = (list(scene), list(timers), list(was))
    restless = _go_round(rounds, scene, timers, was, happened=happened, quiet=quiet)
    if restless:
        _restore(first, scene, timers, was)
        _silence(rounds, scene)
        work_out(rounds.tasks, scene, timers, was, quiet=quiet)
        quietened = (list(scene), list(timers), list(was))
        if _go_round(rounds, scene, timers, was, happened=False, quiet=quiet):
            _restore(quietened, scene, timers, was)
    return Rest(asked, restless) if asked or restless else AT_REST


def _go_round(
    rounds: Rounds, scene: Scene, timers: list[int], was: list[bool], *, happened: bool, quiet: bool
) -> frozenset[int]:
    """Move until memory stands; gives the places of the memories that don't come to rest."""
    start, end = rounds.first_memory, rounds.first_memory + len(rounds.moves)
    memory = tuple(scene[start:end])
    passed = {memory}
    while True:
        moved = tuple(_moved(moves, scene, value) for moves, value in zip(rounds.moves, memory, strict=True))
        if moved == memory and not happened:
            return frozenset()
        if moved != memory:
            if moved in passed or len(passed) >= MOST_ROUNDS:
                return frozenset(
                    place for place, values in enumerate(zip(*passed, strict=True)) if len(set(values)) > 1
                )
            passed.add(moved)
            memory = moved
            scene[start:end] = moved
        _silence(rounds, scene)
        happened = work_out(rounds.tasks, scene, timers, was, quiet=quiet)


def _moved(moves: tuple[CompiledMove, ...], scene: Scene, value: int) -> int:
    """Value of a memory after this round: of the moves that hold, the first acts."""
    for move in moves:
        if move.answer(scene):
            return move.to if move.to >= 0 else move.next_of[value]
    return value


def _asked(rounds: Rounds, scene: Scene) -> frozenset[int]:
    asked = []
    for place, moves in enumerate(rounds.moves):
        acting = next((move for move in moves if move.answer(scene)), None)
        if acting is not None and any(scene[at] for at in acting.control_events):
            asked.append(place)
    return frozenset(asked)


def _silence(rounds: Rounds, scene: Scene) -> None:
    for event in rounds.events:
        scene[event.at] = False


def _restore(saved: tuple[Scene, list[int], list[bool]], scene: Scene, timers: list[int], was: list[bool]) -> None:
    scene[:], timers[:], was[:] = saved
