"""What may the file of a radio or an antenna say? Bands, power, current, loss of the cable."""

from __future__ import annotations

from typing import Literal

from coachwright.kit.fields import Current, Frequency, Gain, Length, Name, Power
from coachwright.parts.base import PartBase
from coachwright.parts.equipment import FedPart


class RadioPart(FedPart):
    """A two-way radio.

    band_low, band_high : between which it sends. [Hz] transmit_power : at its socket. [W]
    current : while it sends; receive_current : while it listens, speaker at its rated loudness. [A]
    standby : off, with its memory wire fed. [A]
    """

    kind: Literal["radio"]
    band_low: Frequency
    band_high: Frequency
    transmit_power: Power
    current: Current
    receive_current: Current


class AntennaPart(PartBase):
    """An antenna with the cable it comes with.

    band_low, band_high : between which it is matched. [Hz] gain : over an isotropic radiator, at its foot. [dB]
    ground_plane : radius of metal it wants round its foot; 0 for one that needs none. height : over the panel. width :
    of a dome, 0 for a rod. [m]
    cable : class of its coaxial cable (``rg-58``). cable_length : that comes with it. [m]
    hole : to be drilled for its foot, 0 for one that is clamped or glued. [m]
    """

    kind: Literal["antenna"]
    band_low: Frequency
    band_high: Frequency
    gain: Gain
    height: Length
    width: Length = 0.0
    ground_plane: Length = 0.0
    cable: Name
    cable_length: Length = 0.0
    hole: Length = 0.0
