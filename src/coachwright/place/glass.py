"""Which pane does a head look through, how does the pane stand, and what did the shop do to it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwright.build.model import Head, Model
from coachwright.kit.geom import Pose, Vector
from coachwright.parts.schema import BodyPart, FilmPart, Glass, PanePart
from coachwright.parts.standing import Side
from coachwright.place.panels import BODY, carried, is_open
from coachwright.place.poses import place_and_side


@dataclass(frozen=True, slots=True)
class FittedPane:
    """A pane as the vehicle leaves the shop.

    name : of the body's pane; side : of a pair, else "". called : how a person says it (``cap-side.left``).
    came : share straight on of the glass as it came; transmittance, index : of the glass that is in it now.
    film_share : of the film on it, 1 for none. film, part : names of the film and of the pane put in, or "".
    path : of what the build says of it, else of the body.
    """

    name: str
    side: Side
    came: float
    transmittance: float
    index: float
    film_share: float = 1.0
    film: str = ""
    part: str = ""
    path: str = "vehicle.body"

    @property
    def called(self) -> str:
        return f"{self.name}.{self.side}" if self.side else self.name


def as_fitted(model: Model, name: str, side: Side = "") -> FittedPane:
    """One pane of the body with what the build does to it. side : of a pair; "" for a pane there is one of."""
    glass = model.body.glass[name]
    came = glass.transmittance
    side = side if glass.mirrored else ""
    for item in model.glass:
        if item.name != name or (side and item.side not in ("", side)):
            continue
        new = model.part(item.part) if item.part else None
        film = model.part(item.film) if item.film else None
        through, index = (new.transmittance, new.index) if isinstance(new, PanePart) else (came, glass.index)
        share = film.transmittance if isinstance(film, FilmPart) else None
        return FittedPane(
            name,
            side,
            came,
            through,
            index,
            1.0 if share is None else share,
            item.film,
            item.part,
            item.path,
        )
    return FittedPane(name, side, came, came, glass.index)


def all_fitted(model: Model) -> Iterator[FittedPane]:
    """Every pane of the body, of a pair both."""
    for name, glass in model.body.glass.items():
        sides: tuple[Side, ...] = ("left", "right") if glass.mirrored else ("",)
        yield from (as_fitted(model, name, side) for side in sides)


def pane_before(head: Head, model: Model, open_panels: frozenset[str] = frozenset()) -> FittedPane | None:
    """The pane the head looks through while these panels stand open, with what was done to it."""
    if pane_in_the_way(head, model.body, open_panels) is None:
        return None
    place, side = place_and_side(head, model.body)
    return as_fitted(model, place.glass, side)


def pane_of(head: Head, body: BodyPart) -> Glass | None:
    """The pane the head stands behind with everything shut; None when it stands outside."""
    name = place_and_side(head, body)[0].glass
    return body.glass[name] if name else None


def pane_in_the_way(head: Head, body: BodyPart, open_panels: frozenset[str]) -> Glass | None:
    """The pane the head looks through while these panels stand open.

    A head that rides on the same panel as its pane keeps it; one that stays behind looks out freely once the pane is
    away.
    """
    pane = pane_of(head, body)
    place, side = place_and_side(head, body)
    if pane is None or pane.panel in (BODY, place.panel):
        return pane
    return None if is_open(body, pane.panel, side, open_panels) else pane


def pane_normal(head: Head, body: BodyPart, open_panels: frozenset[str] = frozenset()) -> Vector | None:
    """Outward unit normal of the pane the head looks through, in the vehicle frame; None without one."""
    pane = pane_in_the_way(head, body, open_panels)
    if pane is None:
        return None
    side = place_and_side(head, body)[1]
    pose = Pose.facing((0.0, 0.0, 0.0), bearing_rad=pane.facing, elevation_rad=pane.rise)
    if pane.mirrored and side == "right":
        pose = pose.mirrored()
    if is_open(body, pane.panel, side, open_panels):
        pose = carried(pose, body, pane.panel, side)
    return pose.forward
