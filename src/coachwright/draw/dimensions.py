"""How is a length written at a drawing? A line with its ends marked and the length in millimetres and inches."""

from __future__ import annotations

from coachwright.draw.letters import text_width_mm
from coachwright.draw.svg import Element, element, line, text
from coachwright.kit.show import show_in
from coachwright.look.style import INK, PAPER, QUIET

_SIZE_PT = 7.0


def dimension_text(what: str, length_m: float) -> str:
    """``wheelbase 3,680 mm (144.9 in)``."""
    return f"{what} {show_in(length_m, 'mm', kind='length')} ({show_in(length_m, 'in', kind='length')})"


def across(one_mm: float, other_mm: float, *, y_mm: float, from_mm: float, said: str, name: str) -> list[Element]:
    """A level dimension between two places of the drawing. from_mm : where its thin upright lines begin."""
    left, right = sorted((one_mm, other_mm))
    return [
        *(line((x, from_mm), (x, y_mm + 1.2), ink=QUIET, width_mm=0.09) for x in (left, right)),
        line((left, y_mm), (right, y_mm), ink=INK, width_mm=0.13, name=name),
        *(_stroke(x, y_mm) for x in (left, right)),
        *_words((left + right) / 2, y_mm, said),
    ]


def upright(high_mm: float, low_mm: float, *, x_mm: float, said: str, name: str) -> list[Element]:
    """A dimension up the side of a drawing; its words stand over its head."""
    return [
        line((x_mm, high_mm), (x_mm, low_mm), ink=INK, width_mm=0.13, name=name),
        *(_stroke(x_mm, y) for y in (high_mm, low_mm)),
        text((max(0.5, x_mm - 2.0), high_mm - 2.6), said, size_pt=_SIZE_PT, ink=INK),
    ]


def _words(x_mm: float, y_mm: float, said: str) -> list[Element]:
    wide = text_width_mm(said, size_pt=_SIZE_PT) + 2.4
    ground = element("rect", x=x_mm - wide / 2, y=y_mm - 1.6, width=wide, height=3.2, fill=PAPER)
    return [ground, text((x_mm, y_mm + 0.85), said, size_pt=_SIZE_PT, ink=INK, anchor="middle")]


def _stroke(x_mm: float, y_mm: float) -> Element:
    return line((x_mm - 0.8, y_mm + 0.8), (x_mm + 0.8, y_mm - 0.8), ink=INK, width_mm=0.2)
