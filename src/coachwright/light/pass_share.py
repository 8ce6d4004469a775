"""Of many vehicles built alike, how many would pass, where do the others fail, and what makes most of them fail?

Vehicles differ in what light.tolerances says. Toward the directions of the zones and gaps each head sends what the far
field says (light.lit), turned by the head's own error and weighted by what is left of its light; from there on power,
points and effective intensity are worked out as for the vehicle that is drawn. With nothing to differ every vehicle is
that one, and the share is 0 or 1 as its verdict is.

A head that is turned meets the same glass, the same edge of the body and the same shadows: what gets through toward a
direction is asked of the far field once, with a light that shines alike in all directions.

See Also
--------
coachwright.light.drawn_vehicles : before this. coachwright.light.sure_kernel : the loops.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Model
from coachwright.light.coverage import widest_gap
from coachwright.light.drawn_vehicles import Vehicles, drawn_vehicles, furthest_turn_rad
from coachwright.light.shining import Burning, Heads, Scene, heads_of, scene_of
from coachwright.light.tolerances import Tolerances
from coachwright.light.zones import POINTS_N, ZONE_GRID, Level, zone_places
from coachwright.place.zones import Zone

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]

Asked = Literal["total", "point", "point-5-up-down", "gap", "one-dead-gap"]

BLOCK_N = 100
"""Vehicles worked out together. Fixed, so that an answer depends on no number of threads."""

NAMED_N = 3
"""Weakest points that are named."""

SAME_SHARE = 1e-9
"""As rules have it: two sums of the same thing may differ in their last digits."""

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Target:
    """One thing a vehicle has to reach in one situation.

    asked : optical power of a zone (``total``, its weakest ``point``, or that 5 deg up or down), or the widest run of
        bearings under `least_cd`, with every lamp alive or with the worst one dead.
    low, high : what passes. [cd s/min or rad]
    zone, level, counting, lower_from_m, upper_above_m : as light.optical-power has them; a gap has no zone.
    """

    situation: str
    asked: Asked
    low: float = -math.inf
    high: float = math.inf
    zone: Zone | Literal[""] = ""
    level: Level = "both"
    counting: Literal["all", "fixed"] = "all"
    lower_from_m: float = 0.0
    upper_above_m: float = 0.0
    least_cd: float = 0.0

    def passes(self, values: Floats) -> Flags:
        """Whether each value is within the limits."""
        slack = SAME_SHARE * max((abs(end) for end in (self.low, self.high) if math.isfinite(end)), default=0.0)
        return (values >= self.low - slack) & (values <= self.high + slack)


@dataclass(frozen=True, slots=True)
class WeakPoint:
    """Where vehicles fail. elevation_rad is 0 on the level; share : of all vehicles that fail there."""

    target: int
    bearing_rad: float
    elevation_rad: float
    share: float


@dataclass(frozen=True, slots=True)
class Sampled:
    """What came of it.

    passes : (targets, vehicles). weak : the points at which most vehicles fail, of every target, the worst first.
    without : of each cause, (targets, first vehicles) with that cause left away. seed : that was drawn with.
    """

    targets: tuple[Target, ...]
    passes: Flags
    weak: tuple[WeakPoint, ...]
    without: Mapping[str, Flags]
    seed: int

    @property
    def vehicles_n(self) -> int:
        return int(self.passes.shape[1])

    def share(self, targets: Sequence[int]) -> float:
        """Share of the vehicles that pass all of these targets."""
        return float(self.passes[list(targets)].all(axis=0).mean())

    def first_share(self, targets: Sequence[int]) -> float:
        """The same among the vehicles on which causes were left away."""
        first_n = next((flags.shape[1] for flags in self.without.values()), self.vehicles_n)
        return float(self.passes[list(targets), :first_n].all(axis=0).mean())

    def share_without(self, cause: str, targets: Sequence[int]) -> float:
        """The same with one cause left away."""
        return float(self.without[cause][list(targets)].all(axis=0).mean())

    def weakest(self, targets: Sequence[int]) -> tuple[WeakPoint, ...]:
        """The points of these targets at which most vehicles fail."""
        chosen = frozenset(targets)
        return tuple(point for point in self.weak if point.target in chosen)[:NAMED_N]


def sampled(
    model: Model,
    targets: Sequence[Target],
    tolerances: Tolerances,
    *,
    vehicles_n: int,
    seed: int,
    causes_n: int = 0,
    threads_n: int | None = None,
    progress: Progress | None = None,
) -> Sampled:
    """Build so many vehicles by lot and hold each against every target.

    Parameters
    ----------
    causes_n : of them, the first on which each cause is left away in turn; 0 for none.
    threads_n : at work at once; None for one per processor. It changes no answer.
    progress : called with what is done, how many vehicles are, and how many there are.
    """
    tell = progress or _silent
    names = tuple(dict.fromkeys(target.situation for target in targets))
    heads = heads_of(model, names, turn_rad=furthest_turn_rad(tolerances))
    work = _Work(tuple(targets), heads, _alike({name: scene_of(model, name, heads) for name in names}, targets))
    causes_n = min(causes_n, vehicles_n)
    everything = _Variant("", drawn_vehicles(model, tolerances, vehicles_n, seed=seed), turns=_turns(tolerances))
    variants = [
        _Variant(
            cause.name,
            drawn_vehicles(model, tolerances.without(cause.name), causes_n, seed=seed),
            turns=_turns(tolerances.without(cause.name)),
        )
        for cause in (tolerances.causes if causes_n else ())
    ]
    passes = np.zeros((len(targets), vehicles_n), dtype=np.bool_)
    without = {each.cause: np.zeros((len(targets), causes_n), dtype=np.bool_) for each in variants}
    fails: dict[int, Floats] = {}
    blocks = _in_blocks(
        lambda begin, end: _block(work, everything, variants, begin=begin, end=end, causes_n=causes_n),
        vehicles_n,
        threads_n=threads_n,
        tell=tell,
    )
    for begin, end, found in blocks:
        passes[:, begin:end] = found.passes
        for number, counts in found.fails.items():
            fails[number] = fails.get(number, 0.0) + counts
        for cause, flags in found.without.items():
            without[cause][:, begin : begin + flags.shape[1]] = flags
    return Sampled(tuple(targets), passes, _weak(targets, fails, vehicles_n), without, seed)


# ------------------------------------------------------------------------------------------------------- block by block
@dataclass(frozen=True, slots=True)
class _Variant:
    """Vehicles with every cause, or with one left away. turns : whether any head of them is turned."""

    cause: str
    vehicles: Vehicles
    turns: bool


@dataclass(frozen=True, slots=True)
class _Asked:
    """Targets that rest on one sum. rows : weights of an effective intensity, None for a power; means : of a power."""

    targets: tuple[tuple[int, Target], ...]
    rows: Floats | None
    means: Floats


@dataclass(frozen=True, slots=True)
class _Alike:
    """Situations that shine alike, and all that is asked in them."""

    scene: Scene
    asked: tuple[_Asked, ...]


@dataclass(frozen=True, slots=True)
class _Work:
    """Everything that is the same for every vehicle."""

    targets: tuple[Target, ...]
    heads: Heads
    alike: tuple[_Alike, ...]


@dataclass(frozen=True, slots=True)
class _Block:
    """Answers for some vehicles. fails : of each target, how many fail at each of its points."""

    passes: Flags
    fails: Mapping[int, Floats]
    without: Mapping[str, Flags]


def _in_blocks(
    one: Callable[[int, int], _Block], vehicles_n: int, *, threads_n: int | None, tell: Progress
) -> Iterator[tuple[int, int, _Block]]:
    """Blocks in their order, however many are worked at. Broken off, what runs comes to its end and nothing begins."""
    pool = ThreadPoolExecutor(max_workers=threads_n or os.cpu_count() or 1)
    spans = [(begin, min(begin + BLOCK_N, vehicles_n)) for begin in range(0, vehicles_n, BLOCK_N)]
    try:
        waiting: list[Future[_Block]] = [pool.submit(one, begin, end) for begin, end in spans]
        for (begin, end), future in zip(spans, waiting, strict=True):
            yield begin, end, future.result()
            tell("vehicles", end, vehicles_n)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _block(
    work: _Work, everything: _Variant, variants: Sequence[_Variant], *, begin: int, end: int, causes_n: int
) -> _Block:
    turned = work.heads.turned(everything.vehicles, begin, end) if everything.turns else None
    passes, fails = _judged(work, everything, begin, end, turned)
    without = {}
    last = min(end, causes_n)
    for variant in variants if begin < causes_n else ():
        own = turned[: last - begin] if turned is not None and variant.turns else None
        without[variant.cause], _ = _judged(work, variant, begin, last, own)
    return _Block(passes, fails, without)


def _judged(
    work: _Work, variant: _Variant, begin: int, end: int, turned: Floats | None
) -> tuple[Flags, dict[int, Floats]]:
    """Every target for some vehicles. turned : candela of every emitter as it is turned; None where none is."""
    passes = np.zeros((len(work.targets), end - begin), dtype=np.bool_)
    fails: dict[int, Floats] = {}
    light = variant.vehicles.light[begin:end]
    for same in work.alike:
        burning = same.scene.lit(light, turned, work.heads)
        for asked in same.asked:
            if asked.rows is not None:
                one_dead = asked.targets[0][1].asked == "one-dead-gap"
                seen = burning.seen(asked.rows, asked.targets[0][1].least_cd, one_dead=one_dead)
                for number, target in asked.targets:
                    passes[number], fails[number] = _of_gap(target, seen, burning)
            else:
                power = burning.power(asked.means)
                for number, target in asked.targets:
                    passes[number], fails[number] = _of_power(target, power)
    return passes, fails


def _of_power(target: Target, power: Floats) -> tuple[Flags, Floats]:
    """Power : (vehicles, 3, 72) over the grid of the zones."""
    assert target.zone  # a power is of a zone
    places = zone_places(target.zone)
    if target.asked == "total":
        passes = target.passes(power[:, 1, places].sum(axis=1))
        return passes, np.array([float((~passes).sum())])
    points = power[:, 1, places] if target.asked == "point" else power[:, [0, 2]][:, :, places].reshape(len(power), -1)
    passes = target.passes(points.min(axis=1))
    return passes, (~target.passes(points)).sum(axis=0).astype(np.float64)


def _of_gap(target: Target, seen: Flags, burning: Burning) -> tuple[Flags, Floats]:
    """Seen : (vehicles, bearings) where the level is reached."""
    passes: Flags = np.asarray(seen.all(axis=1), dtype=np.bool_) & (target.high >= 0.0)
    if target.high > 0.0:
        for vehicle in np.flatnonzero(~passes):
            passes[vehicle] = _widest_rad(target, burning, int(vehicle)) <= target.high * (1.0 + SAME_SHARE)
    return passes, (~seen & ~passes[:, None]).sum(axis=0).astype(np.float64)


def _widest_rad(target: Target, burning: Burning, vehicle: int) -> float:
    """Where a gap may have some width: worked out with candela, one vehicle after the other."""
    levels_cd = burning.levels_cd(vehicle, target.level, one_dead=target.asked == "one-dead-gap")
    return max((widest_gap(level_cd, least_cd=target.least_cd).width_rad for level_cd in levels_cd), default=math.tau)


def _weak(targets: Sequence[Target], fails: Mapping[int, Floats], vehicles_n: int) -> tuple[WeakPoint, ...]:
    """The points at which most fail, of every target; of points that fail alike the first."""
    found = []
    for number, counts in fails.items():
        order = sorted(range(len(counts)), key=lambda place, counts=counts: (-counts[place], place))  # type: ignore[misc]
        for place in order[:NAMED_N]:
            if counts[place] > 0:
                bearing_rad, elevation_rad = _where(targets[number], place, len(counts))
                found.append(WeakPoint(number, bearing_rad, elevation_rad, float(counts[place]) / vehicles_n))
    return tuple(sorted(found, key=lambda point: (-point.share, point.target)))


def _where(target: Target, place: int, points_n: int) -> tuple[float, float]:
    """Bearing and elevation of a target's point. [rad]"""
    if target.asked in ("gap", "one-dead-gap"):
        return place * math.tau / points_n, 0.0
    assert target.zone
    if target.asked == "total":
        return ZONE_GRID.bearings_rad[zone_places(target.zone)[POINTS_N // 2]], 0.0
    row, column = divmod(place, POINTS_N)
    elevation_rad = 0.0 if target.asked == "point" else ZONE_GRID.elevations_rad[2 * row]
    return ZONE_GRID.bearings_rad[zone_places(target.zone)[column]], elevation_rad


def _alike(scenes: Mapping[str, Scene], targets: Sequence[Target]) -> tuple[_Alike, ...]:
    """Situations that shine alike are worked out once, and so is one sum that several targets rest on."""
    groups: dict[object, list[str]] = {}
    for name, scene in scenes.items():
        groups.setdefault(scene.key, []).append(name)
    found = []
    for names in groups.values():
        scene = scenes[names[0]]
        sums: dict[tuple[object, ...], list[tuple[int, Target]]] = {}
        for number, target in enumerate(targets):
            if target.situation in names:
                sums.setdefault(_sum_of(target), []).append((number, target))
        found.append(_Alike(scene, tuple(_asked(scene, tuple(together)) for together in sums.values())))
    return tuple(found)


def _sum_of(target: Target) -> tuple[object, ...]:
    if target.asked in ("gap", "one-dead-gap"):
        return target.asked, target.level, target.least_cd
    return "power", target.level, target.counting, target.lower_from_m, target.upper_above_m


def _asked(scene: Scene, together: tuple[tuple[int, Target], ...]) -> _Asked:
    first = together[0][1]
    if first.asked in ("gap", "one-dead-gap"):
        return _Asked(together, scene.rows(first.level), np.zeros(0))
    means = scene.means(
        level=first.level,
        counting=first.counting,
        lower_from_m=first.lower_from_m,
        upper_above_m=first.upper_above_m,
    )
    return _Asked(together, None, means)


def _turns(tolerances: Tolerances) -> bool:
    return any(cause.turns for cause in tolerances.causes)


def _silent(doing: str, done: int, of: int) -> None:
    return
