"""Which heads a selector names."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Head
from coachwright.build.selectors import Selectors, groups_of, ring_in
from coachwright.build.trouble import Trouble
from tests.build import small


def selectors_of() -> Selectors:
    """The lamps of the good build, with two groups."""
    model = read_build(small.whole(), catalogue=small.small_catalogue()).model
    assert model is not None
    lamps: dict[str, tuple[Head, ...]] = {}
    for head in model.heads:
        lamps[head.lamp] = (*lamps.get(head.lamp, ()), head)
    found = Selectors(lamps, {}, frozenset(["lost"]), False)
    groups_of({"front": ("grille", "bar"), "most": ("front", "tail.left")}, found, [])
    return found


def ids(selector: str) -> tuple[str, ...]:
    """Heads that a selector names."""
    told: list[Trouble] = []
    heads = selectors_of().heads(selector, ("x",), told)
    assert told == []
    assert heads is not None
    return tuple(head.id for head in heads)


@pytest.mark.parametrize(
    ("selector", "expected"),
    [
        ("tail", "tail.left tail.right"),
        ("tail.left", "tail.left"),
        ("bar.3", "bar.3"),
        ("bar.2-4", "bar.2 bar.3 bar.4"),
        ("bar.ends", "bar.1 bar.4"),
        ("side.2", "side.left.2 side.right.2"),
        ("side.ends", "side.left.1 side.left.4 side.right.1 side.right.4"),
        ("side.left.ends", "side.left.1 side.left.4"),
        ("side.right.3", "side.right.3"),
        ("front", "grille.left grille.right bar.1 bar.2 bar.3 bar.4"),
        ("front.right", "grille.right"),
        ("most", "grille.left grille.right bar.1 bar.2 bar.3 bar.4 tail.left"),
        ("brake-lamps", "brake-lamps.left brake-lamps.right brake-lamps.1"),
    ],
)
def test_what_a_selector_names(selector: str, expected: str) -> None:
    """Case: every form of the language."""
    assert ids(selector) == tuple(expected.split())


def test_all_is_what_we_reach_by_name() -> None:
    """Case: our heads and the high beam, not the brake lamps nor the dome, which the build doesn't reach."""
    found = selectors_of()
    found.lost = frozenset()
    heads = found.heads("all", ("x",), [])

    assert heads is not None
    assert {head.lamp for head in heads} == {"grille", "side", "tail", "bar", "rear-bar", "high-beam"}
    assert [head.id for head in heads] == sorted(head.id for head in heads)


def test_a_lost_lamp_is_neither_found_nor_told() -> None:
    """Case: nobody knows its heads, and who names it isn't blamed; all can't be known either."""
    told: list[Trouble] = []

    assert selectors_of().heads("lost.3", ("x",), told) is None
    assert selectors_of().heads("all", ("x",), told) is None
    assert told == []


@given(st.lists(st.sampled_from(["tail", "tail.left", "bar", "bar.1-2", "bar.ends", "front", "side.3"]), max_size=6))
def test_a_list_names_each_head_once_in_its_order(items: list[str]) -> None:
    """Law: the union of its selectors, first come first."""
    heads = selectors_of().heads_of(items, ("x",), [])
    expected = list(dict.fromkeys(each for item in items for each in ids(item)))

    assert heads is not None
    assert [head.id for head in heads] == expected


@given(st.integers(0, 6), st.integers(0, 6))
def test_a_stretch_is_its_numbers(low: int, high: int) -> None:
    """Law: from the smaller to the larger, both within the lamp; anything else is told."""
    told: list[Trouble] = []
    heads = selectors_of().heads(f"bar.{low}-{high}", ("x",), told)

    if 1 <= low <= high <= 4:
        assert heads is not None
        assert [head.number for head in heads] == list(range(low, high + 1))
    else:
        assert [each.code for each in told] == ["BLD-056"]


GRAPHS = st.dictionaries(st.sampled_from("abcdef"), st.lists(st.sampled_from("abcdefg"), max_size=3), max_size=6)


@given(GRAPHS)
def test_a_ring_is_a_ring(reads: dict[str, list[str]]) -> None:
    """Law: what is called a ring leads round; where none is found, every walk ends."""
    ring = ring_in(reads)

    if ring:
        assert ring[0] == min(ring)
        assert all(ring[(n + 1) % len(ring)] in reads[name] for n, name in enumerate(ring))
    else:
        left = dict(reads)
        while left:
            ends = [name for name, others in left.items() if not set(others) & set(left)]
            assert ends
            for name in ends:
                del left[name]


def test_the_same_lamp_under_another_name_is_another() -> None:
    """Case: selectors go by the lamp's name, whatever the heads are."""
    found = selectors_of()
    renamed = {"other": tuple(replace(head, lamp="other") for head in found.lamps["bar"])}
    told: list[Trouble] = []

    assert Selectors(renamed, {}, frozenset(), False).heads("bar", ("x",), told) is None
    assert told[0].code == "BLD-055"
