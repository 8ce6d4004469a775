"""How are wires cut from reels so that the fewest reels are opened?"""

import math
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.cut import MOST_PIECES, Cutting, cut, lower_bound_n, pieces_of

INSTANCES: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "cutting_stock.yaml").read_text("utf-8"))
LENGTHS = st.lists(st.integers(1, 900).map(lambda mm: mm / 1000), min_size=1, max_size=40)


def pieces(instance: dict[str, Any]) -> list[int]:
    return instance.get("pieces") or [size for size, count in instance["widths"].items() for _ in range(count)]


@pytest.mark.parametrize("name", sorted(INSTANCES))
def test_published_instances_are_cut_as_well_as_can_be(name: str) -> None:
    """Fewest rolls or bins of published instances; source and numbers in cutting_stock.yaml."""
    instance = INSTANCES[name]
    cutting = cut([size / 1000 for size in pieces(instance)], reel_m=instance["room"] / 1000)

    assert len(cutting.reels) == instance["best"]
    assert cutting.bound_n <= instance["best"]


def test_the_bound_of_the_paper_machine_is_the_published_one() -> None:
    """Wikipedia, Cutting stock problem: 407,160 mm on rolls of 5,600 mm need 72.7 rolls, so at least 73."""
    sizes = pieces(INSTANCES["paper-machine"])

    assert sum(sizes) == 407_160
    assert lower_bound_n(sizes, 5_600) == 73


def test_the_bound_sees_pieces_that_can_not_share() -> None:
    """Print: Martello and Toth (1990), L2: pieces over half a reel each need one, whatever they leave over."""
    assert lower_bound_n([60] * 5, 100) == 5
    assert math.ceil(5 * 60 / 100) == 3


@given(LENGTHS)
def test_every_piece_is_cut_once_and_no_reel_gives_more_than_it_has(lengths_m: list[float]) -> None:
    """Law: metres are conserved."""
    cutting = cut(lengths_m, reel_m=0.9)

    assert sorted(piece for _, piece in pieces_of(cutting)) == list(range(len(lengths_m)))
    assert all(sum(lengths_m[piece] for piece in reel) <= 0.9 + 1e-9 for reel in cutting.reels)
    assert cutting.used_m == pytest.approx(sum(lengths_m))
    assert cutting.used_m + cutting.waste_m == pytest.approx(len(cutting.reels) * 0.9)
    assert cutting.bound_n <= len(cutting.reels)


@given(LENGTHS)
def test_the_same_pieces_are_cut_alike(lengths_m: list[float]) -> None:
    """Law: no clock and no chance decides."""
    assert cut(lengths_m, reel_m=0.9) == cut(lengths_m, reel_m=0.9)


@given(st.lists(st.integers(10, 95), min_size=1, max_size=9))
def test_few_pieces_are_cut_as_well_as_every_partition_could(sizes: list[int]) -> None:
    """Law: an exhaustive search over all ways to fill reels finds nothing better, and the bound never exceeds it."""
    cutting = cut([size / 1000 for size in sizes], reel_m=0.1)
    best_n = fewest(tuple(sorted(sizes)), 100)

    assert len(cutting.reels) == best_n
    assert cutting.bound_n <= best_n


@cache
def fewest(sizes: tuple[int, ...], room: int) -> int:
    """Every subset with the first piece in it as the first reel, then the rest."""
    if not sizes:
        return 0
    first, rest = sizes[0], sizes[1:]
    best = len(sizes)
    for chosen in range(1 << len(rest)):
        beside = [number for number in range(len(rest)) if chosen >> number & 1]
        if first + sum(rest[number] for number in beside) <= room:
            left = tuple(size for number, size in enumerate(rest) if number not in beside)
            best = min(best, 1 + fewest(left, room))
    return best


def test_a_plan_that_is_not_proved_says_so() -> None:
    """Case: three pieces of 34 mm need two reels of 100 mm, and a bound of sums alone can't see it."""
    cutting = cut([0.034] * 3, reel_m=0.1)

    assert (len(cutting.reels), cutting.bound_n, cutting.is_proved) == (2, 2, True)
    assert not Cutting(((0,), (1,)), (), 1, 0.1, 0.1).is_proved


def test_a_piece_longer_than_a_reel_has_none() -> None:
    """Case: it is told, and the others are cut all the same."""
    cutting = cut([31.0, 2.0, 3.0], reel_m=30.48)

    assert cutting.too_long == (0,)
    assert [sorted(reel) for reel in cutting.reels] == [[1, 2]]


def test_the_knife_takes_its_share() -> None:
    """Case: ten pieces of a metre from ten metres need a second reel once each cut takes 5 mm."""
    assert len(cut([1.0] * 10, reel_m=10.0).reels) == 1
    assert len(cut([1.0] * 10, reel_m=10.0, knife_m=0.005).reels) == 2
    assert len(cut([1.0] * 10, reel_m=10.045, knife_m=0.005).reels) == 1


def test_nothing_to_cut_opens_nothing() -> None:
    """Case: no wires."""
    assert cut([], reel_m=30.0) == Cutting((), (), 0, 0.0, 0.0)


@pytest.mark.parametrize("lengths_m", [[0.0], [-1.0], [math.inf], [math.nan], [1.0] * (MOST_PIECES + 1)])
def test_lengths_that_can_not_be_are_refused(lengths_m: list[float]) -> None:
    """Case: nothing, less, no number, and more pieces than any batch has."""
    with pytest.raises(ValueError, match="piece"):
        cut(lengths_m, reel_m=30.0)


def test_a_reel_without_wire_is_refused() -> None:
    """Case: so is a reel of nothing."""
    with pytest.raises(ValueError, match="longer than nothing"):
        cut([1.0], reel_m=0.0)
