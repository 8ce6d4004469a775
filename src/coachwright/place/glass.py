"""Which pane does a head look through, and how does the pane stand?"""

from __future__ import annotations

from coachwright.build.model import Head
from coachwright.kit.geom import Pose, Vector
from coachwright.parts.schema import BodyPart, Glass
from coachwright.place.panels import BODY, carried, is_open
from coachwright.place.poses import place_and_side


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
