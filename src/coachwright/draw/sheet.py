"""What stands round a drawing? Frame, title block with number, revision, scale and digest, and the scale bar."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from coachwright.build.model import Model
from coachwright.draw.letters import fitted
from coachwright.draw.svg import MM_PER_PT, Element, Point, drawing, element, group, line, text
from coachwright.look.style import ACCENT, INK, LINE_PT, PAPER, QUIET, RULE_LINE, TYPE_PT

PaperSize = Literal["a4", "a3", "letter", "tabloid"]
PAPER_MM: dict[PaperSize, tuple[float, float]] = {
    "a4": (297.0, 210.0),
    "a3": (420.0, 297.0),
    "letter": (279.4, 215.9),
    "tabloid": (431.8, 279.4),
}
"""Width and height, long side level. ISO 216; ASME Y14.1 (inch sizes A and B). [mm]"""

MARGIN_MM, INSET_MM, BLOCK_HEIGHT_MM = 10.0, 4.0, 23.0
_NOTES_MM, _NOTE_PT = 9.4, 7.0
NOTE = (
    "An engineering estimate, not a certificate; measured acceptance decides. Before drilling: airbags, curtains and "
    "hidden harnesses; the vehicle maker's body-builder guide decides."
)
"""Stands on every sheet: a drawing is a thing to drill by."""

SCALES_N = (5, 10, 20, 25, 30, 40, 50, 75, 100, 150, 200)
"""Scales a rule can be laid on: 1 to this many."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the block in the corner says. day : of the job, never of the clock."""

    job: str
    customer: str
    title: str
    number: str
    revision: str
    scale: str
    day: str
    digest: str


@dataclass(frozen=True, slots=True)
class Plate:
    """A picture without its frame.

    elements : in millimetres, from the plate's upper left corner. scale_n : drawn 1 to this many; 0 for none.
    """

    name: str
    title: str
    width_mm: float
    height_mm: float
    elements: tuple[Element, ...]
    scale_n: int = 0
    number: str = ""


def plate_svg(plate: Plate) -> str:
    """The plate alone, as a picture in a paper."""
    return drawing(plate.elements, width_mm=plate.width_mm, height_mm=plate.height_mm, title=plate.title)


def room_mm(size: PaperSize) -> tuple[float, float]:
    """Width and height a plate may take on a sheet. [mm]"""
    width, height = PAPER_MM[size]
    inner = 2 * (MARGIN_MM + INSET_MM)
    return width - inner, height - inner - BLOCK_HEIGHT_MM


def sheet_svg(plate: Plate, block: TitleBlock, *, size: PaperSize) -> str:
    """The plate in its frame, with the title block."""
    width, height = PAPER_MM[size]
    corner = MARGIN_MM + INSET_MM
    inside: Iterable[Element] = (
        element("rect", width=width, height=height, fill=PAPER),
        _frame(width, height),
        group(*plate.elements, name="plate", dx_mm=corner, dy_mm=corner),
        _block(block, width=width, height=height),
    )
    return drawing(inside, width_mm=width, height_mm=height, title=f"{block.title}, {block.number}")


def title_block(model: Model, plate: Plate, *, digest: str) -> TitleBlock:
    """The block of one plate of a job."""
    job = model.job
    scale = f"1 : {plate.scale_n}" if plate.scale_n else "none"
    number = "-".join(part for part in (job.number, plate.number) if part)
    return TitleBlock(
        job.name, job.customer, plate.title, number, job.revision, scale, f"due {job.due}" if job.due else "", digest
    )


def fitting_scale_n(length_m: float, *, room_mm: float) -> int:
    """The largest scale of the list at which a length fits; beyond the list, the next hundred."""
    for scale_n in SCALES_N:
        if length_m * 1000.0 / scale_n <= room_mm:
            return scale_n
    return math.ceil(length_m * 10.0 / room_mm) * 100


def scale_bar(at: Point, *, scale_n: int) -> Element:
    """A bar of whole metres with its words; `at` is its left end. It is 8 mm high with its text."""
    x, y = at
    metre = 1000.0 / scale_n
    parts = [
        element(
            "rect", x=x + place * metre, y=y, width=metre, height=1.2, stroke=INK, stroke_width=_line("detail"),
            fill=INK if place == 0 else PAPER, id="scale-metre" if place == 0 else None,
        )
        for place in range(2)
    ]  # fmt: skip
    words = [
        text((x + place * metre, y + 4.2), f"{place} m" if place else "0", size_pt=6.5, ink=QUIET, anchor="middle")
        for place in range(3)
    ]
    said = text((x + 2 * metre + 6.0, y + 1.6), f"scale 1 : {scale_n}", size_pt=TYPE_PT["label"], ink=INK)
    return group(*parts, *words, said, name="scale-bar")


def _line(kind: str) -> float:
    return LINE_PT[kind] * MM_PER_PT


def _frame(width: float, height: float) -> Element:
    return element(
        "rect",
        x=MARGIN_MM,
        y=MARGIN_MM,
        width=width - 2 * MARGIN_MM,
        height=height - 2 * MARGIN_MM,
        fill="none",
        stroke=INK,
        stroke_width=_line("outline"),
    )


def _block(block: TitleBlock, *, width: float, height: float) -> Element:
    """A band along the foot of the frame: job and title left, numbers right."""
    left, right = MARGIN_MM, width - MARGIN_MM
    top, foot = height - MARGIN_MM - BLOCK_HEIGHT_MM, height - MARGIN_MM
    inner = right - left
    cells = (
        ("drawing", block.title, 0.29, True),
        ("job", block.job, 0.25, True),
        ("number", block.number, 0.16, True),
        ("revision", block.revision, 0.08, True),
        ("scale", block.scale, 0.09, True),
        ("date", block.day, 0.13, False),
    )
    drawn = [line((left, top), (right, top), ink=INK, width_mm=_line("outline"))]
    x = left
    for place, (head, said, share, bold) in enumerate(cells):
        cell = share * inner
        if place:
            drawn.append(line((x, top), (x, foot - _NOTES_MM), ink=RULE_LINE, width_mm=_line("detail")))
        drawn.append(text((x + 2.5, top + 4.2), head, size_pt=6.5, ink=QUIET))
        size = 11.0 if bold else 9.0
        kept = fitted(said or "–", width_mm=cell - 5.0, size_pt=size, bold=bold)
        drawn.append(text((x + 2.5, top + 10.0), kept, size_pt=size, ink=ACCENT if place == 0 else INK, bold=bold))
        x += cell
    drawn.append(line((left, foot - _NOTES_MM), (right, foot - _NOTES_MM), ink=RULE_LINE, width_mm=_line("detail")))
    customer = fitted(block.customer, width_mm=inner * 0.6, size_pt=_NOTE_PT)
    digest = fitted(block.digest, width_mm=inner * 0.3, size_pt=_NOTE_PT)
    note = fitted(NOTE, width_mm=inner - 5.0, size_pt=_NOTE_PT)
    drawn.append(text((left + 2.5, foot - 5.9), customer, size_pt=_NOTE_PT, ink=INK))
    drawn.append(text((right - 2.5, foot - 5.9), f"digest {digest}", size_pt=_NOTE_PT, ink=QUIET, anchor="end"))
    drawn.append(text((left + 2.5, foot - 2.2), note, size_pt=_NOTE_PT, ink=QUIET))
    return group(*drawn, name="title-block")
