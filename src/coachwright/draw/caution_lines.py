"""What can hurt whoever works by this sheet? A caution of the one table, written on the sheet itself.

See Also
--------
coachwright.look.cautions : the table.
"""

from __future__ import annotations

from coachwright.draw.letters import lines_of
from coachwright.draw.svg import Element, Point, text
from coachwright.look.cautions import CAUTIONS
from coachwright.look.style import INK

_SIZE_PT, _LINE_MM, _MOST_N = 6.3, 2.8, 5


def caution_elements(name: str, at: Point, *, width_mm: float) -> list[Element]:
    """The caution in as many lines as it takes; `at` is on the foot line of the first."""
    return [
        text((at[0], at[1] + _LINE_MM * place), said, size_pt=_SIZE_PT, ink=INK)
        for place, said in enumerate(_lines(name, width_mm))
    ]


def caution_mm(name: str, *, width_mm: float) -> float:
    """How high it is. [mm]"""
    return _LINE_MM * len(_lines(name, width_mm))


def _lines(name: str, width_mm: float) -> tuple[str, ...]:
    caution = next(each for each in CAUTIONS if each.name == name)
    said = f"! {caution.title}: {caution.text} {caution.defers}"
    return lines_of(said, width_mm=width_mm, size_pt=_SIZE_PT, most_n=_MOST_N)
