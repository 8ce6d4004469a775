"""Row J: whole designs a second, and vehicles drawn by lot.

A design is sixty heads turned anew, their light toward all far directions, on a coarse map of the ground, and what
becomes of it in six situations. Vehicles are drawn by lot (light.pass_share): dirt, ageing, voltage, dead heads, and
with or without an error of aim; each is held against every total, point and gap of all situations, with every lamp
alive and with each dead in turn.

The peer is plain numpy on whole arrays, in the same run, on the same tables, weights and errors: one matrix product for
the weights, one look-up of stacked tables for turned heads, and a matrix product more for each dead lamp.
"""

import math
import os
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from benchmarks.rows import Agreement, Bench, Job, Outcome, Row, Trial
from benchmarks.timing import interleaved
from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.kit.geom import Pose
from coachwright.light.drawn_vehicles import Vehicles, drawn_vehicles, furthest_turn_rad
from coachwright.light.far_field import Emitter, Grid, far_field, grid_vectors, head_far_field
from coachwright.light.pass_share import Target, sampled
from coachwright.light.shining import BEARINGS_N, DIRECTIONS_N, Heads, heads_of, scene_of
from coachwright.light.shining import Scene as Flashing
from coachwright.light.tolerances import Tolerances, tolerances
from coachwright.light.zones import zone_places
from coachwright.parts.photometry import beam_table
from coachwright.parts.schema import Beam, ColourOutput
from coachwright.place.zones import ZONES

Floats: TypeAlias = NDArray[np.float64]

EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "quillback" / "build.yaml"
VEHICLES_N = 10_000
PEER_N = 100
"""Vehicles of one pass of the peer when heads are turned: its arrays fill the memory, so it goes in passes."""

DEG = math.radians(1.0)
FAR = Grid(tuple(5 * DEG * number for number in range(72)), tuple(5 * DEG * number for number in range(-2, 11)))
MAP_N, MAP_STEP_M = 40, 2.0
"""Points on the ground along each side of the coarse map, and their distance. [m]"""


HEADS_N, SITUATIONS_N = 60, 6


# ------------------------------------------------------------------------------------------------------------- designs
@dataclass(frozen=True, slots=True)
class Design:
    """Heads of a made-up vehicle, and the share of full light of each of them in each situation."""

    emitters: tuple[Emitter, ...]
    weights: Floats


@cache
def design(scale: int) -> Design:
    """Sixty heads times `scale`, no two alike; seeded, so the same every time."""
    rng = np.random.default_rng(17)
    emitters = []
    for number in range(HEADS_N * scale):
        pose = Pose.facing((0.0, 0.0, 0.0), bearing_rad=rng.uniform(0, math.tau), elevation_rad=rng.uniform(-0.1, 0.1))
        shape = (
            Beam(shape="bell", half_width=rng.uniform(15, 35) * DEG, half_height=rng.uniform(5, 12) * DEG)
            if number % 3
            else Beam(shape="cosine", power=rng.uniform(1, 8))
        )
        output = ColourOutput(flux=rng.uniform(80, 500), current=1.0, beam=shape)
        emitters.append(Emitter(pose.forward, pose.up, output, pose.forward))
        beam_table(output)
    return Design(tuple(emitters), rng.uniform(0, 1, (SITUATIONS_N, len(emitters))))


def stacked_tables(made: Design) -> tuple[Floats, Floats, Floats]:
    """Every table one behind the other, its ends, and the heads' axes: ready for numpy to look up all at once."""
    tables = [beam_table(emitter.output) for emitter in made.emitters]
    ends = np.array(
        [(t.vertical_rad[0], t.vertical_rad[-1], t.horizontal_rad[0], t.horizontal_rad[-1]) for t in tables]
    )
    axes = np.array([Pose((0.0, 0.0, 0.0), each.forward, each.up).axes() for each in made.emitters])
    return np.array([table.candela_cd for table in tables]), ends, axes


def in_situations(matrix: Floats, weights: Floats) -> Floats:
    """Light of each situation toward each direction, (situations, directions). [cd]"""
    return np.asarray(weights @ matrix.reshape(len(matrix), -1), dtype=np.float64)


def designs(scale: int) -> Job:
    """One design anew: far directions and six situations."""
    made = design(scale)
    tables, ends, axes = stacked_tables(made)
    vectors = grid_vectors(FAR)

    def ours() -> tuple[Floats, Floats]:
        head_far_field.clear()
        matrix = far_field(made.emitters, FAR, compiled=True)
        return matrix.reshape(len(matrix), -1), in_situations(matrix, made.weights)

    return Job(
        ours,
        lambda: _whole_arrays(made, tables, ends, axes, vectors),
        lambda one, other: _apart(one, other, 1e-3),
        f"{len(made.emitters)} heads, {vectors.shape[1]} directions",
    )


def _whole_arrays(made: Design, tables: Floats, ends: Floats, axes: Floats, vectors: Floats) -> tuple[Floats, Floats]:
    matrix = looked_up(tables, ends, np.einsum("hij,jd->hid", axes, vectors, optimize=True))
    return matrix, in_situations(matrix, made.weights)


def coarse_map(scale: int) -> Job:
    """One design anew on the ground: lux at 40 x 40 points, each head from where it stands."""
    from coachwright.light.kernel import look_up

    made = design(scale)
    tables, ends, axes = stacked_tables(made)
    from_m = np.random.default_rng(5).uniform([-4.5, -1.0, 0.5], [1.0, 1.0, 2.0], (len(made.emitters), 3))
    across = (np.arange(MAP_N) - MAP_N / 2 + 0.5) * MAP_STEP_M
    ground = np.stack([*(side.ravel() for side in np.meshgrid(across, across)), np.zeros(MAP_N**2)])
    everything = np.empty(0)
    everything.flags.writeable = False

    def ways() -> tuple[Floats, Floats]:
        toward = ground[None] - from_m[:, :, None]
        away = np.sqrt((toward**2).sum(axis=1))
        return toward / away[:, None], away

    def lux(candela: Floats, toward: Floats, away: Floats) -> Floats:
        return np.asarray(made.weights @ (candela * -toward[:, 2] / away**2), dtype=np.float64)

    def ours() -> tuple[Floats, Floats]:
        toward, away = ways()
        candela = np.empty(away.shape)
        for number, emitter in enumerate(made.emitters):
            table = beam_table(emitter.output)
            look_up(
                toward[number],
                axes[number],
                table.vertical_rad,
                table.horizontal_rad,
                table.candela_cd,
                np.array(emitter.outward),
                -2.0,
                everything,
                candela[number],
            )
        return candela, lux(candela, toward, away)

    def peer() -> tuple[Floats, Floats]:
        toward, away = ways()
        candela = looked_up(tables, ends, np.einsum("hij,hjd->hid", axes, toward, optimize=True))
        return candela, lux(candela, toward, away)

    return Job(
        ours, peer, lambda one, other: _apart(one, other, 1e-3), f"{len(made.emitters)} heads, {MAP_N}x{MAP_N} points"
    )


def looked_up(tables: Floats, ends: Floats, own: Floats) -> Floats:
    """Bilinear on equal steps for whole arrays: own (heads, 3, directions...) are ahead, left, up."""
    ahead, left, up = np.moveaxis(own, 1, 0)
    h, v = np.arctan2(-left, ahead), np.arctan2(up, np.hypot(ahead, left))
    shape = (len(tables), *([1] * (h.ndim - 1)))
    v_low, v_high, h_low, h_high = (ends[:, place].reshape(shape) for place in range(4))
    rows_n, columns_n = tables.shape[1:]
    row_at = (v - v_low) * (rows_n - 1) / (v_high - v_low)
    column_at = (h - h_low) * (columns_n - 1) / (h_high - h_low)
    row = np.clip(row_at.astype(np.intp), 0, rows_n - 2)
    column = np.clip(column_at.astype(np.intp), 0, columns_n - 2)
    over, right = row_at - row, column_at - column
    head = np.arange(len(tables)).reshape(shape)
    below = tables[head, row, column] * (1 - right) + tables[head, row, column + 1] * right
    above = tables[head, row + 1, column] * (1 - right) + tables[head, row + 1, column + 1] * right
    inside = (v >= v_low) & (v <= v_high) & (h >= h_low) & (h <= h_high)
    return np.where(inside, below * (1 - over) + above * over, 0.0)


def _apart(one: object, other: object, most_share: float) -> Agreement:
    """Largest difference of two answers of arrays, against the largest number of each."""
    assert isinstance(one, tuple)
    assert isinstance(other, tuple)
    worst = max(float(abs(a - b).max() / abs(b).max()) for a, b in zip(one, other, strict=True))
    return Agreement(worst <= most_share, f"at most {worst:.2g} of the largest apart, {most_share:g} allowed")


def per_second() -> Outcome:
    """Designs a second, far and on the map, median of seven rounds each."""
    jobs = {"far field": designs(1), "coarse map": coarse_map(1)}
    goals = {"far field": 40.0, "coarse map": 15.0}
    timed = interleaved({name: job.ours for name, job in jobs.items()}, rounds_n=7)
    rates = {name: 1.0 / timed[name].median_s for name in jobs}
    return Outcome(
        all(rates[name] >= goals[name] for name in jobs),
        tuple(
            f"{name}: {rates[name]:.0f} designs a second ({jobs[name].size}; {goals[name]:.0f} asked)" for name in jobs
        ),
    )


# ----------------------------------------------------------------------------------------------------- vehicles by lot
@dataclass(frozen=True, slots=True)
class Lot:
    """What is drawn, for both sides: a whole vehicle, its targets and its tolerances."""

    model: Model
    targets: tuple[Target, ...]
    known: Tolerances
    vehicles_n: int


LEASTS_CD = {"gap": (20.0, 100.0), "one-dead-gap": (20.0,)}


@cache
def lot(vehicles_n: int, turned: bool) -> Lot:
    """Quillback, every zone and gap in all situations in which it warns."""
    model = load_build(EXAMPLE).model
    assert model is not None
    targets = []
    for situation in model.situations:
        if situation.stands_for not in ("calling", "blocking"):
            continue
        for zone in ZONES:
            for asked, low in (("total", 4e5), ("point", 1e4), ("point-5-up-down", 3.5e3)):
                targets.append(Target(situation.name, asked, low=low, zone=zone))  # type: ignore[arg-type]
        for asked, leasts in LEASTS_CD.items():
            targets += [Target(situation.name, asked, high=0.0, least_cd=least) for least in leasts]  # type: ignore[arg-type]
    known = tolerances() if turned else tolerances().without("aim")
    return Lot(model, tuple(targets), known, vehicles_n)


def ours_by_lot(drawn: Lot) -> NDArray[np.bool_]:
    """Everything a user waits for, but for what the far field remembers of the model."""
    return sampled(drawn.model, drawn.targets, drawn.known, vehicles_n=drawn.vehicles_n, seed=1).passes


def peer_by_lot(drawn: Lot) -> NDArray[np.bool_]:
    """The same vehicles, by whole arrays: every situation, every lamp dead in turn, in passes that fit the memory."""
    vehicles = drawn_vehicles(drawn.model, drawn.known, drawn.vehicles_n, seed=1)
    turns = any(cause.turns for cause in drawn.known.causes)
    names = tuple(dict.fromkeys(target.situation for target in drawn.targets))
    heads = heads_of(drawn.model, names, turn_rad=furthest_turn_rad(drawn.known))
    scenes = {name: scene_of(drawn.model, name, heads) for name in names}
    dense, share = _dense(heads)
    tables = _tables(heads, drawn.known) if turns else None
    found = np.zeros((len(drawn.targets), drawn.vehicles_n), dtype=np.bool_)
    step = PEER_N // 5 if turns else PEER_N
    for begin in range(0, drawn.vehicles_n, step):
        some = slice(begin, begin + step)
        candela = dense[None] if tables is None else _turned(heads, vehicles, some, tables, share)
        for name, scene_ in scenes.items():
            weights = vehicles.light[some][:, heads.head_of[scene_.emitter_of]]
            glows = candela[:, scene_.emitter_of]
            chosen = [(number, target) for number, target in enumerate(drawn.targets) if target.situation == name]
            _judge(scene_, weights, glows, chosen, found[:, some])
    return found


def _judge(
    scene_: Flashing,
    weights: Floats,
    glows: Floats,
    chosen: list[tuple[int, Target]],
    found: NDArray[np.bool_],
) -> None:
    """Weights (vehicles, glows); glows (vehicles or 1, glows, directions): every target of one situation."""
    means = scene_.means(level="both", counting="all", lower_from_m=0.0, upper_above_m=0.0)[scene_.group_of]
    power = _times(weights * means, glows)
    level, down, up = power[:, :BEARINGS_N:2], power[:, BEARINGS_N : BEARINGS_N + 72], power[:, BEARINGS_N + 72 :]
    rows = scene_.rows("both")
    alive = _effective(rows, _by_group(scene_, weights, glows))
    worst = alive
    for first, last in zip(scene_.lamp_begins, scene_.lamp_begins[1:], strict=False):
        dead = weights.copy()
        dead[:, first:last] = 0.0
        worst = np.minimum(worst, _effective(rows, _by_group(scene_, dead, glows)))
    for number, target in chosen:
        if target.zone:
            places = zone_places(target.zone)
            if target.asked == "total":
                found[number] = target.passes(level[:, places].sum(axis=1))
            elif target.asked == "point":
                found[number] = target.passes(level[:, places].min(axis=1))
            else:
                found[number] = target.passes(np.minimum(down[:, places].min(axis=1), up[:, places].min(axis=1)))
        else:
            found[number] = ((alive if target.asked == "gap" else worst) >= target.least_cd).all(axis=1)


def _times(weights: Floats, glows: Floats) -> Floats:
    """Weighted sum over glows, (vehicles, directions): one matrix product where all vehicles share one matrix."""
    if len(glows) == 1:
        return np.asarray(weights @ glows[0], dtype=np.float64)
    return np.asarray(np.matmul(weights[:, None, :], glows)[:, 0], dtype=np.float64)


def _by_group(scene_: Flashing, weights: Floats, glows: Floats) -> Floats:
    """Candela of the glows of each wave added, level, (vehicles, groups, 144)."""
    level = glows[:, :, :BEARINGS_N]
    groups = [np.flatnonzero(scene_.group_of == group) for group in range(len(scene_.firsts))]
    return np.stack([_times(weights[:, group], level[:, group]) for group in groups], axis=1)


def _effective(rows: Floats, waves: Floats) -> Floats:
    """Largest row-sum of weights over waves (vehicles, groups, 144), (vehicles, 144)."""
    return np.asarray((rows @ waves).max(axis=1), dtype=np.float64)


def _dense(heads: Heads) -> tuple[Floats, Floats]:
    """Candela and what gets through toward all 288 directions, (emitters, 288)."""
    candela, share = (np.zeros((len(heads.head_of), DIRECTIONS_N)) for _ in range(2))
    reach = heads.reach
    for emitter in range(len(heads.head_of)):
        for run in range(reach.run_begins[emitter], reach.run_begins[emitter + 1]):
            first, begin, end = reach.run_place[run], reach.run_flat[run], reach.run_flat[run + 1]
            candela[emitter, first : first + end - begin] = heads.candela_cd[0, begin:end]
            share[emitter, first : first + end - begin] = heads.share[begin:end]
    return candela, share


def _tables(heads: Heads, known: Tolerances) -> tuple[Floats, Floats, Floats]:
    """Stacked tables and their ends of every emitter, and the directions in its own axes."""
    stacked, ends = [], []
    own = np.zeros((len(heads.head_of), 3, DIRECTIONS_N))
    reach = heads.reach
    for emitter, table in enumerate(heads.table_of):
        v0, h0, c0, h_n = (int(each) for each in heads.table_places[table])
        v, h = heads.angles_rad[v0:h0], heads.angles_rad[h0 : h0 + h_n]
        stacked.append(heads.tables_cd[c0 : c0 + len(v) * h_n].reshape(len(v), h_n))
        ends.append((v[0], v[-1], h[0], h[-1]))
        for run in range(reach.run_begins[emitter], reach.run_begins[emitter + 1]):
            first, begin, end = reach.run_place[run], reach.run_flat[run], reach.run_flat[run + 1]
            own[emitter, :, first : first + end - begin] = heads.local[:, begin:end]
    return np.array(stacked), np.array(ends), own


def _turned(
    heads: Heads, vehicles: Vehicles, some: slice, tables: tuple[Floats, Floats, Floats], share: Floats
) -> Floats:
    """Candela of turned heads, (vehicles, emitters, 288), by one look-up of whole arrays."""
    stacked, ends, own = tables
    aside = vehicles.bearing_rad[some][:, heads.head_of][:, :, None]
    rise = vehicles.elevation_rad[some][:, heads.head_of][:, :, None]
    x, y, z = own[None, :, 0], own[None, :, 1], own[None, :, 2]
    forward, left = x * np.cos(aside) - y * np.sin(aside), x * np.sin(aside) + y * np.cos(aside)
    ahead, up = forward * np.cos(rise) + z * np.sin(rise), z * np.cos(rise) - forward * np.sin(rise)
    axes = np.stack([ahead, left, up], axis=2).transpose(1, 2, 0, 3)
    return np.asarray(looked_up(stacked, ends, axes).transpose(1, 0, 2) * share[None], dtype=np.float64)


def by_lot(turned: bool, base_n: int) -> Callable[[int], Job]:
    """A row's job: more vehicles at larger scale."""

    def job(scale: int) -> Job:
        drawn = lot(base_n * scale, turned)
        sampled(drawn.model, drawn.targets, drawn.known, vehicles_n=100, seed=1)  # compiled, and the far field known
        return Job(
            lambda: ours_by_lot(drawn),
            lambda: peer_by_lot(drawn),
            _same_vehicles,
            f"{drawn.vehicles_n:,} vehicles, {len(drawn.targets)} targets",
        )

    return job


def _same_vehicles(one: object, other: object) -> Agreement:
    """Every vehicle passes and fails the same targets on both sides."""
    assert isinstance(one, np.ndarray)
    assert isinstance(other, np.ndarray)
    differ = int((one != other).sum())
    return Agreement(
        differ <= one.size * 1e-6, f"{differ} of {one.size:,} answers differ, of {int((~one).sum()):,} fails"
    )


def in_seconds() -> Outcome:
    """10,000 vehicles, without and with errors of aim, median of five rounds."""
    lots = {"without aim": lot(VEHICLES_N, False), "with aim": lot(VEHICLES_N, True)}
    goals_s = {"without aim": 1.0, "with aim": 15.0}
    timed = interleaved({name: (lambda each=each: ours_by_lot(each)) for name, each in lots.items()}, rounds_n=5)  # type: ignore[misc]
    return Outcome(
        all(timed[name].median_s <= goals_s[name] for name in lots),
        tuple(
            f"{name}: {VEHICLES_N:,} vehicles in {timed[name].median_s:.2f} s ({goals_s[name]:.0f} s asked), "
            f"{len(lots[name].targets)} targets"
            for name in lots
        ),
    )


def _threads() -> str:
    return f"{os.cpu_count()} and as many as the matrix product takes"


ROWS: list[Row] = [
    Bench(
        "J-designs-far",
        "a whole design anew: candela of each head toward each far direction, six situations as weights over them",
        "plain numpy, all heads and directions at once on stacked tables",
        goal_times=2.0,
        job=designs,
        packages=("numpy", "numba"),
        growth_at_most={2: 2.5, 4: 5.0},
    ),
    Bench(
        "J-designs-map",
        "a whole design anew on the ground: lux at the points of a coarse map, six situations",
        "plain numpy, all heads and points at once on stacked tables",
        goal_times=2.0,
        job=coarse_map,
        packages=("numpy", "numba"),
        growth_at_most={2: 2.5, 4: 5.0},
    ),
    Trial(
        "J-designs-a-second",
        "whole designs, one after the other",
        "no peer: a rate",
        "40 a second toward far directions, 15 on the coarse map",
        per_second,
        packages=("numpy", "numba"),
    ),
    Bench(
        "J-lot-straight",
        "vehicles drawn by lot without errors of aim, held against every total, point and gap",
        "plain numpy: matrix products for the weights of each wave, for its rows, and again for each dead lamp",
        goal_times=5.0,
        job=by_lot(False, 500),
        packages=("numpy", "numba"),
        threads=_threads,
        growth_at_most={2: 2.5, 4: 5.0},
    ),
    Bench(
        "J-lot-turned",
        "the same with errors of aim",
        "plain numpy: stacked tables looked up for all heads of many vehicles at once, then as above",
        goal_times=5.0,
        job=by_lot(True, 200),
        packages=("numpy", "numba"),
        threads=_threads,
        growth_at_most={2: 2.5, 4: 5.0},
    ),
    Trial(
        "J-lot-seconds",
        "10,000 vehicles drawn by lot and held against every total, point and gap of all situations",
        "no peer: seconds",
        "1 s without errors of aim, 15 s with them",
        in_seconds,
        packages=("numpy", "numba"),
        threads=lambda: f"{os.cpu_count()}",
    ),
]
