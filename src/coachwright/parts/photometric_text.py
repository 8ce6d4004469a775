"""How is the text of a photometric file taken apart, with its lines at hand for whoever has to mend it?

Such files come from everywhere: any line ends, any of two encodings, numbers that wrap where they like. Nothing in them
is believed before it is counted, and nothing in them is ever run or opened.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from coachwright.kit.errors import CoachwrightError
from coachwright.parts.candela import Floats

MOST_BYTES = 8_000_000
MOST_ANGLES = 1_801
MOST_VALUES = 700_000
"""More than a measurement every tenth of a degree over the half, and every half degree round: no lamp needs more."""

_WORD = re.compile(r"[^ \n\t]+")
_PLAIN = re.compile(r"[0-9+\-.eE]*")
_BETWEEN_DIGITS = re.compile(r"(?<=[0-9]),(?=[0-9])")


class PhotometryWrong(CoachwrightError):
    """A photometric file can't be used. Its text is one sentence for people.

    code, name : of the finding. line, column : from 1. write : what to do, or "".
    """

    def __init__(self, code: str, name: str, why: str, *, at: tuple[int, int] = (1, 1), write: str = "") -> None:
        super().__init__(why)
        self.code, self.name, self.why, self.write = code, name, why, write
        self.line, self.column = at


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something in a photometric file that is read all the same, and said: code, name, a sentence, line and column."""

    code: str
    name: str
    why: str
    line: int = 1
    column: int = 1


def text_of(content: bytes) -> str:
    """The characters of a file, line ends made alike, without a byte order mark and what follows an end-of-file sign.

    Raises
    ------
    PhotometryWrong : it is too large, or no text.
    """
    if len(content) > MOST_BYTES:
        raise PhotometryWrong(
            "PRT-080",
            "photometry-too-large",
            f"The file is longer than {MOST_BYTES:,} bytes.",
            write=f"Measure at fewer angles: {MOST_VALUES:,} directions are read at most.",
        )
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise PhotometryWrong(
            "PRT-081", "photometry-not-text", "The file is written in UTF-16.", write="Save it as plain text."
        )
    content = content.removeprefix(b"\xef\xbb\xbf")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    text = text.replace("\r\n", "\n").replace("\r", "\n").partition("\x1a")[0]
    if "\x00" in text:
        line = text.count("\n", 0, text.index("\x00")) + 1
        raise PhotometryWrong(
            "PRT-081",
            "photometry-not-text",
            "The file holds bytes that are no text.",
            at=(line, 1),
            write="Take the file as it came from the laboratory.",
        )
    return text


def place_in(text: str, offset: int) -> tuple[int, int]:
    """Line and column of a character, both from 1."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def printable(text: str, most: int = 200) -> str:
    """A text of the file as it may be shown: one line, no control characters, not endless."""
    clean = " ".join("".join(sign if sign.isprintable() else " " for sign in text[: 4 * most]).split())
    return clean if len(clean) <= most else f"{clean[: most - 3]}..."


def number_in(word: str) -> float | None:
    """A plain finite number, None for anything else."""
    if not word or not _PLAIN.fullmatch(word):
        return None
    try:
        value = float(word)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def lines_of(text: str) -> Iterator[tuple[int, str]]:
    """(offset, line) of every line, one at a time."""
    offset = 0
    while (end := text.find("\n", offset)) >= 0:
        yield offset, text[offset:end]
        offset = end + 1
    yield offset, text[offset:]


class Numbers:
    """Reads numbers one behind the other, wherever lines break.

    Parameters
    ----------
    text : of the whole file. start : offset of the first number.
    comma : what a comma between two digits is: ``between`` two numbers, or the ``decimal`` sign of one.
    """

    def __init__(self, text: str, start: int, *, comma: str = "between") -> None:
        body = _BETWEEN_DIGITS.sub(".", text[start:]) if comma == "decimal" else text[start:]
        self.text = text
        self._rest = body.replace(",", " ").replace("\f", " ").replace("\v", " ").lstrip()

    @property
    def offset(self) -> int:
        """Where the next number stands, or the text ends."""
        return len(self.text) - len(self._rest)

    def take(self, count: int, what: str) -> Floats:
        """The next `count` numbers (at least one).

        Raises
        ------
        PhotometryWrong : the file ends before, or something else stands there.
        """
        pieces = self._rest.split(None, count)
        words = pieces[:count]
        bad = None if _PLAIN.fullmatch("".join(words)) else True
        values: list[float] = []
        if bad is None:
            try:
                values = [float(word) for word in words]
            except ValueError:
                bad = True
        found = np.array(values, dtype=np.float64)
        if bad or not np.isfinite(found).all():
            self._refuse(what, count)
        if len(words) < count:
            raise PhotometryWrong(
                "PRT-083",
                "photometry-breaks-off",
                f"The file ends where {what} should go on: {len(words):,} of {count:,} are there.",
                at=place_in(self.text, len(self.text.rstrip())),
                write="Fetch the file again; it was cut short.",
            )
        self._rest = pieces[count] if len(pieces) > count else ""
        return found

    def one(self, what: str) -> float:
        """The next number."""
        return float(self.take(1, what)[0])

    def count(self, what: str, *, least: int, most: int) -> int:
        """The next number, which has to be whole and within bounds."""
        offset = self.offset
        return whole(self.one(what), what, least=least, most=most, at=place_in(self.text, offset))

    def left(self, most: int = 2_000) -> int:
        """How many words are left over, counted up to `most`."""
        return min(len(self._rest.split(None, most)), most)

    def _refuse(self, what: str, count: int) -> None:
        for number, word in enumerate(re.finditer(r"\S+", self._rest)):
            if number >= count:
                break
            if number_in(word[0]) is None:
                raise PhotometryWrong(
                    "PRT-084",
                    "photometric-number-not-read",
                    f"{printable(word[0], 30)!r} is no number where {what} should stand.",
                    at=place_in(self.text, self.offset + word.start()),
                    write="Write it in digits with a point, like 12.5.",
                )


def whole(value: float, what: str, *, least: int, most: int, at: tuple[int, int]) -> int:
    """A whole number within bounds, both included.

    Raises
    ------
    PhotometryWrong : it is none.
    """
    if value != int(value) or not least <= value <= most:
        raise PhotometryWrong(
            "PRT-085",
            "photometric-count-not-possible",
            f"{value:.10g} can't be {what}: a whole number from {least:,} to {most:,} belongs here.",
            at=at,
            write="Compare with the layout of the format; a number may be missing before it.",
        )
    return int(value)


def too_many(values_n: int, at: tuple[int, int]) -> PhotometryWrong:
    """More directions than are read."""
    return PhotometryWrong(
        "PRT-080",
        "photometry-too-large",
        f"The file announces {values_n:,} directions; {MOST_VALUES:,} are read at most.",
        at=at,
        write="Measure at fewer angles.",
    )
