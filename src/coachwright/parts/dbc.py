"""Which messages and signals does a file of messages (DBC) describe? The only reader of that format.

A DBC file comes from anybody: its size and the number of its messages and signals are bounded before it is taken
apart, whatever is wrong in it is one sentence, and nothing in it is executed.

See Also
--------
coachwright.control.vehicle_data : says which of these signals feeds which input of a build.
"""

from __future__ import annotations

import logging
import math
import re
import struct
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coachwright.kit.errors import DoorRefused
from coachwright.kit.near import nearest
from coachwright.kit.text_file import bytes_of
from coachwright.parts.dbc_mend import MENDED, mended

if TYPE_CHECKING:
    from cantools.database.can import Message as ReadMessage
    from cantools.database.can import Signal as ReadSignal

MOST_BYTES = 8_000_000
MOST_MESSAGES, MOST_SIGNALS = 5_000, 50_000
MOST_FRAME_BYTES = 64
"""Of a frame with flexible data rate; a plain one has 8."""
MOST_CHOICES = 100_000
_MOST_WHY = 200
_CHOICE_RANGE = re.compile(rb"(\d{1,20})[ \t\r\n]*-[ \t\r\n]*(\d{1,20})")
_MESSAGE_LINE = re.compile(rb"(?m)^[ \t]*BO_[ \t]")
_SIGNAL_LINE = re.compile(rb"(?m)^[ \t]*SG_[ \t]")
_FLOATS = {16: "e", 32: "f", 64: "d"}


@dataclass(frozen=True, slots=True)
class BusSignal:
    """Some bits of a message and how they are read: ``raw x scale + offset`` in `unit`.

    first_bit : of the whole payload. Little-endian: of the lowest bit, counted from bit 0 of byte 0. Big-endian: of the
        highest bit, counted as the file counts (byte x 8 + bit, bit 7 the highest of a byte).
    codes : words by raw value. only_when : raw values of the message's multiplexer under which it is there; () always.
    """

    name: str
    first_bit: int
    bits: int
    little_endian: bool = True
    signed: bool = False
    is_float: bool = False
    scale: float = 1.0
    offset: float = 0.0
    unit: str = ""
    codes: tuple[tuple[int, str], ...] = ()
    only_when: tuple[int, ...] = ()
    chooser: str = ""

    def raw(self, data: bytes) -> int | float | None:
        """The bits as a number, unscaled; None when the frame is too short to hold them."""
        bits_n = 8 * len(data)
        if self.little_endian:
            if self.first_bit + self.bits > bits_n:
                return None
            number = int.from_bytes(data, "little") >> self.first_bit
        else:
            from_left = self.first_bit - self.first_bit % 8 + 7 - self.first_bit % 8
            if from_left + self.bits > bits_n:
                return None
            number = int.from_bytes(data, "big") >> (bits_n - from_left - self.bits)
        number &= (1 << self.bits) - 1
        if self.is_float:
            packed = number.to_bytes(self.bits // 8, "big")
            value: float = struct.unpack(f">{_FLOATS[self.bits]}", packed)[0]
            return value if math.isfinite(value) else None
        if self.signed and number >> (self.bits - 1):
            number -= 1 << self.bits
        return number

    def value(self, raw: float) -> float:
        """What a raw number means. [unit]"""
        return raw * self.scale + self.offset


@dataclass(frozen=True, slots=True)
class BusMessage:
    """A message: its identifier (without the mark for 29 bits), its signals, how often it is sent; 0 if not said."""

    name: str
    identifier: int
    extended: bool
    bytes_n: int
    signals: tuple[BusSignal, ...]
    cycle_ms: int = 0

    def signal(self, name: str) -> BusSignal | None:
        """One signal by its name; None when there is none."""
        return next((each for each in self.signals if each.name == name), None)


@dataclass(frozen=True, slots=True)
class MessageFile:
    """All a file describes. left_out : sentences about what it says that can't be used."""

    file: str
    messages: tuple[BusMessage, ...]
    left_out: tuple[str, ...] = ()

    def find(self, message: str, signal: str) -> tuple[BusMessage, BusSignal]:
        """One signal by the names of its message and its own; an empty message stands for the only one that has it.

        Raises
        ------
        DoorRefused : there is none, or several messages have it.
        """
        named = [each for each in self.messages if each.name == message or not message]
        if not named:
            raise DoorRefused(f"{self.file} has no message {message[:60]}.{_closest(message, self.messages)}")
        having = [(each, found) for each in named if (found := each.signal(signal)) is not None]
        if len(having) == 1:
            return having[0]
        if not having:
            known = [each for one in named for each in one.signals]
            where = f"message {message[:60]} of {self.file}" if message else self.file
            raise DoorRefused(f"{where} has no signal {signal[:60]}.{_closest(signal, known)}")
        several = ", ".join(each.name[:60] for each, _ in having[:4])
        raise DoorRefused(
            f"{signal[:60]} is in several messages of {self.file}: {several}. Write MESSAGE.{signal[:60]}."
        )


def read_messages(path: Path) -> MessageFile:
    """Read a DBC file.

    Raises
    ------
    DoorRefused : it isn't there, is too large, or can't be taken apart.
    """
    content = _content(path)
    _refuse_too_many(path, content)
    return _taken_apart(path.name, _decoded(content))


def _content(path: Path) -> bytes:
    try:
        return bytes_of(path, most_bytes=MOST_BYTES, if_longer="Cut it down to the messages that are used.")
    except FileNotFoundError as error:
        raise DoorRefused(f"{path} can't be read: {error.strerror}.") from None


def _decoded(content: bytes) -> str:
    """Tools write these files in UTF-8 or in the Western code page of their system."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _refuse_too_many(path: Path, content: bytes) -> None:
    for what, line, most in (("messages", _MESSAGE_LINE, MOST_MESSAGES), ("signals", _SIGNAL_LINE, MOST_SIGNALS)):
        if sum(1 for _ in line.finditer(content)) > most:
            raise DoorRefused(f"{path} has more than {most:,} {what}. Cut it down to the messages that are used.")
    chosen_n = 0
    for statement in content.split(b"SG_MUL_VAL_")[1:]:  # the reader writes every value of such a range down
        for low, high in _CHOICE_RANGE.findall(statement.partition(b";")[0]):
            chosen_n += max(0, int(high) - int(low))
    if chosen_n > MOST_CHOICES:
        raise DoorRefused(f"{path} lets signals depend on more than {MOST_CHOICES:,} values of others.")
    if b"\x00" in content:
        raise DoorRefused(f"{path} isn't a text file (it holds NUL bytes).")
    if not _MESSAGE_LINE.search(content):
        raise DoorRefused(f"{path} describes no message: no line begins with BO_.")


def _taken_apart(file: str, text: str) -> MessageFile:
    """As it is written; where that can't be read, as it looks with its known habits put right."""
    left_out: list[str] = []
    try:
        read = _loaded(text)
    except Exception as error:  # the reader of another house raises many kinds; all mean the same here
        try:
            read = _loaded(mended(text))
        except Exception:
            raise DoorRefused(f"{file} can't be read as messages (DBC): {_one_line(error)}") from None
        left_out.append(f"It {MENDED}.")
    messages = []
    for each in read:
        message, sentences = _message(each)
        left_out += sentences
        if message is not None:
            messages.append(message)
    return MessageFile(file, tuple(messages), tuple(left_out))


def _loaded(text: str) -> list[ReadMessage]:
    from cantools.database import load_string

    said = logging.getLogger("cantools")
    level = said.level
    said.setLevel(logging.CRITICAL + 1)  # it would write a line to the terminal for each odd message
    try:
        database: Any = load_string(text, database_format="dbc", strict=False, sort_signals=None)
    finally:
        said.setLevel(level)
    return list(database.messages)


def _one_line(error: Exception) -> str:
    said = " ".join("".join(sign if sign.isprintable() else " " for sign in str(error)).split())
    return said[:_MOST_WHY] or type(error).__name__


def _message(read: ReadMessage) -> tuple[BusMessage | None, list[str]]:
    name = str(read.name)[:128]
    # A raw 29-bit number without the mark of the format is common in files found in the field.
    extended = bool(read.is_extended_frame) or read.frame_id > 0x7FF
    if not 0 <= read.frame_id <= 0x1FFFFFFF:
        return None, [f"Message {name} has the identifier {read.frame_id:X}; 29 bits are the most."]
    if not 0 < read.length <= MOST_FRAME_BYTES:
        return None, [f"Message {name} says {read.length} bytes; 1 to {MOST_FRAME_BYTES} are a frame."]
    signals, left_out = [], []
    for each in read.signals:
        why = _why_not(each, read)
        if why:
            left_out.append(f"Signal {name}.{str(each.name)[:128]} {why}.")
        else:
            signals.append(_signal(each))
    cycle = read.cycle_time
    cycle_ms = int(cycle) if isinstance(cycle, int | float) and 0 < cycle < 3_600_000 else 0
    return BusMessage(name, read.frame_id, extended, read.length, tuple(signals), cycle_ms), left_out


def _why_not(read: ReadSignal, message: ReadMessage) -> str:
    """Why a signal can't be used; "" when it can."""
    if not 0 < read.length <= 64:
        return f"has {read.length} bits; 1 to 64 can be read"
    if read.is_float and read.length not in _FLOATS:
        return f"is a floating number of {read.length} bits; 16, 32 or 64 can be read"
    little = read.byte_order == "little_endian"
    first = read.start if little else read.start - read.start % 8 + 7 - read.start % 8
    if read.start < 0 or first + read.length > 8 * message.length:
        return f"lies outside the {message.length} bytes of its message"
    if not (math.isfinite(read.scale) and math.isfinite(read.offset)):
        return "has a scale that is no number"
    chooser = read.multiplexer_signal
    if chooser is not None:
        choosing = [each for each in message.signals if each.name == chooser]
        if not choosing or choosing[0].multiplexer_signal is not None:
            return "is chosen by a signal that is chosen itself; one level is read"
    return ""


def _signal(read: ReadSignal) -> BusSignal:
    codes: Iterable[tuple[Any, Any]] = (read.choices or {}).items()
    return BusSignal(
        str(read.name),
        read.start,
        read.length,
        read.byte_order == "little_endian",
        read.is_signed,
        read.is_float,
        float(read.scale),
        float(read.offset),
        str(read.unit or "")[:40],
        tuple((int(raw), str(word)[:80]) for raw, word in codes),
        tuple(sorted(int(each) for each in read.multiplexer_ids or ())),
        str(read.multiplexer_signal or ""),
    )


def _closest(word: str, known: Iterable[BusMessage | BusSignal]) -> str:
    near = nearest(word, list(_names(known)), most=1)
    return f" Closest: {near[0]}." if near else ""


def _names(known: Iterable[BusMessage | BusSignal]) -> Iterator[str]:
    for each in known:
        yield each.name
