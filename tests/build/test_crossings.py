"""Crossings of the job: what is read, and what can't be."""

from __future__ import annotations

import pytest

from coachwright.parts.store import Catalogue
from tests.build.conftest import Case, check_case
from tests.build.test_carried import model_of

TEXT = """\
crossings:
  mill-road: {own: 45 mph, cross: 36 km/h, corner: {from-cross: 20 m, from-own: 50 ft}, side: right, grade: -4 %}
  highway: {own: 20 m/s, cross: 20 m/s, note: fields}
"""


def test_crossings(catalogue: Catalogue) -> None:
    """Case: in SI, with what holds where nothing is written."""
    mill, highway = model_of(catalogue, crossings=TEXT).crossings

    assert (mill.name, mill.path, mill.note) == ("mill-road", "crossings.mill-road", "")
    assert (mill.own_m_s, mill.cross_m_s) == (pytest.approx(45 * 0.44704), pytest.approx(10.0))
    assert (mill.corner_from_cross_m, mill.corner_from_own_m) == (20.0, pytest.approx(15.24))
    assert (mill.side, mill.grade_share) == ("right", pytest.approx(-0.04))
    assert (highway.corner_from_cross_m, highway.corner_from_own_m) == (None, None)
    assert (highway.side, highway.grade_share, highway.note) == ("both", 0.0, "fields")
    assert model_of(catalogue).crossings == ()


def test_crossings_are_in_the_digest(catalogue: Catalogue) -> None:
    """Law: another crossing is another job."""
    assert model_of(catalogue, crossings=TEXT).digest != model_of(catalogue).digest


def test_crossings_that_can_not_be(case: Case) -> None:
    """BLD-180: a vehicle that stands, one that flies, corners on the road and out of the country, a wall for a road.

    crossings:
      one: {own: 0 mph, cross: 500 mph, corner: {from-cross: 0 m, from-own: 9 km}, grade: 90 %}
    #            ^^^^^ BLD-180
    #                          ^^^^^^^ BLD-180
    #                                                        ^^^ BLD-180
    #                                                                       ^^^^ BLD-180
    #                                                                                     ^^^^ BLD-180
    """
    check_case(case)


def test_a_crossing_that_can_not_be(case: Case) -> None:
    """BLD-180: a speed backward. BLD-014: a side there isn't.

    crossings:
      two: {own: 30 mph, cross: -5 mph}
    #                           ^^^^^^ BLD-180 Write it like 35 mph.
      three: {own: 30 mph, cross: 30 mph, side: ahead}
    #                                           ^^^^^ BLD-014 left, right, both
    """
    check_case(case)
