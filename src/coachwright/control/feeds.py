"""What does something that was heard say about the input it feeds?

A feed is one input and where it is heard: a named line, a frame with its bits, a group of heavy vehicles, an answer of
diagnostics. `index_of` finds the feeds of whatever comes.

See Also
--------
coachwright.control.vehicle_data : puts feeds together. coachwright.control.follow : what hears them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from coachwright.control.j1939 import Signal as GroupSignal
from coachwright.control.j1939 import reading
from coachwright.control.obd import Pid
from coachwright.control.sources import LOST, Setting
from coachwright.kit.finding import Finding
from coachwright.parts.dbc import BusSignal
from coachwright.parts.vehicle_data import Range, range_of

FIRST_ANSWER, LAST_ANSWER = 0x7E8, 0x7EF
"""Identifiers of answers of on-board diagnostics. ISO 15765-4."""
_NOTHING = ("not available", "error", "not in this frame", "outside the valid range")
_ANSWER = 0x41


@dataclass(frozen=True, slots=True)
class Unknown:
    """A value that was heard and stands for none of the input's. said : what it was."""

    said: str


Said = Setting | Unknown | None
"""What a frame says about an input; None: nothing (not available, not in this frame)."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a number or a word that was heard is for an input.

    values : each setting with its ranges and words, first fitting wins. line : factor and offset to SI, of a number.
    """

    values: tuple[tuple[Setting, tuple[Range, ...], tuple[str, ...]], ...] = ()
    line: tuple[float, float] | None = None

    def of(self, heard: float) -> Said:
        """Of a number."""
        if self.line is not None:
            return heard * self.line[0] + self.line[1]
        for setting, ranges, _ in self.values:
            for low, high in ranges:
                if low <= heard <= high:
                    return setting
        return Unknown(f"{heard:g}")

    def of_text(self, text: str) -> Said:
        """Of a cell."""
        lower = text.lower()
        if lower == LOST:
            return LOST
        for setting, _, words in self.values:
            if lower in words:
                return setting
        found = range_of(text)
        if found is not None and found[0] == found[1]:
            return self.of(found[0])
        return Unknown(text)


@dataclass(frozen=True, slots=True)
class Feed:
    """How one input is heard.

    said : for people, like ``PGN 65265 SPN 597``. timeout_ms : silence after which it counts as lost; 0 for never.
    written : somebody wrote it; one that comes from the body's codes counts as lost only once it was heard.
    Exactly one of the rest is set: column of a log of lines; frame with its bits; group with its signal; answer.
    """

    input: str
    said: str
    timeout_ms: int
    meaning: Meaning
    written: bool = True
    wire: str = ""
    frame: tuple[bool, int] | None = None
    bits: BusSignal | None = None
    chooser: BusSignal | None = None
    group: int = -1
    sender: int = -1
    group_signal: GroupSignal | None = None
    answer: int = -1
    pid: Pid | None = None

    def hear(self, data: bytes) -> Said:
        """What a frame that is this feed's says."""
        if self.pid is not None:
            return self._answered(self.pid, data)
        assert self.bits is not None  # a feed from a bus has its bits
        if self.chooser is not None and self.chooser.raw(data) not in self.bits.only_when:
            return None
        raw = self.bits.raw(data)
        if raw is None:
            return None
        if self.group_signal is not None and reading(self.group_signal, data).meaning in _NOTHING:
            return None
        return self.meaning.of(self.bits.value(raw))

    def _answered(self, pid: Pid, data: bytes) -> Said:
        if len(data) < 3 + pid.bytes_n or data[1] != _ANSWER or data[2] != self.answer:
            return None
        return self.meaning.of(int.from_bytes(data[3 : 3 + pid.bytes_n], "big") * pid.scale + pid.offset)


@dataclass(frozen=True, slots=True)
class Feeds:
    """Every feed of a build, and those that say the same a second time.

    not_fed : inputs nobody feeds, with the reason. begins_ms : of logs without dates. findings : doubts.
    """

    feeds: tuple[Feed, ...]
    witnesses: tuple[Feed, ...] = ()
    not_fed: tuple[tuple[str, str], ...] = ()
    begins_ms: tuple[tuple[str, int], ...] = ()
    findings: tuple[Finding, ...] = ()


def index_of(feeds: Iterable[Feed]) -> Heard:
    """The feeds, found by what is heard."""
    heard = Heard({}, {}, {}, [])
    for place, feed in enumerate(feeds):
        if feed.wire:
            heard.wires.setdefault(feed.wire, []).append((place, feed))
        elif feed.frame is not None:
            heard.frames.setdefault(feed.frame, []).append((place, feed))
        elif feed.group >= 0:
            heard.groups.setdefault(feed.group, []).append((place, feed))
        else:
            heard.answers.append((place, feed))
    return heard


Row = tuple[int, Feed]


@dataclass(frozen=True, slots=True)
class Heard:
    """Feeds by frame, by group, by line; and those that wait for answers of diagnostics."""

    frames: dict[tuple[bool, int], list[Row]]
    groups: dict[int, list[Row]]
    wires: dict[str, list[Row]]
    answers: list[Row]

    def of_frame(self, identifier: int, extended: bool) -> list[Row]:
        """The feeds of a frame; empty for one nobody knows."""
        rows = self.frames.get((extended, identifier), [])
        if extended and self.groups:
            form = identifier >> 16 & 0xFF
            group = (identifier >> 8 & 0x3FFFF) if form >= 240 else (identifier >> 8 & 0x3FF00)
            sender = identifier & 0xFF
            grouped = [row for row in self.groups.get(group, ()) if row[1].sender in (-1, sender)]
            rows = [*rows, *grouped] if grouped else rows
        elif not extended and FIRST_ANSWER <= identifier <= LAST_ANSWER and self.answers:
            rows = [*rows, *self.answers]
        return rows

    def of_row(self, said: Sequence[tuple[str, str]]) -> Iterator[tuple[int, Feed, str]]:
        """The feeds of a row of lines, each with its cell."""
        for name, cell in said:
            for place, feed in self.wires.get(name, ()):
                yield place, feed, cell
