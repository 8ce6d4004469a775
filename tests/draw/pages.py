"""Reads a drawing back: where every text stands and how much room it takes."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass

from coachwright.draw.letters import text_width_mm

SVG = "{http://www.w3.org/2000/svg}"
_MOVED = re.compile(r"translate\(([-0-9.]+) ([-0-9.]+)\)")
CAP_SHARE, DROP_SHARE = 0.66, 0.16
"""Of the size of type: height of capitals over the foot line, what hangs under it."""


@dataclass(frozen=True, slots=True)
class Box:
    said: str
    left: float
    top: float
    right: float
    foot: float

    def overlaps(self, other: Box) -> bool:
        return (
            self.left < other.right - 0.05
            and other.left < self.right - 0.05
            and self.top < other.foot - 0.05
            and other.top < self.foot - 0.05
        )


def text_boxes(svg: str) -> list[Box]:
    """Every text of a drawing as the box its letters take. [mm]"""
    found: list[Box] = []
    _collect(ET.fromstring(svg), 0.0, 0.0, found)
    return found


def overlapping(boxes: list[Box]) -> list[tuple[str, str]]:
    """Pairs of texts that lie on one another."""
    return [
        (one.said, other.said) for place, one in enumerate(boxes) for other in boxes[place + 1 :] if one.overlaps(other)
    ]


def by_id(svg: str, name: str) -> ET.Element:
    """The element with this id."""
    return next(each for each in ET.fromstring(svg).iter() if each.get("id") == name)


def _collect(node: ET.Element, dx: float, dy: float, found: list[Box]) -> None:
    moved = _MOVED.fullmatch(node.get("transform", ""))
    if moved:
        dx, dy = dx + float(moved[1]), dy + float(moved[2])
    if node.tag == f"{SVG}text":
        size = float(node.get("font-size", "0"))
        said = node.text or ""
        wide = text_width_mm(said, size_pt=size * 72 / 25.4, bold=node.get("font-weight") == "600")
        x = float(node.get("x", "0")) + dx
        y = float(node.get("y", "0")) + dy
        left = x - {"middle": wide / 2, "end": wide}.get(node.get("text-anchor", ""), 0.0)
        found.append(Box(said, left, y - size * CAP_SHARE, left + wide, y + size * DROP_SHARE))
    for child in node:
        _collect(child, dx, dy, found)
