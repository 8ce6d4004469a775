"""What does a body say to who builds on it: weights, seats, supply, ways for wire, places to keep out of, orders?

Everything here may be left away; what no body says, no room measures, and it is told as not measured.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from coachwright.kit.fields import (
    Angle,
    AngularRate,
    Count,
    Current,
    Length,
    Mass,
    Name,
    Temperature,
    Text,
    Voltage,
    VoltageSlope,
    YesNo,
)
from coachwright.parts.base import Frozen, Money
from coachwright.parts.body_words import DrawnWay, NameOrNothing, PlaceName, SpotName


class Axle(Frozen):
    """One axle. x : forward of the front one. [m]

    curb : mass it carries as the vehicle left the works: fluids full, nobody and nothing in it. [kg]
    rating : the most it may carry (gross axle weight rating). [kg]
    track : between the middles of its tyres (of the pairs, where there are twins). [m]
    """

    x: Length
    curb: Mass
    rating: Mass
    track: Length


class Axles(Frozen):
    """Both axles."""

    front: Axle
    rear: Axle


class Seat(Frozen):
    """A seat, by its hip point. [m]

    eye_z : height of a grown person's eye above ground. [m]
    belt : signal that says its belt is buckled, "" where none does. folds : it can be folded away.
    """

    x: Length
    y: Length
    z: Length
    eye_z: Length
    belt: NameOrNothing = ""
    folds: YesNo = False
    what: Text = ""


class ChargePoint(Frozen):
    """What the alternator gives at most at one engine speed and one temperature of the air round it."""

    engine_speed: AngularRate
    temperature: Temperature = 25.0
    current: Current


class Charging(Frozen):
    """How the running engine feeds the vehicle.

    voltage : the regulator holds at 25 degC. temperature_slope : per kelvin above. [V, V/K]
    curve : rising engine speed at each temperature. idle : engine speed at idle, warm, in P. [rad/s]
    fast_idle : engine speed where a raised idle is fitted, 0 without. [rad/s]
    """

    voltage: Voltage
    temperature_slope: VoltageSlope = 0.0
    curve: tuple[ChargePoint, ...] = Field(min_length=1, max_length=100)
    idle: AngularRate
    fast_idle: AngularRate = 0.0
    what: Text = ""


class BodyBattery(Frozen):
    """A battery the vehicle comes with: its part, and the place it stands at."""

    part: Name
    at: PlaceName
    what: Text = ""


class Joint(Frozen):
    """A spot where ways for wire meet, or where a wire leaves them. [m]

    mirrored : written for the left, also on the right. panel : what it rides on.
    ground : what a ground stud in bare metal there carries for good, 0 where there is none. [A]
    """

    x: Length
    y: Length
    z: Length
    mirrored: YesNo = False
    panel: Name = "body"
    ground: Current = 0.0
    what: Text = ""


Zone = Literal["cabin", "engine", "outside", "roof", "cargo", "door"]


class Way(Frozen):
    """One segment wire can follow, from joint to joint (or place), with one ambient.

    start, end : ``from`` and ``to`` in the file. through : drawn points between. length : 0 where it is as drawn. [m]
    ambient : the hottest it gets there in service, steady. [degC]  wet : water reaches it.
    hinge : the panel it follows over a hinge or slide. bore : free diameter of its narrowest hole, 0 where it is open.
    mirrored : written for the left, also on the right.
    """

    start: SpotName = Field(alias="from")
    end: SpotName = Field(alias="to")
    through: DrawnWay = ()
    length: Length = 0.0
    zone: Zone
    ambient: Temperature
    wet: YesNo = False
    hinge: NameOrNothing = ""
    bore: Length = 0.0
    mirrored: YesNo = False
    what: Text = ""


class KeepOut(Frozen):
    """A box nothing may be fitted in. [m]

    airbag : where a bag unfolds. curtain : where a side curtain comes down. fuel : tank and lines. hot : exhaust and
    engine. moving : what seats, glass, wipers and doors sweep. panel : what the box rides on.
    """

    kind: Literal["airbag", "curtain", "fuel", "hot", "moving"]
    from_x: Length
    to_x: Length
    from_y: Length
    to_y: Length
    from_z: Length
    to_z: Length
    mirrored: YesNo = False
    panel: Name = "body"
    what: Text = ""


class Surface(Frozen):
    """A face of the body that can be marked: its middle, outward direction and size. [m, rad]

    mirrored : written for the left, also on the right; width and height are those of the one.
    """

    x: Length
    y: Length
    z: Length
    facing: Angle
    rise: Angle = 0.0
    width: Length
    height: Length
    mirrored: YesNo = False
    panel: Name = "body"
    what: Text = ""


class Hitch(Frozen):
    """Where a trailer is coupled, how much may press on it and be drawn. order : only there when ordered. [m, kg]"""

    x: Length
    z: Length
    tongue: Mass
    trailer: Mass
    order: NameOrNothing = ""


class Sets(Frozen):
    """What an order changes in the body; what it doesn't name stays."""

    charging: Charging | None = None
    battery: BodyBattery | None = None
    second_battery: BodyBattery | None = None
    base_load: Current | None = None
    parked_draw: Current | None = None
    gvwr: Mass | None = None
    roof_load: Mass | None = None


class Order(Frozen):
    """Something the dealer can be told to build: what it weighs and where, what it costs and what it changes.

    mass : more than without; below 0 where it takes something away. x, y, z : of that mass. [kg, m]
    price : money with its currency, like 185 USD; "" where it isn't known.
    """

    mass: Mass = 0.0
    x: Length = 0.0
    y: Length = 0.0
    z: Length = 0.0
    price: Money = ""
    sets: Sets = Sets()
    what: Text = ""


class Removable(Frozen):
    """Something of the vehicle the shop takes out. [kg, m]

    seats : which go with it. mind : what has to be seen to then.
    """

    mass: Mass
    x: Length
    y: Length = 0.0
    z: Length
    seats: tuple[Name, ...] = ()
    mind: Text = ""
    what: Text = ""
    count: Count = 1
