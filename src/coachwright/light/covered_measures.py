"""Does a lamp of ours stand before a lamp the road law asks for, and does steady white crowd a turn lamp?

Boxes of our lamps, from their parts' dimensions, seen from where the required lamp looks. What racks, bumpers and loads
hide is in no build; a photo closes that.
"""

from __future__ import annotations

import math

import numpy as np

from coachwright.build.model import Head, Model
from coachwright.control.tries import all_shows, heads_by_id
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Pose, angle_between, cross
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.far_field import Floats
from coachwright.light.standing_measures import SAME_FACE_RAD
from coachwright.parts.schema import LampPart
from coachwright.parts.standing import lamp_pose
from coachwright.place.poses import moved_pose, place_and_side
from coachwright.place.required import required_lamps, use_of


@measures("light.required-covered", kind="share", per_situation=False, field="length")
def required_covered(model: Model, *, field: float = 0.08) -> tuple[Measure, ...]:
    """How much of each required lamp do lamps of ours cover, seen from where it looks, everything shut?

    field : width and height that is taken for the lit field of a required lamp; no body says it. [m]
    """
    answers = []
    ours = _boxes(model)
    for lamp in required_lamps(model.body):
        heads = [head for head in model.heads if head.lamp == lamp and head.reach != "own"]
        found = [_covered(moved_pose(head, model), head, ours, field) for head in heads]
        if not found:
            continue
        share, head, by = max(found, key=lambda each: (each[0], each[1].id))
        blame = (f"{by.path}.at", by.path) if by is not None else (head.path,)
        answers.append(
            Measure(
                "light.required-covered",
                share,
                "share",
                about=by.path if by is not None else head.path,
                blame=blame,
                where=f"{head.id} behind {by.id}" if by is not None else f"{head.id}, nothing of ours before it",
                facts=facts(lamp=by.lamp if by is not None else "", other=lamp, use=use_of(lamp)),
            )
        )
    return tuple(answers)


@measures("light.white-beside-turn", kind="length", per_situation=False)
def white_beside_turn(model: Model) -> tuple[Measure, ...]:
    """How near a front turn lamp of the vehicle does a head of ours burn steady white to the front?"""
    steady = {
        name
        for function in model.functions
        for _, show in all_shows(function)
        for name in show.heads
        if any(colour.manner == "steady" and colour.colour == "white" for colour in show.colours)
    }
    turns = [
        (head, moved_pose(head, model))
        for head in model.heads
        if head.reach != "own" and head.lamp in required_lamps(model.body) and use_of(head.lamp) == "turn"
    ]
    nearest: dict[str, tuple[float, Head, Head]] = {}
    for name in sorted(steady):
        head = heads_by_id(model)[name]
        here = moved_pose(head, model)
        if head.reach != "own" or angle_between(here.forward, (1.0, 0.0, 0.0)) > SAME_FACE_RAD:
            continue
        for turn, there in turns:
            if angle_between(here.forward, there.forward) > SAME_FACE_RAD:
                continue
            away_m = math.dist(here.position_m, there.position_m)
            if head.path not in nearest or away_m < nearest[head.path][0] - 1e-9:
                nearest[head.path] = (away_m, head, turn)
    return tuple(
        Measure(
            "light.white-beside-turn",
            away_m,
            "length",
            about=path,
            blame=(f"{path}.at", path),
            where=f"{head.id} beside {turn.id}",
            facts=facts(lamp=head.lamp, head=head.id, other=turn.lamp),
        )
        for path, (away_m, head, turn) in nearest.items()
    )


@by_digest
def _boxes(model: Model) -> tuple[tuple[Head, Floats], ...]:
    """Corners of the box of each lamp of ours, shape (3, 8), with one head that stands for it. [m]"""
    found: dict[tuple[str, str], tuple[Head, Floats]] = {}
    for head in model.heads:
        part = model.part(head.part) if head.reach == "own" else None
        if isinstance(part, LampPart) and (head.path, head.side) not in found:
            place, side = place_and_side(head, model.body)
            pose = lamp_pose(place, side, aim_rad=head.aim_rad, elevation_rad=head.elevation_rad)
            found[head.path, head.side] = head, _corners(pose, part)
    return tuple(found.values())


def _corners(pose: Pose, part: LampPart) -> Floats:
    """A lamp's box: its face at its place, its depth before it, as it is screwed on."""
    middle = np.array(pose.position_m)[:, None]
    forward, up = np.array(pose.forward), np.array(pose.up)
    left = np.array(cross(pose.up, pose.forward))
    signs = np.array([[a, b, c] for a in (0.0, 1.0) for b in (-0.5, 0.5) for c in (-0.5, 0.5)]).T
    return np.asarray(
        middle
        + forward[:, None] * signs[0] * part.depth
        + left[:, None] * signs[1] * part.width
        + up[:, None] * signs[2] * part.height,
        dtype=np.float64,
    )


def _covered(
    pose: Pose, head: Head, ours: tuple[tuple[Head, Floats], ...], field_m: float
) -> tuple[float, Head, Head | None]:
    """Share of a required lamp's field that the worst lamp of ours covers, seen along its axis from far away."""
    worst: tuple[float, Head, Head | None] = (0.0, head, None)
    left = np.array(cross(pose.up, pose.forward))
    frame = np.array([pose.forward, left, pose.up])
    for other, corners_m in ours:
        ahead, aside, above = frame @ (corners_m - np.array(pose.position_m)[:, None])
        if ahead.max() <= 1e-6:
            continue  # beside it or behind it
        share = _overlap(aside, field_m) * _overlap(above, field_m)
        if share > worst[0] + 1e-12:
            worst = share, head, other
    return worst


def _overlap(line_m: Floats, field_m: float) -> float:
    """Share of the field, which lies about 0, that the stretch between the outermost points takes."""
    low, high = max(float(line_m.min()), -field_m / 2.0), min(float(line_m.max()), field_m / 2.0)
    return max(0.0, high - low) / field_m
