"""What stands between a head and where it shines?

A head sees past its own mount only; every other piece of the vehicle, and of what is fitted to it, is asked ray by ray.
Pieces are convex and closed. Two ways give the same answer:

- for one vehicle round its directions, or an eye: numpy. From one point a convex piece is seen within its silhouette,
  the edges between faces turned to that point and faces turned away, so a ray is tested against a few planes for each
  piece. Which piece is met first comes with it.
- for maps and whole scenes of rays: the compiled loop over a hierarchy of boxes round the triangles (`hierarchy_of`,
  light.kernel), which asks only whether anything is in the way.

A ray that runs along a face, or touches an edge or a corner, isn't hidden by that piece; a head inside a piece that
isn't its mount sees nothing.

See Also
--------
coachwright.place.solids : the pieces. coachwright.light.seen : what it leaves of the light.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.geom import Vector
from coachwright.kit.once import once
from coachwright.light.far_field import Floats, Grid, grid_vectors

Found: TypeAlias = NDArray[np.int16]
Places: TypeAlias = NDArray[np.intp]

NOTHING = -1
"""Nothing is in the way."""

FAINT_CD = 0.01
"""No ray is sent where a head gives less: it adds nothing anybody could see. [cd]"""

LEAF_N = 2
"""Most triangles in a box that isn't parted further."""

_NEARLY = 1e-9

_DRAWN_IN = 1e-9
"""Share by which pieces are drawn in toward their middle, so that what only touches them passes, however sums round."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Obstacle:
    """One closed convex piece. Arrays are read-only.

    name : how a person calls it. vertices_m : (N, 3), vehicle frame. triangles : (M, 3) places among them,
    counter-clockwise seen from outside.
    """

    name: str
    vertices_m: Floats
    triangles: NDArray[np.int32]


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Scene:
    """Everything that stands round, for all heads alike; no two obstacles of one name."""

    obstacles: tuple[Obstacle, ...]


NO_SCENE = Scene(())
"""Nothing stands anywhere."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class View:
    """From where a head looks out, and at what.

    position_m : of its optical centre, vehicle frame. outward, clear_rad : nothing is asked past that angle from that
    direction, for there the mount itself is in the way. mount : names of obstacles that never hide this head.
    """

    position_m: Vector
    outward: Vector
    clear_rad: float
    scene: Scene
    mount: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Hierarchy:
    """Boxes within boxes round triangles.

    A whole binary tree: the box of node n holds those of nodes 2 n + 1 and 2 n + 2, the last `leaves_n` nodes hold the
    triangles from `starts[leaf]` to `starts[leaf + 1]`.

    boxes_m : (nodes, 6), least and greatest x, y, z. corners_m : (triangles, 9), three corners each.
    planes : (4, triangles), the normal of each, outward and of any length, and what its product with a corner is.
    owners : which piece each triangle belongs to.
    """

    boxes_m: Floats
    corners_m: Floats
    planes: Floats
    owners: NDArray[np.int32]
    starts: NDArray[np.int64]

    @property
    def leaves_n(self) -> int:
        return len(self.starts) - 1


_NO_HIERARCHY = Hierarchy(
    np.zeros((1, 6)), np.zeros((0, 9)), np.zeros((4, 0)), np.zeros(0, dtype=np.int32), np.zeros(2, dtype=np.int64)
)
"""One box with nothing in it."""


# ---- far away


@once(max_bytes=32_000_000)
def hidden_rounds(views: tuple[View, ...], grid: Grid) -> tuple[Found, ...]:
    """Which obstacle is met first toward each direction of a grid, to infinity; `NOTHING` where the way is free.

    views : of one scene.

    Returns
    -------
    For each view, places among the scene's obstacles, shape (elevations, bearings), read-only.
    """
    return tuple(_hidden(view, places, grid) for view, places in zip(views, in_reach(tuple(views), grid), strict=True))


def _hidden(view: View, places: tuple[int, ...], grid: Grid) -> Found:
    if not places:
        return _nothing(grid)
    seen = tuple(view.scene.obstacles[place] for place in places)
    found = hidden_among(view.position_m, view.outward, view.clear_rad, seen, grid)
    named: Found = np.array([*places, NOTHING], dtype=np.int16)[found]
    named.flags.writeable = False
    return named


@once(max_bytes=1_000_000)
def _nothing(grid: Grid) -> Found:
    return np.full(grid.shape, NOTHING, dtype=np.int16)


@once(max_bytes=32_000_000)
def hidden_among(
    position_m: Vector, outward: Vector, clear_rad: float, obstacles: tuple[Obstacle, ...], grid: Grid
) -> Found:
    """The same among those obstacles that can be in the way: one that turns out of reach works out nothing anew."""
    vectors = grid_vectors(grid)
    asked = np.flatnonzero(np.array(outward) @ vectors >= math.cos(clear_rad) - _NEARLY)
    found = np.full(vectors.shape[1], NOTHING, dtype=np.int16)
    found[asked] = first_met(position_m, obstacles, vectors[:, asked], reach=math.inf)
    return found.reshape(grid.shape)


def in_reach(views: Sequence[View], grid: Grid) -> list[tuple[int, ...]]:
    """For each view of one scene, obstacles some ray toward the grid could meet, as their boxes and balls tell."""
    if not views or not views[0].scene.obstacles:
        return [()] * len(views)
    low_m, high_m, middle_m, radius_m = _bounds(views[0].scene)
    place_m = np.array([view.position_m for view in views])[:, None]
    outward = np.array([view.outward for view in views])[:, None]
    clear_rad = np.array([view.clear_rad for view in views])[:, None]
    # the ball within the cone the head looks out of
    away_m = middle_m - place_m
    distance_m = np.sqrt((away_m * away_m).sum(axis=2))
    outside = distance_m > radius_m
    distance_m = np.where(outside, distance_m, np.inf)
    off_rad = np.arccos(np.clip((away_m * outward).sum(axis=2) / distance_m, -1.0, 1.0))
    reached = ~outside | (off_rad - np.arcsin(radius_m / distance_m) <= clear_rad + _NEARLY)
    # the box within the band of elevations
    nearest_m = np.maximum(np.maximum(low_m - place_m, place_m - high_m), 0.0)
    farthest_m = np.maximum(np.abs(low_m - place_m), np.abs(high_m - place_m))
    near_m, far_m = np.hypot(nearest_m[..., 0], nearest_m[..., 1]), np.hypot(farthest_m[..., 0], farthest_m[..., 1])
    top_m, foot_m = (high_m - place_m)[..., 2], (low_m - place_m)[..., 2]
    reached &= np.arctan2(top_m, np.where(top_m >= 0.0, near_m, far_m)) >= min(grid.elevations_rad) - _NEARLY
    reached &= np.arctan2(foot_m, np.where(foot_m <= 0.0, near_m, far_m)) <= max(grid.elevations_rad) + _NEARLY
    reached &= np.array([mounts(view) for view in views]) == 0
    return [tuple(np.flatnonzero(row).tolist()) for row in reached]


def mounts(view: View) -> NDArray[np.uint8]:
    """For each obstacle of the scene, 1 where it never hides this head."""
    return _named(view.scene, view.mount)


@once(max_bytes=4_000_000)
def _named(scene: Scene, names: tuple[str, ...]) -> NDArray[np.uint8]:
    places = _places_of(scene)
    found = np.zeros(len(scene.obstacles), dtype=np.uint8)
    found[[places[name] for name in names if name in places]] = 1
    return found


@once(max_bytes=4_000_000)
def _places_of(scene: Scene) -> Mapping[str, int]:
    """Where each obstacle is among all of them."""
    return MappingProxyType({each.name: place for place, each in enumerate(scene.obstacles)})


# ---- one ray


@once(max_bytes=4_000_000)
def hidden_from(view: View, point_m: Vector) -> int:
    """Which obstacle of the scene is met first on the way to a point; `NOTHING` when it is seen. [m]"""
    x, y, z = (there - here for there, here in zip(point_m, view.position_m, strict=True))
    return _met_by_one(view, (x, y, z), 1.0)


@once(max_bytes=4_000_000)
def hidden_toward(view: View, vector: Vector) -> int:
    """Which obstacle of the scene is met first along a unit vector, to infinity; `NOTHING` when the way is free."""
    return _met_by_one(view, vector, math.inf)


def _met_by_one(view: View, way_m: Vector, reach: float) -> int:
    """Only obstacles whose balls the ray comes near are looked at."""
    if not view.scene.obstacles:
        return NOTHING
    way = np.array(way_m)
    length_m = float(np.sqrt(way @ way))
    _, _, middle_m, radius_m = _bounds(view.scene)
    away_m = middle_m - np.array(view.position_m)
    along_m = away_m @ (way / length_m)
    aside_m2 = (away_m * away_m).sum(axis=1) - along_m**2
    near = (mounts(view) == 0) & (aside_m2 <= (radius_m + _NEARLY) ** 2)
    near &= (along_m >= -radius_m) & (along_m <= radius_m + reach * length_m)
    places = np.flatnonzero(near).tolist()
    if not places:
        return NOTHING
    return (*places, NOTHING)[
        met_among(view.position_m, tuple(view.scene.obstacles[place] for place in places), way_m, reach)
    ]


@once(max_bytes=4_000_000)
def met_among(position_m: Vector, obstacles: tuple[Obstacle, ...], way_m: Vector, reach: float) -> int:
    """The same among the few obstacles the ray comes near."""
    return int(first_met(position_m, obstacles, np.array(way_m)[:, None], reach=reach)[0])


# ---- in numpy


def first_met(position_m: Vector, obstacles: tuple[Obstacle, ...], ways: Floats, *, reach: float) -> Found:
    """Which obstacle each ray meets first; `NOTHING` for none.

    Parameters
    ----------
    ways : from the position, (3, rays), of any length. reach : how many times its way a ray goes, infinite or 1.
    """
    found = np.full(ways.shape[1], NOTHING, dtype=np.int16)
    planes, starts, seen, around = _silhouettes(position_m, obstacles)
    if len(around):  # in the middle of it
        found[:] = around[0]
        return found
    if not len(seen) or not ways.shape[1]:
        return found
    # by hand: so small a product isn't worth the threads of a library for large ones
    inward = planes[:, :1] * ways[0] + planes[:, 1:2] * ways[1] + planes[:, 2:] * ways[2]
    within = np.minimum.reduceat(inward, starts, axis=0) > 0.0
    nearest = np.full(ways.shape[1], reach)
    for row in np.flatnonzero(within.any(axis=1)):
        rays = np.flatnonzero(within[row])
        met = _entry(position_m, obstacles[seen[row]], ways[:, rays])
        nearer = met < nearest[rays]
        nearest[rays[nearer]] = met[nearer]
        found[rays[nearer]] = seen[row]
    return found


def _entry(position_m: Vector, obstacle: Obstacle, ways: Floats) -> Floats:
    """How many times its way each ray goes until it enters; the rays lie within the silhouette."""
    faces = _faces_of(obstacle)
    ahead = ((faces.first_m - np.array(position_m)) * faces.normals).sum(axis=1)
    turned = ahead < 0.0
    into = faces.normals[turned] @ ways
    times = np.divide(ahead[turned][:, None], into, out=np.zeros_like(into), where=into < 0.0)
    return np.asarray(times.max(axis=0), dtype=np.float64)


@once(max_bytes=128_000_000)
def _silhouettes(position_m: Vector, obstacles: tuple[Obstacle, ...]) -> tuple[Floats, Places, Places, Places]:
    """Planes through the position and each edge of the silhouettes, looking in.

    Returns
    -------
    planes (edges, 3); where those of each seen obstacle start; which obstacles these are; which ones are all around.
    """
    if not obstacles:
        nothing = np.zeros(0, dtype=np.intp)
        return np.zeros((0, 3)), nothing, nothing, nothing
    shapes = [_faces_of(obstacle) for obstacle in obstacles]
    place_m = np.array(position_m)
    before_n = np.cumsum([0, *(len(shape.normals) for shape in shapes)])
    edges_n = [len(shape.edges_m) for shape in shapes]
    ways_m = np.concatenate([shape.first_m for shape in shapes]) - place_m
    turned = (ways_m * np.concatenate([shape.normals for shape in shapes])).sum(axis=1) < 0.0
    faces = np.concatenate([shape.edge_faces for shape in shapes]) + np.repeat(before_n[:-1], edges_n)[:, None]
    left, right = turned[faces[:, 0]], turned[faces[:, 1]]
    rim = np.flatnonzero(left != right)
    ends_m = np.concatenate([shape.edges_m for shape in shapes])[rim] - place_m
    inward = np.cross(ends_m[:, 1], ends_m[:, 0])
    seen, starts = np.unique(np.repeat(np.arange(len(shapes)), edges_n)[rim], return_index=True)
    around = np.flatnonzero(np.add.reduceat(turned, before_n[:-1]) == 0)
    return np.where(left[rim][:, None], inward, -inward), starts, seen, around


@dataclass(frozen=True, slots=True)
class _Faces:
    """first_m, normals : of each triangle. edges_m : (edges, 2, 3), as the first of its two faces runs round it."""

    first_m: Floats
    normals: Floats
    edges_m: Floats
    edge_faces: Places


@once(max_bytes=16_000_000)
def _faces_of(obstacle: Obstacle) -> _Faces:
    vertices_m = _drawn_in(obstacle)
    corners_m = vertices_m[obstacle.triangles]
    normals = np.cross(corners_m[:, 1] - corners_m[:, 0], corners_m[:, 2] - corners_m[:, 0])
    owner: dict[tuple[int, int], int] = {
        (int(one), int(other)): face
        for face, (a, b, c) in enumerate(obstacle.triangles.tolist())
        for one, other in ((a, b), (b, c), (c, a))
    }
    edges = [(one, other) for one, other in owner if one < other]
    if 2 * len(edges) != len(owner) or any((other, one) not in owner for one, other in edges):
        raise ValueError(f"{obstacle.name}: its triangles don't close")
    return _Faces(
        corners_m[:, 0],
        normals,
        vertices_m[np.array(edges)],
        np.array([(owner[one, other], owner[other, one]) for one, other in edges], dtype=np.intp),
    )


def _drawn_in(obstacle: Obstacle) -> Floats:
    """Its corners, nearer to its middle by `_DRAWN_IN`. [m]"""
    middle_m = obstacle.vertices_m.mean(axis=0)
    return np.asarray(middle_m + (obstacle.vertices_m - middle_m) * (1.0 - _DRAWN_IN), dtype=np.float64)


@once(max_bytes=4_000_000)
def _bounds(scene: Scene) -> tuple[Floats, Floats, Floats, Floats]:
    """Least and greatest corner of each, the middle between them and the radius of the ball there that holds it."""
    obstacles = scene.obstacles
    low_m = np.array([each.vertices_m.min(axis=0) for each in obstacles])
    high_m = np.array([each.vertices_m.max(axis=0) for each in obstacles])
    middle_m = (low_m + high_m) / 2.0
    radius_m = np.array(
        [
            np.sqrt(((each.vertices_m - middle) ** 2).sum(axis=1).max())
            for each, middle in zip(obstacles, middle_m, strict=True)
        ]
    )
    return low_m, high_m, middle_m, radius_m


# ---- for the compiled loop


@once(max_bytes=64_000_000)
def hierarchy_of(scene: Scene) -> Hierarchy:
    """Boxes round all triangles, parted in the middle along the longest side again and again; the same every time."""
    obstacles = scene.obstacles
    if not obstacles:
        return _NO_HIERARCHY
    corners_m = np.concatenate([_drawn_in(each)[each.triangles] for each in obstacles])
    owners = np.concatenate(
        [np.full(len(each.triangles), number, dtype=np.int32) for number, each in enumerate(obstacles)]
    )
    triangles_n = len(corners_m)
    levels_n = max(0, math.ceil(math.log2(max(1.0, triangles_n / LEAF_N))))
    middles_m = corners_m.mean(axis=1)
    order = np.arange(triangles_n)
    for level in range(levels_n):
        cuts = _cuts(triangles_n, level)
        part = np.repeat(np.arange(len(cuts) - 1), np.diff(cuts))
        there_m = middles_m[order]
        spans_m = np.maximum.reduceat(there_m, cuts[:-1]) - np.minimum.reduceat(there_m, cuts[:-1])
        along_m = there_m[np.arange(triangles_n), spans_m.argmax(axis=1)[part]]
        order = order[np.lexsort((along_m, part))]
    starts = _cuts(triangles_n, levels_n)
    sorted_m = corners_m[order]
    low_m = [np.minimum.reduceat(sorted_m.min(axis=1), starts[:-1])]
    high_m = [np.maximum.reduceat(sorted_m.max(axis=1), starts[:-1])]
    for _ in range(levels_n):
        low_m.insert(0, np.minimum(low_m[0][::2], low_m[0][1::2]))
        high_m.insert(0, np.maximum(high_m[0][::2], high_m[0][1::2]))
    edges_m = sorted_m[:, 1:] - sorted_m[:, :1]
    normals = np.cross(edges_m[:, 0], edges_m[:, 1])
    return Hierarchy(
        np.hstack([np.concatenate(low_m), np.concatenate(high_m)]),
        sorted_m.reshape(-1, 9),
        np.vstack([normals.T, (normals * sorted_m[:, 0]).sum(axis=1)]),
        owners[order],
        starts,
    )


def is_around(tree: Hierarchy, position_m: Vector, mount: NDArray[np.uint8]) -> bool:
    """Whether a position is within an obstacle that isn't its mount: none of that one's faces is turned to it."""
    turned = np.array(position_m) @ tree.planes[:3] > tree.planes[3]
    faces_n = np.bincount(tree.owners, weights=turned, minlength=len(mount))
    return bool(((faces_n == 0) & (mount == 0)).any())


def _cuts(triangles_n: int, level: int) -> NDArray[np.int64]:
    """Where the parts of a level begin, and the end of the last."""
    parts_n = 1 << level
    return np.arange(parts_n + 1, dtype=np.int64) * triangles_n // parts_n
