"""Large or small, as the zone method parts vehicles."""

from dataclasses import replace
from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.light.size import sizes, vehicle_size
from coachwright.proof.facts import situation_facts

FT, IN = 0.3048, 0.0254


@pytest.fixture(scope="module")
def pickup() -> Model:
    """The duty pickup of the examples: 5.92 m long, its highest lamp well under the roof."""
    model = load_build(Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").model
    assert model is not None
    return model


def long(model: Model, length_m: float, lift_m: float = 0.0) -> Model:
    """The same with another length, every place lifted."""
    places = {name: place.model_copy(update={"z": place.z + lift_m}) for name, place in model.body.places.items()}
    return replace(model, digest="", body=model.body.model_copy(update={"length": length_m, "places": places}))


def test_figures_agree_with_the_abstract_of_sae_j2498_201611() -> None:
    """25 ft from bumper to bumper, 96 in to an optical centre (SAE J2498, November 2016, abstract); read."""
    assert sizes().from_length_m == pytest.approx(25 * FT)
    assert sizes().above_m == pytest.approx(96 * IN)
    assert sizes().cite.status == "read"


@pytest.mark.parametrize(("length_m", "size"), [(7.61, "small"), (7.62, "large"), (9.0, "large")])
def test_length_decides_at_25_ft(pickup: Model, length_m: float, size: str) -> None:
    """25 ft and more is large (same abstract); one centimetre less isn't."""
    assert vehicle_size(long(pickup, length_m)) == size


def test_a_lamp_above_96_in_makes_a_short_vehicle_large(pickup: Model) -> None:
    """Law: any optical centre of ours above that height; the pickup's own stay under it."""
    assert vehicle_size(pickup) == "small"
    assert vehicle_size(long(pickup, 5.92, lift_m=1.0)) == "large"


def test_every_measure_of_a_situation_knows_the_size(pickup: Model) -> None:
    """Case: rules ask it as a fact."""
    assert situation_facts(pickup, pickup.situations[0].name)["vehicle-size"] == "small"
