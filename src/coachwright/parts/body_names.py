"""What do several checks of a body ask alike: is there such a name, is it on the vehicle, is it on the left?"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator

from coachwright.kit.near import nearest
from coachwright.parts.body import BodyPart
from coachwright.parts.problem import PartProblem

BEYOND_M = 0.35
"""Mirrors and steps stand out from the stated width by up to so much on each side."""

Path = tuple[str, ...]


def known(path: Path, name: str, names: Collection[str], code: str, what: str) -> Iterator[PartProblem]:
    """Tell it where a name stands that isn't among `names`, with the nearest."""
    if name in names:
        return
    close = nearest(name, list(names))
    yield PartProblem(
        path,
        code,
        f"{what}-not-known",
        f"There is no {what} of the name {name}." if name else f"The {what} is missing.",
        f"Closest: {close[0]}." if close else "",
        close[0] if close else "",
    )


def known_panel(path: Path, name: str, panels: Collection[str]) -> Iterator[PartProblem]:
    """Tell it where a panel is named that isn't there; ``body`` doesn't move."""
    if name != "body":
        yield from known(path, name, panels, "PRT-037", "panel")


def inside(body: BodyPart, path: Path, at_m: tuple[float, float, float]) -> Iterator[PartProblem]:
    """Tell it where a spot is further out than the vehicle reaches. [m]"""
    x, y, z = at_m
    front_m, rear_m = body.front_overhang, body.front_overhang - body.length
    if (
        rear_m - BEYOND_M <= x <= front_m + BEYOND_M
        and abs(y) <= body.width / 2 + BEYOND_M
        and 0 <= z <= body.height + BEYOND_M
    ):
        return
    yield PartProblem(
        path,
        "PRT-046",
        "place-not-on-vehicle",
        "This is further out than the vehicle reaches.",
        "Count from the ground under the front axle.",
        on_key=True,
    )


def not_left(path: Path) -> PartProblem:
    """A mirrored thing that isn't written for the left."""
    return PartProblem(
        path,
        "PRT-075",
        "mirrored-not-left",
        "What is mirrored is written for the left, so it stands left of the centre line.",
        "Give y above 0, or take mirrored away.",
    )


def direction_possible(path: Path, facing_rad: float, rise_rad: float) -> Iterator[PartProblem]:
    """Tell it where a direction is none: a bearing beyond a full turn, a rise beyond straight up or down. [rad]"""
    if abs(facing_rad) > math.tau + 1e-9:
        why = "A bearing lies within a full turn."
        yield PartProblem((*path, "facing"), "PRT-079", "direction-not-possible", why, "Write it like 270 deg.")
    if abs(rise_rad) > math.pi / 2 + 1e-9:
        why = "Nothing rises further than straight up, or falls further than straight down."
        yield PartProblem((*path, "rise"), "PRT-079", "direction-not-possible", why, "Write it like -15 deg.")


def figure_not_possible(path: Path, why: str) -> PartProblem:
    """A figure that can't be so."""
    return PartProblem(path, "PRT-043", "figure-not-possible", why)


def not_below_nothing(thing: object, path: Path, *fields: str) -> Iterator[PartProblem]:
    """Tell it for each field that is below 0."""
    for field in fields:
        if getattr(thing, field) < 0:
            said = field.replace("_", " ").capitalize()
            yield figure_not_possible((*path, field.replace("_", "-")), f"{said} isn't below nothing.")
