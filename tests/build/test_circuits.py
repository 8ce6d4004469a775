"""Circuits of the vehicle that ours can hang on, and their short names."""

from __future__ import annotations

import pytest

from coachwright.build.circuits import check_circuit, circuits_of, is_of_vehicle
from coachwright.build.trouble import Trouble
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import Catalogue


@pytest.fixture
def body(catalogue: Catalogue) -> BodyPart:
    """The small vehicle."""
    found = catalogue.get("small-van")
    assert isinstance(found, BodyPart)
    return found


def test_lamps_and_outputs_are_circuits(body: BodyPart) -> None:
    """Case: by their own name, and without -lamps behind it."""
    circuits = circuits_of(body)

    assert circuits["reverse"] == circuits["reverse-lamps"] == "reverse-lamps"
    assert circuits["horn"] == "horn"
    assert set(circuits.values()) == set(body.lamps)


def test_a_short_name_gives_way(body: BodyPart) -> None:
    """Law: what is called so itself comes before what could be for short."""
    lamps = {**body.lamps, "reverse": body.lamps["horn"]}

    assert circuits_of(body.model_copy(update={"lamps": lamps}))["reverse"] == "reverse"


@pytest.mark.parametrize(
    ("text", "sockets", "told_n"),
    [
        ("vehicle.reverse", False, 0),
        ("vehicle.horn", False, 0),
        ("vehicle.seven-way", True, 0),
        ("vehicle.seven-way", False, 1),
        ("vehicle.brakes", False, 1),
        ("vehicle", False, 1),
    ],
)
def test_what_is_looked_up(body: BodyPart, text: str, sockets: bool, told_n: int) -> None:
    """Case: a socket for a trailer is one for a trailer only."""
    told: list[Trouble] = []
    check_circuit(text, body, ("equipment", "a", "feed"), told, sockets=sockets)

    assert [each.code for each in told] == ["BLD-057"] * told_n
    assert is_of_vehicle(text)


def test_without_a_body_nobody_is_blamed() -> None:
    """Case: its own trouble has been told."""
    told: list[Trouble] = []
    check_circuit("vehicle.brakes", None, ("feeds", "a", "from"), told)

    assert told == []
