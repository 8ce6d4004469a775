"""Words with their conditions, and memories with their moves."""

from __future__ import annotations

from coachwright.build.condition import Condition, names_read
from coachwright.build.condition_text import happens_in_a_moment
from coachwright.build.model import Memory, Move, Word
from coachwright.build.reading import Reading
from coachwright.build.sections.memory import Memory as Written
from coachwright.build.sections.memory import Move as WrittenMove
from coachwright.build.selectors import ring_in
from coachwright.build.trouble import Trouble, listed
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces


def words_of(written: WrittenBuild, reading: Reading) -> tuple[Word, ...]:
    """Every word that can be read. A ring of words is told once, at its first name."""
    found: list[Word] = []
    for name, text in written.items("words").items():
        condition = reading.condition(text, ("words", name), "word")
        if condition is not None:
            found.append(Word(name, condition, f"words.{name}"))
    ring = ring_in({word.name: names_read(word.condition) for word in found})
    if ring:
        why = f"{ring[0]} reads itself: {' reads '.join((*ring, ring[0]))}."
        write = "Write one of them without the others, or make it a memory."
        also = tuple(("words", name) for name in ring[1:])
        reading.told.append(
            Trouble(("words", ring[0]), "BLD-070", "names-in-a-ring", why, write, ring[0], on_key=True, also=also)
        )
    return tuple(found)


def memories_of(written: WrittenBuild, reading: Reading) -> tuple[Memory, ...]:
    """Every memory that can be read."""
    return tuple(
        memory for name, item in written.items("memory").items() if (memory := _memory(name, item, reading)) is not None
    )


def _memory(name: str, item: Written, reading: Reading) -> Memory | None:
    path = ("memory", name)
    before_n = len(reading.told)
    start = item.start or item.values[0]
    _check_value(start, item, (*path, "start"), reading.told)
    moves = [
        _move(move, item, (*path, "moves", str(number)), reading) for number, move in enumerate(item.moves, start=1)
    ]
    if any(move is None for move in moves) or len(reading.told) > before_n:
        return None
    return Memory(
        name, item.values, start, item.ordered, tuple(move for move in moves if move is not None), ".".join(path)
    )


def _move(move: WrittenMove, memory: Written, path: PathPieces, reading: Reading) -> Move | None:
    on = reading.condition(move.on, (*path, "on"), "memory-on")
    condition: Condition | None = None
    if move.if_ is not None:
        condition = reading.condition(move.if_, (*path, "if"), "memory-if")
        if condition is None:
            return None
    if move.to is not None:
        _check_value(move.to, memory, (*path, "to"), reading.told)
    for number, value in enumerate(move.next or (), start=1):
        _check_value(value, memory, (*path, "next", str(number)), reading.told)
    if on is None:
        return None
    if move.next is not None and not happens_in_a_moment(on):
        why = "next goes on at every event, and this can hold for longer than a moment."
        write = f"Write becomes ({move.on})." if " " in move.on.strip() else f"Write becomes {move.on}."
        reading.told.append(Trouble((*path, "on"), "BLD-037", "event-not-possible", why, write, move.on[:80]))
    return Move(on, condition, move.to or "", move.next or (), ".".join(path))


def _check_value(value: str, memory: Written, path: PathPieces, told: list[Trouble]) -> None:
    if value not in memory.values:
        why = f"{path[1]} never has the value {value}."
        told.append(Trouble(path, "BLD-032", "value-not-known", why, f"Write one of {listed(memory.values)}.", value))
