"""Which solid things stand where, with everything shut and with panels open?"""

from collections.abc import Callable, Iterable
from dataclasses import replace

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Head, Model
from coachwright.build.model_fitted import CargoItem
from coachwright.kit.geom import Vector
from coachwright.parts.schema import BodyPart
from coachwright.parts.standing import place_pose
from coachwright.parts.store import load_catalogue
from coachwright.place.panels import all_panels
from coachwright.place.poses import moved_pose
from coachwright.place.solids import Solid, mount_of, solids_of

SHUT: frozenset[str] = frozenset()
BODIES = ("crew-cab-pickup-with-cap", "estate-car", "full-size-sport-utility", "high-roof-van", "saloon")

LOOKS_IN = {
    "door-inner", "rear-door-inner", "hatch-underside", "cap-hatch-underside", "trunk-underside", "command-tray",
    "cargo-rear", "dome", "cargo-dome",
}  # fmt: skip
"""Places for a lamp that look into the vehicle, or down at its bumper, while everything is shut."""

LOOKS_OUT_OPEN = {"door-inner", "rear-door-inner", "hatch-underside", "cap-hatch-underside", "trunk-underside"}
"""Those of them that look to the rear once the panel they ride on is open."""


def body_called(name: str) -> BodyPart:
    """A body of the catalogue."""
    part = load_catalogue().get(name)
    assert isinstance(part, BodyPart)
    return part


def named(solids: Iterable[Solid]) -> dict[str, Solid]:
    """By name."""
    return {each.name: each for each in solids}


def mesh_of(solid: Solid) -> trimesh.Trimesh:
    """As trimesh sees it."""
    return trimesh.Trimesh(solid.vertices_m, solid.triangles, process=False)


def met(solids: Iterable[Solid], spot: Vector, way: Vector) -> set[str]:
    """Names of the solids a ray meets, by embree; it begins a millimetre out."""
    found = set()
    for each in solids:
        start = np.array([spot]) + 1e-3 * np.array([way])
        if mesh_of(each).ray.intersects_any(start, np.array([way]))[0]:
            found.add(each.name)
    return found


def cargo(part: str, at: str, *, name: str = "gear", count_n: int = 1) -> CargoItem:
    """A mount somewhere."""
    return CargoItem(name, part, 0.0, count_n, at, "", (), (), "", 0.0, "", "shop", True, "", f"cargo.{name}")


def with_cargo(model: Model, item: CargoItem) -> Model:
    """The same with a mount on it."""
    part = load_catalogue().get(item.part)
    assert part is not None
    return replace(model, cargo=(item,), parts=(*model.parts, (part.name, part)))


# ---- the body


def test_a_name_is_there_once_and_an_own_piece_blames_nobody(model_of: Callable[..., Model]) -> None:
    """Law: the vehicle's own pieces have no path; a pair carries its side."""
    solids = solids_of(model_of(), SHUT)

    assert len({each.name for each in solids}) == len(solids)
    assert {each.path for each in solids} == {""}
    assert {"front pillar left", "front pillar right", "cap roof", "tailgate"} <= set(named(solids))


def test_panels_and_panes_are_named_as_the_body_names_them(model_of: Callable[..., Model], body: BodyPart) -> None:
    """Law: a piece rides on a panel that can open, or on the body; a pane is one of the body's."""
    solids = solids_of(model_of(), SHUT)

    assert {each.panel for each in solids} <= {*all_panels(body), "body"}
    assert {each.pane for each in solids} == {*body.glass, ""}
    assert named(solids)["front door right"].panel == "front-door.right"


@pytest.mark.parametrize("name", BODIES)
def test_opening_a_panel_moves_its_pieces_alone(name: str, model_of: Callable[..., Model]) -> None:
    """Law: they keep volume and size, whatever rides on something else stays, and both of a pair open alike."""
    body = body_called(name)
    model = model_of(vehicle=body)
    shut = solids_of(model, SHUT)
    for panel in all_panels(body):
        opened = solids_of(model, frozenset({panel}))
        assert [each.name for each in opened] == [each.name for each in shut]
        for before, after in zip(shut, opened, strict=True):
            if before.panel != panel:
                assert (after.panel, after.path, after.pane) == (before.panel, before.path, before.pane)
                assert np.array_equal(after.vertices_m, before.vertices_m)
                continue
            assert np.abs(after.vertices_m - before.vertices_m).max() > 0.05
            assert mesh_of(after).volume == pytest.approx(mesh_of(before).volume, rel=1e-9)
            assert mesh_of(after).is_winding_consistent
        moved = [before.panel == panel for before in shut]
        assert any(moved), f"{panel} of {name} has no piece"


@pytest.mark.parametrize("name", BODIES)
def test_both_of_a_pair_open_in_mirror_image(name: str, model_of: Callable[..., Model]) -> None:
    """Law: with both doors open the vehicle is still its own mirror image."""
    body = body_called(name)
    opened = named(solids_of(model_of(vehicle=body), frozenset(all_panels(body))))
    pairs = [each for each in opened if each.endswith(" left")]
    for left in pairs:
        image = opened[left].vertices_m * (1, -1, 1)
        right = opened[f"{left.removesuffix('left')}right"].vertices_m
        assert np.abs(image[:, None] - right[None]).max(axis=2).min(axis=1).max() < 1e-6, left

    assert len(pairs) > 8


def test_a_tailgate_comes_down_and_a_hatch_goes_up(model_of: Callable[..., Model]) -> None:
    """Common practice, by where they end: the gate level at the height of its hinge, the hatch over the cap's roof."""
    opened = named(solids_of(model_of(), frozenset({"tailgate", "hatch"})))

    assert opened["tailgate"].vertices_m[:, 2].max() < 1.0
    assert opened["tailgate"].vertices_m[:, 0].min() < -5.2
    assert opened["hatch window"].vertices_m[:, 2].min() > 1.75


# ---- what is fitted


def test_a_lamp_is_a_box_behind_its_face(
    model_of: Callable[..., Model], head_at: Callable[..., Head], lamp: Callable[..., object]
) -> None:
    """Volume and depth of the part's own figures: 132 by 38 by 24 mm, its face at the place."""
    head = head_at("bumper-front", side="left")
    housing = named(solids_of(model_of(head), SHUT))["a.left"]
    part = lamp("short-red-white")

    assert mesh_of(housing).volume == pytest.approx(part.width * part.height * part.depth)  # type: ignore[attr-defined]
    assert housing.vertices_m[:, 0].max() == pytest.approx(0.958)
    assert housing.vertices_m[:, 0].min() == pytest.approx(0.958 - 0.024)
    assert (housing.path, housing.panel, housing.pane) == ("lamps.a", "body", "")


def test_a_lamp_on_a_panel_rides_on_it(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Law: its housing keeps to its head (place.poses) when the gate comes down."""
    head = head_at("tailgate-top-edge", side="right")
    model = model_of(head)
    for opened in (SHUT, frozenset({"tailgate"})):
        housing = named(solids_of(model, opened))["a.right"]
        pose = moved_pose(head, model, opened)
        local = (housing.vertices_m - np.array(pose.position_m)) @ pose.axes().T
        assert local[:, 0].max() == pytest.approx(0.0, abs=1e-9)
        assert local[:, 0].min() == pytest.approx(-0.024)
        assert np.abs(local[:, 1]).max() == pytest.approx(0.066)


def test_a_bar_is_one_box_whatever_heads_it_has(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Eight heads, one housing; vehicle lamps have none of their own."""
    bar = [head_at("roof-front", id=f"a.{n + 1}", number=n + 1, part="bar-8-red-white", head_index=n) for n in range(8)]
    beam = head_at("headlamp", lamp="high-beam", side="left", part="", head_index=0, reach="parallel")
    solids = solids_of(model_of(*bar, beam), SHUT)

    assert [each.name for each in solids if each.path] == ["a"]


def test_a_lamp_called_like_a_piece_keeps_its_own_name(
    model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Law: a lamp called roof is not the roof, and is still its own head's mount."""
    head = head_at("roof-front", lamp="roof", id="roof", path="lamps.roof")
    model = model_of(head)
    lamp_name = next(each.name for each in solids_of(model, SHUT) if each.path == "lamps.roof")

    assert lamp_name != "roof"
    assert set(mount_of(head, model)) == {lamp_name, "roof"}


def test_a_pair_of_lamps_keeps_its_own_housings_beside_gear_of_its_name(
    model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Law: whatever a housing is called, it is its own head's mount and no other's."""
    heads = [head_at("grille", id=f"a.{side}", side=side) for side in ("left", "right")]
    model = with_cargo(model_of(*heads), cargo("push-bumper", "bumper-front", name="a", count_n=2))
    for head in heads:
        (own,) = [
            each for each in solids_of(model, SHUT) if each.path == "lamps.a" and each.name in mount_of(head, model)
        ]
        assert np.sign(own.vertices_m[:, 1].mean()) == (1 if head.side == "left" else -1)


def test_a_rack_and_a_push_bumper_are_what_their_parts_say(model_of: Callable[..., Model]) -> None:
    """Each piece blames the cargo that brought it; a bumper stands before the nose, a rack over the roof."""
    bumper = [each for each in solids_of(with_cargo(model_of(), cargo("push-bumper", "bumper-low")), SHUT) if each.path]
    rack = [each for each in solids_of(with_cargo(model_of(), cargo("roof-rack", "roof-fore")), SHUT) if each.path]

    assert {each.name for each in bumper} == {
        "gear upright left",
        "gear upright right",
        "gear bar low",
        "gear bar high",
    }
    assert {each.path for each in (*bumper, *rack)} == {"cargo.gear"}
    assert min(each.vertices_m[:, 0].min() for each in bumper) > 0.95
    assert len(rack) == 9
    assert max(each.vertices_m[:, 2].max() for each in rack) == pytest.approx(1.955 + 0.120)
    assert min(each.vertices_m[:, 2].max() for each in rack) > 1.96


def test_a_thing_on_a_pair_of_places_stands_on_both(model_of: Callable[..., Model]) -> None:
    """Two of them at a mirrored place: one on each side; one of them with its side: there."""
    two = solids_of(with_cargo(model_of(), cargo("push-bumper", "bumper-front", count_n=2)), SHUT)
    one = solids_of(with_cargo(model_of(), cargo("push-bumper", "bumper-front.right")), SHUT)

    assert sum(each.path != "" for each in two) == 8
    right = np.concatenate([each.vertices_m for each in one if each.path])
    assert right[:, 1].mean() == pytest.approx(-0.45, abs=0.01)


# ---- mounts


@pytest.mark.parametrize("name", BODIES)
def test_a_lamp_looks_out_of_its_place(name: str, model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Law, by embree: straight out of every place nothing of the body but the lamp's own mount is in the way, but where
    it looks in while everything is shut; those on a panel look to the rear once that is open."""
    body = body_called(name)
    for place_name, place in body.places.items():
        if not {"lamp", "bar"} & set(place.holds):
            continue
        head = head_at(place_name, side="left" if place.mirrored else "")
        model = model_of(head, vehicle=body)
        mount = mount_of(head, model)
        assert mount, place_name
        pose = moved_pose(head, model)
        hidden_by = met(solids_of(model, SHUT), pose.position_m, pose.forward) - set(mount)
        assert bool(hidden_by) == (place_name in LOOKS_IN), (place_name, hidden_by)
        if place_name in LOOKS_OUT_OPEN:
            opened = frozenset(each for each in all_panels(body) if each.removesuffix(".left") == place.panel)
            pose = moved_pose(head, model, opened)
            assert met(solids_of(model, opened), pose.position_m, (-1.0, 0.0, 0.0)) - set(mount) == set(), place_name


@pytest.mark.parametrize("name", BODIES)
def test_no_place_for_a_lamp_is_within_a_piece_that_is_not_its_mount(
    name: str, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Law: with everything shut, with its own panel open and with all of them open a lamp stands at least 4 mm clear
    of every other piece of the body; what it touches would hide it by the last digit of a sum, what holds it hides
    all of it."""
    body = body_called(name)
    for place_name, place in body.places.items():
        if not {"lamp", "bar"} & set(place.holds):
            continue
        head = head_at(place_name, side="left" if place.mirrored else "")
        model = model_of(head, vehicle=body)
        mount = mount_of(head, model)
        own = frozenset(each for each in all_panels(body) if each.removesuffix(".left") == place.panel)
        for opened in (SHUT, own, frozenset(all_panels(body))):
            spot = np.array(moved_pose(head, model, opened).position_m)
            others = [each for each in solids_of(model, opened) if each.name not in mount and not each.path]
            near = [each.name for each in others if _outside_m(each, spot) < 0.004]
            assert near == [], (place_name, near)


def _outside_m(solid: Solid, spot: np.ndarray) -> float:
    """How far a spot is out of the farthest face of a convex solid; below nothing inside. [m]"""
    mesh = mesh_of(solid)
    large = mesh.area_faces > mesh.area_faces.max() * 1e-9
    return float(((spot - mesh.triangles[large, 0]) * mesh.face_normals[large]).sum(axis=1).max())


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.75, 1.0])
def test_the_command_tray_comes_out_over_the_open_tailgate(share: float, body: BodyPart) -> None:
    """Law: on its way out, hatch and tailgate open, no solid of the tray passes through any other of the body."""
    opened = frozenset({"hatch", "tailgate"})
    solids = solids_of(_bare(body), opened)
    slide_m = body.panels["command-tray"].slide_x * share
    for each in solids:
        if each.panel != "command-tray":
            continue
        moved = replace(each, vertices_m=each.vertices_m + np.array([slide_m, 0.0, 0.0]))
        for other in solids:
            if other.panel != "command-tray":
                assert _shared_m3(moved, other) < 1e-9, other.name


def _shared_m3(one: Solid, other: Solid) -> float:
    """Volume two solids share. [m3]"""
    first, second = (manifold3d.Manifold.hull_points(each.vertices_m.astype(np.float64)) for each in (one, other))
    return float((first ^ second).volume())


def test_an_open_hood_and_an_open_door_hide_what_is_behind_them(
    model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Common practice: nobody sees a visor bar over a raised hood; the van's own file says its rear doors, open, cover
    the lower corners."""
    visor = head_at("windshield-top", part="bar-6-red-amber-white")
    model = model_of(visor)
    spot = moved_pose(visor, model).position_m
    assert met(solids_of(model, SHUT), spot, (1.0, 0.0, 0.0)) - set(mount_of(visor, model)) == set()
    assert "hood" in met(solids_of(model, frozenset({"hood"})), spot, (1.0, 0.0, 0.0))

    van = body_called("high-roof-van")
    corner = head_at("rear-corner-low", side="left")
    model = model_of(corner, vehicle=van)
    spot = moved_pose(corner, model).position_m
    assert met(solids_of(model, SHUT), spot, (-1.0, 0.0, 0.0)) - set(mount_of(corner, model)) == set()
    assert "rear door left" in met(solids_of(model, frozenset({"rear-door.left"})), spot, (-1.0, 0.0, 0.0))


def test_the_mount_is_the_housing_the_piece_and_the_pane(
    model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Cases a fitter would name alike."""

    def mount(place: str, side: str = "", **changes: object) -> set[str]:
        head = head_at(place, side=side, **changes)
        return set(mount_of(head, model_of(head)))

    assert mount("bumper-front", "left") == {"a.left", "bumper"}
    assert mount("mirror-under", "right") == {"a.right", "mirror right"}
    assert mount("cap-hatch-glass") == {"a", "hatch window"}
    assert mount("quarter-glass", "right") == {"a.right", "quarter window right"}
    assert mount("windshield-foot", "right") == {"a.right", "windshield"}
    assert mount("tailgate-face") == {"a", "tailgate"}


def test_gear_is_nobodys_mount_and_shadows(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """A push bumper before a lamp is not what the lamp is bolted to: its upright is met by a ray straight ahead."""
    head = head_at("grille", side="left")
    model = with_cargo(model_of(head), cargo("push-bumper", "bumper-low"))
    pose = moved_pose(head, model, SHUT)
    ahead = met(solids_of(model, SHUT), pose.position_m, (0.9985, 0.0, -0.0547))

    assert not any(name.startswith("gear") for name in mount_of(head, model))
    assert "gear upright left" in met(solids_of(model, SHUT), (0.9, 0.32, 0.8), (1.0, 0.0, 0.0))
    assert "gear upright right" not in ahead


# ---- laws over many settings


@given(st.data())
def test_any_panels_open_leave_closed_solids(data: st.DataObject) -> None:
    """Law: whatever stands open, every solid is closed and as large as before, and nothing is lost or doubled."""
    body = body_called(data.draw(st.sampled_from(BODIES)))
    opened = frozenset(data.draw(st.sets(st.sampled_from(all_panels(body)))))
    model = _bare(body)
    shut = named(solids_of(model, SHUT))
    stands = named(solids_of(model, opened))
    name = data.draw(st.sampled_from(sorted(shut)))

    assert set(stands) == set(shut)
    assert mesh_of(stands[name]).is_watertight
    assert mesh_of(stands[name]).volume == pytest.approx(mesh_of(shut[name]).volume, rel=1e-9)
    assert not stands[name].vertices_m.flags.writeable


def _bare(body: BodyPart) -> Model:
    return Model(
        "", "", 1, None, 1, body, (), (), (), (), (), (), (), (), (), (), (), (), (), (), (), (), (),  # type: ignore[arg-type]
    )  # fmt: skip


def test_places_on_open_panels_go_with_their_pieces(model_of: Callable[..., Model], body: BodyPart) -> None:
    """Law: a place's distance to each piece of its own panel is the same open and shut."""
    place = body.places["cap-hatch-underside"]
    assert place.panel == "hatch"
    spot = np.array(place_pose(place, "left").position_m)
    shut = named(solids_of(model_of(), SHUT))["hatch low"]
    assert np.linalg.norm(shut.vertices_m - spot, axis=1).min() < 0.5
