"""Does the page on how to add a place say what a body takes?"""

import re
import textwrap
from pathlib import Path

from coachwright.parts.body_pieces import solid_of
from coachwright.parts.body_ways import node_of_place, nodes, reached_from
from coachwright.parts.read import read_part
from coachwright.parts.schema import BodyPart

PAGE = (Path(__file__).parents[2] / "docs" / "how-to-add-a-place.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)

AROUND = """\
kind: body
name: tried
title: The examples of the page on a plain body
figures: {source: drawn by nobody, date: 2026-01-01, invented: yes}
body-class: box
mass: 2000 kg
length: 5.9 m
width: 2 m
height: 2 m
wheelbase: 3.6 m
front-overhang: 0.95 m
panels:
  front-door:
    {signal: door, signal-right: door, mirrored: yes, hinge-x: -470 mm, hinge-y: 985 mm, axis: z, travel: -68 deg}
glass: {}
signals:
  door: {kind: states, values: [closed, open], rest: closed, source: a wire}
lamps: {}
battery: {part: some-battery, at: battery-main}
"""
BATTERY = "  battery-main: {x: 230 mm, y: 640 mm, z: 1060 mm, facing: 0 deg, rise: 90 deg, holds: [battery]}\n"


def tried() -> BodyPart:
    """The page's examples, one behind the other."""
    place, *others = (textwrap.dedent(each) for each in EXAMPLES)
    read = read_part(AROUND + place + BATTERY + "".join(others), file="tried.yaml")
    assert read.findings == ()
    assert isinstance(read.part, BodyPart)
    return read.part


def test_every_example_of_the_page_is_read() -> None:
    """Law: what the page shows is a body without a finding: a place, joints with ways, keep-outs, pieces."""
    body = tried()

    assert len(EXAMPLES) == 4
    assert all(solid_of(piece) is not None for piece in body.pieces.values())
    assert body.pieces["mirror"].panel == "front-door"
    assert set(body.places) == {"bumper-corner", "battery-main"}
    assert {box.kind for box in body.keep_outs.values()} == {"curtain", "fuel"}


def test_the_place_of_the_page_is_reached_from_its_battery() -> None:
    """Law: the ways shown lead from the battery to the lamp on both sides, and into both doors."""
    body = tried()
    together = reached_from(body, "battery-main")

    assert together == nodes(body)
    assert {node_of_place(body, "bumper-corner", side) for side in ("left", "right")} == {"front.left", "front.right"}
    assert {"door.left", "door.right"} <= together


def test_the_page_names_what_a_place_and_a_keep_out_can_be() -> None:
    """Law: every word a body file takes for a place, a keep-out and a way's zone stands on the page."""
    words = "lamp bar device control speaker antenna battery console cargo".split()
    words += "airbag curtain fuel hot moving cabin engine outside roof cargo door".split()

    assert [word for word in words if word not in PAGE] == []
    assert "vehicle maker's guide" in PAGE
