"""How much is ordered at once so that ordering and keeping cost least?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Order:
    """quantity_n : at once. yearly_cost : of ordering, keeping and, with prices, buying; in the money of the inputs."""

    quantity_n: float
    yearly_cost: float
    price: float | None


def order_quantity(*, demand_n: float, order_cost: float, holding_cost: float) -> float:
    """Quantity at which ordering and keeping cost the same, and together least.

    Parameters
    ----------
    demand_n : a year. order_cost : of one order. holding_cost : of one piece for a year.

    Notes
    -----
    Q = sqrt(2 D S / H)  (Harris 1913).
    """
    return math.sqrt(2.0 * demand_n * order_cost / holding_cost)


def yearly_cost(quantity_n: float, *, demand_n: float, order_cost: float, holding_cost: float) -> float:
    """Cost of ordering and keeping, without the pieces themselves."""
    return demand_n / quantity_n * order_cost + quantity_n / 2.0 * holding_cost


def cheapest_order(*, demand_n: float, order_cost: float, holding_cost: float) -> Order:
    """The order without price breaks."""
    quantity = order_quantity(demand_n=demand_n, order_cost=order_cost, holding_cost=holding_cost)
    cost = yearly_cost(quantity, demand_n=demand_n, order_cost=order_cost, holding_cost=holding_cost)
    return Order(quantity, cost, None)


def cheapest_order_with_breaks(
    *, demand_n: float, order_cost: float, holding_share: float, breaks: Sequence[tuple[float, float]]
) -> Order:
    """The order when the price of every piece falls with the quantity.

    Parameters
    ----------
    holding_share : of the price, to keep a piece for a year.
    breaks : least quantity and price of each band, each quantity once, prices falling; the first from 1 (or 0).

    Notes
    -----
    For each band the best quantity within it, at least its floor; of these the cheapest, pieces included.
    """
    best: Order | None = None
    bands = sorted(breaks)
    for number, (floor, price) in enumerate(bands):
        holding_cost = holding_share * price
        quantity = max(order_quantity(demand_n=demand_n, order_cost=order_cost, holding_cost=holding_cost), floor)
        if number + 1 < len(bands) and quantity >= bands[number + 1][0]:
            continue  # at this quantity the next price is paid
        cost = price * demand_n + yearly_cost(
            quantity, demand_n=demand_n, order_cost=order_cost, holding_cost=holding_cost
        )
        if best is None or cost < best.yearly_cost:
            best = Order(quantity, cost, price)
    assert best is not None  # the last band has no ceiling
    return best
