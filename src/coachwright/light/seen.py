"""How much light does each head send toward directions far away and points near by, past what stands in the way?

Near by it counts where a head stands: the direction to a point is that from its own optical centre, and so is what
stands between. A head is small against such distances, so candela it is, and lux are candela over the square of the
distance.

Little work is done in numpy: the look-up and the shadow apart, each remembered. Much of it is done by one compiled loop
for both, which asks about no ray that would carry less than `FAINT_CD`.

See Also
--------
coachwright.light.far_field : the look-up. coachwright.light.shadow : what stands in the way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.geom import Vector, unit
from coachwright.kit.once import once
from coachwright.light.far_field import (
    Emitter,
    Floats,
    Grid,
    axes_of,
    candela_toward,
    clear_cosine,
    grid_vectors,
    head_far_field,
    plain_look_up,
    share_through,
)
from coachwright.light.shadow import (
    FAINT_CD,
    NOTHING,
    View,
    first_met,
    hidden_from,
    hidden_rounds,
    hidden_toward,
    hierarchy_of,
    is_around,
    mounts,
)
from coachwright.parts.photometry import beam_table

Singles: TypeAlias = NDArray[np.float32]

COMPILED_FROM_PAIRS = 1_000_000
"""From so many pairs of a source and a direction or point on, the compiled loop is used. Importing numba and loading it
takes 0.3 s; a whole vehicle toward 144 bearings and nine elevations is 130 000 pairs."""


THREADS_N = 2
"""Sources worked out at the same time by the compiled loop; the answer doesn't hang on it."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Source:
    """One colour of one head, and what it looks out at."""

    emitter: Emitter
    view: View


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Points:
    """Points in the vehicle frame, (3, points), read-only; neighbours that follow one another are asked fastest. [m]"""

    places_m: Floats


# ---- far away


def seen_toward(sources: Sequence[Source], grid: Grid, *, compiled: bool | None = None) -> Floats:
    """Intensity of each source at full light toward each direction, shape (sources, elevations, bearings). [cd]

    Parameters
    ----------
    compiled : whether to use the compiled loop; None decides by the amount of work (`COMPILED_FROM_PAIRS`), so equal
        work is always done in the same way.
    """
    if compiled is None:
        compiled = len(sources) * math.prod(grid.shape) >= COMPILED_FROM_PAIRS
    if compiled:
        return _together(sources, lambda source: source_toward(source, grid), grid.shape).astype(np.float64)
    found = np.empty((len(sources), *grid.shape))
    for scene in dict.fromkeys(id(source.view.scene) for source in sources):
        places = [place for place, source in enumerate(sources) if id(source.view.scene) == scene]
        hidden = hidden_rounds(tuple(sources[place].view for place in places), grid)
        for place, met in zip(places, hidden, strict=True):
            found[place] = head_far_field(sources[place].emitter, grid)
            found[place][met != NOTHING] = 0.0
    return found


@once(max_bytes=128_000_000)
def source_toward(source: Source, grid: Grid) -> Singles:
    """One source by the compiled loop, shape (elevations, bearings), read-only. [cd]"""
    return look_up_past(source, grid_vectors(grid), reach=math.inf).reshape(grid.shape)


def candela_along(source: Source, vector: Vector) -> float:
    """Intensity of one source at full light along one unit vector, 0 where something hides it. [cd]"""
    found_cd = candela_toward(source.emitter, vector)
    return found_cd if found_cd < FAINT_CD or hidden_toward(source.view, vector) == NOTHING else 0.0


# ---- near by


def seen_at(sources: Sequence[Source], points: Points, *, compiled: bool | None = None) -> Singles:
    """Intensity of each source at full light toward each point, shape (sources, points); `compiled` as above. [cd]

    In single precision: a map has millions of such pairs, and seven digits of each are enough.
    """
    if compiled is None:
        compiled = len(sources) * points.places_m.shape[1] >= COMPILED_FROM_PAIRS
    return _together(sources, lambda source: source_at(source, points, compiled), points.places_m.shape[1:])


@once(max_bytes=256_000_000)
def source_at(source: Source, points: Points, compiled: bool = False) -> Singles:
    """Intensity of one source at full light toward each point, shape (points,), read-only. [cd]"""
    if compiled:
        return look_up_past(source, points.places_m, reach=1.0)
    return _plain(source, points.places_m).astype(np.float32)


def candela_at(source: Source, point_m: Vector) -> float:
    """Intensity of one source at full light toward one point, 0 where something hides it. [cd]"""
    place_m = source.view.position_m
    toward = unit((point_m[0] - place_m[0], point_m[1] - place_m[1], point_m[2] - place_m[2]))
    found_cd = candela_toward(source.emitter, toward)
    return found_cd if found_cd < FAINT_CD or hidden_from(source.view, point_m) == NOTHING else 0.0


# ---- both ways


def _together(sources: Sequence[Source], one: Callable[[Source], Singles], shape: tuple[int, ...]) -> Singles:
    """Every source's answer in a row of its own; the compiled loop lets two threads work at once."""
    found = np.empty((len(sources), *shape), dtype=np.float32)

    def fill(number: int) -> None:
        found[number] = one(sources[number])

    with ThreadPoolExecutor(THREADS_N) as pool:
        for _ in pool.map(fill, range(len(sources))):
            pass
    return found


def look_up_past(source: Source, points_m: Floats, *, reach: float) -> Singles:
    """The compiled loop, nothing remembered, shape (points,). [cd]

    points_m : (3, points) in the vehicle frame with a reach of 1; unit vectors with an infinite one.
    """
    from coachwright.light import kernel

    emitter, view = source.emitter, source.view
    tree, mount = hierarchy_of(view.scene), mounts(view)
    found = np.zeros(points_m.shape[1], dtype=np.float32)
    if is_around(tree, view.position_m, mount):
        return found
    table = beam_table(emitter.output)
    vectors = points_m if math.isinf(reach) or emitter.pane is None else _directions(view, points_m)
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
        share_through(emitter.pane, vectors),
        FAINT_CD,
        tree.boxes_m,
        tree.corners_m,
        tree.planes,
        tree.owners,
        tree.starts,
        mount,
        found,
    )
    return found


def _plain(source: Source, points_m: Floats) -> Floats:
    """In numpy."""
    emitter, view = source.emitter, source.view
    vectors = _directions(view, points_m)
    found = plain_look_up(emitter, vectors, share_through(emitter.pane, vectors))
    asked = np.flatnonzero(found >= FAINT_CD)
    obstacles = tuple(each for each in view.scene.obstacles if each.name not in view.mount)
    if len(asked) and obstacles:
        ways_m = points_m[:, asked] - np.array(view.position_m)[:, None]
        found[asked[first_met(view.position_m, obstacles, ways_m, reach=1.0) != NOTHING]] = 0.0
    return found


def _directions(view: View, points_m: Floats) -> Floats:
    """Unit vectors from the head to each point."""
    ways_m = points_m - np.array(view.position_m)[:, None]
    return np.asarray(ways_m / np.linalg.norm(ways_m, axis=0), dtype=np.float64)
