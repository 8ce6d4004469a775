"""Closed convex solids: the hull of stated corners, and what lies within outlines seen from three sides.

The solids are worked out by manifold3d, whose meshes are closed by construction. Everything here is convex, so a solid
is its corners; how its faces are cut into triangles says nothing.

See Also
--------
coachwright.parts.body_pieces : who states corners and outlines. coachwright.place.solids : where the solids stand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.geom import Vector

if TYPE_CHECKING:
    from manifold3d import Manifold

Floats: TypeAlias = NDArray[np.float64]
Triangles: TypeAlias = NDArray[np.int32]
Flat: TypeAlias = tuple[float, float]

LEAST_VOLUME_M3 = 1e-7
"""A tenth of a cubic centimetre: what is smaller has no inside."""
_FAR_M = 100.0
"""No vehicle reaches so far from its front axle."""


@dataclass(frozen=True, slots=True)
class Convex:
    """A closed convex solid.

    vertices_m : (N, 3). triangles : (M, 3) places among them, counter-clockwise seen from outside.
    """

    vertices_m: Floats
    triangles: Triangles

    def mirrored(self) -> Convex:
        """Its image on the other side of the vehicle's centre line."""
        return Convex(_still(self.vertices_m * (1.0, -1.0, 1.0)), _still(self.triangles[:, ::-1]))


def hull_of(corners_m: Sequence[Vector]) -> Convex | None:
    """The smallest convex solid that holds all corners; None when they lie in one plane. [m]"""
    from manifold3d import Manifold

    if len(corners_m) < 4:
        return None
    return _solid(Manifold.hull_points(np.array(corners_m, dtype=np.float64)))


def within_outlines(
    *, side: Sequence[Flat] = (), top: Sequence[Flat] = (), front: Sequence[Flat] = ()
) -> Convex | None:
    """What lies inside each of the convex outlines, every one drawn out across its view; None when nothing does. [m]

    Parameters
    ----------
    side : x, z. top : x, y. front : y, z. Either way round; an empty one cuts nothing off. Two at least.

    Raises
    ------
    ValueError : fewer than two outlines: nothing would close the solid.
    """
    given = [
        (view, flat_hull(outline)) for view, outline in (("side", side), ("top", top), ("front", front)) if outline
    ]
    if len(given) < 2:
        raise ValueError("a solid needs two outlines at least")
    solid = _drawn_out(*given[0])
    for view, outline in given[1:]:
        solid ^= _drawn_out(view, outline)
    return _solid(solid)


def flat_hull(points: Sequence[Flat]) -> tuple[Flat, ...]:
    """Corners of the tight string round points in one plane, counterclockwise (Andrew's monotone chain)."""
    ordered = sorted(set(points))

    def chain(run: Sequence[Flat]) -> list[Flat]:
        kept: list[Flat] = []
        for point in run:
            while len(kept) > 1 and not _turns_left(kept[-2], kept[-1], point):
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return tuple(ordered) if len(ordered) < 3 else (*chain(ordered), *chain(ordered[::-1]))


def _turns_left(first: Flat, middle: Flat, last: Flat) -> bool:
    return (middle[0] - first[0]) * (last[1] - first[1]) - (middle[1] - first[1]) * (last[0] - first[0]) > 0


def box(*, half_m: Vector, middle_m: Vector = (0.0, 0.0, 0.0)) -> Convex:
    """An upright box by half its size along each axis and its middle. [m]

    Raises
    ------
    ValueError : it has no size along an axis.
    """
    signs = [(i, j, k) for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)]
    made = hull_of([tuple(m + s * h for m, s, h in zip(middle_m, each, half_m, strict=True)) for each in signs])  # type: ignore[misc]
    if made is None:
        raise ValueError(f"a box of {half_m} has no inside")
    return made


def _drawn_out(view: str, outline: Sequence[Flat]) -> Manifold:
    """A prism across its view: its outline at both ends, far out on either side of the vehicle."""
    from manifold3d import Manifold

    ends = (-_FAR_M, _FAR_M)
    match view:
        case "side":
            corners = [(along, far, up) for far in ends for along, up in outline]
        case "top":
            corners = [(along, up, far) for far in ends for along, up in outline]
        case _:
            corners = [(far, along, up) for far in ends for along, up in outline]
    return Manifold.hull_points(np.array(corners, dtype=np.float64))


def _solid(found: Manifold) -> Convex | None:
    if found.volume() < LEAST_VOLUME_M3:
        return None
    mesh = found.hull().to_mesh64()  # a cut solid lists corners once for each of the solids it was cut from
    return Convex(_still(mesh.vert_properties[:, :3]), _still(mesh.tri_verts.astype(np.int32)))


def _still(array: NDArray) -> NDArray:  # type: ignore[type-arg]
    """A copy nobody writes to: solids are remembered and shared."""
    kept = np.ascontiguousarray(array).copy()
    kept.flags.writeable = False
    return kept
