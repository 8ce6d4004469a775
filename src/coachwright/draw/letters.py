"""How much room does a text take on paper? Widths of the letters of the paper's typeface, and texts cut to fit.

See Also
--------
coachwright.draw.svg : writes the text. coachwright.draw.table : lays it in columns.
"""

from __future__ import annotations

import unicodedata

from coachwright.draw.svg import MM_PER_PT

# Advance widths of U+0020 to U+007E in thousandths of the size of type, from the tables of Source Sans Pro (SIL Open
# Font License): Regular, then Semibold.
_REGULAR = (
    200, 289, 425, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350, 497, 497, 497, 497, 497, 497, 497,
    497, 497, 497, 249, 249, 497, 497, 497, 425, 847, 544, 588, 571, 615, 527, 494, 617, 652, 263, 480, 579, 486, 727,
    647, 664, 566, 664, 569, 534, 536, 645, 515, 786, 513, 476, 539, 303, 350, 303, 497, 500, 542, 504, 553, 456, 555,
    496, 292, 504, 544, 246, 247, 495, 255, 829, 547, 542, 555, 555, 347, 419, 338, 544, 467, 718, 446, 467, 425, 303,
    241, 303, 497,
)  # fmt: skip
_SEMIBOLD = (
    200, 315, 482, 513, 513, 841, 639, 275, 324, 324, 438, 513, 275, 322, 275, 344, 513, 513, 513, 513, 513, 513, 513,
    513, 513, 513, 275, 275, 513, 513, 513, 444, 875, 558, 597, 576, 625, 538, 510, 628, 663, 282, 494, 597, 502, 745,
    656, 674, 582, 674, 592, 545, 546, 655, 536, 800, 541, 501, 540, 324, 344, 324, 513, 500, 549, 516, 563, 462, 564,
    507, 317, 520, 558, 262, 263, 522, 271, 843, 560, 549, 564, 564, 373, 431, 361, 556, 495, 748, 481, 495, 443, 324,
    255, 324, 513,
)  # fmt: skip
_WIDE, _OTHER = 1000, 700
ELLIPSIS = "…"


def text_width_mm(said: str, *, size_pt: float, bold: bool = False) -> float:
    """Width of one line of text; never too small for letters of the typeface. [mm]"""
    table = _SEMIBOLD if bold else _REGULAR
    thousandths = sum(_width(letter, table) for letter in said)
    return thousandths / 1000.0 * size_pt * MM_PER_PT


def fitted(said: str, *, width_mm: float, size_pt: float, bold: bool = False) -> str:
    """The text in one line, cut with an ellipsis where it is longer than `width_mm`."""
    line = " ".join(said.split())[:4000]
    if text_width_mm(line, size_pt=size_pt, bold=bold) <= width_mm:
        return line
    return _cut(line, width_mm=width_mm, size_pt=size_pt, bold=bold)


def lines_of(said: str, *, width_mm: float, size_pt: float, most_n: int, bold: bool = False) -> tuple[str, ...]:
    """The text broken into at most `most_n` lines between words; the last is cut where more is left."""
    words = said[:4000].split()
    lines: list[str] = []
    while words and len(lines) < most_n:
        taken = _taken(words, width_mm=width_mm, size_pt=size_pt, bold=bold)
        if len(lines) == most_n - 1 and taken < len(words):
            lines.append(_cut(" ".join(words), width_mm=width_mm, size_pt=size_pt, bold=bold))
            break
        line = " ".join(words[:taken])
        lines.append(fitted(line, width_mm=width_mm, size_pt=size_pt, bold=bold))
        words = words[taken:]
    return tuple(lines)


def _taken(words: list[str], *, width_mm: float, size_pt: float, bold: bool) -> int:
    """How many words go on one line; at least one."""
    taken, used = 0, 0.0
    gap = text_width_mm(" ", size_pt=size_pt, bold=bold)
    for word in words:
        used += text_width_mm(word, size_pt=size_pt, bold=bold) + (gap if taken else 0.0)
        if taken and used > width_mm:
            break
        taken += 1
    return taken


def _cut(line: str, *, width_mm: float, size_pt: float, bold: bool) -> str:
    left = width_mm - text_width_mm(ELLIPSIS, size_pt=size_pt, bold=bold)
    kept = []
    for letter in line:
        left -= text_width_mm(letter, size_pt=size_pt, bold=bold)
        if left < 0:
            break
        kept.append(letter)
    return "".join(kept).rstrip() + ELLIPSIS


def _width(letter: str, table: tuple[int, ...]) -> int:
    place = ord(letter) - 0x20
    if 0 <= place < len(table):
        return table[place]
    if unicodedata.combining(letter):
        return 0
    return _WIDE if letter == ELLIPSIS or unicodedata.east_asian_width(letter) in "WF" else _OTHER
