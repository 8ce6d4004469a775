"""What lies together in one way, how thick is it, and does it go through the hole?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.bundle import bundle_diameter_m, bundles, fill_share, most_fill_share, warm_n
from coachwright.power.runs import laid
from coachwright.power.shelf import our_shelf
from coachwright.power.wires import wires_of
from tests.power.nets import EXAMPLES, example

DENSEST = {
    1: 1.0, 2: 2.0, 3: 2.154, 4: 2.414, 5: 2.701, 6: 3.0, 7: 3.0, 8: 3.304, 9: 3.613, 10: 3.813,
    11: 3.923, 12: 4.029, 13: 4.236, 14: 4.328, 15: 4.521, 16: 4.615, 17: 4.792, 18: 4.863, 19: 4.863, 20: 5.122,
}  # fmt: skip
"""Radius round n equal circles of radius 1, best known (Circle packing in a circle, table of solutions)."""

DIAMETERS = st.lists(st.floats(0.001, 0.02), min_size=1, max_size=40)


@pytest.mark.parametrize("count_n", sorted(DENSEST))
def test_a_bundle_laid_by_hand_is_no_thinner_than_the_densest_packing(count_n: int) -> None:
    """Best known packings of 1 to 20 circles: we are never below them, and at most an eighth above."""
    thick = bundle_diameter_m([1.0] * count_n)

    assert DENSEST[count_n] <= thick + 1e-3 <= DENSEST[count_n] * 1.125 + 1e-3


def test_one_and_two_wires_are_exact() -> None:
    """Print: one wire is itself, two lie side by side (r = 1 and 2 of the same table)."""
    assert bundle_diameter_m([0.003]) == 0.003
    assert bundle_diameter_m([0.003, 0.005]) == pytest.approx(0.008)
    assert bundle_diameter_m([]) == 0.0


@pytest.mark.parametrize(("count_n", "most"), [(1, 0.53), (2, 0.31), (3, 0.40), (40, 0.40)])
def test_most_fill_agrees_with_nec_chapter_9_table_1(count_n: int, most: float) -> None:
    """NEC chapter 9, table 1, as handbooks print it: 53 % for one, 31 % for two, 40 % for more."""
    assert most_fill_share(count_n) == most


def test_fill_of_a_trade_size_agrees_with_nec_chapter_9() -> None:
    """NEC annex C: nine No. 12 THHN (0.130 in) in 1/2 in EMT (0.622 in) are the most; ten are above 40 %. (memory)"""
    assert fill_share([0.130] * 9, bore_m=0.622) <= 0.40
    assert fill_share([0.130] * 10, bore_m=0.622) > 0.40


@given(DIAMETERS, st.floats(0.001, 0.02))
def test_one_wire_more_makes_no_bundle_thinner(diameters_m: list[float], more_m: float) -> None:
    """Law: what is added takes room, also where two side by side become three in a heap."""
    assert bundle_diameter_m([*diameters_m, more_m]) >= bundle_diameter_m(diameters_m) - 1e-12


@given(DIAMETERS)
def test_a_bundle_is_as_thick_as_its_copper_needs(diameters_m: list[float]) -> None:
    """Law: wires can't overlap, and laid flat they are wider."""
    thick = bundle_diameter_m(diameters_m)

    assert math.sqrt(sum(each**2 for each in diameters_m)) <= thick + 1e-12
    assert thick <= 1.25 * sum(diameters_m) + 1e-12


@given(DIAMETERS)
def test_order_is_nothing_to_a_bundle(diameters_m: list[float]) -> None:
    """Law: which wire was laid first can't be seen."""
    assert bundle_diameter_m(diameters_m) == pytest.approx(bundle_diameter_m(diameters_m[::-1]), rel=1e-12)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_wire_lies_in_the_bundle_of_each_of_its_ways(name: str) -> None:
    """Law: what leaves one way enters the next; nothing is lost between."""
    runs = laid(example(name)).runs
    found = {bundle.segment.name: bundle for bundle in bundles(runs, wires_of(runs, our_shelf()))}

    for run in runs:
        for segment in run.segments:
            assert run.name in found[segment.name].runs
    assert sum(len(bundle.runs) for bundle in found.values()) == sum(len(run.segments) for run in runs)


def test_signals_are_not_warm() -> None:
    """Case: in the tray's chain guide lie two lamps, a tablet, a switch and a cable; six conductors carry current."""
    runs = laid(example("quillback")).runs
    found = bundles(runs, wires_of(runs, our_shelf()))
    tray = next(bundle for bundle in found if bundle.segment.name == "tray")
    lamp = next(run for run in runs if run.name == "lamps.tray.left supply")

    assert (tray.conductors_n, tray.warm_n) == (13, 6)
    assert warm_n(lamp, found) == max(bundle.warm_n for bundle in found if lamp.name in bundle.runs) > 6
    assert warm_n(lamp, ()) == 1
