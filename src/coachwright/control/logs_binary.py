"""Is a binary log (BLF) sound enough to be handed to its reader?

A container may be packed a thousandfold, and an object that says it has no length would be read for ever. Both are
looked for before anything else is: the walk goes over the objects as the reader will, with a bound on what it unpacks.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass

_FILE_START = struct.Struct("<4sL")
_OBJECT = struct.Struct("<4sHHLL")
_CONTAINER = struct.Struct("<H6xL4x")
_CONTAINER_TYPE = 10
_PLAIN, _PACKED = 0, 2
_LEAST = {False: _OBJECT.size, True: _OBJECT.size + _CONTAINER.size}
MOST_UNPACKED = 64_000_000
"""Bytes in one container: writers use some hundred thousand."""
MOST_UNPACKED_IN_ALL = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Soundness:
    """sound_n : bytes of the file up to which it can be read. why : what is wrong behind them; "" for a sound file."""

    sound_n: int
    why: str = ""


def soundness(content: bytes) -> Soundness:
    """Up to where the bytes of a binary log can be read."""
    if len(content) < 144 or content[:4] != b"LOGG":
        return Soundness(0, "it has no head of a binary log (BLF)")
    _, head_n = _FILE_START.unpack_from(content)
    if head_n < 72 or head_n > len(content):
        return Soundness(0, f"its head says {head_n} bytes")
    at, tail, unpacked_n = head_n, b"", 0
    while at < len(content):
        if at + _OBJECT.size > len(content):
            return Soundness(at, "it ends within an object")
        signature, _, _, object_n, kind = _OBJECT.unpack_from(content, at)
        if signature != b"LOBJ" or object_n < _LEAST[kind == _CONTAINER_TYPE]:
            return Soundness(at, f"at byte {at} no object begins")
        if at + object_n > len(content):
            return Soundness(at, "it ends within an object")
        if kind == _CONTAINER_TYPE:
            body = content[at + _OBJECT.size : at + object_n]
            data = _unpacked(body)
            if data is None:
                return Soundness(at, f"the container at byte {at} can't be unpacked")
            unpacked_n += len(data)
            if unpacked_n > MOST_UNPACKED_IN_ALL:
                return Soundness(at, f"it unpacks to more than {MOST_UNPACKED_IN_ALL:,} bytes")
            left = _walked(tail + data)
            if left is None or len(left) > MOST_UNPACKED:
                return Soundness(at, f"the objects in the container at byte {at} don't follow each other")
            tail = left
        at += object_n + object_n % 4
    return Soundness(len(content))


def _unpacked(body: bytes) -> bytes | None:
    method, _ = _CONTAINER.unpack_from(body)
    packed = body[_CONTAINER.size :]
    if method == _PLAIN:
        return packed
    if method != _PACKED:
        return b""  # the reader passes over what it doesn't know
    opened = zlib.decompressobj()
    try:
        data = opened.decompress(packed, MOST_UNPACKED)
    except zlib.error:
        return None
    return None if opened.unconsumed_tail else data


def _walked(data: bytes) -> bytes | None:
    """What is left behind the last whole object; None when objects don't follow each other."""
    at = 0
    while True:
        found = data.find(b"LOBJ", at, at + 8)
        if found < 0:
            return data[at:] if at + 8 > len(data) else None
        if found + _OBJECT.size > len(data):
            return data[at:]
        _, header_n, _, object_n, _ = _OBJECT.unpack_from(data, found)
        if object_n < max(header_n, _OBJECT.size):
            return None
        if found + object_n > len(data):
            return data[at:]
        at = found + object_n
