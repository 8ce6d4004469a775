"""What is drawn, and that each figure says who says so."""

import math

import pytest

from coachwright.kit.errors import DataWrong
from coachwright.light import tolerances as room
from coachwright.light.tolerances import tolerances


def test_every_cause_names_its_source() -> None:
    """Law: a figure of nobody is none; house figures are called common practice."""
    for cause in tolerances().causes:
        assert cause.cite.source
        assert cause.title
        assert cause.cite.status != "house" or cause.cite.source == "common practice"


def test_what_is_drawn_is_what_was_asked_for() -> None:
    """Case: dirt, ageing, voltage, dead heads and aim are all there; light is never made of nothing."""
    known = tolerances()
    acts = {draw.acts_on for cause in known.causes for draw in cause.draws}

    assert acts == {"light", "voltage", "dead", "bearing", "elevation"}
    assert {"dirt", "ageing", "voltage", "dead", "aim"} <= {cause.name for cause in known.causes}
    assert known.samples_n == 10_000
    assert [cause.name for cause in known.causes if cause.turns] == ["aim"]


def test_angles_come_in_degrees_and_go_in_radians() -> None:
    """Print: 1.5 deg of spread, cut at 2.5 of them, reach 3.75 deg."""
    (aim,) = tolerances().only(["aim"]).causes
    bearing = next(draw for draw in aim.draws if draw.acts_on == "bearing")

    assert math.degrees(bearing.spread.furthest) == pytest.approx(3.75)


def test_a_cause_can_be_left_away() -> None:
    """Law: all but one are left, in their order."""
    known = tolerances()

    assert [each.name for each in known.without("dirt").causes] == [
        each.name for each in known.causes if each.name != "dirt"
    ]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"acts-on": "light", "by": "head", "shape": "round"}, "none of"),
        ({"acts-on": "light", "by": "fleet", "shape": "uniform"}, "nothing that can be drawn"),
        ({"acts-on": "light", "by": "head", "shape": "uniform", "low": "2", "high": "1"}, "in that order"),
        ({"acts-on": "light", "by": "head", "shape": "triangular", "low": "0", "likely": "2", "high": "1"}, "order"),
    ],
)
def test_a_draw_that_says_nonsense_is_refused(said: dict[str, str], why: str) -> None:
    """Case: the place and what is wrong with it."""
    with pytest.raises(DataWrong, match=why):
        room._draw(said, "here")
