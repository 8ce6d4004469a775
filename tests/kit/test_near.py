"""Did you mean: the slips people make, and words that are too far from everything."""

import random
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.near import nearest, slips

LAMPS = ["grille", "corner", "push", "mirror", "visor", "rocker-fore", "rocker-aft", "cap-side", "cap-bar", "tail"]

words = st.text("abcd-", max_size=7)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("kitten", "sitting", 3),
        ("saturday", "sunday", 3),
        ("ca", "abc", 3),
        ("teh", "the", 1),
        ("", "abc", 3),
        ("a", "a", 0),
    ],
)
def test_distances_of_the_textbooks(one: str, other: str, expected: int) -> None:
    """Levenshtein: kitten/sitting and saturday/sunday 3; optimal alignment: ca/abc 3 (memory: common examples)."""
    assert slips(one, other, most=9) == expected
    assert slips(other, one, most=9) == expected


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("grile", "grille"),  # a letter missing
        ("grillle", "grille"),  # one too many
        ("gritle", "grille"),  # a wrong one
        ("girlle", "grille"),  # two swapped
        ("Rocker_Fore", "rocker-fore"),  # another hand's spelling
        ("rocker fore", "rocker-fore"),
        ("fore-rocker", "rocker-fore"),  # the words the other way round
        ("corn", "corner"),  # the front of it
        ("rocker-fort", "rocker-fore"),
    ],
)
def test_one_slip_still_finds_the_lamp(written: str, meant: str) -> None:
    """Case: each slip of Damerau's list (CACM 7, 1964), and other ways to join words."""
    assert nearest(written, LAMPS) == [meant]


def test_nothing_is_better_than_a_wild_guess() -> None:
    """Case: words that resemble none of the names, and no word at all."""
    assert nearest("siren", LAMPS) == []
    assert nearest("", LAMPS) == []
    assert nearest("grille", []) == []
    assert nearest("x", ["y-long-name"]) == []


def test_a_shared_front_is_preferred() -> None:
    """Case: both are one slip away; people get the front of a word right."""
    assert nearest("rocker-a", ["socker-a", "rocker-b"]) == ["rocker-b"]


def test_several_come_best_first_and_once() -> None:
    """Case: the exact name, then the near one; a name given twice is offered once."""
    assert nearest("cap-bar", ["cap-far", "cap-bar", "cap-far", "tail"], most=3) == ["cap-bar", "cap-far"]
    assert nearest("cap-bar", LAMPS, most=0) == []


def test_a_hostile_word_is_cut_short() -> None:
    """Case: a word of a million letters is compared by its front only."""
    assert nearest("g" * 1_000_000, LAMPS) == []
    assert nearest("ab", ["a" * 1_000_000]) == []


@given(words, words)
def test_slips_agree_with_the_recursive_definition(one: str, other: str) -> None:
    """Law: optimal string alignment by its definition, worked out without a table; and it is symmetric."""

    @cache
    def defined(a: int, b: int) -> int:
        if min(a, b) == 0:
            return max(a, b)
        best = min(defined(a - 1, b) + 1, defined(a, b - 1) + 1, defined(a - 1, b - 1) + (one[a - 1] != other[b - 1]))
        if min(a, b) > 1 and one[a - 1] == other[b - 2] and one[a - 2] == other[b - 1]:
            best = min(best, defined(a - 2, b - 2) + 1)
        return best

    assert slips(one, other, most=20) == defined(len(one), len(other))
    assert slips(one, other, most=20) == slips(other, one, most=20)


@given(words, words, st.integers(0, 6))
def test_the_bound_only_cuts(one: str, other: str, most: int) -> None:
    """Law: stopping early never changes an answer within the bound."""
    assert slips(one, other, most=most) == min(slips(one, other, most=20), most + 1)


@given(st.text(max_size=40), st.lists(st.text(max_size=20), max_size=8), st.integers(0, 4))
def test_any_text_is_safe_and_order_does_not_matter(word: str, names: list[str], most: int) -> None:
    """Law: only given names come back, at most so many, each once, whatever the order they were given in."""
    found = nearest(word, names, most=most)
    shuffled = names.copy()
    random.Random(7).shuffle(shuffled)

    assert len(found) <= most
    assert len(set(found)) == len(found)
    assert set(found) <= set(names)
    assert nearest(word, shuffled, most=most) == found
