"""How are rows of words laid in columns? A head, a line, rows; blocks side by side, over as many sheets as it takes.

See Also
--------
coachwright.draw.lamp_table : the table of lamps, which has hatches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coachwright.draw.letters import fitted
from coachwright.draw.svg import MM_PER_PT, Element, Point, line, text
from coachwright.look.style import INK, LINE_PT, QUIET, RULE_LINE

ROW_MM, HEAD_MM, GAP_MM = 3.7, 5.2, 6.0
_SIZE_PT, _HEAD_PT, _BETWEEN_MM, _AFTER_NUMBER_MM = 6.8, 6.3, 1.6, 2.8


@dataclass(frozen=True, slots=True)
class Column:
    """One column. share : of the width. right : numbers end where the column does. bold : what a row is found by."""

    head: str
    share: float
    right: bool = False
    bold: bool = False


def rows_that_fit_n(height_mm: float) -> int:
    """Rows of one block of this height. [mm]"""
    return max(0, int((height_mm - HEAD_MM) / ROW_MM + 1e-6))


def listed_mm(rows_n: int) -> float:
    """How high a block is. [mm]"""
    return HEAD_MM + rows_n * ROW_MM


def listed(
    rows: Sequence[Sequence[str]], columns: Sequence[Column], at: Point, *, width_mm: float, blocks_n: int = 1
) -> list[Element]:
    """Rows in blocks side by side, filled one after the other; the upper left corner is `at`."""
    if not rows:
        return []
    each_n = -(-len(rows) // blocks_n)
    block_mm = (width_mm - (blocks_n - 1) * GAP_MM) / blocks_n
    drawn: list[Element] = []
    for block in range(-(-len(rows) // each_n)):
        left = at[0] + block * (block_mm + GAP_MM)
        drawn += _line(tuple(each.head for each in columns), columns, (left, at[1] + 3.2), block_mm, head=True)
        foot = at[1] + HEAD_MM - 1.0
        drawn.append(line((left, foot), (left + block_mm, foot), ink=INK, width_mm=LINE_PT["detail"] * MM_PER_PT))
        for place, row in enumerate(rows[block * each_n : (block + 1) * each_n]):
            y = at[1] + HEAD_MM + (place + 1) * ROW_MM - 1.3
            drawn += _line(row, columns, (left, y), block_mm)
            drawn.append(line((left, y + 1.0), (left + block_mm, y + 1.0), ink=RULE_LINE, width_mm=0.08))
    return drawn


def _line(
    said: Sequence[str], columns: Sequence[Column], at: Point, width_mm: float, *, head: bool = False
) -> list[Element]:
    x, y = at
    size_pt = _HEAD_PT if head else _SIZE_PT
    drawn: list[Element] = []
    for words, column in zip(said, columns, strict=True):
        room = column.share * width_mm
        bold = column.bold and not head
        inner = room - (_AFTER_NUMBER_MM if column.right else _BETWEEN_MM)
        kept = fitted(words, width_mm=inner, size_pt=size_pt, bold=bold)
        where = (x + inner, y) if column.right else (x, y)
        if kept:
            anchor = "end" if column.right else "start"
            drawn.append(text(where, kept, size_pt=size_pt, ink=QUIET if head else INK, anchor=anchor, bold=bold))
        x += room
    return drawn
