"""What of the light is left in each of many built vehicles, head by head, and how far is each head turned?

One row is one vehicle, the same in every situation: what is dirty while answering is dirty on the scene. Draws are kept
by the names of lamps and heads (light.spread), so that lamps that stay keep theirs whatever else changes in the build.

See Also
--------
coachwright.light.tolerances : what is drawn. coachwright.light.pass_share : what it does to zones and gaps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Head, Model
from coachwright.light.spread import drawn
from coachwright.light.tolerances import Acts, By, Tolerances
from coachwright.parts.schema import LampPart

Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Vehicles:
    """Vehicles drawn by lot, (vehicles, heads) each, heads in the model's order.

    light : share of the light of its sheet that a head gives, 0 where it is dark. bearing_rad, elevation_rad : how far
    it is turned to its right and up from where it was meant to look.
    """

    light: Floats
    bearing_rad: Floats
    elevation_rad: Floats


def drawn_vehicles(model: Model, tolerances: Tolerances, vehicles_n: int, *, seed: int) -> Vehicles:
    """Draw them. The first of many are the few of the same seed."""
    shape = (vehicles_n, len(model.heads))
    light = np.ones(shape)
    volts, dead = np.zeros(shape), np.zeros(shape, dtype=np.bool_)
    turned: dict[Acts, Floats] = {"bearing": np.zeros(shape), "elevation": np.zeros(shape)}
    for cause in tolerances.causes:
        for number, draw in enumerate(cause.draws):
            kept: dict[str, Floats] = {}
            for place, head in enumerate(model.heads):
                name = f"{cause.name}/{number}/{_NAMED[draw.by](head)}"
                if name not in kept:
                    kept[name] = drawn(draw.spread, vehicles_n, seed=seed, name=name)
                if draw.acts_on == "light":
                    light[:, place] *= kept[name]
                elif draw.acts_on == "voltage":
                    volts[:, place] += kept[name]
                elif draw.acts_on == "dead":
                    dead[:, place] |= kept[name] > 0.0
                else:
                    turned[draw.acts_on][:, place] += kept[name]
    if volts.any():
        light *= _by_voltage(model, tolerances, volts)
    return Vehicles(np.where(dead, 0.0, np.maximum(light, 0.0)), turned["bearing"], turned["elevation"])


def furthest_turn_rad(tolerances: Tolerances) -> float:
    """How far a head can be turned off at most, both ways together. [rad]"""
    return sum(
        draw.spread.furthest
        for cause in tolerances.causes
        for draw in cause.draws
        if draw.acts_on in ("bearing", "elevation")
    )


def _by_voltage(model: Model, tolerances: Tolerances, volts: Floats) -> Floats:
    """Share of light at a voltage so far from that of the sheet; none under the least voltage of the part."""
    share = np.ones_like(volts)
    for place, head in enumerate(model.heads):
        part = model.part(head.part) if head.reach == "own" else None
        if isinstance(part, LampPart):
            said = part.voltage_exponent
            exponent = tolerances.fitted_exponent if said is None else said
            test_v, least_v = part.test_voltage, part.least_voltage
        else:
            exponent, test_v, least_v = tolerances.vehicle_exponent, model.body.lamps[head.lamp].test_voltage, 0.0
        at_lamp_v = test_v + volts[:, place]
        share[:, place] = np.where(at_lamp_v >= least_v, np.maximum(at_lamp_v, 0.0) / test_v, 0.0) ** exponent
        share[:, place] *= at_lamp_v >= least_v
    return share


def _of_vehicle(head: Head) -> str:
    return "vehicle"


def _of_lamp(head: Head) -> str:
    return f"{head.lamp}.{head.side}" if head.side else head.lamp


def _of_head(head: Head) -> str:
    return head.id


_NAMED: dict[By, Callable[[Head], str]] = {"vehicle": _of_vehicle, "lamp": _of_lamp, "head": _of_head}
