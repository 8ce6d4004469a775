"""The scene of row A: a made-up vehicle of 12,800 triangles with sixty lamps on it, and a yard round it."""

import math
from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.geom import Pose, Vector, bearing_and_elevation, unit
from coachwright.kit.once import frozen
from coachwright.light.far_field import Emitter, Grid, grid_vectors
from coachwright.light.seen import Points, Source
from coachwright.light.shadow import Obstacle, Scene, View
from coachwright.parts.photometry import beam_table
from coachwright.parts.schema import Beam, ColourOutput

Floats: TypeAlias = NDArray[np.float64]
Triangles: TypeAlias = NDArray[np.int32]

HEADS_N = 60
SITUATIONS_N = 6
DEG = math.radians(1.0)

FAR = Grid(tuple(5 * DEG * number for number in range(72)), tuple(5 * DEG * number for number in range(-2, 11)))
"""936 directions: 72 bearings from 10 deg down to 50 deg up."""
YARD_N = 400
YARD_STEP_M = 0.5
"""The ground, 200 m by 200 m round the vehicle, from the middle of one square to the next."""

PATCH_N = 8

OFF_M = 0.02
"""How far from the sheet of a piece a lamp's optical centre stands."""

PIECES: tuple[tuple[str, Vector, Vector, int], ...] = (
    ("body", (-1.6, 0.0, 0.75), (2.6, 0.95, 0.42), 4),
    ("cabin", (-1.4, 0.0, 1.4), (1.1, 0.82, 0.45), 4),
    ("hood", (0.3, 0.0, 0.95), (0.75, 0.85, 0.25), 4),
    ("bed", (-3.4, 0.0, 1.0), (0.85, 0.9, 0.4), 4),
    ("cap", (-3.3, 0.0, 1.6), (0.85, 0.8, 0.3), 4),
    ("mirror left", (-0.45, 1.1, 1.2), (0.08, 0.12, 0.1), 3),
    ("mirror right", (-0.45, -1.1, 1.2), (0.08, 0.12, 0.1), 3),
    ("roof gear", (-1.2, 0.0, 1.95), (0.3, 0.5, 0.09), 3),
    ("push bumper", (1.15, 0.0, 0.75), (0.06, 0.6, 0.3), 3),
    ("rear step", (-4.45, 0.0, 0.5), (0.12, 0.7, 0.06), 3),
)
"""Name, middle, half size [m], and how often an octahedron is parted: 2,048 or 512 triangles."""

LAMPS_ON = ("body", "body", "cabin", "hood", "bed", "cap", "roof gear", "push bumper")


@dataclass(frozen=True, slots=True)
class Yard:
    """Lamps, and the share of full light of each of them in each situation, (situations, heads)."""

    sources: tuple[Source, ...]
    weights: Floats
    vertices_m: Floats
    triangles: Triangles


@cache
def yard(scale: int) -> Yard:
    """Sixty lamps times `scale`, no two alike; seeded, so the same every time."""
    rng = np.random.default_rng(17)
    scene = Scene(tuple(_piece(*each) for each in PIECES))
    sources = tuple(_lamp(rng, scene, number) for number in range(HEADS_N * scale))
    for source in sources:
        beam_table(source.emitter.output)
    counts = np.cumsum([0, *(len(each.vertices_m) for each in scene.obstacles)])
    return Yard(
        sources,
        rng.uniform(0, 1, (SITUATIONS_N, len(sources))),
        np.concatenate([each.vertices_m for each in scene.obstacles]),
        np.concatenate([each.triangles + first for each, first in zip(scene.obstacles, counts, strict=False)]),
    )


@cache
def ground() -> Points:
    """Middles of the squares of the yard, (3, 160,000), patch by patch of eight by eight squares. [m]"""
    along_m = (np.arange(YARD_N) - (YARD_N - 1) / 2) * YARD_STEP_M
    x_m, y_m = np.meshgrid(along_m - 1.6, along_m, indexing="ij")
    return Points(frozen(np.stack([_patches(x_m), _patches(y_m), np.zeros(x_m.size)])))


def _patches(squares: Floats) -> Floats:
    patches_n = YARD_N // PATCH_N
    return squares.reshape(patches_n, PATCH_N, patches_n, PATCH_N).transpose(0, 2, 1, 3).ravel()


@cache
def far_vectors() -> Floats:
    """Unit vectors of the far directions, (3, 936)."""
    return np.asarray(frozen(grid_vectors(FAR)), dtype=np.float64)


def _piece(name: str, middle_m: Vector, half_m: Vector, times: int) -> Obstacle:
    """An octahedron parted again and again and blown up to something between a ball and a box."""
    vertices, triangles = _octahedron()
    for _ in range(times):
        vertices, triangles = _parted(vertices, triangles)
    round_ = vertices / (np.abs(vertices) ** 4).sum(axis=1, keepdims=True) ** 0.25
    return Obstacle(name, frozen(np.array(middle_m) + round_ * np.array(half_m)), frozen(triangles))


def _octahedron() -> tuple[Floats, Triangles]:
    corners = np.array([(1, 0, 0), (0, 1, 0), (-1, 0, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)], dtype=np.float64)
    upper = [(number, (number + 1) % 4, 4) for number in range(4)]
    lower = [((number + 1) % 4, number, 5) for number in range(4)]
    return corners, np.array([*upper, *lower], dtype=np.int32)


def _parted(vertices: Floats, triangles: Triangles) -> tuple[Floats, Triangles]:
    """Every triangle into four, by the middles of its sides, all pushed out to the unit ball."""
    found = [tuple(each) for each in vertices.tolist()]
    places: dict[tuple[int, int], int] = {}

    def middle(one: int, other: int) -> int:
        key = (min(one, other), max(one, other))
        if key not in places:
            places[key] = len(found)
            between = np.array(found[one]) + np.array(found[other])
            found.append(tuple((between / np.linalg.norm(between)).tolist()))
        return places[key]

    parts = []
    for a, b, c in triangles.tolist():
        ab, bc, ca = middle(a, b), middle(b, c), middle(c, a)
        parts += [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.array(found), np.array(parts, dtype=np.int32)


def _lamp(rng: np.random.Generator, scene: Scene, number: int) -> Source:
    """Off the sheet of a piece, looking out about as the sheet does, level or nearly so."""
    wanted = LAMPS_ON[number % len(LAMPS_ON)]
    piece = next(each for each in scene.obstacles if each.name == wanted)
    corners_m = piece.vertices_m[piece.triangles]
    normals = np.cross(corners_m[:, 1] - corners_m[:, 0], corners_m[:, 2] - corners_m[:, 0])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    upright = np.flatnonzero(np.abs(normals[:, 2]) < 0.3)
    place_m, face = np.zeros(3), 0
    while True:
        face = upright[rng.integers(len(upright))]
        place_m = rng.dirichlet((1.0, 1.0, 1.0)) @ corners_m[face] + OFF_M * normals[face]
        if all(_off_m(each, place_m) > OFF_M / 2 for each in scene.obstacles):
            break
    bearing_rad = bearing_and_elevation(unit(_vector(normals[face])))[0] + rng.uniform(-0.4, 0.4)
    pose = Pose.facing(_vector(place_m), bearing_rad=bearing_rad, elevation_rad=rng.uniform(-0.1, 0.1))
    shape = (
        Beam(shape="bell", half_width=rng.uniform(15, 35) * DEG, half_height=rng.uniform(5, 12) * DEG)
        if number % 3
        else Beam(shape="cosine", power=rng.uniform(1, 8))
    )
    output = ColourOutput(flux=rng.uniform(80, 500), current=1.0, beam=shape)
    emitter = Emitter(pose.forward, pose.up, output, pose.forward)
    return Source(emitter, View(pose.position_m, pose.forward, math.pi, scene))


def _off_m(piece: Obstacle, place_m: Floats) -> float:
    """How far outside the planes of a piece a point lies; below nothing inside. [m]"""
    corners_m = piece.vertices_m[piece.triangles]
    normals = np.cross(corners_m[:, 1] - corners_m[:, 0], corners_m[:, 2] - corners_m[:, 0])
    return float((((place_m - corners_m[:, 0]) * normals).sum(axis=1) / np.linalg.norm(normals, axis=1)).max())


def _vector(array: Floats) -> Vector:
    x, y, z = array.tolist()
    return (x, y, z)
