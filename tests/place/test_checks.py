"""Can the lamps be fitted so?"""

import math
from collections.abc import Callable

import pytest

from coachwright.build.model import Head, Model
from coachwright.place.checks import place_findings


def pair(head_at: Callable[..., Head], place: str, lamp: str = "a", **changes: object) -> tuple[Head, Head]:
    """A lamp on both sides."""
    both = {"lamp": lamp, "path": f"lamps.{lamp}", **changes}
    return head_at(place, id=f"{lamp}.left", side="left", **both), head_at(
        place, id=f"{lamp}.right", side="right", **both
    )


@pytest.mark.parametrize(
    ("place", "aim_deg", "told"), [("mirror-under", 90, 0), ("fender-corner", 45, 0), ("bumper-front", 90, 1)]
)
def test_a_lamp_turned_into_its_wall_is_told(
    place: str, aim_deg: int, told: int, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """A mirror lets a lamp look to the side, the face of a bumper doesn't: the body says how far, once a pair."""
    findings = place_findings(model_of(*pair(head_at, place, aim_rad=math.radians(aim_deg))))

    assert [each.code for each in findings] == ["PLC-001"] * told
    assert all(each.about == "lamps.a.aim" for each in findings)


def test_a_place_that_holds_no_lamp_is_told(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Behind the bumper there is room for a speaker; the face of the bumper is next to it."""
    (finding,) = place_findings(model_of(*pair(head_at, "bumper-behind")))

    assert finding.code == "PLC-002"
    assert finding.fix is not None
    assert "bumper-front" in finding.fix.sentence


def test_two_lamps_in_one_spot_are_told(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Once, at the later one; a pair isn't in its own way."""
    model = model_of(*pair(head_at, "grille", "a"), *pair(head_at, "grille", "b"), *pair(head_at, "bumper-front", "c"))
    (finding,) = place_findings(model)

    assert (finding.code, finding.about) == ("PLC-003", "lamps.b.at")


def test_heads_of_one_lamp_are_one_lamp(model_of: Callable[..., Model], head_at: Callable[..., Head]) -> None:
    """Eight heads of a bar are bolted on as one; lamps of the vehicle are nobody's choice."""
    bar = [head_at("windshield-top", id=f"v.{n + 1}", part="bar-8-red-white", head_index=n) for n in range(8)]
    beam = head_at("headlamp", lamp="high-beam", side="left", part="", head_index=0, reach="parallel")

    assert place_findings(model_of(*bar, beam)) == ()
