"""One frozen class per kind of part, used as the part itself: what a catalogue file may say.

A part file is YAML with units (``flux: 260 lm``); in memory everything is SI. Unknown fields are refused.
The classes live in files named for what they describe (lamp, supply, wiring...); other rooms take them from here.
"""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from coachwright.parts.base import ColourName, Frozen, Money, PartBase, Source
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
from coachwright.parts.body_pieces import Piece
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
from coachwright.parts.carried import Bay, ConsolePart, ItemPart, LockerPart, MountPart, SizedPart, TrayPart
from coachwright.parts.equipment import (
    AlarmPart,
    ControllerPart,
    DevicePart,
    DockPart,
    EmitterPart,
    FedPart,
    HousedPart,
    SirenPart,
    SpeakerPart,
)
from coachwright.parts.finish import FastenerPart, FilmPart, PanePart
from coachwright.parts.lamp import Beam, ColourOutput, HeadSpec, LampPart
from coachwright.parts.radio import AntennaPart, RadioPart
from coachwright.parts.supply import (
    BatteryPart,
    ChargerPart,
    DisconnectPart,
    InverterPart,
    IsolatorPart,
    OpenVoltage,
)
from coachwright.parts.wiring import (
    BreakerPart,
    ConnectorPart,
    FittingPart,
    FusePart,
    OpeningTime,
    RelayPart,
    Rerating,
    WirePart,
)
from coachwright.parts.work import LabourPart

Supply: TypeAlias = BatteryPart | ChargerPart | InverterPart | DisconnectPart | IsolatorPart
Wiring: TypeAlias = WirePart | FusePart | BreakerPart | RelayPart | ConnectorPart | FittingPart
Carried: TypeAlias = ConsolePart | TrayPart | LockerPart | MountPart | ItemPart
Device: TypeAlias = DevicePart | DockPart | EmitterPart | RadioPart | AntennaPart
Sounding: TypeAlias = SirenPart | SpeakerPart | AlarmPart

AnyPart: TypeAlias = (
    LampPart
    | ControllerPart
    | Sounding
    | Device
    | Supply
    | Wiring
    | Carried
    | FilmPart
    | PanePart
    | FastenerPart
    | LabourPart
    | BodyPart
)
Part: TypeAlias = Annotated[AnyPart, Field(discriminator="kind")]

Where: TypeAlias = Literal["lamps", "equipment", "console", "cargo", "marking", "glass", "vehicle", "shop"]
"""Which section of a build names a part; ``shop``: none of them, the shop takes it from its shelf."""

KINDS: dict[str, type[AnyPart]] = {
    "lamp": LampPart,
    "controller": ControllerPart,
    "siren": SirenPart,
    "speaker": SpeakerPart,
    "alarm": AlarmPart,
    "device": DevicePart,
    "dock": DockPart,
    "emitter": EmitterPart,
    "radio": RadioPart,
    "antenna": AntennaPart,
    "battery": BatteryPart,
    "charger": ChargerPart,
    "inverter": InverterPart,
    "disconnect": DisconnectPart,
    "isolator": IsolatorPart,
    "relay": RelayPart,
    "wire": WirePart,
    "fuse": FusePart,
    "breaker": BreakerPart,
    "connector": ConnectorPart,
    "fitting": FittingPart,
    "console": ConsolePart,
    "tray": TrayPart,
    "locker": LockerPart,
    "mount": MountPart,
    "item": ItemPart,
    "film": FilmPart,
    "pane": PanePart,
    "fastener": FastenerPart,
    "labour": LabourPart,
    "body": BodyPart,
}
"""What `kind:` in a part file may say."""


def runs(part: AnyPart) -> bool:
    """A function may run it: it does its work while it is fed through a channel."""
    return isinstance(part, DevicePart | DockPart | EmitterPart | RadioPart | InverterPart | ChargerPart)


def sounds(part: AnyPart) -> bool:
    """A function may make it sound one of its tones."""
    return isinstance(part, SirenPart | AlarmPart)


def fits_under(part: AnyPart) -> Where:
    """The section of a build in which this part may be named."""
    match part:
        case LampPart():
            return "lamps"
        case BodyPart():
            return "vehicle"
        case ConsolePart():
            return "console"
        case TrayPart() | LockerPart() | MountPart() | ItemPart():
            return "cargo"
        case FilmPart():
            return part.use
        case PanePart():
            return "glass"
        case WirePart() | FusePart() | BreakerPart() | ConnectorPart() | FittingPart() | FastenerPart() | LabourPart():
            return "shop"
        case _:
            return "equipment"


__all__ = [
    "KINDS",
    "AlarmPart",
    "AntennaPart",
    "AnyPart",
    "Axle",
    "Axles",
    "BatteryPart",
    "Bay",
    "Beam",
    "BodyBattery",
    "BodyPart",
    "BreakerPart",
    "BusCodes",
    "CannotBe",
    "ChargePoint",
    "ChargerPart",
    "Charging",
    "ColourName",
    "ColourOutput",
    "ConnectorPart",
    "ConsolePart",
    "ControllerPart",
    "DevicePart",
    "DisconnectPart",
    "DockPart",
    "EmitterPart",
    "FastenerPart",
    "FedPart",
    "FilmPart",
    "FittingPart",
    "Frozen",
    "FusePart",
    "Glass",
    "HeadSpec",
    "Hitch",
    "HousedPart",
    "InverterPart",
    "IsolatorPart",
    "ItemPart",
    "Joint",
    "KeepOut",
    "LabourPart",
    "LampPart",
    "LockerPart",
    "Money",
    "MountPart",
    "OpenVoltage",
    "OpeningTime",
    "Order",
    "Outline",
    "PanePart",
    "Panel",
    "Part",
    "PartBase",
    "Piece",
    "Place",
    "RadioPart",
    "RelayPart",
    "Removable",
    "Rerating",
    "Seat",
    "Sets",
    "Signal",
    "SirenPart",
    "SizedPart",
    "Source",
    "SpeakerPart",
    "Surface",
    "TrayPart",
    "VehicleHead",
    "VehicleLamp",
    "Way",
    "Where",
    "WirePart",
    "fits_under",
    "runs",
    "sounds",
]
