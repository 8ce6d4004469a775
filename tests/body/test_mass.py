"""Weights: hand-worked statics, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.body.label import label_limit_kg, label_rule
from coachwright.body.mass import axle_loads, gravity_height_m
from coachwright.body.restraint import hold_load_n

LB, IN = 0.45359237, 0.0254


def test_an_item_behind_the_rear_axle_lifts_the_front() -> None:
    """400 lb 24 in behind the rear axle of 132 in: rear +472.7, front -72.7 lb, by hand (statics)."""
    loads = axle_loads(wheelbase_m=132 * IN, front_kg=0.0, rear_kg=0.0, items=[(400 * LB, 156 * IN)])

    assert (loads.rear_kg / LB, loads.front_kg / LB) == (pytest.approx(472.7, abs=0.05), pytest.approx(-72.7, abs=0.05))


def test_height_from_one_lifted_axle() -> None:
    """119 in, lifted 24 in, 6760 lb, 150 lb more, tyres 15 in: 27.82 in, by hand (reaction method)."""
    height_m = gravity_height_m(
        mass_kg=6760 * LB, wheelbase_m=119 * IN, lift_m=24 * IN, transfer_kg=150 * LB, radius_m=15 * IN
    )

    assert height_m / IN == pytest.approx(27.82, abs=0.005)


@pytest.mark.parametrize(
    ("gvwr_lb", "limit_lb"), [(4500, 67.5), (6000, 90.0), (6667, 100.0), (7100, 100.0), (10000, 100.0)]
)
def test_label_limit_agrees_with_49_cfr_571_110(gvwr_lb: float, limit_lb: float) -> None:
    """The lesser of 1.5 % of the GVWR and 100 lb (72 FR 68442)."""
    assert label_limit_kg(gvwr_lb * LB, rule=label_rule()) / LB == pytest.approx(limit_lb, abs=0.005)
    assert label_rule().cite.status == "read"


def test_twenty_kilograms_at_nine_g() -> None:
    """20 kg x 9 x 9.80665 m/s2 = 1765.2 N, by hand (Newton)."""
    assert hold_load_n(20.0, peak_m_s2=9.0 * 9.80665) == pytest.approx(1765.2, abs=0.05)
    assert hold_load_n(20.0, peak_m_s2=9.0 * 9.80665, factor=1.5) == pytest.approx(2647.8, abs=0.05)


@given(
    st.floats(1.0, 8.0),
    st.lists(st.tuples(st.floats(0.0, 500.0), st.floats(-3.0, 12.0)), max_size=8),
)
def test_axles_carry_everything_and_balance(wheelbase_m: float, items: list[tuple[float, float]]) -> None:
    """Law: the sum is the sum of the weights, and the moments about the front axle agree."""
    loads = axle_loads(wheelbase_m=wheelbase_m, front_kg=1500.0, rear_kg=1400.0, items=items)

    assert loads.total_kg == pytest.approx(2900.0 + sum(mass for mass, _ in items))
    assert (loads.rear_kg - 1400.0) * wheelbase_m == pytest.approx(sum(mass * x for mass, x in items), abs=1e-6)


@given(st.floats(1000.0, 9000.0), st.floats(0.3, 2.0), st.floats(0.2, 0.6), st.floats(2.0, 5.0), st.floats(0.05, 0.15))
def test_a_known_height_comes_back(
    mass_kg: float, height_m: float, radius_m: float, wheelbase_m: float, part: float
) -> None:
    """Law: tilting a body of known height moves W (h - r) tan(tilt) / L to the standing axle; the formula undoes it."""
    lift_m = part * wheelbase_m
    tangent = lift_m / (wheelbase_m**2 - lift_m**2) ** 0.5
    transfer_kg = mass_kg * (height_m - radius_m) * tangent / wheelbase_m

    found = gravity_height_m(
        mass_kg=mass_kg, wheelbase_m=wheelbase_m, lift_m=lift_m, transfer_kg=transfer_kg, radius_m=radius_m
    )
    assert found == pytest.approx(height_m)
