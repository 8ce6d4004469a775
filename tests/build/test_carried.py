"""Console, cargo, marking, trailers, and who brings what: what is read, and what can't be."""

from __future__ import annotations

import math

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.build.places import body_place
from coachwright.build.resolve_marking import faces_of
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import Catalogue, load_catalogue
from tests.build import small
from tests.build.conftest import Case, check_case, spoken

CONSOLE = "console:\n  body: {part: shelf, at: tunnel}\n  bays: [bay-1 radio, bay-2 controls, bay-3 blank, cups]"
RADIO = small.BASE["equipment"] + "\n  radio: {part: two-way, at: console.bay-1}"
CARGO = """\
cargo:
  tray: {part: slide-out, at: floor, panel: hatch, locks: [in, out], holds: [map, pens], by: customer}
  locker: {part: chest, at: tray, air: outside, hold: strap, packed: after delivery, note: vents to the left}
  cones: {count: 24, weight: 7 lb, at: locker, volume: 2 ft3}"""


def model_of(catalogue: Catalogue, **sections: str) -> Model:
    """The good build with some sections written otherwise."""
    loaded = read_build(small.whole(**sections), catalogue=catalogue)
    assert loaded.model is not None, [f"{each.where[0]} {spoken(each)}" for each in loaded.findings]
    return loaded.model


def test_bays_of_a_console(catalogue: Catalogue) -> None:
    """Case: what is in each; blank until something is fitted; a word of one's own."""
    equipment = RADIO + "\n  other: {part: fan, at: console.bay-3}"
    console = model_of(catalogue, console=CONSOLE, equipment=equipment).console

    assert console is not None
    assert (console.part, console.at, console.path) == ("shelf", "tunnel", "console")
    assert [(bay.name, bay.holds, bay.equipment) for bay in console.bays] == [
        ("bay-1", "radio", "radio"),
        ("bay-2", "controls", ""),
        ("bay-3", "blank", "other"),
        ("cups", "", ""),
    ]
    assert [bay.is_controls for bay in console.bays] == [False, True, False, False]
    assert not any(bay.is_blank for bay in console.bays)
    assert console.bays[1].path == "console.bays.2"


def test_a_bay_that_is_blank(catalogue: Catalogue) -> None:
    """Case: nothing stands there."""
    console = model_of(catalogue, console=CONSOLE, equipment=RADIO).console

    assert console is not None
    assert [bay.is_blank for bay in console.bays] == [False, False, True, False]


def test_places_on_the_console(case: Case) -> None:
    """BLD-102: a bay it doesn't have; the body's own places on it stay places.

    console:
      body: {part: shelf, at: tunnel}
      bays: [bay-1, bay-2]
    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console}
      arrow: {kind: pick-one, positions: [none, left, right], at: console.bay-2, start: none}
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.bay-4}
    #                                  ^^^^^ BLD-102 Closest: bay-1.
      ring: {kind: button, at: console.panl}
    #                                  ^^^^ BLD-102 Closest: panel.
    equipment:
      box: {part: controller, at: console.cups}
    #                                     ^^^^ BLD-102
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor}
    """
    check_case(case)


def test_bays_and_equipment_say_the_same(case: Case) -> None:
    """BLD-114, BLD-115: two in one bay; a bay that names what stands elsewhere; a slip.

    console:
      body: {part: shelf, at: tunnel}
      bays: [bay-1 box, bay-2 controls, bay-3 two-way-2]
    #        ^^^^^^^^^ BLD-115 stands at floor
    #                   ^^^^^^^^^^^^^^ BLD-114 main-siren stands in this bay
    #                                   ^^^^^^^^^^^^^^^ BLD-115 Write bay-3 two-way-1.
    equipment:
      box: {part: controller, at: floor}
      main-siren: {part: siren, at: console.bay-2}
      locker-fan: {part: fan, at: console.bay-2}
    #                             ^^^^^^^^^^^^^ BLD-114 both stand
      two-way-1: {part: two-way, at: console.bay-3}
    """
    check_case(case)


def test_a_console_that_can_not_be(case: Case) -> None:
    """BLD-011, BLD-019, BLD-052, BLD-101: no such part, a bay twice, no such place, more than a bay.

    console:
      body: {part: shelv, at: tunel}
    #              ^^^^^ BLD-011 Closest: shelf.
    #                         ^^^^^ BLD-052 Closest: tunnel.
      bays: [bay-1 radio, bay-2]
    """
    check_case(case)


def test_bays_that_can_not_be_read(case: Case) -> None:
    """BLD-101: two words at most, plain ones.

    console:
      body: {part: fan, at: tunnel}
      bays: [bay-1 radio mike, Bay_2, bay-3, bay-9]
    #        ^^^^^^^^^^^^^^^^ BLD-101
    #                          ^^^^^ BLD-101
    """
    check_case(case)


def test_on_which_side_it_stands(case: Case) -> None:
    """BLD-053: one thing at a place on both sides; two stand on both.

    cargo:
      tray: {weight: 9 kg, at: side}
    #                          ^^^^ BLD-053 Write side.left or side.right.
      cones: {weight: 3 kg, at: side, count: 24}
      jack: {weight: 9 kg, at: side.left}
    equipment:
      box: {part: controller, at: bumper}
    #                             ^^^^^^ BLD-053
      main-siren: {part: siren, at: bumper.right}
      locker-fan: {part: fan, at: bumper, count: 2}
    """
    check_case(case)
    assert {each.severity for each in case.loaded.findings} == {"warning"}


def test_what_is_lost_is_not_blamed(case: Case) -> None:
    """Case: a console, a piece of cargo, a feed that can't be read exist, and whatever names them is left in peace.

    console: {body: {part: shelf}}
    #         ^^^^ BLD-013
    cargo:
      tray: {weight: 20, at: floor}
    #                ^^ BLD-004
    feeds:
      box: {from: main-battery, on-while: hot, below: low}
    #                                                 ^^^ BLD-006
      other: {from: box, on-while: hot}
    equipment:
      box: {part: controller, at: console.bay-7, feed: box}
      main-siren: {part: siren, at: tray, feed: box, also: [other]}
      locker-fan: {part: fan, at: tray, feed: other}
      cut: {part: cut-off, at: floor, breaks: [box], spares: [main-siren.memory]}
    """
    check_case(case)


def test_a_bay_that_stands_twice(case: Case) -> None:
    """BLD-019: each bay stands once.

    console:
      body: {part: shelf, at: tunnel}
      bays: [bay-1, bay-2, bay-1]
    #       ^^^^^^^^^^^^^^^^^^^^^ BLD-019 bay-1 stands twice
    """
    check_case(case)


def test_openings_of_the_part(case: Case) -> None:
    """BLD-102: a bay is an opening of the console; a word of one's own needs none.

    console:
      body: {part: shelf, at: tunnel}
      bays: [bay-1, bay-9, cups]
    #               ^^^^^ BLD-102 shelf
    """
    check_case(case)


def test_a_console_is_a_console(case: Case) -> None:
    """BLD-050: and is written there only.

    console:
      body: {part: fan, at: tunnel}
    #              ^^^ BLD-050 Write it under equipment.
    equipment:
      box: {part: shelf, at: floor}
    #             ^^^^^ BLD-050 console.body.part
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor}
    """
    check_case(case)


def test_everything_cargo_can_say(catalogue: Catalogue) -> None:
    """Case: weights of the part or as written, in SI; who brings it."""
    model = model_of(catalogue, cargo=CARGO, parts_by="parts-by: reused")
    tray, locker, cones = model.cargo

    assert (tray.part, tray.mass_kg, tray.count_n) == ("slide-out", pytest.approx(30.0), 1)
    assert (tray.panel, tray.locks, tray.holds, tray.by) == ("hatch", ("in", "out"), ("map", "pens"), "customer")
    assert (tray.packed, tray.air, tray.volume_m3) == (True, "", 0.0)
    assert (locker.volume_m3, locker.air, locker.hold) == (pytest.approx(0.5), "outside", "strap")
    assert (locker.packed, locker.by, locker.note) == (False, "reused", "vents to the left")
    assert (cones.part, cones.count_n, cones.mass_kg) == ("", 24, pytest.approx(7 * 0.45359237))
    assert cones.volume_m3 == pytest.approx(2 * 0.3048**3)
    assert {name for name, _ in model.parts} >= {"slide-out", "chest"}


def test_where_things_end_up_on_the_body(catalogue: Catalogue) -> None:
    """Case: through a locker on a tray, a console, a piece of equipment; sides stay."""
    model = model_of(catalogue, cargo=CARGO, console=CONSOLE, equipment=RADIO)

    assert [body_place(model, item.at) for item in model.cargo] == ["floor", "floor", "floor"]
    assert body_place(model, "console.bay-1") == "tunnel"
    assert body_place(model, "console.panel") == "console.panel"
    assert body_place(model, "radio") == "tunnel"
    assert body_place(model, "bumper.left") == "bumper.left"


def test_cargo_that_can_not_be(case: Case) -> None:
    """BLD-050, BLD-116, BLD-117, BLD-118, BLD-061, BLD-109, BLD-052: one of each.

    cargo:
      a: {at: floor}
    # 3: BLD-117 Write part: or weight:.
      b: {part: siren, at: floor}
    #           ^^^^^ BLD-050 Write it under equipment.
      c: {part: slide-out, at: floor, panel: hatsch, locks: [in, half]}
    #                                        ^^^^^^ BLD-116 Closest: hatch.
    #                                                            ^^^^ BLD-061 in, out
      d: {part: chest, at: flor, locks: [in]}
    #                      ^^^^ BLD-052 Closest: floor.
    #                            ^^^^^ BLD-109 a tray locks
      e: {weight: -2 kg, at: floor, volume: 0 ft3}
    #             ^^^^^ BLD-117
    #                                       ^^^^^ BLD-118
      tray: {weight: 2 kg, at: tray}
    #                          ^^^^ BLD-052
      f: {weight: 220, at: floor}
    #             ^^^ BLD-004 220 lb
      g: {weight: 2 kg, at: floor, air: inside}
    #                                   ^^^^^^ BLD-014
    """
    check_case(case)


def test_cargo_at_each_other(case: Case) -> None:
    """BLD-070: somewhere the body has to carry it. BLD-093: a name for one thing.

    cargo:
      tray: {weight: 2 kg, at: rack}
      rack: {weight: 2 kg, at: locker-fan}
      main-siren: {weight: 2 kg, at: floor}
    # 3: BLD-093 what things are fitted at
    equipment:
      box: {part: controller, at: floor}
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: tray}
    #                             ^^^^ BLD-070 stand at each other
    """
    check_case(case)


def test_what_brings_a_signal(case: Case) -> None:
    """BLD-058, BLD-062: cargo, a trailer or equipment that is there; words with a space are words.

    signals:
      tray-out: {from: cargo.tray}
      one: {from: cargo.trey}
    #                   ^^^^ BLD-058 Closest: tray.
      two: {from: bxo.outputs}
    #             ^^^ BLD-062
      three: {from: trailer.cart}
      four: {from: the plug. It is at the rear}
    trailer:
      cart: {tongue: 40 kg, weight: 400 kg}
    # 3: BLD-120
    """
    check_case(case)


def test_three_kinds_of_marking(catalogue: Catalogue) -> None:
    """Case: a band, stripes, a field; in SI."""
    marking = """\
marking:
  side: {film: stripes, band: 6 in, from: bumper, to: tail, by: customer}
  rear: {film: stripes, slope: 45 deg, width: 6 in, share: 50 %, on: [hatch]}
  open: {film: stripes, on: hatch-inside, note: all of it}"""
    side, rear, plain = model_of(catalogue, marking=marking).marking

    assert (side.kind, side.band_m, side.begin, side.end) == ("band", pytest.approx(0.1524), "bumper", "tail")
    assert (side.by, rear.by) == ("customer", "shop")
    assert (rear.kind, rear.slope_rad, rear.width_m) == ("stripes", pytest.approx(math.pi / 4), pytest.approx(0.1524))
    assert (rear.share, rear.on) == (pytest.approx(0.5), ("hatch",))
    assert (plain.kind, plain.on, plain.share, plain.note) == ("field", ("hatch-inside",), None, "all of it")


def test_markings_that_can_not_be(case: Case) -> None:
    """BLD-050, BLD-116, BLD-118, BLD-119: each told where it is wrong.

    marking:
      a: {film: tint, on: hatch}
    #           ^^^^ BLD-050 panes
      b: {film: strips, on: hatch}
    #           ^^^^^^ BLD-011 Closest: stripes.
      c: {film: stripes, on: [hatsch]}
    #                         ^^^^^^ BLD-116 Closest: hatch.
      d: {film: stripes}
    # 3: BLD-119 Write on:
      e: {film: stripes, band: 6 in}
    #                    ^^^^ BLD-119 from: and to:
      f: {film: stripes, band: 6 in, from: bumper, to: tail, slope: 45 deg}
    #                                                        ^^^^^ BLD-119 two markings
      g: {film: stripes, slope: 45 deg, on: hatch}
    #                    ^^^^^ BLD-119 width
      h: {film: stripes, from: bumper, on: hatch}
    #                    ^^^^ BLD-119 band
      i: {film: stripes, share: 150 %, width: -6 in, on: hatch}
    #                           ^^^^^ BLD-118
    #                                         ^^^^^ BLD-118
      j: {film: fan, on: hatch}
    #           ^^^ BLD-050 Write it under equipment.
    """
    check_case(case)


def test_panes_with_a_film_and_a_new_one(catalogue: Catalogue) -> None:
    """Case: of a pair one or both; a film, another pane, or both of them; who brings it."""
    glass = """\
glass:
  windshield: {film: tint, by: customer, note: the band only}
  side: {film: tint, side: left}
  rear: {pane: clear-rear, film: tint}"""
    found = model_of(catalogue, glass=glass)
    front, side, rear = found.glass

    assert (front.name, front.side, front.film, front.part, front.by) == ("windshield", "", "tint", "", "customer")
    assert (front.note, front.path) == ("the band only", "glass.windshield")
    assert (side.name, side.side, side.by) == ("side", "left", "shop")
    assert (rear.film, rear.part) == ("tint", "clear-rear")
    assert {"tint", "clear-rear"} <= {name for name, _ in found.parts}


def test_panes_that_can_not_be(case: Case) -> None:
    """BLD-011, BLD-050, BLD-184 to 187: each told where it is wrong.

    glass:
      windshild: {film: tint}
    # ^^^^^^^^^ BLD-184 Closest: windshield.
      rear-glass: {film: tint}
    # ^^^^^^^^^^ BLD-184 Write rear.
      side: {film: tind, pane: fan}
    #              ^^^^ BLD-011 Closest: tint.
    #                          ^^^ BLD-050 Write it under equipment.
      rear: {note: as it came, side: left}
    # ^^^^ BLD-185 film: or pane:
    #                                ^^^^ BLD-186 Leave side away.
      windshield: {pane: clear-rear, film: stripes}
    #                    ^^^^^^^^^^ BLD-187 rear
    #                                      ^^^^^^^ BLD-050 marking
    """
    check_case(case)


def test_more_panes_that_can_not_be(case: Case) -> None:
    """BLD-184 to 187 again, by other ways to them.

    glass:
      hatch: {film: tint}
    # ^^^^^ BLD-184 rear
      side: {by: customer, side: right}
    # ^^^^ BLD-185 Nothing is done to side.
      windshield: {film: tint, side: right}
    #                                ^^^^^ BLD-186 Leave side away.
      rear: {pane: tint}
    #              ^^^^ BLD-050 a pane belongs here
    """
    check_case(case)


def test_a_pane_for_another_opening(case: Case) -> None:
    """BLD-187, on a pair.

    glass:
      side: {pane: clear-rear, side: left}
    #              ^^^^^^^^^^ BLD-187 cut for rear
    """
    check_case(case)


def test_what_of_a_body_can_be_marked(catalogue: Catalogue) -> None:
    """Case: panels and what they show open, places, and what several places begin with."""
    body = catalogue.get("small-van")
    assert isinstance(body, BodyPart)

    assert {"hatch", "hatch-inside", "tail", "roof", "roof-rear", "bumper"} <= faces_of(body)
    assert "" not in faces_of(body)


def test_what_one_place_alone_begins_with_is_no_face() -> None:
    """Case: a film goes on no "steering" just because there is a steering-wheel."""
    body = load_catalogue().get("crew-cab-pickup-with-cap")
    assert isinstance(body, BodyPart)

    assert {"steering-wheel", "stop-high", "bumper"} <= faces_of(body)
    assert {"steering", "stop"}.isdisjoint(faces_of(body))


def test_a_trailer(catalogue: Catalogue) -> None:
    """Case: in SI; a signal may come from it."""
    trailer = "trailer:\n  cart: {tongue: 180 lb, weight: 1400 lb, lamps: vehicle.seven-way, present: always}"
    found = model_of(catalogue, trailer=trailer).trailers[0]

    assert (found.tongue_kg, found.weight_kg) == (pytest.approx(81.6466), pytest.approx(635.029))
    assert (found.lamps, found.always, found.path) == ("vehicle.seven-way", True, "trailer.cart")


def test_trailers_that_can_not_be(case: Case) -> None:
    """BLD-057, BLD-118: no such socket, more on the hitch than it weighs. BLD-120: a body without a hitch.

    trailer:
      a: {tongue: 40 kg, weight: 400 kg, lamps: vehicle.seven-wey}
    # 3: BLD-120
    #                                                   ^^^^^^^^^ BLD-057 Closest: seven-way.
      b: {tongue: 500 kg, weight: 400 kg, lamps: seven-way}
    # 3: BLD-120
    #             ^^^^^^ BLD-118
    #                                            ^^^^^^^^^ BLD-057 vehicle.seven-way
    """
    check_case(case)


def test_who_brings_it(catalogue: Catalogue) -> None:
    """Case: parts-by says it for all; what says it itself is as it says."""
    equipment = small.BASE["equipment"] + "\n  extra: {part: fan, at: floor, by: shop}"
    lamps = small.BASE["lamps"] + "\n  more: {part: short-red, at: grille.left, by: reused, note: from the old van}"
    model = model_of(catalogue, parts_by="parts-by: customer", equipment=equipment, lamps=lamps)

    assert model.parts_by == "customer"
    assert {item.name: item.by for item in model.equipment}["extra"] == "shop"
    assert {item.by for item in model.equipment if item.name != "extra"} == {"customer"}
    assert {lamp.name: (lamp.by, lamp.count_n) for lamp in model.lamps}["more"] == ("reused", 1)
    assert {lamp.name: (lamp.by, lamp.count_n) for lamp in model.lamps}["tail"] == ("customer", 2)
    assert model_of(catalogue).parts_by == "shop"


def test_nobody_else_brings_it(case: Case) -> None:
    """BLD-014: three words.

    parts-by: dealer
    #         ^^^^^^ BLD-014 shop, customer, reused
    """
    check_case(case)


def test_a_model_changes_with_what_is_carried(catalogue: Catalogue) -> None:
    """Law: a weight, a bay, a trailer: all in the digest; so is a part that is named there only."""
    texts: list[dict[str, str]] = [
        {"cargo": CARGO},
        {"cargo": CARGO.replace("7 lb", "8 lb")},
        {"console": CONSOLE, "equipment": RADIO},
        {"trailer": "trailer: {cart: {tongue: 40 kg, weight: 400 kg}}"},
        {"marking": "marking: {a: {film: stripes, on: hatch}}"},
    ]
    heavier = small.small_catalogue(chest=small.PARTS["chest"].replace("mass: 20 kg", "mass: 21 kg"))

    digests = {model_of(catalogue, **text).digest for text in texts} | {model_of(heavier, cargo=CARGO).digest}
    assert len(digests) == 6
