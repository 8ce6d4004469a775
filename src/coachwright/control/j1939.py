"""What does a frame of a heavy vehicle's bus say?

The group, who sent it and to whom can be read from any frame; signals only of groups whose layout public pages print.
What a frame marks as not available is no value: it must refresh nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, named, number_of, table_of, tables_in
from coachwright.kit.nodes import Plain

DATA = "j1939.yaml"
MOST_ID, MOST_BYTES = 0x1FFFFFFF, 8
_DBC_MARK = 0x80000000
"""Bit that some files of messages put on extended identifiers."""
_TO_ONE = 240
"""Formats below are sent to one address; from here on to all, and the next byte belongs to the group."""
_BROADCAST = 0xFF
_FRAME = re.compile(r"\s*(?:\([0-9.]{1,24}\)\s+\S{1,16}\s+)?([0-9A-Fa-f]{1,8})\s*#\s*([0-9A-Fa-f\s]*?)(?:\s+[RT])?\s*")
_ID = re.compile(r"\s*(?:0[xX])?([0-9A-Fa-f]{1,8})[xX]?\s*")


class FrameRefused(ValueError):
    """A text that is no frame. Says what to write."""


@dataclass(frozen=True, slots=True)
class Signal:
    """One signal of a group: where its bits stand and how they are read.

    first_bit : of the whole payload, from 0. codes : words by raw value; empty where it is a number.
    """

    name: str
    suspect: int
    first_bit: int
    bits: int
    scale: float
    offset: float
    unit: str
    codes: tuple[tuple[int, str], ...]
    is_number: bool


@dataclass(frozen=True, slots=True)
class Group:
    """A group whose layout is public. mind : what pages disagree about."""

    number: int
    title: str
    signals: tuple[Signal, ...]
    cite: Cite
    mind: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One signal as a frame says it. value : None for a code, and where there is none; meaning : in words."""

    signal: Signal
    value: float | None
    meaning: str


@dataclass(frozen=True, slots=True)
class Frame:
    """One frame taken apart. destination : address it is sent to; None for a frame to all."""

    group: int
    priority: int
    source: int
    destination: int | None
    data: bytes
    known: Group | None
    readings: tuple[Reading, ...]


def read_frame(frame: str) -> Frame:
    """A frame as loggers write it: ``18FEF100#F7002D10FFFFFFFF``, with time and bus before it or not.

    Raises
    ------
    FrameRefused : with what to write.
    """
    found = _FRAME.fullmatch(frame)
    if found is None:
        raise FrameRefused(f"{frame[:60]!r} is no frame. Write it like 18FEF100#F7002D10FFFFFFFF.")
    return read_parts(found[1], found[2])


def read_parts(identifier: str, data: str) -> Frame:
    """A frame from its 29-bit identifier and its bytes, both in hexadecimal.

    Raises
    ------
    FrameRefused : with what to write.

    References
    ----------
    .. [1] SAE J1939-21: priority 3 bits, reserved and data page 1 bit each, format, specific and source 8 bits each.
    """
    number = _identifier(identifier)
    payload = _bytes(data)
    page, form, specific = number >> 24 & 3, number >> 16 & 0xFF, number >> 8 & 0xFF
    to_one = form < _TO_ONE
    group = page << 16 | form << 8 | (0 if to_one else specific)
    known = known_groups().get(group)
    readings = tuple(reading(signal, payload) for signal in known.signals) if known is not None else ()
    destination = specific if to_one and specific != _BROADCAST else None
    return Frame(group, number >> 26 & 7, number & 0xFF, destination, payload, known, readings)


def _identifier(text: str) -> int:
    found = _ID.fullmatch(text)
    number = int(found[1], 16) if found is not None else -1
    if found is None:
        raise FrameRefused(f"{text[:40]!r} is no identifier. Write its hexadecimal digits, like 18FEF100.")
    number &= ~_DBC_MARK
    if len(found[1]) <= 3 or number > MOST_ID:
        raise FrameRefused(
            f"{text.strip()[:40]} is no 29-bit identifier. Frames of this bus have eight digits: 18FEF100."
        )
    return number


def _bytes(text: str) -> bytes:
    bare = "".join(text.split())
    if not re.fullmatch(r"(?:[0-9A-Fa-f]{2})*", bare):
        raise FrameRefused(f"{text[:40]!r} are no bytes. Write two hexadecimal digits for each, like F7002D10FFFFFFFF.")
    if len(bare) > 2 * MOST_BYTES:
        raise FrameRefused(f"{len(bare) // 2} bytes are more than one frame has. Write eight at most.")
    return bytes.fromhex(bare)


def reading(signal: Signal, payload: bytes) -> Reading:
    """Two bits: 2 error, 3 not available. Numbers: valid up to FA in the top byte, then codes, FE error, FF nothing."""
    if signal.first_bit + signal.bits > 8 * len(payload):
        return Reading(signal, None, "not in this frame")
    raw = int.from_bytes(payload, "little") >> signal.first_bit & (1 << signal.bits) - 1
    every = (1 << signal.bits) - 1
    meant = dict(signal.codes).get(raw)
    if signal.is_number and signal.bits >= 8:
        top = raw >> (signal.bits - 8)
        if top == 0xFF:
            return Reading(signal, None, "not available")
        if top == 0xFE:
            return Reading(signal, None, "error")
        if top > 0xFA:
            return Reading(signal, None, meant if meant is not None else "outside the valid range")
        return Reading(signal, raw * signal.scale + signal.offset, meant or "")
    if raw == every:
        return Reading(signal, None, "not available")
    if raw == every - 1:
        return Reading(signal, None, "error")
    return Reading(signal, None, meant if meant is not None else f"code {raw}, meaning not public")


@cache
def known_groups() -> dict[int, Group]:
    """Every group of the data by its number."""
    table = tables_in("coachwright.control", DATA)
    cites = {name: cite_of({"cite": plain}, DATA) for name, plain in table_of(table["cites"], DATA).items()}
    groups = {}
    for number, plain in table_of(table["groups"], DATA).items():
        what = f"{DATA}, group {number}"
        entry = table_of(plain, what)
        shared = entry.get("codes", {})
        signals = tuple(
            _signal(name, table_of(each, f"{what}, {name}"), shared, f"{what}, {name}")
            for name, each in table_of(entry["signals"], what).items()
        )
        cite = cites[named(entry, "cite", what)]
        groups[int(number)] = Group(int(number), named(entry, "title", what), signals, cite, str(entry.get("mind", "")))
    return groups


def _signal(name: str, entry: dict[str, Plain], shared: Plain, what: str) -> Signal:
    byte, bit = named(entry, "start", what).split(".")
    is_number = "scale" in entry
    codes = table_of(entry.get("codes", entry.get("plain", {} if is_number else shared)), what)
    return Signal(
        name,
        int(number_of(entry["suspect"], what)),
        8 * (int(byte) - 1) + int(bit) - 1,
        int(number_of(entry["bits"], what)),
        number_of(entry.get("scale", "1"), what),
        number_of(entry.get("offset", "0"), what),
        str(entry.get("unit", "")),
        tuple((int(code), str(word)) for code, word in codes.items()),
        is_number,
    )
