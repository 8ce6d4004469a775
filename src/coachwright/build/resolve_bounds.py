"""What ends functions, what dims them, and what is said to the driver?"""

from __future__ import annotations

from coachwright.build.around import Around
from coachwright.build.model import Limit, Message, Stop
from coachwright.build.reading import Reading
from coachwright.build.sections.ranks import ROAD
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces


def limits_of(written: WrittenBuild, around: Around, reading: Reading) -> tuple[Limit, ...]:
    """Every limit that can be read."""
    found: list[Limit] = []
    for name, item in written.items("limits").items():
        path = ("limits", name)
        before_n = len(reading.told)
        when = reading.condition(item.when, (*path, "when"), "limit")
        _check_ranks(item.of, around, (*path, "of"), reading.told)
        if ROAD in item.of:
            why = "Brake, turn, hazard and reverse are never dimmed."
            place = (*path, "of", str(item.of.index(ROAD) + 1))
            reading.told.append(Trouble(place, "BLD-088", "road-is-not-dimmed", why, f"Leave {ROAD} away.", ROAD))
        for number, each in enumerate(item.not_, start=1):
            _check_function(each, around, (*path, "not", str(number)), reading.told)
        if when is not None and len(reading.told) == before_n:
            found.append(Limit(name, when, item.scale_to, item.of, item.not_, ".".join(path)))
    return tuple(found)


def stops_of(written: WrittenBuild, around: Around, reading: Reading) -> tuple[Stop, ...]:
    """Every stop that can be read. Whether it may stop a rank is for another room to say."""
    found: list[Stop] = []
    for name, item in written.items("stops").items():
        path = ("stops", name)
        before_n = len(reading.told)
        when = reading.condition(item.when, (*path, "when"), "stop")
        for number, each in enumerate(item.stops, start=1):
            known = each in around.functions or each in around.ranks
            if not known and not around.ranks_lost and not around.is_lost(each, "functions"):
                names = (*around.functions, *around.ranks)
                reading.told.append(
                    not_known(
                        (*path, "stops", str(number)),
                        "function or rank",
                        each,
                        names,
                        code="BLD-064",
                        name="function-not-known",
                    )
                )
        if when is not None and len(reading.told) == before_n:
            functions = tuple(each for each in item.stops if each in around.functions)
            ranks = tuple(each for each in item.stops if each in around.ranks and each not in around.functions)
            found.append(Stop(name, when, functions, ranks, item.resume, ".".join(path)))
    return tuple(found)


def messages_of(written: WrittenBuild, reading: Reading) -> tuple[Message, ...]:
    """Every message that can be read."""
    said = {name for item in written.items("functions").values() for name in item.say}
    whole = "functions" in written.lost.sections or bool(written.lost.of("functions"))
    found: list[Message] = []
    for name, item in written.items("messages").items():
        path = ("messages", name)
        when = None
        if item.when is not None:
            when = reading.condition(item.when, (*path, "when"), "message")
            if when is None:
                continue
        elif name not in said and not whole:
            why = "Nothing says when this message is shown."
            write = "Write when: and a condition, or say it from a function."
            reading.told.append(Trouble(path, "BLD-089", "message-never-shown", why, write, name, on_key=True))
        repeat_ms = round(1000 * item.repeat) if item.repeat is not None else 0
        found.append(Message(name, when, item.say, item.chime, repeat_ms, item.tell_tale or "", ".".join(path)))
    return tuple(found)


def _check_ranks(names: tuple[str, ...], around: Around, path: PathPieces, told: list[Trouble]) -> None:
    for number, each in enumerate(names, start=1):
        if each not in around.ranks and not around.ranks_lost:
            told.append(
                not_known((*path, str(number)), "rank", each, around.ranks, code="BLD-060", name="rank-not-known")
            )


def _check_function(name: str, around: Around, path: PathPieces, told: list[Trouble]) -> None:
    if name not in around.functions and not around.is_lost(name, "functions"):
        told.append(not_known(path, "function", name, around.functions, code="BLD-064", name="function-not-known"))
