"""kit.by_digest: answers are kept by the digest of what was asked about."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.by_digest import MOST_THINGS, by_digest


@dataclass
class Thing:
    """Something with a digest."""

    digest: str
    value: int = 0


def counted() -> tuple[list[int], object]:
    """A function that counts its calls."""
    calls: list[int] = []

    @by_digest
    def doubled(thing: Thing, times: int = 2) -> int:
        calls.append(thing.value)
        return thing.value * times

    return calls, doubled


def test_the_same_digest_is_asked_once() -> None:
    """Another object of the same digest gets the first one's answer."""
    calls, doubled = counted()

    assert doubled(Thing("a", 3)) == doubled(Thing("a", 3)) == 6  # type: ignore[operator]
    assert calls == [3]


def test_other_arguments_are_other_questions() -> None:
    """By place or by name, each is worked out for itself."""
    calls, doubled = counted()

    assert [doubled(Thing("a", 3), 3), doubled(Thing("a", 3), times=4)] == [9, 12]  # type: ignore[operator]
    assert len(calls) == 2


def test_a_thing_without_a_digest_is_never_remembered() -> None:
    """Nothing says that two of them are the same."""
    calls, doubled = counted()

    assert [doubled(Thing("", 1)), doubled(Thing("", 2))] == [2, 4]  # type: ignore[operator]
    assert calls == [1, 2]


@given(st.lists(st.sampled_from("abcdefghij"), min_size=1, max_size=40))
def test_only_the_last_few_things_are_kept(names: list[str]) -> None:
    """Law: never fewer worked out than there are different things; asking the same again costs nothing."""
    calls, doubled = counted()
    for name in names:
        assert doubled(Thing(name, ord(name))) == 2 * ord(name)  # type: ignore[operator]

    repeats = sum(1 for one, other in pairwise(names) if one == other)
    assert len(set(names)) <= len(calls) <= len(names) - repeats
    if len(set(names)) <= MOST_THINGS:
        assert len(calls) == len(set(names))
