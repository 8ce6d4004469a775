"""What can be asked of the lamps as one system: levels, what one colour is worth all round, light to work by?

See Also
--------
coachwright.light.measures : zones, gaps and sides.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

import numpy as np

from coachwright.build.model import COLOURS, Colour, Model
from coachwright.flash.measures import WARNING_RANKS
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.coverage import first_least, gathered
from coachwright.light.effective import form_factor_level
from coachwright.light.far_field import Grid, candela_toward
from coachwright.light.lit import ROUND, Glow, Light, flashing, glows, in_level_of, light_of, voltages
from coachwright.light.words import toward
from coachwright.light.zones import LEVELS

BLAMED_N = 3
TASK = "task"


@measures("light.form-factor", kind="luminous-intensity", vertical="angle", of="word")
def form_factor(
    model: Model, *, situation: str, vertical: float, of: Literal["least", "most"] = "least"
) -> tuple[Measure, ...]:
    """How strong is the flashing light of each colour all round, by the form of its flash?

    vertical : elevation; the one as far below the horizontal is looked at too. [rad]
    of : the weakest or the strongest bearing.

    Notes
    -----
    Schmidt-Clausen, one cycle one flash (light.effective.form_factor). Heads that flash at the same instants are added;
    those that flash at others are lamps of their own, and the strongest of them counts in each direction.
    """
    answers = []
    for colour, light in _flashing_colours(model, situation).items():
        grid = Grid(ROUND.bearings_rad, tuple(dict.fromkeys((-vertical, vertical))))
        candela = light.over(grid).reshape(len(light.glows), math.prod(grid.shape))
        worth = np.array([form_factor_level(wave) for wave in light.together.waves])
        found = (worth[:, None] * gathered(light.together, candela)).max(axis=0).reshape(grid.shape)
        place = first_least(found.ravel()) if of == "least" else int(found.argmax())
        row, column = divmod(place, found.shape[1])
        bearing_rad, elevation_rad = grid.bearings_rad[column], grid.elevations_rad[row]
        answers.append(
            Measure(
                "light.form-factor",
                float(found[row, column]),
                "luminous-intensity",
                about=model.situation(situation).path,
                blame=_nearest(light.glows, bearing_rad),
                where=f"{colour}, {toward(bearing_rad, elevation_rad)}",
                situation=situation,
                facts=facts(colour=colour, test_voltage=voltages(light.glows)),
            )
        )
    return tuple(answers)


@measures("light.work-light", kind="luminous-intensity")
def work_light(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How bright is the steady light to work by toward each side, all lamps of that side added along their axes?"""
    sides: dict[tuple[str, Colour], list[Glow]] = {}
    for glow in glows(model, situation):
        if glow.part.rank == TASK and glow.part.wave.is_constant and glow.toward:
            sides.setdefault((glow.toward, glow.part.colour), []).append(glow)
    return tuple(
        Measure(
            "light.work-light",
            math.fsum(glow.part.wave.peak() * candela_toward(glow.emitter, glow.emitter.forward) for glow in there),
            "luminous-intensity",
            about=model.situation(situation).path,
            blame=tuple(dict.fromkeys([*(f"{glow.head.path}.part" for glow in there), *(g.part.path for g in there)])),
            where=f"toward the {side}, {', '.join(sorted({glow.lamp for glow in there})[:4])}",
            situation=situation,
            facts=facts(toward=side, colour=colour, test_voltage=voltages(there)),
        )
        for (side, colour), there in sides.items()
    )


@measures("light.level-beyond-axle", kind="length")
def level_beyond_axle(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How far ahead of the front axle and behind the rear axle does the outermost flashing lamp of each level stand?"""
    answers = []
    for level in LEVELS:
        there = in_level_of(flashing(model, situation), level).glows
        for end in ("front", "rear"):
            looking = [glow for glow in there if glow.toward == end]
            if not looking:
                continue
            outermost = max(looking, key=lambda glow: _beyond_m(glow, end, model))
            answers.append(
                Measure(
                    "light.level-beyond-axle",
                    _beyond_m(outermost, end, model),
                    "length",
                    about=model.situation(situation).path,
                    blame=(f"{outermost.head.path}.at",),
                    where=f"{outermost.head.id}, {level} level",
                    situation=situation,
                    facts=facts(level=level, end=end),
                )
            )
    return tuple(answers)


@measures("light.level-spacing", kind="length")
def level_spacing(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How far apart along the vehicle are neighbouring flashing lamps of a level, on each side?"""
    answers = []
    for level in LEVELS:
        there = in_level_of(flashing(model, situation), level).glows
        for side, sign in (("left", 1.0), ("right", -1.0)):
            row = sorted((glow for glow in there if sign * glow.position_m[1] > 0.0), key=lambda g: g.position_m[0])
            if len(row) < 2:
                continue
            behind, ahead = max(pairwise(row), key=lambda two: two[1].position_m[0] - two[0].position_m[0])
            answers.append(
                Measure(
                    "light.level-spacing",
                    ahead.position_m[0] - behind.position_m[0],
                    "length",
                    about=model.situation(situation).path,
                    blame=(f"{behind.head.path}.at", f"{ahead.head.path}.at"),
                    where=f"{level} level, from {ahead.head.id} to {behind.head.id}",
                    situation=situation,
                    facts=facts(level=level, side=side),
                )
            )
    return tuple(answers)


@by_digest
def _flashing_colours(model: Model, situation: str) -> dict[Colour, Light]:
    """Flashing light of the ranks that warn, colour by colour."""
    warning = [g for g in glows(model, situation) if g.part.rank in WARNING_RANKS and not g.part.wave.is_constant]
    by_colour = {colour: [glow for glow in warning if glow.part.colour == colour] for colour in COLOURS}
    return {colour: light_of(chosen) for colour, chosen in by_colour.items() if chosen}


def _beyond_m(glow: Glow, end: str, model: Model) -> float:
    x_m = glow.position_m[0]
    return x_m if end == "front" else -model.body.wheelbase - x_m


def _nearest(chosen: tuple[Glow, ...], bearing_rad: float) -> tuple[str, ...]:
    """Lamps that look nearest to a bearing: turn, move, then another part."""

    def away_rad(glow: Glow) -> float:
        return abs((glow.bearing_rad - bearing_rad + math.pi) % math.tau - math.pi)

    lamps = list(dict.fromkeys(glow.head.path for glow in sorted(chosen, key=away_rad) if glow.head.reach == "own"))
    return tuple(f"{lamp}.{aspect}" for aspect in ("aim", "at", "part") for lamp in lamps[:BLAMED_N])
