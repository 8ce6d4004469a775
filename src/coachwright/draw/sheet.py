"""What stands round a drawing? Frame, title block, and the scale bar.

The block has the data fields of ISO 7200:2004, table 1 (from memory of a secondary page; not read in the standard).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from coachwright.build.model import Model
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.svg import MM_PER_PT, Element, Point, drawing, element, group, line, text
from coachwright.look.style import ACCENT, INK, LINE_PT, PAPER, QUIET, RULE_LINE, TYPE_PT

PaperSize = Literal["a4", "a3", "ansi-a", "ansi-b"]
PAPER_MM: dict[PaperSize, tuple[float, float]] = {
    "a4": (297.0, 210.0),
    "a3": (420.0, 297.0),
    "ansi-a": (279.4, 215.9),
    "ansi-b": (431.8, 279.4),
}
"""Width and height, long side level. ISO 216; ASME Y14.1 (inch sizes A and B). [mm]"""

MARGIN_MM, INSET_MM, BLOCK_HEIGHT_MM = 10.0, 4.0, 29.6
_NOTES_MM, _ROW_MM, _NOTE_PT, _FIELD_PT = 9.4, 10.1, 7.0, 6.0
NOTE = (
    "An engineering estimate, not a certificate; measured acceptance decides. Before drilling: airbags, curtains and "
    "hidden harnesses; the vehicle maker's body-builder guide decides."
)
"""Stands on every sheet: a drawing is a thing to drill by."""

_SMALLER_PT = (9.0, 8.0, 7.0)
_LEAST_STEP_MM, _SAID_MM = 5.0, 26.0
"""One step of a scale bar is this long at least, so that its words stand apart."""

DOCUMENT_TYPE = "arrangement drawing"

SCALES_N = (5, 10, 20, 25, 30, 40, 50, 75, 100, 150, 200)
"""Scales a rule can be laid on: 1 to this many."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the block at the foot says: the data fields of ISO 7200, and scale and digest beside them.

    owner, number, revision, issued, sheet, title, supplement, approved_by, creator, document, status, language : the
    fields of the standard (owner: legal owner; number: identification number; supplement: supplementary title).
    A field the job leaves open prints a dash: to be filled by hand.
    issued : of the job, never of the clock.
    """

    owner: str
    title: str
    supplement: str
    number: str
    revision: str
    sheet: str
    issued: str
    creator: str
    approved_by: str
    status: str
    customer: str
    scale: str
    due: str
    digest: str
    document: str = DOCUMENT_TYPE
    language: str = "en"


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


def framed(model: Model, plates: Sequence[Plate], *, digest: str, size: PaperSize) -> tuple[tuple[str, str], ...]:
    """Plates of one set, numbered, each in its frame: (name, SVG)."""
    blocks = (
        title_block(model, plate, digest=digest, sheet_n=number, sheets_n=len(plates))
        for number, plate in enumerate(plates, start=1)
    )
    return tuple((plate.name, sheet_svg(plate, block, size=size)) for plate, block in zip(plates, blocks, strict=True))


def title_block(model: Model, plate: Plate, *, digest: str, sheet_n: int = 1, sheets_n: int = 1) -> TitleBlock:
    """The block of one plate of a job. sheet_n : which of so many sheets it is, from 1."""
    job = model.job
    return TitleBlock(
        owner=job.shop,
        title=plate.title,
        supplement=job.name,
        number="-".join(part for part in (job.number, plate.number) if part),
        revision=job.revision,
        sheet=f"{sheet_n} of {sheets_n}",
        issued=job.issued,
        creator=job.drawn_by,
        approved_by=job.approved_by,
        status="released" if job.approved_by and job.issued else "in preparation",
        customer=job.customer,
        scale=f"1 : {plate.scale_n}" if plate.scale_n else "none",
        due=f"due {job.due}" if job.due else "",
        digest=digest,
    )


def fitting_scale_n(length_m: float, *, room_mm: float) -> int:
    """The largest scale of the list at which a length fits; beyond the list, the next hundred."""
    for scale_n in SCALES_N:
        if length_m * 1000.0 / scale_n <= room_mm:
            return scale_n
    return math.ceil(length_m * 10.0 / room_mm) * 100


def scale_bar(at: Point, *, scale_n: int, room_mm: float = 150.0) -> Element:
    """A bar of whole metres, of centimetres where two metres have no room, 8 mm high; `at` is its left end."""
    x, y = at
    steps_m: tuple[float, ...] = (1, 2, 5, 10, 20, 50) if 2000.0 / scale_n + _SAID_MM <= room_mm else (0.1, 0.2, 0.5)
    step_m = next((step for step in steps_m if step * 1000.0 / scale_n >= _LEAST_STEP_MM), 100)
    metre = step_m * 1000.0 / scale_n
    parts = [
        element(
            "rect", x=x + place * metre, y=y, width=metre, height=1.2, stroke=INK, stroke_width=_line("detail"),
            fill=INK if place == 0 else PAPER, id="scale-metre" if place == 0 else None,
        )
        for place in range(2)
    ]  # fmt: skip
    words = [
        text(
            (x + place * metre, y + 4.2),
            (f"{place * step_m:g} m" if step_m >= 1 else f"{100 * place * step_m:g} cm") if place else "0",
            size_pt=6.5,
            ink=QUIET,
            anchor="middle",
        )
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
    """A band along the foot of the frame, in two rows of fields and two lines below."""
    left, right = MARGIN_MM, width - MARGIN_MM
    top, foot = height - MARGIN_MM - BLOCK_HEIGHT_MM, height - MARGIN_MM
    first = (
        ("title", block.title, 0.24),
        ("supplementary title", block.supplement, 0.26),
        ("identification number", block.number, 0.18),
        ("revision", block.revision, 0.08),
        ("sheet", block.sheet, 0.08),
        ("scale", block.scale, 0.08),
        ("language", block.language, 0.08),
    )
    second = (
        ("legal owner", block.owner, 0.24),
        ("customer", block.customer, 0.26),
        ("document type", block.document, 0.18),
        ("creator", block.creator, 0.08),
        ("approved by", block.approved_by, 0.08),
        ("date of issue", block.issued, 0.08),
        ("status", block.status, 0.08),
    )
    lower = top + _ROW_MM
    drawn = [
        *_fields(first, (left, top), right, size_pt=10.0, rule="outline"),
        *_fields(second, (left, lower), right, size_pt=7.5, rule="detail"),
        line((left, foot - _NOTES_MM), (right, foot - _NOTES_MM), ink=RULE_LINE, width_mm=_line("detail")),
    ]
    inner = right - left
    due = fitted(block.due, width_mm=inner * 0.5, size_pt=_NOTE_PT)
    digest = fitted(block.digest, width_mm=inner * 0.3, size_pt=_NOTE_PT)
    note = fitted(NOTE, width_mm=inner - 5.0, size_pt=_NOTE_PT)
    drawn.append(text((left + 2.5, foot - 5.9), due, size_pt=_NOTE_PT, ink=INK))
    drawn.append(
        text((right - 2.5, foot - 5.9), f"digest of the build {digest}", size_pt=_NOTE_PT, ink=QUIET, anchor="end")
    )
    drawn.append(text((left + 2.5, foot - 2.2), note, size_pt=_NOTE_PT, ink=QUIET))
    return group(*drawn, name="title-block")


def _fields(
    cells: Iterable[tuple[str, str, float]], at: Point, right: float, *, size_pt: float, rule: str
) -> list[Element]:
    """One row of the block: (field, what stands in it, share of the width) from left to right."""
    left, top = at
    drawn = [line((left, top), (right, top), ink=INK if rule == "outline" else RULE_LINE, width_mm=_line(rule))]
    x = left
    for place, (head, said, share) in enumerate(cells):
        cell = share * (right - left)
        if place:
            drawn.append(line((x, top), (x, top + _ROW_MM), ink=RULE_LINE, width_mm=_line("detail")))
        kept_head = fitted(head, width_mm=cell - 3.0, size_pt=_FIELD_PT)
        kept_pt = _kept_pt(said, width_mm=cell - 3.0, size_pt=size_pt)
        kept = fitted(said or "–", width_mm=cell - 3.0, size_pt=kept_pt, bold=True)
        ink = ACCENT if place == 0 and rule == "outline" else INK
        drawn.append(text((x + 2.0, top + 3.3), kept_head, size_pt=_FIELD_PT, ink=QUIET))
        drawn.append(text((x + 2.0, top + 8.2), kept, size_pt=kept_pt, ink=ink, bold=True))
        x += cell
    return drawn


def _kept_pt(said: str, *, width_mm: float, size_pt: float) -> float:
    """A smaller size of type at which it can be read whole; the size itself where none is small enough."""
    sizes = (size_pt, *(each for each in _SMALLER_PT if each < size_pt))
    return next((each for each in sizes if text_width_mm(said, size_pt=each, bold=True) <= width_mm), size_pt)
