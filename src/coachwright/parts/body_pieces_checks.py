"""Do the pieces of a body hold together: closed, convex, on the vehicle, on a panel and of a pane that are there?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from coachwright.kit.convex import Flat, flat_hull
from coachwright.parts.body import BodyPart
from coachwright.parts.body_names import inside, known, known_panel, not_left
from coachwright.parts.body_pieces import VIEWS, Piece, View, corners_of, solid_of, whole
from coachwright.parts.problem import PartProblem

BENT_INWARD_M = 0.002
"""Figures are written to the millimetre: an outline that bends inward by less is straight."""

Path = tuple[str, ...]


def pieces_problems(body: BodyPart) -> Iterator[PartProblem]:
    """Everything in the pieces that can't be so, in the order of the file."""
    for name, piece in body.pieces.items():
        path = ("pieces", name)
        yield from known_panel((*path, "panel"), piece.panel, body.panels)
        if piece.glass:
            yield from known((*path, "glass"), piece.glass, body.glass, "PRT-036", "pane")
            yield from _pane(body, path, piece)
        yield from _sides(body, path, piece)
        shape = tuple(shape_problems(path, piece))
        yield from shape
        if not shape:
            yield from _beyond(body, path, piece)


def gear_problems(path: Path, piece: Piece) -> Iterator[PartProblem]:
    """What can't be so in a piece of something that is fitted: it rides where that rides, and is no pane."""
    if piece.panel != "body":
        why = "What is fitted rides on the panel its place rides on."
        yield PartProblem((*path, "panel"), "PRT-058", "figure-not-due", why, "Take it away.", on_key=True)
    if piece.glass:
        why = "Panes belong to a body."
        yield PartProblem((*path, "glass"), "PRT-058", "figure-not-due", why, "Take it away.", on_key=True)
    if piece.mirrored and piece.half:
        yield _half_of_a_pair(path)
    yield from shape_problems(path, piece)


def shape_problems(path: Path, piece: Piece) -> Iterator[PartProblem]:
    """What keeps a piece from being one closed convex solid."""
    given = [view for view in VIEWS if getattr(piece, view)]
    if piece.corners and given:
        why = "A piece is written by its corners or by its outlines."
        yield PartProblem((*path, given[0]), "PRT-105", "piece-not-closed", why, "Take one of both away.", on_key=True)
    elif piece.corners:
        if len(corners_of(piece)) < 4:
            why = "A solid has four corners or more."
            yield PartProblem((*path, "corners"), "PRT-105", "piece-not-closed", why, "Give four, not in one plane.")
        elif solid_of(piece) is None:
            yield _empty((*path, "corners"), "All corners lie in one plane.", "Give the other face too.")
    else:
        yield from _outlines(path, piece, given)


def _outlines(path: Path, piece: Piece, given: Sequence[View]) -> Iterator[PartProblem]:
    if len(given) < 2:
        why = "One outline, drawn out, has no ends." if given else "It says nothing of its shape."
        write = "Give two of side, top and front, or corners."
        yield PartProblem(path, "PRT-105", "piece-not-closed", why, write, on_key=True)
        return
    told = False
    for view in given:
        outline = whole(piece, view)
        if len(set(outline)) < 3:
            told, why = True, "An outline has three points or more."
            yield PartProblem((*path, view), "PRT-105", "piece-not-closed", why, "Give the points all round.")
        elif (at := bends_inward(outline)) is not None:
            told, point = True, " ".join(f"{figure * 1000:.0f}" for figure in outline[at])
            why = f"At {point} (mm) this outline bends inward or crosses itself."
            yield PartProblem((*path, view), "PRT-106", "piece-not-convex", why, "Make two pieces of it.")
    if not told and solid_of(piece) is None:
        yield _empty(path, "Nothing lies within all of its outlines.", "Look at what they have in common.")


def bends_inward(outline: Sequence[Flat]) -> int | None:
    """Place of the first point inside the tight string round the outline, 0 if it runs otherwise; None if convex.

    What goes round once along the string is as long as the string; whatever crosses itself is longer.
    """
    string = flat_hull(outline)
    if len(string) < 3:
        return 0
    for number, point in enumerate(outline):
        if point not in string and _depth_m(string, point) > BENT_INWARD_M:
            return number
    return None if _round_m(outline) <= _round_m(string) + BENT_INWARD_M * len(outline) else 0


def _round_m(points: Sequence[Flat]) -> float:
    """All the way round. [m]"""
    return sum(math.dist(one, other) for one, other in zip(points, (*points[1:], points[0]), strict=True))


def _depth_m(string: Sequence[Flat], point: Flat) -> float:
    """How far inside a convex outline, counterclockwise, a point lies. [m]"""
    depths = []
    for (x1, y1), (x2, y2) in zip(string, (*string[1:], string[0]), strict=True):
        run, rise = x2 - x1, y2 - y1
        length = math.hypot(run, rise)
        depths.append((run * (point[1] - y1) - rise * (point[0] - x1)) / length)
    return min(depths)


def _pane(body: BodyPart, path: Path, piece: Piece) -> Iterator[PartProblem]:
    pane = body.glass.get(piece.glass)
    if pane is not None and pane.panel != piece.panel:
        why = f"The pane {piece.glass} rides on {pane.panel}, this piece of it on {piece.panel}."
        yield PartProblem((*path, "glass"), "PRT-108", "pane-on-other-panel", why, "Give both the same panel.")


def _sides(body: BodyPart, path: Path, piece: Piece) -> Iterator[PartProblem]:
    panel = body.panels.get(piece.panel)
    if panel is not None and panel.mirrored and not piece.mirrored:
        why = f"{piece.panel} is a pair; a piece that is no pair can't ride on both of them."
        yield PartProblem((*path, "panel"), "PRT-045", "side-not-said", why)
    if piece.mirrored and piece.half:
        yield _half_of_a_pair(path)
    elif piece.mirrored:
        yield from (not_left((*path, field)) for field, y in _across(piece) if y < 0)


def _half_of_a_pair(path: Path) -> PartProblem:
    why = "A half is made whole in the centre line; a pair stands on both sides of it."
    return PartProblem((*path, "half"), "PRT-045", "side-not-said", why, "Take half or mirrored away.", on_key=True)


def _across(piece: Piece) -> Iterator[tuple[str, float]]:
    """How far right each field that says so reaches. [m]"""
    for field, figures in (
        ("top", [y for _, y in piece.top]),
        ("front", [y for y, _ in piece.front]),
        ("corners", [y for _, y, _ in piece.corners]),
    ):
        if figures:
            yield field, min(figures)


def _beyond(body: BodyPart, path: Path, piece: Piece) -> Iterator[PartProblem]:
    solid = solid_of(piece)
    for corner in () if solid is None else solid.vertices_m:
        x, y, z = (float(figure) for figure in corner)
        found = tuple(inside(body, path, (x, y, max(z, 0.0) if z > -BENT_INWARD_M else z)))
        if found:
            yield found[0]
            return


def _empty(path: Path, why: str, write: str) -> PartProblem:
    return PartProblem(path, "PRT-107", "piece-empty", why, write, on_key=path[-1] != "corners")
