"""What does the reader of YAML mean by its complaint, in words for a shop lead?"""

from __future__ import annotations

import re
from dataclasses import dataclass

import yaml


@dataclass(frozen=True, slots=True)
class Fault:
    """One place at which a text stops being YAML.

    start, end : characters it is about. opened : where the thing began that could not be read.
    cuts_rest : everything from `start` on is left out.
    """

    code: str
    name: str
    why: str
    write: str
    start: int
    end: int
    opened: int
    cuts_rest: bool = False


def fault_of(error: Exception, text: str) -> Fault:
    """The complaint with its place. `text` : what was read."""
    if isinstance(error, yaml.reader.ReaderError):
        return _odd_character(error, text)
    if isinstance(error, UnicodeError):
        at = next((index for index, letter in enumerate(text) if "\ud800" <= letter <= "\udfff"), 0)
        return Fault("BLD-046", "odd-character", "Half a character stands here.", "Write it anew.", at, at + 1, at)
    problem = str(getattr(error, "problem", None) or "")
    at = min(_index(getattr(error, "problem_mark", None)), len(text))
    opened = min(_index(getattr(error, "context_mark", None), at), len(text))
    if "expected a single document" in str(getattr(error, "context", "")) or "another document" in problem:
        why, write = "A second document begins here.", "Keep one build in one file: leave the line --- away."
        return Fault("BLD-043", "second-document", why, write, at, at + 3, at, cuts_rest=True)
    context = str(getattr(error, "context", None) or "")
    if "alias" in context or "anchor" in context:
        return _alias(text, opened)
    if "undefined alias" in problem:
        name = re.match(r"\*\S{0,40}", text[at:])
        why = f"{name[0] if name else '*'} is an alias, and this language has none."
        return Fault("BLD-040", "alias-or-anchor", why, "Write out what it stands for.", at, at + 1, at)
    if "tag" in context:
        why = "A word behind ! is a tag, and this language has none."
        return Fault("BLD-041", "tag", why, "Put the text in quotes.", opened, opened + 1, opened)
    if "directive" in context or text[at : at + 1] == "%":
        return _percent(text, at)
    for part, why, write, at_opening in _COMPLAINTS:
        if part in problem:
            start = opened if at_opening else at
            return Fault("BLD-001", "text-not-yaml", why, write, start, start + (start < len(text)), start)
    if "cannot start any token" in problem:
        why = f"A text can't begin with {text[at : at + 1]}."
        return Fault("BLD-001", "text-not-yaml", why, "Put the text in quotes.", at, at + 1, at)
    why = f"This can't be read: {problem or 'the text breaks off'}."
    return Fault("BLD-001", "text-not-yaml", why, "Look at this line and the one before it.", at, at, at)


_COMPLAINTS = (
    (
        "mapping values are not allowed",
        "A second colon stands in one line, or the line is indented too far.",
        "Put a text with a colon in quotes, or move the line under its neighbours.",
        False,
    ),
    ("',' or ']'", "This list isn't closed, or a comma is missing in it.", "Write ] behind its last item.", True),
    (
        "',' or '}'",
        "This { isn't closed, or a comma is missing behind it.",
        "Write } behind its last entry; put a text with { } [ ] , : in quotes.",
        True,
    ),
    ("unexpected end of stream", "This quotation mark is never closed.", "Close it at the end of the text.", True),
    ("unexpected document indicator", "This quotation mark is never closed.", "Close it at the end of the text.", True),
    (
        "could not find expected ':'",
        "A name without a colon stands here.",
        "Write a colon and a space behind it.",
        True,
    ),
    (
        "did not find expected key",
        "This line doesn't stand under its neighbours.",
        "Indent it like the entries beside it.",
        False,
    ),
    (
        "did not find expected '-' indicator",
        "This line stands in a list and has no dash.",
        "Write - before it, or indent it differently.",
        False,
    ),
    (
        "block sequence entries are not allowed",
        "A dash can't stand here.",
        "Begin the list on a line of its own.",
        False,
    ),
    (
        "unknown escape character",
        "The sign behind \\ isn't known in a quoted text.",
        "Write \\\\ for a plain \\.",
        False,
    ),
    ("exceeded maximum nesting depth", "The brackets nest without end.", "Look for a bracket too many.", False),
    ("did not find expected node content", "A value is missing here.", "Write it, or leave the comma away.", False),
    (
        "did not find expected <document start>",
        "The text before this line is complete; this line belongs to nothing.",
        "Begin it with a name and a colon, and don't indent it.",
        False,
    ),
)


def _index(mark: object, instead: int = 0) -> int:
    found = getattr(mark, "index", None)
    return found if isinstance(found, int) else instead


def _alias(text: str, at: int) -> Fault:
    if text[at : at + 1] == "*":
        why = "A bare * is an alias in YAML, and means nothing here."
        return Fault("BLD-040", "alias-or-anchor", why, "Write all.", at, at + 1, at)
    why = "A bare & is an anchor in YAML, and means nothing here."
    return Fault("BLD-040", "alias-or-anchor", why, "Write and, or put the text in quotes.", at, at + 1, at)


def _percent(text: str, at: int) -> Fault:
    line_start = text.rfind("\n", 0, at) + 1
    if at == line_start:
        why = "A line with % in front is a directive, and this language has none."
        return Fault("BLD-042", "directive", why, "Leave it away.", at, at + 1, at)
    return Fault("BLD-001", "text-not-yaml", "A text can't begin with %.", "Put the text in quotes.", at, at + 1, at)


def _odd_character(error: yaml.reader.ReaderError, text: str) -> Fault:
    at = next((index for index, letter in enumerate(text) if not _printable(letter)), 0)
    letter = text[at : at + 1]
    named = f"U+{ord(letter):04X}" if letter else "one"
    why = f"The character {named} can't stand in a text file."
    return Fault("BLD-046", "odd-character", why, "Delete it, or write the text anew.", at, at + 1, at)


def _printable(letter: str) -> bool:
    """As YAML 1.1 defines it (yaml.org/spec/1.1, 4.1.1)."""
    return (
        letter in "\t\n\r\x85"
        or " " <= letter <= "~"
        or "\xa0" <= letter <= "\ud7ff"
        or ("\ue000" <= letter <= "\ufffd" and letter != "\ufeff")
        or letter >= "\U00010000"
    )
