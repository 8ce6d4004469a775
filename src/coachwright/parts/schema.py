"""One frozen class per kind of part, used as the part itself: what a catalogue file may say.

A part file is YAML with units (``flux: 260 lm``); in memory everything is SI. Unknown fields are refused.
"""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

from coachwright.kit.cite import CiteStatus
from coachwright.kit.fields import (
    Angle,
    Count,
    Current,
    Flux,
    Length,
    Level,
    Mass,
    Name,
    Power,
    Share,
    Speed,
    Text,
    Time,
    Voltage,
    YesNo,
)

ColourName = Literal["red", "amber", "blue", "white", "green"]


class Frozen(BaseModel):
    """Base of everything in a part file. Field names are written with hyphens in files."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, alias_generator=lambda name: name.replace("_", "-")
    )


class Source(Frozen):
    """Where a part's figures come from; there is no number without one."""

    source: Text
    clause: Text = ""
    date: Text
    status: CiteStatus = "draft"
    invented: YesNo = False


class Beam(Frozen):
    """A parametric beam, type A angles, symmetric in both.

    shape ``bell``: I = I0 2^-((H/half_width)^2 + (V/half_height)^2); ``cosine``: I0 cos(polar)^power;
    ``flat``: a plateau of half_width x half_height with cosine shoulders of `shoulder`.
    half_width, half_height : from the axis to half of the peak.
    """

    shape: Literal["bell", "cosine", "flat"]
    half_width: Angle = 0.0
    half_height: Angle = 0.0
    power: float = 1.0
    shoulder: Angle = 0.0


class ColourOutput(Frozen):
    """One colour of one head at full light, at the lamp's test voltage."""

    flux: Flux
    current: Current
    beam: Beam
    x: float = 0.0
    y: float = 0.0


class HeadSpec(Frozen):
    """One optical part of a lamp.

    offset : left of the lamp's middle, seen from behind it (the way it looks); up : above it.
    turn : away from the lamp's own direction, positive to its right; tilt : positive up.
    """

    offset: Length = 0.0
    up: Length = 0.0
    turn: Angle = 0.0
    tilt: Angle = 0.0
    colours: dict[ColourName, ColourOutput]


class PartBase(Frozen):
    """What every part has."""

    name: Name
    title: Text
    figures: Source
    mass: Mass = 0.0
    price: Text = ""
    note: Text = ""


class LampPart(PartBase):
    kind: Literal["lamp"]
    heads: tuple[HeadSpec, ...] = Field(min_length=1, max_length=64)
    burns_together: YesNo = False
    flashed_by: Literal["controller", "itself"] = "controller"
    clock_tolerance: Share = 0.0
    test_voltage: Voltage
    least_voltage: Voltage
    most_voltage: Voltage
    width: Length
    height: Length
    depth: Length
    standby: Current = 0.0


class ControllerPart(PartBase):
    kind: Literal["controller"]
    channels: Count
    channel_current: Current
    total_current: Current
    clock_tolerance: Share
    least_voltage: Voltage
    most_voltage: Voltage
    standby: Current


class SirenPart(PartBase):
    kind: Literal["siren"]
    tones: tuple[Name, ...]
    level: Level
    power: Power
    current: Current
    speakers: Count = 1


class SpeakerPart(PartBase):
    kind: Literal["speaker"]
    power: Power


class DevicePart(PartBase):
    """Equipment that runs: fan, emitter, camera, radio..."""

    kind: Literal["device"]
    what: Text
    current: Current = 0.0
    standby: Current = 0.0


class AlarmPart(PartBase):
    kind: Literal["alarm"]
    tones: tuple[Name, ...]
    level: Level
    current: Current


class Place(Frozen):
    """A named place on the body.

    position : x forward of the front axle, y left of the centre line, z above ground.
    facing : bearing of its outward direction, clockwise from the nose; rise : its elevation, positive up.
    pair : name under which it is mirrored; a place with `mirrored: yes` is written for the left and also exists on the right.
    panel : what it rides on (``body`` does not move); glass : the pane it stands behind.
    """

    x: Length
    y: Length
    z: Length
    facing: Angle
    rise: Angle = 0.0
    mirrored: YesNo = False
    panel: Name = "body"
    glass: Name | Literal[""] = ""
    what: Text = ""
    holds: tuple[Literal["lamp", "bar", "device", "control", "speaker"], ...] = ("lamp",)


class Panel(Frozen):
    """A panel that moves: about a hinge line, or along a slide. `signal` and `open_value` say when it is open."""

    signal: Name
    open_value: Name = "open"
    hinge_x: Length = 0.0
    hinge_y: Length = 0.0
    hinge_z: Length = 0.0
    axis: Literal["x", "y", "z", "none"] = "none"
    travel: Angle = 0.0
    slide_x: Length = 0.0
    slide_z: Length = 0.0


class Glass(Frozen):
    """A pane: transmittance at normal incidence, index, and the bearing and rise of its outward normal."""

    transmittance: Share
    index: float = 1.52
    facing: Angle
    rise: Angle = 0.0


class Signal(Frozen):
    """A vehicle signal under the body's own name."""

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

    place: Name
    side: Literal["left", "right", ""] = ""
    colours: dict[ColourName, ColourOutput]


class VehicleLamp(Frozen):
    """A lamp or an output the vehicle came with, and the ways in which it can be reached. `heads` empty: an output."""

    reaches: tuple[Literal["parallel", "series", "request", "none"], ...]
    heads: tuple[VehicleHead, ...] = ()
    required: YesNo = False
    what: Text = ""


class CannotBe(Frozen):
    """Settings the vehicle itself excludes, as a condition over its own signals, and why."""

    condition: Text
    why: Text


class Outline(Frozen):
    """A closed line in one view: pairs of (along, up). side: x, z; top: x, y (left half, mirrored); front, rear: y, z (left half)."""

    view: Literal["side", "top", "front", "rear"]
    layer: Literal["body", "glass", "wheel", "detail"] = "body"
    points: tuple[tuple[Length, Length], ...] = Field(min_length=2, max_length=400)
    closed: YesNo = True
    half: YesNo = False


class BodyPart(PartBase):
    """A body class: everything a job needs to know about the vehicle it starts from."""

    kind: Literal["body"]
    body_class: Text
    length: Length
    width: Length
    height: Length
    wheelbase: Length
    front_overhang: Length
    places: dict[Name, Place]
    panels: dict[Name, Panel]
    glass: dict[Name, Glass]
    signals: dict[Name, Signal]
    lamps: dict[Name, VehicleLamp]
    cannot_be: tuple[CannotBe, ...] = ()
    outlines: tuple[Outline, ...] = ()
    top_speed: Speed = 45.0
    idle_voltage: Voltage = 13.8


Part: TypeAlias = Annotated[
    LampPart | ControllerPart | SirenPart | SpeakerPart | DevicePart | AlarmPart | BodyPart, Field(discriminator="kind")
]
