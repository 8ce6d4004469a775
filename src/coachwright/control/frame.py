"""One moment among others: what every variable of the moment's circuit is there, and what has happened.

See Also
--------
coachwright.control.unrolled : puts frames in a row. coachwright.control.heard : what is read and done in each.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from coachwright.build.condition import Event
from coachwright.control.circuit import FALSE, TRUE

TRUE_READING = "true"
"""Begins the name of a variable that says how an input truly stands, whatever the machine reads."""
ASLEEP = "asleep"
"""Name of a variable of the moment that is true while the controller sleeps."""


@dataclass(slots=True)
class Frame:
    """One moment. All literals are of the unrolled circuit.

    Parameters
    ----------
    values : of every variable of the moment's circuit, at the end.
    memory : per memory, one literal per value. was : per `becomes` of a memory, whether its condition held.
    inside : per timer, whether what it measures held. broken : the promise is. rules : what holds here.
    boot : true when the frame is a power-up. changed : per input, true when it reads another value than before.
    moved : per slide and pick-one, true when a hand moved it (a reading can change without).
    came_back : memory came back to where it had been in this moment. restless : that was on the way, not before the
        moment; or it came neither back nor to rest within the rounds followed.
    asleep : the controller sleeps. lying : a source has begun to lie; held : bits of the place its input reads then.
    """

    number: int
    values: dict[int, int]
    memory: Mapping[str, tuple[int, ...]]
    was: Mapping[Event, int]
    inside: Mapping[int, int]
    late_was: Mapping[int, int]
    broken: int
    armed: int
    boot: int
    changed: Mapping[str, int] = field(default_factory=dict)
    moved: Mapping[str, int] = field(default_factory=dict)
    came_back: int = FALSE
    restless: int = FALSE
    rules: list[int] = field(default_factory=list)
    asleep: int = FALSE
    lying: int = TRUE
    held: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Pair:
    """Two timers of one kind and time that may count alike.

    literal : variable of the moment, true when both have exactly as much left. one, other : their timed conditions.
    """

    literal: int
    one: int
    other: int
    held: bool


@dataclass(frozen=True, slots=True)
class Stand:
    """Where memories and timers stand, and what `becomes` looked at last."""

    memory: Mapping[str, tuple[int, ...]]
    timers: Mapping[int, int]
    was: Mapping[Event, int]


@dataclass(frozen=True, slots=True)
class GoneThrough:
    """Rounds that were followed.

    found_first : timers and `was` as the first of them found them. settled : the last one changed nothing.
    back : memory came back to where it had been; on_the_way : not to where it stood at first.
    inside : per round, whether what each timer measures held.
    """

    stands: Stand
    found_first: tuple[Mapping[int, int], Mapping[Event, int]]
    settled: int
    back: int
    on_the_way: int
    inside: tuple[Mapping[int, int], ...]


def all_rules(frames: Iterable[Frame]) -> list[int]:
    """What holds in a row of frames."""
    return [rule for frame in frames for rule in frame.rules]
