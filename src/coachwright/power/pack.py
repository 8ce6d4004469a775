"""Into how few equal bins do these things fit, if some must not all lie in one?

First fit and best fit, largest first, give an answer; sums give a bound. Where the two differ, bins are filled one
after the other: each takes the largest thing left and what goes with it, fullest first, and gives up as soon as more
room is wasted than one bin fewer can spare [1]_. The search ends after so many steps; then the bound says how far off
the answer may be. Equal questions have equal answers.

References
----------
.. [1] R. E. Korf, "A new algorithm for optimal bin packing", AAAI 2002: bin completion.
.. [2] S. Martello, P. Toth, "Knapsack Problems", 1990, chapter 8: the bound L2.

See Also
--------
coachwright.power.allocate : bins are channels, things are lamps.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

STEPS_MOST = 200_000
"""Things that are tried in a bin, one after the other."""


@dataclass(frozen=True, slots=True)
class Packing:
    """bin_of : bin of each thing, open ones first. new_n : bins opened anew. least_n : fewer can't be."""

    bin_of: tuple[int, ...]
    new_n: int
    least_n: int

    @property
    def is_best(self) -> bool:
        """Proved to be the fewest."""
        return self.new_n == self.least_n


@dataclass(slots=True)
class _Search:
    sizes: Sequence[int]
    capacity: int
    apart: Sequence[frozenset[int]]
    loads: Sequence[int]
    steps_left: int
    bins: list[list[int]] = field(default_factory=list)


class DoesNotFit(ValueError):
    """A thing is larger than a bin."""


def pack(
    sizes: Sequence[int],
    *,
    capacity: int,
    apart: Sequence[frozenset[int]] = (),
    loads: Sequence[int] = (),
    steps_most: int = STEPS_MOST,
) -> Packing:
    """Fewest new bins for things of these sizes.

    Parameters
    ----------
    sizes : whole numbers, 0 or more. capacity : of each bin.
    apart : sets of things (by place) that may not all lie in one bin; a set of one is no wish.
    loads : bins that are open already, with what is in them.

    Raises
    ------
    DoesNotFit : a thing is larger than a bin.
    """
    if any(size > capacity for size in sizes):
        raise DoesNotFit(f"{max(sizes)} doesn't fit into {capacity}")
    wishes = [each for each in apart if len(each) > 1]
    best = min(
        (_fitted(sizes, capacity, wishes, loads, best=best) for best in (False, True)), key=lambda b: _new(b, loads)
    )
    least_n = least(sizes, capacity=capacity, loads=loads)
    proving = True
    for target_n in range(least_n, _new(best, loads)):  # the fewest first: there nothing may be wasted
        search = _Search(sizes, capacity, wishes, loads, steps_most)
        found = _with(search, target_n)
        if found is not None:
            best = found
            break
        proving = proving and search.steps_left > 0
        least_n = target_n + 1 if proving else least_n  # every way was tried
    bin_of = [0] * len(sizes)
    for place, bin_ in enumerate(best):
        for thing in bin_:
            bin_of[thing] = place
    return Packing(tuple(bin_of), _new(best, loads), least_n)


def least(sizes: Sequence[int], *, capacity: int, loads: Sequence[int] = ()) -> int:
    """New bins that are needed at least: by the sum, and by things that can't lie together. [2]_"""
    room = sum(max(0, capacity - load) for load in loads)
    bounds = [-(-(sum(sizes) - room) // capacity)]
    if not loads:
        for small in sorted({size for size in sizes if 2 * size <= capacity} | {0}):
            large = [size for size in sizes if size > capacity - small]
            middle = [size for size in sizes if capacity - small >= size and 2 * size > capacity]
            rest = [size for size in sizes if 2 * size <= capacity and size >= small]
            spare = len(middle) * capacity - sum(middle)
            bounds.append(len(large) + len(middle) + max(0, -(-(sum(rest) - spare) // capacity)))
    return max(0, *bounds)


def _new(bins: Sequence[Sequence[int]], loads: Sequence[int]) -> int:
    return max(0, len(bins) - len(loads))


def _may(bin_: Sequence[int], apart: Sequence[frozenset[int]]) -> bool:
    """No set lies in it whole."""
    return not any(each.issubset(bin_) for each in apart)


def _fitted(
    sizes: Sequence[int], capacity: int, apart: Sequence[frozenset[int]], loads: Sequence[int], *, best: bool
) -> list[list[int]]:
    """Largest first into the first bin with room, or into the one it leaves the least room in."""
    bins: list[list[int]] = [[] for _ in loads]
    filled = list(loads)
    for thing in sorted(range(len(sizes)), key=lambda place: (-sizes[place], place)):
        fits = [
            place
            for place, load in enumerate(filled)
            if load + sizes[thing] <= capacity and _may([*bins[place], thing], apart)
        ]
        if not fits:
            bins.append([])
            filled.append(0)
            fits = [len(bins) - 1]
        chosen = max(fits, key=lambda place: (filled[place], -place)) if best else fits[0]
        bins[chosen].append(thing)
        filled[chosen] += sizes[thing]
    return bins


def _with(search: _Search, new_n: int) -> list[list[int]] | None:
    """A packing into so many new bins; None where none was found."""
    room = sum(max(0, search.capacity - load) for load in search.loads) + new_n * search.capacity
    waste = room - sum(search.sizes)
    if waste < 0:
        return None
    things = sorted(range(len(search.sizes)), key=lambda place: (-search.sizes[place], place))
    search.bins = []
    return list(search.bins) if _fill(search, things, len(search.loads) + new_n, waste) else None


def _fill(search: _Search, things: list[int], bins_n: int, waste: int) -> bool:
    """Fill the next bin, then the rest; the bins are in `search` when it succeeds."""
    place = len(search.bins)
    if not things:
        search.bins += [[] for _ in range(len(search.loads) - place)]
        return True
    if place == bins_n:
        return False
    is_open = place < len(search.loads)
    room = max(0, search.capacity - search.loads[place]) if is_open else search.capacity
    forced = [] if is_open else things[:1]
    others = things if is_open else things[1:]
    left = room - sum(search.sizes[each] for each in forced)
    for added, slack in _fillings(search, others, left, waste):
        if search.steps_left <= 0:
            return False
        bin_ = [*forced, *added]
        if not _may(bin_, search.apart):
            continue
        search.bins.append(bin_)
        taken = set(bin_)
        if _fill(search, [each for each in things if each not in taken], bins_n, waste - slack):
            return True
        search.bins.pop()
    return False


def _fillings(search: _Search, things: Sequence[int], room: int, waste: int) -> Iterator[tuple[list[int], int]]:
    """Choices of things that leave no more than `waste` of the room, largest things first, with what they leave."""
    sizes = search.sizes
    sums = [0] * (len(things) + 1)
    for place in range(len(things) - 1, -1, -1):
        sums[place] = sums[place + 1] + sizes[things[place]]

    def choose(place: int, left: int, chosen: list[int]) -> Iterator[tuple[list[int], int]]:
        if search.steps_left <= 0 or left - sums[place] > waste:
            return
        if left > waste and things and left < sizes[things[-1]]:
            return  # nothing is small enough to fill what is left
        if place == len(things):
            yield list(chosen), left
            return
        search.steps_left -= 1
        size = sizes[things[place]]
        if size <= left:
            chosen.append(things[place])
            yield from choose(place + 1, left - size, chosen)
            chosen.pop()
        following = place + 1
        if not search.apart:  # equal things are one as good as the other
            while following < len(things) and sizes[things[following]] == size:
                following += 1
        yield from choose(following, left, chosen)

    yield from choose(0, room, [])
