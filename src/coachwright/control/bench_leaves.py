"""Which conditions are written in a build, leaf by leaf, and what is the build with one of them turned over?

A leaf is a name, a comparison, or a timed condition as a whole; what stands inside of a timed one are leaves as well.
A leaf turned over shows through the timers around it as if it had stood so for long (of ``first``: as if it began).

See Also
--------
coachwright.control.bench_asked : asks where each leaf decides something that is seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
    around,
    children,
)
from coachwright.build.condition_print import print_condition
from coachwright.build.model import Model

Section = Literal["functions", "at-most", "stops", "limits", "messages", "words", "on", "if"]


@dataclass(frozen=True, slots=True)
class Written:
    """Where a condition is written: `at` is the place of its owner in the model, `sub` of the at-most or the move."""

    section: Section
    at: int
    sub: int = 0

    def read(self, model: Model) -> Condition | None:
        """The condition there."""
        owner: Any = self._owner(model)
        field = {"on": "on", "at-most": "condition", "words": "condition", "if": "condition"}.get(self.section, "when")
        found: Condition | None = getattr(owner, field)
        return found

    def put(self, model: Model, condition: Condition | None) -> Model:
        """The build with this condition there instead."""
        field = {"on": "on", "at-most": "condition", "words": "condition", "if": "condition"}.get(self.section, "when")
        group = {"at-most": "functions", "on": "memories", "if": "memories"}.get(self.section, self.section)
        items: list[Any] = list(getattr(model, group))
        new = replace(self._owner(model), **{field: condition})
        if self.section == "at-most":
            new = replace(items[self.at], at_most=_with(items[self.at].at_most, self.sub, new))
        elif self.section in ("on", "if"):
            new = replace(items[self.at], moves=_with(items[self.at].moves, self.sub, new))
        items[self.at] = new
        changes: dict[str, Any] = {group: tuple(items)}
        return replace(model, **changes)

    def path(self, model: Model) -> str:
        """The build path of what is written."""
        match self.section:
            case "functions":
                return f"functions.{model.functions[self.at].name}.when"
            case "at-most":
                function = model.functions[self.at]
                return f"functions.{function.name}.at-most.{function.at_most[self.sub].level}"
            case "on" | "if":
                return f"memory.{model.memories[self.at].name}.moves.{self.sub + 1}.{self.section}"
            case "words":
                return f"words.{model.words[self.at].name}"
            case _:
                return f"{self.section}.{getattr(model, self.section)[self.at].name}.when"

    def _owner(self, model: Model) -> Any:
        match self.section:
            case "at-most":
                return model.functions[self.at].at_most[self.sub]
            case "on" | "if":
                return model.memories[self.at].moves[self.sub]
            case _:
                return getattr(model, self.section)[self.at]


@dataclass(frozen=True, slots=True)
class Leaf:
    """One leaf: where it is written, the way down to it, and what it says. within : timed conditions around it."""

    written: Written
    way: tuple[int, ...]
    condition: Condition
    within: tuple[Condition, ...]

    def text(self, model: Model) -> str:
        """As it is written, with its place."""
        kinds = {item.name: item.number_kind for item in model.inputs}
        return f"{print_condition(self.condition, kinds=kinds)} in {self.written.path(model)}"


def every_written(model: Model, *, moves: bool = False) -> Iterator[Written]:
    """Every condition of functions, stops, limits, messages and words; with `moves` also those of memories."""
    for at, function in enumerate(model.functions):
        if function.when is not None:
            yield Written("functions", at)
        for sub in range(len(function.at_most)):
            yield Written("at-most", at, sub)
    yield from (Written("stops", at) for at in range(len(model.stops)))
    yield from (Written("limits", at) for at in range(len(model.limits)))
    yield from (Written("messages", at) for at, message in enumerate(model.messages) if message.when is not None)
    yield from (Written("words", at) for at in range(len(model.words)))
    if moves:
        for at, memory in enumerate(model.memories):
            for sub, move in enumerate(memory.moves):
                yield Written("on", at, sub)
                if move.condition is not None:
                    yield Written("if", at, sub)


def leaves(model: Model, written: Written) -> Iterator[Leaf]:
    """The leaves of one condition, in reading order."""
    condition = written.read(model)
    if condition is not None:
        yield from _leaves(written, condition, (), ())


def nodes(condition: Condition, way: tuple[int, ...] = ()) -> Iterator[tuple[tuple[int, ...], Condition]]:
    """Every node of a condition with the way down to it, itself first."""
    yield way, condition
    for place, item in enumerate(children(condition)):
        yield from nodes(item, (*way, place))


def replaced(condition: Condition, way: tuple[int, ...], new: Condition) -> Condition:
    """The condition with `new` at the end of the way."""
    if not way:
        return new
    items = list(children(condition))
    items[way[0]] = replaced(items[way[0]], way[1:], new)
    return around(condition, tuple(items))


def renamed(condition: Condition, name: Mapping[str, str]) -> Condition:
    """The condition with these names in place of those."""
    match condition:
        case Truth() | Compare() | OneOf() | FunctionState():
            return replace(condition, name=name.get(condition.name, condition.name))
        case Event():
            item = None if condition.item is None else renamed(condition.item, name)
            return replace(condition, name=name.get(condition.name, condition.name), item=item)
    items = tuple(renamed(item, name) for item in children(condition))
    return around(condition, items)


def turned_over(model: Model, leaf: Leaf) -> Model:
    """The build with this leaf turned over, timers around it passed through."""
    condition = leaf.written.read(model)
    assert condition is not None
    turned = _through(condition, leaf.way)
    changed = leaf.written.put(model, turned)
    if leaf.written.section != "words":
        return changed
    return _untimed(changed, model.words[leaf.written.at].name)


def _leaves(written: Written, node: Condition, way: tuple[int, ...], within: tuple[Condition, ...]) -> Iterator[Leaf]:
    match node:
        case And(items) | Or(items):
            for place, item in enumerate(items):
                yield from _leaves(written, item, (*way, place), within)
        case Not(item):
            yield from _leaves(written, item, (*way, 0), within)
        case Held(item) | First(item) | Plus(item):
            yield Leaf(written, way, node, within)
            yield from _leaves(written, item, (*way, 0), (*within, node))
        case Event() | Constant():
            return
        case _:
            yield Leaf(written, way, node, within)


def _through(node: Condition, way: tuple[int, ...]) -> Condition:
    if not way:
        return Not(node)
    items = list(children(node))
    items[way[0]] = _through(items[way[0]], way[1:])
    if isinstance(node, Held | First | Plus):
        return items[0]
    return around(node, tuple(items))


def _untimed(model: Model, word: str) -> Model:
    """Every condition without the timers around this word, whatever words lead to it."""
    words = {each.name: each.condition for each in model.words}
    leading = {word} | {name for name in words if word in _read_names(Truth(name), words)}
    for written in every_written(model):
        condition = written.read(model)
        if condition is not None:
            without = _without_timers(condition, leading)
            if without != condition:
                model = written.put(model, without)
    return model


def _without_timers(node: Condition, names: set[str]) -> Condition:
    items = tuple(_without_timers(item, names) for item in children(node))
    if isinstance(node, Held | First | Plus) and any(
        isinstance(each, Truth) and each.name in names for _, each in nodes(node)
    ):
        return items[0]
    return around(node, items)


def _read_names(condition: Condition, words: Mapping[str, Condition]) -> frozenset[str]:
    """Words reached from a condition, through one another."""
    found: set[str] = set()
    waiting = [condition]
    while waiting:
        for _, node in nodes(waiting.pop()):
            if isinstance(node, Truth) and node.name in words and node.name not in found:
                found.add(node.name)
                waiting.append(words[node.name])
    return frozenset(found)


def _with(items: tuple[Any, ...], place: int, new: Any) -> tuple[Any, ...]:
    return (*items[:place], new, *items[place + 1 :])
