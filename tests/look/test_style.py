"""Colour never speaks alone, and only what passes is green."""

import re
from typing import get_args

import pytest

from coachwright.build.model import COLOURS
from coachwright.kit.finding import Severity
from coachwright.look.style import LIGHTS, LINE_PT, SEVERITIES, STATES, STATUS_WORDS, TYPE_PT, state_look, state_word
from coachwright.proof.judge import State
from coachwright.rules.schema import PackStatus


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (W3C, WCAG 2.1, definition of relative luminance)."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_of_black_on_white_agrees_with_wcag() -> None:
    """Black on white is 21 to 1 (W3C, WCAG 2.1, contrast ratio)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("look", [*STATES.values(), *SEVERITIES.values()], ids=lambda look: look.word)
def test_every_word_can_be_read_on_its_ground(look: object) -> None:
    """4.5 to 1 for text (W3C, WCAG 2.1, success criterion 1.4.3), on its own ground and on white paper."""
    assert contrast(look.ink, look.wash) >= 4.5  # type: ignore[attr-defined]
    assert contrast(look.ink, "#ffffff") >= 4.5  # type: ignore[attr-defined]


def test_hatches_agree_with_the_heraldic_convention() -> None:
    """Red vertical lines, blue horizontal, gold dots, silver plain, green diagonal (Petra Sancta, 1638; memory)."""
    assert {colour: look.hatch for colour, look in LIGHTS.items()} == {
        "red": "vertical",
        "blue": "horizontal",
        "amber": "dots",
        "white": "plain",
        "green": "diagonal",
    }


def test_every_state_severity_colour_and_status_has_a_look() -> None:
    """Law: nothing is printed without its word."""
    assert set(STATES) == set(get_args(State))
    assert set(SEVERITIES) == set(get_args(Severity))
    assert set(LIGHTS) == set(COLOURS)
    assert set(STATUS_WORDS) == set(get_args(PackStatus))


def test_words_and_signs_tell_states_apart_without_colour() -> None:
    """Law: a black and white copy says the same."""
    assert len({look.word for look in STATES.values()}) == len(STATES)
    assert len({look.sign for look in STATES.values()}) == len(STATES)
    assert len({look.hatch for look in LIGHTS.values()}) == len(LIGHTS)


def test_only_pass_is_green() -> None:
    """Law: draft, waived and not measured are never green."""
    green = {state for state, look in STATES.items() if "green" in look.terminal}

    assert green == {"pass"}
    for state in get_args(State):
        red, green_part, blue = (int(STATES[state].ink[place : place + 2], 16) for place in (1, 3, 5))
        assert (green_part > red + 40 and green_part > blue + 40) == (state == "pass")


@pytest.mark.parametrize(
    ("would", "word"),
    [("fail", "(would fail)"), ("near", "(would be near)"), ("pass", "(would pass)"), ("", "(draft)")],
)
def test_draft_prints_in_brackets(would: str, word: str) -> None:
    """Law: a draft says so wherever it is printed, and keeps its own look whatever it would have been."""
    assert state_word("draft", would) == word
    assert state_look("draft", would).terminal == STATES["draft"].terminal


def test_inks_are_colours_and_sizes_are_readable() -> None:
    """Case: #rrggbb everywhere, no type under 7 pt, no line nobody's printer draws."""
    for look in (*STATES.values(), *SEVERITIES.values()):
        assert re.fullmatch(r"#[0-9a-f]{6}", look.ink)
        assert re.fullmatch(r"#[0-9a-f]{6}", look.wash)
    assert min(TYPE_PT.values()) >= 7.0
    assert min(LINE_PT.values()) >= 0.25
