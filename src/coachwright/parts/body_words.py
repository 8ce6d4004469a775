"""How are places, sides, drawn lines and bus codes written in the file of a body?"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from coachwright.kit.fields import NAME, wrong
from coachwright.kit.units import parse

_PLACE_NAME = re.compile(rf"{NAME.pattern}(?:\.{NAME.pattern})?")
_SIDES = ("left", "right")


def _place_name(value: Any) -> Any:
    if (
        isinstance(value, str)
        and len(value) <= 64
        and _PLACE_NAME.fullmatch(value)
        and value.split(".")[-1] not in _SIDES
    ):
        return value
    raise wrong(
        "PRT-023",
        "place-name-not-plain",
        str(value),
        why="A place has a plain name, or two with a dot between; left and right are said by mirrored: yes.",
        write="Write it like bumper-front or console.panel.",
    )


PlaceName = Annotated[
    str, BeforeValidator(_place_name), WithJsonSchema({"type": "string", "pattern": f"^{_PLACE_NAME.pattern}$"})
]


def _name_or_nothing(value: Any) -> Any:
    if value == "" or (isinstance(value, str) and len(value) <= 64 and NAME.fullmatch(value)):
        return value
    raise wrong("BLD-008", "name-not-plain", str(value), why="Names are small letters, digits and hyphens.")


NameOrNothing = Annotated[str, BeforeValidator(_name_or_nothing), WithJsonSchema({"type": "string"})]

_SPOT_NAME = re.compile(rf"{NAME.pattern}(?:\.{NAME.pattern}){{0,2}}")


def _spot_name(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= 64 and _SPOT_NAME.fullmatch(value):
        return value
    raise wrong(
        "PRT-023",
        "place-name-not-plain",
        str(value),
        why="A joint or a place is named here, with its side where it is meant on one side only.",
        write="Write it like sill-fore, sill-fore.left or console.panel.",
    )


SpotName = Annotated[str, BeforeValidator(_spot_name), WithJsonSchema({"type": "string"})]
"""A joint or a place, with ``.left`` or ``.right`` where one side of a pair is meant."""
SpotOrNothing = Annotated[
    str,
    BeforeValidator(lambda value: value if value == "" else _spot_name(value)),
    WithJsonSchema({"type": "string"}),
]


def side_and_name(spot: str) -> tuple[str, Literal["left", "right", ""]]:
    """A spot's plain name and the side that is written behind it."""
    name, _, last = spot.rpartition(".")
    if name and last == "left":
        return name, "left"
    if name and last == "right":
        return name, "right"
    return spot, ""


_METRES = {unit: parse(f"1 {unit}", "length") for unit in ("mm", "cm", "m", "in", "ft")}
_DRAWN = re.compile(rf"in ({'|'.join(_METRES)}):\s+(.*)", re.DOTALL)
_FIGURE = re.compile(r"[+-]?[0-9]{1,7}(?:\.[0-9]{1,6})?")
_COUNT_WORD = {2: "two", 3: "three"}


def _drawn_line(figures_n: Literal[2, 3], form: str) -> Callable[[Any], Any]:
    def read(value: Any) -> Any:
        if not isinstance(value, str):
            return value  # points in metres: made by our own code
        found = _DRAWN.fullmatch(value.strip())
        if found is None:
            raise _line_not_read(value, "A drawn line says its unit, then its points.", form)
        scale_m = _METRES[found[1]]
        points = []
        for number, point in enumerate(found[2].split(","), start=1):
            figures = point.split()
            if len(figures) != figures_n or not all(_FIGURE.fullmatch(each) for each in figures):
                why = f"Point {number} of this line isn't {_COUNT_WORD[figures_n]} numbers."
                raise _line_not_read(point.strip(), why, form)
            points.append(tuple(float(each) * scale_m for each in figures))
        return tuple(points)

    return read


def _line_not_read(read: str, why: str, form: str) -> PydanticCustomError:
    return wrong("PRT-024", "line-not-read", read, why=why, write=f"Write it like: {form}")


_FLAT = "in mm: 950 480, 940 720, 905 1090"
_DEEP = "in mm: -420 610 900, -420 640 560"

Drawn: TypeAlias = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(_drawn_line(2, _FLAT)),
    Field(min_length=2, max_length=400),
    WithJsonSchema({"type": "string", "examples": [_FLAT]}),
]
"""A line in one view: points along and up. [m]"""

DrawnShape: TypeAlias = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(_drawn_line(2, _FLAT)),
    Field(max_length=100),
    WithJsonSchema({"type": "string", "examples": [_FLAT]}),
]
"""A closed shape in one view: its corners along and up. [m]"""

DrawnWay: TypeAlias = Annotated[
    tuple[tuple[float, float, float], ...],
    BeforeValidator(_drawn_line(3, _DEEP)),
    Field(max_length=100),
    WithJsonSchema({"type": "string", "examples": [_DEEP]}),
]
"""A line in the vehicle: points x, y, z. [m]"""

_OBD = re.compile(r"[0-9A-F]{2} [0-9A-F]{2}")
_J1939 = re.compile(r"PGN [0-9]{1,6} SPN [0-9]{1,6}")


def _code(pattern: re.Pattern[str], form: str) -> Callable[[Any], Any]:
    def read(value: Any) -> Any:
        if value == "" or (isinstance(value, str) and pattern.fullmatch(value)):
            return value
        raise wrong(
            "PRT-061", "bus-code-not-read", str(value), why="This is no code of that standard.", write=f"Like {form}."
        )

    return read


ObdCode = Annotated[str, BeforeValidator(_code(_OBD, "01 0D")), WithJsonSchema({"type": "string"})]
"""Service and parameter of on-board diagnostics (SAE J1979), in hexadecimal: ``01 0D``."""
J1939Code = Annotated[str, BeforeValidator(_code(_J1939, "PGN 65265 SPN 84")), WithJsonSchema({"type": "string"})]
"""Group and parameter of the heavy-vehicle network (SAE J1939): ``PGN 65265 SPN 84``."""
