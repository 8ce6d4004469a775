"""A build and the same build with a mistake, written as one: what can come out otherwise stands in it twice.

What the mistake can't reach is written once and serves both. What reads what it changed is written again under a name
of its own, and so is every head, siren and output that one of these functions wants; both halves read the same inputs
and memories. Whether the two are ever seen to differ is then a question about one build.

See Also
--------
coachwright.control.bench_product : asks it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from coachwright.build.condition import (
    And,
    Condition,
    Constant,
    FunctionState,
    HeadStatement,
    Not,
    Or,
    Truth,
    every_node,
)
from coachwright.build.model import Function, Head, Input, Limit, Memory, Model, Promise, Show, Stop, Word
from coachwright.control.bench_leaves import renamed
from coachwright.control.bench_seen import goes_over_a_row
from coachwright.control.comes_to_rest import nobody_tells
from coachwright.control.needed import needed_for
from coachwright.control.ranks import ROAD

TWIN = "-twin"

Said = tuple[Condition, Condition]


@dataclass(frozen=True, slots=True)
class Twins:
    """Both in one.

    model : with nothing in it that can't matter. twinned : heads, sirens and outputs that stand in it twice.
    said : per message and tell-tale that can differ, when it is given by the one and by the other.
    promise : says of the messages and tell-tales that they never differ.
    """

    model: Model
    twinned: frozenset[str]
    said: tuple[Said, ...]
    promise: Promise


def twins(model: Model, changed: Model, *, apart: Iterable[str] = ()) -> Twins:
    """`model` and `changed` as one build. apart : inputs that read one thing here and another there.

    Raises
    ------
    ValueError : where ranks, or what else isn't written twice, are not the same in both; or where the memories of one
        build tell what moves in the other.
    """
    if changed.ranks != model.ranks or _names(changed) != _names(model):
        raise ValueError("ranks in another order are not asked of both builds side by side")
    inputs = frozenset(apart)
    differ = _reached(model, changed, inputs)
    moves = any(memory.name in differ for memory in model.memories)
    if moves and not (nobody_tells(model) and nobody_tells(changed)):
        raise ValueError("memories that may go round within a moment are not asked of both builds side by side")
    return _Writer(model, changed, differ, inputs).twins()


def _names(model: Model) -> list[list[str]]:
    groups: list[Iterable[str]] = [
        (each.name for each in model.functions),
        (each.name for each in model.words),
        (each.name for each in model.memories),
        (each.name for each in model.stops),
        (each.name for each in model.limits),
        (each.name for each in model.messages),
        (each.id for each in model.heads),
    ]
    return [list(group) for group in groups]


# --------------------------------------------------------------------------------------------------------- what differs
def _reached(model: Model, changed: Model, inputs: frozenset[str]) -> frozenset[str]:
    """Words, memories and functions that a difference can reach."""
    found = set(inputs)
    found |= {one.name for one, other in zip(model.words, changed.words, strict=True) if one != other}
    found |= {one.name for one, other in zip(model.memories, changed.memories, strict=True) if one != other}
    found |= {one.name for one, other in zip(model.functions, changed.functions, strict=True) if one != other}
    size = -1
    while size != len(found):
        size = len(found)
        found |= {each.name for each in model.words if _read([each.condition]) & found}
        for memory in model.memories:
            if _read(each for move in memory.moves for each in (move.on, move.condition)) & found:
                found.add(memory.name)
        found |= {each.name for each in model.functions if _read_by(each) & found}
        for one_stop, other_stop in zip(model.stops, changed.stops, strict=True):
            if one_stop != other_stop or _read([one_stop.when]) & found:
                found |= {*_ended(model, one_stop), *_ended(changed, other_stop)}
        for one_limit, other_limit in zip(model.limits, changed.limits, strict=True):
            if one_limit != other_limit or _read([one_limit.when]) & found:
                found |= {*_scaled(model, one_limit), *_scaled(changed, other_limit)}
    return frozenset(found)


def _read(conditions: Iterable[Condition | None]) -> set[str]:
    """Names that conditions read themselves."""
    found: set[str] = set()
    for condition in conditions:
        if condition is not None:
            found |= {name for node in every_node(condition) if (name := getattr(node, "name", ""))}
    return found


def _read_by(function: Function) -> set[str]:
    read = _read([function.when, *(each.condition for each in function.at_most)])
    return read | {function.by} | {sound.tone_memory for sound in function.sounds}


def _ended(model: Model, stop: Stop) -> list[str]:
    """Functions that a stop ends, one by one."""
    named, of_rank = set(stop.functions), set(stop.ranks)
    return [each.name for each in model.functions if each.rank != ROAD and (each.name in named or each.rank in of_rank)]


def _scaled(model: Model, limit: Limit) -> list[str]:
    return [
        each.name
        for each in model.functions
        if each.rank != ROAD and each.rank in limit.ranks and each.name not in limit.but_not
    ]


def _shows(function: Function) -> Iterator[Show]:
    yield from function.shows
    for level in function.levels:
        yield from level.shows


def _does(function: Function) -> set[str]:
    return {*(sound.siren for sound in function.sounds), *function.runs, *function.interrupts}


# -------------------------------------------------------------------------------------------------------------- written
class _Writer:
    """Writes both as one build. differ : names that have to stand in it twice."""

    def __init__(self, model: Model, changed: Model, differ: frozenset[str], inputs: frozenset[str]) -> None:
        self.model = model
        self.changed = changed
        self.inputs = inputs
        of_both = [*model.functions, *changed.functions]
        differing = [each for each in of_both if each.name in differ]
        self.functions = frozenset(each.name for each in differing)
        self.outputs = frozenset(name for each in differing for name in _does(each))
        self.heads = self._heads({head for each in differing for show in _shows(each) for head in show.heads})
        self.name: Mapping[str, str] = {each: f"{each}{TWIN}" for each in differ | self.outputs}
        self.head: Mapping[str, str] = {each: f"{each}{TWIN}" for each in self.heads}

    def _heads(self, heads: set[str]) -> frozenset[str]:
        """A show that goes over a row of heads is written for the whole row: a place in it is part of what is seen."""
        rows = [
            set(show.heads)
            for function in (*self.model.functions, *self.changed.functions)
            for show in _shows(function)
            if any(each.pattern is not None and goes_over_a_row(each.pattern.word) for each in show.colours)
        ]
        size = -1
        while size != len(heads):
            size = len(heads)
            for row in rows:
                heads |= row if row & heads else set()
        return frozenset(heads)

    def twins(self) -> Twins:
        """Both, and what may never differ."""
        model, changed, name = self.model, self.changed, self.name
        said = tuple(self._said())
        both = replace(
            model,
            digest="",
            inputs=(*model.inputs, *(self._input(each) for each in sorted(self.inputs))),
            heads=(*model.heads, *self._twin_heads()),
            words=(*model.words, *self._words()),
            memories=(*model.memories, *self._memories()),
            functions=(
                *(self._base(each) for each in model.functions),
                *(self._twin(each) for each in changed.functions if each.name in self.functions),
            ),
            stops=tuple(self._stops()),
            limits=tuple(self._limits()),
            equipment=(
                *model.equipment,
                *(replace(each, name=name[each.name]) for each in model.equipment if each.name in self.outputs),
            ),
            outputs=(
                *model.outputs,
                *(replace(each, name=name[each.name]) for each in model.outputs if each.name in self.outputs),
            ),
            messages=(),
            situations=(),
            promises=(),
        )
        cut = needed_for(both, Promise("seen", "never", "", never=_any([*self._statements(), *_differ(said)])))
        promise = Promise("said-alike", "never", "", never=_any(_differ(said)))
        return Twins(replace(cut, promises=(promise,)), self.heads | self.outputs, said, promise)

    def _input(self, name: str) -> Input:
        item = self.model.input(name)
        return replace(item, name=f"{name}{TWIN}", tell_tale="", tell_tale_condition=None)

    def _of(self, condition: Condition) -> Condition:
        return renamed(condition, self.name)

    def _maybe(self, condition: Condition | None) -> Condition | None:
        return None if condition is None else self._of(condition)

    def _twin_heads(self) -> Iterator[Head]:
        return (replace(each, id=self.head[each.id]) for each in self.model.heads if each.id in self.head)

    def _words(self) -> Iterator[Word]:
        for word in self.changed.words:
            if word.name in self.name:
                yield replace(word, name=self.name[word.name], condition=self._of(word.condition))

    def _memories(self) -> Iterator[Memory]:
        for memory in self.changed.memories:
            if memory.name in self.name:
                moves = tuple(
                    replace(move, on=self._of(move.on), condition=self._maybe(move.condition)) for move in memory.moves
                )
                yield replace(memory, name=self.name[memory.name], moves=moves)

    def _base(self, function: Function) -> Function:
        """As it is; one that no difference reaches does the same to what stands there twice."""
        if function.name in self.functions:
            return replace(function, says=())
        return replace(
            function,
            wins_over=(
                *function.wins_over,
                *(self.name[each] for each in function.wins_over if each in self.functions),
            ),
            shows=self._also(function.shows),
            levels=tuple(replace(level, shows=self._also(level.shows)) for level in function.levels),
            sounds=(
                *function.sounds,
                *(replace(each, siren=self.name[each.siren]) for each in function.sounds if each.siren in self.outputs),
            ),
            runs=(*function.runs, *(self.name[each] for each in function.runs if each in self.outputs)),
            interrupts=(
                *function.interrupts,
                *(self.name[each] for each in function.interrupts if each in self.outputs),
            ),
            says=(),
        )

    def _also(self, shows: Iterable[Show]) -> tuple[Show, ...]:
        found = []
        for show in shows:
            found.append(show)
            there = tuple(self.head[head] for head in show.heads if head in self.head)
            if there:
                found.append(replace(show, heads=there))
        return tuple(found)

    def _twin(self, function: Function) -> Function:
        def shows(written: Iterable[Show]) -> tuple[Show, ...]:
            return tuple(replace(show, heads=tuple(self.head[head] for head in show.heads)) for show in written)

        return replace(
            function,
            name=self.name[function.name],
            when=self._maybe(function.when),
            by=self.name.get(function.by, function.by),
            at_most=tuple(replace(each, condition=self._of(each.condition)) for each in function.at_most),
            wins_over=tuple(self.name.get(each, each) for each in function.wins_over),
            shows=shows(function.shows),
            levels=tuple(replace(level, shows=shows(level.shows)) for level in function.levels),
            sounds=tuple(
                replace(
                    each,
                    siren=self.name[each.siren],
                    tone_memory=self.name.get(each.tone_memory, each.tone_memory),
                )
                for each in function.sounds
            ),
            runs=tuple(self.name[each] for each in function.runs),
            interrupts=tuple(self.name[each] for each in function.interrupts),
            says=(),
        )

    def _stops(self) -> Iterator[Stop]:
        for one, other in zip(self.model.stops, self.changed.stops, strict=True):
            ended = _ended(self.model, one)
            if one == other and not _read([one.when]) & self.name.keys():
                also = (self.name[each] for each in ended if each in self.functions)
                yield replace(one, functions=(*ended, *also), ranks=())
            else:
                yield replace(one, functions=tuple(ended), ranks=())
                twin = tuple(self.name[each] for each in _ended(self.changed, other))
                yield replace(other, name=f"{one.name}{TWIN}", when=self._of(other.when), functions=twin, ranks=())

    def _limits(self) -> Iterator[Limit]:
        for one, other in zip(self.model.limits, self.changed.limits, strict=True):
            if one == other and not _read([one.when]) & self.name.keys():
                also = (self.name[each] for each in one.but_not if each in self.functions)
                yield replace(one, but_not=(*one.but_not, *also))
            else:  # all that it scales stands there twice: the one's function, and the other's
                yield replace(one, but_not=(*one.but_not, *(self.name[each] for each in sorted(self.functions))))
                but_not = (*(self.name.get(each, each) for each in other.but_not), *sorted(self.functions))
                yield replace(other, name=f"{one.name}{TWIN}", when=self._of(other.when), but_not=but_not)

    # ------------------------------------------------------------------------------------------------- what is compared
    def _said(self) -> Iterator[Said]:
        """Messages and tell-tales: when they are given in the one, and in the other."""
        for one, other in zip(self.model.messages, self.changed.messages, strict=True):
            mine, theirs = (list[Condition]([each.when] if each.when is not None else []) for each in (one, other))
            mine += [FunctionState(each.name, "active") for each in self.model.functions if one.name in each.says]
            theirs += [FunctionState(each.name, "active") for each in self.changed.functions if one.name in each.says]
            if mine or theirs:
                yield _any(mine), self._of(_any(theirs))
        for item in self.model.inputs:
            if item.tell_tale_condition is not None:
                yield item.tell_tale_condition, self._of(item.tell_tale_condition)

    def _statements(self) -> Iterator[Condition]:
        """Whatever the heads, sirens and outputs that stand there twice do: so that nothing of it is left out."""
        heads = tuple(each.id for each in self.model.heads if each.id in self.head)
        if heads:
            both = (*heads, *(self.head[each] for each in heads))
            yield HeadStatement("", "", "dark", heads=both)
        for name in sorted(self.outputs):
            yield Truth(name)
            yield Truth(self.name[name])
        for function in sorted(self.functions):  # one that only interrupts
            yield FunctionState(function, "active")
            yield FunctionState(self.name[function], "active")


def _differ(said: Iterable[Said]) -> list[Condition]:
    return [Or((And((one, Not(other))), And((Not(one), other)))) for one, other in said if one != other]


def _any(conditions: Iterable[Condition]) -> Condition:
    unique = tuple(dict.fromkeys(conditions))
    if not unique:
        return Constant(value=False)
    return unique[0] if len(unique) == 1 else Or(unique)
