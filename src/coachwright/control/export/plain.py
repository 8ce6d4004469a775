"""How does a text that somebody typed stand in a program, so that it never is more than a text?

In a remark every letter that could end it, or that means something to some reader, is written as its number:
``*)`` is ``[U+002A])``. Doing so twice changes nothing. In JSON everything but plain ASCII is escaped, ``<``, ``>``,
``&`` and ``*`` too, so that it may stand inside a web page and inside a remark.
"""

from __future__ import annotations

import json
from string import ascii_letters, digits

_PLAIN = frozenset(ascii_letters + digits + " .,:;%/=+-_()[]>!?'")


def remark(text: str) -> str:
    """The text as it may stand in a comment of any of the languages, on one line."""
    return "".join(_letter(letter, text[place + 1 : place + 2]) for place, letter in enumerate(text))


def _letter(letter: str, following: str) -> str:
    if letter in _PLAIN or (letter == "<" and following in (" ", "=")):
        return letter
    return f"[U+{ord(letter):04X}]"


def json_text(thing: object, *, indent: int | None = None) -> str:
    """The thing as JSON that may stand anywhere; equal things give equal text."""
    text = json.dumps(thing, ensure_ascii=True, allow_nan=False, indent=indent, sort_keys=False)
    for letter in "<>&*\x7f":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return text
