"""Pictures of supply and wires: figures are the model's, no text on text, none outside, no line across another."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.draw.energy_day import energy_plates, marks_of
from coachwright.draw.fuse_curve import bursts, circuit_names, fuse_plates, plain_circuit, telling
from coachwright.draw.harness_sheet import cut_rows, drawn_ways, harness_plates
from coachwright.draw.load_bars import idle_gives, load_plates, situation_loads
from coachwright.draw.one_line import one_line_plates
from coachwright.draw.power_plates import NoCircuit, circuit_plates, power_plates
from coachwright.draw.sheet import PAPER_MM, Plate, framed, plate_svg, room_mm
from coachwright.draw.supply_strip import supply_plates, supply_strips
from coachwright.kit.show import show
from coachwright.kit.wave import Wave
from coachwright.parts.body_ways import spot_m
from coachwright.power.as_settled import settled_harness
from coachwright.power.duty import duty_day, duty_of, lasting
from coachwright.power.fuse_time import holds_s
from coachwright.power.loads import currents
from coachwright.power.sizes import gauge_name, sized, sized_anew
from coachwright.power.wired_network import voltages
from tests.draw.made import job_model
from tests.draw.pages import SVG, by_id, overlapping, text_boxes

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))
BY_NAME = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
SIZES = {"a4": room_mm("a4"), "a3": room_mm("a3"), "ansi-a": room_mm("ansi-a"), "book": (264.0, 167.0)}
WIDTH, HEIGHT = SIZES["a3"]


@cache
def example(path: Path) -> Model:
    model = load_build(path).model
    assert model is not None
    return model


def named(name: str) -> Model:
    return example(next(each for each in EXAMPLES if each.parent.name == name))


def words(plates: tuple[Plate, ...]) -> list[str]:
    return [box.said for plate in plates for box in text_boxes(plate_svg(plate))]


def of_class(plate: Plate, name: str) -> list[ET.Element]:
    return [each for each in ET.fromstring(plate_svg(plate)).iter() if (each.get("class") or "").split(" ")[0] == name]


def points(d: str) -> list[tuple[float, float]]:
    numbers = [float(each) for each in re.findall(r"-?[0-9.]+", d)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def changed(model: Model, name: str, **changes: object) -> Model:
    """Another model, and another digest: answers are remembered by it."""
    return replace(model, digest=f"{model.digest}-{name}", **changes)  # type: ignore[arg-type]


# ---- every sheet of every example


@BY_NAME
@pytest.mark.parametrize("size", SIZES)
def test_no_text_on_text_and_none_outside(path: Path, size: str) -> None:
    """Law: checked by the letters' widths on every sheet."""
    width, height = SIZES[size]
    made = power_plates(example(path), width_mm=width, height_mm=height)

    assert {plate.name for plate in made} >= {"one-line", "harness", "cut-list", "loads", "supply", "energy-day",
                                              "energy", "fuse-curves"}  # fmt: skip
    for plate in made:
        boxes = text_boxes(plate_svg(plate))
        assert overlapping(boxes) == [], plate.name
        assert all(box.left >= -0.1 and box.right <= width + 0.1 for box in boxes), plate.name
        assert all(box.top >= -0.1 and box.foot <= height + 0.1 for box in boxes), plate.name


@BY_NAME
def test_framed_sheets_are_whole_and_the_same_again(path: Path) -> None:
    """Law: same input, same bytes; nothing stands outside the frame; no two sheets have one name."""
    model = example(path)
    width, height = room_mm("a4")
    once, again = (
        framed(model, power_plates(model, width_mm=width, height_mm=height), digest=model.digest, size="a4")
        for _ in range(2)
    )

    assert once == again
    assert len({name for name, _ in once}) == len(once)
    for name, svg in once:
        boxes = text_boxes(svg)
        assert overlapping(boxes) == [], name
        assert all(box.left >= 9.9 and box.right <= PAPER_MM["a4"][0] - 9.9 for box in boxes), name


@BY_NAME
def test_nothing_drawn_lies_outside(path: Path) -> None:
    """Law: every rectangle, circle and straight line too, but for groups that are moved, whose text is checked."""
    for plate in one_line_plates(example(path), width_mm=WIDTH, height_mm=HEIGHT):
        for each in ET.fromstring(plate_svg(plate)).iter():
            across = [float(each.get(key, "")) for key in ("x1", "x2") if each.get(key)]
            down = [float(each.get(key, "")) for key in ("y1", "y2") if each.get(key)]
            if each.get("class") in ("load", "source", "fuse"):
                x, y = float(each.get("x", "")), float(each.get("y", ""))
                across += [x, x + float(each.get("width", ""))]
                down += [y, y + float(each.get("height", ""))]
            assert all(-0.1 <= x <= WIDTH + 0.1 for x in across)
            assert all(-0.1 <= y <= HEIGHT + 0.1 for y in down)


def test_a_job_without_situations_or_supply_has_no_pictures() -> None:
    """Case: nothing is fed, nothing is drawn."""
    assert power_plates(job_model(situations=()), width_mm=264.0, height_mm=167.0) == ()


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "x" * 2000, "# $ @ \" ' `", "\u202e\x00\n\t", "日本語 🚒"]
)
def test_hostile_names_break_no_sheet(name: str) -> None:
    """Law: names of situations and of the job are text, cut to their room."""
    model = named("volunteer-car")
    situations = tuple(replace(each, name=f"{name}{place}") for place, each in enumerate(model.situations))
    job = replace(model.job, name=name, number=name, customer=name)
    hostile = changed(model, repr(name), situations=situations, job=job)
    width, height = room_mm("a4")

    for sheet, svg in framed(hostile, power_plates(hostile, width_mm=width, height_mm=height), digest="d", size="a4"):
        assert not list(ET.fromstring(svg).iter(f"{SVG}script"))
        boxes = text_boxes(svg)
        assert overlapping(boxes) == [], sheet
        assert all(box.right <= PAPER_MM["a4"][0] - 9.9 for box in boxes), sheet


def test_a_body_without_battery_or_ways_says_so() -> None:
    """Case: the sheets that need them tell what has to be measured; the others are drawn all the same."""
    model = named("volunteer-car")
    no_battery = changed(model, "no-battery", body=model.body.model_copy(update={"battery": None}))
    no_ways = changed(model, "no-ways", body=model.body.model_copy(update={"ways": {}}))

    (day,) = energy_plates(no_battery, width_mm=WIDTH, height_mm=HEIGHT)
    assert "names no battery" in " ".join(words((day,)))
    (harness,) = harness_plates(no_ways, width_mm=WIDTH, height_mm=HEIGHT)
    assert "says no way along which wire can run" in " ".join(words((harness,)))
    assert load_plates(no_battery, width_mm=WIDTH, height_mm=HEIGHT)
    assert power_plates(no_battery, width_mm=WIDTH, height_mm=HEIGHT)
    assert load_plates(no_ways, width_mm=WIDTH, height_mm=HEIGHT)
    assert power_plates(no_ways, width_mm=WIDTH, height_mm=HEIGHT)


# ---- one line


@BY_NAME
@pytest.mark.parametrize("size", ["a3", "book"])
def test_every_circuit_stands_on_the_diagram_with_its_fuse(path: Path, size: str) -> None:
    """Law: a box for each load circuit, a fuse for each circuit; those that go on over a sheet stand there again."""
    model, (width, height) = example(path), SIZES[size]
    made = one_line_plates(model, width_mm=width, height_mm=height)
    circuits = sized(model)
    said = words(made)

    assert sum(len(of_class(plate, "load")) for plate in made) == sum(each.hung.level == "load" for each in circuits)
    assert sum(len(of_class(plate, "fuse")) for plate in made) >= len(circuits)
    for each in circuits:
        assert f"{each.sized.fuse.rating_a:g} A" in said
        if each.hung.channel:
            assert said.count(f"channel {each.hung.channel}") == 1
    governs = [each for each in said if each.startswith("fuse: ")]
    assert len(governs) == len(circuits)
    for each in sized_anew(model):
        assert any(words.startswith(f"fuse: {each.sized.fuse.governed_by}; wire: ") for words in governs)


@BY_NAME
@pytest.mark.parametrize("size", ["a3", "book"])
def test_no_line_of_the_diagram_crosses_another(path: Path, size: str) -> None:
    """Law: a level line meets an upright one at its end, never in its middle."""
    width, height = SIZES[size]
    for plate in one_line_plates(example(path), width_mm=width, height_mm=height):
        lines = [tuple(float(each.get(key, "")) for key in ("x1", "y1", "x2", "y2"))
                 for each in ET.fromstring(plate_svg(plate)).iter(f"{SVG}line")]  # fmt: skip
        level = [(x1, x2, y1) for x1, y1, x2, y2 in lines if y1 == y2 and x2 - x1 < width - 1]
        upright = [(x1, min(y1, y2), max(y1, y2)) for x1, y1, x2, y2 in lines if x1 == x2]
        for left, right, y in level:
            for x, top, foot in upright:
                within = left + 0.1 < x < right - 0.1 and top + 0.7 < y < foot - 0.7
                assert not within, (plate.name, x, y)


@BY_NAME
def test_boxes_of_the_diagram_lie_apart(path: Path) -> None:
    """Law: no box touches the next, and a source's box holds its words."""
    for size in ("a3", "book"):
        width, height = SIZES[size]
        for plate in one_line_plates(example(path), width_mm=width, height_mm=height):
            for name in ("load", "source"):
                boxes = sorted(
                    (float(each.get("y", "")), float(each.get("height", ""))) for each in of_class(plate, name)
                )
                assert all(top + high <= after for (top, high), (after, _) in pairwise(boxes))


# ---- harness


@BY_NAME
def test_ways_are_to_scale(path: Path) -> None:
    """Law: ends stand as far apart as the body's joints in plan, and a line is as wide as its bundle."""
    model = example(path)
    plate = harness_plates(model, width_mm=WIDTH, height_mm=HEIGHT)[0]
    harness = settled_harness(model)
    drawn = {each.get("class", "").removeprefix("way "): each for each in of_class(plate, "way")}
    ways = drawn_ways(model, harness)

    assert set(drawn) == {bundle.segment.name for bundle in harness.bundles}
    assert [way.number for way in ways] == list(range(1, len(harness.bundles) + 1))
    for way in ways:
        segment, course = way.bundle.segment, points(drawn[way.bundle.segment.name].get("d", ""))
        start, end = (spot_m(model.body, node) for node in (segment.start, segment.end))
        want_mm = 1000.0 * math.hypot(end[0] - start[0], end[1] - start[1]) / plate.scale_n
        assert math.dist(course[0], course[-1]) == pytest.approx(want_mm, abs=0.01)
        wide_mm = float(drawn[segment.name].get("stroke-width", ""))
        assert wide_mm == pytest.approx(max(0.35, 1000.0 * way.bundle.diameter_m / plate.scale_n), abs=1e-3)


@BY_NAME
def test_tables_of_the_harness_hold_all_of_it(path: Path) -> None:
    """Law: every way with its length, every ground point, every wire with its mark, gauge and length."""
    model = example(path)
    harness = settled_harness(model)
    said = words(harness_plates(model, width_mm=WIDTH, height_mm=HEIGHT))
    rows = cut_rows(model, harness)

    for bundle in harness.bundles:
        assert bundle.segment.name.replace(".", " ") in " ".join(said)
        assert f"{1000 * bundle.diameter_m:.1f} mm" in said
    assert {f"G{number}" for number in range(1, len(harness.grounds) + 1)} <= set(said)
    assert len(rows) == len(harness.cuts)
    assert sorted(row[0] for row in rows) == sorted(wire.mark.text for wire in harness.cuts)
    assert sum(float(row[4].removesuffix(" m")) for row in rows) == pytest.approx(
        harness.metres_m, abs=0.01 * len(rows)
    )
    by_mark = {row[0]: row for row in rows}
    for wire in harness.cuts:
        assert by_mark[wire.mark.text][3] == gauge_name(wire.part)
    for row in rows:
        assert row[0] in said


def test_a_wire_s_fuse_and_channel_stand_in_its_row() -> None:
    """Case: lamps of quillback's first channel hang behind its fuse; a cable between batteries goes by the guide."""
    model = named("quillback")
    rows = {row[0]: row[5] for row in cut_rows(model, settled_harness(model))}
    circuit = next(each for each in sized(model) if each.hung.channel == "1")

    assert rows["101 grille left"] == f"{circuit.sized.fuse.rating_a:g} A, channel 1"
    assert rows["101 grille left return"] == ""
    assert rows["301 aux battery from main battery"] == "by the guide"


# ---- loads


@BY_NAME
def test_bars_are_as_long_as_their_means(path: Path) -> None:
    """Law: fields of a situation are together as long as its mean, on the scale of the axis; RMS and peak at theirs."""
    model = example(path)
    plate = load_plates(model, width_mm=WIDTH, height_mm=HEIGHT)[0]
    svg = plate_svg(plate)
    fields = [(float(each.get("y", "")), float(each.get("x", "")), float(each.get("width", "")))
              for each in of_class(plate, "mean")]  # fmt: skip
    rows = situation_loads(model)
    tops = sorted({y for y, _, _ in fields})
    marks = {row.situation: [float(by_id(svg, f"{what}-{row.situation}").get("x1", "")) for what in ("rms", "peak")]
             for row in rows}  # fmt: skip
    left = min(x for _, x, _ in fields)
    mm_per_a = (marks[rows[0].situation][1] - left) / rows[0].whole.peak_a

    assert len(tops) == len(rows)
    for row, top in zip(rows, tops, strict=True):
        long = sum(wide for y, _, wide in fields if y == top)
        assert long == pytest.approx(row.whole.mean_a * mm_per_a, abs=0.02)
        assert marks[row.situation] == pytest.approx(
            [left + row.whole.rms_a * mm_per_a, left + row.whole.peak_a * mm_per_a], abs=0.02
        )


@BY_NAME
def test_feeds_add_up_to_the_situation(path: Path) -> None:
    """Law: means add; of two sums that may fall together in any way RMS is between mean and peak."""
    model = example(path)
    said = set(words(load_plates(model, width_mm=WIDTH, height_mm=HEIGHT)))
    for row in situation_loads(model):
        assert sum(part.mean_a for _, part in row.by_feed) == pytest.approx(row.whole.mean_a)
        assert row.whole.mean_a == pytest.approx(
            sum(wave.mean() for wave in currents(model, situation=row.situation).values())
        )
        assert row.whole.mean_a <= row.whole.rms_a * (1 + 1e-9) <= row.whole.peak_a * (1 + 2e-9)
        assert {show(each, "current") for each in (row.whole.mean_a, row.whole.rms_a, row.whole.peak_a)} <= said
    gives = idle_gives(model)
    assert gives is not None
    assert any(each.endswith(f": {gives[0]:.0f} A") and "at idle" in each for each in said)


# ---- voltage


@BY_NAME
def test_the_strip_shows_the_worst_lamp_of_each_situation(path: Path) -> None:
    """Law: no lamp of ours gets a smaller share of its voltage; the least of the strip is the least of the network."""
    model = example(path)
    said = words(supply_plates(model, width_mm=WIDTH, height_mm=HEIGHT))
    strips = supply_strips(model)

    assert strips
    for strip in strips:
        found = voltages(model, situation=strip.situation)
        assert strip.least_lamp_v >= found[strip.lamp].least_v - 1e-9
        assert float(strip.lamp_v[strip.lit].min()) == pytest.approx(strip.least_lamp_v)
        assert float(strip.lamp_v.max()) <= float(strip.battery_v.max())
        assert np.all(strip.lamp_v[strip.lit] < strip.battery_v[strip.lit])
        assert any(f"{strip.least_lamp_v:.2f} V at least" in each for each in said)


# ---- energy


@BY_NAME
def test_marks_of_a_day_are_its_events(path: Path) -> None:
    """Law: whatever is low, comes back, is joined or parted later on is marked at its time, and only that."""
    model = example(path)
    for duty in (duty_day(model), *(duty_of(model, name) for name in lasting(model))):
        assert duty.day is not None
        times = {each.at_s for each in duty.day.events if each.what != "begins" and each.at_s > 0}
        marks = marks_of(duty)
        assert {mark.at_s for mark in marks} >= times
        assert all("no longer counted on" in mark.said for mark in marks if mark.at_s not in times)
        assert [mark.number for mark in marks] == list(range(1, len(marks) + 1))


@BY_NAME
def test_curves_of_a_day_end_where_the_day_does(path: Path) -> None:
    """Law: charge left and voltage at the end stand at the ends of the lines; the line of charge is to scale."""
    model = example(path)
    plate = energy_plates(model, width_mm=WIDTH, height_mm=HEIGHT)[0]
    day = duty_day(model).day
    assert day is not None
    said = words((plate,))
    (charge,) = (each for each in of_class(plate, "charge") if each.get("class") == "charge main")
    heights = [y for _, y in points(charge.get("d", ""))]
    low, high = float(day.main_share.min()), float(day.main_share.max())

    assert any(each.endswith(f" {100 * float(day.main_share[-1]):.0f} %") for each in said)
    assert f"{float(day.main_v[-1]):.2f} V" in said
    if high - low > 0.05:
        frames = [float(each.get("height", "")) for each in ET.fromstring(plate_svg(plate)).iter(f"{SVG}rect")
                  if each.get("fill") == "none"]  # fmt: skip
        assert (max(heights) - min(heights)) / (high - low) == pytest.approx(frames[0], abs=0.05)


def test_four_hours_with_the_engine_off_show_alarm_shed_and_start() -> None:
    """Case: quillback's second stage alarms, the radio is shed by then, and the start was lost before."""
    marks = marks_of(duty_of(named("quillback"), "on-scene-off"))
    lost = next(mark for mark in marks if "no longer counted on" in mark.said)
    last = marks[-1]

    assert [mark.alarms for mark in marks] == [True, False, False, True]
    assert "radio-1" in last.said
    assert lost.at_s < last.at_s


# ---- fuses


@BY_NAME
def test_curves_hold_what_their_circuits_do(path: Path) -> None:
    """Law: of a fuse that bears its loads every burst ends before it may open, and what heats it is what it carries."""
    for each in sized(example(path)):
        fuse, needs = each.sized.fuse, each.sized.circuit
        if fuse.broken or not needs.waves:
            continue
        assert max(wave.rms() for wave in needs.waves) <= fuse.carries_a * (1 + 1e-9)
        for burst in bursts(needs.waves, carries_a=fuse.carries_a):
            assert burst.time_s < holds_s(fuse.part.curve, burst.current_a / fuse.carries_a)


def test_a_burst_is_the_longest_of_its_current() -> None:
    """By hand: 10 A for 0.1 s of every second in one situation, for 0.3 s in another; 4 A is carried for good."""
    (found,) = bursts([_square(100), _square(300)], carries_a=5.0)

    assert (found.current_a, found.time_s) == (10.0, 0.3)


def _square(on_ms: int) -> Wave:
    return Wave(1000, (0, on_ms), (10.0, 4.0))


@BY_NAME
def test_every_rule_that_governs_has_a_curve(path: Path) -> None:
    """Law: as far as eight circuits can show them; the named curves are of circuits there are."""
    model = example(path)
    names = telling(model)
    shown = [each for each in sized_anew(model) if each.hung.circuit.name in names]
    rules = {each.sized.fuse.governed_by for each in sized_anew(model)}

    assert 1 <= len(names) <= 8
    assert set(names) <= set(circuit_names(model))
    assert len({each.sized.fuse.governed_by for each in shown}) >= min(3, len(rules))


def test_the_curve_passes_through_the_points_of_the_sheet() -> None:
    """By hand: where the fuse's sheet says how long it holds at a share of its rating, the line is at that time."""
    model = named("quillback")
    name = "channel 1"
    (plate,) = circuit_plates(model, name, width_mm=200.0, height_mm=150.0)
    circuit = next(each for each in sized(model) if each.hung.circuit.name == name)
    (holds,) = of_class(plate, "holds")
    line = points(holds.get("d", ""))
    frame = next(each for each in ET.fromstring(plate_svg(plate)).iter(f"{SVG}rect") if each.get("fill") == "none")
    top, high = float(frame.get("y", "")), float(frame.get("height", ""))
    fuse = circuit.sized.fuse
    checked = 0
    for point in fuse.part.curve:
        if not 0.002 < point.least < 5000.0 or point.share <= 1.0:
            continue
        y = top + high * (4.0 - math.log10(point.least)) / 7.0
        x = np.interp(y, [each[1] for each in line], [each[0] for each in line])
        want = np.interp(
            math.log(point.share),
            [math.log(share) for share in (1.2, 100.0)],
            [_x_of(plate, 1.2 * fuse.carries_a), _x_of(plate, 100.0 * fuse.carries_a)],
        )
        assert x == pytest.approx(want, abs=0.4)
        checked += 1
    assert checked >= 3


def _x_of(plate: Plate, current_a: float) -> float:
    """Where a current is, by the numbers under the axis."""
    boxes = {box.said: (box.left + box.right) / 2 for box in text_boxes(plate_svg(plate))}
    ten, hundred = boxes["10 A"], boxes["100 A"]
    return ten + (hundred - ten) * (math.log10(current_a) - 1.0)


def test_any_circuit_by_its_name() -> None:
    """Case: as the file or the diagram calls it; another name is told with those there are."""
    model = named("quillback")
    for name in circuit_names(model):
        assert fuse_plates(model, width_mm=150.0, height_mm=110.0, names=(name,))
        assert circuit_plates(model, plain_circuit(name), width_mm=150.0, height_mm=110.0)
    with pytest.raises(NoCircuit, match=r"No circuit is called nonsense\. There are: .*channel 1"):
        circuit_plates(model, "nonsense", width_mm=150.0, height_mm=110.0)
