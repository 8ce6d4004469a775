"""What may the file of a vehicle body say? Places, panels, glass, signals, its own lamps, its outlines.

Vehicle frame: x forward, y left, z up; origin on the ground under the middle of the front axle.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import Angle, Current, Length, Mass, Name, Share, Speed, Text, Time, Voltage, YesNo
from coachwright.parts.base import ColourName, Frozen, Number, PartBase
from coachwright.parts.body_pieces import Piece
from coachwright.parts.body_upfit import (
    Axles,
    BodyBattery,
    Charging,
    Hitch,
    Joint,
    KeepOut,
    Order,
    Removable,
    Seat,
    Surface,
    Way,
)
from coachwright.parts.body_words import Drawn, J1939Code, NameOrNothing, ObdCode, PlaceName, SpotOrNothing
from coachwright.parts.lamp import ColourOutput

Holding = Literal["lamp", "bar", "device", "control", "speaker", "antenna", "battery", "console", "cargo"]
"""What can be fitted at a place."""


class Place(Frozen):
    """A named place on the body.

    x : forward of the front axle, y : left of the centre line, z : above ground. [m]
    facing : bearing of its outward direction, clockwise from the nose; rise : its elevation, positive up. [rad]
    clear : how far from that direction a lamp there can look before the body itself is in its way. [rad]
    mirrored : written for the left, also on the right.
    panel : what it rides on (``body`` does not move); glass : the pane it stands behind.
    joint : where its wire leaves the ways (parts.body_upfit), with its side where only one is meant.
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
    joint: SpotOrNothing = ""
    what: Text = ""
    holds: tuple[Holding, ...] = ("lamp",)


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

    window : whether the law counts it as the windshield, as a window beside the driver, or as one behind the driver.
    panel : what it rides on. mirrored : the left pane is written; the right one is its mirror image.
    """

    transmittance: Share
    index: Number = 1.52
    facing: Angle
    rise: Angle = 0.0
    window: Literal["windshield", "beside-driver", "behind-driver"] = "behind-driver"
    panel: Name = "body"
    mirrored: YesNo = False
    what: Text = ""


class BusCodes(Frozen):
    """Where a standard of diagnostics or of the heavy-vehicle network has the signal."""

    obd: ObdCode = ""
    j1939: J1939Code = ""


class Signal(Frozen):
    """A vehicle signal under the body's own name.

    values : of ``states``, in order. low, high : of a ``number``, with their unit; unit_kind : which kind that is.
    rest : in a situation that doesn't name it. lost : what is read when its source falls silent: a value, ``hold`` or
    ``P-unless-moving``. source : wire with polarity, or bus signal, in words.
    recognition : time within which a change is known, debounce included. [s]
    edge_hold : a flashing wire counts until so long after its last edge. together : edges of both turn wires within it
    are the hazard. [s]
    codes : under which standards have it. order : it is there only when that was ordered.
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
    codes: BusCodes = BusCodes()
    order: NameOrNothing = ""


class VehicleHead(Frozen):
    """One head of a lamp the vehicle came with."""

    place: PlaceName
    side: Literal["left", "right", ""] = ""
    colours: dict[ColourName, ColourOutput] = Field(min_length=1)


class VehicleLamp(Frozen):
    """A lamp or an output the vehicle came with, and the ways in which it can be reached. `heads` empty: an output.

    required : the road law asks for it. test_voltage : at which flux and current hold. [V]
    order : it is there only when that was ordered.
    """

    reaches: tuple[Literal["parallel", "series", "request", "none"], ...] = Field(min_length=1)
    heads: tuple[VehicleHead, ...] = ()
    required: YesNo = False
    test_voltage: Voltage = 12.8
    order: NameOrNothing = ""
    what: Text = ""


class CannotBe(Frozen):
    """Settings the vehicle itself excludes, as a condition over its own signals, and why."""

    condition: Text
    why: Text


class Outline(Frozen):
    """A line in one view: pairs of (along, up). left, right, side: x, z; top: x, y; front and rear: y, z. [m]

    side : what both sides show alike, drawn once; left and right : what only that one shows.
    closed : a filled shape; else a line. half : the left half only, mirrored in the centre line; a closed half that
    begins and ends on the centre line is one shape together with its mirror image, any other half is drawn twice.
    panel : what it rides on.
    """

    view: Literal["side", "left", "right", "top", "front", "rear"]
    layer: Literal["body", "glass", "wheel", "detail"] = "body"
    points: Drawn
    closed: YesNo = True
    half: YesNo = False
    panel: Name = "body"


class BodyPart(PartBase):
    """A body class: everything a job needs to know about the vehicle it starts from.

    mass : as it left the works, fluids full, nobody in it. gvwr : the most it may weigh in all. roof_load : the most
    the roof may carry while it drives. [kg]
    base_load : what the vehicle itself takes while the engine runs. parked_draw : what it takes parked and asleep. [A]
    battery, second_battery : those it comes with. orders, removable : what vehicle.as-ordered and removed may say.
    """

    kind: Literal["body"]
    body_class: Text
    length: Length
    width: Length
    height: Length
    wheelbase: Length
    front_overhang: Length
    places: dict[PlaceName, Place] = Field(max_length=500)
    panels: dict[Name, Panel] = Field(max_length=100)
    glass: dict[Name, Glass] = Field(max_length=100)
    signals: dict[Name, Signal] = Field(max_length=500)
    lamps: dict[Name, VehicleLamp] = Field(max_length=200)
    cannot_be: tuple[CannotBe, ...] = Field(default=(), max_length=200)
    outlines: tuple[Outline, ...] = Field(default=(), max_length=1000)
    pieces: dict[Name, Piece] = Field(default_factory=dict, max_length=300)
    top_speed: Speed = 45.0
    idle_voltage: Voltage = 13.8
    gvwr: Mass = 0.0
    axles: Axles | None = None
    seats: dict[Name, Seat] = Field(default_factory=dict, max_length=100)
    charging: Charging | None = None
    battery: BodyBattery | None = None
    second_battery: BodyBattery | None = None
    base_load: Current = 0.0
    parked_draw: Current = 0.0
    joints: dict[Name, Joint] = Field(default_factory=dict, max_length=500)
    ways: dict[Name, Way] = Field(default_factory=dict, max_length=1000)
    keep_outs: dict[Name, KeepOut] = Field(default_factory=dict, max_length=300)
    roof_load: Mass = 0.0
    surfaces: dict[Name, Surface] = Field(default_factory=dict, max_length=300)
    hitch: Hitch | None = None
    orders: dict[Name, Order] = Field(default_factory=dict, max_length=200)
    removable: dict[Name, Removable] = Field(default_factory=dict, max_length=100)
