"""The rose: candela by bearing, to scale."""

import math
import re
import xml.etree.ElementTree as ET

import pytest

from coachwright.draw.rose import LimitRing, RoseCurve, decades_n, rose_plate, roses
from coachwright.draw.sheet import plate_svg
from tests.draw.made import job_model
from tests.draw.pages import SVG, by_id, overlapping, text_boxes

BEARINGS = tuple(math.radians(degrees) for degrees in range(0, 360, 5))


def curve(*, colour: str = "red", level: float = 100.0) -> RoseCurve:
    return RoseCurve("effective intensity", colour, BEARINGS, tuple(level for _ in BEARINGS))  # type: ignore[arg-type]


def radii(svg: str) -> list[tuple[float, float]]:
    """Bearing and distance of each point of the curve from the middle of the vehicle's ring."""
    rings = [each for each in ET.fromstring(svg).iter(f"{SVG}circle") if each.get("fill") == "none"]
    x0, y0 = float(rings[0].get("cx", "")), float(rings[0].get("cy", ""))
    numbers = [float(number) for number in re.findall(r"-?[0-9.]+", by_id(svg, "curve").get("d", ""))]
    points = zip(numbers[::2], numbers[1::2], strict=True)
    return [(math.atan2(x - x0, -(y - y0)) % math.tau, math.hypot(x - x0, y - y0)) for x, y in points]


def test_a_decade_is_as_far_everywhere() -> None:
    """Logarithmic scale: 10, 100 and 1,000 cd lie at equal steps."""
    far = [
        radii(plate_svg(rose_plate(curve(level=level), size_mm=84, most_cd=10_000)))[0][1] for level in (10, 100, 1000)
    ]

    assert far[1] - far[0] == pytest.approx(far[2] - far[1], abs=0.003)


def test_bearings_run_clockwise_from_the_nose() -> None:
    """Convention of the trade's zone method: 0 ahead, 90 deg to the right; ahead is up on paper."""
    for (got, _), want in zip(radii(plate_svg(rose_plate(curve(), size_mm=84, most_cd=1000))), BEARINGS, strict=True):
        assert abs((got - want + math.pi) % math.tau - math.pi) < 0.002


@pytest.mark.parametrize(("most", "decades"), [(0.0, 2), (100, 2), (101, 3), (1000, 3), (36_434, 5)])
def test_the_outermost_ring_is_the_next_decade(most: float, decades: int) -> None:
    """Rings are whole powers of ten over 1 cd."""
    assert decades_n(most) == decades


@pytest.mark.parametrize("most", [50.0, 5_000.0, 90_000.0, 5_000_000.0])
@pytest.mark.parametrize("size", [57.0, 84.0, 120.0])
def test_words_of_a_rose_do_not_lie_on_one_another(most: float, size: float) -> None:
    """Law: at every size and number of rings."""
    boxes = text_boxes(plate_svg(rose_plate(curve(level=most), size_mm=size, most_cd=most, body=job_model().body)))

    assert overlapping(boxes) == []
    assert all(box.left >= -0.1 and box.right <= size + 0.1 for box in boxes)


def test_colour_has_its_word_and_zones_theirs() -> None:
    """Standing rule: word and hatch, never colour alone."""
    svg = plate_svg(
        rose_plate(curve(colour="amber"), size_mm=84, most_cd=1000, limits=(LimitRing("at least 90 cd", 90, ("C",)),))
    )
    said = {box.said for box in text_boxes(svg)}

    assert {"amber", "A front", "B right", "C rear", "D left", "at least 90 cd"} <= said
    assert "url(#hatch-amber)" in svg
    assert len([each for each in ET.fromstring(svg).iter() if each.get("class") == "limit"]) == 1


def test_roses_side_by_side_have_one_scale() -> None:
    """Law: 100 cd is as far out in each of them."""
    both = roses([curve(level=100), RoseCurve("x", "white", BEARINGS, tuple(40_000.0 for _ in BEARINGS))], size_mm=84)
    alone = roses([curve(level=100)], size_mm=84)

    assert radii(plate_svg(both[0]))[0][1] < radii(plate_svg(alone[0]))[0][1]
    assert radii(plate_svg(both[0]))[0][1] == pytest.approx(
        radii(plate_svg(rose_plate(curve(), size_mm=84, most_cd=40_000)))[0][1]
    )


def test_no_light_and_too_few_bearings() -> None:
    """Case: a dark rose says so; a curve of two points is none."""
    assert "no light" in {
        box.said for box in text_boxes(plate_svg(rose_plate(curve(level=0.0), size_mm=84, most_cd=0)))
    }
    with pytest.raises(ValueError, match="three bearings"):
        RoseCurve("x", "red", (0.0, 1.0), (1.0, 1.0))
