"""What can be asked about many vehicles built alike: how many of them keep what the drawing promises?

See Also
--------
coachwright.light.pass_share : how it is worked out. coachwright.proof.sure : the same for every rule of a job.
"""

from __future__ import annotations

import math

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.blame import looking_toward
from coachwright.light.lit import flashing, voltages
from coachwright.light.pass_share import Sampled, Target, sampled
from coachwright.light.tolerances import tolerances
from coachwright.light.words import toward

JUDGED = ("calling", "blocking")
"""What situations stand for in which a vehicle has to be seen. Others are drawn only when they are asked about."""


@measures("light.pass-share", kind="share", follows=True, least="luminous-intensity")
def pass_share(model: Model, *, situation: str, least: float) -> tuple[Measure, ...]:
    """How many of the vehicles that are built send enough warning to every bearing?

    least : effective intensity that has to be reached, level. [cd] Vehicles are drawn with the seed of the data.
    """
    light = flashing(model, situation)
    if not light.glows:
        return ()
    drawn = _every_gap(model, least)
    found = drawn if situation in {target.situation for target in drawn.targets} else _gaps(model, (situation,), least)
    number = next(place for place, target in enumerate(found.targets) if target.situation == situation)
    weakest = found.weakest([number])
    bearing_rad = weakest[0].bearing_rad if weakest else 0.0
    at = f"most fail at {toward(bearing_rad, 0.0)}" if weakest else "none fails"
    return (
        Measure(
            "light.pass-share",
            found.share([number]),
            "share",
            about=model.situation(situation).path,
            blame=looking_toward(light.glows, bearing_rad),
            where=f"{at}, {found.vehicles_n} drawn, seed {found.seed}",
            situation=situation,
            facts=facts(seed=found.seed, test_voltage=voltages(light.glows)),
        ),
    )


@by_digest
def _every_gap(model: Model, least_cd: float) -> Sampled:
    """One drawing for all situations that are judged: a vehicle is the same in each of them."""
    return _gaps(model, tuple(each.name for each in model.situations if each.stands_for in JUDGED), least_cd)


def _gaps(model: Model, situations: tuple[str, ...], least_cd: float) -> Sampled:
    known = tolerances()
    targets = [Target(name, "gap", low=-math.inf, high=0.0, least_cd=least_cd) for name in situations]
    return sampled(model, targets, known, vehicles_n=known.samples_n, seed=known.seed)
