"""Single calculations of the road, as somebody types them: printed cases through the door."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


@pytest.mark.parametrize(
    ("texts", "distance", "design", "unit"),
    [
        (["speed=50 mph"], 423.7, 425, "ft"),
        (["speed=80 km/h"], 129.0, 130, "m"),
        (["speed=80 km/h", "grade=-6 %"], 143.5, 145, "m"),
        (["speed=60 mph", "grade=-0.06"], 637.4, 640, "ft"),
        (["speed=60 mph", "system=us"], 566.0, 570, "ft"),
    ],
)
def test_stopping_distance_agrees_with_the_road_design_formula(
    texts: list[str], distance: float, design: float, unit: str
) -> None:
    """Texas DOT manual 4.11.1 (feet); AASHTO table 3-1 and its form for grades (from memory)."""
    done = reckon("stopping-distance", texts)
    results = done.as_json()["results"]

    assert results["distance"]["value"] == pytest.approx(distance, abs=0.06)
    assert results["design_distance"]["value"] == pytest.approx(design)
    assert {results[key]["unit"] for key in ("distance", "design_distance")} == {unit}


def test_the_system_said_beats_the_unit_written() -> None:
    """Law: mph by the metric formula comes out in metres, a percent from the other."""
    metric = reckon("stopping-distance", ["speed=50 mph", "system=metric"])
    us = reckon("stopping-distance", ["speed=50 mph"])

    assert metric.as_json()["results"]["distance"]["unit"] == "m"
    assert float(str(metric.value("distance"))) / 0.3048 == pytest.approx(float(str(us.value("distance"))), rel=0.015)


def test_time_to_stand_is_reaction_and_braking() -> None:
    """2.5 s + 60 km/h / 3.4 m/s2 = 7.40 s (AASHTO inputs, by hand)."""
    assert reckon("stopping-distance", ["speed=60 km/h"]).value("time") == pytest.approx(7.40, abs=5e-3)


def test_crossing_agrees_with_hand_calculation() -> None:
    """60 against 50 km/h: 83.0 m, 102.8 m, 132 m, 38.9 deg; the corner at 20 and 15 m hides (AASHTO inputs)."""
    done = reckon(
        "crossing", ["own_speed=50 km/h", "cross_speed=60 km/h", "corner_from_cross=20 m", "corner_from_own=15 m"]
    )

    assert done.value("own_distance") == pytest.approx(102.8, abs=0.05)
    assert done.value("cross_distance") == pytest.approx(83.0, abs=0.05)
    assert done.value("range") == pytest.approx(132, abs=0.5)
    assert done.value("bearing") == pytest.approx(38.9, abs=0.05)
    assert done.as_json()["results"]["in_sight"] == {"value": "no", "unit": "yes/no"}
    assert "siren" in done.notes[0]


def test_without_a_corner_sight_isnt_judged() -> None:
    """Law: silence is not a pass: no corner, no answer, and a note; half a corner is refused."""
    speeds = ["own_speed=50 km/h", "cross_speed=60 km/h"]

    done = reckon("crossing", speeds)

    assert "in_sight" not in done.as_json()["results"]
    assert "isn't judged" in done.notes[0]
    with pytest.raises(InputRefused, match="or neither"):
        reckon("crossing", [*speeds, "corner_from_own=15 m"])


@pytest.mark.parametrize(("mph", "design_ft"), [(25, 280), (35, 390), (45, 500)])
def test_gap_distance_agrees_with_the_intersection_table(mph: int, design_ft: float) -> None:
    """A car turning left, 7.5 s (Texas DOT manual 13.5.2; Highway Engineering Handbook table 2.3A)."""
    done = reckon("gap-distance", [f"speed={mph} mph", "gap=7.5 s"])

    assert done.value("design_distance") == pytest.approx(design_ft)
    assert done.as_json()["results"]["distance"]["unit"] == "ft"


def test_a_gap_in_metres_is_worked_by_hand() -> None:
    """0.278 x 50 km/h x 6.5 s = 90.35 m, up to 95 m (metric form of Texas DOT manual 13.5.2, from memory)."""
    done = reckon("gap-distance", ["speed=50 km/h", "gap=6.5"])

    assert done.value("distance") == pytest.approx(90.35)
    assert done.value("design_distance") == pytest.approx(95.0)
