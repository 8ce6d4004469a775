"""Which heads burn in a situation, with which waves, where do they look, and what do they send round the vehicle?

The one door of this room to control and flash; everything behind it takes plain waves and arrays. Answers are
remembered by the model's digest.

See Also
--------
coachwright.flash.waves : what burns. coachwright.light.measures : what is asked of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import COLOURS, Colour, Head, Model
from coachwright.control.situations import settings_of
from coachwright.control.sources import Setting
from coachwright.flash.measures import QUARTERS, WARNING_RANKS
from coachwright.flash.waves import HeadWave, LitPart, waves, waves_tried
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Vector, bearing_and_elevation, direction
from coachwright.kit.once import once
from coachwright.light.coverage import CD_S_PER_MIN, Merged, brightest_cd, effective_cd, gathered, merged
from coachwright.light.far_field import Emitter, Floats, Grid, emitter_of, far_field, looks_out
from coachwright.light.seen import Source, candela_along, seen_toward
from coachwright.light.shadow import NOTHING, Found, Obstacle, Scene, View, hidden_rounds
from coachwright.light.zones import UP_DOWN_RAD, ZONE_GRID, Level, heights, in_level
from coachwright.parts.schema import LampPart
from coachwright.place.panels import BODY, open_panels, panel_name
from coachwright.place.poses import moved_pose, place_and_side
from coachwright.place.solids import mount_of, solids_of
from coachwright.place.zones import Zone, zones_of

Places: TypeAlias = NDArray[np.intp]

ROUND = Grid(
    tuple(math.radians(2.5 * number) for number in range(144)),
    tuple(math.radians(5.0 * number) for number in range(-2, 7)),
)
"""Right round in steps of 2.5 deg, from 10 deg down to 30 deg up. Holds every point of the zones."""

LEVEL = ROUND.elevations_rad.index(0.0)
ZONE_ROWS = slice(LEVEL - 1, LEVEL + 2)
ZONE_COLUMNS = slice(None, None, 2)
"""Where the points of the zones are in `ROUND`."""

_SAME_RAD = 1e-7


@dataclass(frozen=True, slots=True)
class Glow:
    """One colour of one head that burns.

    lamp : what is bolted on; of a pair one side (``corner.left``). toward : quarter into which it looks, "" for none.
    panel : the moving panel it rides on, else ``body``. view : from its optical centre, and what stands round.
    hidden : which of the obstacles round it is in its way over `ROUND` (light.shadow).
    bearing_rad : of its axis, clockwise from the nose. test_voltage_v : at which its figures hold. [V]
    """

    head: Head
    part: LitPart
    emitter: Emitter
    lamp: str
    zones: tuple[Zone, ...]
    panel: str
    view: View
    hidden: Found
    bearing_rad: float
    test_voltage_v: float

    @property
    def position_m(self) -> Vector:
        """Of its optical centre. [m]"""
        return self.view.position_m

    @property
    def height_m(self) -> float:
        """Of its optical centre above the ground. [m]"""
        return self.position_m[2]

    @property
    def source(self) -> Source:
        """For questions of its own (light.seen)."""
        return Source(self.emitter, self.view)

    @property
    def toward(self) -> str:
        return QUARTERS[self.zones[0]] if self.zones else ""


@dataclass(frozen=True, slots=True)
class Light:
    """Some of the glows of a situation, and their candela over `ROUND` at full light, (glows, elevations, bearings).

    What the body, its panels as they stand and whatever is fitted hide from a glow is dark.
    """

    glows: tuple[Glow, ...]
    candela_cd: Floats
    together: Merged

    def over(self, grid: Grid) -> Floats:
        """Candela over another grid, taken from `ROUND` where its directions are all there. [cd]"""
        if grid is ROUND:
            return self.candela_cd
        places = place_in_round(grid)
        if places is None:
            return seen_toward([glow.source for glow in self.glows], grid)
        return self.candela_cd[:, places[0][:, None], places[1]]


@dataclass(frozen=True, slots=True)
class Stand:
    """How a head stands while some panels are open, and each of its colours there."""

    emitters: Mapping[Colour, Emitter]
    zones: tuple[Zone, ...]
    panel: str
    view: View
    hidden: Found
    bearing_rad: float
    test_voltage_v: float


@by_digest
def glows(model: Model, situation: str) -> tuple[Glow, ...]:
    """Everything that burns in a situation, in the model's order; colours without figures are left out."""
    return _glows_of(model, situation, waves(model, situation=situation))


def glows_tried(model: Model, situation: str, changes: Mapping[str, Setting]) -> tuple[Glow, ...]:
    """The same once these settings, none of which opens a panel, have changed in one step."""
    return _glows_of(model, situation, waves_tried(model, situation=situation, changes=changes))


def _glows_of(model: Model, situation: str, burning: Sequence[HeadWave]) -> tuple[Glow, ...]:
    stands = standing(model, open_panels(model.body, settings_of(model, situation)))
    return tuple(
        Glow(
            head,
            part,
            stand.emitters[part.colour],
            f"{head.lamp}.{head.side}" if head.side else head.lamp,
            stand.zones,
            stand.panel,
            stand.view,
            stand.hidden,
            stand.bearing_rad,
            stand.test_voltage_v,
        )
        for head, stand, wave in zip(model.heads, stands, burning, strict=True)
        for part in wave.parts
        if part.colour in stand.emitters
    )


@by_digest
def standing(model: Model, panels: frozenset[str]) -> tuple[Stand, ...]:
    """Every head of the model while these panels stand open: situations share it."""
    views = tuple(_view(head, model, panels) for head in model.heads)
    return tuple(
        _stand(head, model, panels, view, hidden)
        for head, view, hidden in zip(model.heads, views, hidden_rounds(views, ROUND), strict=True)
    )


def _view(head: Head, model: Model, panels: frozenset[str]) -> View:
    position_m = moved_pose(head, model, panels).position_m
    return View(position_m, *looks_out(head, model, panels), scene_of(model, panels), _mounts(model)[_lamp_of(head)])


def _stand(head: Head, model: Model, panels: frozenset[str], view: View, hidden: Found) -> Stand:
    place, side = place_and_side(head, model.body)
    pose = moved_pose(head, model, panels)
    emitters = {colour: emitter_of(head, model, colour, panels) for colour in COLOURS}
    return Stand(
        {colour: emitter for colour, emitter in emitters.items() if emitter is not None},
        zones_of(head, model, panels),
        BODY if place.panel == BODY else panel_name(place.panel, model.body.panels[place.panel], side),
        view,
        hidden,
        bearing_and_elevation(pose.forward)[0],
        _test_voltage_v(head, model),
    )


@by_digest
def _mounts(model: Model) -> Mapping[str, tuple[str, ...]]:
    """Names of what each lamp is bolted to, sits in and looks through; heads of one lamp share it."""
    first = {_lamp_of(head): head for head in reversed(model.heads)}
    return {lamp: mount_of(head, model) for lamp, head in first.items()}


def _lamp_of(head: Head) -> str:
    """The lamp; of a pair one side. A lamp the vehicle came with has its heads at places of their own."""
    if head.reach != "own":
        return head.id
    return f"{head.lamp}.{head.side}" if head.side else head.lamp


@by_digest
def scene_of(model: Model, panels: frozenset[str]) -> Scene:
    """Everything solid round the heads while these panels stand open."""
    return Scene(tuple(Obstacle(each.name, each.vertices_m, each.triangles) for each in solids_of(model, panels)))


def light_of(chosen: Sequence[Glow]) -> Light:
    """Their light together."""
    candela_cd = far_field([glow.emitter for glow in chosen], ROUND)
    for candela, glow in zip(candela_cd, chosen, strict=True):
        candela[glow.hidden != NOTHING] = 0.0
    return Light(
        tuple(chosen),
        candela_cd,
        merged([glow.part.wave for glow in chosen], [glow.head.sync_group for glow in chosen]),
    )


@by_digest
def everything(model: Model, situation: str) -> Light:
    """All that burns in a situation, together."""
    return light_of(glows(model, situation))


@by_digest
def flashing(model: Model, situation: str) -> Light:
    """Flashing light of the ranks that warn: what the zone method counts."""
    return light_of(
        [glow for glow in glows(model, situation) if glow.part.rank in WARNING_RANKS and not glow.part.wave.is_constant]
    )


@by_digest
def of_colour(model: Model, situation: str) -> dict[Colour, tuple[Light, Floats]]:
    """Warning light of each colour there is, steady or flashing, and its brightest instant over `ROUND`. [cd]"""
    everything = [glow for glow in glows(model, situation) if glow.part.rank in WARNING_RANKS]
    found: dict[Colour, tuple[Light, Floats]] = {}
    for colour in COLOURS:
        chosen = [glow for glow in everything if glow.part.colour == colour]
        if chosen:
            light = light_of(chosen)
            found[colour] = light, brightest_over(light, ROUND)
    return found


@by_digest
def effective_round(model: Model, situation: str) -> Floats:
    """Effective intensity of all flashing warning light over `ROUND`. [cd]"""
    return effective_over(flashing(model, situation), ROUND)


def in_level_of(light: Light, level: Level) -> Light:
    """Of some light, that of one level of the zone method."""
    if level == "both":
        return light
    usual = heights()
    return light_of(
        [
            glow
            for glow in light.glows
            if in_level(glow.height_m, level, lower_from_m=usual.lower_from_m, upper_above_m=usual.upper_above_m)
        ]
    )


@by_digest
def effective_one_dead(model: Model, situation: str, level: Level = "both") -> tuple[tuple[str, ...], Floats]:
    """Lamps that flash, and level effective intensity by bearing with each of them dead, (lamps, bearings). [cd]

    level : only lamps of this level of the zone method; each level has to see to itself.
    """
    light = in_level_of(flashing(model, situation), level)
    lamps = tuple(dict.fromkeys(glow.lamp for glow in light.glows))
    alive = np.array([[float(glow.lamp != lamp) for glow in light.glows] for lamp in lamps])
    if not lamps:
        return (), np.zeros((0, ROUND.shape[1]))
    return lamps, effective_cd(light.together, gathered(light.together, light.candela_cd[:, LEVEL], alive))


@by_digest
def peaks_cd(model: Model, situation: str) -> tuple[float, ...]:
    """Of each glow, the most it sends within 5 deg of the horizontal, at the brightest instant of its wave. [cd]"""
    light = everything(model, situation)
    return tuple(
        glow.part.wave.peak() * max(float(candela[ZONE_ROWS].max()), _along_axis_cd(glow))
        for glow, candela in zip(light.glows, light.candela_cd, strict=True)
    )


@by_digest
def zone_power(model: Model, situation: str) -> Floats:
    """Optical power of each glow that flashes over the grid of the zones, shape (glows, 3, 72). [cd s/min]"""
    return power_over_zones(flashing(model, situation))


def power_over_zones(light: Light) -> Floats:
    """Optical power of each of its glows over the grid of the zones, shape (glows, 3, 72). [cd s/min]"""
    means = np.array([CD_S_PER_MIN * glow.part.wave.mean() for glow in light.glows])
    return np.asarray(means[:, None, None] * light.candela_cd[:, ZONE_ROWS, ZONE_COLUMNS], dtype=np.float64)


def effective_over(light: Light, grid: Grid) -> Floats:
    """Effective intensity of the light together toward each direction, shape of the grid. [cd]"""
    candela = light.over(grid).reshape(len(light.glows), math.prod(grid.shape))
    return effective_cd(light.together, gathered(light.together, candela)).reshape(grid.shape)


def brightest_over(light: Light, grid: Grid) -> Floats:
    """Brightest instant of the light together toward each direction, shape of the grid. [cd]"""
    candela = light.over(grid).reshape(len(light.glows), math.prod(grid.shape))
    return brightest_cd(light.together, gathered(light.together, candela)).reshape(grid.shape)


def voltages(chosen: Iterable[Glow]) -> str:
    """Voltage at which their figures hold, as a word; several where parts differ, empty where nothing burns."""
    return " and ".join(f"{volt:g}" for volt in sorted({glow.test_voltage_v for glow in chosen}))


@once(max_bytes=4_000_000)
def place_in_round(grid: Grid) -> tuple[Places, Places] | None:
    """Where a grid's elevations and bearings are in `ROUND`; None when it has others."""
    rows = [_place(angle, ROUND.elevations_rad) for angle in grid.elevations_rad]
    columns = [_place(angle % math.tau, ROUND.bearings_rad) for angle in grid.bearings_rad]
    if None in rows or None in columns:
        return None
    return np.array(rows, dtype=np.intp), np.array(columns, dtype=np.intp)


def _along_axis_cd(glow: Glow) -> float:
    """Along its axis, or as near to it as 5 deg from the horizontal allows: between the grid's bearings."""
    bearing, elevation = bearing_and_elevation(glow.emitter.forward)
    near = min(max(elevation, -UP_DOWN_RAD), UP_DOWN_RAD)
    return candela_along(glow.source, direction(bearing_rad=bearing, elevation_rad=near))


def _test_voltage_v(head: Head, model: Model) -> float:
    if head.reach != "own":
        return float(model.body.lamps[head.lamp].test_voltage)
    part = model.part(head.part)
    return float(part.test_voltage) if isinstance(part, LampPart) else 0.0


def _place(angle_rad: float, among_rad: Sequence[float]) -> int | None:
    """Which of ascending angles at equal steps this is; None when it is none of them."""
    step_rad = among_rad[1] - among_rad[0]
    number = round((angle_rad - among_rad[0]) / step_rad)
    if number == len(among_rad) and abs(angle_rad - math.tau) < _SAME_RAD:
        number = 0
    fits = 0 <= number < len(among_rad) and abs(among_rad[number] - angle_rad) < _SAME_RAD
    return number if fits else None


assert ZONE_GRID.shape == (3, ROUND.shape[1] // 2)
