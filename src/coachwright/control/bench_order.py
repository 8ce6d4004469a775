"""In which order are the settings gone through with the fewest switch moves? A shortest path, with a lower bound.

The cost between two settings is what reads otherwise (a control that a hand moves counts more than a signal), and what
memory makes people do again. A path is built by insertion and improved by turning and moving stretches; the bound is
that of minimum spanning trees with prices on settings.

References
----------
.. [1] M. Held, R. M. Karp, "The traveling-salesman problem and minimum spanning trees", Operations Research 18 (1970).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from coachwright.build.model import Model
from coachwright.control.bench_walk import Place

PASSES_MOST = 60
PRICES = 200
"""Rounds in which the bound is raised."""


@dataclass(frozen=True, slots=True)
class Costs:
    """What it costs to move one thing, in moves of a hand; assumed, and printed with the list."""

    hand: float = 1.0
    foot: float = 1.0
    vehicle: float = 2.0
    memory: float = 2.0


COSTS = Costs()


@dataclass(frozen=True, slots=True)
class Ordered:
    """Places in order, the moves they cost by the estimate, and what no order can have less than."""

    order: tuple[int, ...]
    cost: float
    least_cost: float


def ordered(model: Model, start: Place, places: Sequence[Place], costs: Costs = COSTS) -> Ordered:
    """The order in which `places` are visited from `start`."""
    all_places = [start, *places]
    weight = {
        item.name: {"hand": costs.hand, "foot": costs.foot, "vehicle": costs.vehicle}[item.hand]
        for item in model.inputs
    }
    between = [[apart(one, other, weight, costs.memory) for other in all_places] for one in all_places]
    path = shortest(between)
    return Ordered(tuple(place - 1 for place in path[1:]), length(between, path), least(between))


def apart(one: Place, other: Place, weight: dict[str, float], memory_cost: float) -> float:
    """Estimated moves between two settings."""
    moves = sum(weight[name] for (name, here), (_, there) in zip(one.reads, other.reads, strict=True) if here != there)
    moves += memory_cost * sum(here != there for here, there in zip(one.memory, other.memory, strict=True))
    return moves + memory_cost * len(one.held_off ^ other.held_off)


def shortest(between: Sequence[Sequence[float]]) -> list[int]:
    """A short path from 0 through all places; the same for the same costs."""
    path = [0]
    left = list(range(1, len(between)))
    while left:
        place, at = min(
            ((place, at) for place in left for at in range(1, len(path) + 1)),
            key=lambda each: (_added(between, path, *each), each),
        )
        path.insert(at, place)
        left.remove(place)
    for _ in range(PASSES_MOST):
        better = _turned(between, path) or _moved(between, path)
        if better is None:
            break
        path = better
    return path


def length(between: Sequence[Sequence[float]], path: Sequence[int]) -> float:
    """Cost along a path."""
    return sum(between[one][other] for one, other in pairwise(path))


def least(between: Sequence[Sequence[float]]) -> float:
    """No path from 0 through all places costs less."""
    places_n = len(between)
    if places_n < 2:
        return 0.0
    price = [0.0] * places_n
    best = 0.0
    step = max(map(max, between)) / 4
    for _ in range(PRICES):
        total, degree = _tree(between, price)
        # A path from 0: two ends have one neighbour, all others two. The far end is free, so its price is left out.
        bound = total - sum(2 * each for each in price) + price[0] + min(price[1:])
        best = max(best, bound)
        for place in range(places_n):
            price[place] += step * (degree[place] - (1 if place == 0 else 2))
        step *= 0.97
    return best


def _tree(between: Sequence[Sequence[float]], price: Sequence[float]) -> tuple[float, list[int]]:
    """Cost and degrees of the cheapest tree over all places, prices of both ends added to each edge."""
    places_n = len(between)
    degree, total = [0] * places_n, 0.0
    nearest = {place: (between[0][place] + price[0] + price[place], 0) for place in range(1, places_n)}
    while nearest:
        place = min(nearest, key=lambda each: (nearest[each][0], each))
        cost, joined = nearest.pop(place)
        total += cost
        degree[place] += 1
        degree[joined] += 1
        for other, (known, _) in nearest.items():
            cost = between[place][other] + price[place] + price[other]
            if cost < known:
                nearest[other] = (cost, place)
    return total, degree


def _added(between: Sequence[Sequence[float]], path: Sequence[int], place: int, at: int) -> float:
    before = between[path[at - 1]][place]
    if at == len(path):
        return before
    return before + between[place][path[at]] - between[path[at - 1]][path[at]]


def _turned(between: Sequence[Sequence[float]], path: list[int]) -> list[int] | None:
    """The path with one stretch the other way round, where that is shorter."""
    now = length(between, path)
    for first in range(1, len(path) - 1):
        for last in range(first + 1, len(path)):
            tried = [*path[:first], *reversed(path[first : last + 1]), *path[last + 1 :]]
            if length(between, tried) < now - 1e-9:
                return tried
    return None


def _moved(between: Sequence[Sequence[float]], path: list[int]) -> list[int] | None:
    """The path with one stretch of up to three places elsewhere, where that is shorter."""
    now = length(between, path)
    for size in (1, 2, 3):
        for first in range(1, len(path) - size + 1):
            stretch, rest = path[first : first + size], [*path[:first], *path[first + size :]]
            for at in range(1, len(rest) + 1):
                tried = [*rest[:at], *stretch, *rest[at:]]
                if length(between, tried) < now - 1e-9:
                    return tried
    return None
