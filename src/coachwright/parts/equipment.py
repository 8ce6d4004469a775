"""What may the file of a controller, siren, speaker, alarm, dock, emitter or other device say?"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import Angle, Count, Current, Length, Level, Name, Power, Share, Text, Voltage
from coachwright.parts.base import PartBase
from coachwright.parts.wiring import Rerating


class HousedPart(PartBase):
    """Whatever can stand outside, by itself.

    width, height, depth : of its housing, as it looks out of its place; 0 where the sheet is silent, and then it
    stands in nothing's way. [m]
    """

    width: Length = 0.0
    height: Length = 0.0
    depth: Length = 0.0


class ControllerPart(PartBase):
    """Switches the lamps, reads the inputs, keeps the clock.

    channels : outputs it has; channel_current, total_current : what one, and all together, may carry. [A]
    tells : what heads burn is told ``by-data-line``, each by itself, and a channel only feeds them; or ``by-channel``:
    a head burns while its channel is fed, and heads on one channel do the same.
    bank_channels : so many neighbouring ones share a bank, 0 where there are none; bank_current : of one. [A]
    rerating : share of every current at a temperature of the air round it, rising; none: the sheet says nothing.
    clock_tolerance : how far its clock may run off. standby : drawn while asleep. [A]
    """

    kind: Literal["controller"]
    channels: Count
    channel_current: Current
    total_current: Current
    tells: Literal["by-channel", "by-data-line"] = "by-channel"
    bank_channels: Count = 0
    bank_current: Current = 0.0
    rerating: tuple[Rerating, ...] = Field(default=(), max_length=64)
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


class SpeakerPart(HousedPart):
    """A speaker a siren drives. power : it may take for good. [W]"""

    kind: Literal["speaker"]
    power: Power


class FedPart(HousedPart):
    """Whatever is fed and draws.

    test_voltage : at which its current was taken. least_voltage, most_voltage : between which it works, 0 when the
    sheet is silent. [V] standby : drawn while it does nothing but is fed. [A]
    """

    test_voltage: Voltage = 12.8
    least_voltage: Voltage = 0.0
    most_voltage: Voltage = 0.0
    standby: Current = 0.0


class DevicePart(FedPart):
    """Equipment that runs: fan, camera, compressor. what : it is, in a word or two. current : while it runs. [A]"""

    kind: Literal["device"]
    what: Text
    current: Current = 0.0


class DockPart(FedPart):
    """Holds and feeds what people carry in: computer dock, tablet cradle, charging sockets.

    what : it is, in a word or two. current : with everything in it charging. [A]
    """

    kind: Literal["dock"]
    what: Text
    current: Current


class EmitterPart(FedPart):
    """Asks a traffic signal for green.

    current : while it asks. [A] half_width : from its axis to where a signal no longer answers. [rad]
    reach : at which a signal answers on its axis. [m]
    """

    kind: Literal["emitter"]
    current: Current
    half_width: Angle
    reach: Length


class AlarmPart(HousedPart):
    """Something that sounds by itself while it is fed. level : at 1 m on its axis. [dB]"""

    kind: Literal["alarm"]
    tones: tuple[Name, ...] = Field(min_length=1)
    level: Level
    current: Current
