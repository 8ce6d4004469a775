"""Batteries of the catalogue, and supplies small enough to work out by hand."""

from collections.abc import Callable

import pytest

from coachwright.parts.schema import BatteryPart, BodyPart
from coachwright.parts.store import load_catalogue
from coachwright.power.alternator import Alternator, alternator_of
from coachwright.power.charge import Battery, battery_of


@pytest.fixture(scope="session")
def battery_part() -> Callable[[str], BatteryPart]:
    """A battery's file."""

    def named(name: str) -> BatteryPart:
        part = load_catalogue().get(name)
        assert isinstance(part, BatteryPart)
        return part

    return named


@pytest.fixture(scope="session")
def flooded(battery_part: Callable[[str], BatteryPart]) -> Battery:
    """70 Ah and 120 min, new, at 25 degC."""
    return battery_of(battery_part("flooded-70"))


@pytest.fixture(scope="session")
def agm(battery_part: Callable[[str], BatteryPart]) -> Battery:
    """95 Ah and 175 min, new, at 25 degC."""
    return battery_of(battery_part("agm-95"))


@pytest.fixture(scope="session")
def tank() -> Battery:
    """A battery as simple as one can be: 12 to 13 V by charge, 10 mohm, no Peukert, 100 Ah at any current, no knee."""
    return Battery(
        name="tank",
        chemistry="flooded",
        capacity_as=360_000.0,
        twenty_hour_a=5.0,
        peukert=1.0,
        resistance_ohm=0.01,
        empty_ohm=0.01,
        rest_share=(0.0, 1.0),
        rest_v=(12.0, 13.0),
        inner_share=(0.0, 1.0),
        inner_v=(12.0, 13.0),
        most_charge_a=50.0,
        charge_share=1.0,
        lost_a=0.0,
        reserve_s=0.0,
        cranking_a=600.0,
    )


@pytest.fixture(scope="session")
def pickup_alternator() -> Alternator:
    """180 A cold, 55 A at idle and 93 degC, 14.2 V at 25 degC and 10 mV/K less above."""
    body = load_catalogue().get("crew-cab-pickup-with-cap")
    assert isinstance(body, BodyPart)
    assert body.charging is not None
    return alternator_of(body.charging)
