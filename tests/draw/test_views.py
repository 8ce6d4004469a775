"""Views: scale, places, words that don't lie on words."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import pytest

from coachwright.build.model import Model
from coachwright.draw.balloons import named_lamps
from coachwright.draw.lamp_table import lamp_rows
from coachwright.draw.lamps import drawn_heads, seen_in
from coachwright.draw.project import VIEWS, Bounds, Frame
from coachwright.draw.sheet import MARGIN_MM, PAPER_MM, PaperSize
from coachwright.draw.views import plates, sheets
from coachwright.place.poses import moved_pose
from tests.draw.made import LAMPS, job_model
from tests.draw.pages import SVG, by_id, overlapping, text_boxes

SIZES: tuple[PaperSize, ...] = ("a4", "a3", "ansi-a", "ansi-b")
_NUMBERS = re.compile(r"-?[0-9.]+")


@pytest.fixture(scope="module")
def model() -> Model:
    return job_model()


@pytest.mark.parametrize("size", SIZES)
def test_nothing_lies_on_anything_or_outside_the_frame(model: Model, size: PaperSize) -> None:
    """Law, with the typeface's own widths: on every sheet and every size of paper."""
    width, height = PAPER_MM[size]
    for name, svg in sheets(model, digest="3f1c0b7a5d2e", size=size):
        boxes = text_boxes(svg)
        assert len(boxes) > 20, name
        assert overlapping(boxes) == [], name
        assert all(box.left >= MARGIN_MM and box.right <= width - MARGIN_MM for box in boxes), name
        assert all(box.top >= MARGIN_MM and box.foot <= height - MARGIN_MM for box in boxes), name


@pytest.mark.parametrize("size", SIZES)
def test_wheelbase_measures_what_the_body_says(model: Model, size: PaperSize) -> None:
    """The body's wheelbase is 3,680 mm: so long over the scale is the dimension line, on both sides."""
    for name, svg in sheets(model, digest="d", size=size):
        if name in ("left", "right"):
            line = by_id(svg, "wheelbase")
            scale_n = next(int(box.said.removeprefix("1 : ")) for box in text_boxes(svg) if box.said.startswith("1 : "))
            drawn_mm = abs(float(line.get("x2", "")) - float(line.get("x1", "")))
            assert drawn_mm == pytest.approx(3680 / scale_n, abs=0.002)
            metre = by_id(svg, "scale-metre")
            assert float(metre.get("width", "")) == pytest.approx(1000 / scale_n, abs=0.001)


def test_axles_are_where_the_tyres_are(model: Model) -> None:
    """Case: the dimension line begins and ends under the middles of the tyres that the outlines draw."""
    plate = next(each for each in plates(model, width_mm=270, height_mm=160) if each.name == "left")
    svg = dict(sheets(model, digest="d", size="a4"))["left"]
    tyres = [_middle(each) for each in ET.fromstring(svg).iter(f"{SVG}path") if each.get("class") == "wheel"]
    line = by_id(svg, "wheelbase")
    wide = sorted(float(line.get(end, "")) for end in ("x1", "x2"))

    assert plate.scale_n > 0
    for x in wide:
        assert min(abs(tyre - x) for tyre in tyres) < 0.05


def test_lamps_stand_at_their_places(model: Model) -> None:
    """Law: from one lamp to the next it is as far on paper as on the vehicle, over the scale, in every view."""
    for size in ("a4", "a3"):
        for name, svg in sheets(model, digest="d", size=size):
            view = next(each for each in VIEWS if each.name == name)
            scale_n = next(int(box.said.removeprefix("1 : ")) for box in text_boxes(svg) if box.said.startswith("1 : "))
            fields = _fields(svg)
            faces = {each.head.id: each for each in seen_in(drawn_heads(model), view)}
            heads = [
                faces[head]
                for head in ("grille.left", "grille.right", "push.left", "tail.left", "rear-push.right")
                if head in faces
            ]
            for one, other in pairwise(heads):
                want = [
                    sum(
                        axis[i] * (b - a)
                        for i, (a, b) in enumerate(
                            zip(
                                moved_pose(one.head, model).position_m,
                                moved_pose(other.head, model).position_m,
                                strict=True,
                            )
                        )
                    )
                    for axis in (view.across, view.up)
                ]
                got = [b - a for a, b in zip(fields[one.head.id], fields[other.head.id], strict=True)]
                same_way = one.pose.forward == pytest.approx(other.pose.forward)
                if same_way:
                    assert got[0] * scale_n / 1000 == pytest.approx(want[0], abs=0.003)
                    assert -got[1] * scale_n / 1000 == pytest.approx(want[1], abs=0.003)


def test_lamps_are_drawn_at_their_true_size(model: Model) -> None:
    """The short lamp is 132 mm wide, 38 mm high (its part file); seen from the front, straight ahead."""
    svg = dict(sheets(model, digest="d", size="a3"))["front"]
    scale_n = next(int(box.said.removeprefix("1 : ")) for box in text_boxes(svg) if box.said.startswith("1 : "))
    points = _points(svg, "grille.left")
    wide, high = (max(p[i] for p in points) - min(p[i] for p in points) for i in (0, 1))

    assert wide * scale_n == pytest.approx(132, abs=0.1)
    assert high * scale_n == pytest.approx(38, abs=0.1)


def test_every_head_is_on_the_plan_and_every_colour_has_its_word(model: Model) -> None:
    """Standing rule: colour never alone. The plan shows every head; its table says every colour in words."""
    svg = dict(sheets(model, digest="d", size="a3"))["plan"]
    fields = _fields(svg)
    words = {box.said for box in text_boxes(svg)}

    assert set(fields) == {head.id for head in model.heads}
    assert {"red", "amber", "white"} <= words
    assert {lamp[0] for lamp in LAMPS} <= words


def test_left_and_right_are_not_mixed_up(model: Model) -> None:
    """From the left one sees the left lamps; in front view the vehicle's left is on the reader's right."""
    drawn = dict(sheets(model, digest="d"))

    assert "rocker-fore.left" in _fields(drawn["left"])
    assert "rocker-fore.right" not in _fields(drawn["left"])
    assert "rocker-fore.right" in _fields(drawn["right"])
    assert "rocker-fore.left" not in _fields(drawn["right"])
    front, rear, plan = (_fields(drawn[name]) for name in ("front", "rear", "plan"))
    assert front["grille.left"][0] > front["grille.right"][0]
    assert rear["tail.left"][0] < rear["tail.right"][0]
    assert plan["grille.left"][1] > plan["grille.right"][1]
    assert plan["grille.left"][0] < plan["tail.left"][0]


def test_same_job_same_text(model: Model) -> None:
    """Law: drawings are compared as text."""
    assert sheets(model, digest="d") == sheets(job_model(), digest="d")


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "# $ @ \" ' `", "x" * 2000, "\u202e\x00\n\t", "#panic[] $ sum $"]
)
def test_hostile_names_break_no_sheet(model: Model, name: str) -> None:
    """Law: a customer's words are text, cut to their field."""
    hostile = replace(model, job=replace(model.job, name=name, customer=name, number=name, revision=name, due=name))
    for sheet, svg in sheets(hostile, digest=name, size="a4"):
        assert not list(ET.fromstring(svg).iter(f"{SVG}script"))
        assert overlapping(text_boxes(svg)) == [], sheet
        assert all(box.right <= 297 - MARGIN_MM for box in text_boxes(svg)), sheet


def test_very_many_lamps_go_on_further_lists() -> None:
    """Case: sixty lamps; nothing overlaps, nothing is left out, what doesn't fit is listed on sheets that follow."""
    many = tuple((f"lamp-{number}", "short-red-white", "grille", True, float(number)) for number in range(60))
    model = job_model(many)
    drawn = sheets(model, digest="d", size="a4")
    said = {box.said for _, svg in drawn for box in text_boxes(svg)}

    assert any(name.startswith("plan-lamps") for name, _ in drawn)
    assert {f"lamp-{number}" for number in range(60)} <= said
    for name, svg in drawn:
        assert overlapping(text_boxes(svg)) == [], name


def _fields(svg: str) -> dict[str, tuple[float, float]]:
    """Middle of each head's colour fields, as drawn on the sheet."""
    heads = {each.findtext(f"{SVG}title", "").rsplit(" ", 1)[0] for each in _lamps(svg)}
    found = {}
    for head in heads:
        points = _points(svg, head.replace(" ", "."))
        found[head.replace(" ", ".")] = (
            (min(p[0] for p in points) + max(p[0] for p in points)) / 2,
            (min(p[1] for p in points) + max(p[1] for p in points)) / 2,
        )
    return found


def _points(svg: str, head: str) -> list[tuple[float, float]]:
    named = head.replace(".", " ")
    return [
        point
        for each in _lamps(svg)
        if each.findtext(f"{SVG}title", "").rsplit(" ", 1)[0] == named
        for point in _of_path(each)
    ]


def _lamps(svg: str) -> list[ET.Element]:
    return [each for each in ET.fromstring(svg).iter(f"{SVG}path") if each.get("class", "").startswith("lamp ")]


def _of_path(each: ET.Element) -> list[tuple[float, float]]:
    numbers = [float(number) for number in _NUMBERS.findall(each.get("d", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _middle(each: ET.Element) -> float:
    along = [point[0] for point in _of_path(each)]
    return (min(along) + max(along)) / 2


def test_a_lamp_of_several_places_is_numbered_at_each() -> None:
    """Case: turn signals stand front and rear on each side; no number points between them."""
    model = job_model()
    made = tuple(
        replace(
            model.heads[0], id=f"turn.left.{number}", lamp="turn-lamps", place=place, reach="none", head_index=index
        )
        for number, place, index in ((1, "turn-front", 0), (2, "tail-middle", 2))
    )
    heads = drawn_heads(job_model(heads=made))
    frame = Frame(VIEWS[0], Bounds(-1.0, 5.0, -1.0, 1.0), 0.0, 0.0, 20)

    assert {each.at for each in named_lamps(heads, frame)} == {frame.at(each.pose.position_m) for each in heads}
    row = lamp_rows(model, heads)[0]
    assert (row.part, row.place) == ("the vehicle's own", "outer side of the headlamp; tail lamp, middle field")
