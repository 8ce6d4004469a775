"""Air: the CDC's table, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.body.air import purge_time_s, two_rooms


@pytest.mark.parametrize(
    ("changes", "minutes"),
    [
        (1, (138, 276, 414)),
        (2, (69, 138, 207)),
        (6, (23, 46, 69)),
        (12, (12, 23, 35)),
        (15, (9, 18, 28)),
        (50, (3, 6, 8)),
    ],
)
def test_purge_agrees_with_mmwr_43_rr_13_table_s3_1(changes: float, minutes: tuple[int, ...]) -> None:
    """Minutes to remove 90, 99 and 99.9 % by air changes an hour; whole minutes in print."""
    for removed, expected in zip((0.9, 0.99, 0.999), minutes, strict=True):
        found = purge_time_s(air_changes_hz=changes / 3600.0, removed_share=removed) / 60.0
        assert found == pytest.approx(expected, abs=0.6)


def test_locker_and_cabin_by_hand() -> None:
    """10 mg/h, 20 and 1 m3/h, cabin 100 m3/h: 0.4762 and 0.004715 mg/m3; fan off 0.0990, by hand (mass balance)."""
    given_off, hour = 10e-6 / 3600.0, 1.0 / 3600.0
    running = two_rooms(source_kg_s=given_off, exhaust_m3_s=20 * hour, leak_m3_s=hour, cabin_fresh_m3_s=100 * hour)
    off = two_rooms(source_kg_s=given_off, exhaust_m3_s=0.0, leak_m3_s=hour, cabin_fresh_m3_s=100 * hour)

    assert running is not None
    assert off is not None
    assert running.locker_kg_m3 * 1e6 == pytest.approx(0.4762, abs=5e-5)
    assert running.cabin_kg_m3 * 1e6 == pytest.approx(0.004715, abs=5e-7)
    assert off.cabin_kg_m3 * 1e6 == pytest.approx(0.0990, abs=5e-5)


@given(st.floats(1e-9, 1e-3), st.floats(1e-4, 1.0), st.floats(1e-4, 1.0), st.floats(1e-4, 1.0))
def test_what_is_given_off_goes_out(source: float, exhaust: float, leak: float, fresh: float) -> None:
    """Law: when settled, exhaust and cabin air carry what the source gives; the cabin is the cleaner."""
    rooms = two_rooms(source_kg_s=source, exhaust_m3_s=exhaust, leak_m3_s=leak, cabin_fresh_m3_s=fresh)

    assert rooms is not None
    assert rooms.cabin_kg_m3 <= rooms.locker_kg_m3
    out = rooms.locker_kg_m3 * exhaust + rooms.cabin_kg_m3 * (fresh + leak)
    assert out == pytest.approx(source)


def test_no_leak_is_a_clean_cabin() -> None:
    """Law: and a locker without any way out never settles."""
    sealed = two_rooms(source_kg_s=1e-6, exhaust_m3_s=0.01, leak_m3_s=0.0, cabin_fresh_m3_s=0.0)

    assert sealed is not None
    assert sealed.cabin_kg_m3 == 0.0
    assert two_rooms(source_kg_s=1e-6, exhaust_m3_s=0.0, leak_m3_s=0.0, cabin_fresh_m3_s=1.0) is None


@given(st.floats(1e-5, 1.0), st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_clearing_twice_multiplies_what_is_left(changes: float, first: float, second: float) -> None:
    """Law: times add where the shares left multiply."""
    together = 1.0 - (1.0 - first) * (1.0 - second)
    times = [purge_time_s(air_changes_hz=changes, removed_share=share) for share in (first, second, together)]

    assert times[0] + times[1] == pytest.approx(times[2])
