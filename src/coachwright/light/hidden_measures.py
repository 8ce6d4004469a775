"""What can be asked about what stands in a lamp's way?

See Also
--------
coachwright.light.shadow : what is in the way of whom.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.far_field import Floats, far_field
from coachwright.light.lit import ROUND, ZONE_COLUMNS, ZONE_ROWS, Glow, flashing, voltages
from coachwright.light.shadow import NOTHING
from coachwright.light.zones import ZONE_GRID, zone_places
from coachwright.place.panels import open_panels
from coachwright.place.solids import solids_of
from coachwright.place.zones import Zone


@dataclass(slots=True)
class _Loss:
    """What one lamp of one side gives, and what each obstacle takes of it. [cd]"""

    glow: Glow
    given_cd: float = 0.0
    taken_cd: dict[str, float] = field(default_factory=lambda: defaultdict(float))

    @property
    def share(self) -> float:
        return sum(self.taken_cd.values()) / self.given_cd if self.given_cd else 0.0


@measures("light.hidden-share", kind="share")
def hidden_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Which share of a lamp's flashing light does something of the vehicle hide?

    Counted are the bearings of the quarter each head looks into, level and 5 deg up and down, as the zone method has
    them. Of a pair the worse side answers. Light the body itself cuts off past the clear angle of a place isn't missed
    here: it was never there.
    """
    paths = {
        solid.name: solid.path for solid in solids_of(model, open_panels(model.body, settings_of(model, situation)))
    }
    answers = []
    for loss in _worse_sides(_losses(model, situation)):
        glow = loss.glow
        by = max(loss.taken_cd, key=lambda name: (round(loss.taken_cd[name], 6), name)) if loss.taken_cd else ""
        path = glow.head.path
        others = len(loss.taken_cd) - 1
        hidden = f"hidden by {by}" + (f" and {others} more" if others > 0 else "") if by else "nothing in the way"
        answers.append(
            Measure(
                "light.hidden-share",
                loss.share,
                "share",
                about=path,
                blame=_blame(glow, paths.get(by, "")),
                where=f"{glow.lamp}, toward the {glow.toward}, {hidden}",
                situation=situation,
                facts=facts(
                    lamp=glow.head.lamp,
                    toward=glow.toward,
                    by=by,
                    by_path=paths.get(by, ""),
                    reach=glow.head.reach,
                    test_voltage=voltages([glow]),
                ),
            )
        )
    return tuple(answers)


@by_digest
def _losses(model: Model, situation: str) -> tuple[_Loss, ...]:
    chosen = [glow for glow in flashing(model, situation).glows if glow.zones]
    if not chosen:
        return ()
    counted = np.array([_quarter(glow.zones[0]) for glow in chosen])
    means = np.array([glow.part.wave.mean() for glow in chosen])
    bare_cd = far_field([glow.emitter for glow in chosen], ROUND)[:, ZONE_ROWS, ZONE_COLUMNS]
    weighted_cd = bare_cd * counted[:, None, :] * means[:, None, None]
    met = np.array([glow.hidden[ZONE_ROWS, ZONE_COLUMNS] for glow in chosen])
    taken_cd = np.where(met != NOTHING, weighted_cd, 0.0)
    found: dict[str, _Loss] = {}
    for number, (glow, given_cd) in enumerate(zip(chosen, weighted_cd.sum(axis=(1, 2)).tolist(), strict=True)):
        loss = found.setdefault(glow.lamp, _Loss(glow))
        loss.given_cd += given_cd
        for place in np.unique(met[number][taken_cd[number] > 0.0]).tolist():
            name = glow.view.scene.obstacles[place].name
            loss.taken_cd[name] += float(weighted_cd[number][met[number] == place].sum())
    return tuple(loss for loss in found.values() if loss.given_cd > 0.0)


@cache
def _quarter(zone: Zone) -> Floats:
    """1 at the bearings of a zone, 0 elsewhere."""
    found = np.zeros(ZONE_GRID.shape[1])
    found[zone_places(zone)] = 1.0
    return found


def _blame(glow: Glow, by_path: str) -> tuple[str, ...]:
    """The lamp's place, what hides it, its aim; parts of the vehicle itself are no lines of the build."""
    path = glow.head.path
    own = (f"{path}.at", f"{path}.aim") if glow.head.reach == "own" else ()
    return tuple(each for each in (*own[:1], by_path, *own[1:]) if each)


def _worse_sides(losses: tuple[_Loss, ...]) -> list[_Loss]:
    """Of a pair the side that loses more; the left one when both lose alike."""
    worst: dict[str, _Loss] = {}
    for loss in losses:
        known = worst.get(loss.glow.head.path)
        if known is None or loss.share > known.share * (1.0 + 1e-6) + 1e-9:
            worst[loss.glow.head.path] = loss
    return list(worst.values())
