"""What may the file of a controller, siren, speaker, alarm or other device say?"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import Count, Current, Level, Name, Power, Share, Text, Voltage
from coachwright.parts.base import PartBase


class ControllerPart(PartBase):
    """Switches the lamps, reads the inputs, keeps the clock.

    channels : outputs it has; channel_current, total_current : what one, and all together, may carry. [A]
    clock_tolerance : how far its clock may run off. standby : drawn while asleep. [A]
    """

    kind: Literal["controller"]
    channels: Count
    channel_current: Current
    total_current: Current
    clock_tolerance: Share
    least_voltage: Voltage
    most_voltage: Voltage
    standby: Current


class SirenPart(PartBase):
    """An amplifier with its tones. level : with its speakers, at 3 m on their axis. [dB]"""

    kind: Literal["siren"]
    tones: tuple[Name, ...] = Field(min_length=1)
    level: Level
    power: Power
    current: Current
    speakers: Count = 1


class SpeakerPart(PartBase):
    """A speaker a siren drives. power : it may take for good. [W]"""

    kind: Literal["speaker"]
    power: Power


class DevicePart(PartBase):
    """Equipment that runs: fan, emitter, camera, radio. what : it is, in a word or two."""

    kind: Literal["device"]
    what: Text
    current: Current = 0.0
    standby: Current = 0.0


class AlarmPart(PartBase):
    """Something that sounds by itself while it is fed. level : at 1 m on its axis. [dB]"""

    kind: Literal["alarm"]
    tones: tuple[Name, ...] = Field(min_length=1)
    level: Level
    current: Current
