"""How much light does each head send toward points near by: eyes, the ground, a wall?

Near by it counts where a head stands: the direction to a point is that from its own optical centre, and so is what
stands between. A head is small against such distances, so candela it is, and lux are candela over the square of the
distance.

See Also
--------
coachwright.light.far_field : the same far away. coachwright.light.shadow : what stands in the way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coachwright.kit.geom import Vector, unit
from coachwright.kit.once import once
from coachwright.light.far_field import (
    EVERYTHING,
    Emitter,
    Floats,
    axes_of,
    candela_toward,
    clear_cosine,
    plain_look_up,
    share_through,
)
from coachwright.light.shadow import FAINT_CD, NOTHING, View, first_met, hidden_from, hierarchy_of, mounts
from coachwright.parts.photometry import beam_table

COMPILED_FROM_PAIRS = 1_000_000
"""From so many pairs of a head's colour and a point on, the compiled loop is used: as in light.far_field, but each pair
may ask for a ray as well."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Points:
    """Points in the vehicle frame, (3, points), read-only; neighbours that follow one another are asked fastest. [m]"""

    places_m: Floats


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Source:
    """One colour of one head, and what it looks out at."""

    emitter: Emitter
    view: View


def near_field(sources: Sequence[Source], points: Points, *, compiled: bool | None = None) -> Floats:
    """Intensity of each source at full light toward each point, shape (sources, points). [cd]

    Parameters
    ----------
    compiled : whether to use the compiled loop; None decides by the amount of work (`COMPILED_FROM_PAIRS`).

    Notes
    -----
    Where a source gives less than `FAINT_CD`, nobody asks whether it is hidden.
    """
    if compiled is None:
        compiled = len(sources) * points.places_m.shape[1] >= COMPILED_FROM_PAIRS
    found = np.empty((len(sources), points.places_m.shape[1]))
    for place, source in enumerate(sources):
        found[place] = source_near_field(source, points, compiled)
    return found


@once(max_bytes=256_000_000)
def source_near_field(source: Source, points: Points, compiled: bool = False) -> Floats:
    """Intensity of one source at full light toward each point, shape (points,), read-only. [cd]"""
    return look_up_past(source, points.places_m) if compiled else _plain(source, points.places_m)


def candela_at(source: Source, point_m: Vector) -> float:
    """Intensity of one source at full light toward one point, 0 where something hides it. [cd]"""
    place_m = source.view.position_m
    toward = unit((point_m[0] - place_m[0], point_m[1] - place_m[1], point_m[2] - place_m[2]))
    found_cd = candela_toward(source.emitter, toward)
    return found_cd if found_cd < FAINT_CD or hidden_from(source.view, point_m) == NOTHING else 0.0


def look_up_past(source: Source, points_m: Floats, *, reach: float = 1.0) -> Floats:
    """The compiled loop: toward points, or with infinite `reach` along directions, shape (3, N) -> (N,). [cd]"""
    from coachwright.light import kernel

    emitter, view = source.emitter, source.view
    tree = hierarchy_of(view.scene)
    table = beam_table(emitter.output)
    found = np.empty(points_m.shape[1])
    kernel.look_up_past(
        points_m,
        np.array(view.position_m),
        reach,
        axes_of(emitter),
        table.vertical_rad,
        table.horizontal_rad,
        table.candela_cd,
        np.array(emitter.outward),
        clear_cosine(emitter),
        share_through(emitter.pane, _directions(view, points_m, reach)) if emitter.pane else EVERYTHING,
        FAINT_CD,
        tree.boxes_m,
        tree.corners_m,
        tree.owners,
        tree.starts,
        mounts(view).astype(np.uint8),
        found,
    )
    return found


def _plain(source: Source, points_m: Floats) -> Floats:
    """In numpy."""
    emitter, view = source.emitter, source.view
    vectors = _directions(view, points_m, 1.0)
    found = plain_look_up(emitter, vectors, share_through(emitter.pane, vectors))
    asked = np.flatnonzero(found >= FAINT_CD)
    obstacles = tuple(each for each in view.scene.obstacles if each.name not in view.mount)
    if len(asked) and obstacles:
        ways_m = points_m[:, asked] - np.array(view.position_m)[:, None]
        found[asked[first_met(view.position_m, obstacles, ways_m, reach=1.0) != NOTHING]] = 0.0
    return found


def _directions(view: View, points_m: Floats, reach: float) -> Floats:
    """Unit vectors from the head to each point."""
    if math.isinf(reach):
        return points_m
    ways_m = points_m - np.array(view.position_m)[:, None]
    return np.asarray(ways_m / np.linalg.norm(ways_m, axis=0), dtype=np.float64)
