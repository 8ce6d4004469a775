"""Findings, states and numbers as they are printed."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.cite import Cite
from coachwright.kit.finding import Edit, Finding, Fix, Quantity
from coachwright.kit.mark import Mark
from coachwright.look.cells import (
    cite_text,
    finding_text,
    limit_cell,
    margin_cell,
    measure_cell,
    one_line,
    sentence,
    standing_cell,
    state_cell,
    value_text,
    worst_cell,
)
from coachwright.look.quote import columns
from coachwright.proof.gather import Answer
from coachwright.proof.judge import judge
from tests.proof.made import measure, pack, rule

TEXT = "lamps:\n  corner:\n    part: short-red-white\n    at: fender-corner\n    pair: mirrored\n    aim: 25\n"


def judged(value: Any, **changes: Any) -> Any:
    the_rule = rule(**changes)
    (found,) = judge(pack(the_rule), the_rule, [Answer((measure(value, kind=the_rule.kind),))])
    return found


def test_block_is_laid_out_as_the_house_lays_out_errors() -> None:
    """Case: place, code, name, path; the line; the caret with what to write beside it."""
    finding = Finding(
        "BLD-004",
        "angle-without-unit",
        "error",
        "{read} of what?",
        {"read": "25"},
        about="lamps.corner.aim",
        where=(Mark("build.yaml", 6, 10, 85, 87),),
        fix=Fix("Write 25 deg (turned outward from where the place looks)."),
    )

    assert finding_text(finding, texts={"build.yaml": TEXT}) == (
        "build.yaml:6:10  BLD-004 angle-without-unit   lamps.corner.aim\n"
        "    6 |     aim: 25\n"
        "      |          ^^  25 of what?  Write 25 deg (turned outward from where the place looks)."
    )


def test_long_sentences_hang_under_the_caret() -> None:
    """Case: no line is wider than the page, the rest stands where the first began."""
    finding = Finding("LGT-001", "dim", "warning", "Word " * 40, where=(Mark("build.yaml", 6, 10, 85, 87),))
    lines = finding_text(finding, texts={"build.yaml": TEXT}, width=80).splitlines()

    assert lines[0].endswith("(warning)")
    assert all(columns(line) <= 80 for line in lines)
    assert all(line.startswith("      |") for line in lines[2:])


def test_words_far_to_the_right_are_spoken_of_below() -> None:
    """Case: no room beside the caret."""
    text = " " * 29 + "x: 1"
    finding = Finding(
        "LGT-001", "dim", "error", "It is dim, and " + "very " * 6 + "dim.", where=(Mark("build.yaml", 1, 30, 29, 30),)
    )
    lines = finding_text(finding, texts={"build.yaml": text}, width=70).splitlines()

    assert lines[2].endswith("^")
    assert lines[3] == "      | It is dim, and very very very very very very dim."


def test_finding_without_a_line_still_says_everything() -> None:
    """Case: about the whole job."""
    finding = Finding("VER-005", "situation-not-given", "warning", "None.", about="situations", fix=Fix("Write one."))

    assert finding_text(finding, texts={}) == (
        "VER-005 situation-not-given   situations   (warning)\n       None.  Write one."
    )


def test_story_source_places_and_command_stand_below() -> None:
    """Case: everything a finding can carry."""
    finding = Finding(
        "OWN-001",
        "too-slow",
        "error",
        "Slow.",
        where=(Mark("build.yaml", 6, 10, 85, 87), Mark("build.yaml", 3, 5), Mark("packs/a.yaml", 2, 1)),
        cite=Cite("14 CFR 25.1401", clause="(f)", status="read", checked_on="2026-11-25", checked_by="A"),
        fix=Fix("Flash faster.", (Edit("lamps.corner.aim", "25 deg"),), "ask"),
        story=("slide to full", "gear to P"),
    )

    assert finding_text(finding, texts={"build.yaml": TEXT}).splitlines()[2:] == [
        "      |          ^^  Slow.  Flash faster.",
        "      | 1. slide to full",
        "      | 2. gear to P",
        "      | Source: 14 CFR 25.1401, (f) (read 2026-11-25).",
        "      | Depends also on line 3, packs/a.yaml:2:1.",
        "      | Fix: coachwright fix OWN-001   [ask]",
    ]


def test_value_never_prints_like_the_limit_it_misses() -> None:
    """Law: 149.96 against 150 does not read 150 against 150."""
    found = judged(149.96, kind="luminous-intensity", limit={"at-least": "150 cd"})

    assert worst_cell(found).text == "149.96 cd"
    assert "149.96 cd" in sentence(found.finding)
    assert limit_cell(found.rule).text == "at least 150 cd"


def test_draft_is_in_brackets_everywhere() -> None:
    """Law: state, value and margin of a draft can't be taken for a result."""
    found = judged(0.5, status="draft")

    assert state_cell(found).text == "? (would fail)"
    assert worst_cell(found).text == "(0.5 Hz)"
    assert margin_cell(found).text == "(-0.5 Hz)"
    assert standing_cell(found).text == "house, draft"
    assert sentence(found.finding).startswith("(would fail) ")


def test_state_value_margin_and_standing_of_a_pass() -> None:
    """Case: 2 Hz where 1 Hz is asked for."""
    found = judged(2.0)

    assert [cell.text for cell in (state_cell(found), worst_cell(found), margin_cell(found), standing_cell(found))] == [
        "✓ pass",
        "2 Hz",
        "+1 Hz",
        "house",
    ]


def test_what_was_not_measured_says_why() -> None:
    """Law: silence is not a pass."""
    found = judged(None)

    assert state_cell(found).text == "– not measured"
    assert worst_cell(found).text == "–"
    assert measure_cell(measure(None)).text == "the part says nothing"


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (True, "yes-no", "yes"),
        (False, "yes-no", "no"),
        ("proved", "word", "proved"),
        (None, "rate", "–"),
        (4, "count", "4"),
    ],
)
def test_values_are_printed_by_kind(value: Any, kind: str, text: str) -> None:
    """Case: answers, words, gaps, counts."""
    assert value_text(value, kind) == text


@pytest.mark.parametrize(
    ("status", "said"),
    [
        ("read", "a page (read 2026-11-25)"),
        ("draft", "a page (draft, page not read)"),
        ("house", "a page (common practice)"),
        ("contract", "a page (contract)"),
    ],
)
def test_source_says_whether_anybody_read_it(status: Any, said: str) -> None:
    """Law: a source is never printed without its status."""
    assert cite_text(Cite("a page", status=status, checked_on="2026-11-25", checked_by="A")) == said


def test_value_can_not_fill_in_another() -> None:
    """Law: braces in a name from a file stay braces."""
    finding = Finding("X-001", "x", "error", "{a} and {b} and {c}.", {"a": "{b}", "b": "two"})

    assert sentence(finding) == "{b} and two and {c}."


def test_one_line_each_for_editors() -> None:
    """Case: file:line:column: code sentence."""
    finding = Finding("X-001", "x", "error", "It is {q}.", {"q": Quantity(0.5, "rate")}, where=(Mark("b.yaml", 1, 2),))

    assert one_line([finding]) == ("b.yaml:1:2: X-001 It is 30 per min.",)


@given(st.text(max_size=60), st.text(max_size=60), st.text(max_size=60))
def test_text_from_a_file_never_breaks_the_block(value: str, about: str, fix: str) -> None:
    """Law: every line of a block can be printed, whatever was in the file."""
    finding = Finding("X-001", "x", "error", "{v}.", {"v": value}, about=about, where=(Mark("b.yaml", 1, 1, 0, 3),),
                      fix=Fix(fix))  # fmt: skip
    text = finding_text(finding, texts={"b.yaml": value}, width=60)

    assert all(line.isprintable() for line in text.split("\n"))


def test_value_prints_in_the_unit_of_its_limit() -> None:
    """Law: 3.24 in beside a limit of 100 mm helps nobody."""
    found = judged(0.0823, kind="length", limit={"at-least": "100 mm"})

    assert worst_cell(found).text == "82.3 mm"
    assert margin_cell(found).text == "-17.7 mm"
    assert "82.3 mm" in sentence(found.finding)
