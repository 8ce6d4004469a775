"""What is left of each head's light in vehicles drawn by lot."""

from dataclasses import replace
from pathlib import Path

import pytest

from coachwright.build.load import load_build, read_build
from coachwright.build.model import Model
from coachwright.kit.cite import Cite
from coachwright.light.drawn_vehicles import drawn_vehicles, furthest_turn_rad
from coachwright.light.spread import Spread
from coachwright.light.tolerances import Acts, By, Cause, Draw, Tolerances, tolerances
from coachwright.parts.schema import LampPart

ROOT = Path(__file__).resolve().parents[2]


def model_of(name: str = "quillback") -> Model:
    model = load_build(ROOT / "examples" / name / "build.yaml").model
    assert model is not None
    return model


def of(acts_on: Acts, by: By, spread: Spread) -> Tolerances:
    """One cause with one draw."""
    cause = Cause("only", "the only one", Cite("common practice", status="house"), (Draw(acts_on, by, spread),))
    return replace(tolerances(), causes=(cause,))


def always(value: float) -> Spread:
    return Spread("uniform", value, 0.0, value)


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(("volts", "share"), [(0.64, 1.05**3.4), (-1.28, 0.9**3.4)])
def test_a_filament_goes_with_the_power_3_4(volts: float, share: float) -> None:
    """Lamp rerating: intensity (Va / Vd)^3.4 (wikipedia.org, Lamp rerating), here of the vehicle's own high beam."""
    model = model_of()
    place, head = next((p, h) for p, h in enumerate(model.heads) if h.lamp == "high-beam")
    test_v = model.body.lamps[head.lamp].test_voltage
    found = drawn_vehicles(model, of("voltage", "vehicle", always(volts * test_v / 12.8)), 3, seed=1)

    assert found.light[:, place] == pytest.approx(share)


def test_a_part_says_its_own_power() -> None:
    """Case: a part with voltage-exponent 2 gives (13.44 / 12.8)^2, one that says nothing what the data say."""
    model = model_of()
    parts = tuple(
        (name, part.model_copy(update={"voltage_exponent": 2.0}) if isinstance(part, LampPart) else part)
        for name, part in model.parts
    )
    own = next(place for place, head in enumerate(model.heads) if head.reach == "own")
    drawing = of("voltage", "vehicle", always(0.64))

    assert drawn_vehicles(replace(model, parts=parts), drawing, 2, seed=1).light[:, own] == pytest.approx(1.05**2)
    assert drawn_vehicles(model, drawing, 2, seed=1).light[:, own] == pytest.approx(1.05**drawing.fitted_exponent)


def test_under_its_least_voltage_a_lamp_is_dark() -> None:
    """Case: parts of ours hold from 9 V on; at 8.8 V they are out, and nothing becomes negative far below."""
    model = model_of()
    own = [place for place, head in enumerate(model.heads) if head.reach == "own"]
    for volts in (-4.0, -20.0):
        found = drawn_vehicles(model, of("voltage", "vehicle", always(volts)), 2, seed=1)
        assert (found.light[:, own] == 0.0).all()
        assert (found.light >= 0.0).all()


# --------------------------------------------------------------------------------------------------------------- law
def test_nothing_drawn_nothing_changed() -> None:
    """Law: without causes every vehicle is the drawing."""
    found = drawn_vehicles(model_of(), replace(tolerances(), causes=()), 5, seed=1)

    assert (found.light == 1.0).all()
    assert (found.bearing_rad == 0.0).all()
    assert (found.elevation_rad == 0.0).all()


@pytest.mark.parametrize("by", ["vehicle", "lamp", "head"])
def test_what_is_drawn_for_a_lamp_is_the_same_in_its_heads(by: By) -> None:
    """Law: one number for a vehicle, a lamp on one side, or a head, and different ones for different ones."""
    model = model_of()
    found = drawn_vehicles(model, of("light", by, Spread("uniform", 0.1, 0.0, 0.9)), 20, seed=1).light
    names = {
        "vehicle": ["" for _ in model.heads],
        "lamp": [f"{head.lamp}.{head.side}" for head in model.heads],
        "head": [head.id for head in model.heads],
    }[by]
    for place, name in enumerate(names):
        for other, other_name in enumerate(names):
            assert (found[:, place] == found[:, other]).all() == (name == other_name)


def test_one_lamp_more_changes_no_draw_of_the_others() -> None:
    """Law: draws go by names, so a build with a lamp added is the same vehicles with that lamp more."""
    text = (ROOT / "examples/quillback/build.yaml").read_text(encoding="utf-8")
    more = read_build(
        text.replace("lamps:\n", "lamps:\n  added: {part: short-red-white, at: bed-side, pair: mirrored}\n", 1)
    )
    model, known = model_of(), tolerances()
    assert more.model is not None
    few, many = (drawn_vehicles(each, known, 10, seed=3) for each in (model, more.model))
    places = {head.id: place for place, head in enumerate(more.model.heads)}
    for place, head in enumerate(model.heads):
        assert (few.light[:, place] == many.light[:, places[head.id]]).all()
        assert (few.bearing_rad[:, place] == many.bearing_rad[:, places[head.id]]).all()


def test_no_head_is_turned_further_than_is_said() -> None:
    """Law: the furthest turn bounds both ways together."""
    known = tolerances()
    found = drawn_vehicles(model_of(), known, 500, seed=1)

    assert (abs(found.bearing_rad) + abs(found.elevation_rad)).max() <= furthest_turn_rad(known)
    assert abs(found.bearing_rad).max() > 0.0
