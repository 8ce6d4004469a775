"""Which curves do a situation's roses show? Effective intensity round the vehicle, for each colour that burns.

Nothing is worked out here: control says what burns, flash how, light what arrives.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from coachwright.build.model import COLOURS, Colour, Model
from coachwright.draw.rose import RoseCurve

if TYPE_CHECKING:
    from coachwright.flash.waves import HeadWave

STEP_DEG = 3
TITLE = "effective intensity toward the horizon, far away, panels as in the situation"


def light_curves(model: Model, situation: str, waves: Sequence[HeadWave]) -> tuple[RoseCurve, ...]:
    """Effective intensity of each colour that burns in the situation, level, every 3 deg. [cd]"""
    from coachwright.control.situations import settings_of
    from coachwright.place.panels import open_panels

    opened = open_panels(model.body, settings_of(model, situation))
    curves = (_curve(model, colour, waves, opened) for colour in COLOURS)
    return tuple(curve for curve in curves if curve is not None)


def _curve(model: Model, colour: Colour, waves: Sequence[HeadWave], opened: frozenset[str]) -> RoseCurve | None:
    from coachwright.light.coverage import effective_cd, gathered, merged
    from coachwright.light.far_field import Grid
    from coachwright.light.lit import standing
    from coachwright.light.seen import Source, seen_toward

    stands = dict(zip((head.id for head in model.heads), standing(model, opened), strict=True))
    lit = []
    for each in waves:
        stand = stands[each.head]
        for part in each.parts:
            if part.colour == colour and part.wave.peak() > 0 and colour in stand.emitters:
                lit.append((Source(stand.emitters[colour], stand.view), part.wave, each.sync_group))
    if not lit:
        return None
    grid = Grid(tuple(math.radians(degrees) for degrees in range(0, 360, STEP_DEG)), (0.0,))
    together = merged([wave for _, wave, _ in lit], [clock for _, _, clock in lit])
    candela = seen_toward([source for source, _, _ in lit], grid)[:, 0, :]
    values = effective_cd(together, gathered(together, candela))
    return RoseCurve(TITLE, colour, grid.bearings_rad, tuple(float(value) for value in values))
