"""Closed convex solids: the hull of corners, and what lies within outlines from three sides."""

import math

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.convex import Convex, box, flat_hull, hull_of, within_outlines

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
FIGURE = st.floats(-5.0, 5.0).map(lambda value: round(value, 3))
CORNER = st.tuples(FIGURE, FIGURE, FIGURE)


def mesh_of(solid: Convex) -> trimesh.Trimesh:
    """The solid as an independent library sees it; nothing merged or mended on the way."""
    return trimesh.Trimesh(solid.vertices_m, solid.triangles, process=False)


def round_outline(corners_n: int, *, radius_m: float = 1.0) -> tuple[tuple[float, float], ...]:
    """A regular polygon."""
    return tuple(
        (radius_m * math.cos(math.tau * k / corners_n), radius_m * math.sin(math.tau * k / corners_n))
        for k in range(corners_n)
    )


def test_a_box_has_the_volume_of_a_box() -> None:
    """Length times width times height, by trimesh's own sum over tetrahedra."""
    solid = mesh_of(box(half_m=(0.5, 1.0, 1.5), middle_m=(3.0, 0.0, 1.0)))

    assert solid.is_watertight
    assert solid.volume == pytest.approx(1.0 * 2.0 * 3.0)
    assert solid.bounds.tolist() == [[2.5, -1.0, -0.5], [3.5, 1.0, 2.5]]


def test_two_outlines_make_a_prism_three_cut_it() -> None:
    """A square from the side and from above is a cube; a triangle from the front leaves half of it."""
    cube = within_outlines(side=SQUARE, top=SQUARE)
    half = within_outlines(side=SQUARE, top=SQUARE, front=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))

    assert cube is not None
    assert half is not None
    assert mesh_of(cube).volume == pytest.approx(1.0)
    assert mesh_of(half).volume == pytest.approx(0.5)


def test_three_round_outlines_come_near_the_tricylinder() -> None:
    """What three cylinders of one radius have in common: 8 (2 - sqrt 2) r3 (MathWorld, Steinmetz solid)."""
    outline = round_outline(96)
    solid = within_outlines(side=outline, top=outline, front=outline)

    assert solid is not None
    assert mesh_of(solid).volume == pytest.approx(8 * (2 - math.sqrt(2)), rel=2e-3)


def test_outlines_that_miss_each_other_hold_nothing() -> None:
    """As does a hull of corners in one plane, or of three."""
    away = tuple((x + 3.0, y) for x, y in SQUARE)

    assert within_outlines(side=SQUARE, top=away) is None
    assert hull_of([(x, y, 0.0) for x, y in SQUARE]) is None
    assert hull_of([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 1.0)]) is None
    with pytest.raises(ValueError, match="two outlines"):
        within_outlines(side=SQUARE)
    with pytest.raises(ValueError, match="no inside"):
        box(half_m=(1.0, 0.0, 1.0))


@given(st.lists(CORNER, min_size=4, max_size=14))
def test_a_hull_is_closed_convex_and_holds_its_corners(corners: list[tuple[float, float, float]]) -> None:
    """Law: every corner lies inside or on it, and every vertex of it is one of the corners."""
    solid = hull_of(corners)
    if solid is None:
        spread = np.array(corners) - np.array(corners).mean(axis=0)
        assert np.linalg.svd(spread, compute_uv=False)[-1] < 1e-2
        return
    mesh = mesh_of(solid)

    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0
    assert {tuple(np.round(each, 3) + 0.0) for each in solid.vertices_m} <= {
        tuple(np.round(each, 3) + 0.0) for each in corners
    }
    face = mesh.triangles[mesh.area_faces > 1e-9]
    normal = mesh.face_normals[mesh.area_faces > 1e-9]
    assert ((np.array(corners) @ normal.T) - (face[:, 0] * normal).sum(axis=1)).max() < 1e-6


@given(st.lists(CORNER, min_size=4, max_size=10))
def test_a_mirror_image_keeps_volume_and_sense(corners: list[tuple[float, float, float]]) -> None:
    """Law: mirrored twice is the same; mirrored once it still looks outward."""
    solid = hull_of(corners)
    if solid is None:
        return
    image = solid.mirrored()

    assert mesh_of(image).volume == pytest.approx(mesh_of(solid).volume, rel=1e-9)
    assert np.array_equal(image.mirrored().vertices_m, solid.vertices_m)
    assert not image.vertices_m.flags.writeable


@given(st.lists(st.tuples(FIGURE, FIGURE), min_size=3, max_size=30))
def test_a_tight_string_holds_every_point(points: list[tuple[float, float]]) -> None:
    """Law: seen along the string, counterclockwise, no point lies to its right."""
    string = flat_hull(points)
    if len(string) < 3:
        return
    for (x1, y1), (x2, y2) in zip(string, (*string[1:], string[0]), strict=True):
        assert all((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) >= -1e-9 for x, y in points)
