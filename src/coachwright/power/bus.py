"""At what voltage do batteries, source and loads stand at one moment, and who gives what?

One or two batteries, each with its loads on its own posts; a source (the alternator, or a charger from shore) on the
first; and what joins the second to it. All wires but the join are left out: this is the supply as its own posts see it.

Here loads, sources and moments are named tuples: thousands of them make one lot of vehicles, and they are the quickest.

See Also
--------
coachwright.power.charge : the batteries. coachwright.power.day : moment after moment.
coachwright.power.network : the wires, from the posts to each lamp.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

from coachwright.power.alternator import Alternator
from coachwright.power.charge import Battery, accepts_a, inner_ohm, inner_v

Bus = Literal["main", "second"]
_FEWEST_OHM = 1e-6
_ROUNDS = 12
_SAME_V = 1e-9
_HALVINGS = 50


@dataclass(frozen=True, slots=True)
class Charger:
    """A charger on the first battery, fed from shore: its voltage and the most it gives. [V, A]"""

    name: str
    voltage_v: float
    most_a: float


@dataclass(frozen=True, slots=True)
class Tie:
    """What joins the second battery to the first.

    Parameters
    ----------
    by : a ``relay``, joined by `ohm` both ways; ``diodes``, which let current into each battery and none back, for
        `drop_v`; a ``charger``, which holds the second at `charger_v` with at most `most_a` and draws `input_share` of
        what it gives from the first.
    with_engine : joined while the engine runs. join_v : else while the first stands above that.
    split_v, split_s : once the join has ended, parted when the first has stood below that so long; 0 V: at once.
    standby_a : drawn from the first while joined.
    """

    name: str
    by: Literal["relay", "diodes", "charger"]
    ohm: float = 0.0
    drop_v: float = 0.0
    charger_v: float = 0.0
    most_a: float = math.inf
    input_share: float = 1.1
    with_engine: bool = True
    join_v: float = 0.0
    split_v: float = 0.0
    split_s: float = 0.0
    standby_a: float = 0.0


@dataclass(frozen=True, slots=True)
class Supply:
    """What feeds a vehicle. charger : works while the vehicle is plugged in."""

    main: Battery
    second: Battery | None = None
    alternator: Alternator | None = None
    tie: Tie | None = None
    charger: Charger | None = None


class Load(NamedTuple):
    """Everything on one bus added: constant current, power and conductance. [A, W, 1/ohm]"""

    current_a: float = 0.0
    power_w: float = 0.0
    siemens: float = 0.0

    def at(self, voltage_v: float) -> float:
        """Drawn at a voltage above 0. [A]"""
        return self.current_a + self.power_w / voltage_v + self.siemens * voltage_v


_NOTHING = Load()


class Source(NamedTuple):
    """A source on the first bus: the voltage it holds, and the most it gives. [V, A] 0 A for none."""

    voltage_v: float = 0.0
    most_a: float = 0.0


class Moment(NamedTuple):
    """One moment.

    main_v, second_v : at the posts; second_v is main_v without a second battery. [V]
    main_a, second_a : batteries give; below 0 while charged. source_a : the source gives. [A]
    held : the source holds its voltage, it isn't at its end. stands : every load finds a voltage.
    """

    main_v: float
    second_v: float
    main_a: float
    second_a: float
    source_a: float
    held: bool
    stands: bool


def moment(
    supply: Supply,
    *,
    main_share: float,
    second_share: float,
    main_load: Load,
    second_load: Load,
    source: Source,
    joined: bool,
) -> Moment:
    """Voltages and currents at given states of charge.

    joined : the tie is closed; no matter without a second battery, whose load then hangs on the first.
    """
    main = _Posts.of(supply.main, main_share)
    if supply.second is None:
        voltage_v, battery_a, source_a, held, stands = _alone(main, _sum(main_load, second_load), source)
        return Moment(voltage_v, voltage_v, battery_a, 0.0, source_a, held, stands)
    second = _Posts.of(supply.second, second_share)
    tie = supply.tie
    if not joined or tie is None:
        return _two(_alone(main, main_load, source), _alone(second, second_load, Source()))
    held_load = Load(main_load.current_a + tie.standby_a, main_load.power_w, main_load.siemens)
    if tie.by == "relay":
        return _by_relay((main, held_load), (second, second_load), source, max(tie.ohm, _FEWEST_OHM))
    if tie.by == "charger":
        there = _alone(second, second_load, Source(tie.charger_v, tie.most_a))
        drawn_w = tie.input_share * there.source_a * there.voltage_v
        fed = Load(held_load.current_a, held_load.power_w + drawn_w, held_load.siemens)
        return _two(_alone(main, fed, source), _Alone(there.voltage_v, there.battery_a, 0.0, True, there.stands))
    return _by_diodes((main, held_load), (second, second_load), source, tie.drop_v)


class _Posts(NamedTuple):
    """A battery at one state of charge."""

    inner_v: float
    ohm: float
    accepts_a: float

    @classmethod
    def of(cls, battery: Battery, share: float) -> _Posts:
        return cls(inner_v(battery, share), inner_ohm(battery, share), accepts_a(battery, share))

    def takes(self, voltage_v: float) -> float:
        """Current into it at a voltage at its posts, below 0 where it gives. [A]"""
        return min((voltage_v - self.inner_v) / self.ohm, self.accepts_a)


class _Alone(NamedTuple):
    voltage_v: float
    battery_a: float
    source_a: float
    held: bool
    stands: bool


def _sum(one: Load, other: Load) -> Load:
    if other == _NOTHING:
        return one
    return Load(one[0] + other[0], one[1] + other[1], one[2] + other[2])


def _two(main: _Alone, second: _Alone) -> Moment:
    return Moment(
        main.voltage_v,
        second.voltage_v,
        main.battery_a,
        second.battery_a,
        main.source_a,
        main.held,
        main.stands and second.stands,
    )


def _alone(posts: _Posts, load: Load, source: Source) -> _Alone:
    """One battery, its loads and a source."""
    if source.most_a > 0.0:
        taken_a = posts.takes(source.voltage_v)
        asked_a = load.at(source.voltage_v) + taken_a
        if asked_a <= source.most_a:
            if asked_a >= 0.0:
                return _Alone(source.voltage_v, -taken_a, asked_a, True, True)
        else:
            voltage_v, stands = _stand(1.0 / posts.ohm, posts.inner_v / posts.ohm + source.most_a, load)
            taken_a = (voltage_v - posts.inner_v) / posts.ohm
            if taken_a > posts.accepts_a:  # the loads alone stand with what the battery leaves them
                taken_a = posts.accepts_a
                voltage_v, stands = _stand(0.0, source.most_a - taken_a, load)
                voltage_v = min(voltage_v, source.voltage_v)
            return _Alone(voltage_v, -taken_a, source.most_a, False, stands)
    voltage_v, stands = _stand(1.0 / posts.ohm, posts.inner_v / posts.ohm, load)
    return _Alone(voltage_v, (posts.inner_v - voltage_v) / posts.ohm, 0.0, True, stands)


def _stand(siemens: float, ampere: float, load: Load) -> tuple[float, bool]:
    """Highest voltage at which  ampere - siemens V = load at V,  and whether there is one above 0.

    Where there is none, what stands for it is the voltage at which most power would come through, never below 0.
    """
    a, b = max(siemens + load.siemens, 1e-9), ampere - load.current_a
    inside = b * b - 4.0 * a * load.power_w
    if b <= 0.0 or inside < 0.0:
        return max(b / (2.0 * a), 1e-3), False
    return (b + math.sqrt(inside)) / (2.0 * a), True


_Side = tuple[_Posts, Load]


def _by_relay(near: _Side, far: _Side, source: Source, ohm: float) -> Moment:
    """Two batteries joined by a small resistance; what the far one takes is found in a few rounds."""
    (main, main_load), (second, second_load) = near, far
    far_v = source.voltage_v if source.most_a > 0.0 else max(main.inner_v, second.inner_v)
    full = (far_v - second.inner_v) / second.ohm > second.accepts_a  # the second takes no more than that
    alone, through_a = None, 0.0
    for _ in range(_ROUNDS):
        fixed_a = second_load.current_a + second_load.power_w / max(far_v, 1e-3)
        if full:
            a = 1.0 / ohm + second_load.siemens
            pull = fixed_a + second.accepts_a
        else:
            a = 1.0 / ohm + 1.0 / second.ohm + second_load.siemens
            pull = fixed_a - second.inner_v / second.ohm
        # far_v a = near_v / ohm - pull; so what goes over, (near_v - far_v) / ohm, is a current and a conductance
        over = Load(
            main_load.current_a + pull / (a * ohm), main_load.power_w, main_load.siemens + (1.0 - 1.0 / (a * ohm)) / ohm
        )
        alone = _alone(main, over, source)
        before_v, before_full = far_v, full
        far_v = max((alone.voltage_v / ohm - pull) / a, 1e-3)
        through_a = (alone.voltage_v - far_v) / ohm
        full = (far_v - second.inner_v) / second.ohm > second.accepts_a
        if full is before_full and (not second_load.power_w or abs(far_v - before_v) < _SAME_V):
            break
    assert alone is not None
    second_a = second_load.at(far_v) - through_a
    fits = alone.stands and far_v > 1e-3
    return Moment(alone.voltage_v, far_v, alone.battery_a, second_a, alone.source_a, alone.held, fits)


def _by_diodes(main: _Side, second: _Side, source: Source, drop_v: float) -> Moment:
    """Each battery behind a diode of its own: it is fed by the source or stands alone."""
    sides = (main, second)
    apart = [_alone(posts, load, Source()) for posts, load in sides]
    if source.most_a <= 0.0:
        return _two(*apart)

    def given(voltage_v: float) -> list[float]:
        return [max(0.0, load.at(voltage_v) + posts.takes(voltage_v)) for posts, load in sides]

    common_v, held = source.voltage_v - drop_v, True
    if sum(given(common_v)) > source.most_a:
        held = False
        low_v, high_v = 1e-3, common_v
        for _ in range(_HALVINGS):
            middle_v = (low_v + high_v) / 2.0
            low_v, high_v = (low_v, middle_v) if sum(given(middle_v)) > source.most_a else (middle_v, high_v)
        common_v = low_v
    currents = given(common_v)
    found = [
        _Alone(common_v, -posts.takes(common_v), current_a, held, True) if current_a > 0.0 else alone
        for (posts, _), current_a, alone in zip(sides, currents, apart, strict=True)
    ]
    two = _two(*found)
    return Moment(two.main_v, two.second_v, two.main_a, two.second_a, sum(currents), held, two.stands)
