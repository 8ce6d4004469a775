"""What does an answer of on-board diagnostics say?

Service 01 alone. It knows no brake lamp, turn signal, door or hazard flasher, and it answers slowly: no ground for
logic that has to act at once.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, named, number_of, table_of, tables_in

DATA = "obd.yaml"
_ANSWER = 0x41
_SUPPORT = (0x00, 0x20, 0x40, 0x60)
_FRAME = re.compile(r"\s*(?:[0-9A-Fa-f]{3,8}\s*#)?((?:\s*[0-9A-Fa-f]{2})+)\s*")


class NoAnswer(ValueError):
    """Bytes that are no answer of service 01, or of a parameter not known here. Says what to write."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What one answer says.

    parameter, value, unit : of the quantity; value None for a list of supported parameters.
    supported : numbers of the parameters a vehicle says it answers.
    """

    parameter: str
    value: float | None
    unit: str
    cite: Cite
    supported: tuple[int, ...] = ()


def read_answer(text: str) -> Answer:
    """One answer as bytes: ``41 0C 0E 70``, with the length before it, or a frame ``7E8#04410C0E70``.

    Raises
    ------
    NoAnswer : with what to write.

    References
    ----------
    .. [1] SAE J1979 / ISO 15031-5, service 01, as public pages quote it.
    """
    found = _FRAME.fullmatch(text)
    data = bytes.fromhex(found.group(1)) if found is not None else b""
    if len(data) > 1 and data[0] <= 7 and data[1] == _ANSWER:
        if len(data) <= data[0]:
            raise NoAnswer(f"the frame says {data[0]} bytes and holds {len(data) - 1}. Write all of it.")
        data = data[1 : 1 + data[0]]
    if len(data) < 3 or data[0] != _ANSWER:
        raise NoAnswer(f"{text[:40]!r} is no answer of service 01. Write its bytes like 41 0C 0E 70.")
    pid, payload = data[1], data[2:]
    table = tables_in("coachwright.control", DATA)
    if pid in _SUPPORT:
        if len(payload) < 4:
            raise NoAnswer("a list of supported parameters has four bytes. Write all of them.")
        bits = int.from_bytes(payload[:4], "big")
        supported = tuple(pid + number for number in range(1, 33) if bits >> (32 - number) & 1)
        return Answer("supported parameters", None, "", cite_of(table, DATA), supported)
    entry = known_pids().get(pid)
    if entry is None:
        have = ", ".join(f"{number:02X}" for number in known_pids())
        raise NoAnswer(f"parameter {pid:02X} isn't known here. Known are {have} and the lists 00, 20, 40, 60.")
    if len(payload) < entry.bytes_n:
        raise NoAnswer(f"{entry.parameter} has {entry.bytes_n} bytes, here {len(payload)}. Write all of them.")
    raw = int.from_bytes(payload[: entry.bytes_n], "big")
    return Answer(entry.parameter, raw * entry.scale + entry.offset, entry.unit, entry.cite)


@dataclass(frozen=True, slots=True)
class Pid:
    """How the bytes of one parameter are read."""

    parameter: str
    bytes_n: int
    scale: float
    offset: float
    unit: str
    cite: Cite


@cache
def known_pids() -> dict[int, Pid]:
    """Every parameter of the data by its number."""
    table = tables_in("coachwright.control", DATA)
    quoted, remembered = cite_of(table, DATA), cite_of({"cite": table["memory-cite"]}, DATA)
    pids = {}
    for number, plain in table_of(table["pids"], DATA).items():
        what = f"{DATA}, {number}"
        entry = table_of(plain, what)
        pids[int(number, 16)] = Pid(
            named(entry, "parameter", what),
            int(number_of(entry["bytes"], what)),
            number_of(entry["scale"], what),
            number_of(entry["offset"], what),
            named(entry, "unit", what),
            remembered if "from" in entry else quoted,
        )
    return pids
