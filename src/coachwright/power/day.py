"""How does a duty day go for the batteries: voltage, alarm, what is shed and comes back, and does it still start?

A day is a row of stretches: a situation with its hours, its loads, the engine's speed and its heat. Between two events
nothing jumps, so the day is worked out from event to event, however long that takes, and laid out by the second after.

See Also
--------
coachwright.power.day_run : goes through it. coachwright.power.charge : what the batteries are.
coachwright.power.supply_of : the supply as a build describes it.
coachwright.power.findings_day : what the lead has to know of a day.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwright.power.bus import Bus, Supply
from coachwright.power.restart import Restart, restart

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Draw:
    """One load through a stretch.

    behaves, value : constant ``current`` [A], ``power`` [W] or ``resistance`` [ohm]; the mean of what flashes.
    sheds : (watch, share that is left) while that watch is low; the smallest share holds.
    spared : stays fed while the disconnect is open.
    """

    name: str
    bus: Bus
    behaves: Literal["current", "power", "resistance"]
    value: float
    sheds: tuple[tuple[str, float], ...] = ()
    spared: bool = False


@dataclass(frozen=True, slots=True)
class Watch:
    """Someone who looks at a voltage: an alarm, a stage of shedding, a feed that cuts off.

    Low once the bus has stood below `below_v` for `below_s`; no longer once it has stood above `above_v` for `above_s`.
    above_v is above below_v: what comes back at the voltage it went at would come and go.
    """

    name: str
    bus: Bus
    below_v: float
    below_s: float
    above_v: float
    above_s: float
    alarms: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """A situation that lasts.

    engine_rad_s : 0 with the engine off. under_hood_degc : air round the alternator. shore : plugged in.
    disconnected : bus whose battery the disconnect has cut off, or "".
    """

    name: str
    lasts_s: float
    draws: tuple[Draw, ...]
    engine_rad_s: float = 0.0
    under_hood_degc: float = 25.0
    shore: bool = False
    disconnected: Bus | Literal[""] = ""


What = Literal["begins", "low", "recovered", "joined", "parted", "flat", "collapsed"]


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened.

    what : a stretch ``begins``; a watch is ``low`` or ``recovered``; the tie is ``joined`` or ``parted``; a battery is
        ``flat``, or no voltage feeds what is on (``collapsed``): these two end the day. name : of which.
    """

    at_s: float
    what: What
    name: str


@dataclass(frozen=True, slots=True)
class Day:
    """A day as it went, by the moments between which everything is smooth. Shapes (moments,).

    time_s : rising; twice the same where something jumps. main_share, second_share : states of charge.
    main_v, second_v : at the posts. main_a, second_a : batteries give. source_a : the source gives.
    stretch : number of the stretch. events : in time. ended : it went to its end; False where a battery went flat.
    """

    time_s: Floats
    main_share: Floats
    second_share: Floats
    main_v: Floats
    second_v: Floats
    main_a: Floats
    second_a: Floats
    source_a: Floats
    stretch: NDArray[np.intp]
    events: tuple[Event, ...]
    ended: bool

    def first(self, what: What, name: str = "") -> float | None:
        """When something happened first; None where it never did. [s]"""
        return next((each.at_s for each in self.events if each.what == what and name in ("", each.name)), None)


@dataclass(frozen=True, slots=True)
class Strip:
    """A day at equal steps, shapes (steps,)."""

    time_s: Floats
    main_v: Floats
    second_v: Floats
    main_share: Floats
    second_share: Floats


def strip(day: Day, *, step_s: float = 1.0) -> Strip:
    """The day at equal steps from 0 on; where something jumps, the value after."""
    last = len(day.time_s) - 1
    steps_n = math.floor(day.time_s[-1] / step_s + 1e-9) + 1
    times_s = np.arange(steps_n) * step_s
    begins = np.minimum(np.ceil(day.time_s / step_s - 1e-9).astype(np.intp), steps_n)
    left = np.repeat(np.arange(last + 1), np.diff(begins, append=steps_n))
    span_s = np.diff(day.time_s, append=day.time_s[-1])
    since_s = times_s - day.time_s[left]

    def at(values: Floats) -> Floats:
        rise = np.diff(values, append=values[-1]) / np.where(span_s > 0.0, span_s, 1.0)
        return np.asarray(values[left] + rise[left] * since_s)

    return Strip(times_s, at(day.main_v), at(day.second_v), at(day.main_share), at(day.second_share))


def restart_at(supply: Supply, day: Day, at_s: float, *, starter_a: float | None = None) -> Restart:
    """Whether the first battery would start the engine at some time of the day."""
    share = float(np.interp(at_s, day.time_s, day.main_share))
    return restart(supply.main, share, starter_a=starter_a)


def restart_lost_s(supply: Supply, day: Day, *, starter_a: float | None = None) -> float | None:
    """When the first battery first falls below what a start asks; None where it never does. [s]"""
    least = restart(supply.main, 1.0, starter_a=starter_a).least_share
    below = np.flatnonzero(day.main_share < least)
    if not below.size:
        return None
    place = int(below[0])
    if place == 0:
        return float(day.time_s[0])
    return crossed(
        float(day.time_s[place - 1]),
        float(day.time_s[place]),
        float(day.main_share[place - 1]) - least,
        float(day.main_share[place]) - least,
    )


def crossed(from_s: float, to_s: float, before: float, after: float) -> float:
    """When a straight line from `before` to `after` is 0."""
    return from_s + (to_s - from_s) * before / (before - after)


def shed_at(day: Day, stretch: Stretch, at_s: float) -> tuple[str, ...]:
    """Loads of a stretch that get less than all at some time of the day, by name."""
    low: set[str] = set()
    for event in day.events:
        if event.at_s <= at_s and event.what == "low":
            low.add(event.name)
        elif event.at_s <= at_s and event.what == "recovered":
            low.discard(event.name)
    return tuple(draw.name for draw in stretch.draws if any(name in low and left < 1.0 for name, left in draw.sheds))
