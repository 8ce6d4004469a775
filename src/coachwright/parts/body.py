"""What may the file of a vehicle body say? Places, panels, glass, signals, its own lamps, its outlines.

Vehicle frame: x forward, y left, z up; origin on the ground under the middle of the front axle.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from coachwright.kit.fields import NAME, Angle, Length, Name, Share, Speed, Text, Time, Voltage, YesNo, wrong
from coachwright.kit.units import parse
from coachwright.parts.base import ColourName, Frozen, Number, PartBase
from coachwright.parts.lamp import ColourOutput

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

_METRES = {unit: parse(f"1 {unit}", "length") for unit in ("mm", "cm", "m", "in", "ft")}
_DRAWN = re.compile(rf"in ({'|'.join(_METRES)}):\s+(.*)", re.DOTALL)
_PAIR = re.compile(r"\s*([+-]?[0-9]{1,7}(?:\.[0-9]{1,6})?)\s+([+-]?[0-9]{1,7}(?:\.[0-9]{1,6})?)\s*")


def _drawn_line(value: Any) -> Any:
    if not isinstance(value, str):
        return value  # points in metres: made by our own code
    found = _DRAWN.fullmatch(value.strip())
    if found is None:
        raise _line_not_read(value, "A drawn line says its unit, then its points, each along and up.")
    scale_m = _METRES[found[1]]
    points = []
    for number, pair in enumerate(found[2].split(","), start=1):
        both = _PAIR.fullmatch(pair)
        if both is None:
            raise _line_not_read(pair.strip(), f"Point {number} of this line isn't two numbers.")
        points.append((float(both[1]) * scale_m, float(both[2]) * scale_m))
    return tuple(points)


def _line_not_read(read: str, why: str) -> PydanticCustomError:
    return wrong("PRT-024", "line-not-read", read, why=why, write="Write it like: in mm: 950 480, 940 720, 905 1090")


class Place(Frozen):
    """A named place on the body.

    x : forward of the front axle, y : left of the centre line, z : above ground. [m]
    facing : bearing of its outward direction, clockwise from the nose; rise : its elevation, positive up. [rad]
    clear : how far from that direction a lamp there can look before the body itself is in its way. [rad]
    mirrored : written for the left, also on the right.
    panel : what it rides on (``body`` does not move); glass : the pane it stands behind.
    what : where that is, in words a fitter finds it by.
    """

    x: Length
    y: Length
    z: Length
    facing: Angle
    rise: Angle = 0.0
    clear: Angle = 1.4
    mirrored: YesNo = False
    panel: Name = "body"
    glass: NameOrNothing = ""
    what: Text = ""
    holds: tuple[Literal["lamp", "bar", "device", "control", "speaker", "antenna"], ...] = ("lamp",)


class Panel(Frozen):
    """A panel that moves: turns about a hinge line, or slides. `signal` and `open_value` say when it is open.

    axis : the hinge line's direction; travel : right-handed turn about it from shut to open. [rad]
    slide_x, slide_z : way from shut to open. [m]
    mirrored : the left one is written (hinge and travel); the right one is its mirror image and has `signal_right`.
    """

    signal: Name
    signal_right: NameOrNothing = ""
    open_value: Name = "open"
    mirrored: YesNo = False
    hinge_x: Length = 0.0
    hinge_y: Length = 0.0
    hinge_z: Length = 0.0
    axis: Literal["x", "y", "z", "none"] = "none"
    travel: Angle = 0.0
    slide_x: Length = 0.0
    slide_z: Length = 0.0
    what: Text = ""


class Glass(Frozen):
    """A pane: transmittance at normal incidence, index, and the bearing and rise of its outward normal.

    panel : what it rides on. mirrored : the left pane is written; the right one is its mirror image.
    """

    transmittance: Share
    index: Number = 1.52
    facing: Angle
    rise: Angle = 0.0
    panel: Name = "body"
    mirrored: YesNo = False
    what: Text = ""


class Signal(Frozen):
    """A vehicle signal under the body's own name.

    values : of ``states``, in order. low, high : of a ``number``, with their unit; unit_kind : which kind that is.
    rest : in a situation that doesn't name it. lost : what is read when its source falls silent: a value, ``hold`` or
    ``P-unless-moving``. source : wire with polarity, or bus signal, in words.
    recognition : time within which a change is known, debounce included. [s]
    edge_hold : a flashing wire counts until so long after its last edge. together : edges of both turn wires within it
    are the hazard. [s]
    """

    kind: Literal["on-off", "states", "number", "turn-wire", "hazard"]
    values: tuple[Text, ...] = ()
    unit_kind: Text = ""
    low: Text = ""
    high: Text = ""
    rest: Text
    lost: Text = "hold"
    source: Text
    debounce: Time = 0.0
    recognition: Time = 0.0
    edge_hold: Time = 0.0
    together: Time = 0.06
    by: Literal["hand", "foot", "vehicle"] = "vehicle"


class VehicleHead(Frozen):
    """One head of a lamp the vehicle came with."""

    place: PlaceName
    side: Literal["left", "right", ""] = ""
    colours: dict[ColourName, ColourOutput] = Field(min_length=1)


class VehicleLamp(Frozen):
    """A lamp or an output the vehicle came with, and the ways in which it can be reached. `heads` empty: an output.

    required : the road law asks for it. test_voltage : at which flux and current hold. [V]
    """

    reaches: tuple[Literal["parallel", "series", "request", "none"], ...] = Field(min_length=1)
    heads: tuple[VehicleHead, ...] = ()
    required: YesNo = False
    test_voltage: Voltage = 12.8
    what: Text = ""


class CannotBe(Frozen):
    """Settings the vehicle itself excludes, as a condition over its own signals, and why."""

    condition: Text
    why: Text


Drawn: TypeAlias = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(_drawn_line),
    Field(min_length=2, max_length=400),
    WithJsonSchema({"type": "string", "examples": ["in mm: 950 480, 940 720, 905 1090"]}),
]


class Outline(Frozen):
    """A line in one view: pairs of (along, up). side: x, z; top: x, y; front and rear: y, z. [m]

    closed : a filled shape; else a line. half : the left half only, mirrored in the centre line; a closed half that
    begins and ends on the centre line is one shape together with its mirror image, any other half is drawn twice.
    panel : what it rides on.
    """

    view: Literal["side", "top", "front", "rear"]
    layer: Literal["body", "glass", "wheel", "detail"] = "body"
    points: Drawn
    closed: YesNo = True
    half: YesNo = False
    panel: Name = "body"


class BodyPart(PartBase):
    """A body class: everything a job needs to know about the vehicle it starts from."""

    kind: Literal["body"]
    body_class: Text
    length: Length
    width: Length
    height: Length
    wheelbase: Length
    front_overhang: Length
    places: dict[PlaceName, Place]
    panels: dict[Name, Panel]
    glass: dict[Name, Glass]
    signals: dict[Name, Signal]
    lamps: dict[Name, VehicleLamp]
    cannot_be: tuple[CannotBe, ...] = ()
    outlines: tuple[Outline, ...] = ()
    top_speed: Speed = 45.0
    idle_voltage: Voltage = 13.8
