"""What is wrong with the control of a build as it is written, before anything is worked out?

Ranks, stops and limits of what the road needs, controls and memories nobody reads, promises too quick to keep.

See Also
--------
coachwright.control.found_in_shows : colours, reaches, levels.
coachwright.control.before_proof : puts these in one row with what has to be worked out.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.condition import Condition, names_read
from coachwright.build.model import Function, Input, Memory, Model, Promise
from coachwright.control.found_in_shows import row_of, show_findings
from coachwright.control.functions import names_through_words
from coachwright.control.ranks import ROAD
from coachwright.kit.finding import Finding, Fix, Quantity


def rank_findings(model: Model) -> Iterator[Finding]:
    """Ranks that the list of ranks lacks. While there are any, nothing else can be worked out."""
    for function in model.functions:
        if function.rank not in model.ranks:
            yield _rank_not_listed(model, function.name, function.rank, f"{function.path}.rank")
    named = [(stop.name, rank, f"{stop.path}.stops") for stop in model.stops for rank in stop.ranks]
    named += [(limit.name, rank, f"{limit.path}.of") for limit in model.limits for rank in limit.ranks]
    for name, rank, path in named:
        if rank not in model.ranks:
            yield _rank_not_listed(model, name, rank, path)
    if model.ranks[:1] != (ROAD,):
        yield Finding(
            "CTL-025",
            "rank-not-listed",
            "error",
            "The list of ranks doesn't begin with road; what the road needs comes before everything else.",
            about="ranks",
            fix=Fix("Write road as the first rank."),
        )


def _rank_not_listed(model: Model, name: str, rank: str, path: str) -> Finding:
    return Finding(
        "CTL-025",
        "rank-not-listed",
        "error",
        "{name} has to do with rank {rank}, which isn't in the list of ranks.",
        {"name": name, "rank": rank},
        about=path,
        fix=Fix(f"Take one of {', '.join(model.ranks)}, or add {rank} to ranks."),
    )


def written_findings(model: Model) -> Iterator[Finding]:
    """Everything else that the text alone tells, in the order of the file."""
    for function in model.functions:
        yield from show_findings(model, function)
        yield from _wins_over_other_ranks(model, function)
    yield from _stops(model)
    yield from _limits(model)
    yield from _not_read(model)
    for promise in model.promises:
        yield from _within(model, promise)


# ------------------------------------------------------------------------------------------- ranks, stops and limits
def _wins_over_other_ranks(model: Model, function: Function) -> Iterator[Finding]:
    ranks = {each.name: each.rank for each in model.functions}
    for other in function.wins_over:
        if other in ranks and ranks[other] != function.rank:
            mine, theirs = model.ranks.index(function.rank), model.ranks.index(ranks[other])
            yield Finding(
                "CTL-003",
                "wins-over-across-ranks",
                "error",
                "{function} (rank {rank}) says that it wins over {other} (rank {other_rank}); between ranks their list "
                "decides, and there {first} comes first.",
                {
                    "function": function.name,
                    "rank": function.rank,
                    "other": other,
                    "other_rank": ranks[other],
                    "first": function.rank if mine < theirs else ranks[other],
                },
                about=f"{function.path}.wins-over",
                fix=Fix(f"Take {other} out of wins-over, or give both one rank."),
            )


def _stops(model: Model) -> Iterator[Finding]:
    of_road = {function.name for function in model.functions if function.rank == ROAD}
    words = {word.name: word.condition for word in model.words}
    controls = {item.name for item in model.inputs if item.is_control}
    for stop in model.stops:
        named = [name for name in (*stop.ranks, *stop.functions) if name == ROAD or name in of_road]
        if named:
            yield _road("CTL-018", "road-not-stopped", f"{stop.path}.stops", f"{stop.name} stops {row_of(named)}")
        if stop.resume != "ask":
            continue
        for function in model.functions:
            ends = function.name in stop.functions or function.rank in stop.ranks
            if ends and function.rank != ROAD and not _control_asks(model, function, words, controls):
                yield Finding(
                    "CTL-027",
                    "nothing-asks-again",
                    "error",
                    "After {stop} {function} waits to be asked again, but it reads no control that could ask.",
                    {"stop": stop.name, "function": function.name},
                    about=f"{stop.path}.resume",
                    fix=Fix("Write resume: self, or let the function read a control."),
                )


def _control_asks(model: Model, function: Function, words: dict[str, Condition], controls: set[str]) -> bool:
    """Does it read a control: itself, through words, or through a memory that an event of a control moves?"""
    read = set(names_through_words(function.when, words)) if function.when is not None else set()
    read.add(function.by)
    for memory in model.memories:
        if memory.name in read:
            for move in memory.moves:
                for each in (move.on, move.condition):
                    read |= names_through_words(each, words) if each is not None else frozenset()
    return not controls.isdisjoint(read)


def _limits(model: Model) -> Iterator[Finding]:
    for limit in model.limits:
        if ROAD in limit.ranks:
            yield _road("CTL-019", "road-not-limited", f"{limit.path}.of", f"{limit.name} scales rank {ROAD}")


def _road(code: str, title: str, path: str, what: str) -> Finding:
    return Finding(
        code,
        title,
        "error",
        "{what}; what the road needs (rank road) is never stopped and never made dimmer.",
        {"what": what},
        about=path,
        fix=Fix("Take it out of the list; if the lamp isn't one the road needs, give its function another rank."),
    )


# ---------------------------------------------------------------------------------------------------- who reads what
def _not_read(model: Model) -> Iterator[Finding]:
    words = {word.name: word.condition for word in model.words}
    roots = list(_reading(model))
    read = {name for condition in roots for name in names_through_words(condition, words)}
    read |= {function.by for function in model.functions}
    read |= {sound.tone_memory for function in model.functions for sound in function.sounds}
    by_memory = {memory.name: _read_by_moves(memory, words) for memory in model.memories}
    for names in by_memory.values():
        read |= names - by_memory.keys()
    for item in model.inputs:
        # A rotary disconnect does its work in the cable, whoever reads it.
        if item.is_control and item.kind != "rotary-disconnect" and item.name not in read:
            yield _control_not_read(item)
    promised = {name for each in _promised(model) for name in names_through_words(each, words)}
    for memory in model.memories:
        others = {name for other, names in by_memory.items() if other != memory.name for name in names}
        if memory.name not in read | promised | others:
            yield Finding(
                "CTL-010",
                "memory-nobody-reads",
                "warning",
                "Nothing reads {memory}: no function, stop, limit, message or other memory.",
                {"memory": memory.name},
                about=memory.path,
                fix=Fix("Read it where it should decide something, or take it out."),
            )


def _control_not_read(item: Input) -> Finding:
    return Finding(
        "CTL-008",
        "control-nobody-reads",
        "warning",
        "Nothing reads {control}: whoever uses it will see no difference.",
        {"control": item.name},
        about=item.path,
        fix=Fix("Let a function read it (when or by), or take it off the panel."),
    )


def _reading(model: Model) -> Iterator[Condition]:
    for function in model.functions:
        yield from (each.condition for each in function.at_most)
        if function.when is not None:
            yield function.when
    yield from (stop.when for stop in model.stops)
    yield from (limit.when for limit in model.limits)
    yield from (message.when for message in model.messages if message.when is not None)
    yield from (item.tell_tale_condition for item in model.inputs if item.tell_tale_condition is not None)


def _promised(model: Model) -> Iterator[Condition]:
    for promise in model.promises:
        for condition in (promise.when, promise.then, promise.never, promise.after, promise.until):
            if condition is not None:
                yield condition


def _read_by_moves(memory: Memory, words: dict[str, Condition]) -> set[str]:
    conditions = [each for move in memory.moves for each in (move.on, move.condition) if each is not None]
    return {name for condition in conditions for name in names_through_words(condition, words)}


def _within(model: Model, promise: Promise) -> Iterator[Finding]:
    if promise.within_ms is None or promise.when is None:
        return
    # What it names itself is what it answers to; what its words read is the state in which it has to.
    read = names_read(promise.when)
    slow = max((item for item in model.inputs if item.name in read), key=lambda item: item.recognition_ms, default=None)
    if slow is not None and slow.recognition_ms > promise.within_ms:
        yield Finding(
            "CTL-024",
            "within-too-short",
            "error",
            "{promise} promises an answer within {within}; {signal} itself is known only after {recognition}.",
            {
                "promise": promise.name,
                "within": Quantity(promise.within_ms / 1000, "time"),
                "signal": slow.name,
                "recognition": Quantity(slow.recognition_ms / 1000, "time"),
            },
            about=f"{promise.path}.within",
            limit=Quantity(slow.recognition_ms / 1000, "time"),
            value=Quantity(promise.within_ms / 1000, "time"),
            margin=Quantity((promise.within_ms - slow.recognition_ms) / 1000, "time"),
            fix=Fix("Allow at least the recognition time of the signal, or read it where it is known sooner."),
        )
