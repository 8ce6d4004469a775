"""How is a drawing written down? Elements, numbers, text and hatches as SVG, in millimetres of paper.

The same elements give the same bytes. Text is text: whatever a name holds, it can't become a tag, a style or a script.
Hatches follow the public heraldic convention for black and white print: red upright lines, blue level lines, amber
(gold) dots, white plain, green slanted lines.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.model import COLOURS, Colour
from coachwright.look.style import LIGHTS, Hatch

FONT = "Source Sans Pro"
MM_PER_PT = 25.4 / 72.0
Point = tuple[float, float]
"""Along and down the paper. [mm]"""

_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_SIGNS = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}
_PITCH_MM = 0.8
_REPEATS: dict[Hatch, int] = {"vertical": 16, "horizontal": 16, "dots": 6, "diagonal": 12, "plain": 1}


@dataclass(frozen=True, slots=True)
class Element:
    """One element: its name, its attributes in order, what stands inside it."""

    name: str
    attributes: tuple[tuple[str, str], ...] = ()
    inside: tuple[Element | str, ...] = ()


def element(name: str, *inside: Element | str, **attributes: float | str | None) -> Element:
    """An element; underscores in attributes stand for hyphens, numbers are rounded, None is left out."""
    written = tuple(
        (key.rstrip("_").replace("_", "-"), value if isinstance(value, str) else number(value))
        for key, value in attributes.items()
        if value is not None
    )
    return Element(name, written, inside)


def number(value: float) -> str:
    """A number of paper: to a thousandth of a millimetre, without noughts at the end.

    Raises
    ------
    ValueError : it isn't finite.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} has no place on paper")
    said = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said


def escaped(text: str) -> str:
    """Text as SVG may hold it, in an element or an attribute; what XML can't say becomes a replacement sign."""
    seen = _NOT_IN_XML.sub("\ufffd", text)
    return "".join(_SIGNS.get(letter, letter) for letter in seen)


def written(top: Element) -> str:
    """The element and all that is in it as text."""
    pieces: list[str] = []
    _write(top, pieces)
    return "".join(pieces)


def _write(this: Element, pieces: list[str]) -> None:
    pieces.append(f"<{this.name}")
    pieces.extend(f' {key}="{escaped(value)}"' for key, value in this.attributes)
    if not this.inside:
        pieces.append("/>\n")
        return
    is_text = all(isinstance(each, str) for each in this.inside)
    pieces.append(">" if is_text else ">\n")
    for each in this.inside:
        if isinstance(each, str):
            pieces.append(escaped(each))
        else:
            _write(each, pieces)
    pieces.append(f"</{this.name}>\n")


def drawing(inside: Iterable[Element], *, width_mm: float, height_mm: float, title: str) -> str:
    """A whole drawing, ready to be a file."""
    top = element(
        "svg",
        element("title", title),
        hatches(),
        *inside,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{number(width_mm)}mm",
        height=f"{number(height_mm)}mm",
        viewBox=f"0 0 {number(width_mm)} {number(height_mm)}",
        font_family=f"{FONT}, sans-serif",
    )
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + written(top)


def group(*inside: Element, name: str = "", dx_mm: float = 0.0, dy_mm: float = 0.0) -> Element:
    """Elements that belong together, moved."""
    moved = f"translate({number(dx_mm)} {number(dy_mm)})" if dx_mm or dy_mm else None
    return element("g", *inside, id=name or None, transform=moved)


def path_of(points: Sequence[Point], *, closed: bool = False) -> str:
    """What a path through these points is called in SVG."""
    said = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return f"M{said}{'Z' if closed else ''}"


def line(start: Point, end: Point, *, ink: str, width_mm: float, dash: str | None = None, name: str = "") -> Element:
    """A straight line. dash : lengths on and off, as SVG writes them. [mm]"""
    return element(
        "line",
        id=name or None,
        x1=start[0],
        y1=start[1],
        x2=end[0],
        y2=end[1],
        stroke=ink,
        stroke_width=width_mm,
        stroke_dasharray=dash,
    )


def text(
    at: Point,
    said: str,
    *,
    size_pt: float,
    ink: str,
    anchor: str = "start",
    bold: bool = False,
    name: str = "",
) -> Element:
    """One line of text; `at` is on its foot line. anchor : ``start``, ``middle``, ``end``."""
    return element(
        "text",
        said,
        id=name or None,
        x=at[0],
        y=at[1],
        font_size=size_pt * MM_PER_PT,
        font_weight="600" if bold else None,
        text_anchor=anchor if anchor != "start" else None,
        fill=ink,
    )


# ---- hatches


def hatch_name(colour: Colour) -> str:
    """How the hatch of a colour is called inside a drawing."""
    return f"hatch-{colour}"


def hatch_fill(colour: Colour) -> str:
    """Fill that shows a colour of light: its wash under its hatch."""
    return f"url(#{hatch_name(colour)})"


def hatches() -> Element:
    """The hatch of every colour, for the head of a drawing."""
    return element("defs", *(_hatch(colour, LIGHTS[colour].hatch) for colour in COLOURS))


def _hatch(colour: Colour, hatch: Hatch) -> Element:
    """One tile of a hatch. It holds many lines: where tiles meet, screens show a seam that reads as a line."""
    look = LIGHTS[colour]
    size = _PITCH_MM * _REPEATS[hatch]
    places = [_PITCH_MM * (place + 0.5) for place in range(_REPEATS[hatch])]
    return element(
        "pattern",
        element("rect", width=size, height=size, fill=look.fill),
        *_marks(hatch, look.ink, places, size),
        id=hatch_name(colour),
        width=size,
        height=size,
        patternUnits="userSpaceOnUse",
    )


def _marks(hatch: Hatch, ink: str, places: Sequence[float], size: float) -> Sequence[Element]:
    if hatch == "vertical":
        return (_stroke("".join(f"M{number(x)},0V{number(size)}" for x in places), ink),)
    if hatch == "horizontal":
        return (_stroke("".join(f"M0,{number(y)}H{number(size)}" for y in places), ink),)
    if hatch == "dots":
        return [element("circle", cx=x, cy=y, r=0.17, fill=ink) for x in places for y in places]
    if hatch == "diagonal":
        starts = [*(place - size for place in places), *places]
        slant = (f"M{number(x)},{number(size)}L{number(x + size)},0" for x in starts)
        return (_stroke("".join(slant), ink),)
    return ()


def _stroke(path: str, ink: str) -> Element:
    return element("path", d=path, stroke=ink, stroke_width=0.16, fill="none")
