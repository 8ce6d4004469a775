"""Daily noise: the printed tables of both rules, then laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.sound.dose import exposure_rules, noise_dose, permitted_time_s

RULES = exposure_rules()
HOUR = 3600.0


@pytest.mark.parametrize(
    ("level_dba", "hours"),
    [(80, 32), (85, 16), (90, 8), (91, 7.0), (92, 6.1), (95, 4), (97, 3.0), (100, 2), (102, 1.5), (105, 1), (110, 0.5),
     (115, 0.25), (120, 0.125)],
)  # fmt: skip
def test_time_agrees_with_osha_table_g_16a(level_dba: float, hours: float) -> None:
    """29 CFR 1910.95 appendix A, table G-16a; printed to two figures."""
    assert permitted_time_s(level_dba, rule=RULES["osha"]) / HOUR == pytest.approx(hours, rel=0.02)


@pytest.mark.parametrize(("level_dba", "minutes"), [(85, 480), (88, 240), (91, 120), (94, 60), (97, 30), (100, 15)])
def test_time_agrees_with_niosh_98_126(level_dba: float, minutes: float) -> None:
    """480 min at 85 dBA, half for each 3 dB (NIOSH 98-126 as the CDC prints it)."""
    assert permitted_time_s(level_dba, rule=RULES["niosh"]) / 60.0 == pytest.approx(minutes)


@pytest.mark.parametrize(
    ("percent", "average_dba"),
    [(10, 73.4), (25, 80.0), (50, 85.0), (75, 87.9), (100, 90.0), (120, 91.3), (150, 92.9), (200, 95.0), (400, 100.0)],
)
def test_average_agrees_with_osha_table_a_1(percent: float, average_dba: float) -> None:
    """29 CFR 1910.95 appendix A, table A-1: dose and eight-hour average."""
    day = noise_dose([(percent / 100.0 * 8.0 * HOUR, 90.0)], rule=RULES["osha"])

    assert day.share == pytest.approx(percent / 100.0)
    assert day.average_dba == pytest.approx(average_dba, abs=0.051)


def test_three_stretches_by_niosh() -> None:
    """15 min at 100, 120 min at 91, 240 min at 85: 100 + 100 + 50 = 250 %, 88.98 dBA, by hand (NIOSH 98-126)."""
    day = noise_dose([(900.0, 100.0), (7200.0, 91.0), (14400.0, 85.0)], rule=RULES["niosh"])

    assert day.share == pytest.approx(2.5)
    assert day.average_dba == pytest.approx(88.98, abs=0.03)


def test_law_and_recommendation_say_where_they_stand() -> None:
    """Law: both pages were read."""
    assert {rule.cite.status for rule in RULES.values()} == {"read"}


@given(st.sampled_from(sorted(RULES)), st.floats(60.0, 130.0), st.floats(1.0, 86400.0))
def test_the_average_does_what_the_day_did(name: str, level_dba: float, time_s: float) -> None:
    """Law: the average over the reference time has the same dose, and order doesn't matter."""
    rule = RULES[name]
    day = noise_dose([(time_s, level_dba), (600.0, 95.0)], rule=rule)
    turned = noise_dose([(600.0, 95.0), (time_s, level_dba)], rule=rule)

    assert noise_dose([(rule.reference_s, day.average_dba)], rule=rule).share == pytest.approx(day.share)
    assert turned.share == pytest.approx(day.share)


def test_silence_is_no_dose() -> None:
    """Law: nothing heard, no average."""
    day = noise_dose([(0.0, 100.0)], rule=RULES["osha"])

    assert (day.share, day.average_dba) == (0.0, -math.inf)
