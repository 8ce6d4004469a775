"""Which loads return at each ground point, and how much is that of what the point carries?

See Also
--------
coachwright.power.ground : the points. coachwright.power.runs : the returns.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coachwright.parts.schema import BodyPart
from coachwright.power.ground import GroundPoint, ground_points
from coachwright.power.route import Net
from coachwright.power.runs import Run


@dataclass(frozen=True, slots=True)
class Grounded:
    """One point with what returns there. runs : names of returns. carries : loads whose current comes home there."""

    point: GroundPoint
    runs: tuple[str, ...]
    carries: tuple[str, ...]


def grounded(body: BodyPart, net: Net, runs: Sequence[Run]) -> tuple[Grounded, ...]:
    """Each point that is used, with what returns there, by name."""
    points: Mapping[str, GroundPoint] = {point.node: point for point in ground_points(body, net)}
    by_node: dict[str, list[Run]] = {}
    for run in runs:
        if run.kind in ("return", "battery-return"):
            by_node.setdefault(run.to_joint, []).append(run)
    return tuple(
        Grounded(
            points.get(node, GroundPoint(node, "negative post of the battery", 0.0)),
            tuple(run.name for run in found),
            tuple(dict.fromkeys(load for run in found for load in run.carries)),
        )
        for node, found in sorted(by_node.items())
    )


def most_share(point: Grounded, current_a: Mapping[str, float]) -> float | None:
    """All currents that return at a point over what it carries; None where nobody says what it carries.

    Parameters
    ----------
    current_a : of each load by subject, all that may be on together; a load that isn't named draws nothing. [A]
    """
    if point.point.most_a <= 0:
        return None
    return sum(current_a.get(load, 0.0) for load in point.carries) / point.point.most_a
