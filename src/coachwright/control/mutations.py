"""Mistakes of programming and wiring that a bench list has to catch, one at a time, made on purpose.

Each is a build that differs in one place, or a wiring that does: two lamps, two channels or two inputs exchanged, an
input that is stuck, an output that is open.

References
----------
.. [1] R. A. DeMillo, R. J. Lipton, F. G. Sayward, "Hints on test data selection", IEEE Computer 11(4) (1978): a set of
       tests is as good as the small mistakes it tells apart.

See Also
--------
coachwright.control.mutation_study : runs the list on each.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Any, Literal, get_args

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.condition_print import print_condition
from coachwright.build.model import COLOURS, Colour, ColourShow, Function, Input, Model, Show
from coachwright.control.bench_asked import relevant_inputs
from coachwright.control.bench_leaves import Written, every_written, nodes, renamed, replaced
from coachwright.control.choices import Choice
from coachwright.control.functions import names_through_words
from coachwright.control.sources import Fault

Kind = Literal[
    "lamps swapped",
    "channels swapped",
    "inputs swapped",
    "not dropped or added",
    "and for or",
    "condition dropped",
    "wins-over reversed",
    "ranks swapped",
    "limit of a comparison",
    "timer doubled",
    "input stuck",
    "output open",
    "wrong pattern",
    "wrong colour",
]
KINDS: tuple[Kind, ...] = get_args(Kind)

_OTHER_COMPARE = {">=": ">", ">": ">=", "<=": "<", "<": "<="}
_OTHER_WORD = {
    "single": "double",
    "double": "triple",
    "triple": "quad",
    "quad": "single",
    "run-left": "run-right",
    "run-right": "run-left",
    "run-split": "run-left",
    "four-corner": "run-left",
}


@dataclass(frozen=True, slots=True)
class Mutation:
    """One mistake.

    Parameters
    ----------
    changed : the build as it was programmed instead; None for a mistake of the wiring.
    swapped : two inputs whose wires are exchanged. stuck : an input that doesn't tell the truth.
    exchanged : per output name, whose light or sound it shows instead; "" for none.
    reads : inputs that have to do with it, for those who look for where it shows.
    """

    kind: Kind
    text: str
    changed: Model | None = None
    swapped: tuple[str, str] | None = None
    stuck: Fault | None = None
    exchanged: Mapping[str, str] = field(default_factory=dict)
    reads: frozenset[str] = frozenset()


def mutations(model: Model, choices: Mapping[str, Choice]) -> Iterator[Mutation]:
    """Every mistake of every kind. choices : what each input can read."""
    yield from _of_outputs(model)
    yield from _of_inputs(model, choices)
    yield from _of_conditions(model)
    yield from _of_ranks(model)
    yield from _of_shows(model)


def read_as_swapped(model: Model, swapped: tuple[str, str]) -> Model:
    """The build that does with right wires what this one does with these two exchanged."""
    one, other = swapped
    name = {one: other, other: one}
    for written in every_written(model, moves=True):
        condition = written.read(model)
        if condition is not None:
            model = written.put(model, renamed(condition, name))
    functions = tuple(replace(each, by=name.get(each.by, each.by)) for each in model.functions)
    return replace(model, functions=functions, digest="")


def stuck_place(choice: Choice, fault: Fault) -> int:
    """Where among its values an input stands that is stuck."""
    words = {"released": 0, "pressed": 1, "low": 0, "high": 0}
    stuck_at = fault.stuck_at
    return words[str(stuck_at)] if stuck_at in words else list(choice.values).index(stuck_at)


# -------------------------------------------------------------------------------------------------------------- wiring
def _of_outputs(model: Model) -> Iterator[Mutation]:
    driven = {head for function in model.functions for show in _shows(function) for head in show.heads}
    lamps: dict[str, list[str]] = {}
    for head in model.heads:
        if head.reach != "none":
            lamps.setdefault(head.id.removesuffix(f".{head.number}") if head.number else head.id, []).append(head.id)
    part = {lamp: model.head(heads[0]).part for lamp, heads in lamps.items()}
    for one, other in combinations(lamps, 2):
        if part[one] == part[other] and len(lamps[one]) == len(lamps[other]) and driven & {*lamps[one], *lamps[other]}:
            pairs = list(zip(lamps[one], lamps[other], strict=True))
            exchanged = dict(pairs) | {b: a for a, b in pairs}
            yield Mutation("lamps swapped", f"{one} and {other}", exchanged=exchanged)
    heads = [head for head in model.heads if head.id in driven]
    for one_head, other_head in combinations(heads, 2):
        if set(one_head.colours) == set(other_head.colours):
            names = (one_head.id, other_head.id)
            yield Mutation(
                "channels swapped", " and ".join(names), exchanged=dict(zip(names, names[::-1], strict=True))
            )
    sounds = {sound.siren for function in model.functions for sound in function.sounds}
    runs = {name for function in model.functions for name in (*function.runs, *function.interrupts)}
    for name in (*(head.id for head in heads), *sorted(sounds | runs)):
        yield Mutation("output open", name, exchanged={name: ""})


def _of_inputs(model: Model, choices: Mapping[str, Choice]) -> Iterator[Mutation]:
    names = relevant_inputs(model)
    wired = [item for item in model.inputs if item.name in names and item.kind != "hazard"]
    for one, other in combinations(wired, 2):
        if one.kind == other.kind and one.values == other.values and one.number_kind == other.number_kind:
            yield Mutation(
                "inputs swapped",
                f"{one.name} and {other.name}",
                swapped=(one.name, other.name),
                reads=_with(model, one.name, other.name),
            )
    for item in wired:
        for value in _stuck_at(item, choices[item.name]):
            said = f"{value:g}" if isinstance(value, float) else value
            yield Mutation(
                "input stuck", f"{item.name} at {said}", stuck=Fault(item.name, value), reads=_with(model, item.name)
            )


def _with(model: Model, *names: str) -> frozenset[str]:
    """These inputs and all that the memories that read them read besides."""
    found = set(names)
    for at, memory in enumerate(model.memories):
        read = _reads(model, Written("on", at)) if memory.moves else set()
        found |= read if read & set(names) else set()
    return frozenset(found)


def _stuck_at(item: Input, choice: Choice) -> Iterable[str | float]:
    if item.kind in ("toggle", "button"):
        return ("released", "pressed")
    if item.kind == "turn-wire":
        return ("low", "high")
    return choice.values


# ---------------------------------------------------------------------------------------------------------- conditions
def _of_conditions(model: Model) -> Iterator[Mutation]:
    kinds = {item.name: item.number_kind for item in model.inputs}
    for written in every_written(model, moves=True):
        condition = written.read(model)
        if condition is None:
            continue
        reads = frozenset(_reads(model, written))
        for way, node in nodes(condition):
            for kind, new in _wrong(node):
                changed = written.put(model, replaced(condition, way, new))
                text = f"{print_condition(node, kinds=kinds)} in {written.path(model)}"
                yield Mutation(kind, text, replace(changed, digest=""), reads=reads)


def _reads(model: Model, written: Written) -> set[str]:
    """Inputs that a condition reads, through words; of a move those of all moves of its memory."""
    words = {word.name: word.condition for word in model.words}
    said = [written.read(model)]
    if written.section in ("on", "if"):
        said = [each for move in model.memories[written.at].moves for each in (move.on, move.condition)]
    return {name for each in said if each is not None for name in names_through_words(each, words)}


def _wrong(node: Condition) -> Iterator[tuple[Kind, Condition]]:
    match node:
        case Not(item):
            yield "not dropped or added", item
        case Truth() | Compare() | OneOf():
            yield "not dropped or added", Not(node)
            if isinstance(node, Compare) and node.operator in _OTHER_COMPARE:
                yield "limit of a comparison", replace(node, operator=_OTHER_COMPARE[node.operator])  # type: ignore[arg-type]
        case And(items) | Or(items):
            yield "and for or", Or(items) if isinstance(node, And) else And(items)
            for place in range(len(items)):
                rest = (*items[:place], *items[place + 1 :])
                yield "condition dropped", rest[0] if len(rest) == 1 else type(node)(rest)
        case Held(item, time_ms) | First(item, time_ms) | Plus(item, time_ms):
            yield "timer doubled", type(node)(item, 2 * time_ms)
        case Event() | Constant():
            return


# --------------------------------------------------------------------------------------------------- ranks, wins, shows
def _of_ranks(model: Model) -> Iterator[Mutation]:
    place_of = {function.name: place for place, function in enumerate(model.functions)}
    for place, function in enumerate(model.functions):
        for loser in function.wins_over:
            if loser not in place_of:
                continue
            functions = list(model.functions)
            functions[place] = replace(function, wins_over=tuple(name for name in function.wins_over if name != loser))
            at = place_of[loser]
            functions[at] = replace(functions[at], wins_over=(*functions[at].wins_over, function.name))
            changed = replace(model, functions=tuple(functions), digest="")
            yield Mutation("wins-over reversed", f"{function.name} wins over {loser}", changed)
    used = {function.rank for function in model.functions}
    for one, other in combinations([rank for rank in model.ranks if rank in used], 2):
        swap = {one: other, other: one}
        ranks = tuple(swap.get(rank, rank) for rank in model.ranks)
        yield Mutation("ranks swapped", f"{one} and {other}", replace(model, ranks=ranks, digest=""))


def _of_shows(model: Model) -> Iterator[Mutation]:
    for place, function in enumerate(model.functions):
        for written, show, put in _places_of_shows(function):
            for at, colour in enumerate(show.colours):
                for kind, new in _wrong_colour(model, show, colour):
                    colours = (*show.colours[:at], new, *show.colours[at + 1 :])
                    functions = list(model.functions)
                    functions[place] = put(replace(show, colours=colours))
                    changed = replace(model, functions=tuple(functions), digest="")
                    yield Mutation(
                        kind, f"{colour.colour} of {show.selector or ', '.join(show.heads)} in {written}", changed
                    )


def _places_of_shows(function: Function) -> Iterator[tuple[str, Show, Any]]:
    for at, show in enumerate(function.shows):
        yield (
            f"functions.{function.name}",
            show,
            lambda new, at=at: replace(function, shows=(*function.shows[:at], new, *function.shows[at + 1 :])),
        )
    for number, level in enumerate(function.levels):
        for at, show in enumerate(level.shows):

            def put(new: Show, number: int = number, at: int = at) -> Function:
                level = function.levels[number]
                shows = (*level.shows[:at], new, *level.shows[at + 1 :])
                levels = (*function.levels[:number], replace(level, shows=shows), *function.levels[number + 1 :])
                return replace(function, levels=levels)

            yield f"functions.{function.name}.levels.{level.position}", show, put


def _wrong_colour(model: Model, show: Show, colour: ColourShow) -> Iterator[tuple[Kind, ColourShow]]:
    named = {each.colour for each in show.colours}
    had: set[Colour] = {each for head in model.heads if head.id in show.heads for each in head.colours}
    for other in (*(each for each in COLOURS if each in had), *COLOURS):
        if other not in named:
            yield "wrong colour", replace(colour, colour=other)
            break
    if colour.pattern is not None:
        word = _OTHER_WORD.get(colour.pattern.word)
        if word:
            text = colour.pattern.text.replace(colour.pattern.word, word, 1)
            yield "wrong pattern", replace(colour, pattern=replace(colour.pattern, word=word, text=text))
        else:
            steps = tuple((lit * 2, dark) for lit, dark in colour.pattern.steps_ms)
            pattern = replace(colour.pattern, steps_ms=steps, text=f"{colour.pattern.text}, lit twice as long")
            yield "wrong pattern", replace(colour, pattern=pattern)
    else:
        steady = colour.manner == "steady"
        manner: Literal["steady", "follow"] = "follow" if steady else "steady"
        yield "wrong pattern", replace(colour, manner=manner, signal="" if not steady else "brake")


def _shows(function: Function) -> Iterator[Show]:
    yield from function.shows
    for level in function.levels:
        yield from level.shows
