"""Which solid things stand where: the vehicle's own pieces, and the housings of what is fitted to it?

Everything is convex and closed, as it stands with some panels open. What is hollow (cabin, bed) is made of walls, roof,
pillars and panes, so a lamp inside looks out where a person would.

Notes
-----
A convex piece can only shade a head bolted to it behind the plane of its face there, and that is what the `clear` angle
of the place already says (light.far_field). So a head's own mount is left out of its shadow (`mount_of`); every other
piece counts.

See Also
--------
coachwright.parts.body_pieces : the pieces of a body. coachwright.place.panels : what an open panel carries along.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Head, Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.convex import Convex, box
from coachwright.kit.geom import Pose, Vector
from coachwright.parts.body_pieces import solid_of
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import AntennaPart, BodyPart, LampPart, Piece, Place
from coachwright.parts.standing import Side, lamp_pose, place_pose
from coachwright.place.panels import BODY, carried, is_open, panel_name
from coachwright.place.poses import place_and_side

Floats: TypeAlias = NDArray[np.float64]

SET_INTO_M = 0.01
"""A piece this close to the middle of a lamp is what the lamp is set into or bolted to."""
_WHIP_HALF_M = 0.004
_STILL = Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
"""Where the vehicle frame itself is; carried by a panel, it says where everything on that panel goes."""

_shape = lru_cache(maxsize=4096)(solid_of)


@dataclass(frozen=True, slots=True)
class Solid:
    """One convex, closed piece of the vehicle or of what is fitted to it, as it stands.

    name : how a person calls it (``cap``, ``front pillar left``, ``roof-bar``); no two solids of a model share one.
    path : the build path to blame (``lamps.roof-bar``), "" for the vehicle itself.
    panel : the moving panel it rides on as open_panels names it, else ``body``.
    pane : name of the body's pane if it is glass, else "".
    vertices_m : (N, 3), vehicle frame.
    triangles : (M, 3) places among them, counter-clockwise seen from outside.
    """

    name: str
    path: str
    panel: str
    pane: str
    vertices_m: Floats
    triangles: NDArray[np.int32]


@by_digest
def solids_of(model: Model, opened: frozenset[str]) -> tuple[Solid, ...]:
    """Every solid while these panels stand open (place.panels.open_panels): the body's, then what is fitted."""
    shut = (*_body(model.body), *_told_apart(model.body, (*_lamps(model), *_gear(model))))
    return tuple(_as_it_stands(each, model.body, opened) for each in shut)


def mount_of(head: Head, model: Model) -> tuple[str, ...]:
    """Names of the solids that never shadow this head.

    Those are the housing of its own lamp, what its place is bolted to or set into (on its own panel), and its own pane.
    """
    body = model.body
    place, side = place_and_side(head, body)
    panel = _rides_on(body, place, side)
    spot = np.array(place_pose(place, side).position_m)
    own, panes, near = [], [], []
    for each in solids_of(model, frozenset()):
        if each.path:
            if each.path == head.path and (not side or each.name.endswith(f".{side}")):
                own.append(each.name)
        elif each.pane:
            if each.pane == place.glass and (not body.glass[place.glass].mirrored or _on_side(each, spot)):
                panes.append(each.name)
        elif each.panel == panel:
            near.append((_outside_m(each, spot), each.name))
    nearest_m = min((off_m for off_m, _ in near), default=0.0)
    reach_m = SET_INTO_M if place.glass else max(SET_INTO_M, nearest_m)
    return (*own, *panes, *(name for off_m, name in near if off_m <= reach_m))


def _on_side(pane: Solid, spot: Floats) -> bool:
    """Of a pair of panes: the one on the spot's side of the vehicle."""
    return float(pane.vertices_m[:, 1].mean()) * float(spot[1]) >= 0


def _outside_m(solid: Solid, spot: Floats) -> float:
    """How far a point lies outside the planes of a solid; below nothing inside. [m]"""
    corners = solid.vertices_m[solid.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(normals, axis=1)
    true = lengths > 0
    off = ((spot - corners[true, 0]) * normals[true]).sum(axis=1) / lengths[true]
    return float(off.max())


# ---- what there is, with everything shut; `panel` is still the body's own name of it


def _body(body: BodyPart) -> Iterator[Solid]:
    for name, piece in body.pieces.items():
        shape = _shape(piece)
        if shape is None:
            continue  # told where the body is read (parts.body_pieces_checks)
        called = name.replace("-", " ")
        if not piece.mirrored:
            yield _solid(called, "", piece.panel, piece.glass, shape)
            continue
        for side, image in (("left", shape), ("right", shape.mirrored())):
            yield _solid(f"{called} {side}", "", _panel(body, piece, side), piece.glass, image)


def _panel(body: BodyPart, piece: Piece, side: str) -> str:
    panel = body.panels.get(piece.panel)
    return piece.panel if panel is None else panel_name(piece.panel, panel, "right" if side == "right" else "left")


def _lamps(model: Model) -> Iterator[Solid]:
    """The housing of each lamp we fit: a box behind its face."""
    seen: set[tuple[str, Side]] = set()
    for head in model.heads:
        part = model.part(head.part) if head.reach == "own" else None
        if not isinstance(part, LampPart) or (head.lamp, head.side) in seen:
            continue
        seen.add((head.lamp, head.side))
        place = model.body.places[head.place]
        pose = lamp_pose(place, head.side, aim_rad=head.aim_rad, elevation_rad=head.elevation_rad)
        housing = box(half_m=(part.depth / 2, part.width / 2, part.height / 2), middle_m=(-part.depth / 2, 0.0, 0.0))
        name = f"{head.lamp}.{head.side}" if head.side else head.lamp
        yield _solid(name, head.path, _rides_on(model.body, place, head.side), "", _placed(housing, pose))


def _gear(model: Model) -> Iterator[Solid]:
    """Antennas: a rod out of the panel. Nothing else of the catalogue's equipment stands outside by itself."""
    for item in model.equipment:
        part = model.part(item.part)
        name, side = _place_and_side(model.body, item.at)
        place = model.body.places.get(name)
        if not isinstance(part, AntennaPart) or place is None:
            continue
        rod = box(half_m=(part.height / 2, _WHIP_HALF_M, _WHIP_HALF_M), middle_m=(part.height / 2, 0.0, 0.0))
        yield _solid(
            item.name, item.path, _rides_on(model.body, place, side), "", _placed(rod, place_pose(place, side))
        )


def _place_and_side(body: BodyPart, at: str) -> tuple[str, Side]:
    return (at, "") if at in body.places else side_and_name(at)


def _rides_on(body: BodyPart, place: Place, side: Side) -> str:
    """The panel a thing at a place rides on, as open_panels names it."""
    return BODY if place.panel == BODY else panel_name(place.panel, body.panels[place.panel], side)


def _told_apart(body: BodyPart, fitted: Iterable[Solid]) -> Iterator[Solid]:
    """What is fitted under a name the body uses for a piece, or another thing has, is called so that both differ."""
    taken = {each.name for each in _body(body)}
    for each in fitted:
        name, number = each.name, 2
        while name in taken:
            name, number = f"{each.name} ({number})", number + 1
        taken.add(name)
        yield replace(each, name=name)


def _solid(name: str, path: str, panel: str, pane: str, shape: Convex) -> Solid:
    return Solid(name, path, panel, pane, shape.vertices_m, shape.triangles)


# ---- moving


def _placed(shape: Convex, pose: Pose) -> Convex:
    moved = shape.vertices_m @ pose.axes() + np.array(pose.position_m)
    moved.flags.writeable = False
    return Convex(moved, shape.triangles)


def _as_it_stands(solid: Solid, body: BodyPart, opened: frozenset[str]) -> Solid:
    if solid.panel not in opened:
        return solid
    name, side = _panel_and_side(body, solid.panel)
    if not is_open(body, name, side, opened):
        return solid
    shape = _placed(Convex(solid.vertices_m, solid.triangles), carried(_STILL, body, name, side))
    return replace(solid, vertices_m=shape.vertices_m)


def _panel_and_side(body: BodyPart, called: str) -> tuple[str, Side]:
    return (called, "") if called in body.panels else side_and_name(called)


__all__ = ["Solid", "Vector", "mount_of", "solids_of"]
