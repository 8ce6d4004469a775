"""The table of cautions."""

import pytest

from coachwright.look.cautions import CAUTIONS, cautions_of


def test_every_danger_of_the_trade_is_there() -> None:
    """Common practice of shops that fit out such vehicles: what their own safety sheets warn of."""
    assert [each.name for each in CAUTIONS] == [
        "battery", "airbags", "drilling", "glare", "hearing", "radio", "colours", "altering", "exported-logic",
    ]  # fmt: skip


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda each: each.name)
def test_each_says_what_and_gives_way(caution) -> None:  # type: ignore[no-untyped-def]
    """Law of the house: danger, and who has the last word: law, the vehicle maker's guide, licensed practice."""
    assert caution.text.endswith(".")
    assert caution.defers.endswith(".")
    assert "!" not in caution.text + caution.defers
    assert caution.papers
    last_words = ("law", "guide", "rules", "acceptance", "practitioner", "manual")
    assert any(word in caution.defers.lower() for word in last_words)


@pytest.mark.parametrize("name", ["proof-book", "build-book", "bench-sheets", "delivery-book", "operator-card"])
def test_no_paper_goes_without(name: str) -> None:
    """Law."""
    assert cautions_of("paper", name)


def test_drawings_warn_who_drills_by_them() -> None:
    """Case: a drawing is a thing to drill by."""
    assert {each.name for each in cautions_of("command", "draw")} >= {"drilling", "airbags"}
    assert cautions_of("paper", "no-such-paper") == ()
