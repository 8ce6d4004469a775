"""Which lines of a YAML text belong to one entry, by their indentation alone?

Used where the text can't be composed, so nothing but lines is known.
"""

from __future__ import annotations

import re

_KEY = re.compile(r"[ ]*(?:- +)*[\"']?([^\s\"'#:,\[\]{}&*!|>%@`-][^:#\n]{0,80}?)[\"']?[ ]*:(?=\s|$)")
_BREAK = re.compile(r"\n")


def line_column(text: str, at: int) -> tuple[int, int]:
    """Line and column of a character, both counted from 1."""
    at = min(at, len(text))
    return text.count("\n", 0, at) + 1, at - (text.rfind("\n", 0, at) + 1) + 1


def blanked(text: str, start: int, end: int) -> str:
    """The text with spaces in that stretch; its lines and its length stay."""
    stretch = re.sub(r"[^\r\n]", " ", text[start:end])
    return text[:start] + stretch + text[end:]


def entry_around(text: str, at: int, *, whole_section: bool) -> tuple[int, int, tuple[tuple[str, ...], ...]]:
    """Start, end and path of the entry around a character: the one under its section, or the whole section.

    An entry goes on until the next line that is not indented deeper; a line that is indented too far may be an entry of
    its own, so the paths of all that begins a line in it are given. A character before the first section belongs to its
    own line.
    """
    lines = _spans(text)
    number = next((index for index, (_, end) in enumerate(lines) if at < end), len(lines) - 1)
    section = _up(text, lines, number, deeper_than=-1, indent=0)
    first = section
    if not whole_section and section != number:
        inner = _entry_line(text, lines, section, number)
        first = inner if inner is not None else section
    indent = _indent(text, lines[first]) or 0
    last = first
    for index in range(first + 1, len(lines)):
        here = _indent(text, lines[index])
        if here is not None and here <= indent:
            break
        last = index
    owner = _name(text, lines[section])
    paths: list[tuple[str, ...]] = [(owner,)] if owner else []
    if first != section:
        inside = [_name(text, lines[index]) for index in range(first, last + 1)]
        paths = [(owner, name) for name in inside if name and owner] or paths
    return lines[first][0], lines[last][1], tuple(dict.fromkeys(paths))


def _entry_line(text: str, lines: list[tuple[int, int]], section: int, number: int) -> int | None:
    """The line at the first indentation of this section, at or above line `number`."""
    step = next(
        (indent for index in range(section + 1, len(lines)) if (indent := _indent(text, lines[index])) is not None), 0
    )
    if not step:
        return None
    for index in range(number, section, -1):
        if (indent := _indent(text, lines[index])) is not None and indent <= step:
            return index
    return None


def _up(text: str, lines: list[tuple[int, int]], number: int, *, deeper_than: int, indent: int) -> int:
    for index in range(number, -1, -1):
        here = _indent(text, lines[index])
        if here is not None and deeper_than < here <= indent:
            return index
    return number


def _spans(text: str) -> list[tuple[int, int]]:
    starts = [0, *(found.end() for found in _BREAK.finditer(text))]
    return list(zip(starts, [*starts[1:], len(text)], strict=True))


def _indent(text: str, span: tuple[int, int]) -> int | None:
    """Spaces before the first letter; None for a line that is blank or a comment."""
    line = text[span[0] : span[1]]
    stripped = line.strip()
    if not stripped or stripped.startswith("#"):
        return None
    return len(line) - len(line.lstrip(" "))


def _name(text: str, span: tuple[int, int]) -> str:
    found = _KEY.match(text[span[0] : span[1]])
    return found[1].strip() if found else ""
