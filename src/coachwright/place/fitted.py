"""What is fitted to the vehicle, as solid things with everything shut: housings of lamps, gear outside?

A lamp and a piece of equipment is a box behind its face, which stands at its place. An antenna stands out of its panel.
A rack, a push bumper or another mount is what its part says (parts.carried.MountPart). Whatever has no size in its part
is left out, and so is a trailer: a build doesn't say how large one is.

See Also
--------
coachwright.place.solids : the body's own pieces, and how all of it moves.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.build.places import body_place
from coachwright.kit.convex import Convex, box
from coachwright.kit.geom import Pose
from coachwright.parts.body_pieces import solid_of
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import AntennaPart, HousedPart, LampPart, MountPart, Place
from coachwright.parts.standing import Side, lamp_pose, place_pose
from coachwright.place.poses import lamps_fitted

ROD_M = 0.008
"""An antenna rod is about so thick."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """One solid of something fitted, in its own frame, and where that frame stands.

    name : how it is called; a pair carries its side (``tail.left``), as lamps and heads do. path : to blame.
    place, side : where it stands.
    """

    name: str
    path: str
    place: Place
    side: Side
    pose: Pose
    shape: Convex


def fitted_solids(model: Model) -> Iterator[Fitted]:
    """Lamps, then equipment, then mounts, each in the order of the file."""
    yield from _lamps(model)
    yield from _equipment(model)
    yield from _mounts(model)


def _lamps(model: Model) -> Iterator[Fitted]:
    for head in lamps_fitted(model):
        part = model.part(head.part)
        if not isinstance(part, LampPart):
            continue
        place = model.body.places[head.place]
        pose = lamp_pose(place, head.side, aim_rad=head.aim_rad, elevation_rad=head.elevation_rad)
        shape = _housing(part.width, part.height, part.depth)
        if shape is not None:
            yield Fitted(_called(head.lamp, head.side), head.path, place, head.side, pose, shape)


def _equipment(model: Model) -> Iterator[Fitted]:
    for item in model.equipment:
        part = model.part(item.part)
        if isinstance(part, AntennaPart):
            half_m = (part.width or ROD_M) / 2
            shape = box(half_m=(part.height / 2, half_m, half_m), middle_m=(part.height / 2, 0.0, 0.0))
        elif isinstance(part, HousedPart) and (found := _housing(part.width, part.height, part.depth)) is not None:
            shape = found
        else:
            continue
        for place, side in _stands_at(model, item.at, count_n=item.count):
            yield Fitted(_called(item.name, side), item.path, place, side, place_pose(place, side), shape)


def _mounts(model: Model) -> Iterator[Fitted]:
    for item in model.cargo:
        part = model.part(item.part) if item.part else None
        if not isinstance(part, MountPart):
            continue
        for place, side in _stands_at(model, item.at, count_n=item.count_n):
            pose = _level(place, side)
            for name, piece in part.pieces.items():
                shape = solid_of(piece)
                if shape is None:
                    continue  # told where the part is read (parts.body_pieces_checks)
                called = f"{_called(item.name, side)} {name.replace('-', ' ')}"
                if not piece.mirrored:
                    yield Fitted(called, item.path, place, side, pose, shape)
                    continue
                yield Fitted(f"{called} left", item.path, place, side, pose, shape)
                yield Fitted(f"{called} right", item.path, place, side, pose, shape.mirrored())


def _housing(width_m: float, height_m: float, depth_m: float) -> Convex | None:
    """A box behind a face in the middle of which its frame begins, looking out along x; None without a size."""
    if min(width_m, height_m, depth_m) <= 0:
        return None
    return box(half_m=(depth_m / 2, width_m / 2, height_m / 2), middle_m=(-depth_m / 2, 0.0, 0.0))


def _called(name: str, side: Side) -> str:
    return f"{name}.{side}" if side else name


def _stands_at(model: Model, at: str, *, count_n: int) -> Iterator[tuple[Place, Side]]:
    """Where on the body something stands: once, or on both sides where the place is a pair and there are several."""
    spot = body_place(model, at)
    name, side = (spot, _NO_SIDE) if spot in model.body.places else side_and_name(spot)
    place = model.body.places.get(name)
    if place is None:
        return
    if place.mirrored and not side and count_n > 1:
        yield place, "left"
        yield place, "right"
    else:
        yield place, side


def _level(place: Place, side: Side) -> Pose:
    """The frame of a mount: the way its place faces, but level, whatever the place rises by."""
    pose = Pose.facing((place.x, place.y, place.z), bearing_rad=place.facing)
    return pose.mirrored() if place.mirrored and side == "right" else pose


_NO_SIDE: Side = ""
