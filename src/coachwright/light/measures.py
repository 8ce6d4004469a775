"""What can be asked about light: what each zone gets, how bright, how far seen, where nobody sees anything.

Light is far field: all lamps at one point. What stands in the way counts from where each head truly is, panels as they
stand: the body, panes, mirrors, doors, the housings of other lamps, antennas. A pane that isn't a head's own counts as
opaque, and the ground plays no part. Figures hold at the test voltage of the parts, which each answer names.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

import numpy as np

from coachwright.build.model import Colour, Model
from coachwright.flash.measures import QUARTERS
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.table import Column, Table
from coachwright.light.blinded_measures import crew_light, flash_back, glare_veil, most_toward
from coachwright.light.case_measures import open_panel_gap, open_panel_share, trailer_gap, trailer_share
from coachwright.light.coverage import first_least, widest_gap
from coachwright.light.covered_measures import required_covered, white_beside_turn
from coachwright.light.crossing_measures import crossing_margin
from coachwright.light.emitter_measures import emitter_field, emitter_reach, emitter_time
from coachwright.light.far_field import Floats, Grid
from coachwright.light.ground_measures import ground_evenness, ground_light
from coachwright.light.hidden_measures import hidden_share
from coachwright.light.lamp_measures import chromaticity, glass_share, lamp_intensity, peak, toward_crew
from coachwright.light.lit import (
    LEVEL,
    ROUND,
    Glow,
    Places,
    brightest_over,
    effective_one_dead,
    effective_over,
    effective_round,
    flashing,
    in_level_of,
    of_colour,
    place_in_round,
    voltages,
    zone_power,
)
from coachwright.light.notice_measures import near_light, notice_distance
from coachwright.light.pane_measures import noticed_through_glass, pane_share, reflection_at_driver
from coachwright.light.signal_measures import signal_share
from coachwright.light.standing_measures import (
    axis_elevation,
    axis_off_side,
    colour_within,
    figures_voltage,
    height,
    identification_spacing,
    required_distance,
    road_light_on_glass,
    road_light_on_panel,
)
from coachwright.light.sure_measures import pass_share
from coachwright.light.system_measures import form_factor, level_beyond_axle, level_spacing, work_light
from coachwright.light.words import bearings, toward
from coachwright.light.zone_measures import one_dead_share, point_flashes, sources_seen, zone_colour
from coachwright.light.zones import (
    LEVELS,
    STEP_RAD,
    ZONE_GRID,
    ZonePower,
    heights,
    in_level,
    zone_places,
    zone_powers,
    zone_totals,
)
from coachwright.place.panels import BODY
from coachwright.place.zones import ZONE_MIDDLES_RAD, Zone

__all__ = [
    "axis_elevation",
    "axis_off_side",
    "chromaticity",
    "colour_within",
    "crew_light",
    "crossing_margin",
    "effective_intensity",
    "emitter_field",
    "emitter_reach",
    "emitter_time",
    "figures_voltage",
    "flash_back",
    "form_factor",
    "gap",
    "glare_veil",
    "glass_share",
    "ground_evenness",
    "ground_light",
    "height",
    "hidden_share",
    "identification_spacing",
    "intensity",
    "lamp_intensity",
    "level_beyond_axle",
    "level_spacing",
    "most_toward",
    "near_light",
    "notice_distance",
    "noticed_through_glass",
    "one_dead_gap",
    "one_dead_share",
    "open_panel_gap",
    "open_panel_share",
    "optical_power",
    "pane_share",
    "panel_share",
    "pass_share",
    "peak",
    "point_flashes",
    "reflection_at_driver",
    "required_covered",
    "required_distance",
    "road_light_on_glass",
    "road_light_on_panel",
    "signal_share",
    "sources_seen",
    "toward_crew",
    "trailer_gap",
    "trailer_share",
    "white_beside_turn",
    "work_light",
    "zone_colour",
]

BLAMED_N = 3
"""Lamps named as what to turn, move or change."""

_POWER_COLUMNS = (Column("bearing", "angle"), Column("power", "optical-power", "optical power"))
_ROUND_COLUMNS = (Column("bearing", "angle"), Column("intensity", "luminous-intensity", "effective intensity"))


# --------------------------------------------------------------------------------------------------------------- zones
@measures(
    "light.optical-power",
    kind="optical-power",
    of="word",
    counting="word",
    lower_from="length",
    upper_above="length",
)
def optical_power(
    model: Model,
    *,
    situation: str,
    of: Literal["total", "point", "point-5-up-down"] = "total",
    counting: Literal["all", "fixed"] = "all",
    lower_from: float | None = None,
    upper_above: float | None = None,
) -> tuple[Measure, ...]:
    """How much flashing warning light does each zone get in a minute?

    of : the sum over the level points of the zone, its weakest level point, or its weakest point 5 deg up or down.
    counting : ``fixed`` leaves out heads that ride on panels that move.
    lower_from, upper_above : heights that part the levels, when the rule brings its own. [m]
    """
    usual = heights()
    low_m = usual.lower_from_m if lower_from is None else lower_from
    high_m = usual.upper_above_m if upper_above is None else upper_above
    light = flashing(model, situation)
    power = zone_power(model, situation)
    answers = []
    for level in LEVELS:
        counted = [
            place
            for place, glow in enumerate(light.glows)
            if in_level(glow.height_m, level, lower_from_m=low_m, upper_above_m=high_m)
            and (counting == "all" or glow.panel == BODY)
        ]
        there, given = [light.glows[place] for place in counted], power[counted]
        summed = given.sum(axis=0)
        for zone in zone_powers(summed):
            value, bearing_rad, elevation_rad = _asked(zone, of)
            row = ZONE_GRID.elevations_rad.index(elevation_rad)
            shares = (
                given[:, 1, zone_places(zone.zone)].sum(axis=1)
                if of == "total"
                else given[:, row, round(bearing_rad / STEP_RAD)]
            )
            answers.append(
                Measure(
                    "light.optical-power",
                    value,
                    "optical-power",
                    about=model.situation(situation).path,
                    blame=_blame(there, shares, bearing_rad),
                    where=f"zone {zone.zone}" if of == "total" else toward(bearing_rad, elevation_rad),
                    situation=situation,
                    facts=facts(zone=zone.zone, level=level, test_voltage=voltages(there)),
                    table=_points(zone, summed[row]) if level == "both" else None,
                )
            )
    return tuple(answers)


@measures("light.panel-share", kind="share")
def panel_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Which share of a zone's light rides on one panel that opens?"""
    light = flashing(model, situation)
    totals = zone_totals(zone_power(model, situation))
    answers = []
    for panel in dict.fromkeys(glow.panel for glow in light.glows if glow.panel != BODY):
        rides = np.array([glow.panel == panel for glow in light.glows])
        for zone, given in totals.items():
            everything = float(given.sum())
            if everything <= 0.0:
                continue
            riding = np.where(rides, given, 0.0)
            most = light.glows[int(riding.argmax())] if riding.any() else light.glows[int(rides.argmax())]
            answers.append(
                Measure(
                    "light.panel-share",
                    float(riding.sum()) / everything,
                    "share",
                    about=most.head.path,
                    blame=(f"{most.head.path}.at", f"{most.head.path}.aim"),
                    where=f"zone {zone}, {panel}",
                    situation=situation,
                    facts=facts(zone=zone, panel=panel, lamp=most.head.lamp, test_voltage=voltages(light.glows)),
                )
            )
    return tuple(answers)


# ------------------------------------------------------------------------------------------------------ toward a side
@measures("light.intensity", kind="luminous-intensity", vertical="angle", horizontal="angle")
def intensity(model: Model, *, situation: str, vertical: float, horizontal: float) -> tuple[Measure, ...]:
    """How bright is the warning of each colour toward each side, at its brightest instant?

    vertical : elevation. [rad] horizontal : to both sides of the quarter's middle; the lower of the two counts. [rad]
    """
    answers = []
    for colour, (light, over_round) in of_colour(model, situation).items():
        for zone, test_voltage in _shining_into(model, situation, colour).items():
            grid, places = _both_sides(zone, vertical, horizontal)
            both = brightest_over(light, grid) if places is None else over_round[places[0][:, None], places[1]]
            worse = first_least(both[0])
            bearing_rad = grid.bearings_rad[worse]
            answers.append(
                Measure(
                    "light.intensity",
                    float(both[0, worse]),
                    "luminous-intensity",
                    about=model.situation(situation).path,
                    blame=_nearest(model, situation, colour, zone, bearing_rad),
                    where=toward(bearing_rad, vertical),
                    situation=situation,
                    facts=facts(toward=QUARTERS[zone], colour=colour, test_voltage=test_voltage),
                )
            )
    return tuple(answers)


@measures("light.effective-intensity", kind="luminous-intensity", low="angle", high="angle")
def effective_intensity(model: Model, *, situation: str, low: float, high: float) -> tuple[Measure, ...]:
    """How strong a steady light does the flashing warning look like from its weakest bearing?

    low, high : elevations between which the weakest is sought, every 5 deg at least. [rad]
    """
    light = flashing(model, situation)
    steps_n = max(1, math.ceil((high - low) / math.radians(5.0) - 1e-6))
    grid = Grid(ROUND.bearings_rad, tuple(low + (high - low) * step / steps_n for step in range(steps_n + 1)))
    found = _from_round(effective_round(model, situation), grid)
    if found is None:
        found = effective_over(light, grid)
    row, column = divmod(first_least(found.ravel()), found.shape[1])
    bearing_rad = grid.bearings_rad[column]
    there = light.over(Grid((bearing_rad,), (grid.elevations_rad[row],)))[:, 0, 0]
    return (
        Measure(
            "light.effective-intensity",
            float(found[row, column]),
            "luminous-intensity",
            about=model.situation(situation).path,
            blame=_blame(light.glows, there, bearing_rad),
            where=toward(bearing_rad, grid.elevations_rad[row]),
            situation=situation,
            facts=facts(test_voltage=voltages(light.glows)),
            table=_round_table(found.min(axis=0)),
        ),
    )


@measures("light.gap", kind="angle", least="luminous-intensity")
def gap(model: Model, *, situation: str, least: float) -> tuple[Measure, ...]:
    """From how wide a run of bearings is too little warning seen?

    least : effective intensity that has to be reached, level. [cd]
    """
    light = flashing(model, situation)
    level_cd = effective_round(model, situation)[LEVEL]
    found = widest_gap(level_cd, least_cd=least)
    middle_rad = found.middle_rad if found.width_rad else ROUND.bearings_rad[first_least(level_cd)]
    return (
        Measure(
            "light.gap",
            found.width_rad,
            "angle",
            about=model.situation(situation).path,
            blame=_blame(light.glows, None, middle_rad),
            where=bearings(found.width_rad, middle_rad),
            situation=situation,
            facts=facts(test_voltage=voltages(light.glows)),
            table=_round_table(level_cd),
        ),
    )


@measures("light.one-dead-gap", kind="angle", least="luminous-intensity", level="word")
def one_dead_gap(
    model: Model, *, situation: str, least: float, level: Literal["both", "upper", "lower"] = "both"
) -> tuple[Measure, ...]:
    """From how wide a run of bearings is too little warning seen when the worst single lamp is dead?

    least : effective intensity that has to be reached, level. [cd]
    level : of the zone method; its lamps have to do without those of the other.
    """
    light = in_level_of(flashing(model, situation), level)
    lamps, levels_cd = effective_one_dead(model, situation, level)
    if not lamps:
        return ()
    gaps = [widest_gap(level_cd, least_cd=least) for level_cd in levels_cd]
    worst = max(range(len(lamps)), key=lambda place: (gaps[place].width_rad, -float(levels_cd[place].min())))
    dead = next(glow for glow in light.glows if glow.lamp == lamps[worst])
    width_rad = gaps[worst].width_rad
    middle_rad = gaps[worst].middle_rad if width_rad else ROUND.bearings_rad[first_least(levels_cd[worst])]
    alive = [glow for glow in light.glows if glow.lamp != lamps[worst]]
    table = Table(
        (Column("lamp", "word"), Column("gap", "angle"), Column("middle", "angle")),
        tuple((lamp, found.width_rad, found.middle_rad) for lamp, found in zip(lamps, gaps, strict=True)),
    )
    return (
        Measure(
            "light.one-dead-gap",
            width_rad,
            "angle",
            about=dead.head.path,
            blame=(*_blame(alive, None, middle_rad), dead.head.path),
            where=f"{lamps[worst]} dead, {bearings(width_rad, middle_rad)}",
            situation=situation,
            facts=facts(lamp=dead.head.lamp, level=level, test_voltage=voltages(light.glows)),
            table=table,
        ),
    )


# ----------------------------------------------------------------------------------------------------- how it is said
def _asked(zone: ZonePower, of: str) -> tuple[float, float, float]:
    """Value, bearing and elevation of what is asked of a zone."""
    if of == "total":
        return zone.total, ZONE_MIDDLES_RAD[zone.zone], 0.0
    if of == "point":
        return zone.point, zone.point_bearing_rad, 0.0
    return zone.up_down, zone.up_down_bearing_rad, zone.up_down_elevation_rad


def _blame(chosen: Sequence[Glow], given: Floats | None, bearing_rad: float) -> tuple[str, ...]:
    """What to change first: the lamps that give most there, or look nearest to it; turn, move, then another part."""
    away = [abs((glow.bearing_rad - bearing_rad + math.pi) % math.tau - math.pi) for glow in chosen]
    less = [0.0] * len(chosen) if given is None else (-given).tolist()
    lamps: list[str] = []
    shows: list[str] = []
    for *_, place in sorted(zip(less, away, range(len(chosen)), strict=True)):
        glow = chosen[place]
        if glow.head.reach == "own" and glow.head.path not in lamps:
            lamps.append(glow.head.path)
            shows.append(glow.part.path)
        if len(lamps) == BLAMED_N:
            break
    aspects = [f"{lamp}.{aspect}" for aspect in ("aim", "at", "part") for lamp in lamps]
    return tuple(dict.fromkeys([*aspects, *shows]))


@by_digest
def _shining_into(model: Model, situation: str, colour: Colour) -> dict[Zone, str]:
    """Zones into which light of a colour looks, and the voltage at which its figures hold."""
    light, _ = of_colour(model, situation)[colour]
    looking = {zone: [glow for glow in light.glows if zone in glow.zones] for zone in QUARTERS}
    return {zone: voltages(there) for zone, there in looking.items() if there}


@by_digest
def _nearest(model: Model, situation: str, colour: Colour, zone: Zone, bearing_rad: float) -> tuple[str, ...]:
    """What to change first of one colour's light in a zone: every elevation asks it of the same few bearings."""
    light, _ = of_colour(model, situation)[colour]
    return _blame([glow for glow in light.glows if zone in glow.zones], None, bearing_rad)


@lru_cache(maxsize=256)
def _both_sides(zone: Zone, vertical_rad: float, horizontal_rad: float) -> tuple[Grid, tuple[Places, Places] | None]:
    """Left and right of a quarter's middle bearing, and where they are in `ROUND`."""
    middle = ZONE_MIDDLES_RAD[zone]
    grid = Grid(((middle - horizontal_rad) % math.tau, (middle + horizontal_rad) % math.tau), (vertical_rad,))
    return grid, place_in_round(grid)


def _from_round(over_round: Floats, grid: Grid) -> Floats | None:
    """The grid's part of an answer over `ROUND`; None where it has directions of its own."""
    places = place_in_round(grid)
    return None if places is None else over_round[places[0][:, None], places[1]]


def _points(zone: ZonePower, power: Floats) -> Table:
    places = zone_places(zone.zone)
    return _by_bearing(_POWER_COLUMNS, tuple((ZONE_GRID.bearings_rad[place], float(power[place])) for place in places))


def _round_table(level_cd: Floats) -> Table:
    """Every 5 deg, which is what a page can show."""
    return _by_bearing(_ROUND_COLUMNS, tuple(zip(ROUND.bearings_rad[::2], level_cd[::2].tolist(), strict=True)))


@lru_cache(maxsize=512)
def _by_bearing(columns: tuple[Column, ...], rows: tuple[tuple[float, float], ...]) -> Table:
    """Rules that ask for several limits get one table, and so do situations that shine alike."""
    return Table(columns, rows)
