"""Row A, coverage: light of sixty heads far away and on the ground, past the vehicle itself, in six situations.

One head's candela toward all far directions and ground points are a row of a matrix; a situation is a row of weights
over it. Both peers get the same tables, triangles, directions and points: numpy with embree's occlusion rays, and
Radiance's rcontrib on small spheres. What is left to do after one head was turned or a situation changed is the third.
"""

import math
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from benchmarks.rows import Agreement, Bench, Job, Outcome, Row, Trial
from benchmarks.yard import FAR, HEADS_N, SITUATIONS_N, Yard, far_vectors, ground, yard
from benchmarks.yard_by_radiance import behind_a_ball, candela_of, read_by_radiance, round_the_yard, write_scene
from coachwright.kit.geom import Pose, Vector
from coachwright.kit.wave import Wave
from coachwright.light.coverage import effective_cd, gathered, merged, optical_power
from coachwright.light.seen import THREADS_N, Source, look_up_past, seen_at, seen_toward, source_at, source_toward
from coachwright.light.shadow import FAINT_CD, hierarchy_of
from coachwright.parts.photometry import beam_table

Floats: TypeAlias = NDArray[np.float64]
Singles: TypeAlias = NDArray[np.float32]

SAME_CD = 0.1
SAME_SHARE = 1e-3
"""Agreement asked of numpy with embree [cd] and of Radiance (share of the head's peak), where both see the head."""
JITTER_EMBREE_M = 1e-5
JITTER_RADIANCE_M = 1e-3
"""A pair grazes when moving the head by so little hides it or lets it be seen: embree sums in single precision, and
Radiance's lights are balls."""


@dataclass(frozen=True, slots=True)
class Lit:
    """Candela of each head toward far directions and ground points, and their sums in each situation. [cd]"""

    far_cd: Singles
    ground_cd: Singles
    far_sums_cd: Singles
    ground_sums_cd: Singles


def in_situations(far_cd: Singles, ground_cd: Singles, weights: Floats) -> Lit:
    """Six weighted sums over the heads."""
    shares = weights.astype(np.float32)
    return Lit(far_cd, ground_cd, shares @ far_cd, shares @ ground_cd)


def ours(made: Yard) -> Lit:
    """Everything anew: no answer of an earlier round is remembered."""
    source_toward.clear()
    source_at.clear()
    far_cd = seen_toward(made.sources, FAR, compiled=True).reshape(len(made.sources), -1).astype(np.float32)
    return in_situations(far_cd, seen_at(made.sources, ground(), compiled=True), made.weights)


def prepared(made: Yard) -> Yard:
    """The tree is built once for a vehicle, as embree's and Radiance's are."""
    hierarchy_of(made.sources[0].view.scene)
    return made


# ---- numpy with embree


class ByEmbree:
    """The same vehicle for embree."""

    def __init__(self, made: Yard) -> None:
        from embreex.mesh_construction import TriangleMesh
        from embreex.rtcore import EmbreeDevice
        from embreex.rtcore_scene import EmbreeScene

        self.made = made
        self.scene = EmbreeScene(EmbreeDevice())
        TriangleMesh(self.scene, made.vertices_m[made.triangles].astype(np.float32))

    def __call__(self) -> Lit:
        """Every head in whole-array operations, an occlusion ray wherever its table gives enough."""
        rows = [
            (self._row(each, far_vectors(), True), self._row(each, ground().places_m, False))
            for each in self.made.sources
        ]
        return in_situations(
            np.array([far for far, _ in rows]), np.array([near for _, near in rows]), self.made.weights
        )

    def _row(self, source: Source, points_m: Floats, is_far: bool) -> Singles:
        table = beam_table(source.emitter.output)
        v_rad, h_rad, tabled_cd = table.vertical_rad, table.horizontal_rad, table.candela_cd
        place_m = np.array(source.view.position_m)
        ways_m = points_m if is_far else points_m - place_m[:, None]
        ahead, left, up = Pose((0.0, 0.0, 0.0), source.emitter.forward, source.emitter.up).axes() @ ways_m
        h, v = np.arctan2(-left, ahead), np.arctan2(up, np.hypot(ahead, left))
        inside = np.flatnonzero((h >= h_rad[0]) & (h <= h_rad[-1]) & (v >= v_rad[0]) & (v <= v_rad[-1]))
        over = (v[inside] - v_rad[0]) * ((len(v_rad) - 1) / (v_rad[-1] - v_rad[0]))
        right = (h[inside] - h_rad[0]) * ((len(h_rad) - 1) / (h_rad[-1] - h_rad[0]))
        row = np.minimum(over.astype(np.intp), len(v_rad) - 2)
        column = np.minimum(right.astype(np.intp), len(h_rad) - 2)
        over, right = over - row, right - column
        below = tabled_cd[row, column] * (1 - right) + tabled_cd[row, column + 1] * right
        above = tabled_cd[row + 1, column] * (1 - right) + tabled_cd[row + 1, column + 1] * right
        given = below * (1 - over) + above * over
        asked = np.flatnonzero(given >= FAINT_CD)
        rays = np.ascontiguousarray(ways_m[:, inside[asked]].T, dtype=np.float32)
        starts = np.empty_like(rays)
        starts[:] = place_m
        reach = np.full(len(rays), 1e30 if is_far else 1.0, dtype=np.float32)
        met = self.scene.run(starts, rays, dists=reach, query="OCCLUDED")
        given[asked[met >= 0]] = 0.0
        found = np.zeros(points_m.shape[1], dtype=np.float32)
        found[inside] = given
        return found


def against_embree(scale: int) -> Job:
    """The same heads, tables, triangles, directions and points for both."""
    made = prepared(yard(scale))
    return Job(lambda: ours(made), ByEmbree(made), like_embree(made), _size(made))


def like_embree(made: Yard) -> Callable[[object, object], Agreement]:
    """Largest difference of any pair; pairs seen by one alone have to graze."""

    def agree(our: object, peer: object) -> Agreement:
        assert isinstance(our, Lit)
        assert isinstance(peer, Lit)
        apart, alone, grazing_n = 0.0, 0, 0
        for number in range(len(made.sources)):
            here = np.concatenate([our.far_cd[number], our.ground_cd[number]])
            there = np.concatenate([peer.far_cd[number], peer.ground_cd[number]])
            one_only = (here >= FAINT_CD) != (there >= FAINT_CD)
            one_only &= np.maximum(here, there) >= SAME_CD
            apart = max(apart, float(abs(here - there)[~one_only].max()))
            if one_only.any():
                alone += int(one_only.sum())
                grazing_n += int((one_only & grazes(made.sources[number], JITTER_EMBREE_M)).sum())
        return Agreement(
            apart <= SAME_CD and alone == grazing_n,
            f"at most {apart:.2g} cd apart, {SAME_CD} cd allowed; seen by one alone: {alone} pairs of "
            f"{our.far_cd.size + our.ground_cd.size:,}, of which {grazing_n} graze an edge; "
            f"the vehicle hides {hidden_share(made, our):.0%} of the pairs with light",
        )

    return agree


def grazes(source: Source, jitter_m: float) -> NDArray[np.bool_]:
    """Far directions and ground points that a head sees from some places beside its own and not from others."""
    sights = []
    for axis in range(3):
        for sign in (-1.0, 1.0):
            moved = list(source.view.position_m)
            moved[axis] += sign * jitter_m
            sights.append(
                _both(replace(source, view=replace(source.view, position_m=(moved[0], moved[1], moved[2])))) >= FAINT_CD
            )
    return np.asarray(np.logical_or.reduce(sights) & ~np.logical_and.reduce(sights), dtype=np.bool_)


def _both(source: Source) -> Singles:
    return np.concatenate(
        [look_up_past(source, far_vectors(), reach=math.inf), look_up_past(source, ground().places_m, reach=1.0)]
    )


def hidden_share(made: Yard, our: Lit) -> float:
    """Of all pairs in which a bare head would give light, how many the vehicle takes."""
    bare_n = sum(int((_both(_bare(each)) >= FAINT_CD).sum()) for each in made.sources)
    return 1.0 - (int((our.far_cd >= FAINT_CD).sum()) + int((our.ground_cd >= FAINT_CD).sum())) / bare_n


def _bare(source: Source) -> Source:
    names = tuple(each.name for each in source.view.scene.obstacles)
    return replace(source, view=replace(source.view, mount=names))


# ---- Radiance

_FOLDERS: list[tempfile.TemporaryDirectory[str]] = []
"""Scenes live as long as the run."""


def against_radiance(scale: int) -> Job:
    """The scene and its octree are made before the clock runs."""
    made = prepared(yard(scale))
    _FOLDERS.append(tempfile.TemporaryDirectory(prefix="row-a-"))
    folder = Path(_FOLDERS[-1].name)
    write_scene(folder, made, round_the_yard())

    def radiance() -> Floats:
        read = read_by_radiance(folder, made)
        made.weights @ read
        return read

    return Job(lambda: ours(made), radiance, like_radiance(made), _size(made))


def like_radiance(made: Yard) -> Callable[[object, object], Agreement]:
    """Difference of any pair as a share of the head's peak where both see it; ours asked at Radiance's own sensors."""

    def agree(_: object, peer: object) -> Agreement:
        assert isinstance(peer, np.ndarray)
        sensors = round_the_yard()
        theirs = candela_of(peer, made, sensors)
        worst, alone, grazing_n, balls_n = 0.0, 0, 0, 0
        for number, source in enumerate(made.sources):
            peak_cd = beam_table(source.emitter.output).peak_cd
            here = look_up_past(source, sensors.places_m, reach=1.0)
            both = (here > 0.0) == (theirs[number] > 0.0)
            worst = max(worst, float(abs(here - theirs[number])[both].max()) / peak_cd)
            one_only = ~both & (np.maximum(here, theirs[number]) > SAME_SHARE * peak_cd)
            if one_only.any():
                before = behind_a_ball(made, number, sensors)
                alone += int(one_only.sum())
                balls_n += int((one_only & before).sum())
                grazing_n += int((one_only & ~before & grazes(source, JITTER_RADIANCE_M)).sum())
        return Agreement(
            worst <= SAME_SHARE and alone == grazing_n + balls_n,
            f"where both see a head at most {worst:.3%} of its peak apart, {SAME_SHARE:.1%} allowed; seen by one "
            f"alone: {alone} pairs of {theirs.size:,}, {balls_n} behind another head's ball, {grazing_n} at an edge",
        )

    return agree


# ---- what is left to do


def edits() -> Outcome:
    """One head turned, and a situation changed, against a full run; the answers are those of a full run."""
    made = prepared(yard(1))
    full_s, edit_s, situation_s, calls, same = [], [], [], set(), True
    together = merged(_waves(), ["controller"] * HEADS_N)
    for number in range(9):
        full_s.append(_seconds(lambda: ours(made)))
        lit = ours(made)
        far_cd, ground_cd = np.array(lit.far_cd), np.array(lit.ground_cd)
        turned = _turned(made.sources[number], 0.1 + 0.3 * number)
        before = source_toward.calls + source_at.calls

        def edit(at: int = number, source: Source = turned, far: Floats = far_cd, near: Singles = ground_cd) -> None:  # type: ignore[assignment]
            far[at], near[at] = source_toward(source, FAR).ravel(), source_at(source, ground(), True)

        edit_s.append(_seconds(edit))
        calls.add(source_toward.calls + source_at.calls - before)
        sources = [*made.sources[:number], turned, *made.sources[number + 1 :]]
        anew = ours(replace(made, sources=tuple(sources)))
        same = same and bool((anew.far_cd == far_cd).all()) and bool((anew.ground_cd == ground_cd).all())
        dimmed = np.full(HEADS_N, 0.4 + 0.05 * number, dtype=np.float32)
        situation_s.append(_seconds(lambda w=dimmed, g=ground_cd, f=far_cd: _change(together, w, f, g)))  # type: ignore[misc]
    full, edited, change = (statistics.median(times[1:]) for times in (full_s, edit_s, situation_s))
    return Outcome(
        same and calls == {2} and edited <= full / 10 and change <= 0.010,
        (
            f"one head turned: its two rows worked out anew of {2 * HEADS_N}, all rows those of a full run: {same}",
            f"one head turned takes {edited / full:.3f} of a full run (1/10 allowed)",
            f"situation changed: ground, far power, far effective intensity in {change * 1000:.2g} ms (10 allowed)",
        ),
    )


def _change(together: object, weights: Singles, far_cd: Floats, ground_cd: Singles) -> None:
    far = gathered(together, far_cd, weights)  # type: ignore[arg-type]
    optical_power(together, far)  # type: ignore[arg-type]
    effective_cd(together, far)  # type: ignore[arg-type]
    weights @ ground_cd


def _turned(source: Source, bearing_rad: float) -> Source:
    pose = Pose.facing(source.view.position_m, bearing_rad=bearing_rad)
    forward: Vector = pose.forward
    return Source(
        replace(source.emitter, forward=forward, up=pose.up, outward=forward), replace(source.view, outward=forward)
    )


def _waves() -> tuple[Wave, ...]:
    return tuple(
        Wave.of([(60 + 10 * (number % 4), 1.0), (40, 0.0), (60, 1.0), (340 - 10 * (number % 4), 0.0)]).shift(
            250 * (number % 2)
        )
        for number in range(HEADS_N)
    )


def _seconds(call: Callable[[], object]) -> float:
    start_s = time.perf_counter()
    call()
    return time.perf_counter() - start_s


def _size(made: Yard) -> str:
    return (
        f"{len(made.sources)} heads of 37x73, {len(made.triangles):,} triangles, {math.prod(FAR.shape)} directions, "
        f"{ground().places_m.shape[1]:,} ground points, {SITUATIONS_N} situations"
    )


_WORK = "candela of each head far away and on the ground, past the vehicle, and six situations as weights over them"

ROWS: list[Row] = [
    Bench(
        "A-embree",
        _WORK,
        "numpy for the tables and embree (embreex) for an occlusion ray wherever there is light, its tree made before",
        goal_times=5.0,
        job=against_embree,
        packages=("numpy", "numba", "embreex"),
        threads=lambda: f"{THREADS_N} and 1",
        growth_at_most={2: 2.6, 4: 5.2},
        peer_at=(1, 4),
    ),
    Bench(
        "A-radiance",
        _WORK,
        "Radiance rcontrib -n 2 on small spheres with the same tables and triangles, octree made before",
        goal_times=30.0,
        job=against_radiance,
        packages=("numpy", "numba", "pyradiance"),
        threads=lambda: f"{THREADS_N} and 2",
    ),
    Trial(
        "A-edit",
        "one head turned, one situation changed",
        "a full run of the same",
        "one head is worked out anew in a tenth of a full run, and a situation changes in 10 ms",
        edits,
        packages=("numpy", "numba"),
        threads=lambda: f"{THREADS_N} for the full run, 1 for the rest",
    ),
]
