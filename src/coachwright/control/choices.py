"""What can an input or a memory read, as literals: one value at a time, numbers by the stretches between thresholds.

Conditions compare numbers with thresholds only, so that two numbers between the same thresholds are one case; each
threshold is a case of its own.

See Also
--------
coachwright.control.encode : conditions over these choices.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from coachwright.build.condition import Compare, Condition, OneOf, every_node
from coachwright.build.condition_print import print_condition
from coachwright.build.model import Input, Memory, Model
from coachwright.control.asleep import sleeping_feeds
from coachwright.control.circuit import Circuit

Value = str | float


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that has one of several values.

    Parameters
    ----------
    values : names, or one number of each stretch.
    literals : one per value; exactly one of them is true.
    texts : how a person says that it has this value ("gear == D", "speed < 3 mph").
    rest : place of the value at rest; of ``last`` the first one, which a power-up keeps when nobody knows better.
    thresholds : of a number, in order; empty for a list of names.
    """

    name: str
    values: tuple[Value, ...]
    literals: tuple[int, ...]
    texts: tuple[str, ...]
    rest: int
    thresholds: tuple[float, ...] = ()

    @property
    def away(self) -> int:
        """Literal: it isn't at rest."""
        return -self.literals[self.rest]

    def place(self, value: Value) -> int:
        """Place of a value; of a number the place of its stretch.

        Raises
        ------
        ValueError : when it never has this value.
        """
        if isinstance(value, str):
            return self.values.index(value)
        stretch = _stretch(self.thresholds, value)
        return next(
            place for place, each in enumerate(self.values) if _stretch(self.thresholds, float(each)) == stretch
        )


def bits_of(circuit: Circuit, name: str, values_n: int) -> list[int]:
    """Variables that carry the place of one of so many values, so that few carry many; the lowest bit first."""
    return [circuit.variable((name, bit)) for bit in range((values_n - 1).bit_length())]


def choose(circuit: Circuit, name: str, values_n: int) -> tuple[int, ...]:
    """Literals of `values_n` values of which exactly one is true, whatever the variables are."""
    literals: list[int] = []
    not_yet: list[int] = []
    variables = bits_of(circuit, name, values_n)
    for place in range(values_n - 1):
        bits = [var if place >> bit & 1 else -var for bit, var in enumerate(variables)]
        literals.append(circuit.all_of(bits))
        not_yet.append(-literals[-1])
    return (*literals, circuit.all_of(not_yet))


def input_choice(circuit: Circuit, item: Input, thresholds: Iterable[float], *, least: float = -math.inf) -> Choice:
    """What one input can read.

    Parameters
    ----------
    thresholds : all that conditions compare it with.
    least : a stretch that reaches to this and beyond is told by a number that isn't below it (the supply's, so that a
        setting doesn't take the controller's power away where it needn't).
    """
    if item.values:
        rest = item.values.index(str(item.rest)) if item.rest in item.values else 0
        texts = tuple(_list_text(item, value) for value in item.values)
        return Choice(item.name, item.values, choose(circuit, item.name, len(item.values)), texts, rest)
    points = tuple(sorted(set(thresholds)))
    stretches = _stretches(item, points, least)
    numbers = tuple(number for number, _ in stretches)
    rest = next(
        place for place, each in enumerate(numbers) if _stretch(points, each) == _stretch(points, _at_rest(item))
    )
    texts = tuple(text for _, text in stretches)
    return Choice(item.name, numbers, choose(circuit, item.name, len(numbers)), texts, rest, points)


def memory_choice(circuit: Circuit, memory: Memory) -> Choice:
    """What one memory can stand at."""
    return Choice(
        memory.name,
        memory.values,
        choose(circuit, memory.name, len(memory.values)),
        tuple(f"{memory.name} at {value}" for value in memory.values),
        memory.values.index(memory.start),
    )


def thresholds_of(model: Model) -> Mapping[str, frozenset[float]]:
    """Every number that a condition of the build compares an input with."""
    found: dict[str, set[float]] = {}
    for condition in every_condition(model):
        for node in every_node(condition):
            if isinstance(node, Compare) and not isinstance(node.value, str):
                found.setdefault(node.name, set()).add(float(node.value))
            elif isinstance(node, OneOf):
                numbers = {float(value) for value in node.values if not isinstance(value, str)}
                found.setdefault(node.name, set()).update(numbers)
    return {name: frozenset(numbers) for name, numbers in found.items()}


def every_condition(model: Model) -> Iterable[Condition]:
    """Every condition in the build, promises included."""
    written: list[Condition | None] = [word.condition for word in model.words]
    for function in model.functions:
        written += [function.when, *(each.condition for each in function.at_most)]
    for memory in model.memories:
        for move in memory.moves:
            written += [move.on, move.condition]
    written += [stop.when for stop in model.stops]
    written += [limit.when for limit in model.limits]
    written += [message.when for message in model.messages]
    written += [item.tell_tale_condition for item in model.inputs]
    for promise in model.promises:
        written += [promise.when, promise.then, promise.never, promise.after, promise.until]
    written += [condition for condition, _ in model.cannot_be]
    written += [feed.sleep_after for feed in sleeping_feeds(model)]
    return [condition for condition in written if condition is not None]


def _list_text(item: Input, value: str) -> str:
    if item.values == ("off", "on"):
        words = ("released", "pressed") if item.kind == "button" else ("off", "on")
        return f"{item.name} {words[value == 'on']}"
    return f"{item.name} {value}"


def _at_rest(item: Input) -> float:
    return float(item.rest) if not isinstance(item.rest, str) else item.low


def _stretch(points: tuple[float, ...], number: float) -> int:
    """Even: between two points (or beyond them); odd: on a point."""
    place = bisect_left(points, number)
    return 2 * place + (place < len(points) and points[place] == number)


def _stretches(item: Input, points: tuple[float, ...], least: float) -> list[tuple[float, str]]:
    """One number of each stretch that the input can reach, and how to say it."""
    reached = [_at_rest(item), *(float(each) for each in (item.start, item.lost) if not isinstance(each, str))]
    bounded = item.low < item.high
    low = min([item.low, *reached]) if bounded else min([*reached, *points]) - 1.0
    high = max([item.high, *reached]) if bounded else max([*reached, *points]) + 1.0
    found: list[tuple[float, str]] = []
    edges = [low, *(point for point in points if low < point < high), high]
    for place, (left, right) in enumerate(pairwise(edges)):
        if place or left in points:
            found.append((left, _number_text(item, Compare(item.name, "==", left))))
        said = [Compare(item.name, ">", left)] if place or left in points else []
        said += [Compare(item.name, "<", right)] if place < len(edges) - 2 or right in points else []
        inside = [number for number in reached if left < number < right]
        first, last = (not place and left not in points), (place == len(edges) - 2 and right not in points)
        middle = left if first else right if last else (left + right) / 2
        number = inside[0] if inside else middle
        if number < least < right:
            number = (least + right) / 2
        found.append((number, " and ".join(_number_text(item, each) for each in said)))
    if high in points:
        found.append((high, _number_text(item, Compare(item.name, "==", high))))
    if not found[0][1]:
        found[0] = (found[0][0], _number_text(item, Compare(item.name, "==", found[0][0])))
    return found


def _number_text(item: Input, compare: Compare) -> str:
    return print_condition(compare, kinds={item.name: item.number_kind}).replace(" == ", " ")
