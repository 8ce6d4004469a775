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
coachwright.parts.body_pieces : the pieces of a body. coachwright.place.fitted : what is fitted.
coachwright.place.panels : what an open panel carries along.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Head, Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.convex import Convex
from coachwright.kit.geom import Pose
from coachwright.parts.body_pieces import solid_of
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import BodyPart, Place
from coachwright.parts.standing import Side, place_pose
from coachwright.place.fitted import fitted_solids
from coachwright.place.panels import BODY, carried, panel_name
from coachwright.place.poses import place_and_side

Floats: TypeAlias = NDArray[np.float64]

SET_INTO_M = 0.01
"""A piece this close to the middle of a lamp is what the lamp is set into or bolted to."""

_AS_SHUT: frozenset[str] = frozenset()
_STILL = Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
"""The vehicle frame itself; carried by a panel, it says where everything on that panel goes."""


@dataclass(frozen=True, slots=True)
class Solid:
    """One convex, closed piece of the vehicle or of what is fitted to it, as it stands.

    name : how a person calls it (``cap roof``, ``front pillar left``, ``roof-bar``); no two of a model share one.
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
    if opened:
        return tuple(_as_it_stands(each, model.body, opened) for each in solids_of(model, _AS_SHUT))
    return tuple(_told_apart((*_of_body(model.body), *_fitted(model))))


def mount_of(head: Head, model: Model) -> tuple[str, ...]:
    """Names of the solids that never shadow this head.

    Those are the housing of its own lamp; of the pieces on its own panel those its place is set into or bolted to; and
    its own pane.
    """
    body, seat = model.body, _seats(model)
    place, side = place_and_side(head, body)
    panel = _rides_on(body, place, side)
    off_m = seat.outside_m(np.array(place_pose(place, side).position_m))
    own, panes, near = [], [], {}
    for each, away_m in zip(seat.solids, off_m, strict=True):
        if each.path:
            if each.path == head.path and (not side or _on_side(each, side)):
                own.append(each.name)
        elif each.pane:
            if each.pane == place.glass and (not body.glass[place.glass].mirrored or _on_side(each, side)):
                panes.append(each.name)
        elif each.panel == panel:
            near[each.name] = float(away_m)
    nearest_m = SET_INTO_M if place.glass else min(near.values(), default=0.0)
    held = [name for name, away_m in near.items() if away_m <= max(SET_INTO_M, nearest_m)]
    return (*own, *panes, *held)


def _on_side(one_of_a_pair: Solid, side: Side) -> bool:
    """Whether it is the one on this side of the vehicle."""
    on_left = float(one_of_a_pair.vertices_m[:, 1].mean()) >= 0
    return on_left == (side != "right")


@dataclass(frozen=True, slots=True)
class _Seats:
    """The solids with everything shut, by their faces: outward unit normals and how far out each face is. [m]"""

    solids: tuple[Solid, ...]
    normals: Floats
    out_m: Floats
    first: NDArray[np.intp]

    def outside_m(self, spot: Floats) -> Floats:
        """How far a point lies outside each solid's faces; below nothing inside. [m]"""
        found: Floats = np.maximum.reduceat(self.normals @ spot - self.out_m, self.first)
        return found


@by_digest
def _seats(model: Model) -> _Seats:
    solids = solids_of(model, _AS_SHUT)
    normals, out_m, first, count_n = [], [], [], 0
    for each in solids:
        corners = each.vertices_m[each.triangles]
        across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        area = np.linalg.norm(across, axis=1)
        true = area > area.max() * 1e-9  # a sliver has no direction
        unit = across[true] / area[true, None]
        normals.append(unit)
        out_m.append((unit * corners[true, 0]).sum(axis=1))
        first.append(count_n)
        count_n += len(unit)
    return _Seats(
        solids,
        np.concatenate(normals or [np.empty((0, 3))]),
        np.concatenate(out_m or [np.empty(0)]),
        np.array(first, dtype=np.intp),
    )


# ---- what there is, with everything shut


def _of_body(body: BodyPart) -> Iterator[Solid]:
    for name, piece in body.pieces.items():
        shape = solid_of(piece)
        if shape is None:
            continue  # told where the body is read (parts.body_pieces_checks)
        called = name.replace("-", " ")
        panel = body.panels.get(piece.panel)
        if not piece.mirrored:
            yield _solid(called, "", piece.panel, piece.glass, shape)
            continue
        pair: tuple[tuple[Side, Convex], ...] = (("left", shape), ("right", shape.mirrored()))
        for side, image in pair:
            rides = piece.panel if panel is None else panel_name(piece.panel, panel, side)
            yield _solid(f"{called} {side}", "", rides, piece.glass, image)


def _fitted(model: Model) -> Iterator[Solid]:
    for each in fitted_solids(model):
        panel = _rides_on(model.body, each.place, each.side)
        yield _solid(each.name, each.path, panel, "", _placed(each.shape, each.pose))


def _rides_on(body: BodyPart, place: Place, side: Side) -> str:
    """The panel a thing at a place rides on, as open_panels names it."""
    return BODY if place.panel == BODY else panel_name(place.panel, body.panels[place.panel], side)


def _told_apart(solids: Iterable[Solid]) -> Iterator[Solid]:
    """A name that is taken already gets a number: a lamp called roof is not the roof."""
    taken: set[str] = set()
    for each in solids:
        name, number = each.name, 2
        while name in taken:
            name, number = f"{each.name} ({number})", number + 1
        taken.add(name)
        yield each if name == each.name else replace(each, name=name)


def _solid(name: str, path: str, panel: str, pane: str, shape: Convex) -> Solid:
    return Solid(name, path, panel, pane, shape.vertices_m, shape.triangles)


# ---- moving


def _placed(shape: Convex, pose: Pose) -> Convex:
    moved: Floats = shape.vertices_m @ pose.axes() + np.array(pose.position_m)
    moved.flags.writeable = False
    return Convex(moved, shape.triangles)


def _as_it_stands(solid: Solid, body: BodyPart, opened: frozenset[str]) -> Solid:
    if solid.panel not in opened:
        return solid
    name, side = (solid.panel, _NO_SIDE) if solid.panel in body.panels else side_and_name(solid.panel)
    shape = _placed(Convex(solid.vertices_m, solid.triangles), carried(_STILL, body, name, side))
    return replace(solid, vertices_m=shape.vertices_m)


_NO_SIDE: Side = ""
