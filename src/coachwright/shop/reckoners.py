"""Which single calculations does the shop room offer?"""

from __future__ import annotations

from itertools import pairwise

from coachwright.kit.reckoner import (
    COUNT,
    NOT_NEGATIVE,
    NUMBER,
    POSITIVE,
    WORD,
    Bounds,
    InputRefused,
    Key,
    Outcome,
    Part,
    Result,
    Source,
    Value,
    choice,
    many,
    one,
    reckoner,
)
from coachwright.shop import learning as curve
from coachwright.shop import sampling, stock
from coachwright.shop.tasks import TasksUnclear, critical_path, done_by, read_tasks

_ONE_UP = Bounds(f"from 1 to {curve.MOST_N}", least=1.0, most=float(curve.MOST_N))
_MOST_LOT = 10_000
_LOT = Bounds(f"from 1 to {_MOST_LOT}", least=1.0, most=float(_MOST_LOT))
_OF_LOT = Bounds(f"from 0 to {_MOST_LOT}", least=0.0, most=float(_MOST_LOT))


@reckoner(
    room="shop",
    name="learning",
    title="Hours of vehicles built one after another",
    keys=(
        one(
            "rate",
            "share",
            "of the hours left when the number doubles",
            example="85 %",
            bounds=Bounds("from 50 to 100 %", least=0.5, most=1.0),
        ),
        one("first", "time", "of the first vehicle", example="100 h", bare_unit="h", bounds=NOT_NEGATIVE),
        one("from", COUNT, "number of the first one asked for", example="1", bounds=_ONE_UP),
        one("to", COUNT, "number of the last one", example="12", bounds=_ONE_UP),
        choice("convention", ("unit", "average"), "n^b is the n-th vehicle's, or the mean of the first n"),
    ),
    results=(
        Result("hours", "h", "time", "of all of them"),
        Result("exponent", "1", NUMBER, "b"),
    ),
    formula="b = log2(rate);  unit  sum of first x n^b\naverage  first x (to^(1 + b) - (from - 1)^(1 + b))",
    valid="Work alike, without a long pause between. Two conventions: never mix them.",
    sources=(Source("NASA TM X-64968 (1975)", "learning and cost improvement curves", "second-hand"),),
)
def learning(*, rate: float, first: float, from_: float, to: float, convention: curve.Convention) -> Outcome:
    """Hours by the convention that was named."""
    if to < from_:
        raise InputRefused(f"learning: 'to={to:g}': vehicles are counted upward from {from_:g}. Write no less.")
    found = curve.hours(rate_share=rate, first_s=first, from_n=int(from_), to_n=int(to), convention=convention)
    return Outcome({"hours": found, "exponent": curve.exponent(rate)})


@reckoner(
    room="shop",
    name="network",
    title="Tasks that decide when a job is done",
    keys=(
        Key("tasks", (Part("text"),), "name(after) shortest likely longest; ...", "A 2 5 6; B 3 4 5; C(A,B) 4 6 10"),
        one("by", NUMBER, "time by which it has to be done", example="12", optional=True, bounds=NOT_NEGATIVE),
    ),
    results=(
        Result("duration", "", NUMBER, "mean, in the unit of the tasks"),
        Result("critical_path", "", WORD, "tasks that make it"),
        Result("variance", "", NUMBER, "along that path"),
        Result("probability", "1", NUMBER, "that this path is done by then"),
    ),
    formula="mean (a + 4 m + b) / 6;  variance ((b - a) / 6)^2;  probability by the normal law",
    valid="Tasks that don't fight for the same people. Paths almost as long make the real chance smaller.",
    sources=(Source("PERT, textbooks of operations management", state="memory"),),
)
def network(*, tasks: str, by: float | None) -> Outcome:
    """Critical path and chance."""
    try:
        found = critical_path(read_tasks(tasks))
    except TasksUnclear as why:
        raise InputRefused(f"network: 'tasks': {why}") from None
    values: dict[str, Value] = {
        "duration": found.duration,
        "critical_path": "-".join(found.critical),
        "variance": found.variance,
    }
    if by is not None:
        values["probability"] = done_by(found, time=by)
    return Outcome(values)


@reckoner(
    room="shop",
    name="order-size",
    title="Cheapest quantity to order at once",
    keys=(
        one("demand", NUMBER, "pieces a year", example="1000", bounds=POSITIVE),
        one("order_cost", NUMBER, "of one order, in money", example="10", bounds=POSITIVE),
        one(
            "holding",
            NUMBER,
            "a piece and year in money; with breaks a share of the price",
            example="0.5",
            bounds=POSITIVE,
        ),
        many(
            "breaks",
            (Part(NUMBER, bounds=NOT_NEGATIVE), Part(NUMBER, bounds=POSITIVE)),
            "least quantity and price of each band",
            example="1 @ 5.00, 1000 @ 4.80, 2000 @ 4.75",
            optional=True,
        ),
    ),
    results=(
        Result("quantity", "", NUMBER, "at once"),
        Result("yearly_cost", "", NUMBER, "ordering and keeping; with breaks also the pieces"),
        Result("orders", "", NUMBER, "a year"),
        Result("price", "", NUMBER, "of a piece at this quantity"),
    ),
    formula="Q = sqrt(2 D S / H), in each band at least its floor;  cost = D S / Q + Q H / 2 (+ D x price)",
    valid="Even demand, known lead time, the lower price for every piece of the order.",
    sources=(Source("F. W. Harris (1913), textbooks of operations management", state="memory"),),
)
def order_size(
    *, demand: float, order_cost: float, holding: float, breaks: tuple[tuple[float, float], ...] | None
) -> Outcome:
    """Order with or without price breaks."""
    if breaks is None:
        found = stock.cheapest_order(demand_n=demand, order_cost=order_cost, holding_cost=holding)
    else:
        if holding > 1.0:
            raise InputRefused(
                f"order-size: 'holding={holding:g}': with breaks it is the share of the price a year. Write 0.2."
            )
        if min(breaks)[0] > 1.0:
            raise InputRefused("order-size: 'breaks' has no price for one piece. Begin with 1 @ its price.")
        bands = sorted(breaks)
        if any(low[0] == high[0] or low[1] < high[1] for low, high in pairwise(bands)):
            raise InputRefused("order-size: 'breaks' rise or stand twice. Write each quantity once, prices falling.")
        found = stock.cheapest_order_with_breaks(
            demand_n=demand, order_cost=order_cost, holding_share=holding, breaks=breaks
        )
    values: dict[str, Value] = {
        "quantity": found.quantity_n,
        "yearly_cost": found.yearly_cost,
        "orders": demand / found.quantity_n,
    }
    if found.price is not None:
        values["price"] = found.price
    return Outcome(values)


@reckoner(
    room="shop",
    name="sample-risk",
    title="Chance that a lot with bad pieces passes a sample",
    keys=(
        one("lot", COUNT, "pieces", example="100", bounds=_LOT),
        one("bad", COUNT, "bad pieces in it", example="2", bounds=_OF_LOT),
        one("sample", COUNT, "pieces tested", example="20", bounds=_OF_LOT),
        one("accept", COUNT, "bad pieces in the sample at which it still passes", example="0", bounds=_OF_LOT),
    ),
    results=(Result("accept_probability", "1", NUMBER, "that the lot passes"),),
    formula="sum over k <= accept of  C(bad, k) C(lot - bad, sample - k) / C(lot, sample)",
    valid="A sample drawn blindly; tests that miss nothing.",
    sources=(Source("Hypergeometric law, textbooks of statistics", state="common practice"),),
    caution="Functions that keep people safe are tested on every vehicle, not on a sample.",
)
def sample_risk(*, lot: float, bad: float, sample: float, accept: float) -> Outcome:
    """Exact chance for small lots."""
    if bad > lot or sample > lot:
        raise InputRefused(f"sample-risk: the lot has {lot:g} pieces. Write no more bad ones and no larger sample.")
    chance = sampling.accept_probability(lot_n=int(lot), bad_n=int(bad), sample_n=int(sample), accept_n=int(accept))
    return Outcome({"accept_probability": chance})
