"""Kinds of field a door can read: each turns the text in a file into a value, or says what to write instead.

pydantic calls these; `PydanticCustomError` carries the finding's code and name, and `loc` becomes the build path.
For doors only (parts, build, rules), like kit.units.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from coachwright.kit.units import UnitError, parse

NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def wrong(code: str, name: str, read: str, *, why: str, write: str = "", near: str = "") -> PydanticCustomError:
    """An error pydantic carries to the door: `read` is what stood there, `write` what to put instead."""
    return PydanticCustomError(
        "coachwright",
        "{why} {write}",
        {"code": code, "name": name, "read": read[:80], "why": why, "write": write, "near": near},
    )


def _quantity(kind: str) -> Callable[[Any], Any]:
    def read(value: Any) -> Any:
        if isinstance(value, float | int) and not isinstance(value, bool):
            return float(value)  # already SI: made by our own code
        if not isinstance(value, str):
            raise wrong("BLD-005", "quantity-not-text", str(value), why="A single quantity belongs here.")
        try:
            return parse(value, kind)
        except UnitError as error:
            code = ("BLD-004", f"{kind}-without-unit") if error.reason == "no-unit" else ("BLD-006", f"{kind}-not-read")
            raise wrong(*code, value, why=str(error), write=error.write, near=error.near) from None

    return read


def _field(kind: str, example: str) -> Any:
    return Annotated[
        float,
        BeforeValidator(_quantity(kind)),
        WithJsonSchema({"type": "string", "examples": [example], "description": f"a quantity of {kind} with its unit"}),
    ]


Length = _field("length", "3/8 in")
Angle = _field("angle", "25 deg")
Time = _field("time", "2 min")
Speed = _field("speed", "45 mph")
Mass = _field("mass", "12 lb")
Voltage = _field("voltage", "12.8 V")
Current = _field("current", "12.5 A")
Power = _field("power", "100 W")
Rate = _field("rate", "150 per min")
Share = _field("share", "40 %")
Flux = _field("luminous-flux", "900 lm")
Intensity = _field("luminous-intensity", "600 cd")
Temperature = _field("temperature", "60 degC")
Level = _field("level", "118 dB")
Gain = _field("gain", "2 dBi")
Frequency = _field("frequency", "155 MHz")
Charge = _field("charge", "95 Ah")
Resistance = _field("resistance", "4 mohm")
ResistancePerLength = _field("resistance-per-length", "5.2 mohm/m")
MassPerLength = _field("mass-per-length", "45 g/m")
Area = _field("area", "2.5 mm2")
Volume = _field("volume", "18 ft3")
Force = _field("force", "900 lbf")
Torque = _field("torque", "9 N m")
Acceleration = _field("acceleration", "9 g")
AngularRate = _field("angular-rate", "700 rpm")
VoltageSlope = _field("voltage-per-temperature", "-8 mV/K")


def _yes_no(value: Any) -> Any:
    if isinstance(value, bool):
        return value
    if value in ("yes", "no"):
        return value == "yes"
    raise wrong("BLD-007", "yes-or-no", str(value), why="This is answered with yes or no.", write="Write yes or no.")


YesNo = Annotated[bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no"]})]


def _name(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= 64 and NAME.fullmatch(value):
        return value
    raise wrong(
        "BLD-008",
        "name-not-plain",
        str(value),
        why="Names are small letters, digits and hyphens.",
        write="Write it like corner-lamp-2.",
    )


Name = Annotated[str, BeforeValidator(_name), WithJsonSchema({"type": "string", "pattern": f"^{NAME.pattern}$"})]


def _count(value: Any) -> Any:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{1,7}", value):
        return int(value)
    raise wrong(
        "BLD-009",
        "count-not-whole",
        str(value),
        why="A whole number belongs here.",
        write="Write it in digits, like 6.",
    )


Count = Annotated[int, BeforeValidator(_count), WithJsonSchema({"type": "string", "pattern": "^[0-9]+$"})]


def _text(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= 2000:
        return value
    raise wrong("BLD-010", "text-expected", str(value)[:80], why="One line of text belongs here.")


Text = Annotated[str, BeforeValidator(_text)]
