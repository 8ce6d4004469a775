"""What may the file of a film say, of a pane, and of a fastener?"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import Force, Length, Name, Share, Text, Torque
from coachwright.parts.base import Number, PartBase

FilmColour = Literal["white", "yellow", "red", "blue", "green", "orange", "fluorescent-yellow-green", "black"]


class FilmPart(PartBase):
    """A film that marks a body, or darkens a pane. Mass and price are of a whole roll.

    colours : in the order of the stripes. film_class : of a table of least coefficients (``type-iv``), or "".
    width, roll : of the roll. [m] stripe : width of one stripe where it comes striped, 0 otherwise. [m]
    transmittance : of a glass film by itself. slope : of printed stripes belongs to the build.
    """

    kind: Literal["film"]
    use: Literal["marking", "glass"]
    colours: tuple[FilmColour, ...] = Field(default=(), max_length=4)
    film_class: Name = ""
    width: Length
    roll: Length
    stripe: Length = 0.0
    transmittance: Share | None = None


class PanePart(PartBase):
    """A pane that takes the place of one of the body's.

    transmittance : straight on, without a film. index : of refraction. thickness, width, height : cut as it is. [m]
    marked : what is etched into it of ANSI/SAE Z26.1 (``AS-2``), "" where nothing is.
    fits : the panes of a body it is cut for, by their names; empty for any.
    """

    kind: Literal["pane"]
    transmittance: Share
    index: Number = 1.52
    thickness: Length
    width: Length
    height: Length
    marked: Literal["AS-1", "AS-2", "AS-3", "AS-4", "AS-5", ""] = ""
    fits: tuple[Name, ...] = Field(default=(), max_length=20)


class FastenerPart(PartBase):
    """A bolt, screw, nut or rivet. Mass and price are of a box of `pack`.

    thread : ``M6``, ``1/4-20``; diameter of a rivet. length : under its head. grip : of what it clamps, most. [m]
    strength_class : as stamped (``8.8``, ``grade 5``). torque : dry, in steel. [N m]
    proof : pulls so without setting. shear : across, breaks. [N]
    """

    kind: Literal["fastener"]
    what: Literal["bolt", "screw", "nut", "washer", "rivet-nut", "rivet"]
    thread: Text
    length: Length = 0.0
    grip: Length = 0.0
    material: Text
    strength_class: Text = ""
    torque: Torque = 0.0
    proof: Force = 0.0
    shear: Force = 0.0
