"""Where does the harness run, how thick is it, what goes through which hole, and which wires are cut?

The ways of the body in plan, as wide as the bundle in them to scale, each with a number; under it what lies in each,
grounds, then the cut list. The nose is to the left.

See Also
--------
coachwright.power.harness : all of it. coachwright.power.harness_text : the same in lines for the bay.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from coachwright.build.model import Model
from coachwright.draw.balloons import AWAY_MM, SIZE_MM, Named, rows_above_and_below
from coachwright.draw.body_lines import body_elements, lines_in
from coachwright.draw.caution_lines import caution_elements, caution_mm
from coachwright.draw.graph import curve
from coachwright.draw.letters import fitted, lines_of, text_width_mm
from coachwright.draw.listing import GAP_MM, Column, listed, listed_mm, rows_that_fit_n
from coachwright.draw.project import VIEWS, Frame, bounds_of, on_view
from coachwright.draw.sheet import Plate, fitting_scale_n, scale_bar
from coachwright.draw.svg import Element, Point, element, group, line, text
from coachwright.kit.geom import Vector
from coachwright.look.style import ACCENT, INK, PAPER, QUIET, TYPE_PT
from coachwright.parts.body_ways import segments, spot_m
from coachwright.power.as_settled import settled_harness
from coachwright.power.bundle import Bundle
from coachwright.power.cutlist import CutWire
from coachwright.power.harness import Harness
from coachwright.power.returns import Grounded
from coachwright.power.sizes import Sized, gauge_name, sized
from coachwright.power.wanted import Kind

NO_WAYS = (
    "The body's file says no way along which wire can run, so no harness can be drawn: measure its joints and ways, as "
    "the page on adding a place shows."
)
_EDGE_MM, _BAR_MM, _LEAST_LINE_MM, _NOTE_PT = AWAY_MM + SIZE_MM / 2 + 1.0, 10.0, 0.35, 6.8
_WAY_BLOCK_MM, _CUT_BLOCK_MM = 124.0, 190.0
_HEADING_MM, _PLAN_SHARE = 6.0, 0.6
_GROUND_PT = 6.0
_AROUND = ((1.9, 3.3), (-5.3, 3.3), (1.9, -0.6), (-5.3, -0.6), (-1.7, 5.6), (-1.7, -1.4), (1.9, 6.0), (-5.3, 6.0))
"""Where the name of a ground point may stand, off the point; the first that is free. [mm]"""
_BY_THE_GUIDE = ("join", "charge")
"""Cables between batteries and from a charger: their fuses are not sized here."""
_WAYS = (
    Column("", 0.07, bold=True), Column("way", 0.30, bold=True), Column("wires", 0.10, right=True),
    Column("thick", 0.13, right=True), Column("long", 0.12, right=True), Column("hottest", 0.13, right=True),
    Column("hole, filled", 0.15, right=True),
)  # fmt: skip
_GROUNDS = (
    Column("", 0.07, bold=True), Column("ground point", 0.22, bold=True), Column("where", 0.43),
    Column("carries", 0.14, right=True), Column("returns", 0.14, right=True),
)  # fmt: skip
_CUTS = (
    Column("mark", 0.31, bold=True), Column("from", 0.19), Column("to", 0.19), Column("gauge", 0.10),
    Column("length", 0.08, right=True), Column("fuse, channel", 0.13),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class DrawnWay:
    """A way with what lies in it. points : where it runs. [m] number : on the paper."""

    number: int
    bundle: Bundle
    points: tuple[Vector, ...]


def harness_plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """The plan with its tables, and the cut list over as many sheets as it takes."""
    if not model.body.ways:
        said = lines_of(NO_WAYS, width_mm=width_mm, size_pt=9.0, most_n=3)
        words = tuple(text((0.0, 8.0 + 5.0 * place), each, size_pt=9.0, ink=INK) for place, each in enumerate(said))
        return (Plate("harness", "Harness", width_mm, height_mm, words, number="harness"),)
    harness = settled_harness(model)
    if not harness.runs:
        return ()
    plan = _plan(model, harness, width_mm=width_mm, height_mm=height_mm)
    return (*plan, *_cut_sheets(model, harness, width_mm=width_mm, height_mm=height_mm))


def drawn_ways(model: Model, harness: Harness) -> tuple[DrawnWay, ...]:
    """Every way anything lies in, with its course, from the nose to the rear."""
    body = model.body
    drawn: Mapping[str, tuple[Vector, ...]] = {
        each.name: (
            spot_m(body, each.start),
            *((x, -y if each.side == "right" else y, z) for x, y, z in each.way.through),
            spot_m(body, each.end),
        )
        for each in segments(body)
    }
    found = [(bundle, drawn[bundle.segment.name]) for bundle in harness.bundles if bundle.segment.name in drawn]
    found.sort(key=lambda each: (-round(_middle(each[1])[0], 2), round(_middle(each[1])[1], 2), each[0].segment.name))
    return tuple(DrawnWay(number, bundle, points) for number, (bundle, points) in enumerate(found, start=1))


def cut_rows(model: Model, harness: Harness) -> tuple[tuple[str, ...], ...]:
    """The cut list: mark, from, to, gauge, length, and the fuse and channel its current comes through."""
    guarded = {run: each for each in sized(model) for run in each.hung.runs}
    kinds = {run.name: run.kind for run in harness.runs}
    return tuple(_cut_row(wire, guarded.get(wire.run), kinds[wire.run]) for wire in sorted(harness.cuts, key=_by_mark))


def _by_mark(wire: CutWire) -> tuple[int, str]:
    return (wire.mark.number, wire.mark.words)


def _cut_row(wire: CutWire, circuit: Sized | None, kind: Kind) -> tuple[str, ...]:
    guard = "by the guide" if kind in _BY_THE_GUIDE else ""
    if circuit is not None:
        channel = f", channel {circuit.hung.channel}" if circuit.hung.channel else ""
        guard = f"{circuit.sized.fuse.rating_a:g} A{channel}"
    return (wire.mark.text, wire.from_place, wire.to_place, gauge_name(wire.part), f"{wire.length_m:.2f} m", guard)


# ---------------------------------------------------------------------------------------------------------------- plan
def _plan(model: Model, harness: Harness, *, width_mm: float, height_mm: float) -> list[Plate]:
    ways = drawn_ways(model, harness)
    view = VIEWS[0]
    points = [point for each in lines_in(model.body, view) for point in each.points]
    points += [on_view(view, point) for way in ways for point in way.points]
    bounds = bounds_of(points)
    scale_n = max(
        fitting_scale_n(bounds.width, room_mm=width_mm - 16.0),
        fitting_scale_n(bounds.height, room_mm=_PLAN_SHARE * height_mm - 2 * _EDGE_MM - _BAR_MM),
    )
    left = (width_mm - bounds.width * 1000.0 / scale_n) / 2
    frame = Frame(view, bounds, left, _EDGE_MM, scale_n)
    drawn: list[Element] = [
        group(*body_elements(model.body, frame), name="vehicle"),
        group(*_ways(ways, frame), name="ways"),
        group(*_grounds(model, harness.grounds, frame, ways), name="grounds"),
    ]
    named = [Named(way.number, frame.at(_middle(way.points))) for way in ways]
    numbers = rows_above_and_below(named, frame, low_mm=SIZE_MM / 2, high_mm=width_mm - SIZE_MM / 2)
    drawn.append(group(*numbers, name="numbers"))
    y = frame.foot_mm + _EDGE_MM
    drawn.append(scale_bar((4.0, y), scale_n=scale_n))
    drawn += _caption((width_mm, y + 1.6), harness, width_mm)
    y += _BAR_MM
    room = height_mm - caution_mm("drilling", width_mm=width_mm) - 2.0
    drawn += caution_elements("drilling", (0.0, room + 3.6), width_mm=width_mm)
    made = _tables(ways, harness, drawn, y, scale_n, width_mm=width_mm, height_mm=room)
    return [replace(each, height_mm=height_mm) for each in made]


def _tables(
    ways: Sequence[DrawnWay], harness: Harness, drawn: list[Element], top: float, scale_n: int, *, width_mm: float,
    height_mm: float,
) -> list[Plate]:  # fmt: skip
    """What lies in each way, then grounds, as far as there is room; the rest on sheets that follow."""
    blocks_n = max(1, int((width_mm + GAP_MM) / (_WAY_BLOCK_MM + GAP_MM)))
    rows = [_way_row(way) for way in ways]
    grounds = [_ground_row(number, each) for number, each in enumerate(harness.grounds, start=1)]
    plates: list[Plate] = []
    while True:
        fit_n = rows_that_fit_n(height_mm - top) * blocks_n
        now, rows = rows[:fit_n], rows[fit_n:]
        drawn += listed(now, _WAYS, (0.0, top), width_mm=width_mm, blocks_n=blocks_n)
        top += listed_mm(-(-len(now) // blocks_n)) + _HEADING_MM if now else 0.0
        if not rows and grounds and top + listed_mm(-(-len(grounds) // blocks_n)) <= height_mm:
            drawn += listed(grounds, _GROUNDS, (0.0, top), width_mm=width_mm, blocks_n=blocks_n)
            grounds = []
        name = "harness" if not plates else f"harness-{len(plates) + 1}"
        title = "Harness in plan" if not plates else "Harness: ways and grounds"
        scale = scale_n if not plates else 0
        plates.append(Plate(name, title, width_mm, height_mm, tuple(drawn), scale, name))
        if not rows and not grounds:
            return plates
        drawn, top = [], 0.0
        if not rows and grounds and listed_mm(-(-len(grounds) // blocks_n)) > height_mm:
            fit_n = rows_that_fit_n(height_mm) * blocks_n  # more grounds than a sheet holds
            drawn, grounds = (
                listed(grounds[:fit_n], _GROUNDS, (0.0, 0.0), width_mm=width_mm, blocks_n=blocks_n),
                grounds[fit_n:],
            )


def _way_row(way: DrawnWay) -> tuple[str, ...]:
    bundle, segment = way.bundle, way.bundle.segment
    hole = ""
    if bundle.fill_share is not None:
        full = bundle.most_share is not None and bundle.fill_share > bundle.most_share
        hole = f"{1000 * segment.bore_m:.0f} mm, {100 * bundle.fill_share:.0f} %{' !' if full else ''}"
    hinge = " (hinge)" if segment.hinge else ""
    wet = ", wet" if segment.wet else ""
    return (
        str(way.number),
        f"{segment.name.replace('.', ' ')}{hinge}",
        str(bundle.conductors_n),
        f"{1000 * bundle.diameter_m:.1f} mm",
        f"{segment.length_m:.2f} m",
        f"{segment.ambient_degc:.0f} degC{wet}",
        hole,
    )


def _ground_row(number: int, each: Grounded) -> tuple[str, ...]:
    most = f"{each.point.most_a:.0f} A" if each.point.most_a else "–"
    return (f"G{number}", each.point.node.replace(".", " "), each.point.what, most, str(len(each.runs)))


def _ways(ways: Iterable[DrawnWay], frame: Frame) -> Iterator[Element]:
    """As wide as the bundle to scale, at least to be seen; a ring where a hole is, a bar where a hinge is."""
    for way in ways:
        points = [frame.at(point) for point in way.points]
        wide = max(_LEAST_LINE_MM, 1000.0 * way.bundle.diameter_m / frame.scale_n)
        yield curve(points, name=f"way {way.bundle.segment.name}", ink=ACCENT, width_mm=wide)
    for way in ways:
        x, y = frame.at(_middle(way.points))
        if way.bundle.fill_share is not None:
            yield element("circle", class_="hole", cx=x, cy=y, r=1.2, fill=PAPER, stroke=INK, stroke_width=0.3)


def _grounds(model: Model, grounds: Sequence[Grounded], frame: Frame, ways: Sequence[DrawnWay]) -> Iterator[Element]:
    holes = [frame.at(_middle(way.points)) for way in ways if way.bundle.fill_share is not None]
    taken: list[Point] = [(x - 1.5, y + 0.7) for x, y in holes]
    for number, each in enumerate(grounds, start=1):
        node = each.point.node
        x, y = frame.at(spot_m(model.body, node))
        yield line((x, y), (x, y + 1.6), ink=INK, width_mm=0.3)
        for place, half in enumerate((1.5, 1.0, 0.5)):
            level = y + 1.6 + 0.6 * place
            yield line((x - half, level), (x + half, level), ink=INK, width_mm=0.3)
        said = f"G{number}"
        wide = text_width_mm(said, size_pt=_GROUND_PT, bold=True)
        spots = [(x + dx, y + dy) for dx, dy in _AROUND]
        free = (spot for spot in spots if all(_apart(spot, other, wide) for other in taken))
        spot = next(free, None)
        if spot is None:
            continue  # the table says which joint it is
        taken.append(spot)
        ground = element(
            "rect", x=spot[0] - 0.2, y=spot[1] - 1.7, width=wide + 0.4, height=2.0, fill=PAPER, fill_opacity="0.8"
        )
        yield ground
        yield text(spot, said, size_pt=_GROUND_PT, ink=INK, bold=True, name=f"ground-{node}")


def _apart(one: Point, other: Point, wide_mm: float) -> bool:
    return abs(one[0] - other[0]) > wide_mm + 1.2 or abs(one[1] - other[1]) > 2.2


def _caption(at: Point, harness: Harness, width_mm: float) -> list[Element]:
    missed = len(harness.missed)
    lacks = f" {missed} wire{'s' if missed != 1 else ''} can't be laid: check tells which." if missed else ""
    said = (
        f"Lines are as wide as the bundle, to scale; a ring is a hole. {harness.metres_m:.1f} m of wire, "
        f"{harness.mass_kg:.1f} kg, without connectors and loom.{lacks}"
    )
    first, second = (*lines_of(said, width_mm=width_mm - 90.0, size_pt=_NOTE_PT, most_n=2), "")[:2]
    size_pt = min(_NOTE_PT, TYPE_PT["label"])
    return [
        text((at[0], at[1] + 3.0 * place), each, size_pt=size_pt, ink=QUIET, anchor="end")
        for place, each in enumerate((first, second))
        if each
    ]


def _middle(points: Sequence[Vector]) -> Vector:
    """Half of its way along a course."""
    lengths = [math.dist(one, other) for one, other in pairwise(points)]
    left = sum(lengths) / 2
    for (one, other), long in zip(pairwise(points), lengths, strict=True):
        if long >= left and long > 0:
            share = left / long
            return (
                one[0] + share * (other[0] - one[0]),
                one[1] + share * (other[1] - one[1]),
                one[2] + share * (other[2] - one[2]),
            )
        left -= long
    return points[0]


# ------------------------------------------------------------------------------------------------------------ cut list
def _cut_sheets(model: Model, harness: Harness, *, width_mm: float, height_mm: float) -> list[Plate]:
    rows = cut_rows(model, harness)
    blocks_n = max(1, int((width_mm + GAP_MM) / (_CUT_BLOCK_MM + GAP_MM)))
    room = height_mm - _HEADING_MM
    fit_n = rows_that_fit_n(room) * blocks_n
    made = []
    for number, start in enumerate(range(0, len(rows), fit_n), start=1):
        name = "cut-list" if number == 1 else f"cut-list-{number}"
        note = (
            "Marks are printed at both ends. Length to cut, with slack and a loop at each end. A fuse stands where its "
            "wire begins; a return has none. By the guide: fused as the maker's guide says, not sized here."
        )
        drawn = [
            text((0.0, 2.8), fitted(note, width_mm=width_mm, size_pt=_NOTE_PT), size_pt=_NOTE_PT, ink=QUIET),
            *listed(rows[start : start + fit_n], _CUTS, (0.0, _HEADING_MM), width_mm=width_mm, blocks_n=blocks_n),
        ]
        made.append(Plate(name, "Cut list", width_mm, height_mm, tuple(drawn), number=name))
    return made
