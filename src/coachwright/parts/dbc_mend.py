"""How does a file of messages look that keeps not quite to its format, once it is put right?

Files found in the field have habits the format doesn't know: 29-bit identifiers without their mark, names that begin
with a digit, words for signals that aren't there or stand before their message, comments that end in the wrong place.
The text is gone through once, line by line; layouts of signals are never touched.
"""

from __future__ import annotations

import re

_MARK, _PLAIN_MOST, _MOST = 0x80000000, 0x7FF, 0x1FFFFFFF
_MESSAGE = re.compile(r"[ \t]*BO_[ \t]+(\d{1,10})[ \t]+(\w+)(.*)", re.DOTALL)
_SIGNAL = re.compile(r"([ \t]*SG_[ \t]+)(\w+)(.*)", re.DOTALL)
_WORDS = re.compile(r"VAL_[ \t]+(\d{1,10})[ \t]+(\w+)(.*)", re.DOTALL)
_OF_MESSAGE = re.compile(r'((?:BA_[ \t]+"[^"\n]{0,200}"[ \t]+(?:BO_|SG_)|SG_MUL_VAL_|SIG_VALTYPE_)[ \t]+)(\d{1,10})\b')
MENDED = "keeps not quite to the format: comments are left out, and identifiers or names are put right"


def mended(text: str) -> str:
    """The text with what is known to go wrong put right: linear in its length."""
    kept: list[str] = []
    words: list[tuple[int, str, str]] = []
    signals: set[tuple[int, str]] = set()
    message, in_comment = -1, False
    for line in text.splitlines(keepends=True):
        stripped = line.strip()
        if in_comment or (stripped.startswith("CM_ ") and '"' in stripped):
            in_comment = not stripped.endswith('";')
            continue
        found = _MESSAGE.match(line)
        if found is not None:
            message = _marked(int(found[1]))
            kept.append(f"BO_ {message} {_named(found[2])}{found[3]}")
            continue
        found = _SIGNAL.match(line)
        if found is not None:
            signals.add((message, _named(found[2])))
            kept.append(f"{found[1]}{_named(found[2])}{found[3]}")
            continue
        found = _WORDS.match(line)
        if found is not None:
            words.append((_marked(int(found[1])), _named(found[2]), found[3]))
            continue
        kept.append(_OF_MESSAGE.sub(lambda each: f"{each[1]}{_marked(int(each[2]))}", line))
    last = [f"VAL_ {number} {name}{rest}" for number, name, rest in words if (number, name) in signals]
    return "".join([*kept, "\n", *last])


def _marked(number: int) -> int:
    """An identifier of more than 11 bits with the mark the format puts on it."""
    return number | _MARK if _PLAIN_MOST < number <= _MOST else number


def _named(name: str) -> str:
    return f"_{name}" if name[0].isdigit() else name
