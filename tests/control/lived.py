"""Stories by lot, lived through on the machine with one source that begins to lie on the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from typing import Any

from coachwright.build.model import Input, Model
from coachwright.control.choices import input_choice, thresholds_of
from coachwright.control.circuit import Circuit
from coachwright.control.machine import Fault, Instant, Machine, instants, power_up
from coachwright.control.sources import LOST, start_values
from tests.control.machines import Change, at_rest, can_stand
from tests.control.test_machine_against_reference import standing

_TIMES_MS = (0, 0, 1, 2, 3, 4, 5, 6, 7, 9, 12, 15, 20, 24)


@dataclass(frozen=True)
class Lie:
    """A source that lies. told_as : what the prover calls it, any of these. reads_in_ms : until it is read so."""

    fault: Fault
    told_as: tuple[tuple[str, str], ...]
    reads_in_ms: int


def lies_of(model: Model, item: Input) -> list[Lie]:
    """Every way in which the source of one input can lie."""
    loss = Lie(Fault(item.name, LOST), ((item.name, LOST),), item.edge_hold_ms)
    every = tuple((item.name, value) for value in item.values)
    stuck = [Lie(Fault(item.name, at), _told_as(model, item, at) or every, 0) for at in can_stand(item)]
    reads_in_ms = item.edge_hold_ms or item.debounce_ms
    return [loss, *(Lie(each.fault, each.told_as, reads_in_ms) for each in stuck if each.fault.stuck_at != "flashing")]


def _told_as(model: Model, item: Input, at: Any) -> tuple[tuple[str, str], ...]:
    """Of what keeps a value any of them; nobody knows which it keeps."""
    match item.kind:
        case "toggle" | "pick-one":
            return ()
        case "button":
            return ((item.name, "on" if at == "pressed" else "off"),)
        case "number":
            choice = input_choice(Circuit(), item, thresholds_of(model).get(item.name, ()))
            return ((item.name, f"{choice.values[choice.place(at)]:g}"),)
        case _:
            return ((item.name, str(at)),)


def by_lot(model: Model, lot: Random, *, sleeps: bool, most_steps: int = 9) -> list[Change]:
    """What somebody does: any sources change, time passes, the controller falls asleep and wakes."""
    sources = {item.name: at_rest(item) for item in model.inputs}
    movable = [item for item in model.inputs if len(can_stand(item)) > 1]
    asleep, story = False, []
    for _ in range(lot.randint(1, most_steps)):
        for _ in range(lot.choice((0, 1, 1, 1, 2, 3))):
            item = lot.choice(movable)
            sources[item.name] = lot.choice([each for each in can_stand(item) if each != sources[item.name]])
        if sleeps and lot.random() < 0.2:
            asleep = not asleep
        story.append(Change(lot.choice(_TIMES_MS), dict(sources), frozenset(), asleep))
    return story


def lived(
    model: Model, machine: Machine, story: list[Change], fault: Fault | None = None, begins: int = 0
) -> Iterator[tuple[int, bool, Instant]]:
    """Every moment of a story: when it is [ms], whether the source lies by then, and the moment.

    begins : the step from which on it lies; 0 is the power-up.
    """
    inputs, _ = start_values(model.inputs, machine.sources, {})
    faults = (fault,) if fault is not None and not begins else ()
    state, _ = power_up(machine, inputs, faults=faults)
    now_ms = 0
    for number, change in enumerate([Change(0, {}, frozenset(), False), *story]):
        new = standing(model, change) if change.sources else inputs
        faults = (fault,) if fault is not None and number >= begins else ()
        began_ms = now_ms
        moments = list(instants(machine, state, new, change.elapsed_ms, faults=faults))
        for instant in moments:  # only the last one is under what stands at the sources now
            state, now_ms = instant.state, began_ms + instant.at_ms
            yield (
                now_ms,
                fault is not None and (number > begins or (number == begins and instant is moments[-1])),
                instant,
            )
