"""Of which solid pieces does a body consist? What casts a shadow, and what moves with which panel.

A piece is closed and convex. It is written in one of two ways:

- by outlines in two or three views (``side``: x, z; ``top``: x, y; ``front``: y, z): the piece is what lies within all
  of them, each drawn out across its view;
- by ``corners`` (x, y, z): the piece is what a tight skin round them holds.

What bends inward is written as several pieces; they may overlap. A cabin or a bed is hollow: walls, roof, pillars and
panes are pieces of their own.

See Also
--------
coachwright.kit.convex : works the solids out. coachwright.place.solids : where they stand.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from coachwright.kit.convex import Convex, Flat, hull_of, within_outlines
from coachwright.kit.fields import Name, Text, YesNo
from coachwright.kit.geom import Vector, mirrored
from coachwright.parts.base import Frozen
from coachwright.parts.body_words import DrawnShape, DrawnWay, NameOrNothing


class Piece(Frozen):
    """One convex piece of a body. [m]

    side, top, front : its outlines, two at least; or corners : its corners.
    half : the left half is written (of top, front and corners); the piece is alike on both sides of the centre line.
    mirrored : the left piece is written; there is one like it on the right.
    panel : what it rides on. glass : the pane it is.
    """

    side: DrawnShape = ()
    top: DrawnShape = ()
    front: DrawnShape = ()
    corners: DrawnWay = ()
    half: YesNo = False
    mirrored: YesNo = False
    panel: Name = "body"
    glass: NameOrNothing = ""
    what: Text = ""


View = Literal["side", "top", "front"]
VIEWS: tuple[View, ...] = ("side", "top", "front")


@lru_cache(maxsize=4096)
def solid_of(piece: Piece) -> Convex | None:
    """The piece as it is written (the left one of a pair); None when nothing lies inside. Remembered by content."""
    if piece.corners:
        return hull_of(corners_of(piece))
    if sum(map(bool, (piece.side, piece.top, piece.front))) < 2:
        return None
    return within_outlines(side=piece.side, top=whole(piece, "top"), front=whole(piece, "front"))


def corners_of(piece: Piece) -> tuple[Vector, ...]:
    """All its corners; of a half, those of the other half too, once where both are one."""
    return tuple(dict.fromkeys((*piece.corners, *(map(mirrored, piece.corners) if piece.half else ()))))


def whole(piece: Piece, view: View) -> tuple[Flat, ...]:
    """An outline of a piece with its other half, where half is written."""
    outline: tuple[Flat, ...] = getattr(piece, view)
    if not piece.half or view == "side":
        return outline
    image = ((x, -y) for x, y in outline) if view == "top" else ((-y, z) for y, z in outline)
    return (*outline, *reversed(tuple(image)))
