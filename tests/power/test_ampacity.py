"""Ampacity: the printed table, then laws."""

from itertools import pairwise

import pytest

from coachwright.power.ampacity import NoAmpacity, ampacity

RATINGS = (60, 75, 80, 90, 105, 125, 200)
GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


@pytest.mark.parametrize(
    ("gauge", "row"),
    [
        ("18", (10, 10, 15, 20, 20, 25, 25)),
        ("12", (25, 25, 35, 40, 45, 50, 55)),
        ("6", (80, 95, 100, 100, 120, 125, 135)),
        ("4/0", (300, 360, 385, 385, 445, 475, 510)),
    ],
)
def test_current_agrees_with_33_cfr_183_425_table_5(gauge: str, row: tuple[int, ...]) -> None:
    """Four rows of the table, all seven insulations."""
    found = [ampacity(gauge, insulation_degc=rating) for rating in RATINGS]

    assert [each.current_a for each in found] == list(row)
    assert {cite.status for each in found for cite in each.cites} == {"read"}


@pytest.mark.parametrize(
    ("gauge", "amperes"),
    [("18", 17), ("16", 21), ("14", 30), ("12", 38), ("10", 51), ("8", 68), ("6", 102), ("4", 136), ("2", 178),
     ("1", 208), ("1/0", 242), ("2/0", 280), ("3/0", 327), ("4/0", 378)],
)  # fmt: skip
def test_engine_space_agrees_with_the_printed_column(gauge: str, amperes: int) -> None:
    """105 degC inside an engine space, the rounded column of a boat supplier's guide (0.85 of table 5)."""
    assert ampacity(gauge, insulation_degc=105, place="engine").current_a == pytest.approx(amperes, abs=0.76)


def test_shares_that_were_not_read_are_draft() -> None:
    """Law: notes 1 and 2 are from memory and never turn green."""
    found = ampacity("12", insulation_degc=105, place="engine", bundle_n=7)

    assert [cite.status for cite in found.cites] == ["read", "draft", "draft"]


@pytest.mark.parametrize("rating", RATINGS)
def test_engine_share_follows_from_the_temperatures(rating: int) -> None:
    """Law: sqrt((Tc - 50) / (Tc - 30)) gives note 1 within 0.01; the table leaves 200 degC whole, more than this."""
    share = ampacity("12", insulation_degc=rating, place="engine").place_share

    assert share == pytest.approx(((rating - 50) / (rating - 30)) ** 0.5, abs=0.01 if rating < 200 else 0.07)


def test_thicker_and_better_insulated_never_carries_less() -> None:
    """Law: the table rises along both sides."""
    for thin, thick in pairwise(GAUGES):
        for rating in RATINGS:
            assert ampacity(thin, insulation_degc=rating).current_a < ampacity(thick, insulation_degc=rating).current_a
    for gauge in GAUGES:
        row = [ampacity(gauge, insulation_degc=rating).current_a for rating in RATINGS]
        assert row == sorted(row)


@pytest.mark.parametrize(("count", "share"), [(1, 1.0), (2, 1.0), (3, 0.7), (6, 0.6), (7, 0.5), (24, 0.5), (99, 0.4)])
def test_a_fuller_bundle_carries_less(count: int, share: float) -> None:
    """Note 2 of table 5, from memory: 3 conductors 0.70, 4 to 6 0.60, 7 to 24 0.50, 25 and more 0.40."""
    assert ampacity("12", insulation_degc=105, bundle_n=count).bundle_share == share


def test_nothing_is_guessed_between_the_rows() -> None:
    """Law: the refusal says what the table has."""
    with pytest.raises(NoAmpacity, match="60, 75, 80"):
        ampacity("12", insulation_degc=100)
    with pytest.raises(NoAmpacity, match="18, 16, 14"):
        ampacity("20", insulation_degc=105)
