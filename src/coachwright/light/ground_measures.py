"""Is the ground lit where people work, and evenly enough that nobody stumbles in between?

Only steady light to work by counts: what flashes lights nothing to work by. Light from the ground, from walls and from
the street is not in it.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.blame import looking_toward, not_to_be_asked
from coachwright.light.coverage import first_least
from coachwright.light.far_field import Floats
from coachwright.light.ground import UP, Patch, Quarter, patch
from coachwright.light.lit import Glow, glows, voltages
from coachwright.light.near_field import on_plane
from coachwright.light.system_measures import TASK

GRID_M = 0.5
QUARTERS: tuple[Quarter, ...] = ("front", "right", "rear", "left")
_OUT_RAD = {"front": 0.0, "right": math.pi / 2, "rear": math.pi, "left": 3 * math.pi / 2}
_NO_PATCH = "the rule's patch has no extent: near is less than far"


@measures("light.ground-light", kind="illuminance", of="word", near="length", far="length")
def ground_light(
    model: Model, *, situation: str, of: Literal["mean", "least"] = "mean", near: float = 0.5, far: float = 3.0
) -> tuple[Measure, ...]:
    """How much steady light to work by falls on the ground beside, before and behind the vehicle?

    of : mean over the patch, or its darkest spot. near, far : how far out from the body the patch reaches. [m]
    Answers for each side toward which a work light burns, if any of it falls on the ground there.
    """
    if not 0.0 <= near < far:
        return not_to_be_asked("light.ground-light", "illuminance", model.situation(situation).path, _NO_PATCH)
    answers = []
    for quarter, chosen, where_m, lit_lx in _lit_patches(model, situation, near, far):
        darkest = first_least(lit_lx)
        spot_m = where_m.spots_m[:, darkest]
        answers.append(
            _answer(
                "light.ground-light",
                float(lit_lx.mean() if of == "mean" else lit_lx[darkest]),
                "illuminance",
                model=model,
                situation=situation,
                quarter=quarter,
                chosen=chosen,
                where=f"{quarter}, {near:g} to {far:g} m out"
                if of == "mean"
                else f"{quarter}, darkest {_spot_said(spot_m)}",
            )
        )
    return tuple(answers)


@measures("light.ground-evenness", kind="share", near="length", far="length")
def ground_evenness(model: Model, *, situation: str, near: float = 0.5, far: float = 3.0) -> tuple[Measure, ...]:
    """How much of the mean is left on the darkest spot of the ground where people work?

    near, far : how far out from the body the patch reaches. [m]
    """
    if not 0.0 <= near < far:
        return not_to_be_asked("light.ground-evenness", "share", model.situation(situation).path, _NO_PATCH)
    return tuple(
        _answer(
            "light.ground-evenness",
            float(lit_lx.min() / lit_lx.mean()) if lit_lx.any() else 0.0,
            "share",
            model=model,
            situation=situation,
            quarter=quarter,
            chosen=chosen,
            where=f"{quarter}, darkest {_spot_said(where_m.spots_m[:, first_least(lit_lx)])}",
        )
        for quarter, chosen, where_m, lit_lx in _lit_patches(model, situation, near, far)
    )


@by_digest
def _lit_patches(
    model: Model, situation: str, near_m: float, far_m: float
) -> tuple[tuple[Quarter, tuple[Glow, ...], Patch, Floats], ...]:
    """Quarters that a work light looks into, with those lights, and what all work light gives there. [lx]

    A quarter whose ground gets nothing is left out: its lamps light a table, a tray, a locker.
    """
    working = [
        glow
        for glow in glows(model, situation)
        if glow.part.rank == TASK and glow.part.wave.is_constant and glow.toward
    ]
    found = []
    for quarter in QUARTERS:
        here = tuple(glow for glow in working if glow.toward == quarter)
        if not here:
            continue
        ground = patch(model.body, quarter, from_m=near_m, to_m=far_m, step_m=GRID_M)
        shares = np.array([glow.part.wave.peak() for glow in working])
        lit_lx = shares @ on_plane(working, ground.spots_m, UP)
        if lit_lx.any():
            found.append((quarter, here, ground, lit_lx))
    return tuple(found)


def _answer(
    name: str,
    value: float,
    kind: str,
    *,
    model: Model,
    situation: str,
    quarter: Quarter,
    chosen: tuple[Glow, ...],
    where: str,
) -> Measure:
    colours = sorted({glow.part.colour for glow in chosen})
    return Measure(
        name,
        value,
        kind,
        about=model.situation(situation).path,
        blame=looking_toward(chosen, _OUT_RAD[quarter]),
        where=where,
        situation=situation,
        facts=facts(toward=quarter, colour=colours[0] if len(colours) == 1 else "mixed", test_voltage=voltages(chosen)),
    )


def _spot_said(spot_m: Floats) -> str:
    """A spot by how far ahead of the front axle (behind it) and how far aside it lies."""
    x_m, y_m = float(spot_m[0]), float(spot_m[1])
    along = f"{abs(x_m):.1f} m {'ahead of' if x_m > 0 else 'behind'} the front axle"
    return f"{along}, {abs(y_m):.1f} m {'left' if y_m > 0 else 'right'}"
