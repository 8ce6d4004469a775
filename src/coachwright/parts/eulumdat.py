"""What does a EULUMDAT file (.ldt) say?

One value a line in a fixed order, in candela for each thousand lumens of the lamps; planes that symmetry gives are left
out. [1]_

Notes
-----
candela = value x conversion factor x lumens of the lamps / 1000. Several sets of lamps are counted together, as other
readers do, and that is said: some makers list sets that are fitted one instead of the other.
Symmetry: 1 one plane for all; 2 alike on both sides of C 0-180 (planes 0 to 180 are written); 3 of C 90-270 (270 over 0
to 90); 4 of both (0 to 90).

References
----------
.. [1] A. W. Stockmar, "EULUMDAT/2", CIBSE National Lighting Conference 1998, pp. 353-362, as the manuals of several
   lighting programs repeat it line by line.
"""

from __future__ import annotations

import numpy as np

from coachwright.parts.candela import Floats
from coachwright.parts.photometric_file import PhotometricFile, dark_where_below_nothing
from coachwright.parts.photometric_table import TURN_DEG, unfolded
from coachwright.parts.photometric_text import (
    MOST_ANGLES,
    MOST_VALUES,
    Numbers,
    Oddity,
    PhotometryWrong,
    lines_of,
    number_in,
    place_in,
    printable,
    too_many,
    whole,
)

MOST_LAMP_SETS = 20
_FIXED_LINES = 26
_LINES_OF_SET = 6
_DIRECT_RATIOS = 10
_TEXTS = ((1, "COMPANY"), (8, "REPORT"), (9, "LUMINAIRE"), (10, "NUMBER"), (11, "FILE"), (12, "DATE"))


class _Lines:
    """Lines by their number in the format, and where they stand."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = []
        for offset, line in lines_of(text):
            self.lines.append((offset, line))
            if len(self.lines) > _FIXED_LINES + _LINES_OF_SET * MOST_LAMP_SETS + _DIRECT_RATIOS:
                break

    def words(self, number: int) -> str:
        """What line `number` says, from 1.

        Raises
        ------
        PhotometryWrong : the file ends before.
        """
        if number > len(self.lines):
            raise PhotometryWrong(
                "PRT-083",
                "photometry-breaks-off",
                f"The file ends before line {number}, which a EULUMDAT file has.",
                at=place_in(self.text, len(self.text.rstrip())),
                write="Fetch the file again; it was cut short, or is none.",
            )
        return self.lines[number - 1][1].strip()

    def number(self, number: int, what: str, *, blank: float | None = None) -> float:
        """The number of a line; `blank` where nothing stands, if that may be."""
        words = self.words(number)
        if not words and blank is not None:
            return blank
        value = number_in(words.replace(",", "."))
        if value is None:
            raise PhotometryWrong(
                "PRT-084",
                "photometric-number-not-read",
                f"{printable(words, 30) or 'Nothing'!r} is no number where {what} should stand.",
                at=(number, 1),
                write="Compare with the lines of the format; one may be missing before it.",
            )
        return value

    def count(self, number: int, what: str, *, least: int, most: int) -> int:
        """A whole number within bounds."""
        return whole(self.number(number, what), what, least=least, most=most, at=(number, 1))


def read_eulumdat(text: str) -> PhotometricFile:
    """Read a whole file; `text` is from `photometric_text.text_of`.

    Raises
    ------
    PhotometryWrong : it can't be used; with line and column.
    """
    lines, oddities = _Lines(text), list[Oddity]()
    symmetry = lines.count(3, "the symmetry (0 to 4)", least=0, most=4)
    planes_n = lines.count(4, "the number of C planes", least=1, most=MOST_ANGLES)
    gammas_n = lines.count(6, "the number of angles in a plane", least=2, most=MOST_ANGLES)
    if planes_n * gammas_n > MOST_VALUES:
        raise too_many(planes_n * gammas_n, (6, 1))
    output_share = lines.number(23, "the light output ratio", blank=0.0) / 100.0
    conversion = _conversion(lines, oddities)
    if lines.number(25, "the tilt while measuring", blank=0.0):
        why = f"It was measured tilted by {lines.number(25, 'the tilt'):g} deg; angles are taken as they are."
        oddities.append(Oddity("PRT-095", "tilt-not-applied", why, 25))
    lamps_n, lamps_lm, power_w, after = _lamp_sets(lines, oddities)
    numbers = Numbers(text, lines.lines[after - 1][0] if after <= len(lines.lines) else len(text), comma="decimal")
    numbers.take(_DIRECT_RATIOS, "the direct ratios")
    angles_at = place_in(text, numbers.offset)
    planes = numbers.take(planes_n, "the C planes")
    gammas = numbers.take(gammas_n, "the angles in a plane")
    written = _written_planes(symmetry, planes_n)
    values_at = place_in(text, numbers.offset)
    values = numbers.take(len(written) * gammas_n, "the intensities").reshape(len(written), gammas_n).T
    if numbers.left():
        line, column = place_in(text, numbers.offset)
        why = f"{numbers.left():,} more words follow the last intensity; they are left unread."
        oddities.append(Oddity("PRT-091", "photometric-words-left-over", why, line, column))
    candela = values * (conversion * lamps_lm / 1000.0)
    if not np.isfinite(candela).all():
        raise PhotometryWrong("PRT-089", "candela-not-possible", "Values times factors run out of all bounds.")
    candela = dark_where_below_nothing(candela, values_at, oddities)
    angles = _planes_of(planes, written)
    table, said = unfolded("C", vertical_deg=gammas, horizontal_deg=angles, candela_cd=candela, at=angles_at)
    # A whole turn without its last plane is the rule in this format, so closing it is nothing to say.
    oddities += [Oddity("PRT-093", "planes-filled-in", each, *angles_at) for each in said if "closed" not in each]
    return PhotometricFile(
        layout="EULUMDAT",
        table=table,
        declared_lm=lamps_lm,
        declared_of="lamps",
        output_share=output_share if output_share > 0.0 else None,
        lamps_n=lamps_n,
        power_w=power_w,
        keywords=tuple((name, printable(lines.words(number))) for number, name in _TEXTS if lines.words(number)),
        size_m=_size_m(lines),
        oddities=tuple(oddities),
    )


def _size_m(lines: _Lines) -> tuple[float, float, float]:
    """Width, length and height of the luminous area; below 0 where it is round."""
    length, width, height = (lines.number(line, "a dimension", blank=0.0) / 1000.0 for line in (16, 17, 18))
    return (width, length, height) if width > 0 else (-length, -length, height)


def _conversion(lines: _Lines, oddities: list[Oddity]) -> float:
    value = lines.number(24, "the conversion factor", blank=0.0)
    if value > 0.0:
        return value
    why = "No conversion factor above nothing is given; it is read as 1."
    oddities.append(Oddity("PRT-096", "factor-out-of-date", why, 24))
    return 1.0


def _lamp_sets(lines: _Lines, oddities: list[Oddity]) -> tuple[float, float, float, int]:
    """Lamps, their lumens and watts over all sets, and the line after them."""
    sets_n = lines.count(26, "the number of lamp sets", least=1, most=MOST_LAMP_SETS)
    lamps_n = lamps_lm = power_w = 0.0
    for number in range(sets_n):
        first = _FIXED_LINES + 1 + _LINES_OF_SET * number
        lamps_n += abs(lines.number(first, "the number of lamps", blank=1.0))
        lamps_lm += lines.number(first + 2, "the lumens of the lamps")
        power_w += lines.number(first + 5, "the watts of the lamps", blank=0.0)
    if not 0.0 < lamps_lm < 1e9:
        raise PhotometryWrong(
            "PRT-097",
            "lamps-not-declared",
            f"The lamps give {lamps_lm:g} lumens; intensities for each thousand of them are no candela then.",
            at=(_FIXED_LINES + 3, 1),
            write="Ask for the lumens of the lamps and write them in this line.",
        )
    if sets_n > 1:
        why = f"{sets_n} sets of lamps are counted together, {lamps_lm:g} lm; if only one is fitted, mend it."
        oddities.append(Oddity("PRT-098", "lamp-sets-together", why, 26))
    return lamps_n, lamps_lm, max(power_w, 0.0), _FIXED_LINES + 1 + _LINES_OF_SET * sets_n


def _written_planes(symmetry: int, planes_n: int) -> tuple[int, ...]:
    """Which of all planes (from 0) are written, in their order."""
    if symmetry == 0:
        return tuple(range(planes_n))
    if symmetry == 1:
        return (0,)
    if symmetry == 4:
        return tuple(range(planes_n // 4 + 1))
    first = 0 if symmetry == 2 else 3 * planes_n // 4
    return tuple((first + place) % planes_n for place in range(planes_n // 2 + 1))


def _planes_of(planes: Floats, written: tuple[int, ...]) -> Floats:
    """Angles of the written planes, ascending: 270 over 0 to 90 becomes -90 to 90."""
    if len(written) == 1:
        return np.array([0.0])
    angles = planes[list(written)]
    before_turn = np.arange(len(angles)) <= np.argmax(angles)
    return np.where(before_turn & (angles > angles[-1]), angles - TURN_DEG, angles)
