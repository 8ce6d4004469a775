"""What is measured at the bench, against printed figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.bench_fields import (
    LUX_METER,
    accepted,
    candela,
    candela_off_by,
    least_distance_m,
    level_alone_db,
)


@pytest.mark.parametrize(("lit_lx", "distance_m"), [(40.0, 0.5), (10.0, 1.0)])
def test_inverse_square_agrees_with_ies_9_1_1(lit_lx: float, distance_m: float) -> None:
    """E = I / d^2 (IES definition 9.1.1); 40 lx at 0.5 m are 10 lx at 1 m (a technical school's page): 10 cd both."""
    assert candela(lit_lx, dark_lx=0.0, distance_m=distance_m) == pytest.approx(10.0, rel=1e-12)


def test_five_times_the_largest_dimension_as_ies_9_1_1_notes() -> None:
    """Within 1 % when d is at least 5 times the source's maximum dimension (IES definition 9.1.1, note)."""
    assert least_distance_m(0.12) == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("together_db", "background_db", "alone_db", "near"),
    [(93.0, 89.0, 90.7, 0.11), (91.0, 90.0, 84.0, 0.2), (55.0, 50.0, 53.3, 0.06), (70.0, 63.0, 69.0, 0.05)],
)
def test_background_is_taken_off_as_printed(
    together_db: float, background_db: float, alone_db: float, near: float
) -> None:
    """93 and 89 give 90.7, 91 and 90 give 84, 55 and 50 give 53.3, 70 and 63 give 69.

    Worked examples of four pages on background corrections (an ecology centre's, and the manuals of three makers of
    meters); each reads its correction from a table in steps, so that they are near and not equal.
    """
    assert level_alone_db(together_db, background_db=background_db) == pytest.approx(alone_db, abs=near)


def test_guard_band_as_ilac_g8_4_1_draws_it() -> None:
    """Acceptance limit = tolerance limit - guard band (ILAC-G8:09/2019, 4.1): inside pass, beyond both fail."""
    judged = [accepted(reading, off_by=0.8, most=4.0) for reading in (3.2, 3.3, 4.0, 4.8, 4.9)]

    assert judged == ["pass", "not sure", "not sure", "not sure", "fail"]


@given(st.floats(0, 1e4), st.floats(0, 1e4), st.floats(0.1, 50))
def test_what_the_meter_hides_is_never_hidden(lit_lx: float, dark_lx: float, distance_m: float) -> None:
    """Law: readings moved by what the meter may be off by move the intensity by no more than it says."""
    off_cd = candela_off_by(lit_lx, dark_lx=dark_lx, distance_m=distance_m, distance_off_m=0.0)
    moved = candela(
        lit_lx + LUX_METER.off_by(lit_lx), dark_lx=max(0.0, dark_lx - LUX_METER.off_by(dark_lx)), distance_m=distance_m
    )

    assert moved - candela(lit_lx, dark_lx=dark_lx, distance_m=distance_m) <= off_cd * (1 + 1e-9) + 1e-9


@pytest.mark.parametrize(("lit_lx", "distance_m"), [(1.0, 0.0), (1.0, -1.0), (-1.0, 1.0), (1.0, float("nan"))])
def test_what_can_t_be_is_refused(lit_lx: float, distance_m: float) -> None:
    """Law: no distance and no negative light."""
    with pytest.raises(ValueError, match="nothing can be worked out"):
        candela(lit_lx, dark_lx=0.0, distance_m=distance_m)


def test_a_source_that_is_not_heard_has_no_level() -> None:
    """Law: as loud without it as with it."""
    with pytest.raises(ValueError, match="isn't heard"):
        level_alone_db(60.0, background_db=60.0)
