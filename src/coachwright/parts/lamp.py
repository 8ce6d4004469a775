"""What may the file of a lamp say? Heads, colours, beams, voltages."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, PlainValidator, model_validator

from coachwright.kit.fields import Angle, Current, Flux, Length, Share, Voltage, YesNo, wrong
from coachwright.parts.base import ColourName, Frozen, Number, PartBase
from coachwright.parts.candela import CandelaTable

_FILE_NAME = re.compile(r"\w[\w .+()-]{0,120}\.(?:ies|ldt|csv)", re.IGNORECASE)


def _file_name(value: Any) -> Any:
    if isinstance(value, str) and _FILE_NAME.fullmatch(value):
        return value
    raise wrong(
        "PRT-100",
        "photometry-not-beside",
        str(value),
        why="A file that lies beside the part is named here, without a folder; its name ends in .ies, .ldt or .csv.",
        write="Put the file into the folder of the part and write its bare name.",
    )


def _named_alone(value: Any) -> Any:
    return {"file": value} if isinstance(value, str) else value


def _never_written(value: Any) -> Any:
    if value is None or isinstance(value, CandelaTable):
        return value
    raise wrong("PRT-009", "field-not-known", str(value), why="Candela are read from a file.", write="Use photometry.")


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


class Photometry(Frozen):
    """A file with the light as it was measured, beside the part; `photometry: FILE` alone is short for ``file``.

    stands : type C only: ``face-down``, the lamp looked straight down while it was measured (gamma 0 is where it
    looks), or ``upright``, it stood as on the vehicle (gamma 0 is straight down).
    top_plane : plane C in which the top of a lamp lies that was measured face down. [rad]
    front_plane : plane C in which a lamp looks that was measured upright. [rad]
    """

    file: Annotated[str, BeforeValidator(_file_name)]
    stands: Literal["face-down", "upright"] | None = None
    top_plane: Angle | None = None
    front_plane: Angle | None = None


class ColourOutput(Frozen):
    """One colour of one head at full light, steady, at the lamp's test voltage.

    flux : through the lens; beside a photometry it may be left out, and is held against it. [lm]
    current : drawn by this colour alone. [A]
    beam : its shape, or else photometry : its file.
    x, y : CIE 1931 chromaticity, 0 when not given.
    measured : what the file says, as type A angles of the head; never written.
    """

    flux: Flux = 0.0
    current: Current
    beam: Beam | None = None
    photometry: Annotated[Photometry | None, BeforeValidator(_named_alone)] = None
    measured: Annotated[CandelaTable | None, PlainValidator(_never_written)] = None
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
    voltage_exponent : light goes with this power of voltage over test voltage; None where its sheet says nothing.
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
    voltage_exponent: Number | None = None

    @model_validator(mode="after")
    def _hand_down_colours(self) -> Self:
        heads = tuple(
            head if head.colours else head.model_copy(update={"colours": self.colours}) for head in self.heads
        )
        object.__setattr__(self, "heads", heads)
        return self
