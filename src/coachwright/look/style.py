"""Colour, word and sign of every state, severity and light: one place, the same on paper and on screen.

Colour never speaks alone. A state has a word and a sign beside its colour; a light has its word and the hatch of the
public heraldic convention, so that a black and white copy says the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.build.model import Colour
from coachwright.kit.finding import Severity
from coachwright.proof.judge import State
from coachwright.rules.schema import PackStatus

Hatch = Literal["vertical", "horizontal", "dots", "plain", "diagonal"]


@dataclass(frozen=True, slots=True)
class Look:
    """How one thing looks.

    word : said beside it. sign : one character of the paper's typeface. ink : colour of text and sign; wash : of the
    ground behind it; both ``#rrggbb``. terminal : style for rich.
    """

    word: str
    sign: str
    ink: str
    wash: str
    terminal: str


STATES: Mapping[State, Look] = {
    "pass": Look("pass", "✓", "#1d6b3a", "#e6f2ea", "green"),
    "near": Look("near", "≈", "#8a5a00", "#faf0da", "yellow"),
    "fail": Look("fail", "×", "#a61b1b", "#f9e3e1", "bold red"),
    "waived": Look("waived", "§", "#5b3a87", "#eee8f5", "magenta"),
    "draft": Look("draft", "?", "#4a5560", "#eceff2", "cyan"),
    "open": Look("open", "◌", "#27506b", "#e5eef4", "bright_cyan"),
    "not-measured": Look("not measured", "–", "#4a5560", "#eceff2", "bright_black"),
    "not-applicable": Look("not applicable", "·", "#606972", "#f6f7f8", "bright_black"),
}
"""Only `pass` is green. A draft prints in brackets (`state_word`)."""

SEVERITIES: Mapping[Severity, Look] = {
    "error": Look("stops delivery", "×", "#a61b1b", "#f9e3e1", "bold red"),
    "warning": Look("to be read", "!", "#8a5a00", "#faf0da", "yellow"),
    "note": Look("note", "·", "#4a5560", "#eceff2", "bright_black"),
}

STATUS_WORDS: Mapping[PackStatus, str] = {
    "law": "law",
    "standard": "standard",
    "target": "target",
    "house": "house",
    "contract": "contract",
}
"""The word that stands beside every result of a pack: what it is worth."""


@dataclass(frozen=True, slots=True)
class LightLook:
    """A colour of light in print. ink : of line and text; fill : of an area under the hatch."""

    word: str
    ink: str
    fill: str
    hatch: Hatch


LIGHTS: Mapping[Colour, LightLook] = {
    "red": LightLook("red", "#b3261e", "#f3c9c5", "vertical"),
    "blue": LightLook("blue", "#1f4fa3", "#c7d6f0", "horizontal"),
    "amber": LightLook("amber", "#9a6200", "#fbe0ad", "dots"),
    "white": LightLook("white", "#4a5560", "#ffffff", "plain"),
    "green": LightLook("green", "#1d6b3a", "#c9e5d2", "diagonal"),
}

INK, QUIET, RULE_LINE, PAPER, ACCENT = "#16202a", "#5b6670", "#c4ccd4", "#ffffff", "#1f3a52"
"""Text, lesser text, thin lines, ground, headings."""

TYPE_PT: Mapping[str, float] = {
    "title": 20.0,
    "heading": 13.0,
    "body": 9.5,
    "table": 8.5,
    "note": 7.5,
    "label": 7.0,
}
"""Sizes of type. [pt]"""

LINE_PT: Mapping[str, float] = {"outline": 0.9, "detail": 0.45, "grid": 0.25, "emphasis": 1.4}
"""Widths of lines in drawings and tables. [pt]"""


def state_word(state: State, would: str = "") -> str:
    """What stands in print for a state; a draft in brackets, with what it would have been."""
    if state != "draft":
        return STATES[state].word
    return {"fail": "(would fail)", "near": "(would be near)", "pass": "(would pass)"}.get(would, "(draft)")


def state_look(state: State, would: str = "") -> Look:
    """The look of a state with the word it takes here."""
    look = STATES[state]
    return Look(state_word(state, would), look.sign, look.ink, look.wash, look.terminal)
