"""What does a candela table kept in a spreadsheet say? Our own layout, for laboratories that hand out numbers only.

    goniometer, A
    angle, deg
    intensity, cd
    lumens, 820 lm
    V/H, -20, -10, 0, 10, 20
    -10, 12, 80, 150, 80, 12
    0, 40, 310, 900, 310, 40
    10, 12, 80, 150, 80, 12

Above the table stand a word and its value in each row. The row that begins with ``V/H`` (types A and B) or ``gamma/C``
(type C) holds the horizontal angles or planes; below it each row begins with its vertical angle. Cells are parted by
commas, semicolons or tabs; with the last two a comma is a decimal sign. Empty rows don't count, nor do those that begin
with #. How much of a symmetric table has to be written is told in `photometric_table.unfolded`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from coachwright.parts.photometric_file import PhotometricFile, dark_where_below_nothing
from coachwright.parts.photometric_table import Goniometer, unfolded
from coachwright.parts.photometric_text import (
    MOST_ANGLES,
    MOST_VALUES,
    Oddity,
    PhotometryWrong,
    lines_of,
    number_in,
    place_in,
    printable,
    too_many,
)

MOST_LINES = 5_000

_WORDS = ("goniometer", "angle", "intensity", "lumens", "title", "report", "date", "laboratory")
_NEEDED = ("goniometer", "angle", "intensity")
_ANGLE_UNITS = {"deg": 1.0, "rad": float(np.degrees(1.0))}
_INTENSITY_UNITS = ("cd", "cd/klm")
_CORNER: dict[str, tuple[Goniometer, ...]] = {"v/h": ("A", "B"), "gamma/c": ("C",)}


@dataclass(slots=True)
class _Table:
    words: dict[str, tuple[str, int]] = field(default_factory=dict)
    corner: str = ""
    corner_line: int = 1
    horizontal: list[float] = field(default_factory=list)
    vertical: list[float] = field(default_factory=list)
    rows: list[list[float]] = field(default_factory=list)


def read_candela_csv(text: str) -> PhotometricFile:
    """Read a whole table; `text` is from `photometric_text.text_of`.

    Raises
    ------
    PhotometryWrong : it can't be used; with line and column.
    """
    separator = _separator(text)
    table = _Table()
    for number, (_, line) in enumerate(lines_of(text), start=1):
        if number > MOST_LINES:
            raise PhotometryWrong(
                "PRT-080",
                "photometry-too-large",
                f"The table has more than {MOST_LINES:,} lines.",
                at=(number, 1),
                write="Take out lines that say nothing.",
            )
        cells = [cell.strip().strip('"').strip() for cell in line.split(separator, MOST_ANGLES + 1)]
        while cells and not cells[-1]:
            cells.pop()
        if not cells or cells[0].startswith("#"):
            continue
        _row(table, cells, number, line, separator)
    if not table.rows:
        raise PhotometryWrong(
            "PRT-083",
            "photometry-breaks-off",
            "There is no table: no row begins with V/H or gamma/C and has rows below it.",
            at=place_in(text, len(text.rstrip())),
            write="See docs/photometric-files.md for a table to begin with.",
        )
    return _file(table)


def _separator(text: str) -> str:
    """Tab or semicolon where a row of the table uses one, else a comma."""
    for sign in ("\t", ";"):
        if sign in text:
            return sign
    return ","


def _row(table: _Table, cells: list[str], line_n: int, line: str, separator: str) -> None:
    first = cells[0].lower().replace(" ", "")
    if table.corner:
        if len(table.rows) * len(table.horizontal) >= MOST_VALUES or len(table.rows) >= MOST_ANGLES:
            raise too_many((len(table.rows) + 1) * len(table.horizontal), (line_n, 1))
        if len(cells) != len(table.horizontal) + 1:
            raise PhotometryWrong(
                "PRT-085",
                "photometric-count-not-possible",
                f"This row has {len(cells) - 1} values, the row of angles {len(table.horizontal)}.",
                at=(line_n, 1),
                write="Write one value for each angle, 0 where it is dark.",
            )
        numbers = _numbers(cells, line_n, line, separator)
        table.vertical.append(numbers[0])
        table.rows.append(numbers[1:])
    elif first in _CORNER:
        table.corner, table.corner_line = first, line_n
        table.horizontal = _numbers(cells, line_n, line, separator, first_is_word=True)
        if len(table.horizontal) > MOST_ANGLES:
            raise too_many(len(table.horizontal), (line_n, 1))
    elif first in _WORDS:
        table.words[first] = (separator.join(cells[1:]).strip(), line_n)
    else:
        raise PhotometryWrong(
            "PRT-090",
            "candela-table-word-not-known",
            f"{printable(cells[0], 30)!r} says nothing here.",
            at=(line_n, 1),
            write=f"Above the table may stand {', '.join(_WORDS)}; the table begins with V/H or gamma/C.",
        )


def _numbers(cells: list[str], line_n: int, line: str, separator: str, *, first_is_word: bool = False) -> list[float]:
    values = []
    for place, cell in enumerate(cells):
        if place == 0 and first_is_word:
            continue
        value = number_in(cell if separator == "," else cell.replace(",", "."))
        if value is None:
            column = len(separator.join(line.split(separator)[:place])) + (2 if place else 1)
            raise PhotometryWrong(
                "PRT-084",
                "photometric-number-not-read",
                f"{printable(cell, 30) or 'Nothing'!r} is no number.",
                at=(line_n, column),
                write="Write a plain number in each cell of the table.",
            )
        values.append(value)
    return values


def _file(table: _Table) -> PhotometricFile:
    named = _choice(table, "goniometer", _CORNER[table.corner])
    kind: Goniometer = "A" if named == "A" else "B" if named == "B" else "C"
    to_deg = _ANGLE_UNITS[_choice(table, "angle", tuple(_ANGLE_UNITS))]
    unit = _choice(table, "intensity", _INTENSITY_UNITS)
    declared_lm = _lumens(table)
    if unit == "cd/klm" and declared_lm is None:
        raise PhotometryWrong(
            "PRT-097",
            "lamps-not-declared",
            "Values for each thousand lumens are no candela without the lumens.",
            at=(table.words["intensity"][1], 1),
            write="Add a row like: lumens, 820 lm.",
        )
    factor = 1.0 if unit == "cd" or declared_lm is None else declared_lm / 1000.0
    at, oddities = (table.corner_line, 1), list[Oddity]()
    candela = dark_where_below_nothing(np.array(table.rows) * factor, (table.corner_line + 1, 1), oddities)
    unfold, said = unfolded(
        kind,
        vertical_deg=np.array(table.vertical) * to_deg,
        horizontal_deg=np.array(table.horizontal) * to_deg,
        candela_cd=candela,
        at=at,
    )
    oddities += [Oddity("PRT-093", "planes-filled-in", each, *at) for each in said]
    texts = tuple((word.upper(), printable(said)) for word, (said, _) in table.words.items() if word not in _NEEDED)
    return PhotometricFile(
        layout="candela table",
        table=unfold,
        declared_lm=declared_lm,
        declared_of="through the lens" if declared_lm is not None else "",
        keywords=texts,
        oddities=tuple(oddities),
    )


def _choice(table: _Table, word: str, choices: tuple[str, ...]) -> str:
    said, line_n = table.words.get(word, ("", table.corner_line))
    for choice in choices:
        if said.lower() == choice.lower():
            return choice
    raise PhotometryWrong(
        "PRT-088",
        "candela-table-word-missing",
        f"{word} says {printable(said, 30)!r}." if said else f"The table doesn't say its {word}.",
        at=(line_n, 1),
        write=f"Write a row like: {word}, {choices[0]} ({' or '.join(choices)}).",
    )


def _lumens(table: _Table) -> float | None:
    if "lumens" not in table.words:
        return None
    said, line_n = table.words["lumens"]
    value = number_in(said.removesuffix("lm").strip())
    if value is None or not 0.0 < value < 1e9:
        raise PhotometryWrong(
            "PRT-084",
            "photometric-number-not-read",
            f"{printable(said, 30)!r} is no number of lumens.",
            at=(line_n, 1),
            write="Write it like: lumens, 820 lm.",
        )
    return value
