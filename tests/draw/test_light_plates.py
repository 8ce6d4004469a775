"""The pictures of light: no text on text, none outside, to scale, mirrored with the vehicle, the same bytes again."""

import math
import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.draw.asked_of_light import crossings_asked, least_rings, packs_of
from coachwright.draw.cone_views import hidden_lamps
from coachwright.draw.crossing import DrawnCrossing, crossing_plate
from coachwright.draw.elevation import ElevationMap, elevation_plate
from coachwright.draw.ground import DrawnGround, ground_plate
from coachwright.draw.light_plates import cone_sheets, elevation_sheets, light_plates, rose_sheets
from coachwright.draw.rose import LimitRing, RoseCurve, rose_plate
from coachwright.draw.sheet import PAPER_MM, Plate, framed, plate_svg, room_mm
from coachwright.draw.work_light_plates import ground_sheets
from coachwright.light.approach import Approach
from coachwright.light.cones import cones
from tests.draw.made import job_model
from tests.draw.pages import by_id, overlapping, text_boxes

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))
BY_NAME = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
SIZES = {"a4": room_mm("a4"), "a3": room_mm("a3"), "book": (264.0, 167.0)}
BEARINGS = tuple(math.radians(2.5 * place) for place in range(144))
ELEVATIONS = tuple(math.radians(5.0 * place) for place in range(-2, 7))


@cache
def example(path: Path) -> Model:
    model = load_build(path).model
    assert model is not None
    return model


def points(d: str) -> list[tuple[float, float]]:
    numbers = [float(each) for each in re.findall(r"-?[0-9.]+", d)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def of_class(plate: Plate, name: str) -> list[ET.Element]:
    return [each for each in ET.fromstring(plate_svg(plate)).iter() if (each.get("class") or "").split(" ")[0] == name]


# ---- every sheet of every example


@BY_NAME
@pytest.mark.parametrize("size", SIZES)
def test_no_text_on_text_and_none_outside(path: Path, size: str) -> None:
    """Law: checked by the letters' widths on every picture but crossings, which have their own test."""
    model, (width, height) = example(path), SIZES[size]
    packs = packs_of(model, path.parent)
    made = [
        plate
        for sheets in (rose_sheets, elevation_sheets, ground_sheets, cone_sheets)
        for plate in sheets(model, packs, width_mm=width, height_mm=height)
    ]

    assert {plate.name.partition("-")[0] for plate in made} >= {"roses", "elevation", "cones"}
    for plate in made:
        boxes = text_boxes(plate_svg(plate))
        assert overlapping(boxes) == [], plate.name
        assert all(box.left >= -0.1 and box.right <= width + 0.1 for box in boxes), plate.name
        assert all(box.top >= -0.1 and box.foot <= height + 0.1 for box in boxes), plate.name


@pytest.mark.slow
@BY_NAME
def test_framed_sheets_are_whole_and_the_same_again(path: Path) -> None:
    """Law: same input, same bytes; nothing stands outside the frame."""
    model = example(path)
    packs = packs_of(model, path.parent)
    width, height = room_mm("a4")
    once, again = (
        framed(model, light_plates(model, packs, width_mm=width, height_mm=height), digest=model.digest, size="a4")
        for _ in range(2)
    )

    assert once == again
    assert any(name.startswith("crossing") for name, _ in once)
    for name, svg in once:
        boxes = text_boxes(svg)
        assert overlapping(boxes) == [], name
        assert all(box.left >= 9.9 and box.right <= PAPER_MM["a4"][0] - 9.9 for box in boxes), name


def test_a_job_without_light_has_no_pictures() -> None:
    """Case: nothing burns, nothing is drawn."""
    model = job_model(situations=())

    assert light_plates(model, (), width_mm=264.0, height_mm=167.0) == ()


# ---- roses


def test_a_brighter_lamp_never_shrinks_the_rose() -> None:
    """Law: twice the light is at least as far out at every bearing, on one scale."""
    values = tuple(50.0 + 400.0 * math.cos(each / 2) ** 2 for each in BEARINGS)

    def far(factor: float) -> list[float]:
        curve = RoseCurve("x", None, BEARINGS, tuple(factor * value for value in values), heading="y")
        svg = plate_svg(rose_plate(curve, size_mm=80.0, most_cd=1000.0))
        return [math.hypot(x - 40.0, y - 51.0) for x, y in points(by_id(svg, "curve").get("d", ""))]

    assert all(more >= less for less, more in zip(far(1.0), far(2.0), strict=True))


def test_what_is_hidden_is_marked_at_its_bearing() -> None:
    """Case: one bearing of a quarter turn to the right; the band lies outside the dial there and nowhere else."""
    hidden = tuple(place == 36 for place in range(144))
    curve = RoseCurve("x", None, BEARINGS, tuple(100.0 for _ in BEARINGS))
    plate = rose_plate(curve, size_mm=80.0, most_cd=1000.0, hidden=hidden)
    (band,) = of_class(plate, "hidden")

    assert all(x > 40.0 + 31.0 and abs(y - 51.0) < 1.0 for x, y in points(band.get("d", "")))
    assert of_class(rose_plate(curve, size_mm=80.0, most_cd=1000.0), "hidden") == []


def test_the_ring_is_the_figure_of_a_rule() -> None:
    """Case: the house asks for 100 cd by day and 20 cd by night (HSE-034, HSE-035)."""
    path = next(each for each in EXAMPLES if each.parent.name == "quillback")
    model, packs = example(path), packs_of(example(path), path.parent)
    by_day = {ring.value_cd: ring.said for ring in least_rings(model, packs, "answering")}

    assert by_day[100.0] == "100 cd, HSE-034"
    assert [(ring.value_cd, ring.said) for ring in least_rings(model, packs, "answering-night")] == [
        (20.0, "20 cd, HSE-035")
    ]
    assert least_rings(model, packs, "patrolling") == ()


# ---- up and down


def bump(bearing_deg: float) -> np.ndarray:
    """A beam level toward one bearing."""
    off = (np.degrees(np.array(BEARINGS)) - bearing_deg + 180.0) % 360.0 - 180.0
    return np.asarray(
        500.0 * np.exp(-((off / 20.0) ** 2)) * np.exp(-((np.degrees(np.array(ELEVATIONS)) / 6) ** 2))[:, None]
    )


def test_a_map_is_mirrored_with_its_light() -> None:
    """Law: light to the left instead of to the right gives the same lines on the other side of the nose."""
    width = 133.0
    right, left = (
        elevation_plate(ElevationMap("x", BEARINGS, ELEVATIONS, bump(way)), width_mm=width, height_mm=52.0)
        for way in (60.0, -60.0)
    )
    middle = 13.0 + (width - 13.0 - 6.0) / 2
    for one, other in zip(of_class(right, "level"), of_class(left, "level"), strict=True):
        here = {(round(2 * middle - x, 2), round(y, 2)) for x, y in points(one.get("d", ""))}
        there = {(round(x, 2), round(y, 2)) for x, y in points(other.get("d", ""))}
        assert all(min(math.dist(each, spot) for spot in there) < 0.02 for each in here)


def test_a_map_has_its_numbers_zones_and_limit() -> None:
    """Case."""
    shown = ElevationMap("answering", BEARINGS, ELEVATIONS, bump(0.0))
    plate = elevation_plate(shown, width_mm=190.0, height_mm=60.0, limits=(LimitRing("100 cd", 100.0),))
    said = {box.said for box in text_boxes(plate_svg(plate))}

    assert {"A front", "B right", "C rear", "D left", "level", "5 deg up", "5 deg down", "300"} <= said
    assert "most 500 cd toward 0 deg, level" in said
    assert len(of_class(plate, "limit")) == 1


# ---- the ground


def lit(y_m: tuple[float, ...], x_m: tuple[float, ...], *, left: bool) -> np.ndarray:
    grid_x, grid_y = np.meshgrid(x_m, y_m)
    side = 1.0 if left else -1.0
    return np.asarray(80.0 * np.exp(-(((grid_y - side * 2.5) / 1.5) ** 2) - ((grid_x + 2.0) / 2.0) ** 2))


def test_the_ground_is_to_scale_and_mirrored() -> None:
    """Law: a step is a step of the scale; light on the left is below the vehicle, the nose being to the left."""
    body = job_model().body
    x_m = tuple(-8.0 + 0.5 * place for place in range(25))
    y_m = tuple(-6.0 + 0.5 * place for place in range(25))
    plates = [
        ground_plate(DrawnGround("x", x_m, y_m, lit(y_m, x_m, left=left)), body, width_mm=200.0, height_mm=190.0)
        for left in (True, False)
    ]
    mm_per_m = 1000.0 / plates[0].scale_n
    middle_mm = 8.0 + 6.0 * mm_per_m
    for one, other in zip(*(of_class(plate, "level") for plate in plates), strict=True):
        here, there = points(one.get("d", "")), points(other.get("d", ""))
        assert np.mean([y for _, y in here]) > middle_mm > np.mean([y for _, y in there])
        assert sorted(round(2 * middle_mm - y, 2) for _, y in here) == pytest.approx(
            sorted(round(y, 2) for _, y in there), abs=0.02
        )


# ---- cones


def test_cones_of_a_pair_are_mirrored_and_hidden_alike() -> None:
    """Law, on the examples: every lamp of a mirrored pair has its twin's fan on the other side."""
    path = next(each for each in EXAMPLES if each.parent.name == "service-patrol")
    fans = {each.head: each for each in cones(example(path), frozenset({"rear-door.left", "rear-door.right"}), "level")}
    left = fans["quarter.left"] if "quarter.left" in fans else fans["quarter.left.1"]
    right = fans[left.head.replace("left", "right")]

    assert left.position_m[1] == pytest.approx(-right.position_m[1])
    assert [bool(name) for name in left.hidden_by] == [bool(name) for name in reversed(right.hidden_by)]
    found = {each.lamp: each for each in hidden_lamps(fans.values())}
    assert found["quarter.left"].by == ("rear door left",)
    assert found["quarter.left"].share == found["quarter.right"].share
    assert 0.5 < found["quarter.left"].share < 1.0


def test_light_to_work_by_ends_where_it_lands() -> None:
    """Case: the tray lamps of quillback are not told as hidden; their cones end on the table, no bar is drawn."""
    path = next(each for each in EXAMPLES if each.parent.name == "quillback")
    model = example(path)
    _, opened = cone_sheets(model, (), width_mm=392.0, height_mm=239.0)
    said = [box.said for box in text_boxes(plate_svg(opened))]

    assert "Light to work by, and where it lands" in said
    assert said.index("tray.left") > said.index("Light to work by, and where it lands")
    assert "on tray" in said
    assert of_class(opened, "bars") == []


def test_work_light_for_a_table_is_drawn_on_it_to_scale() -> None:
    """Case: quillback has no map of dark ground; its table is 1.12 m square, its lamps are named at the front."""
    path = next(each for each in EXAMPLES if each.parent.name == "quillback")
    (plate,) = ground_sheets(example(path), (), width_mm=392.0, height_mm=239.0)
    said = {box.said for box in text_boxes(plate_svg(plate))}
    frames = [each for each in ET.fromstring(plate_svg(plate)).iter() if each.get("stroke-width") == "0.3"]
    squares = [each for each in frames if each.get("class") != "lamp" and each.tag.endswith("rect")]

    assert plate.name == "table"
    assert {"tray.left", "tray.right", "20 cm", "Light on the tray, on-scene-night"} <= said
    assert [float(each.get(side, "")) for each in squares for side in ("width", "height")] == pytest.approx(
        [1120.0 / plate.scale_n] * 4, abs=1e-3
    )


# ---- crossings


def crossing(**changes: float | int | None) -> DrawnCrossing:
    given = {"own_m_s": 13.4, "cross_m_s": 13.4, "side": 1, "from_cross_m": 12.0, "from_own_m": 10.0} | changes
    approach = Approach(**given)  # type: ignore[arg-type]
    return DrawnCrossing("Crossing", "Found.", approach, 1.08, 4.0, ("a", "b"), (("1", "2"),))


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("from_own_m", "line"), [(10.0, "sight-cut"), (80.0, "sight-free")])
@pytest.mark.parametrize("size", SIZES)
def test_a_crossing_shows_whether_the_line_is_cut(side: int, from_own_m: float, line: str, size: str) -> None:
    """By hand: 12/64 + 10/64 < 1 is cut, 12/64 + 80/64 >= 1 is free (p/own + q/cross of the sight line)."""
    width, height = SIZES[size]
    body = job_model().body
    plate = crossing_plate(
        crossing(side=side, from_own_m=from_own_m), body, [(0.0, 0.0, 1.0)], width_mm=width, height_mm=height
    )
    svg = plate_svg(plate)
    boxes = text_boxes(svg)

    assert by_id(svg, line) is not None
    assert overlapping(boxes) == []
    assert all(box.left >= -0.1 and box.right <= width + 0.1 and box.top >= -0.1 for box in boxes)


def test_ways_of_a_crossing_are_to_scale() -> None:
    """By hand: 0.278 V t + 0.039 V2 / a at 30 mph is 61.0 m, with 4 m short 64 m or so; the line is that long."""
    plate = crossing_plate(crossing(), job_model().body, [(0.0, 0.0, 1.0)], width_mm=392.0, height_mm=239.0)
    line = by_id(plate_svg(plate), "cross-way")
    long_m = abs(float(line.get("y1", "")) - float(line.get("y2", ""))) * plate.scale_n / 1000.0
    stop_m = 0.278 * 48.24 * 2.5 + 0.039 * 48.24**2 / 3.4

    assert long_m == pytest.approx(stop_m + 4.0, abs=0.3)


@pytest.mark.slow
def test_a_job_s_own_crossings_are_asked_once_each() -> None:
    """Case: quillback names two; the volunteer's car none, and gets those of its rules."""
    for path in EXAMPLES:
        asked = crossings_asked(example(path), packs_of(example(path), path.parent))
        names = [each.measure.facts["crossing"] for each in asked]
        assert sorted(names) == (
            ["cannery-street", "county-road"] if path.parent.name == "quillback" else ["house"] * 2
        )
