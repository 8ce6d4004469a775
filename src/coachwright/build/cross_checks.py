"""What do the parts of a build say about each other that can't be?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coachwright.build.condition import Condition, Event, children, names_read
from coachwright.build.model import Function, Input, Memory, Stop, Word
from coachwright.build.trouble import Trouble


def check_asks(
    stops: Iterable[Stop],
    functions: Iterable[Function],
    *,
    inputs: Mapping[str, Input],
    words: Iterable[Word],
    memories: Iterable[Memory],
    told: list[Trouble],
) -> None:
    """`resume: ask` needs somebody who can ask: a function that reads no control can't have it."""
    conditions = {word.name: word.condition for word in words}
    kept = {memory.name: memory for memory in memories}
    by_name = {function.name: function for function in functions}
    for stop in stops:
        if stop.resume != "ask":
            continue
        path = tuple(stop.path.split("."))
        stopped = [by_name[name] for name in stop.functions if name in by_name]
        stopped += [each for each in by_name.values() if each.rank in stop.ranks and each not in stopped]
        deaf = [each.name for each in stopped if not _reads_control(each, inputs, conditions, kept)]
        if deaf:
            many = len(deaf) > 1
            names = " and ".join(deaf) if len(deaf) < 4 else f"{', '.join(deaf[:3])} and {len(deaf) - 3} more"
            says, them = ("read", "them") if many else ("reads", "it")
            why = f"{names} {says} no control, so nobody could ask for {them} again."
            write = "Write resume: self, or stop them apart." if len(stopped) > len(deaf) else "Write resume: self."
            told.append(Trouble((*path, "resume"), "BLD-094", "nobody-can-ask", why, write, "ask"))


def _reads_control(
    function: Function, inputs: Mapping[str, Input], words: Mapping[str, Condition], memories: Mapping[str, Memory]
) -> bool:
    """By its levels or its condition, through words; through memory only an event of a control counts."""
    if function.by:
        return True
    waiting = [function.when] if function.when is not None else []
    seen: set[str] = set()
    while waiting:
        for name in names_read(waiting.pop()) - seen:
            seen.add(name)
            if name in inputs and inputs[name].is_control:
                return True
            if name in words:
                waiting.append(words[name])
            if name in memories and _moved_by_hand(memories[name], inputs, words):
                return True
    return False


def _moved_by_hand(memory: Memory, inputs: Mapping[str, Input], words: Mapping[str, Condition]) -> bool:
    return any(_event_of_control(move.on, inputs, words) for move in memory.moves)


def _event_of_control(condition: Condition, inputs: Mapping[str, Input], words: Mapping[str, Condition]) -> bool:
    if isinstance(condition, Event):
        names = names_read(condition)
        return any(
            (name in inputs and inputs[name].is_control) or (name in words and _of_control(words[name], inputs, words))
            for name in names
        )
    return any(_event_of_control(item, inputs, words) for item in children(condition))


def _of_control(condition: Condition, inputs: Mapping[str, Input], words: Mapping[str, Condition]) -> bool:
    waiting, seen = [condition], set[str]()
    while waiting:
        for name in names_read(waiting.pop()) - seen:
            seen.add(name)
            if name in inputs and inputs[name].is_control:
                return True
            if name in words:
                waiting.append(words[name])
    return False
