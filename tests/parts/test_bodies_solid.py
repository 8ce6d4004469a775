"""Are the bodies as solid as they are drawn? Closed convex pieces, held by trimesh against outlines and places."""

import math
from collections.abc import Iterator

import manifold3d
import numpy as np
import pytest
import trimesh

from coachwright.kit.convex import Convex, flat_hull
from coachwright.parts.body_pieces import Piece, solid_of
from coachwright.parts.schema import BodyPart, Place
from coachwright.parts.store import load_catalogue
from tests.parts.silhouette import Floats, Shape, along, covered_all, shapes_in

BODIES = ("crew-cab-pickup-with-cap", "estate-car", "full-size-sport-utility", "high-roof-van", "saloon")
WITHIN_M = 0.030
"""How near the solids are to what is drawn."""
FACES = {"side": (0, 2), "top": (0, 1), "front": (1, 2), "rear": (1, 2)}

INSIDE = {"dome", "cargo-dome", "cargo-rear", "command-tray", "hatch-underside", "cap-hatch-underside"}
"""Places for a lamp that are not on the skin: under a headliner, in the load space, behind a rim that opens."""


@pytest.fixture(scope="module", params=BODIES)
def body(request: pytest.FixtureRequest) -> BodyPart:
    """Each body in turn."""
    part = load_catalogue().get(request.param)
    assert isinstance(part, BodyPart)
    return part


def solids(body: BodyPart) -> Iterator[tuple[str, Piece, Convex]]:
    """Every solid of a body with everything shut; of a pair both."""
    for name, piece in body.pieces.items():
        solid = solid_of(piece)
        assert solid is not None, name
        yield name, piece, solid
        if piece.mirrored:
            yield name, piece, solid.mirrored()


def skin(body: BodyPart) -> tuple[float, Floats]:
    """Volume of all solids together, and the triangles of their common surface: nothing of what lies within. [m3, m]"""
    whole = manifold3d.Manifold.batch_boolean(
        [
            manifold3d.Manifold(manifold3d.Mesh64(np.array(solid.vertices_m), solid.triangles.astype(np.uint64)))
            for _, _, solid in solids(body)
        ],
        manifold3d.OpType.Add,
    )
    mesh = whole.to_mesh64()
    return whole.volume(), mesh.vert_properties[:, :3][mesh.tri_verts.astype(int)]


def away_m(surface: Floats, point: tuple[float, float, float]) -> float:
    """From a point to the nearest triangle, by trimesh. [m]"""
    nearest = trimesh.triangles.closest_point(surface, np.repeat(np.array([point]), len(surface), axis=0))
    return float(np.linalg.norm(nearest - np.array(point), axis=1).min())


# ---- each piece


def test_every_piece_is_closed_convex_and_looks_outward(body: BodyPart) -> None:
    """Law: as trimesh sees it, nothing merged or mended."""
    for name, _, solid in solids(body):
        mesh = trimesh.Trimesh(solid.vertices_m, solid.triangles, process=False)
        assert mesh.is_watertight, name
        assert mesh.is_winding_consistent, name
        assert mesh.volume > 1e-5, name
        hollow_m = [
            float(((mesh.vertices - mesh.triangles[face][0]) @ mesh.face_normals[face]).max())
            for face in np.flatnonzero(mesh.area_faces > 1e-8)
        ]
        assert max(hollow_m) < 1e-6, name


def test_a_pane_is_thin_where_it_is_flat_and_has_its_piece(body: BodyPart) -> None:
    """House: every pane of the body has a piece, on the panel the pane rides on."""
    panes = {piece.glass: piece for _, piece, _ in solids(body) if piece.glass}

    assert set(panes) == set(body.glass)
    for name, piece in panes.items():
        assert piece.panel == body.glass[name].panel
        assert piece.mirrored == body.glass[name].mirrored


def test_a_pane_lies_as_its_glass_is_said_to(body: BodyPart) -> None:
    """Law: the largest face of a pane that looks outward is within 8 deg of the pane's bearing and rise."""
    for name, piece, solid in solids(body):
        if not piece.glass or (solid.vertices_m[:, 1].mean() < -1e-6 and body.glass[piece.glass].mirrored):
            continue
        pane = body.glass[piece.glass]
        out = np.array(
            [
                math.cos(pane.rise) * math.cos(pane.facing),
                -math.cos(pane.rise) * math.sin(pane.facing),
                math.sin(pane.rise),
            ]
        )
        mesh = trimesh.Trimesh(solid.vertices_m, solid.triangles, process=False)
        outward = (mesh.face_normals @ out) > 0.5
        mean = (mesh.face_normals[outward] * mesh.area_faces[outward, None]).sum(axis=0)
        apart_deg = math.degrees(math.acos(min(1.0, float(mean @ out) / float(np.linalg.norm(mean)))))
        assert apart_deg < 8, (name, apart_deg)


# ---- all together


def test_the_vehicle_is_its_own_mirror_image(body: BodyPart) -> None:
    """Law: but for a panel that is there on one side only, and the blind wall opposite to it."""
    one_sided = {name for name, piece, _ in solids(body) if not piece.mirrored and not piece.half}
    if body.name == "high-roof-van":
        assert one_sided == {name for name in body.pieces if name.startswith("sliding-")} | {"blind-wall"}
    else:
        assert one_sided == set()
    corners = np.concatenate([solid.vertices_m for name, _, solid in solids(body) if name not in one_sided])
    image = corners * (1, -1, 1)
    for corner in image:
        assert np.abs(corners - corner).max(axis=1).min() < 1e-6


def test_it_is_as_large_as_a_vehicle_of_its_class(body: BodyPart) -> None:
    """Common practice: all pieces together fill between a fifth and two thirds of the box round the vehicle; a van is
    walls round a hollow. They reach as far as length, width and height say."""
    volume_m3, surface = skin(body)
    corners = surface.reshape(-1, 3)
    front, rear, top = corners[:, 0].max(), corners[:, 0].min(), corners[:, 2].max()
    body_only = np.concatenate(
        [s.vertices_m for name, _, s in solids(body) if "mirror" not in name and "board" not in name]
    )

    assert 0.2 < volume_m3 / (body.length * body.width * body.height) < 0.67
    assert front == pytest.approx(body.front_overhang, abs=WITHIN_M)
    assert front - rear == pytest.approx(body.length, abs=WITHIN_M)
    assert top == pytest.approx(body.height, abs=WITHIN_M)
    assert 2 * body_only[:, 1].max() == pytest.approx(body.width, abs=2 * WITHIN_M)
    assert corners[:, 2].min() == pytest.approx(0.0, abs=WITHIN_M)


def stated_points(body: BodyPart) -> dict[str, tuple[float, float, float]]:
    """Points that are on the skin: places for lamps, bars and antennas outside, and the drawn line of the middle.

    The line of the middle is what is drawn of the side view over bumper height: on the centre line, that is where a
    body alike on both sides reaches furthest up, forward and back.
    """
    points = {name: (place.x, place.y, place.z) for name, place in body.places.items() if _outside(name, place)}
    shapes = [outline for outline in body.outlines if outline.view == "side" and outline.layer == "body"]
    lines = [outline.points for outline in shapes if outline.panel == "body" and _spans(outline.points)]
    least_z_m = 0.45 if body.height > 1.8 else 0.35
    for line in lines:
        for x, z in line:
            top = z >= max(up for along_, up in _near(lines, x)) - 1e-9
            ends = x > body.front_overhang - 0.12 or x < body.front_overhang - body.length + 0.02
            spaced = all(math.dist((x, z), (other[0], other[2])) > 0.09 for other in points.values() if other[1] == 0)
            if (top or ends) and z > least_z_m and spaced:
                points[f"middle at {x * 1000:.0f} {z * 1000:.0f}"] = (x, 0.0, z)
    return points


def _outside(name: str, place: Place) -> bool:
    lit = {"lamp", "bar", "antenna"} & set(place.holds)
    return bool(lit) and not place.glass and name not in INSIDE


def _spans(points: tuple[tuple[float, float], ...]) -> bool:
    """A line of the body itself, not a rim, a mirror, a rail, a running board or a fin."""
    along_m = [x for x, _ in points]
    up_m = [z for _, z in points]
    return max(along_m) - min(along_m) > 1.0 and max(up_m) - min(up_m) > 0.3


def _near(lines: list[tuple[tuple[float, float], ...]], x: float) -> Iterator[tuple[float, float]]:
    """Where the lines cross one upright line."""
    for line in lines:
        for (x1, z1), (x2, z2) in zip(line, (*line[1:], line[0]), strict=True):
            if min(x1, x2) <= x <= max(x1, x2):
                share = 0.0 if x1 == x2 else (x - x1) / (x2 - x1)
                yield x, (max(z1, z2) if x1 == x2 else z1 + share * (z2 - z1))


def test_fifty_stated_points_are_within_30_mm_of_the_skin(body: BodyPart) -> None:
    """House: trimesh's nearest point on the common surface of all pieces."""
    points = stated_points(body)
    _, surface = skin(body)
    off_mm = {name: round(away_m(surface, point) * 1000) for name, point in points.items()}

    assert len(points) >= 50
    assert {name: off for name, off in off_mm.items() if off > WITHIN_M * 1000} == {}


# ---- in each view


def drawn(body: BodyPart, view: str) -> list[Shape]:
    """The drawn shapes of body and wheels. From the front and from behind one sees what stands out beyond: both."""
    views = (view,) if view in ("side", "top") else ("front", "rear")
    return shapes_in(body, *views, layers=("body", "wheel"))


def arches(body: BodyPart, view: str) -> list[Shape]:
    """The holes of the wheel arches, in the side view: dark, but one doesn't see through. Tyre and 110 mm round it."""
    if view != "side":
        return []
    wheels = [shape for shape in shapes_in(body, "side", layers=("wheel",)) if min(z for _, z in shape) < 0.01]
    found = []
    for wheel in wheels:
        x, radius = sum(x for x, _ in wheel) / len(wheel), max(z for _, z in wheel) / 2
        turn = [math.tau * k / 64 for k in range(64)]
        found.append([(x + (radius + 0.11) * math.cos(a), radius + (radius + 0.11) * math.sin(a)) for a in turn])
    return found


def outlines(body: BodyPart, view: str) -> list[tuple[str, Shape]]:
    """The outline of every solid in a view: the tight string round its corners."""
    along_, up = FACES[view]
    found = []
    for name, _, solid in solids(body):
        corners = [(float(x), float(y)) for x, y in solid.vertices_m[:, [along_, up]]]
        found.append((name, list(flat_hull(corners))))
    return found


@pytest.mark.parametrize("view", FACES)
def test_what_is_drawn_is_solid(body: BodyPart, view: str) -> None:
    """Law: along every drawn outline, and every 40 mm within it, a solid is no further than 30 mm off."""
    shapes = drawn(body, view)
    strings = [string for _, string in outlines(body, view)]
    rim = np.concatenate([along(shape, step_m=0.03) for shape in shapes])
    low, high = rim.min(axis=0), rim.max(axis=0)
    grid = np.stack(np.meshgrid(np.arange(low[0], high[0], 0.04), np.arange(low[1], high[1], 0.04)), axis=-1)
    inner = grid.reshape(-1, 2)
    inner = inner[covered_all(shapes, inner, slack_m=0.0)]
    points = np.concatenate([rim, inner])
    bare = points[~covered_all(strings, points, slack_m=WITHIN_M)]

    assert len(inner) > 500
    assert bare.tolist() == []


@pytest.mark.parametrize("view", FACES)
def test_what_is_solid_is_drawn(body: BodyPart, view: str) -> None:
    """Law: no solid stands out of the drawn outlines by more than 30 mm in any view."""
    shapes = [*drawn(body, view), *arches(body, view)]
    out = {}
    for name, string in outlines(body, view):
        rim = along(string, step_m=0.03)
        beyond = rim[~covered_all(shapes, rim, slack_m=WITHIN_M)]
        if len(beyond):
            out[name] = beyond[0].round(3).tolist()

    assert out == {}
