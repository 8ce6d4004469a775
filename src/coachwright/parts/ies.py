"""What does a file after LM-63 say? Editions of 1986, 1991, 1995, 2002 and 2019.

A label, keywords in brackets, a line that begins with TILT=, then numbers in free format: lines break anywhere, spaces
or commas part them. [1]_

Notes
-----
candela = value x multiplier x ballast factor x ballast-lamp factor. The last of these has been kept at 1 for future use
since 1995, and says in 2019 how the file was made (1.00001, 1.10000...); there it multiplies nothing.
Factors behind TILT= tell how a lamp that burns in another position changes; lamps here are measured as they stand, and
the factors are not applied. A file named behind TILT= is never opened.

References
----------
.. [1] ANSI/IESNA LM-63-02 (clause 3.0 read, the rest from memory); editions of 1986, 1991, 1995 and 2019 from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

import numpy as np

from coachwright.parts.photometric_file import PhotometricFile, dark_where_below_nothing
from coachwright.parts.photometric_table import Goniometer, unfolded
from coachwright.parts.photometric_text import (
    MOST_ANGLES,
    MOST_VALUES,
    Numbers,
    Oddity,
    PhotometryWrong,
    lines_of,
    place_in,
    printable,
    too_many,
)

MOST_LABEL_LINES = 2_000
MOST_KEYWORDS = 500
MOST_TILT_ANGLES = 1_000

_TILT = re.compile(r"\s*TILT\s*=\s*(.*)", re.IGNORECASE)
_KEYWORD = re.compile(r"\s*\[\s*([^\]\n]{1,40}?)\s*\]\s*(.*)")
_LAYOUT = re.compile(r"\s*IES(?:NA)?\s*:?\s*(?:LM-63-)?(19[89][0-9]|20[0-9][0-9]|[89][0-9])\b", re.IGNORECASE)
_ENDS = ("[END]", "END")
_COMMA = re.compile(r"[0-9],[0-9]")

_TYPES: dict[int, Goniometer] = {1: "C", 2: "B", 3: "A"}
_METRES = {1: 0.3048, 2: 1.0}
_UNIFORM = 1e-9


@dataclass(slots=True)
class _Head:
    """What stands before the numbers."""

    year: int = 1986
    keywords: list[tuple[str, str]] = field(default_factory=list)
    tilt: str = ""
    tilt_at: tuple[int, int] = (1, 1)
    numbers_at: int = 0


def read_ies(text: str) -> PhotometricFile:
    """Read a whole file; `text` is from `photometric_text.text_of`.

    Raises
    ------
    PhotometryWrong : it can't be used; with line and column.
    """
    head = _head(text)
    body = text.rstrip()
    for end in _ENDS:
        body = body[: -len(end)] if body[-len(end) :].upper() == end else body
    try:
        read = _body(body, head, Numbers(body, head.numbers_at))
        left_over = any(each.code == "PRT-091" for each in read.oddities)
        if not (left_over and _COMMA.search(body, head.numbers_at)):
            return read
    except PhotometryWrong:
        if not _COMMA.search(body, head.numbers_at):
            raise
        read = None
    try:
        again = _body(body, head, Numbers(body, head.numbers_at, comma="decimal"))
    except PhotometryWrong:
        again = None
    if again is None or any(each.code == "PRT-091" for each in again.oddities):
        # Commas are no decimal signs either: what is wrong is told of the plain reading.
        return read if read is not None else _body(body, head, Numbers(body, head.numbers_at))
    line, column = place_in(body, head.numbers_at)
    why = "Commas between digits are read as decimal signs, for only so the counts come out."
    again_oddities = (Oddity("PRT-092", "commas-as-decimals", why, line, column), *again.oddities)
    return replace(again, oddities=again_oddities)


def _head(text: str) -> _Head:
    head = _Head()
    for number, (offset, line) in enumerate(lines_of(text)):
        if number == 0:
            label = _LAYOUT.match(line)
            head.year = _year(label[1]) if label else 1986
        tilt = _TILT.match(line)
        if tilt is not None:
            head.tilt, head.tilt_at = tilt[1].strip(), (number + 1, 1)
            head.numbers_at = min(offset + len(line) + 1, len(text))
            return head
        keyword = _KEYWORD.match(line)
        if keyword is not None and len(head.keywords) < MOST_KEYWORDS:
            _keep(head.keywords, printable(keyword[1].upper(), 40), printable(keyword[2]))
        if number >= MOST_LABEL_LINES:
            break
    raise PhotometryWrong(
        "PRT-083",
        "photometry-breaks-off",
        f"No line begins with TILT= within the first {MOST_LABEL_LINES:,}; the numbers of an LM-63 file follow it.",
        at=place_in(text, len(text.rstrip())),
        write="See whether this is an LM-63 file, and whole.",
    )


def _year(word: str) -> int:
    return int(word) if len(word) == 4 else 1900 + int(word)


def _keep(keywords: list[tuple[str, str]], name: str, text: str) -> None:
    """MORE goes on where the keyword before it ended."""
    if name == "MORE" and keywords:
        before, said = keywords[-1]
        keywords[-1] = (before, printable(f"{said} {text}", 600))
    else:
        keywords.append((name, text))


def _body(text: str, head: _Head, numbers: Numbers) -> PhotometricFile:
    oddities: list[Oddity] = []
    _tilt(head, numbers, oddities)
    lamps_n = numbers.one("the number of lamps")
    lamp_lm = numbers.one("the lumens of one lamp")
    multiplier = _factor(numbers, "the candela multiplier")
    vertical_n = numbers.count("the number of vertical angles", least=2, most=MOST_ANGLES)
    at = place_in(text, numbers.offset)
    horizontal_n = numbers.count("the number of horizontal angles", least=1, most=MOST_ANGLES)
    if vertical_n * horizontal_n > MOST_VALUES:
        raise too_many(vertical_n * horizontal_n, at)
    kind = _TYPES[numbers.count("the photometric type (1 for C, 2 for B, 3 for A)", least=1, most=3)]
    metres = _METRES[numbers.count("the units (1 for feet, 2 for metres)", least=1, most=2)]
    size = numbers.take(3, "the width, length and height of the opening") * metres
    ballast = _factor(numbers, "the ballast factor")
    third_at = place_in(text, numbers.offset)
    third = numbers.one("the ballast-lamp factor or file type")
    power_w = numbers.one("the input watts")
    angles_at = place_in(text, numbers.offset)
    vertical = numbers.take(vertical_n, "the vertical angles")
    horizontal = numbers.take(horizontal_n, "the horizontal angles")
    values_at = place_in(text, numbers.offset)
    values = numbers.take(vertical_n * horizontal_n, "the candela values").reshape(horizontal_n, vertical_n).T
    left = numbers.left()
    if left:
        line, column = place_in(text, numbers.offset)
        why = f"{left:,} more words follow the last candela value; they are left unread."
        oddities.append(Oddity("PRT-091", "photometric-words-left-over", why, line, column))
    candela = values * (multiplier * ballast * _ballast_lamp(third, head.year, third_at, oddities))
    if np.isinf(candela).any():
        raise PhotometryWrong("PRT-089", "candela-not-possible", "Values times factors run out of all bounds.", at=at)
    candela = dark_where_below_nothing(candela, values_at, oddities)
    table, said = unfolded(kind, vertical_deg=vertical, horizontal_deg=horizontal, candela_cd=candela, at=angles_at)
    oddities += [Oddity("PRT-093", "planes-filled-in", each, *angles_at) for each in said]
    _lamps(lamps_n, lamp_lm, head, oddities)
    return PhotometricFile(
        layout=f"LM-63-{head.year}",
        table=table,
        declared_lm=abs(lamps_n) * lamp_lm if lamp_lm > 0 and lamps_n else None,
        declared_of="lamps" if lamp_lm > 0 and lamps_n else "",
        lamps_n=lamps_n,
        power_w=max(power_w, 0.0),
        keywords=tuple(head.keywords),
        size_m=(float(size[0]), float(size[1]), float(size[2])),
        oddities=tuple(oddities),
    )


def _factor(numbers: Numbers, what: str) -> float:
    at = place_in(numbers.text, numbers.offset)
    value = numbers.one(what)
    if not 0.0 < value < 1e9:
        raise PhotometryWrong(
            "PRT-089",
            "candela-not-possible",
            f"{what.capitalize()} is {value:g}; with it no candela would be left.",
            at=at,
            write="Ask the laboratory; 1 is usual.",
        )
    return value


def _tilt(head: _Head, numbers: Numbers, oddities: list[Oddity]) -> None:
    """Read past the factors that are included; say when they would matter."""
    word = head.tilt.upper()
    if word == "NONE":
        return
    if word == "INCLUDE":
        numbers.count("the geometry of the lamp (1, 2 or 3)", least=1, most=3)
        angles_n = numbers.count("the number of tilt angles", least=1, most=MOST_TILT_ANGLES)
        numbers.take(angles_n, "the tilt angles")
        factors = numbers.take(angles_n, "the tilt factors")
        if (abs(factors - 1.0) < _UNIFORM).all():
            return
        why = "Its lamp burns differently when tilted; the factors for that are not applied."
    elif not word:
        why = "Nothing stands behind TILT=; it is read as NONE."
    else:
        why = f"Tilt factors lie in another file ({printable(head.tilt, 40)}); it is not opened, and none are applied."
    oddities.append(Oddity("PRT-095", "tilt-not-applied", why, *head.tilt_at))


def _ballast_lamp(third: float, year: int, at: tuple[int, int], oddities: list[Oddity]) -> float:
    """The factor that is one before 1995 and stayed 1 until it came to mean something else."""
    if year >= 2019 or abs(third - 1.0) < _UNIFORM:
        return 1.0
    if 1.0 < third < 1.2 and year >= 1995:
        why = f"{third:g} stands where 1 is due since 1995; it reads like a file type of 2019 and is not used."
        oddities.append(Oddity("PRT-096", "factor-out-of-date", why, *at))
        return 1.0
    if not 0.0 < third < 1e3:
        why = f"The ballast-lamp factor is {third:g}; it is read as 1."
        oddities.append(Oddity("PRT-096", "factor-out-of-date", why, *at))
        return 1.0
    if year >= 1995:
        why = f"A ballast-lamp factor of {third:g} is applied, although it has to be 1 since 1995."
        oddities.append(Oddity("PRT-096", "factor-out-of-date", why, *at))
    return third


def _lamps(lamps_n: float, lamp_lm: float, head: _Head, oddities: list[Oddity]) -> None:
    if lamps_n <= 0 or (lamp_lm <= 0 and abs(lamp_lm + 1.0) > _UNIFORM):
        why = (
            f"{lamps_n:g} lamps of {lamp_lm:g} lumens are declared; 1 lamp of -1 stands for absolute photometry, "
            "and so it is read."
        )
        line, column = head.tilt_at
        oddities.append(Oddity("PRT-097", "lamps-not-declared", why, line + 1, column))
