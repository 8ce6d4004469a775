"""Does the engine start again, and how long may the vehicle stand until it doesn't?

See Also
--------
coachwright.power.charge : what the battery is. coachwright.power.energy : the rule of thumb for parked vehicles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, number_of, numbers_of, table_of, tables_in
from coachwright.power.charge import DATA, Battery, between, inner_ohm, inner_v
from coachwright.power.energy import RATED_TIME_S, REAL_AH_PER_RESERVE_MINUTE


@dataclass(frozen=True, slots=True)
class Restart:
    """Does it still crank?

    voltage_v : at the posts while it cranks. least_v : it has to stay above.
    share, least_share : state of charge, and the one below which it is not counted on. margin_share : between both.
    governed_by : ``load test`` or ``bulletin``, whichever asks for more.
    """

    voltage_v: float
    least_v: float
    share: float
    least_share: float
    governed_by: str

    @property
    def margin_share(self) -> float:
        return self.share - self.least_share

    @property
    def cranks(self) -> bool:
        return self.margin_share >= 0.0


def restart(battery: Battery, share: float, *, starter_a: float | None = None) -> Restart:
    """Whether a battery at some state of charge still starts the engine.

    Parameters
    ----------
    starter_a : the starter draws; half the battery's cranking rating where nobody measured it. [A]

    Notes
    -----
    Two customs, and the stricter governs: the load test (at that current the posts stay above 9.6 V, less in the cold),
    and a vehicle maker's bulletin (no start once 40 % of 0.6 Ah for each minute of reserve capacity is used, as a share
    of what it holds new). A battery without a cranking rating starts nothing: least_share is then infinite.
    """
    share_of_cranking, (degrees, volts), used_share = _asked()
    least_v = between(degrees, volts, battery.temperature_degc)
    cranking_a = share_of_cranking * battery.cranking_a if starter_a is None else starter_a
    voltage_v = inner_v(battery, share) - cranking_a * inner_ohm(battery, share)
    if battery.cranking_a <= 0.0:
        return Restart(voltage_v, least_v, share, math.inf, "load test")
    by_test = _share_for(battery, cranking_a, least_v)
    used_as = used_share * REAL_AH_PER_RESERVE_MINUTE * 3600.0 * battery.reserve_s / 60.0
    by_bulletin = 1.0 - used_as / (battery.twenty_hour_a * RATED_TIME_S) if battery.reserve_s else -math.inf
    if by_bulletin > by_test:
        return Restart(voltage_v, least_v, share, by_bulletin, "bulletin")
    return Restart(voltage_v, least_v, share, by_test, "load test")


def restart_cites() -> tuple[Cite, Cite]:
    """Where the load test and the bulletin come from."""
    told = table_of(tables_in("coachwright.power", DATA)["restart"], DATA)
    return cite_of(told["load-test"], DATA), cite_of(told["bulletin"], DATA)


def parked_s(battery: Battery, *, drain_a: float, least_share: float) -> float:
    """How long a full battery stands until a state of charge, with what never sleeps and its own loss. [s]"""
    return max(0.0, 1.0 - least_share) * battery.capacity_as / (drain_a + battery.lost_a)


def _share_for(battery: Battery, current_a: float, least_v: float) -> float:
    """Least state of charge at which the posts stand above a voltage; infinite where not even full ones do."""
    knots = battery.inner_share
    under = [inner_v(battery, share) - current_a * inner_ohm(battery, share) - least_v for share in knots]
    if under[-1] < 0.0:
        return math.inf
    for (low, here), (high, there) in reversed(tuple(pairwise(zip(knots, under, strict=True)))):
        if here < 0.0 <= there:  # both figures are straight lines between two knots, so their sum is one
            return low + (high - low) * here / (here - there)
    return 0.0


@cache
def _asked() -> tuple[float, tuple[tuple[float, ...], tuple[float, ...]], float]:
    """Share of the cranking current, least voltage at it by temperature [degC, V]; share of the charge for use."""
    told = table_of(tables_in("coachwright.power", DATA)["restart"], DATA)
    test, bulletin = table_of(told["load-test"], DATA), table_of(told["bulletin"], DATA)
    least = sorted((float(degc), v) for degc, v in numbers_of(test["least-v"], DATA).items())
    return (
        number_of(test["share-of-cranking"], DATA),
        (tuple(degc for degc, _ in least), tuple(v for _, v in least)),
        number_of(bulletin["used-share"], DATA),
    )
