"""What may the file of a console, tray, locker or bracket say, and of a thing that is carried as it is?"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import Acceleration, Length, Mass, Name, Text, Volume, YesNo
from coachwright.parts.base import Frozen, PartBase
from coachwright.parts.body_pieces import Piece


class SizedPart(PartBase):
    """Whatever takes up room. length : along the vehicle, as it is usually fitted. [m]"""

    length: Length
    width: Length
    height: Length


class Bay(Frozen):
    """One opening of a console. length : of its face along the console; depth : free below it. [m]"""

    length: Length
    depth: Length
    what: Text = ""


class ConsolePart(SizedPart):
    """A console between or before the seats.

    face : length of it that takes bays. [m] bays : its openings by name, from the front to the rear.
    """

    kind: Literal["console"]
    face: Length
    bays: dict[Name, Bay] = Field(min_length=1, max_length=32)


class TrayPart(SizedPart):
    """A tray that slides out.

    load : spread evenly on it, out to its stop. [kg] travel : out. [m] locks : where it holds by itself.
    """

    kind: Literal["tray"]
    load: Mass
    travel: Length
    locks: tuple[Literal["in", "part", "out"], ...] = Field(min_length=1, max_length=3)


class LockerPart(SizedPart):
    """A locker with a door. volume : inside. [m3] sealed : its air stays its own. load : in it. [kg]"""

    kind: Literal["locker"]
    volume: Volume
    sealed: YesNo = False
    load: Mass


class MountPart(SizedPart):
    """A bracket, cradle, rack, bumper or bulkhead. what : it is. load : it is made for. [kg]

    pieces : of which it consists where it stands outside, in a frame of its own: x the way its place faces, level; y to
    the left of that; z up. Of one without, nobody knows what it stands in the way of.
    restraint : forward, with that load in it, it holds this; 0 when nobody has tried or reckoned it. [m/s2]
    """

    kind: Literal["mount"]
    what: Text
    load: Mass
    pieces: dict[Name, Piece] = Field(default_factory=dict, max_length=50)
    restraint: Acceleration = 0.0


class ItemPart(SizedPart):
    """A thing carried as it is: extinguisher, jack, fuel can, cones. what : it is. holds : inside it. [m3]"""

    kind: Literal["item"]
    what: Text
    volume: Volume = 0.0
