"""What may the file of a wire say, of its fuse, and of what joins it, leads it and switches it?"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import (
    Area,
    Count,
    Current,
    Length,
    MassPerLength,
    Name,
    Resistance,
    ResistancePerLength,
    Share,
    Temperature,
    Text,
    Time,
    Voltage,
    YesNo,
)
from coachwright.parts.base import Frozen, PartBase

Style = Literal["blade-small", "blade", "blade-large", "bolt-in", "strip"]
"""Shapes of vehicle fuses: three sizes of blade, one between two studs, one for the main feed."""


class WirePart(PartBase):
    """One size of wire of one make. Mass and price are of a whole reel.

    family : whose sizes: SAE wire is thinner than AWG wire of the same number. size : as the family writes it.
    area : of the copper. [m2] strands : it is made of. insulation : hottest the jacket may be for good. [degC]
    resistance_per_length : of the copper at 20 degC. [ohm/m] diameter : over the jacket. [m]
    mass_per_length : jacket and all. [kg/m] reel : length on it. [m]
    """

    kind: Literal["wire"]
    family: Literal["awg", "sae", "metric"]
    size: Text
    area: Area
    strands: Count
    insulation: Temperature
    jacket: Name
    resistance_per_length: ResistancePerLength
    diameter: Length
    mass_per_length: MassPerLength
    reel: Length


class OpeningTime(Frozen):
    """How long a fuse stands a share of its rated current, 23 degC.

    share : of the rated current. least : it holds at least so long. most : it has opened by then; left away where it
    may hold for ever. [s]
    """

    share: Share
    least: Time = 0.0
    most: Time | None = None


class Rerating(Frozen):
    """What is left of the rated current at one temperature of the air round it. [degC]"""

    temperature: Temperature
    share: Share


class FusePart(PartBase):
    """Fuses of one style in all ratings. holder : the part that carries it, or "". interrupt : what it can cut off. [A]

    rated_voltage : up to which it cuts off. [V] curve : shares rising. rerating : temperatures rising.
    """

    kind: Literal["fuse"]
    style: Style
    ratings: tuple[Current, ...] = Field(min_length=1, max_length=64)
    rated_voltage: Voltage
    interrupt: Current
    holder: Name = ""
    curve: tuple[OpeningTime, ...] = Field(min_length=2, max_length=64)
    rerating: tuple[Rerating, ...] = Field(min_length=2, max_length=64)


class BreakerPart(PartBase):
    """A breaker. reset : by itself, by itself once power is off, or by hand. curve, rerating : as of a fuse."""

    kind: Literal["breaker"]
    current: Current
    rated_voltage: Voltage
    interrupt: Current
    reset: Literal["by-itself", "power-off", "by-hand"]
    curve: tuple[OpeningTime, ...] = Field(min_length=2, max_length=64)
    rerating: tuple[Rerating, ...] = Field(min_length=2, max_length=64)


class RelayPart(PartBase):
    """A relay. current : its contact carries for good. coil_current : held. [A] changes_over : has a second contact."""

    kind: Literal["relay"]
    current: Current
    coil_current: Current
    coil_voltage: Voltage
    changes_over: YesNo = False
    sealed: YesNo = False


class ConnectorPart(PartBase):
    """A plug and its socket, contacts and seals with it.

    ways : contacts. current : each carries with all of them loaded. [A] least_area, most_area : of the wire. [m2]
    resistance : of one contact. [ohm] temperature : hottest of its surroundings. [degC]
    """

    kind: Literal["connector"]
    ways: Count
    current: Current
    least_area: Area
    most_area: Area
    resistance: Resistance
    sealed: YesNo = False
    temperature: Temperature


class FittingPart(PartBase):
    """What ends a wire, leads it through a panel, holds or covers it.

    least_area, most_area : of the wire it ends. [m2] current : it carries. [A] stud : its hole is for. [m]
    bore : inside. hole : in the panel. length : on a reel. [m] temperature : hottest it may be for good. [degC]
    fits : for which wires, panels or studs, in words.
    """

    kind: Literal["fitting"]
    what: Literal["terminal", "splice", "grommet", "gland", "loom", "tie", "clip", "heat-shrink", "bus-bar", "holder"]
    fits: Text
    least_area: Area = 0.0
    most_area: Area = 0.0
    current: Current = 0.0
    stud: Length = 0.0
    bore: Length = 0.0
    hole: Length = 0.0
    length: Length = 0.0
    temperature: Temperature
