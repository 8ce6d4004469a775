"""Learning: a textbook's table and a published total, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.shop.learning import exponent, hours


def total(rate: float, count: int, convention: str) -> float:
    """Of the first `count`, in times of the first."""
    return hours(rate_share=rate, first_s=1.0, from_n=1, to_n=count, convention=convention)  # type: ignore[arg-type]


@pytest.mark.parametrize(("rate", "b"), [(0.80, -0.321928), (0.85, -0.234465), (0.90, -0.152003)])
def test_exponent_is_log_two(rate: float, b: float) -> None:
    """b = ln r / ln 2 (NASA TM X-64968)."""
    assert exponent(rate) == pytest.approx(b, abs=5e-7)


@pytest.mark.parametrize(
    ("count", "eighty", "eighty_five", "ninety"),
    [(2, 1.800, 1.850, 1.900), (4, 3.142, 3.345, 3.556), (8, 5.346, 5.936, 6.574), (10, 6.315, 7.116, 7.994),
     (12, 7.227, 8.244, 9.374), (15, 8.511, 9.861, 11.384)],
)  # fmt: skip
def test_totals_agree_with_heizer_render_table_e_3(
    count: int, eighty: float, eighty_five: float, ninety: float
) -> None:
    """Cumulative unit times (Heizer and Render, table E.3)."""
    found = [total(rate, count, "unit") for rate in (0.80, 0.85, 0.90)]

    assert found == pytest.approx([eighty, eighty_five, ninety], abs=6e-4)


@pytest.mark.parametrize(("count", "hundredths"), [(2, 160.0), (4, 256.0), (8, 409.6), (16, 655.36)])
def test_averages_agree_with_wright(count: int, hundredths: float) -> None:
    """80 %, first 100 h: totals 160, 256, 409.6, 655.36 h (a cost textbook on Wright's curve)."""
    assert 100.0 * total(0.8, count, "average") == pytest.approx(hundredths)


@given(st.floats(0.5, 1.0), st.integers(1, 60), st.integers(1, 60), st.sampled_from(["unit", "average"]))
def test_hours_add_up(rate: float, first: int, more: int, convention: str) -> None:
    """Law: the first ones and those after them are all of them; no vehicle takes longer than the first."""
    later = hours(rate_share=rate, first_s=1.0, from_n=first + 1, to_n=first + more, convention=convention)  # type: ignore[arg-type]

    assert total(rate, first, convention) + later == pytest.approx(total(rate, first + more, convention))
    assert later <= more * (1.0 + 1e-9)
    assert total(rate, 1, convention) == pytest.approx(1.0)
