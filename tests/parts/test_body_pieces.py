"""Are the solid pieces of a body read, and is a slip in them told at its place? One small body, one slip at a time."""

from math import cos, sin, tau

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.body_pieces import Piece, corners_of, solid_of, whole
from coachwright.parts.body_pieces_checks import bends_inward
from coachwright.parts.read import read_part
from coachwright.parts.schema import BodyPart, MountPart

BODY = """\
kind: body
name: box
title: A box on wheels
figures: {source: drawn by nobody, date: 2026-01-01, invented: yes}
body-class: box
mass: 2000 kg
length: 4 m
width: 2 m
height: 2 m
wheelbase: 2.5 m
front-overhang: 0.8 m
places: {}
panels:
  gate: {signal: gate, hinge-x: -3.2 m, hinge-z: 600 mm, axis: y, travel: -90 deg}
  door: {signal: gate, signal-right: gate, mirrored: yes, hinge-y: 1 m, axis: z, travel: -70 deg}
glass:
  gate: {transmittance: 70 %, facing: 180 deg, panel: gate}
  side: {transmittance: 70 %, facing: 270 deg, mirrored: yes}
signals:
  gate: {kind: states, values: [closed, open], rest: closed, source: a wire}
lamps: {}
pieces:
  tub:
    {half: yes, side: "in mm: 800 300, 800 900, -3200 900, -3200 300", front: "in mm: 0 300, 1000 300, 1000 900, 0 900"}
  roof: {half: yes, corners: "in mm: 0 800 1900, -3000 800 1900, 0 0 2000, -3000 0 2000, 0 800 1850, -3000 800 1850"}
  door:
    mirrored: yes
    panel: door
    side: "in mm: 0 900, -900 900, -900 1300"
    front: "in mm: 950 900, 1000 900, 1000 1300, 950 1300"
  gate:
    half: yes
    panel: gate
    glass: gate
    side: "in mm: -3200 900, -3190 900, -3190 1800, -3200 1800"
    top: "in mm: -3100 0, -3100 900, -3300 900, -3300 0"
  pane:
    mirrored: yes
    glass: side
    side: "in mm: 0 1000, -900 1000, -900 1300, 0 1300"
    front: "in mm: 990 1000, 995 1000, 995 1300, 990 1300"
"""


def body_of(text: str = BODY) -> BodyPart:
    """The body a text says, with nothing wrong in it."""
    read = read_part(text, file="box.yaml")
    assert read.findings == ()
    assert isinstance(read.part, BodyPart)
    return read.part


def test_pieces_are_read_in_metres() -> None:
    """Millimetres in the file; a half is made whole in the centre line, and points on it are there once."""
    body = body_of()

    assert body.pieces["tub"].side[0] == (0.8, 0.3)
    assert whole(body.pieces["tub"], "front")[-1] == (0.0, 0.3)
    assert len(corners_of(body.pieces["roof"])) == 10
    assert body.pieces["door"].mirrored


def test_a_tub_is_as_large_as_it_is_drawn() -> None:
    """4 m long, 2 m wide, 0.6 m high: 4.8 m3, by its bounds."""
    solid = solid_of(body_of().pieces["tub"])

    assert solid is not None
    assert solid.vertices_m.min(axis=0).tolist() == pytest.approx([-3.2, -1.0, 0.3])
    assert solid.vertices_m.max(axis=0).tolist() == pytest.approx([0.8, 1.0, 0.9])
    assert len(solid.vertices_m) == 8


@pytest.mark.parametrize(
    ("was", "now", "code", "about", "word"),
    [
        ("panel: door\n    side", "panel: dor\n    side", "PRT-037", "pieces.door.panel", "door"),
        ("glass: gate\n    side", "glass: gat\n    side", "PRT-036", "pieces.gate.glass", "gate"),
        ("panel: gate\n    glass: gate", "glass: gate", "PRT-108", "pieces.gate.glass", "rides on gate"),
        ("mirrored: yes\n    panel: door", "panel: door", "PRT-045", "pieces.door.panel", "pair"),
        (
            "mirrored: yes\n    panel: door",
            "mirrored: yes\n    half: yes\n    panel: door",
            "PRT-045",
            "pieces.door.half",
            "centre line",
        ),
        ('front: "in mm: 950 900', 'front: "in mm: -950 900', "PRT-075", "pieces.door.front", "left"),
        ('-900 900, -900 1300"', '-900 900"', "PRT-105", "pieces.door.side", "three points"),
        (', front: "in mm: 0 300, 1000 300, 1000 900, 0 900"', "", "PRT-105", "pieces.tub", "no ends"),
        (
            "0 800 1900, -3000 800 1900, 0 0 2000, -3000 0 2000, 0 800 1850, -3000 800 1850",
            "0 0 1900, -3000 0 1900, 0 0 2000",
            "PRT-105",
            "pieces.roof.corners",
            "four",
        ),
        (
            'corners: "in mm',
            'side: "in mm: 0 0, 1 0, 1 1", corners: "in mm',
            "PRT-105",
            "pieces.roof.side",
            "corners or",
        ),
        (
            "0 0 2000, -3000 0 2000, 0 800 1850, -3000 800 1850",
            "-3000 0 1900, 0 0 1900",
            "PRT-107",
            "pieces.roof.corners",
            "one plane",
        ),
        (
            '-3190 1800, -3200 1800"',
            '-3190 1800, -3200 1800, -3195 1200"',
            "PRT-106",
            "pieces.gate.side",
            "bends inward",
        ),
        (
            "0 300, 1000 300, 1000 900, 0 900",
            "0 300, 1000 900, 1000 300, 0 900",
            "PRT-106",
            "pieces.tub.front",
            "crosses",
        ),
        (
            "950 900, 1000 900, 1000 1300, 950 1300",
            "950 1400, 1000 1400, 1000 1500, 950 1500",
            "PRT-107",
            "pieces.door",
            "Nothing lies",
        ),
        ("800 300, 800 900, -3200", "1800 300, 1800 900, -3200", "PRT-046", "pieces.tub", "further out"),
        ("0 0 2000, -3000 0 2000", "0 0 2500, -3000 0 2500", "PRT-046", "pieces.roof", "further out"),
        ("0 300, 1000 300, 1000 900", "0 300, 1400 300, 1400 900", "PRT-046", "pieces.tub", "further out"),
        ('side: "in mm: 800 300', 'side: "in mm: 800', "PRT-024", "pieces.tub.side", "two numbers"),
        ('side: "in mm: 800 300', 'sides: "in mm: 800 300', "PRT-009", "pieces.tub.sides", "sides"),
    ],
)
def test_a_slip_is_told_where_it_stands(was: str, now: str, code: str, about: str, word: str) -> None:
    """Case: one slip, one finding, at the line and column of what is wrong."""
    assert BODY.count(was) == 1
    text = BODY.replace(was, now)
    read = read_part(text, file="box.yaml")

    assert [(each.code, each.about) for each in read.findings] == [(code, about)]
    (finding,) = read.findings
    mark = finding.where[0]
    line = text.splitlines()[mark.line - 1]
    assert any(piece in line[mark.column - 1 :] or f"{piece}:" in line for piece in about.split(".")[1:])
    assert mark.column > 1
    assert word in str(finding.values["why"]) + (finding.fix.sentence if finding.fix else "")
    assert read.part is None


def test_an_outline_may_turn_either_way_and_repeat_its_first_point() -> None:
    """Law of the trade: nobody remembers which way round the points were measured."""
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))

    assert bends_inward(square) is None
    assert bends_inward(square[::-1]) is None
    assert bends_inward((*square, square[0])) is None
    assert bends_inward(((0.0, 0.0), (0.5, 0.001), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))) is None
    assert bends_inward(((0.0, 0.0), (0.5, 0.01), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))) == 1


@given(st.integers(0, 7), st.permutations(range(8)))
def test_points_out_of_turn_are_no_outline(start: int, order: list[int]) -> None:
    """Law: of all orders of eight points on a circle only the sixteen that go round it once are convex."""
    points = [(cos(tau * k / 8), sin(tau * k / 8)) for k in order]
    steps = {(b - a) % 8 for a, b in zip(order, (*order[1:], order[0]), strict=True)}

    assert (bends_inward(points) is None) == (steps in ({1}, {7}))
    assert bends_inward(points[start:] + points[:start]) is None or steps not in ({1}, {7})


FIGURE = st.one_of(st.integers(-4000, 3000), st.sampled_from([0, 1, -1, 9_999_999, -9_999_999, 1_000_000]))


@given(
    st.lists(st.tuples(FIGURE, FIGURE), min_size=2, max_size=12),
    st.lists(st.tuples(FIGURE, FIGURE, FIGURE), min_size=1, max_size=12),
    st.booleans(),
)
def test_any_figures_are_read_or_told(
    flat: list[tuple[int, int]], deep: list[tuple[int, int, int]], mirrored: bool
) -> None:
    """Law: whatever numbers stand there, it is a body of closed pieces or one with findings at its lines; no crash."""
    outline = ", ".join(" ".join(map(str, point)) for point in flat)
    corners = ", ".join(" ".join(map(str, point)) for point in deep)
    kind = "mirrored: yes" if mirrored else "half: yes"
    text = f"""{BODY}  odd: {{{kind}, side: "in mm: {outline}", front: "in mm: {outline}"}}
  skin: {{{kind}, corners: "in ft: {corners}"}}
"""
    read = read_part(text, file="box.yaml")

    assert (read.part is None) == bool(read.findings)
    assert all(each.about.startswith("pieces.") and each.where[0].line > 1 for each in read.findings)
    if isinstance(read.part, BodyPart):
        assert all(solid_of(piece) is not None for piece in read.part.pieces.values())


def test_two_forms_of_one_block_are_one_solid() -> None:
    """Corners and outlines of one box hold the same room."""
    by_corners = Piece(corners=tuple((x, y, z) for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)), half=True)
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    by_outlines = Piece(side=square, top=square, half=True)
    one, other = solid_of(by_corners), solid_of(by_outlines)

    assert one is not None
    assert other is not None
    assert np.array(sorted(one.vertices_m.tolist())) == pytest.approx(np.array(sorted(other.vertices_m.tolist())))


MOUNT = """\
kind: mount
name: bar
title: A bar
figures: {source: drawn by nobody, date: 2026-01-01, invented: yes}
mass: 5 kg
length: 100 mm
width: 900 mm
height: 60 mm
what: bar
load: 10 kg
pieces:
  bar: {half: yes, side: "in mm: 0 0, 50 0, 50 60, 0 60", front: "in mm: 0 0, 450 0, 450 60, 0 60"}
"""


@pytest.mark.parametrize(
    ("was", "now", "code", "about"),
    [
        ("half: yes, side", "half: yes, panel: gate, side", "PRT-058", "pieces.bar.panel"),
        ("half: yes, side", "half: yes, glass: gate, side", "PRT-058", "pieces.bar.glass"),
        ("half: yes, side", "half: yes, mirrored: yes, side", "PRT-045", "pieces.bar.half"),
        ('50 60, 0 60", front', '0 60, 50 60", front', "PRT-106", "pieces.bar.side"),
    ],
)
def test_a_mount_has_pieces_of_its_own(was: str, now: str, code: str, about: str) -> None:
    """Case: a rack or a push bumper is read with its pieces; what only a body can say is told."""
    read = read_part(MOUNT, file="bar.yaml")
    assert isinstance(read.part, MountPart)
    assert list(read.part.pieces) == ["bar"]
    wrong = read_part(MOUNT.replace(was, now), file="bar.yaml")

    assert [(each.code, each.about) for each in wrong.findings] == [(code, about)]


def test_a_housing_is_whole_or_not_said() -> None:
    """Case: a camera with a width and no height."""
    camera = """\
kind: device
name: eye
title: An eye
figures: {source: drawn by nobody, date: 2026-01-01, invented: yes}
mass: 0.2 kg
what: camera
width: 60 mm
"""
    (finding,) = read_part(camera, file="eye.yaml").findings

    assert (finding.code, finding.about) == ("PRT-105", "width")
