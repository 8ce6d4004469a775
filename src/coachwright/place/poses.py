"""Where does each head stand, and which way does it look, with everything shut and with panels open?

The walk: a place has an outward direction; the lamp is turned from it by `aim` and `elevation`; the head sits in the
lamp with an offset and a turn of its own (parts.standing); an open panel carries all of that along.

See Also
--------
coachwright.build.model : the heads. coachwright.place.panels : what is open. coachwright.light.far_field : who asks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coachwright.build.model import Head, Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Pose
from coachwright.parts.schema import AnyPart, BodyPart, LampPart, Place
from coachwright.parts.standing import Side, head_in_lamp, lamp_pose, place_pose
from coachwright.place.panels import carried, is_open


def lamps_fitted(model: Model) -> Iterator[Head]:
    """Each lamp we fit, by its first head on each side, in the order of the file."""
    seen: set[tuple[str, str]] = set()
    for head in model.heads:
        if head.reach == "own" and (head.lamp, head.side) not in seen:
            seen.add((head.lamp, head.side))
            yield head


def head_pose(head: Head, body: BodyPart, part: AnyPart) -> Pose:
    """A head with everything shut, in the vehicle frame.

    Parameters
    ----------
    head : of the model.
    body : the vehicle.
    part : the lamp the head belongs to. For a lamp the vehicle came with any part will do: the body says where it is.

    Raises
    ------
    TypeError : the head is one we fit, and `part` is no lamp.
    """
    place, side = place_and_side(head, body)
    if head.reach != "own":
        return place_pose(place, side)
    if not isinstance(part, LampPart):
        raise TypeError(f"{head.id}: {part.name} is a {part.kind}, not a lamp")
    lamp = lamp_pose(place, side, aim_rad=head.aim_rad, elevation_rad=head.elevation_rad)
    return head_in_lamp(lamp, part.heads[head.head_index])


def moved_pose(head: Head, model: Model, open_panels: frozenset[str] = frozenset()) -> Pose:
    """The same head while the panels named in `open_panels` stand open (place.panels.open_panels)."""
    return poses(model, open_panels)[head]


@by_digest
def poses(model: Model, open_panels: frozenset[str] = frozenset()) -> Mapping[Head, Pose]:
    """Every head of the model while these panels stand open."""
    return {head: _moved(head, model, open_panels) for head in model.heads}


def _moved(head: Head, model: Model, open_panels: frozenset[str]) -> Pose:
    body = model.body
    pose = head_pose(head, body, model.part(head.part) if head.reach == "own" else body)
    place, side = place_and_side(head, body)
    if not is_open(body, place.panel, side, open_panels):
        return pose
    return carried(pose, body, place.panel, side)


def place_and_side(head: Head, body: BodyPart) -> tuple[Place, Side]:
    """The place a head's lamp is fitted at, and on which side; also of a lamp the vehicle came with."""
    if head.reach == "own":
        return body.places[head.place], head.side
    spec = body.lamps[head.lamp].heads[head.head_index]
    return body.places[spec.place], spec.side
