"""Where in the source of a YAML scalar do given characters of its value stand?

Quotes, escapes and folded lines make the two differ; everything else is character by character.
"""

from __future__ import annotations

import re

_ESCAPE = re.compile(r"\\(?:x[0-9A-Fa-f]{2}|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|\r\n[ \t]*|[\r\n][ \t]*|.)", re.DOTALL)
_HEADER = re.compile(r"[|>][^\n]*\n[ ]*")
_BLANK = " \t\r\n"


def place_in_source(source: str, value: str, start: int, end: int) -> tuple[int, int]:
    """Start and end within `source` of the characters `start` to `end` of `value`.

    Parameters
    ----------
    source : as it stands in the file, with its quotes.
    value : what it was read as.
    start, end : characters of `value`, end excluded; an empty stretch stays one.
    """
    start, end = max(0, min(start, len(value))), max(0, min(end, len(value)))
    if source == value:
        return start, end
    quote = source[:1] if source[:1] in ("'", '"') else ""
    if quote and source[1:-1] == value:
        return start + 1, end + 1
    spans = _aligned(source, value, quote)
    first = spans[start][0] if start < len(spans) else _end(source, quote)
    last = spans[end - 1][1] if start < end <= len(spans) else first
    return min(first, len(source)), min(max(first, last), len(source))


def _end(source: str, quote: str) -> int:
    return len(source) - 1 if quote and source.endswith(quote) and len(source) > 1 else len(source)


def _aligned(source: str, value: str, quote: str) -> list[tuple[int, int]]:
    """Start and end in the source of each character of the value, as far as the two can be laid side by side."""
    at = 1 if quote else 0
    if not quote and (header := _HEADER.match(source)):
        at = header.end()
    spans: list[tuple[int, int]] = []
    for letter in value:
        while at < len(source):
            here = source[at]
            if quote == '"' and here == "\\" and (escape := _ESCAPE.match(source, at)):
                start, at = at, escape.end()
                if escape[0][1] in "\r\n":  # a line that is joined to the next
                    continue
                spans.append((start, at))
                break
            if here == letter or (letter in " \n" and here in _BLANK):
                width = 2 if quote == "'" and here == "'" else 1
                spans.append((at, at + width))
                at += width
                if here in "\r\n" or (letter in " \n" and here != letter):
                    while at < len(source) and source[at] in _BLANK and letter != "\n":
                        at += 1
                break
            at += 1
        else:
            break
    return spans
