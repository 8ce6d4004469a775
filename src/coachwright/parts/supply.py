"""What may the file of a battery say, and of what charges, joins, parts and transforms it?"""

from __future__ import annotations

from typing import Literal

from coachwright.kit.fields import Charge, Count, Current, Length, Power, Rate, Resistance, Share, Time, Voltage, YesNo
from coachwright.parts.base import Frozen, PartBase
from coachwright.parts.equipment import FedPart


class OpenVoltage(Frozen):
    """At the posts after hours of rest, full and empty, 25 degC. [V]"""

    full: Voltage
    empty: Voltage


class BatteryPart(PartBase):
    """A battery.

    capacity : that it gives in 20 h down to 10.5 V (lead) or to empty (lithium), 25 degC. [A s]
    reserve : how long it gives 25 A down to 10.5 V, 26.7 degC; 0 when the sheet is silent. [s]
    cranking : for 30 s at -18 degC, not below 7.2 V; 0 for one that may not crank. [A]
    resistance : full, 25 degC. [ohm] sealed : may stand inside without a vent.
    most_charge : current it may be charged with; 0 when the sheet is silent. [A]
    """

    kind: Literal["battery"]
    chemistry: Literal["flooded", "agm", "gel", "lithium-iron"]
    capacity: Charge
    reserve: Time = 0.0
    cranking: Current = 0.0
    resistance: Resistance
    open_voltage: OpenVoltage
    most_charge: Current = 0.0
    sealed: YesNo = False
    length: Length
    width: Length
    height: Length


class ChargerPart(FedPart):
    """Charges a battery from the mains of a building, or from another battery.

    current : into the battery at most. input_current : at full output. [A] input_voltage : it is made for. [V]
    input : ``mains`` (alternating) or ``battery`` (direct). stages : of its charge. eject : throws its own plug out.
    standby : drawn from the battery while nothing is plugged in. [A]
    """

    kind: Literal["charger"]
    current: Current
    stages: Count
    input: Literal["mains", "battery"] = "mains"
    input_voltage: Voltage
    input_current: Current
    eject: YesNo = False


class InverterPart(FedPart):
    """Makes mains voltage from the battery.

    power : for good, at 25 degC. [W] current : it draws at that power, at its test voltage. [A] efficiency : there.
    idle : drawn while it is on and feeds nothing. [A] output_voltage : effective. [V] output_rate : its frequency. [Hz]
    """

    kind: Literal["inverter"]
    power: Power
    current: Current
    efficiency: Share
    idle: Current = 0.0
    output_voltage: Voltage
    output_rate: Rate


class DisconnectPart(PartBase):
    """Cuts a battery off.

    current : for good. cranking : for a start of 30 s, 0 when no starter may run through it. [A]
    poles : circuits it cuts at once. by : a hand, or a relay. standby : that a relay draws to stay closed. [A]
    """

    kind: Literal["disconnect"]
    current: Current
    cranking: Current = 0.0
    poles: Count = 1
    by: Literal["hand", "relay"] = "hand"
    standby: Current = 0.0


class IsolatorPart(PartBase):
    """Joins a second battery to the first while it is charged, and parts them.

    current : for good; cranking : for a start of 30 s. [A] by : a ``relay``, or ``diodes``, which lose voltage.
    drop : lost at full current. join, split : voltages at which it acts by itself, 0 when it is told. [V]
    standby : drawn while joined. [A]
    """

    kind: Literal["isolator"]
    current: Current
    cranking: Current = 0.0
    by: Literal["relay", "diodes"] = "relay"
    drop: Voltage = 0.0
    join: Voltage = 0.0
    split: Voltage = 0.0
    standby: Current = 0.0
