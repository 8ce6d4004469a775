"""What does a file of vehicle data say: by which wire, message or group is each input of a build heard?

    vehicle-data: 1
    messages: body.dbc                       # beside this file
    signals:
      brake:     {wire: brake-in, witness: {j1939: PGN 65265 SPN 597}}
      gear:      {dbc: TransGearData.GearLvrPos_D_Actl, values: {P: 0, R: 1, N: 2, D: "3 to 6"}, timeout: 300 ms}
      speed:     {j1939: PGN 65265 SPN 84}
      hatch:     {frame: 1A0, start: "2.1", bits: 2, values: {closed: 0, open: 1}}

It is a door like the one for parts: bounded, all that is wrong is told at once, with its place.

See Also
--------
coachwright.control.vehicle_data : puts it together with the build.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError

from coachwright.kit.errors import DoorRefused
from coachwright.kit.fields import Count, Name, Text, Time, YesNo
from coachwright.kit.near import nearest
from coachwright.kit.nodes import Document, read_nodes
from coachwright.kit.text_file import read_bounded
from coachwright.kit.units import UnitError, parse
from coachwright.parts.base import Frozen, Number
from coachwright.parts.body_words import J1939Code, ObdCode

MOST_BYTES = 400_000
MOST_SIGNALS = 400
Range = tuple[float, float]
"""Smallest and largest number, both meant."""

_START = re.compile(r"([1-9][0-9]?)\.([1-8])")
_FRAME = re.compile(r"[0-9A-Fa-f]{1,8}")
_NUMBER = r"[+-]?[0-9]{1,12}(?:\.[0-9]{1,9})?"
_SPAN = re.compile(rf"({_NUMBER})\s+to\s+({_NUMBER})")
_BEYOND = re.compile(rf"([<>])\s*({_NUMBER})")


def _one_or_many(value: Any) -> Any:
    return [value] if isinstance(value, str) and value else value or []


Texts = Annotated[tuple[Text, ...], BeforeValidator(_one_or_many)]


class Origin(Frozen):
    """Where an input is heard. One of wire, dbc, j1939, obd and frame is written.

    wire : name of a column in a log of lines. dbc : ``MESSAGE.SIGNAL`` of the files under `messages`.
    j1939, obd : as body files write them. sender : only frames of this address (hexadecimal), of j1939.
    frame : identifier in hexadecimal; start : lowest bit as ``byte.bit`` from 1 (the highest, of order big); bits : how
    many; order : which byte is the low one; signed, scale, offset : how a number comes of them.
    unit : of a number, where its origin doesn't say it. values : of what else is heard, for each value of the input.
    timeout : silence after which it counts as lost; 0: never. Left out: three cycles where the cycle is known.
    """

    wire: Text = ""
    dbc: Text = ""
    j1939: J1939Code = ""
    obd: ObdCode = ""
    frame: Text = ""
    start: Text = ""
    bits: Count = 0
    order: Literal["little", "big"] = "little"
    signed: YesNo = False
    scale: Number = 1.0
    offset: Number = 0.0
    sender: Text = ""
    unit: Text = ""
    values: dict[Text, Texts] = Field(default_factory=dict)
    timeout: Time | None = None

    @property
    def kinds(self) -> tuple[str, ...]:
        """Which of the five are written."""
        return tuple(kind for kind in ("wire", "dbc", "j1939", "obd", "frame") if getattr(self, kind))


class Fed(Origin):
    """Where the controller hears an input; `witness` : where the vehicle says the same, to tell a wiring mistake."""

    witness: Origin | None = None


class VehicleData(Frozen):
    """A whole file. messages : DBC files beside it. begins : of a log without dates, how much later it begins. [s]"""

    vehicle_data: Literal["1"]
    messages: Texts = ()
    signals: dict[Name, Fed] = Field(default_factory=dict)
    begins: dict[Text, Time] = Field(default_factory=dict)
    note: Text = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing wrong at a path of the file."""

    path: tuple[str, ...]
    why: str
    write: str = ""
    on_key: bool = False


@dataclass(frozen=True, slots=True)
class VehicleDataRead:
    """A file that was read. `said` is None when something stands in the way."""

    said: VehicleData | None
    document: Document
    troubles: tuple[Trouble, ...] = ()


def read_vehicle_data(path: Path) -> VehicleDataRead:
    """Read a file of vehicle data.

    Raises
    ------
    DoorRefused : it isn't there, is too large, or no text.
    """
    try:
        text = read_bounded(path, most_bytes=MOST_BYTES)
    except FileNotFoundError:
        raise DoorRefused(f"There is no file of vehicle data at {path}.") from None
    document = read_nodes(text, file=path.name)
    if document.findings:
        return VehicleDataRead(None, document)
    if not isinstance(document.plain, dict):
        return VehicleDataRead(None, document, (Trouble((), "A list of names and values belongs here.", _BEGIN),))
    try:
        said = VehicleData.model_validate(document.plain)
    except ValidationError as error:
        return VehicleDataRead(None, document, tuple(_trouble(each) for each in error.errors(include_url=False)[:100]))
    troubles = tuple(_checked(said))
    return VehicleDataRead(None if troubles else said, document, troubles)


_BEGIN = "Begin with vehicle-data: 1 and signals:."


def _trouble(detail: Any) -> Trouble:
    path = tuple(
        str(piece + 1) if isinstance(piece, int) else str(piece) for piece in detail["loc"] if piece != "[key]"
    )
    context = detail.get("ctx") or {}
    on_key = bool(detail["loc"]) and detail["loc"][-1] == "[key]"
    match detail["type"]:
        case "coachwright":
            return Trouble(path, context["why"], context["write"], on_key)
        case "missing":
            return Trouble(path[:-1], f"{path[-1]} is missing.", _BEGIN, on_key=True)
        case "extra_forbidden":
            known = [name.replace("_", "-") for one in (VehicleData, Fed) for name in one.model_fields]
            near = nearest(path[-1], known)
            write = f"Closest: {near[0]}." if near else f"Known here: {', '.join(known)}."
            return Trouble(path, f"No field is called {path[-1][:40]} here.", write, on_key=True)
        case "literal_error":
            return Trouble(path, "This is none of the words that can stand here.", f"Write {context['expected']}.")
        case _:
            return Trouble(path, "Something else belongs here.", "See docs/vehicle-data.md for an example.")


def _checked(said: VehicleData) -> list[Trouble]:
    found: list[Trouble] = []
    if len(said.signals) > MOST_SIGNALS:
        return [Trouble(("signals",), f"{len(said.signals)} signals are named; {MOST_SIGNALS} are the most.")]
    for name, fed in said.signals.items():
        found += _origin_troubles(("signals", name), fed)
        if fed.witness is not None:
            found += _origin_troubles(("signals", name, "witness"), fed.witness)
    for name in said.messages:
        if "/" in name or "\\" in name or name.startswith("."):
            found.append(Trouble(("messages",), f"{name[:60]} isn't the plain name of a file beside this one."))
    return found


def _origin_troubles(path: tuple[str, ...], origin: Origin) -> list[Trouble]:
    one = "Write one of wire, dbc, j1939, obd and frame."
    found: list[Trouble] = []
    if len(origin.kinds) != 1:
        told = "It isn't said where this is heard." if not origin.kinds else "It can be heard in one way only."
        return [Trouble(path, told, one, on_key=True)]
    if origin.frame and not (_FRAME.fullmatch(origin.frame) and int(origin.frame, 16) <= 0x1FFFFFFF):
        write = "Write up to three hexadecimal digits for 11 bits, eight for 29: 3B3 or 18FEF100."
        found.append(Trouble((*path, "frame"), f"{origin.frame[:40]} is no identifier of a frame.", write))
    if origin.frame and not (_START.fullmatch(origin.start) and 1 <= origin.bits <= 64):
        write = 'Write the first as byte.bit, both from 1, and how many: start: "1.1", bits: 2.'
        found.append(Trouble(path, "Of a frame the bits are named.", write, on_key=True))
    if origin.sender and not re.fullmatch(r"[0-9A-Fa-f]{2}", origin.sender):
        found.append(Trouble((*path, "sender"), "A sender is an address of two hexadecimal digits.", "Write like 0B."))
    for value, texts in origin.values.items():
        for text in texts:
            if text.startswith(("<", ">")) and range_of(text) is None:
                found.append(
                    Trouble((*path, "values", value), f"{text[:40]} is no range.", 'Write like "> 400" or "1 to 6".')
                )
    return found


def range_of(text: str) -> Range | None:
    """The numbers a text stands for: ``3``, ``1 to 6``, ``> 400``, ``< 0``; None for a word."""
    said = text.strip()
    if re.fullmatch(_NUMBER, said):
        return float(said), float(said)
    span = _SPAN.fullmatch(said)
    if span is not None:
        return float(span[1]), float(span[2])
    beyond = _BEYOND.fullmatch(said)
    if beyond is None:
        return None
    edge = float(beyond[2])
    if beyond[1] == ">":
        return math.nextafter(edge, math.inf), math.inf
    return -math.inf, math.nextafter(edge, -math.inf)


def unit_line(unit: str, kind: str) -> tuple[float, float] | None:
    """Factor and offset from a unit as buses write it to SI; None for a unit of another kind."""
    spelt = unit.replace("°", "deg").strip()
    spelt = {"kph": "km/h", "kmh": "km/h", "KPH": "km/h", "MPH": "mph", "Volts": "V", "volt": "V"}.get(spelt, spelt)
    try:
        nought, one = parse(f"0 {spelt}", kind), parse(f"1 {spelt}", kind)
    except UnitError:
        return None
    return one - nought, nought


def start_bit(start: str) -> int:
    """``byte.bit`` from 1 as a bit of the payload from 0."""
    byte, bit = start.split(".")
    return 8 * (int(byte) - 1) + int(bit) - 1
