"""Into which cone does each head send at least half of its peak, and what of the vehicle stands in that cone?

Rays fan out from the head's optical centre: level ones for a plan, upright ones for a side view.

See Also
--------
coachwright.light.shadow : what is in the way. coachwright.draw.cone_views : draws it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwright.build.model import COLOURS, Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Vector, bearing_and_elevation, direction
from coachwright.light.far_field import Emitter, Floats, clear_cosine
from coachwright.light.lit import Stand, standing
from coachwright.light.shadow import NOTHING, first_met_at
from coachwright.parts.photometry import beam_table, half_width_rad, height_at

Fan = Literal["level", "upright"]
RAYS_N = 25
"""Rays of a cone, both edges and the axis among them."""


@dataclass(frozen=True, slots=True)
class Cone:
    """The fan of one head.

    head, lamp : names; of a pair the lamp of one side. position_m : of its optical centre. forward : its axis.
    rays : unit vectors from one edge to the other, less those the mount itself cuts off. hidden_by : for each ray what
    is met first, "" where it goes free. met_m : how far off that is, infinite where it goes free.
    """

    head: str
    lamp: str
    position_m: Vector
    forward: Vector
    rays: tuple[Vector, ...]
    hidden_by: tuple[str, ...]
    met_m: tuple[float, ...]


@by_digest
def cones(model: Model, panels: frozenset[str], fan: Fan) -> tuple[Cone, ...]:
    """Fans of our own heads that look anywhere but straight up or down, while these panels stand open."""
    found = []
    for head, stand in zip(model.heads, standing(model, panels), strict=True):
        emitters = [stand.emitters[colour] for colour in COLOURS if colour in stand.emitters]
        if head.reach != "own" or not emitters:
            continue
        rays = _rays(emitters, fan)
        lamp = f"{head.lamp}.{head.side}" if head.side else head.lamp
        hidden_by, met_m = _met(stand, rays) if rays else ((), ())
        found.append(Cone(head.id, lamp, stand.view.position_m, emitters[0].forward, rays, hidden_by, met_m))
    return tuple(found)


def _rays(emitters: list[Emitter], fan: Fan) -> tuple[Vector, ...]:
    """Of its widest colour."""
    bearing_rad, elevation_rad = bearing_and_elevation(emitters[0].forward)
    if fan == "level":
        half_rad = max(half_width_rad(each.output) for each in emitters)
    else:
        half_rad = max(height_at(beam_table(each.output), 0.5) / 2.0 for each in emitters)
    turns = np.linspace(-half_rad, half_rad, RAYS_N).tolist()
    level = fan == "level"
    rays = (
        direction(bearing_rad=bearing_rad + turn, elevation_rad=elevation_rad)
        if level
        else direction(bearing_rad=bearing_rad, elevation_rad=elevation_rad + turn)
        for turn in turns
    )
    cut = clear_cosine(emitters[0])
    return tuple(ray for ray in rays if float(np.dot(emitters[0].outward, ray)) >= cut)


def _met(stand: Stand, rays: tuple[Vector, ...]) -> tuple[tuple[str, ...], tuple[float, ...]]:
    view = stand.view
    obstacles = tuple(each for each in view.scene.obstacles if each.name not in view.mount)
    ways: Floats = np.ascontiguousarray(np.array(rays).T)
    met, far_m = first_met_at(view.position_m, obstacles, ways, reach=math.inf)
    names = tuple("" if place == NOTHING else obstacles[place].name for place in met.tolist())
    return names, tuple(far_m.tolist())
