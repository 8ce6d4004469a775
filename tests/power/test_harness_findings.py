"""What is wrong with a harness? Each finding brought about, with the place it names."""

import dataclasses

import pytest

from coachwright.build.model import Fixed, Model
from coachwright.kit.finding import Finding
from coachwright.parts.schema import KeepOut
from coachwright.power.harness import harness_of
from coachwright.power.harness_findings import findings_harness, open_length_m
from coachwright.power.measures_harness import ground_through_hinge, hinge_loop
from coachwright.power.route import net_of
from coachwright.power.shelf import our_shelf, wire_of_gauge
from tests.power.nets import EXAMPLES, changed, example, with_body, with_way


def of(code: str, findings: tuple[Finding, ...]) -> list[Finding]:
    return [each for each in findings if each.code == code]


def only(code: str, model: Model) -> Finding:
    (found,) = of(code, findings_harness(model))
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_have_nothing_that_stops_them(name: str) -> None:
    """Case: what the body can't say, and ways beside fuel, are notes; nothing else is told."""
    assert {each.severity for each in findings_harness(example(name))} <= {"note"}


def test_a_lamp_without_a_joint_is_told_with_its_place() -> None:
    """Case: PWR-020 where the place of the grille lamps has lost its joint: both sides, each part of the wire once."""
    model = example("quillback")
    place = model.body.places["grille"].model_copy(update={"joint": ""})
    found = of("PWR-020", findings_harness(with_body(model, places={**model.body.places, "grille": place})))

    assert [(each.about, each.values["place"]) for each in found] == [
        ("lamps.grille", "grille.left"),
        ("lamps.grille", "grille.right"),
    ]
    assert found[0].values["why"] == "No way for wire leads to grille.left."
    assert found[0].severity == "error"


def test_a_lamp_on_an_island_is_told_with_both_ends() -> None:
    """Case: PWR-020 where the way through the fire wall is gone; the return still finds its stud and isn't told."""
    model = example("quillback")
    ways = {name: each for name, each in model.body.ways.items() if name != "firewall"}
    found = of("PWR-020", findings_harness(with_body(model, ways=ways)))
    front = [each for each in found if each.about == "lamps.grille"]

    assert {str(each.values["why"]) for each in front} == {
        "No way that is allowed leads from under-rear-seat to grille.left.",
        "No way that is allowed leads from under-rear-seat to grille.right.",
    }


def test_what_the_body_does_not_say_is_a_note() -> None:
    """Case: PWR-021 for the horn the build interrupts."""
    found = of("PWR-021", findings_harness(example("volunteer-car")))

    assert [(each.about, each.severity) for each in found] == [("vehicle-lamps.horn", "note")]


def test_the_only_way_through_a_curtain_is_told_with_the_way() -> None:
    """Case: PWR-022 under the roof of the cap, where one rail on each side is all there is."""
    model = example("quillback")
    near = model.body.joints["cap-middle"]
    box = KeepOut.model_validate(
        {
            "kind": "curtain", "what": "a curtain", "mirrored": True,
            "from-x": near.x - 0.3, "to-x": near.x + 0.3,
            "from-y": 0.5, "to-y": 0.9, "from-z": 1.7, "to-z": 2.0,
        }
    )  # fmt: skip
    found = of("PWR-022", findings_harness(with_body(model, keep_outs={"curtain": box})))

    wires = {each.values["way"]: str(each.values["wires"]) for each in found}

    assert {"cap-rail.left", "cap-rail.right"} <= set(wires)
    assert wires["cap-rail.right"] == "lamps.cap-side.right"
    assert found[0].fix is not None
    assert "guide for body builders" in found[0].fix.sentence


def test_a_way_beside_the_filler_neck_is_a_note() -> None:
    """Case: PWR-023 in the bed of the pickup."""
    found = of("PWR-023", findings_harness(example("quillback")))

    assert {each.values["way"] for each in found} == {"bed.left", "cap-riser.left", "tray"}
    assert {each.severity for each in found} == {"note"}


def test_a_slip_of_the_decimal_point_is_told() -> None:
    """Case: PWR-024 where the loop over the tailgate is 60 m instead of 0.6 m: four wires and two data lines."""
    found = of("PWR-024", findings_harness(with_way(example("quillback"), "tailgate-loop", length=60.0)))

    assert len(found) == 6
    assert "tailgate-loop" in str(found[0].values["ways"])
    assert found[0].limit is not None
    assert found[0].limit.value < 60


def test_a_hole_that_is_too_small_is_told_with_what_goes_through() -> None:
    """Case: PWR-025 where the fire wall has a hole of 20 mm."""
    found = only("PWR-025", with_way(example("quillback"), "firewall", bore=0.02))

    assert found.values["way"] == "firewall"
    assert found.margin is not None
    assert found.margin.value < 0
    assert " more" in str(found.values["told"])


def test_a_hole_that_is_over_full_is_a_warning() -> None:
    """Case: PWR-026 where the bundle just goes through a hole it fills by more than 40 %."""
    model = example("quillback")
    (bundle,) = [each for each in harness_of(model).bundles if each.segment.name == "firewall"]
    found = only("PWR-026", with_way(model, "firewall", bore=bundle.diameter_m * 1.01))

    assert (found.severity, found.values["way"]) == ("warning", "firewall")
    assert found.value is not None
    assert found.value.value > 0.40


def test_a_loop_that_is_too_short_is_told() -> None:
    """Case: PWR-027 where the wire to the tray has 1 m, and the tray slides out by 1.1 m."""
    model = with_way(example("quillback"), "tray", length=1.0)
    found = only("PWR-027", model)

    assert (found.values["way"], found.values["panel"]) == ("tray", "command-tray")
    assert found.limit is not None
    assert found.limit.value > 1.1
    loops = {each.about: each.value for each in hinge_loop(model)}
    assert (loops["lamps.tray"], loops["lamps.mirror"]) == (False, True)


def test_thick_wires_to_a_hatch_have_no_connector() -> None:
    """Case: PWR-028 for 10 AWG on the hatch, at the hinge and at the lamp."""
    model = example("quillback")
    wire = wire_of_gauge("10 AWG", our_shelf())
    assert wire is not None
    harness = harness_of(model, sizes={"lamps.hatch-under.left": wire})

    places = [each.values["at"] for each in of("PWR-028", findings_harness(model, harness))]
    assert places == ["hatch-loop", "lamps.hatch-under.left"]


def test_a_gauge_nobody_has_is_told_where_it_is_fixed() -> None:
    """Case: PWR-029 for 13 AWG."""
    odd = Fixed("equipment.radio-1", "gauge", "13 AWG", "fixed.radio-1.gauge")

    assert only("PWR-029", changed(example("quillback"), fixed=(odd,))).about == "fixed.radio-1.gauge"


def test_a_wire_longer_than_its_reel_is_told() -> None:
    """Case: PWR-030 where reels hold 8 m: the two wires to the hatch, out only, and their data lines."""
    model = example("quillback")
    wires = tuple(each.model_copy(update={"reel": 8.4}) for each in our_shelf().wires)
    harness = harness_of(model, shelf=dataclasses.replace(our_shelf(), wires=wires))
    found = of("PWR-030", findings_harness(model, harness))

    assert {each.about for each in found} == {"lamps.hatch-under"}
    assert len(found) == 4


def test_a_jacket_for_60_degc_under_the_hood_is_told() -> None:
    """Case: PWR-031 with the hottest way named."""
    model = example("quillback")
    wire = wire_of_gauge("16 AWG", our_shelf())
    assert wire is not None
    soft = wire.model_copy(update={"insulation": 60.0})
    harness = harness_of(model, sizes={"lamps.grille.left": soft})
    found = of("PWR-031", findings_harness(model, harness))

    assert [each.values["run"] for each in found] == ["lamps.grille.left supply", "lamps.grille.left return"]
    assert found[0].values["ambient"] == pytest.approx(93.0, abs=0.5)


def test_ends_of_a_way_come_apart_as_the_panel_moves() -> None:
    """Case: the tray slides 1.1 m back from (-3.64, 0.52, 0.90); its other end is at (-3.07, 0.70, 0.86)."""
    model = example("quillback")
    tray = next(segment for _, segment in net_of(model.body).ways["tray"])

    assert open_length_m(model.body, tray) == pytest.approx((1.67**2 + 0.18**2 + 0.04**2) ** 0.5, abs=1e-6)


def test_nothing_goes_home_through_a_hinge() -> None:
    """Case: everything a panel carries has its return over the hinge; without points and battery it is told."""
    model = example("quillback")
    asked = {each.about: each for each in ground_through_hinge(model)}
    flat = {name: each.model_copy(update={"ground": 0.0}) for name, each in model.body.joints.items()}
    lost = {each.about: each.value for each in ground_through_hinge(with_body(model, joints=flat, battery=None))}

    assert {"lamps.mirror", "lamps.hatch-under", "lamps.tray", "equipment.tablet"} <= set(asked)
    assert {each.value for each in asked.values()} == {False}
    assert asked["lamps.mirror"].facts["panel"] == "front-door"
    assert lost["lamps.mirror"] is True
