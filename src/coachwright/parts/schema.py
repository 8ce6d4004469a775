"""One frozen class per kind of part, used as the part itself: what a catalogue file may say.

A part file is YAML with units (``flux: 260 lm``); in memory everything is SI. Unknown fields are refused.
The classes live in files named for what they describe (base, lamp, equipment, body); other rooms take them from here.
"""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import Field

from coachwright.parts.base import ColourName, Frozen, PartBase, Source
from coachwright.parts.body import (
    BodyPart,
    BusCodes,
    CannotBe,
    Glass,
    Outline,
    Panel,
    Place,
    Signal,
    VehicleHead,
    VehicleLamp,
)
from coachwright.parts.body_upfit import (
    Axle,
    Axles,
    BodyBattery,
    ChargePoint,
    Charging,
    Hitch,
    Joint,
    KeepOut,
    Order,
    Removable,
    Seat,
    Sets,
    Surface,
    Way,
)
from coachwright.parts.equipment import AlarmPart, ControllerPart, DevicePart, SirenPart, SpeakerPart
from coachwright.parts.lamp import Beam, ColourOutput, HeadSpec, LampPart

AnyPart: TypeAlias = LampPart | ControllerPart | SirenPart | SpeakerPart | DevicePart | AlarmPart | BodyPart
Part: TypeAlias = Annotated[AnyPart, Field(discriminator="kind")]

KINDS: dict[str, type[AnyPart]] = {
    "lamp": LampPart,
    "controller": ControllerPart,
    "siren": SirenPart,
    "speaker": SpeakerPart,
    "device": DevicePart,
    "alarm": AlarmPart,
    "body": BodyPart,
}
"""What `kind:` in a part file may say."""

__all__ = [
    "KINDS",
    "AlarmPart",
    "AnyPart",
    "Axle",
    "Axles",
    "Beam",
    "BodyBattery",
    "BodyPart",
    "BusCodes",
    "CannotBe",
    "ChargePoint",
    "Charging",
    "ColourName",
    "ColourOutput",
    "ControllerPart",
    "DevicePart",
    "Frozen",
    "Glass",
    "HeadSpec",
    "Hitch",
    "Joint",
    "KeepOut",
    "LampPart",
    "Order",
    "Outline",
    "Panel",
    "Part",
    "PartBase",
    "Place",
    "Removable",
    "Seat",
    "Sets",
    "Signal",
    "SirenPart",
    "Source",
    "SpeakerPart",
    "Surface",
    "VehicleHead",
    "VehicleLamp",
    "Way",
]
