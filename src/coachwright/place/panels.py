"""Which panels stand open, and where does that carry what rides on them?

A pair of panels (``front-door``, written for the left) opens one by one: ``front-door.left``, ``front-door.right``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coachwright.kit.geom import Pose, Vector, mirrored
from coachwright.parts.schema import BodyPart, Panel
from coachwright.parts.standing import Side

Settings = Mapping[str, str | float] | Iterable[tuple[str, str | float]]

_AXES: dict[str, Vector] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
BODY = "body"
"""What doesn't move."""


def open_panels(body: BodyPart, settings: Settings) -> frozenset[str]:
    """Names of the panels that are open when the vehicle's signals read `settings`; what they don't name is at rest."""
    named = dict(settings)
    opened = set()
    for name, panel in body.panels.items():
        for side in _sides(panel):
            signal = panel.signal_right if side == "right" else panel.signal
            if named.get(signal, body.signals[signal].rest) == panel.open_value:
                opened.add(panel_name(name, panel, side))
    return frozenset(opened)


def panel_name(name: str, panel: Panel, side: Side) -> str:
    """How one panel is called among open ones: a pair carries its side."""
    return f"{name}.{side or 'left'}" if panel.mirrored else name


def all_panels(body: BodyPart) -> tuple[str, ...]:
    """Every panel that can open, in the order of the body."""
    return tuple(panel_name(name, panel, side) for name, panel in body.panels.items() for side in _sides(panel))


def is_open(body: BodyPart, name: str, side: Side, opened: frozenset[str]) -> bool:
    """Whether the panel called `name`, on this side, is among the open ones. The body itself never is."""
    return name != BODY and panel_name(name, body.panels[name], side) in opened


def carried(pose: Pose, body: BodyPart, name: str, side: Side, *, share: float = 1.0) -> Pose:
    """Where the pose of something on a shut panel comes to when the panel opens.

    Parameters
    ----------
    pose : with the panel shut.
    name : of the panel as the body writes it; ``body`` leaves the pose as it is.
    side : of the pair it belongs to. The right one opens in mirror image.
    share : of the way from shut (0) to open (1).

    Notes
    -----
    A hinge turns everything by one angle about one line, so distances between things on one panel stay. A slide adds
    one way to all of them. A share of 0 gives the pose itself back.
    """
    if name == BODY:
        return pose
    panel = body.panels[name]
    if panel.axis == "none":
        x, y, z = pose.position_m
        return Pose((x + share * panel.slide_x, y, z + share * panel.slide_z), pose.forward, pose.up)
    hinge: Vector = (panel.hinge_x, panel.hinge_y, panel.hinge_z)
    about, angle_rad = _AXES[panel.axis], share * panel.travel
    if panel.mirrored and side == "right":
        # In a mirror, an axis that lies in the mirror plane keeps its direction and turns the other way round.
        hinge = mirrored(hinge)
        angle_rad = angle_rad if panel.axis == "y" else -angle_rad
    return pose.swung(hinge_m=hinge, about=about, angle_rad=angle_rad)


def _sides(panel: Panel) -> tuple[Side, ...]:
    return ("left", "right") if panel.mirrored else ("",)
