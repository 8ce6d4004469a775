"""How is a duty day gone through, from one event to the next?

Plain numbers throughout: some dozens of moments make a day, each a few sums, and a lot has ten thousand days.

See Also
--------
coachwright.power.day : what a day is, and what is read from it. coachwright.power.bus : one moment.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence

import numpy as np

from coachwright.power.alternator import most_a
from coachwright.power.bus import Load, Moment, Source, Supply, Tie, moment
from coachwright.power.charge import share_per_s
from coachwright.power.day import Day, Event, Stretch, Watch, crossed

LONGEST_S, LONGEST_ALONE_S = 300.0, 7200.0
"""One step takes no longer; what is neither joined nor charged goes almost straight between two bends of its curve."""
LARGEST_SHARE = 0.1
"""With loads that draw otherwise as the voltage falls, one step moves no state of charge by more."""
MOST_EVENTS = 10_000
_NEAR_SHARE, _NEAR_S = 1e-9, 1e-6
_COLLAPSE_S = 0.1
"""How closely the time of a collapse is found."""
_CLOSER_N = 3
"""A crossing is looked for by straight lines, so many times closer."""


def run_day(
    supply: Supply,
    stretches: Sequence[Stretch],
    watches: Sequence[Watch] = (),
    *,
    main_share: float = 1.0,
    second_share: float = 1.0,
) -> Day:
    """The day, from states of charge at its beginning.

    Raises
    ------
    ValueError : a stretch, load or watch that can't be; says which.
    """
    check_day(supply, stretches, watches)
    run = _Run(supply, tuple(watches), main_share, second_share if supply.second else 1.0)
    for number, stretch in enumerate(stretches):
        if not run.through(number, stretch):
            break
    return run.day()


def source_of(supply: Supply, stretch: Stretch) -> Source:
    """What feeds the first bus through a stretch: the alternator, else a charger from shore, else nothing."""
    alternator, charger = supply.alternator, supply.charger
    if stretch.engine_rad_s > 0.0 and alternator is not None:
        heat = stretch.under_hood_degc
        amperes = most_a(alternator, engine_rad_s=stretch.engine_rad_s, temperature_degc=heat)
        return Source(alternator.voltage_v(heat), amperes)
    if stretch.shore and charger is not None:
        return Source(charger.voltage_v, charger.most_a)
    return Source()


def loads_of(stretch: Stretch, low: set[str]) -> tuple[Load, Load]:
    """Loads of both buses in a stretch, while these watches are low."""
    return _added(stretch, "main", low), _added(stretch, "second", low)


class _Run:
    """A day on its way. Plain numbers throughout: some hundred moments make a day, and each is a few sums."""

    def __init__(self, supply: Supply, watches: tuple[Watch, ...], main_share: float, second_share: float) -> None:
        self.supply, self.watches = supply, watches
        self.at_s = 0.0
        self.shares = (main_share, second_share)
        self.low = [False] * len(watches)
        self.since: list[float | None] = [None] * len(watches)
        self.joined = False
        self.part_since: float | None = None
        self.rows: list[tuple[float, float, float, Moment, int]] = []
        self.events: list[Event] = []
        self.ended = False
        self.empty_s = math.inf
        """After which the last step tried would have emptied a battery."""
        self.now: Moment | None = None
        """The moment that was reached, until someone switches."""

    # ------------------------------------------------------------------------------------------------ one stretch
    def through(self, number: int, stretch: Stretch) -> bool:
        """Goes through a stretch; False where the day ends within it."""
        self.number, self.stretch = number, stretch
        self.events.append(Event(self.at_s, "begins", stretch.name))
        self.source = source_of(self.supply, stretch)
        end_s = self.at_s + stretch.lasts_s
        self._switched()
        while True:
            if len(self.events) > MOST_EVENTS:
                raise ValueError(f"{stretch.name}: more than {MOST_EVENTS:,} events; two watches drive each other")
            here = self._tied(self.now or self._moment(self.shares))
            self._look(here)
            self._note(here)
            if not here.stands:
                self.events.append(Event(self.at_s, "collapsed", stretch.name))
                return False
            if self._fire():
                self._switched()
                continue
            if self.at_s >= end_s - _NEAR_S:
                self.at_s = end_s
                self.ended = True
                return True
            self.ended = False
            if not self._step(here, end_s):
                return False

    def day(self) -> Day:
        """What was noted."""
        time_s, main_share, second_share = (
            np.array(column, dtype=np.float64) for column in list(zip(*self.rows, strict=True))[:3]
        )
        main_v, second_v, main_a, second_a, source_a = (
            np.array(column, dtype=np.float64) for column in list(zip(*(row[3] for row in self.rows), strict=True))[:5]
        )
        return Day(
            time_s,
            main_share,
            second_share,
            main_v,
            second_v,
            main_a,
            second_a,
            source_a,
            np.array([row[4] for row in self.rows], dtype=np.intp),
            tuple(self.events),
            self.ended,
        )

    def _switched(self) -> None:
        """Adds up who draws now."""
        low = {watch.name for watch, is_low in zip(self.watches, self.low, strict=True) if is_low}
        self.loads = loads_of(self.stretch, low)
        self.waits = [
            (watch.bus == "main", is_low, watch.above_v, watch.above_s)
            if is_low
            else (watch.bus == "main", is_low, watch.below_v, watch.below_s)
            for watch, is_low in zip(self.watches, self.low, strict=True)
        ]
        self.bends = any(load.power_w or load.siemens for load in self.loads)
        self.now = None

    # -------------------------------------------------------------------------------------------------- one moment
    def _moment(self, shares: tuple[float, float]) -> Moment:
        return moment(
            self.supply,
            main_share=shares[0],
            second_share=shares[1],
            main_load=self.loads[0],
            second_load=self.loads[1],
            source=self.source,
            joined=self.joined,
        )

    def _tied(self, here: Moment) -> Moment:
        """Joins or parts the batteries where the time has come."""
        tie = self.supply.tie
        if tie is None or self.supply.second is None:
            return here
        wants = not self.stretch.disconnected and (
            (tie.with_engine and self.stretch.engine_rad_s > 0.0) or (tie.join_v > 0.0 and here.main_v >= tie.join_v)
        )
        stays = not self.stretch.disconnected and tie.split_v > 0.0
        if self.joined:
            below = not wants and here.main_v < tie.split_v
            if not below:
                self.part_since = None
            elif self.part_since is None:
                self.part_since = self.at_s
            due = self.part_since is not None and self.at_s >= self.part_since + tie.split_s - _NEAR_S
            if not wants and (not stays or due):
                return self._tie_turned(False, tie, here)
        elif wants:
            return self._tie_turned(True, tie, here)
        return here

    def _tie_turned(self, joined: bool, tie: Tie, before: Moment) -> Moment:
        self._note(before)
        self.joined, self.part_since = joined, None
        self.events.append(Event(self.at_s, "joined" if joined else "parted", tie.name))
        return self._moment(self.shares)

    def _look(self, here: Moment) -> None:
        """Since when each watch sees what it waits for."""
        for place, (on_main, is_low, threshold_v, _) in enumerate(self.waits):
            voltage_v = here[0] if on_main else here[1]
            if voltage_v <= threshold_v if is_low else voltage_v >= threshold_v:
                self.since[place] = None
            elif self.since[place] is None:
                self.since[place] = self.at_s

    def _fire(self) -> bool:
        """Turns every watch whose time has come; whether one did."""
        fired = False
        for place, (_, is_low, _, held_s) in enumerate(self.waits):
            since = self.since[place]
            if since is not None and self.at_s >= since + held_s - _NEAR_S:
                self.low[place] = not is_low
                self.since[place] = None
                self.events.append(Event(self.at_s, "recovered" if is_low else "low", self.watches[place].name))
                fired = True
        return fired

    def _note(self, here: Moment) -> None:
        self.rows.append((self.at_s, *self.shares, here, self.number))

    # ---------------------------------------------------------------------------------------------------- one step
    def _step(self, here: Moment, end_s: float) -> bool:
        """Goes on to whatever is first: a bend of the curves, a time that is up, the end; False where one is flat."""
        rates = self._rates(here)
        quick = self.joined or max(rates) > 0.0
        length_s = min(end_s - self.at_s, LONGEST_S if quick else LONGEST_ALONE_S)
        for battery, share, rate in zip((self.supply.main, self.supply.second), self.shares, rates, strict=True):
            if battery is not None and rate:
                length_s = min(length_s, _to_bend(battery.inner_share, share, rate))
                if self.bends:
                    length_s = min(length_s, LARGEST_SHARE / abs(rate))
        for (_, _, _, held_s), since in zip(self.waits, self.since, strict=True):
            if since is not None:
                length_s = min(length_s, since + held_s - self.at_s)
        if self.part_since is not None and self.supply.tie is not None:
            length_s = min(length_s, self.part_since + self.supply.tie.split_s - self.at_s)
        shares, there = self._after(rates, length_s)
        for _ in range(_CLOSER_N):
            if self.empty_s > length_s - _NEAR_S:
                break
            length_s = self.empty_s  # what draws more as the voltage falls empties it before it was thought to
            shares, there = self._after(rates, length_s)
        while not there.stands and length_s > _COLLAPSE_S:
            length_s /= 2.0
            shares, there = self._after(rates, length_s)
        for _ in range(_CLOSER_N):
            crossed_s = self._first_crossing(here, there, length_s)
            if crossed_s >= length_s - _NEAR_S:
                break
            length_s = max(crossed_s, _NEAR_S)
            shares, there = self._after(rates, length_s)
        self.at_s += length_s
        self.shares, self.now = shares, there
        flat = next((place for place, share in enumerate(shares) if share <= _NEAR_SHARE and rates[place] < 0.0), None)
        if flat is not None:
            self._note(there)
            battery = self.supply.main if flat == 0 else self.supply.second
            self.events.append(Event(self.at_s, "flat", battery.name if battery else ""))
            return False
        return True

    def _rates(self, here: Moment) -> tuple[float, float]:
        second = self.supply.second
        return (
            share_per_s(self.supply.main, here.main_a),
            share_per_s(second, here.second_a) if second is not None else 0.0,
        )

    def _after(self, rates: tuple[float, float], length_s: float) -> tuple[tuple[float, float], Moment]:
        """States of charge after a step, by the mean of the rates at both its ends, and the moment there."""
        ends = self._rates(self._moment(_moved(self.shares, rates, length_s)))
        means = ((rates[0] + ends[0]) / 2.0, (rates[1] + ends[1]) / 2.0)
        self.empty_s = min(
            self.shares[0] / -means[0] if means[0] < 0.0 else math.inf,
            self.shares[1] / -means[1] if means[1] < 0.0 else math.inf,
        )
        shares = _moved(self.shares, means, length_s)
        return shares, self._moment(shares)

    def _first_crossing(self, here: Moment, there: Moment, length_s: float) -> float:
        """When within the step a voltage first crosses what someone waits for. [s from its beginning]"""
        first_s = length_s
        asked = [(on_main, threshold_v) for on_main, _, threshold_v, _ in self.waits]
        tie = self.supply.tie
        if tie is not None and self.supply.second is not None:
            asked.append((True, tie.split_v if self.joined else tie.join_v))
        for on_main, threshold_v in asked:
            before_v, after_v = (here[0], there[0]) if on_main else (here[1], there[1])
            if (before_v - threshold_v) * (after_v - threshold_v) < 0.0:
                # a hair beyond, so that who waits for it sees it there
                crossed_s = crossed(0.0, length_s, before_v - threshold_v, after_v - threshold_v) + 10.0 * _NEAR_S
                first_s = min(first_s, crossed_s)
        return first_s


def _to_bend(knots: Sequence[float], share: float, rate: float) -> float:
    """Time until a state of charge comes to the next bend of its curve, or an end of it. [s]"""
    if rate < 0.0:
        place = bisect_left(knots, share - _NEAR_SHARE) - 1
        return (share - knots[place]) / -rate if place >= 0 else math.inf
    place = bisect_right(knots, share + _NEAR_SHARE)
    return (knots[place] - share) / rate if place < len(knots) else math.inf


def _moved(shares: tuple[float, float], rates: tuple[float, float], length_s: float) -> tuple[float, float]:
    return (
        min(1.0, max(0.0, shares[0] + rates[0] * length_s)),
        min(1.0, max(0.0, shares[1] + rates[1] * length_s)),
    )


def _added(stretch: Stretch, bus: str, low: set[str]) -> Load:
    current_a = power_w = siemens = 0.0
    for draw in stretch.draws:
        if draw.bus != bus or (stretch.disconnected == bus and not draw.spared):
            continue
        left = min((share for name, share in draw.sheds if name in low), default=1.0)
        if draw.behaves == "current":
            current_a += left * draw.value
        elif draw.behaves == "power":
            power_w += left * draw.value
        else:
            siemens += left / draw.value
    return Load(current_a, power_w, siemens)


def check_day(supply: Supply, stretches: Sequence[Stretch], watches: Sequence[Watch]) -> None:
    """Refuses a day that can't be: ValueError says which stretch, load or watch."""
    if not stretches:
        raise ValueError("a day has at least one stretch")
    names = [watch.name for watch in watches]
    if len(set(names)) < len(names):
        raise ValueError("two watches of one name")
    for watch in watches:
        if not watch.above_v > watch.below_v or min(watch.below_s, watch.above_s) < 0.0:
            raise ValueError(
                f"{watch.name}: low below {watch.below_v:g} V and back above {watch.above_v:g} V; "
                "it comes back above where it went, and no time is below 0"
            )
    for stretch in stretches:
        if not (math.isfinite(stretch.lasts_s) and stretch.lasts_s > 0.0 and stretch.engine_rad_s >= 0.0):
            raise ValueError(f"{stretch.name}: lasts {stretch.lasts_s:g} s; a stretch lasts some time")
        for draw in stretch.draws:
            least = 1e-9 if draw.behaves == "resistance" else 0.0
            if not (math.isfinite(draw.value) and draw.value >= least):
                raise ValueError(f"{draw.name}: {draw.value:g} of constant {draw.behaves}; a load draws")
            unknown = [name for name, _ in draw.sheds if name not in names]
            if unknown:
                raise ValueError(f"{draw.name}: shed by {unknown[0]}, and no watch is called so")
    for share_name, battery in (("main", supply.main), ("second", supply.second)):
        if battery is not None and not battery.capacity_as > 0.0:
            raise ValueError(f"{share_name}: a battery holds something")
