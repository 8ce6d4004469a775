"""What may the file of a lamp say? Heads, colours, beams, voltages."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from coachwright.kit.fields import Angle, Current, Flux, Length, Share, Voltage, YesNo
from coachwright.parts.base import ColourName, Frozen, Number, PartBase


class Beam(Frozen):
    """A parametric beam, type A angles, symmetric in both.

    shape : ``bell``: I = I0 2^-((H/half_width)^2 + (V/half_height)^2); ``cosine``: I0 cos(polar)^power, dark behind;
    ``flat``: a plateau that falls along half a cosine, `shoulder` wide, centred on half_width and on half_height.
    half_width, half_height : from the axis to half of the peak (bell and flat). [rad]
    power : of the cosine. shoulder : of the plateau. [rad]
    """

    shape: Literal["bell", "cosine", "flat"]
    half_width: Angle = 0.0
    half_height: Angle = 0.0
    power: Number = 1.0
    shoulder: Angle = 0.0


class ColourOutput(Frozen):
    """One colour of one head at full light, steady, at the lamp's test voltage.

    flux : through the lens. [lm] current : drawn by this colour alone. [A]
    x, y : CIE 1931 chromaticity, 0 when not given.
    """

    flux: Flux
    current: Current
    beam: Beam
    x: Number = 0.0
    y: Number = 0.0


class HeadSpec(Frozen):
    """One optical part of a lamp.

    offset : left of the lamp's middle, seen from behind it (the way it looks); up : above it. [m]
    turn : away from the lamp's own direction, positive to its right; tilt : positive up. [rad]
    colours : those of the lamp where a head doesn't say its own.
    """

    offset: Length = 0.0
    up: Length = 0.0
    turn: Angle = 0.0
    tilt: Angle = 0.0
    colours: dict[ColourName, ColourOutput] = Field(default_factory=dict)


class LampPart(PartBase):
    """A lamp: what is bolted on. Heads are listed left to right, seen from behind it.

    colours : of every head that doesn't say its own.
    burns_together : two colours of one head may be lit at the same instant.
    flashed_by : ``controller``, or ``itself`` with a clock of its own.
    clock_tolerance : how far that clock may run off.
    test_voltage : at which flux and current were taken. [V]
    """

    kind: Literal["lamp"]
    heads: tuple[HeadSpec, ...] = Field(min_length=1, max_length=64)
    colours: dict[ColourName, ColourOutput] = Field(default_factory=dict)
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

    @model_validator(mode="after")
    def _hand_down_colours(self) -> Self:
        heads = tuple(
            head if head.colours else head.model_copy(update={"colours": self.colours}) for head in self.heads
        )
        object.__setattr__(self, "heads", heads)
        return self
