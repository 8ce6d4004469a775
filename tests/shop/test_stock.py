"""Orders: a textbook's example, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.shop.stock import cheapest_order, cheapest_order_with_breaks, yearly_cost


def test_order_agrees_with_the_textbook() -> None:
    """1000 a year, 10 an order, 0.50 to keep: 200 at once, 5 orders, 100 a year (operations textbook)."""
    order = cheapest_order(demand_n=1000.0, order_cost=10.0, holding_cost=0.5)

    assert (order.quantity_n, order.yearly_cost) == (pytest.approx(200.0), pytest.approx(100.0))


def test_breaks_agree_with_heizer() -> None:
    """5000 a year, 49 an order, 20 %; 5.00, 4.80 from 1000, 4.75 from 2000: 1000 at 24,725 (Heizer, from memory)."""
    order = cheapest_order_with_breaks(
        demand_n=5000.0, order_cost=49.0, holding_share=0.2, breaks=[(1.0, 5.00), (1000.0, 4.80), (2000.0, 4.75)]
    )

    assert order.quantity_n == pytest.approx(1000.0)
    assert order.price == 4.80
    assert order.yearly_cost == pytest.approx(24725.0)


@given(st.floats(1.0, 1e6), st.floats(0.1, 1e3), st.floats(0.01, 1e3), st.floats(0.2, 5.0))
def test_no_other_quantity_is_cheaper(demand: float, order_cost: float, holding: float, off: float) -> None:
    """Law: and at the best one ordering costs what keeping costs."""
    best = cheapest_order(demand_n=demand, order_cost=order_cost, holding_cost=holding)
    other = yearly_cost(off * best.quantity_n, demand_n=demand, order_cost=order_cost, holding_cost=holding)

    assert best.yearly_cost <= other * (1.0 + 1e-9)
    assert demand / best.quantity_n * order_cost == pytest.approx(best.quantity_n / 2.0 * holding)


@given(
    st.floats(10.0, 1e5),
    st.floats(1.0, 500.0),
    st.floats(0.05, 1.0),
    st.lists(st.tuples(st.floats(2.0, 5000.0), st.floats(0.1, 1.0)), max_size=4, unique_by=lambda band: band[0]),
    st.floats(1.0, 1e4),
)
def test_no_quantity_at_its_own_price_is_cheaper(
    demand: float, order_cost: float, share: float, more: list[tuple[float, float]], tried: float
) -> None:
    """Law: with prices that fall, any quantity costs at least what the answer costs."""
    bands, price = [(1.0, 10.0)], 10.0
    for floor, step in sorted(more):
        price *= step
        bands.append((floor, price))
    best = cheapest_order_with_breaks(demand_n=demand, order_cost=order_cost, holding_share=share, breaks=bands)
    paid = [each for floor, each in bands if floor <= tried][-1]
    cost = paid * demand + yearly_cost(tried, demand_n=demand, order_cost=order_cost, holding_cost=share * paid)

    assert best.yearly_cost <= cost * (1.0 + 1e-9)
