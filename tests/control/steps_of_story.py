"""How many steps has a story that was told, and could every moment of it be?

A step is the language's own: some time passes, then any number of inputs change at once. A told story sets one thing
after the other where it can, for people; what can as well be done at once is one step here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from coachwright.build.condition import Or
from coachwright.build.model import Model, Promise
from coachwright.control.machine import (
    State,
    Watch,
    build_machine,
    changed_inputs,
    instants,
    power_up,
    start_inputs,
    step,
)
from coachwright.control.run import Act, Acted, Watched
from coachwright.control.signals import Inputs
from coachwright.control.sources import let_go

Step = tuple[int, Inputs]


@dataclass(frozen=True)
class Played:
    """A story as steps of the machine. kept : of a power-up."""

    start: Inputs
    kept: tuple[int, ...]
    steps: tuple[Step, ...]


def fewest_steps(model: Model, promise: Promise, story: Acted) -> int:
    """Steps after the power-up, once all is done at once that can be. -1 when the story breaks nothing."""
    watched = Watched(model, promise)
    found = [_fewest(watched, played) for played in _ways(model, watched, story)]
    return min((each for each in found if each >= 0), default=-1)


def can_be(model: Model, promise: Promise, story: Acted) -> bool:
    """Does the body let the vehicle stand so in every moment of the story?"""
    if not model.cannot_be:
        return True
    played = _played(Watched(model, promise), dict(story.start), story.acts)
    machine = build_machine(model, watch=[Watch(Or(tuple(each for each, _ in model.cannot_be)), frozenset())])
    state, _ = power_up(machine, played.start, kept=played.kept)
    for elapsed_ms, inputs in ((0, played.start), *played.steps):
        for instant in instants(machine, state, inputs, elapsed_ms):
            state = instant.state
            if instant.watched[0]:
                return False
    return True


def _ways(model: Model, watched: Watched, story: Acted) -> Iterator[Played]:
    """The story, and the same with what is set first set already at power-up."""
    chosen = {item.name for item in model.inputs if item.kind in ("toggle", "pick-one") and item.start != "last"}
    settings = dict(story.start)
    for done in range(len(story.acts) + 1):
        yield _played(watched, settings, story.acts[done:])
        act = story.acts[done] if done < len(story.acts) else None
        if act is None or act.wait_ms or chosen.intersection(name for name, _ in act.settings):
            return
        settings |= dict(act.settings)


def _played(watched: Watched, settings: dict[str, str | float], acts: Sequence[Act]) -> Played:
    """A finger is off a toggle before the next act, as a person's is."""
    machine = watched.machine
    start, kept = start_inputs(machine, settings)
    state, _ = power_up(machine, start, kept=kept)
    steps: list[Step] = []

    def pass_to(inputs: Inputs, elapsed_ms: int) -> State:
        steps.append((elapsed_ms, inputs))
        return step(machine, state, inputs, elapsed_ms)[0]

    for act in acts:
        if act.wait_ms:
            state = pass_to(state.inputs, act.wait_ms)
            continue
        released = let_go(machine.inputs, state.inputs)
        if released != state.inputs:
            state = pass_to(released, 0)
        state = pass_to(changed_inputs(machine, state, dict(act.settings)), 0)
    return Played(start, kept, tuple(steps))


def _fewest(watched: Watched, played: Played) -> int:
    for steps_n in range(len(played.steps) + 1):
        for chosen in combinations(range(len(played.steps)), steps_n):
            if _breaks(watched, played, chosen):
                return steps_n
    return -1


def _breaks(watched: Watched, played: Played, chosen: Sequence[int]) -> bool:
    """Is it broken when only these steps are taken, and what lies between them only lasts?"""
    steps: list[Step] = [(0, played.start)]
    waited_ms = 0
    for place, (elapsed_ms, inputs) in enumerate(played.steps):
        waited_ms += elapsed_ms
        if place in chosen:
            steps.append((waited_ms, inputs))
            waited_ms = 0
    state, _ = power_up(watched.machine, played.start, kept=played.kept)
    armed = False
    for elapsed_ms, inputs in steps:
        for instant in instants(watched.machine, state, inputs, elapsed_ms):
            state = instant.state
            broken, armed = watched.sees(instant, armed)
            if broken:
                return True
    return False
