"""Strips of time, to scale."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.draw.sheet import plate_svg
from coachwright.draw.strips import LANE_MM, StripRow, lanes_of, span_ms, strips
from coachwright.kit.wave import Wave
from tests.draw.pages import SVG, overlapping, text_boxes

DOUBLE = Wave.of([(70, 1.0), (60, 0.0), (70, 1.0), (300, 0.0)])


def lit(svg: str) -> list[tuple[float, float, float, str]]:
    """Start, width, height and class of every lit field. [mm]"""
    return [
        (float(each.get("x", "")), float(each.get("width", "")), float(each.get("height", "")), each.get("class", ""))
        for each in ET.fromstring(svg).iter(f"{SVG}rect")
        if each.get("class", "").startswith("lit")
    ]


def test_fields_begin_and_end_where_the_light_does() -> None:
    """By hand: 70 ms lit, 60 dark, 70 lit, 300 dark, drawn over 1,000 ms: lit at 0, 130, 500 and 630 ms."""
    (plate,) = strips([StripRow("grille.left", (("red", DOUBLE),))], width_mm=172, most_height_mm=200)
    fields = lit(plate_svg(plate))
    per_ms = fields[0][1] / 70

    assert [round((x - fields[0][0]) / per_ms) for x, *_ in fields] == [0, 130, 500, 630]
    assert all(wide == pytest.approx(70 * per_ms, abs=0.002) for _, wide, _, _ in fields)


def test_a_steady_head_is_one_field_and_dimmed_light_is_lower() -> None:
    """No blocks: what burns without end is one rectangle; half the light is half as high."""
    rows = [StripRow("a", (("amber", Wave.constant(1.0)),)), StripRow("b", (("amber", Wave.constant(0.5)),))]
    (plate,) = strips(rows, width_mm=172, most_height_mm=200)
    full, half = lit(plate_svg(plate))

    assert full[1] == half[1]
    assert half[2] == pytest.approx(full[2] / 2, abs=0.001)
    assert full[2] < LANE_MM


def test_colours_that_burn_at_once_lie_under_one_another() -> None:
    """Law: two lanes when they overlap, one when they take turns."""
    other = DOUBLE.shift(250)

    assert len(lanes_of(StripRow("a", (("red", DOUBLE), ("white", other))))) == 1
    assert len(lanes_of(StripRow("a", (("red", DOUBLE), ("white", DOUBLE))))) == 2


@pytest.mark.parametrize(("period", "span"), [(0, 1000), (500, 1000), (300, 1200), (1500, 1500), (60_000, 2000)])
def test_how_much_time_is_drawn(period: int, span: int) -> None:
    """Whole cycles, at least one second, at most two."""
    wave = Wave.constant(1.0) if not period else Wave.of([(100, 1.0), (period - 100, 0.0)])

    assert span_ms([StripRow("a", (("red", wave),))]) == span


@given(st.integers(min_value=1, max_value=150), st.integers(min_value=40, max_value=250))
def test_every_head_has_a_row_and_no_picture_is_too_high(rows_n: int, most_mm: int) -> None:
    """Law: rows that don't fit go on the next picture; none is lost."""
    rows = [StripRow(f"head-{number}", (("red", DOUBLE),)) for number in range(rows_n)]
    plates = strips(rows, width_mm=172, most_height_mm=most_mm)
    said = [box.said for plate in plates for box in text_boxes(plate_svg(plate)) if box.said.startswith("head-")]

    assert said == [row.head for row in rows]
    assert all(plate.height_mm <= most_mm + 1e-6 for plate in plates)


def test_words_beside_hatches_and_none_on_another() -> None:
    """Standing rule: colour never alone."""
    rows = [StripRow("x" * 300, (("red", DOUBLE), ("amber", DOUBLE), ("white", DOUBLE)))] * 30
    (plate,) = strips(rows, width_mm=172, most_height_mm=900)
    boxes = text_boxes(plate_svg(plate))

    assert overlapping(boxes) == []
    assert {"red", "amber", "0 ms"} <= {box.said for box in boxes}
    assert all(box.right <= 172 for box in boxes)
