"""Cuts the text of a condition into words and signs, and knows which words belong to the language.

A word is everything between spaces, brackets, commas and signs: ``gate-open``, ``cap-bar.3-6``, ``11.8``, ``km/h``.
Signs of other languages (``&&``, ``=``, quotation marks) are named, read as what was meant, and the reading goes on.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from coachwright.build.pattern_text import COUNT_WORDS, RUN_WORDS
from coachwright.build.problem import Problem, condition_not_read

COMPARISONS = ("==", "!=", "<", "<=", ">", ">=")
COLOUR_WORDS = ("red", "amber", "blue", "white", "green")
MANNER_WORDS = ("steady", "flashing", "dark", "lit")
SHOWING_WORDS = frozenset(("only", *COLOUR_WORDS, *MANNER_WORDS, *COUNT_WORDS, *RUN_WORDS))
"""Words that, behind a name, make it a statement about heads."""

FOLLOWING_WORDS = ("in", "of", "held", "plus", "at", "least", "only", "active", "held-off", "leaves")
"""Words that never begin anything."""

_LOGIC_WORDS = ("always", "never", "and", "or", "not", "in", "held", "first", "of", "plus")
_STATE_WORDS = ("at", "least", "only", "any", "all", "active", "held-off", "pressed", "released", "becomes", "leaves")
RESERVED_WORDS = frozenset((*_LOGIC_WORDS, *_STATE_WORDS)) | SHOWING_WORDS
"""Words that can't be the name of something conditions read. They may be values: a slide may have a position `all`."""

_PIECE = re.compile(r"\s*(?:(?P<sign>[<>=!≤≥≠]+|&+|\|+|[(),\[\]{}\"'`;])|(?P<word>[^\s<>=!≤≥≠&|(),\[\]{}\"'`;]+))")
_MEANT = {
    "=": "==", "===": "==", "≠": "!=", "<>": "!=", "=>": ">=", "≥": ">=", "=<": "<=", "≤": "<=",
    "&": "and", "&&": "and", "|": "or", "||": "or", "!": "not",
}  # fmt: skip
_DROPPED = {
    '"': "Leave the quotation marks away.",
    "'": "Leave the quotation marks away.",
    "`": "Leave the quotation marks away.",
}
_BRACKETS = {"[": "(", "{": "(", "]": ")", "}": ")"}


@dataclass(frozen=True, slots=True)
class Token:
    """A word, a sign, or the end. start, end : characters of the text, end excluded."""

    kind: str
    text: str
    start: int
    end: int


def cut_words(text: str) -> tuple[tuple[Token, ...], list[Problem]]:
    """All words and signs of `text` in order, an end token last, and what is no part of the language."""
    tokens: list[Token] = []
    problems: list[Problem] = []
    for piece in _PIECE.finditer(text):
        kind = "sign" if piece["sign"] else "word"
        start, end = piece.span(kind)
        token = _as_meant(Token(kind, piece[kind], start, end), problems)
        if token is not None:
            tokens.append(token)
    at = len(text.rstrip())
    return (*tokens, Token("end", "", at, at)), problems


def _as_meant(token: Token, problems: list[Problem]) -> Token | None:
    text, start, end = token.text, token.start, token.end
    if token.kind == "word":
        small = text.lower()
        if small in ("and", "or", "not") and small != text:
            problems.append(condition_not_read(start, end, f"{text} is written in small letters.", f"Write {small}."))
            return Token("word", small, start, end)
        return token
    if text in COMPARISONS or text in "(),":
        return token
    if text in _DROPPED:
        problems.append(condition_not_read(start, end, "Nothing is quoted in a condition.", _DROPPED[text]))
        return None
    meant = _MEANT.get(text) or _BRACKETS.get(text)
    if meant is None:
        problems.append(
            condition_not_read(
                start, end, f"{text} means nothing in a condition.", f"The comparisons are {' '.join(COMPARISONS)}."
            )
        )
        return None
    problems.append(condition_not_read(start, end, f"{text} isn't used in conditions.", f"Write {meant}."))
    return Token("word" if meant.isalpha() else "sign", meant, start, end)
