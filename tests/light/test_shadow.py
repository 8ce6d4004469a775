"""What stands in the way: embree's answer to the same rays, boxes by hand, then laws."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.kit.convex import box
from coachwright.kit.geom import Pose, Vector, direction, mirrored
from coachwright.kit.once import frozen
from coachwright.light.far_field import Emitter, Grid, grid_vectors
from coachwright.light.lit import ROUND, glows, light_of, standing
from coachwright.light.seen import Points, Source, candela_along, candela_at, look_up_past, seen_at, seen_toward
from coachwright.light.shadow import (
    FAINT_CD,
    LEAF_N,
    NO_SCENE,
    NOTHING,
    Obstacle,
    Scene,
    View,
    first_met,
    hidden_among,
    hidden_from,
    hidden_rounds,
    hidden_toward,
    hierarchy_of,
    in_reach,
)
from coachwright.parts.schema import Beam, ColourOutput
from coachwright.place.panels import all_panels
from tests.light.scenes import Embree, hidden_round, off_m, strewn, ways

DEG = math.radians(1.0)
EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("quillback", "volunteer-car", "service-patrol")
GRAZES_M = 1e-5
"""Embree sums in single precision: some metres away it can't tell a ray nearer to an edge than this from one on it."""

EVEN = ColourOutput(flux=math.pi, current=1.0, beam=Beam(shape="cosine", power=1.0))
WIDE = ColourOutput(flux=200.0, current=1.0, beam=Beam(shape="bell", half_width=28 * DEG, half_height=8 * DEG))
SPOTS = st.tuples(*[st.floats(-4.0, 4.0)] * 3)
SEEDS = st.integers(0, 2**32 - 1)


@cache
def example(name: str) -> Model:
    """One of the three examples."""
    model = load_build(EXAMPLES / name / "build.yaml").model
    assert model is not None
    return model


def crate(name: str, *, half_m: Vector, middle_m: Vector) -> Obstacle:
    """An upright box."""
    shape = box(half_m=half_m, middle_m=middle_m)
    return Obstacle(name, shape.vertices_m, shape.triangles)


def looking(
    scene: Scene, *, position_m: Vector = (0.0, 0.0, 1.0), bearing_rad: float = 0.0, mount: tuple[str, ...] = ()
) -> Source:
    """A head that looks level toward a bearing, with nothing of its own in the way."""
    pose = Pose.facing(position_m, bearing_rad=bearing_rad)
    return Source(
        Emitter(pose.forward, pose.up, WIDE, pose.forward), View(position_m, pose.forward, math.pi, scene, mount)
    )


def points(places_m: np.ndarray) -> Points:
    """Points fit to be remembered."""
    return Points(frozen(places_m))


def sources_of(model: Model, opened: frozenset[str] = frozenset()) -> list[Source]:
    """Each colour of each head as it stands."""
    return [Source(emitter, stand.view) for stand in standing(model, opened) for emitter in stand.emitters.values()]


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize("seed", range(4))
def test_strewn_pieces_agree_with_embree(seed: int) -> None:
    """Embree meets the same piece first on 25,000 rays of each of four scenes; rays on an edge are told by name."""
    rng = np.random.default_rng(seed)
    scene, rays = strewn(rng, 40), ways(rng, 25_000)
    x, y, z = rng.uniform(-4, 4, 3).tolist()
    found = first_met((x, y, z), scene.obstacles, rays, reach=math.inf)
    other = Embree.of(scene.obstacles).first_met((x, y, z), rays)
    apart = np.flatnonzero(found != other)
    grazing = {int(ray): off_m((x, y, z), rays[:, ray], scene.obstacles) for ray in apart}

    assert (found != NOTHING).any()
    assert max(grazing.values(), default=0.0) < GRAZES_M, grazing
    assert len(apart) < 10, grazing


@pytest.mark.parametrize("name", NAMES)
def test_examples_agree_with_embree(name: str) -> None:
    """From every head of an example, all shut and all open, embree meets something on the same of > 100,000 rays."""
    model, rng = example(name), np.random.default_rng(3)
    asked_n, grazing = 0, {}
    for opened in (frozenset[str](), frozenset(all_panels(model.body))):
        trees: dict[tuple[str, ...], Embree] = {}
        for head, stand in zip(model.heads, standing(model, opened), strict=True):
            view = stand.view
            if view.mount not in trees:
                trees[view.mount] = Embree.of(
                    tuple(each for each in view.scene.obstacles if each.name not in view.mount)
                )
            tree, rays = trees[view.mount], ways(rng, 1200)
            found = first_met(view.position_m, tree.obstacles, rays, reach=math.inf)
            apart = (found == NOTHING) != (tree.first_met(view.position_m, rays) == NOTHING)
            for ray in np.flatnonzero(apart):
                grazing[head.id, int(ray)] = off_m(view.position_m, rays[:, ray], tree.obstacles)
            asked_n += rays.shape[1]

    assert asked_n > 100_000
    assert max(grazing.values(), default=0.0) < GRAZES_M, grazing
    assert len(grazing) < asked_n / 2_000, grazing


def test_crate_before_a_lamp_by_hand() -> None:
    """A crate 1 m wide, its face 2 m ahead, hides atan(0.5 / 2) = 14.04 deg to each side, and 0.3 m up 8.53 deg."""
    ahead = crate("crate", half_m=(0.1, 0.5, 0.3), middle_m=(2.1, 0.0, 1.0))
    view = looking(Scene((ahead,))).view
    grid = Grid(
        tuple(0.5 * DEG * number for number in range(-40, 41)), tuple(0.5 * DEG * number for number in range(-30, 31))
    )
    hidden = hidden_round(view, grid) != NOTHING
    level, upright = hidden[30], hidden[:, 40]

    assert level.sum() == 2 * 28 + 1  # 14 deg is hidden, 14.5 deg is seen
    assert upright.sum() == 2 * 17 + 1  # 8.5 deg, and 9 deg


def test_distance_to_a_point_counts_by_hand() -> None:
    """A crate from 2.0 to 2.2 m ahead hides what is behind it and nothing before it."""
    view = looking(Scene((crate("crate", half_m=(0.1, 0.5, 0.3), middle_m=(2.1, 0.0, 1.0)),))).view

    assert hidden_from(view, (1.9, 0.0, 1.0)) == NOTHING
    assert hidden_from(view, (2.5, 0.0, 1.0)) == 0
    assert hidden_from(view, (-3.0, 0.0, 1.0)) == NOTHING
    assert hidden_toward(view, (1.0, 0.0, 0.0)) == 0


def test_nearest_of_two_is_named() -> None:
    """Two crates one behind the other: the nearer one is met, whichever is written first."""
    near = crate("near", half_m=(0.1, 0.2, 0.2), middle_m=(1.0, 0.0, 1.0))
    far = crate("far", half_m=(0.1, 0.2, 0.2), middle_m=(2.0, 0.0, 1.0))
    for pieces in ((near, far), (far, near)):
        view = looking(Scene(pieces)).view
        assert pieces[hidden_toward(view, (1.0, 0.0, 0.0))].name == "near"


def test_what_only_touches_passes() -> None:
    """Rays along the face of a crate, along its edge and through its corner aren't hidden, in either way of asking."""
    on_top = crate("table", half_m=(1.0, 1.0, 0.5), middle_m=(2.0, 0.0, 0.5))
    source = looking(Scene((on_top,)))
    rays = np.array([(1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (1.0, -1.0, 0.0), (3.0, 1.0, 0.0)]).T
    rays /= np.linalg.norm(rays, axis=0)

    assert (first_met(source.view.position_m, source.view.scene.obstacles, rays, reach=math.inf) == NOTHING).all()
    assert (look_up_past(source, rays, reach=math.inf) > 0.0).sum() == (rays[0] > 0).sum()


def test_inside_a_piece_nothing_is_seen() -> None:
    """A lamp within a piece that isn't its mount is dark; within its mount it shines."""
    around = Scene((crate("box", half_m=(1.0, 1.0, 1.0), middle_m=(0.0, 0.0, 1.0)),))
    spots = points(np.array([[5.0, 0.5], [0.0, 0.0], [1.0, 1.0]]))
    for compiled in (False, True):
        assert not seen_toward([looking(around)], ROUND, compiled=compiled).any()
        assert not seen_at([looking(around)], spots, compiled=compiled).any()
        assert seen_toward([looking(around, mount=("box",))], ROUND, compiled=compiled).any()


def test_a_piece_with_a_hole_is_refused() -> None:
    """A mesh that doesn't close has no silhouette: it is named."""
    whole = crate("crate", half_m=(0.1, 0.5, 0.3), middle_m=(2.1, 0.0, 1.0))
    open_ = replace(whole, triangles=whole.triangles[1:].copy())
    open_.triangles.flags.writeable = False

    with pytest.raises(ValueError, match="crate: its triangles don't close"):
        hidden_toward(looking(Scene((open_,))).view, (1.0, 0.0, 0.0))


# --------------------------------------------------------------------------------------------------------------- law
@given(SEEDS, SPOTS, st.integers(0, 7))
@settings(max_examples=30)
def test_taking_a_piece_away_never_makes_it_darker(seed: int, spot: Vector, gone: int) -> None:
    """Law: without one piece every direction has as much light or more."""
    scene = strewn(np.random.default_rng(seed), 8)
    fewer = Scene(scene.obstacles[:gone] + scene.obstacles[gone + 1 :])
    with_it, without = (seen_toward([looking(each, position_m=spot)], ROUND) for each in (scene, fewer))

    assert (without >= with_it).all()


@pytest.mark.parametrize("name", NAMES)
def test_taking_a_solid_of_an_example_away_never_makes_it_darker(name: str) -> None:
    """Law: the same on a vehicle, piece by piece of every seventh."""
    sources = sources_of(example(name))
    scene = sources[0].view.scene
    before = seen_toward(sources, ROUND)
    for gone in range(0, len(scene.obstacles), 7):
        fewer = Scene(scene.obstacles[:gone] + scene.obstacles[gone + 1 :])
        assert (
            seen_toward([replace(each, view=replace(each.view, scene=fewer)) for each in sources], ROUND) >= before
        ).all()


@given(SEEDS, SPOTS, st.floats(0.0, math.tau), st.floats(0.5, 3.0))
@settings(max_examples=30)
def test_mirrored_scene_has_mirrored_light(seed: int, spot: Vector, bearing_rad: float, clear_rad: float) -> None:
    """Law: with everything on the other side, left and right swap, but for rays on an edge."""
    scene = strewn(np.random.default_rng(seed), 10)
    source = looking(scene, position_m=spot, bearing_rad=bearing_rad)
    source = replace(source, view=replace(source.view, clear_rad=clear_rad))
    image = Scene(tuple(_mirrored(each) for each in scene.obstacles))
    emitter, view = source.emitter, source.view
    over_there = Source(
        replace(emitter, forward=mirrored(emitter.forward), up=mirrored(emitter.up), outward=mirrored(emitter.outward)),
        replace(view, position_m=mirrored(view.position_m), outward=mirrored(view.outward), scene=image),
    )
    here, there = seen_toward([source], ROUND)[0], seen_toward([over_there], ROUND)[0]
    swapped = np.roll(here[:, ::-1], 1, axis=1)

    assert (abs(swapped - there) > 1e-6).sum() <= 1


@pytest.mark.parametrize("name", NAMES)
def test_pairs_of_an_example_shine_in_mirror_image(name: str) -> None:
    """Law: what the left lamp of a pair loses on a body that is even, the right one loses on its side."""
    model = example(name)
    stands = dict(zip((head.id for head in model.heads), standing(model, frozenset()), strict=True))
    everything = next(iter(stands.values())).view.scene.obstacles
    uneven = {each.name for each in everything if not any(_is_image(each, other) for other in everything)}
    compared_n = 0
    for head in model.heads:
        if not head.id.endswith(".left") or head.reach != "own":
            continue  # the row of heads in a lamp is turned, not built in mirror image
        one = stands[head.id].view
        other = stands[head.id.replace(".left", ".right")].view
        scenes = [Scene(tuple(p for p in view.scene.obstacles if p.name not in uneven)) for view in (one, other)]
        left, right = (
            hidden_round(replace(v, scene=s), ROUND) != NOTHING for v, s in zip((one, other), scenes, strict=True)
        )
        assert (np.roll(left[:, ::-1], 1, axis=1) != right).sum() <= 2, head.id
        compared_n += 1

    assert compared_n >= 5


@given(SPOTS, st.floats(0.0, math.tau))
def test_with_nothing_round_everything_is_seen(spot: Vector, bearing_rad: float) -> None:
    """Law: no piece, no shadow."""
    bare, in_room = looking(NO_SCENE, position_m=spot, bearing_rad=bearing_rad), looking(Scene(()), position_m=spot)

    assert (hidden_round(bare.view, ROUND) == NOTHING).all()
    assert (hidden_round(in_room.view, ROUND) == NOTHING).all()
    assert hidden_from(bare.view, (9.0, 9.0, 9.0)) == NOTHING
    assert seen_toward([bare], ROUND, compiled=True) == pytest.approx(seen_toward([bare], ROUND), abs=1e-3)


@given(SEEDS, SPOTS, st.floats(0.0, math.tau), st.floats(0.3, math.pi))
@settings(max_examples=40)
def test_what_is_left_out_beforehand_can_never_be_met(
    seed: int, spot: Vector, bearing_rad: float, clear_rad: float
) -> None:
    """Law: pieces whose boxes and balls are out of reach aren't met by any ray of the grid."""
    scene = strewn(np.random.default_rng(seed), 12)
    view = replace(looking(scene, position_m=spot, bearing_rad=bearing_rad).view, clear_rad=clear_rad)
    vectors = grid_vectors(ROUND)
    everything = first_met(view.position_m, scene.obstacles, vectors, reach=math.inf)
    everything[np.array(view.outward) @ vectors < math.cos(clear_rad) - 1e-9] = NOTHING

    assert (hidden_round(view, ROUND).ravel() == everything).all()
    assert set(everything[everything != NOTHING].tolist()) <= set(in_reach([view], ROUND)[0])


@given(SEEDS, SPOTS, SPOTS)
@settings(max_examples=60)
def test_one_ray_meets_what_it_meets_among_many(seed: int, spot: Vector, other: Vector) -> None:
    """Law: pieces whose balls a single ray passes by aren't looked at, and that changes no answer."""
    assume(math.dist(spot, other) > 1e-3)
    scene = strewn(np.random.default_rng(seed), 12)
    view = looking(scene, position_m=spot).view
    way_m = np.array(other)[:, None] - np.array(spot)[:, None]
    toward = way_m / np.linalg.norm(way_m)

    assert hidden_from(view, other) == first_met(spot, scene.obstacles, way_m, reach=1.0)[0]
    x, y, z = toward[:, 0].tolist()
    assert hidden_toward(view, (x, y, z)) == first_met(spot, scene.obstacles, toward, reach=math.inf)[0]


@given(SEEDS, st.integers(1, 12))
@settings(max_examples=30)
def test_every_box_holds_what_is_below_it(seed: int, pieces_n: int) -> None:
    """Law: boxes of a hierarchy hold their children, leaves hold every triangle once, and none holds too many."""
    scene = strewn(np.random.default_rng(seed), pieces_n)
    tree = hierarchy_of(scene)
    inner_n = tree.leaves_n - 1
    for node in range(inner_n):
        for child in (2 * node + 1, 2 * node + 2):
            assert (tree.boxes_m[node, :3] <= tree.boxes_m[child, :3]).all()
            assert (tree.boxes_m[node, 3:] >= tree.boxes_m[child, 3:]).all()
    for leaf in range(tree.leaves_n):
        corners_m = tree.corners_m[tree.starts[leaf] : tree.starts[leaf + 1]].reshape(-1, 3)
        assert 0 < len(corners_m) <= 3 * LEAF_N
        assert (tree.boxes_m[inner_n + leaf, :3] <= corners_m.min(axis=0)).all()
        assert (tree.boxes_m[inner_n + leaf, 3:] >= corners_m.max(axis=0)).all()
    counts = [len(each.triangles) for each in scene.obstacles]
    assert np.bincount(tree.owners, minlength=pieces_n).tolist() == counts
    again = hierarchy_of.__wrapped__(scene)  # type: ignore[attr-defined]
    assert (again.corners_m == tree.corners_m).all()


# -------------------------------------------------------------------------------------------- compiled and plain agree
@given(SEEDS, SPOTS, st.floats(0.0, math.tau), st.sampled_from([0.7, 1.4, math.pi]), st.integers(0, 9))
@settings(max_examples=40)
def test_both_ways_agree(seed: int, spot: Vector, bearing_rad: float, clear_rad: float, mount: int) -> None:
    """Law: the compiled loop and numpy give the same light, far away and at points among the pieces, but for edges."""
    rng = np.random.default_rng(seed)
    scene = strewn(rng, 10)
    source = looking(scene, position_m=spot, bearing_rad=bearing_rad, mount=(f"piece {mount}",))
    source = Source(replace(source.emitter, clear_rad=clear_rad), replace(source.view, clear_rad=clear_rad))
    spots = points(rng.uniform(-4, 4, (3, 777)))
    around = first_met(
        spot, tuple(p for p in scene.obstacles if p.name != f"piece {mount}"), ways(rng, 50), reach=math.inf
    )
    for one, other in (
        (seen_toward([source], ROUND, compiled=False), seen_toward([source], ROUND, compiled=True)),
        (seen_at([source], spots, compiled=False), seen_at([source], spots, compiled=True)),
    ):
        apart = abs(one - other) > FAINT_CD  # below that the compiled loop doesn't ask
        if not (around != NOTHING).all():  # from within a piece a point in the same piece is a matter of taste
            assert apart.sum() <= 1


@pytest.mark.parametrize("name", NAMES)
def test_both_ways_agree_on_the_examples(name: str) -> None:
    """Law: the same for every head of a vehicle, toward all directions and on the ground."""
    sources = sources_of(example(name), frozenset(all_panels(example(name).body)))
    x_m, y_m = np.meshgrid(np.arange(-12.0, 8.0, 0.53), np.arange(-9.0, 9.0, 0.57))
    spots = points(np.stack([x_m.ravel(), y_m.ravel(), np.zeros(x_m.size)]))
    for one, other in (
        (seen_toward(sources, ROUND, compiled=False), seen_toward(sources, ROUND, compiled=True)),
        (seen_at(sources, spots, compiled=False), seen_at(sources, spots, compiled=True)),
    ):
        assert (abs(one - other) > FAINT_CD).sum() <= one.size / 100_000


@pytest.mark.parametrize("name", NAMES)
def test_one_point_is_one_of_many(name: str) -> None:
    """Law: a point or a direction asked alone has what it has in a map."""
    source = sources_of(example(name))[7]
    eye_m: Vector = (-9.0, 2.0, 1.6)

    assert candela_at(source, eye_m) == pytest.approx(
        float(seen_at([source], points(np.array([eye_m]).T))[0, 0]), rel=1e-6
    )
    toward = direction(bearing_rad=ROUND.bearings_rad[50], elevation_rad=ROUND.elevations_rad[3])
    assert candela_along(source, toward) == pytest.approx(float(seen_toward([source], ROUND)[0, 3, 50]), abs=1e-6)


# -------------------------------------------------------------------------------------------------------------- case
def test_opening_panels_changes_only_what_they_hide_or_carry() -> None:
    """Case: with hatch and tailgate open, a head that stays on the body loses or gains light by those two alone."""
    model = example("quillback")
    opened = frozenset({"hatch", "tailgate"})
    moved = set(_names_on(model, opened))
    changed = set()
    for head, shut, open_ in zip(model.heads, standing(model, frozenset()), standing(model, opened), strict=True):
        if head.reach != "own" or shut.panel in opened:
            continue
        before, after = hidden_round(shut.view, ROUND), hidden_round(open_.view, ROUND)
        differs = before != after
        by = {shut.view.scene.obstacles[place].name for place in before[differs & (before != NOTHING)].tolist()}
        by |= {open_.view.scene.obstacles[place].name for place in after[differs & (after != NOTHING)].tolist()}
        if head.lamp not in {"tray", "cap-bar"}:
            assert by <= moved, head.id
        changed |= {head.lamp} if differs.any() else set()

    assert "rear-push" in changed  # the tailgate hangs over the rear bumper
    assert not changed & {"grille", "corner", "push", "visor", "mirror", "rocker-fore", "rocker-aft", "cap-side"}


def test_situations_that_stand_alike_ask_once() -> None:
    """Case: nine situations of the example have two ways of standing, and a colour more asks nothing more."""
    model = replace(example("quillback"), digest="anew")
    hidden_rounds.clear()
    hidden_among.clear()
    before = hidden_among.calls
    for situation in model.situations:
        light_of(glows(model, situation.name))

    assert 0 < hidden_among.calls - before <= 2 * len(model.heads)


def test_a_turned_lamp_asks_anew_only_where_it_is_in_reach() -> None:
    """Case: one lamp of the example is turned; its housing turns along, and only heads that could see it ask again."""
    model = replace(example("quillback"), digest="before it is turned")
    light_of(glows(model, "answering"))
    before = hidden_among.calls
    turned = replace(
        model,
        digest="turned a little",
        heads=tuple(replace(head, aim_rad=0.1234) if head.id == "rocker-aft.right" else head for head in model.heads),
    )
    light_of(glows(turned, "answering"))

    assert hidden_among.calls - before <= 4


def _mirrored(piece: Obstacle) -> Obstacle:
    vertices_m, triangles = piece.vertices_m * (1.0, -1.0, 1.0), piece.triangles[:, ::-1].copy()
    vertices_m.flags.writeable = triangles.flags.writeable = False
    return Obstacle(piece.name, vertices_m, triangles)


def _is_image(piece: Obstacle, other: Obstacle) -> bool:
    """Whether one piece is the other's image on the other side; a piece across the middle may be its own."""
    image, there = (
        {tuple(np.round(corner, 6) + 0.0) for corner in each}
        for each in (piece.vertices_m * (1, -1, 1), other.vertices_m)
    )
    return image == there


def _names_on(model: Model, opened: frozenset[str]) -> list[str]:
    from coachwright.place.solids import solids_of

    return [each.name for each in solids_of(model, opened) if each.panel in opened]
