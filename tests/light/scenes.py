"""Convex pieces strewn about, and embree as a second opinion on what a ray meets."""

from dataclasses import dataclass

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore import EmbreeDevice
from embreex.rtcore_scene import EmbreeScene

from coachwright.kit.convex import hull_of
from coachwright.light.far_field import Grid
from coachwright.light.shadow import NOTHING, Obstacle, Scene, View, hidden_rounds

DEVICE = EmbreeDevice()


def strewn(rng: np.random.Generator, pieces_n: int, *, room_m: float = 3.0, size_m: float = 0.6) -> Scene:
    """Hulls of random points in a cube."""
    pieces = []
    for number in range(pieces_n):
        middle_m = rng.uniform(-room_m, room_m, 3)
        corners_m = middle_m + rng.normal(size=(12, 3)) * rng.uniform(0.1, size_m, 3)
        shape = hull_of([(x, y, z) for x, y, z in corners_m.tolist()])
        assert shape is not None
        pieces.append(Obstacle(f"piece {number}", shape.vertices_m, shape.triangles))
    return Scene(tuple(pieces))


def hidden_round(view: View, grid: Grid) -> np.ndarray:
    """Of one view alone."""
    return hidden_rounds((view,), grid)[0]


def ways(rng: np.random.Generator, rays_n: int) -> np.ndarray:
    """Directions evenly over the sphere, (3, rays)."""
    found = rng.normal(size=(3, rays_n))
    return np.asarray(found / np.linalg.norm(found, axis=0))


@dataclass(frozen=True)
class Embree:
    """Some obstacles in embree's own tree; it sums in single precision."""

    obstacles: tuple[Obstacle, ...]
    tree: EmbreeScene
    owners: np.ndarray

    @staticmethod
    def of(obstacles: tuple[Obstacle, ...]) -> "Embree":
        tree = EmbreeScene(DEVICE)
        corners_m = np.concatenate([each.vertices_m[each.triangles] for each in obstacles])
        TriangleMesh(tree, corners_m.astype(np.float32))
        owners = np.repeat(np.arange(len(obstacles)), [len(each.triangles) for each in obstacles])
        return Embree(obstacles, tree, owners)

    def first_met(self, position_m: tuple[float, float, float], ways_m: np.ndarray) -> np.ndarray:
        """Which obstacle each ray meets first, `NOTHING` for none."""
        starts = np.repeat(np.array([position_m], dtype=np.float32), ways_m.shape[1], axis=0)
        rays = np.ascontiguousarray(ways_m.T, dtype=np.float32)
        met = self.tree.run(starts, rays, query="INTERSECT")
        return np.where(met < 0, NOTHING, self.owners[met])


def off_m(position_m: tuple[float, float, float], way: np.ndarray, obstacles: tuple[Obstacle, ...]) -> float:
    """How far a ray passes from the nearest edge, or begins from the nearest face: hardly anything is a graze. [m]"""
    place_m, unit = np.array(position_m), way / np.linalg.norm(way)
    nearest_m = np.inf
    for each in obstacles:
        corners_m = each.vertices_m[each.triangles] - place_m
        normals = np.cross(corners_m[:, 1] - corners_m[:, 0], corners_m[:, 2] - corners_m[:, 0])
        outside_m = -(corners_m[:, 0] * normals).sum(axis=1) / np.linalg.norm(normals, axis=1)
        nearest_m = min(nearest_m, abs(float(outside_m.max())))
        for one, other in ((0, 1), (1, 2), (2, 0)):
            edges = corners_m[:, other] - corners_m[:, one]
            across = np.cross(unit, edges)
            square = (across**2).sum(axis=1)
            skew = square > 1e-18
            # where along the edge the two lines come nearest, and how near
            share = np.full(len(edges), -1.0)
            share[skew] = (np.cross(corners_m[skew, one], unit) * across[skew]).sum(axis=1) / square[skew]
            met = skew & (share > -1e-3) & (share < 1.0 + 1e-3)
            if met.any():
                apart_m = np.abs((corners_m[met, one] * across[met]).sum(axis=1)) / np.sqrt(square[met])
                nearest_m = min(nearest_m, float(apart_m.min()))
    return nearest_m
