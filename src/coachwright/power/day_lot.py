"""How does the same duty day go for ten thousand batteries: of all ages, in heat and cold, full and half full?

All of them at once, in equal steps. One battery each, with its source and its loads; two that are joined go one day at
a time (power.day_run), which is also what this is held against.

See Also
--------
coachwright.power.day : what a day is. coachwright.power.bus : the same moment, for one vehicle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from coachwright.power.bus import Source, Supply
from coachwright.power.charge import Battery, accepts_a
from coachwright.power.day import Stretch, Watch
from coachwright.power.day_run import check_day, loads_of, source_of

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_WATCHES = 12
_TABLE_N = 400
"""Steps of the state of charge in which voltages are kept; bends in between are rounded off by under a millivolt."""


@dataclass(frozen=True, slots=True)
class Lot:
    """How it went for each battery. Times are infinite where it never happened.

    low_s : when each watch was low first, shape (watches, batteries). [s]
    lost_s : when a battery was flat, or nothing fed what was on any more; it stays so, shape (batteries,). [s]
    shares : states of charge at the end of each stretch, shape (stretches, batteries).
    least_v : lowest voltage at the posts, shape (batteries,). [V]
    """

    low_s: Floats
    lost_s: Floats
    shares: Floats
    least_v: Floats


def run_lot(
    batteries: Sequence[Battery],
    stretches: Sequence[Stretch],
    watches: Sequence[Watch] = (),
    *,
    supply: Supply,
    main_share: float | Floats = 1.0,
    step_s: float = 10.0,
) -> Lot:
    """The day of each battery.

    Parameters
    ----------
    supply : everything but the battery, which each of `batteries` takes the place of.
    main_share : states of charge at the beginning, one or one for each battery.
    step_s : length of a step. A watch is timed within it; what it sheds is off from the next step on. [s]

    Raises
    ------
    ValueError : no battery, a second one, more than `MOST_WATCHES` watches, or what `run_day` refuses.
    """
    if not batteries or supply.second is not None or len(watches) > MOST_WATCHES:
        raise ValueError(
            f"a lot has batteries, one in each vehicle, and at most {MOST_WATCHES} watches; "
            f"here are {len(batteries)}, {'two' if supply.second is not None else 'one'} and {len(watches)}"
        )
    check_day(supply, stretches, watches)
    stack = _Stack.of(batteries)
    going = _Going.of(len(batteries), watches, main_share)
    ends = []
    for stretch in stretches:
        loads = _by_code(stretch, watches)
        source = source_of(supply, stretch)
        steps_n = max(1, math.ceil(stretch.lasts_s / step_s))
        length_s = stretch.lasts_s / steps_n
        going.voltage_v = None
        for _ in range(steps_n):
            voltage_v, given_a, stands = stack.moment(going.share, loads[:, going.code], source)
            going.look(voltage_v, watches, length_s)
            going.lose(~stands)
            going.go(stack.rate(given_a), length_s)
        ends.append(going.share.copy())
    return Lot(going.low_s, going.lost_s, np.array(ends), going.least_v)


@dataclass(frozen=True, slots=True)
class _Stack:
    """Batteries as arrays, shapes (batteries,); inner_v (batteries, steps + 1) flat."""

    inner_v: Floats
    rise_v: Floats
    rows: NDArray[np.intp]
    full_ohm: Floats
    empty_ohm: Floats
    capacity_as: Floats
    most_charge_a: Floats
    accepts_empty_a: Floats
    charge_share: Floats
    twenty_hour_a: Floats
    steepness: Floats

    @classmethod
    def of(cls, batteries: Sequence[Battery]) -> _Stack:
        def of(name: str) -> Floats:
            return np.array([getattr(each, name) for each in batteries], dtype=np.float64)

        at = np.linspace(0.0, 1.0, _TABLE_N + 1)
        inner_v = np.array([np.interp(at, each.inner_share, each.inner_v) for each in batteries])
        rise_v = np.diff(inner_v, axis=1, append=inner_v[:, -1:])
        rows = np.arange(len(batteries)) * (_TABLE_N + 1)
        empty_a = np.array([accepts_a(replace(each, most_charge_a=math.inf), 0.0) for each in batteries])
        most_a = np.array([each.most_charge_a if each.charges else 0.0 for each in batteries])
        return cls(
            inner_v.ravel(),
            rise_v.ravel(),
            rows,
            of("resistance_ohm"),
            of("empty_ohm"),
            of("capacity_as"),
            most_a,
            empty_a,
            of("charge_share"),
            of("twenty_hour_a"),
            of("peukert") - 1.0,
        )

    def moment(self, share: Floats, load: Floats, source: Source) -> tuple[Floats, Floats, Bools]:
        """Voltage at the posts, current each gives, and whether its loads find a voltage. load : (3, batteries)."""
        at = share * _TABLE_N
        place = at.astype(np.intp)
        here = self.rows + place
        inner_v = self.inner_v[here] + self.rise_v[here] * (at - place)
        ohm = self.empty_ohm + (self.full_ohm - self.empty_ohm) * share
        current_a, power_w, siemens = load
        most_a = source.most_a
        voltage_v, stands = _stand(1.0 / ohm + siemens, inner_v / ohm + most_a - current_a, power_w)
        given_a = (inner_v - voltage_v) / ohm
        if most_a:
            accepts = np.minimum(self.most_charge_a, (1.0 - share) * self.accepts_empty_a)
            taken_a = np.minimum((source.voltage_v - inner_v) / ohm, accepts)
            asked_a = current_a + power_w / source.voltage_v + siemens * source.voltage_v + taken_a
            held = (asked_a <= most_a) & (asked_a >= 0.0)
            idle = asked_a < 0.0  # the battery stands above the source, which gives nothing
            if idle.any():
                alone_v, alone_stands = _stand(1.0 / ohm + siemens, inner_v / ohm - current_a, power_w)
                voltage_v = np.where(idle, alone_v, voltage_v)
                given_a = np.where(idle, (inner_v - alone_v) / ohm, given_a)
                stands = np.where(idle, alone_stands, stands)
            given_a = np.where(held, -taken_a, np.maximum(given_a, -accepts))
            voltage_v = np.where(held, source.voltage_v, np.minimum(voltage_v, source.voltage_v))
            stands = stands | held
        return voltage_v, given_a, stands

    def rate(self, given_a: Floats) -> Floats:
        """Change of the state of charge. [1/s]"""
        fast = np.maximum(given_a / self.twenty_hour_a, 1.0) ** self.steepness
        return np.asarray(-given_a * np.where(given_a > 0.0, fast, self.charge_share) / self.capacity_as)


@dataclass(slots=True)
class _Going:
    """A lot on its way."""

    at_s: float
    share: Floats
    low: Bools
    since_s: Floats
    code: NDArray[np.intp]
    low_s: Floats
    lost_s: Floats
    least_v: Floats
    voltage_v: Floats | None

    @classmethod
    def of(cls, batteries_n: int, watches: Sequence[Watch], share: float | Floats) -> _Going:
        by_watch = (len(watches), batteries_n)
        never = np.full(batteries_n, np.inf)
        return cls(
            0.0,
            np.broadcast_to(np.asarray(share, dtype=np.float64), (batteries_n,)).copy(),
            np.zeros(by_watch, dtype=np.bool_),
            np.full(by_watch, np.inf),
            np.zeros(batteries_n, dtype=np.intp),
            np.full(by_watch, np.inf),
            never.copy(),
            never.copy(),
            None,
        )

    def look(self, voltage_v: Floats, watches: Sequence[Watch], length_s: float) -> None:
        """What each watch sees, since when, and whether its time has come."""
        before_v, self.voltage_v = self.voltage_v, voltage_v
        going = np.isinf(self.lost_s)
        self.least_v = np.where(going, np.minimum(self.least_v, voltage_v), self.least_v)
        for place, watch in enumerate(watches):
            low, since_s = self.low[place], self.since_s[place]
            threshold_v = np.where(low, watch.above_v, watch.below_v)
            past_v = np.where(low, voltage_v - threshold_v, threshold_v - voltage_v)
            sees = (past_v > 0.0) & going
            began_s = np.full(len(voltage_v), self.at_s)
            if before_v is not None:  # when within the step it crossed, by a straight line
                change_v = np.abs(voltage_v - before_v)
                with np.errstate(divide="ignore", invalid="ignore"):
                    ago_s = np.where((change_v > 0.0) & (past_v < change_v), past_v / change_v, 0.0) * length_s
                began_s -= np.clip(ago_s, 0.0, length_s)
            since_s = np.where(sees, np.minimum(since_s, began_s), np.inf)
            due_s = since_s + np.where(low, watch.above_s, watch.below_s)
            due = due_s <= self.at_s + 1e-6
            if due.any():
                falls = due & ~low
                self.low_s[place] = np.where(falls, np.minimum(self.low_s[place], due_s), self.low_s[place])
                self.low[place] = low ^ due
                since_s = np.where(due, np.inf, since_s)
                self.code ^= due.astype(np.intp) << place
            self.since_s[place] = since_s

    def lose(self, fallen: Bools) -> None:
        """Those whose loads find no voltage."""
        if fallen.any():
            self.lost_s = np.where(fallen, np.minimum(self.lost_s, self.at_s), self.lost_s)

    def go(self, rate: Floats, length_s: float) -> None:
        """One step on; who comes to the bottom stays there."""
        moves = np.isinf(self.lost_s)
        after = self.share + np.where(moves, rate, 0.0) * length_s
        flat = moves & (after <= 0.0)
        if flat.any():
            reached_s = self.at_s + self.share / np.where(rate < 0.0, -rate, 1.0)
            self.lost_s = np.where(flat, reached_s, self.lost_s)
        self.share = np.clip(after, 0.0, 1.0)
        self.at_s += length_s


def _stand(siemens: Floats, ampere: Floats, power_w: Floats) -> tuple[Floats, Bools]:
    """As for one vehicle (power.bus): highest voltage, or the one at which most power would come through."""
    inside = ampere * ampere - 4.0 * siemens * power_w
    stands = (ampere > 0.0) & (inside >= 0.0)
    return np.where(stands, ampere + np.sqrt(np.maximum(inside, 0.0)), np.maximum(ampere, 2e-3)) / (
        2.0 * siemens
    ), stands


def _by_code(stretch: Stretch, watches: Sequence[Watch]) -> Floats:
    """Loads by who is low, shape (3, 2 to the watches): bit n is watch n."""
    found = np.empty((3, 2 ** len(watches)))
    for code in range(found.shape[1]):
        low = {watch.name for place, watch in enumerate(watches) if code >> place & 1}
        main, second = loads_of(stretch, low)
        found[:, code] = [one + other for one, other in zip(main, second, strict=True)]
    return found
