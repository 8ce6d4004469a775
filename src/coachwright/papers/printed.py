"""How does a text somebody wrote go on paper? As text on lines that fit: bounded, visible, breakable."""

from __future__ import annotations

import re

from coachwright.kit.mark import Mark
from coachwright.look.quote import plain

MOST_LETTERS = 2400
"""What is longer is cut, and the ellipsis says so."""

_LONG_WORD = re.compile(r"\S{24,}")
_LONGEST_RUN = 12
_BREAK = "\u200b"


def printed(said: str) -> str:
    """The text for a paper: what can't be seen is replaced, long words may break, very long texts are cut."""
    seen = plain(said)
    if len(seen) > MOST_LETTERS:
        seen = seen[: MOST_LETTERS - 1] + "…"
    return _LONG_WORD.sub(_breakable, seen)


def line_of(mark: Mark | None) -> str:
    """``line 41:12``; nothing where there is no place."""
    return f"line {mark.line}:{mark.column}" if mark is not None else ""


def _breakable(found: re.Match[str]) -> str:
    """Breaks after dots, hyphens and the like, and at the latest after so many letters."""
    kept: list[str] = []
    run = 0
    for letter in found[0]:
        kept.append(letter)
        run += 1
        if letter in "./-_,:;" or run >= _LONGEST_RUN:
            kept.append(_BREAK)
            run = 0
    return "".join(kept)
