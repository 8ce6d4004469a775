"""The flashing light of a situation, made ready for thousands of vehicles whose heads are weaker and turned a little.

Directions are those of zones and gaps: level every 2.5 deg, and every 5 deg a little down and up, 288 in all. Each
colour of each head (an *emitter*) is held once for all situations, with what gets through toward each direction, and
with the list of directions its beam can reach at all.

See Also
--------
coachwright.light.lit : where the glows and their far field come from. coachwright.light.pass_share : who asks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Model
from coachwright.kit.geom import Pose
from coachwright.light.coverage import CD_S_PER_MIN, Clock, Merged, effective_cd, effective_weights, gathered, merged
from coachwright.light.drawn_vehicles import Vehicles
from coachwright.light.far_field import Emitter, grid_vectors
from coachwright.light.lit import LEVEL, ROUND, Glow, Light, flashing, light_of
from coachwright.light.zones import Level, heights, in_level
from coachwright.parts.candela import CandelaTable
from coachwright.parts.photometry import beam_table
from coachwright.parts.schema import ColourOutput
from coachwright.place.panels import BODY

Floats: TypeAlias = NDArray[np.float64]
Places: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

BEARINGS_N = len(ROUND.bearings_rad)
_EVERY_SECOND = slice(None, None, 2)
DIRECTIONS_N = BEARINGS_N * 2
"""144 level, then 72 down, then 72 up."""

EVERYWHERE = ColourOutput(
    current=1.0,
    measured=CandelaTable(
        np.array([-math.pi / 2, math.pi / 2]), np.array([-math.pi, math.pi]), np.array([[1.0, 1.0], [1.0, 1.0]])
    ),
)
"""One candela in every direction: its far field is what gets past glass, body and shadow."""


@dataclass(frozen=True, slots=True)
class Reach:
    """Directions each emitter can reach, in runs of neighbours, emitter behind emitter: N in all.

    begins : (emitters + 1,) where the directions of each begin. run_begins : (emitters + 1,) where its runs begin.
    run_flat : (runs + 1,) where each run begins among the N. run_place : (runs,) the direction it begins at.
    """

    begins: Places
    run_begins: Places
    run_flat: Places
    run_place: Places


@dataclass(frozen=True, slots=True)
class Heads:
    """Every emitter of some situations.

    head_of : (emitters,) place of its head in the model. candela_cd : (1, N) as it is meant to look.
    share : (N,) what gets through. local : (3, N) those directions in the emitter's own axes.
    table_of, angles_rad, table_places, tables_cd : beams, as light.sure_kernel has them.
    known : what tells an emitter from the others -> its number.
    """

    head_of: Places
    candela_cd: Floats
    reach: Reach
    share: Floats
    local: Floats
    table_of: Places
    angles_rad: Floats
    table_places: Places
    tables_cd: Floats
    known: dict[EmitterKey, int]

    def turned(self, vehicles: Vehicles, begin: int, end: int) -> Floats:
        """Candela of every emitter as it is turned in some of the vehicles, (vehicles, N)."""
        from coachwright.light import sure_kernel

        found = np.empty((end - begin, len(self.share)))
        sure_kernel.turned(
            self.local,
            self.share,
            self.reach.begins,
            self.table_of,
            self.angles_rad,
            self.table_places,
            self.tables_cd,
            np.ascontiguousarray(vehicles.bearing_rad[begin:end, self.head_of]),
            np.ascontiguousarray(vehicles.elevation_rad[begin:end, self.head_of]),
            found,
        )
        return found


@dataclass(frozen=True, slots=True)
class Scene:
    """What flashes in one situation, its glows lamp by lamp.

    emitter_of : (glows,) number of each among the heads'. group_of : (glows,) which of the groups each belongs to:
    glows of one wave, height and panel are one. firsts : (groups,) the first glow of each. lamp_begins : (lamps + 1,).
    """

    glows: tuple[Glow, ...]
    emitter_of: Places
    group_of: Places
    firsts: Places
    lamp_begins: Places

    @property
    def key(self) -> object:
        """Situations of one key shine alike."""
        return self.emitter_of.tobytes(), tuple(
            (glow.part.wave, glow.head.sync_group, glow.lamp) for glow in self.glows
        )

    def means(
        self, *, level: Level, counting: Literal["all", "fixed"], lower_from_m: float, upper_above_m: float
    ) -> Floats:
        """Light of one minute of each group that counts, else 0, (groups,). [s/min]"""
        return np.array(
            [
                CD_S_PER_MIN * glow.part.wave.mean()
                if in_level(glow.height_m, level, lower_from_m=lower_from_m, upper_above_m=upper_above_m)
                and (counting == "all" or glow.panel == BODY)
                else 0.0
                for glow in (self.glows[place] for place in self.firsts)
            ],
            dtype=np.float64,
        )

    def rows(self, level: Level) -> Floats:
        """Weights over the groups; the largest row-sum is the effective intensity of a level, (rows, groups)."""
        chosen, together = self.of_level(level)
        waves_n = len(together.waves)
        if not waves_n:
            return np.zeros((1, max(1, len(self.firsts))))
        over_waves = _rows(together.clocks, waves_n)
        wave_of = dict(zip(chosen, together.of_head, strict=True))
        found = np.zeros((len(over_waves), len(self.firsts)))
        for group, place in enumerate(self.firsts):
            if int(place) in wave_of:
                found[:, group] = over_waves[:, wave_of[int(place)]]
        return np.ascontiguousarray(found)

    def of_level(self, level: Level) -> tuple[list[int], Merged]:
        """Which glows are of a level of the zone method, and how they flash together."""
        usual = heights()
        chosen = [
            place
            for place, glow in enumerate(self.glows)
            if in_level(glow.height_m, level, lower_from_m=usual.lower_from_m, upper_above_m=usual.upper_above_m)
        ]
        glows = [self.glows[place] for place in chosen]
        return chosen, merged([glow.part.wave for glow in glows], [glow.head.sync_group for glow in glows])

    def lit(self, light: Floats, turned: Floats | None, heads: Heads) -> Burning:
        """In some vehicles. light : (vehicles, heads) share each gives. turned : their candela; None as meant."""
        from coachwright.light import sure_kernel

        weights = np.ascontiguousarray(light[:, heads.head_of[self.emitter_of]])
        candela, each = (heads.candela_cd, 0) if turned is None else (turned, 1)
        reach = heads.reach
        groups = np.empty((len(weights), max(1, len(self.firsts)), DIRECTIONS_N))
        sure_kernel.summed(
            candela,
            each,
            self.emitter_of,
            reach.run_begins,
            reach.run_flat,
            reach.run_place,
            self.group_of,
            weights,
            groups,
        )
        return Burning(self, heads, weights, candela, each, groups)


@dataclass(frozen=True, slots=True)
class Burning:
    """A situation in some vehicles.

    weights : (vehicles, glows). candela_cd : (vehicles or 1, N). groups_cd : (vehicles, groups, 288).
    """

    scene: Scene
    heads: Heads
    weights: Floats
    candela_cd: Floats
    each: int
    groups_cd: Floats

    def power(self, means: Floats) -> Floats:
        """Optical power over the grid of the zones, (vehicles, 3, 72). means : of the scene. [cd s/min]"""
        from coachwright.light import sure_kernel

        found = np.empty((len(self.weights), DIRECTIONS_N))
        sure_kernel.powered(self.groups_cd, means, found)
        down, up = found[:, BEARINGS_N : BEARINGS_N + BEARINGS_N // 2], found[:, BEARINGS_N + BEARINGS_N // 2 :]
        return np.stack([down, found[:, :BEARINGS_N:2], up], axis=1)

    def seen(self, rows: Floats, least_cd: float, *, one_dead: bool) -> Flags:
        """Whether an effective intensity is reached, level, (vehicles, 144); whichever lamp is dead if asked so."""
        from coachwright.light import sure_kernel

        found = np.zeros((len(self.weights), BEARINGS_N), dtype=np.bool_)
        sure_kernel.reached(self.groups_cd, rows, least_cd, BEARINGS_N, found)
        if one_dead:
            reach, scene = self.heads.reach, self.scene
            sure_kernel.reached_one_dead(
                self.groups_cd,
                rows,
                least_cd,
                BEARINGS_N,
                self.candela_cd,
                self.each,
                scene.emitter_of,
                reach.run_begins,
                reach.run_flat,
                reach.run_place,
                scene.group_of,
                self.weights,
                scene.lamp_begins,
                found,
            )
        return found

    def levels_cd(self, vehicle: int, level: Level, *, one_dead: bool) -> Floats:
        """Effective intensity of one vehicle by bearing, level; with each lamp dead in turn if asked, (cases, 144)."""
        chosen, together = self.scene.of_level(level)
        if not chosen:
            return np.zeros((1, BEARINGS_N))
        glows = [self.scene.glows[place] for place in chosen]
        candela = np.zeros((len(glows), BEARINGS_N))
        reach = self.heads.reach
        for row, place in enumerate(chosen):
            emitter = self.scene.emitter_of[place]
            for run in range(reach.run_begins[emitter], reach.run_begins[emitter + 1]):
                first, flat, last = reach.run_place[run], reach.run_flat[run], reach.run_flat[run + 1]
                if first < BEARINGS_N:
                    candela[row, first : first + last - flat] = self.candela_cd[vehicle * self.each, flat:last]
        alive = np.ones((1, len(glows)))
        if one_dead:
            lamps = dict.fromkeys(glow.lamp for glow in glows)
            alive = np.array([[float(glow.lamp != lamp) for glow in glows] for lamp in lamps])
        return effective_cd(together, gathered(together, candela, alive * self.weights[vehicle, chosen]))


# --------------------------------------------------------------------------------------------------------- made ready
def heads_of(model: Model, situations: Sequence[str], *, turn_rad: float) -> Heads:
    """Every emitter that flashes in one of the situations. turn_rad : how far a head may be turned at most. [rad]"""
    places_in_model = {head.id: place for place, head in enumerate(model.heads)}
    known: dict[EmitterKey, int] = {}
    emitters: list[Emitter] = []
    head_of: list[int] = []
    candela: list[Floats] = []
    shares: list[Floats] = []
    for situation in dict.fromkeys(situations):
        light = flashing(model, situation)
        shares_through = _rows_of(light_of(_everywhere(light.glows)))
        for glow, row, share in zip(light.glows, _rows_of(light), shares_through, strict=True):
            key = emitter_key(glow, share)
            if key not in known:
                known[key] = len(emitters)
                emitters.append(glow.emitter)
                head_of.append(places_in_model[glow.head.id])
                candela.append(row)
                shares.append(share)
    stacked = np.array(candela).reshape(-1, DIRECTIONS_N)
    through = np.array(shares).reshape(-1, DIRECTIONS_N)
    return _heads(known, emitters, head_of, candela=stacked, shares=through, turn_rad=turn_rad)


def scene_of(model: Model, situation: str, heads: Heads) -> Scene:
    """One situation of those the heads were made ready for."""
    glows = flashing(model, situation).glows
    shares = _rows_of(light_of(_everywhere(glows)))
    numbers = {id(glow): heads.known[emitter_key(glow, share)] for glow, share in zip(glows, shares, strict=True)}
    lamps = {lamp: place for place, lamp in enumerate(dict.fromkeys(glow.lamp for glow in glows))}
    ordered = tuple(sorted(glows, key=lambda glow: lamps[glow.lamp]))
    groups: dict[tuple[object, ...], list[int]] = {}
    for place, glow in enumerate(ordered):
        alike = (glow.part.wave, glow.head.sync_group, glow.height_m, glow.panel == BODY)
        groups.setdefault(alike, []).append(place)
    group_of = np.zeros(len(ordered), dtype=np.int64)
    for number, members in enumerate(groups.values()):
        group_of[members] = number
    begins = [place for place, glow in enumerate(ordered) if place == 0 or glow.lamp != ordered[place - 1].lamp]
    return Scene(
        ordered,
        np.array([numbers[id(glow)] for glow in ordered], dtype=np.int64),
        group_of,
        np.array([members[0] for members in groups.values()], dtype=np.int64),
        np.array([*begins, len(ordered)], dtype=np.int64),
    )


EmitterKey: TypeAlias = tuple[str, str, tuple[float, ...], tuple[float, ...], bytes]
"""Head, colour, where it looks, and what gets through toward each direction."""


def emitter_key(glow: Glow, share: Floats) -> EmitterKey:
    """What tells one emitter from the others: a head that a panel carries is another one when that is open."""
    return glow.head.id, glow.part.colour, glow.emitter.forward, glow.emitter.up, share.tobytes()


def _everywhere(glows: Sequence[Glow]) -> list[Glow]:
    return [replace(glow, emitter=replace(glow.emitter, output=EVERYWHERE)) for glow in glows]


def _rows_of(light: Light) -> Floats:
    """Candela toward the 288 directions, (glows, 288)."""
    level, down, up = (light.candela_cd[:, row] for row in (LEVEL, LEVEL - 1, LEVEL + 1))
    return np.concatenate([level, down[:, _EVERY_SECOND], up[:, _EVERY_SECOND]], axis=1)


def _heads(
    known: dict[EmitterKey, int],
    emitters: Sequence[Emitter],
    head_of: Sequence[int],
    *,
    candela: Floats,
    shares: Floats,
    turn_rad: float,
) -> Heads:
    vectors = _directions()
    tables, table_of = _tables(emitters)
    reaches = np.zeros((len(emitters), DIRECTIONS_N), dtype=np.bool_)
    local = np.zeros((len(emitters), 3, DIRECTIONS_N))
    for number, emitter in enumerate(emitters):
        local[number] = Pose((0.0, 0.0, 0.0), emitter.forward, emitter.up).axes() @ vectors
        reaches[number] = (shares[number] > 0.0) & _near(local[number], beam_table(emitter.output), turn_rad)
        reaches[number] |= candela[number] > 0.0
    return Heads(
        head_of=np.array(head_of, dtype=np.int64),
        candela_cd=candela[reaches][None],
        reach=_reach(reaches),
        share=shares[reaches],
        local=np.ascontiguousarray(local.transpose(1, 0, 2)[:, reaches]),
        table_of=np.array(table_of, dtype=np.int64),
        angles_rad=np.concatenate(
            [np.zeros(0), *(part for t in tables for part in (t.vertical_rad, t.horizontal_rad))]
        ),
        table_places=_table_places(tables),
        tables_cd=np.concatenate([np.zeros(0), *(table.candela_cd.ravel() for table in tables)]),
        known=known,
    )


_ROW_ENDS = (0, BEARINGS_N, BEARINGS_N + BEARINGS_N // 2)
"""Where a row of directions begins: no run goes on from one row into the next."""


def _reach(reaches: Flags) -> Reach:
    """Runs of directions, (emitters, 288)."""
    run_begins, run_flat, run_place, flat = [0], [], [], 0
    for row in reaches:
        before = np.concatenate([[False], row[:-1]])
        before[list(_ROW_ENDS)] = False
        starts = np.flatnonzero(row & ~before)
        for start in starts:
            end = start
            while end < DIRECTIONS_N and row[end] and (end == start or end not in _ROW_ENDS):
                end += 1
            run_flat.append(flat)
            run_place.append(int(start))
            flat += int(end - start)
        run_begins.append(len(run_place))
    return Reach(
        np.concatenate([[0], reaches.sum(axis=1).cumsum()]).astype(np.int64),
        np.array(run_begins, dtype=np.int64),
        np.array([*run_flat, flat], dtype=np.int64),
        np.array(run_place, dtype=np.int64),
    )


def _directions() -> Floats:
    """Unit vectors of the 288 directions, (3, 288)."""
    everything = grid_vectors(ROUND).reshape(3, *ROUND.shape)
    level, down, up = (everything[:, row] for row in (LEVEL, LEVEL - 1, LEVEL + 1))
    return np.concatenate([level, down[:, _EVERY_SECOND], up[:, _EVERY_SECOND]], axis=1)


def _near(own: Floats, table: CandelaTable, turn_rad: float) -> Flags:
    """Directions that can lie in a table when the head is turned at most so far; near its poles all of them."""
    ahead, left, up = own
    h, v = np.arctan2(-left, ahead), np.arctan2(up, np.hypot(ahead, left))
    reach_rad = 2.0 * turn_rad + 1e-9  # a turn up moves h by its own size times tan v, under 2 below 60 deg
    across = (h >= table.horizontal_rad[0] - reach_rad) & (h <= table.horizontal_rad[-1] + reach_rad)
    behind = abs(h) >= math.pi - reach_rad  # turned a little it may come out on the other side
    along = (v >= table.vertical_rad[0] - reach_rad) & (v <= table.vertical_rad[-1] + reach_rad)
    near: Flags = ((across | behind) & along) | (abs(v) > math.radians(60.0))
    return near


def _tables(emitters: Sequence[Emitter]) -> tuple[list[CandelaTable], list[int]]:
    """The different beams, and which of them each emitter has."""
    tables: list[CandelaTable] = []
    numbers: dict[int, int] = {}
    table_of = []
    for emitter in emitters:
        table = beam_table(emitter.output)
        if id(table) not in numbers:
            numbers[id(table)] = len(tables)
            tables.append(table)
        table_of.append(numbers[id(table)])
    return tables, table_of


def _table_places(tables: Sequence[CandelaTable]) -> Places:
    """(tables, 4) where vertical angles, horizontal angles and candela of each begin, and its columns."""
    found, angle, candela = [], 0, 0
    for table in tables:
        v_n, h_n = len(table.vertical_rad), len(table.horizontal_rad)
        found.append((angle, angle + v_n, candela, h_n))
        angle += v_n + h_n
        candela += v_n * h_n
    return np.array(found, dtype=np.int64).reshape(-1, 4)


def _rows(clocks: Sequence[Clock], waves_n: int) -> Floats:
    """Rows of weights of every clock over all waves: the largest row-sum is the effective intensity."""
    found = []
    for clock in clocks:
        weights = effective_weights(clock.waves)
        wide = np.zeros((len(weights), waves_n))
        wide[:, list(clock.places)] = weights
        found.append(wide)
    return np.ascontiguousarray(np.concatenate(found))
