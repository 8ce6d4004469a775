"""Texts of people on paper."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.mark import Mark
from coachwright.papers.printed import MOST_LETTERS, line_of, printed

BREAK = "\u200b"


@given(st.text(max_size=5000))
def test_bounded_visible_and_breakable(said: str) -> None:
    """Law: no letter that moves the line, no long run without a break, never longer than asked."""
    paper = printed(said)

    assert len(paper.replace(BREAK, "")) <= MOST_LETTERS
    assert all(letter.isprintable() or letter == BREAK for letter in paper)
    assert all(len(run) < 24 for word in paper.split() for run in word.split(BREAK))


@pytest.mark.parametrize("said", ["functions.warning.levels.mid.2.red", "short", "", "two words, no long one"])
def test_nothing_is_lost_between_the_breaks(said: str) -> None:
    """Law: taking the breaks out gives the text back."""
    assert printed(said).replace(BREAK, "") == said


def test_line_and_column_as_editors_count_them() -> None:
    """Case."""
    assert line_of(Mark("build.yaml", 41, 12)) == "line 41:12"
    assert line_of(None) == ""
