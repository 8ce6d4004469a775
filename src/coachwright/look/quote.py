"""The line of the file a finding points at, with a caret under the words it means.

Quoted text comes from files nobody has vetted: what can't be printed is replaced, and what a line is longer than a page
is cut to the part that matters.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from coachwright.kit.mark import Mark

GUTTER = 5
"""Width of the line number."""

MOST_CARETS = 40


@dataclass(frozen=True, slots=True)
class Quote:
    """One quoted line.

    number, line : as in the file, the line cut to what fits. start, width : of the words meant, in characters of print.
    """

    number: int
    line: str
    start: int
    width: int

    def source(self) -> str:
        """The line with its number."""
        return f"{self.number:>{GUTTER}} | {self.line}".rstrip()

    def caret(self) -> str:
        """The carets under it, without what is said beside them."""
        return f"{'':>{GUTTER}} | {' ' * self.start}{'^' * self.width}"


def quote(text: str, mark: Mark, *, width: int = 100) -> Quote | None:
    """The line of `text` that `mark` points at; None when the text has no such line.

    width : of the quoted line, in characters of print.
    """
    lines = text.splitlines()
    if not 1 <= mark.line <= len(lines):
        return None
    line = lines[mark.line - 1]
    at = min(mark.column - 1, len(line))
    length = max(1, min(mark.end - mark.start, len(line) - at))
    before, meant, after = plain(line[:at]), plain(line[at : at + length]), plain(line[at + length :])
    if columns(before) > width // 2:
        before = "…" + _last(before, width // 3)
    shown = before + meant + after
    if columns(shown) > width:
        shown = _first(shown, width - 1) + "…"
    start = columns(before)
    return Quote(mark.line, shown, start, max(1, min(columns(meant), MOST_CARETS, max(1, width - start))))


def plain(text: str) -> str:
    """The same text with everything that can't be seen, or that would move the cursor, replaced."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(" " if letter in "\t\n\r" else letter if letter.isprintable() else "\ufffd" for letter in text)


def columns(text: str) -> int:
    """Places a text takes on a screen of fixed pitch: wide letters take two, combining marks none."""
    if text.isascii():
        return len(text)
    return sum(_columns(letter) for letter in text)


def _columns(letter: str) -> int:
    if unicodedata.combining(letter):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" else 1


def _first(text: str, width: int) -> str:
    kept, used = [], 0
    for letter in text:
        used += _columns(letter)
        if used > width:
            break
        kept.append(letter)
    return "".join(kept)


def _last(text: str, width: int) -> str:
    return _first(text[::-1], width)[::-1]
